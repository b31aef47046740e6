//! Having the markers followed: start, progress, stop, doubtful stretches, and following again what a correction touched.

use super::preview;
use crate::ui::actions::{Hands, use_hands};
use crate::ui::store::{Jobs, Look, Step};
use document::results::doubt::{Doubt, next_doubt};
use document::session::{Session, Trial, TrialCommand};
use jobs::{Correction, FollowMarker, FollowPlan};
use mechanics::body::{Landmark, MarkerSet};
use mechanics::space::Pixel;
use std::rc::Rc;
use yew::prelude::*;

/// Everything that has a mark, over the whole clip.
#[must_use]
pub fn whole_plan(trial: &Trial) -> Option<FollowPlan> {
    let markers: Vec<FollowMarker> =
        trial.marker_set.landmarks().iter().filter_map(|l| marker(trial, *l)).collect();
    let last = trial.clip.info.frame_count().checked_sub(1)?;
    (!markers.is_empty()).then_some(FollowPlan { first: 0, last, markers, correction: None })
}

/// A landmark that has a mark, as it is followed.
#[must_use]
pub fn marker(trial: &Trial, landmark: Landmark) -> Option<FollowMarker> {
    let track = trial.tracks.get(&landmark).filter(|t| !t.keyframes.is_empty())?;
    let keyframes = track.keyframes.iter().map(|(f, p)| (*f, *p)).collect();
    Some(FollowMarker { landmark, mode: track.mode, keyframes })
}

/// A mark was put on a landmark that was followed already: its stretch between the neighbouring keyframes is followed
/// again, from the new mark outwards until it meets what was known.
pub fn follow_touched(hands: &Hands, trial: &Rc<Trial>, landmark: Landmark, frame: u32, at: Pixel) {
    let Some(track) = trial.tracks.get(&landmark) else { return };
    if track.followed.is_none() {
        return;
    }
    let mut keyframes = track.keyframes.clone();
    keyframes.insert(frame, at);
    let first = keyframes.range(..frame).next_back().map_or(0, |(f, _)| *f);
    let end = trial.clip.info.frame_count().saturating_sub(1);
    let last = keyframes.range(frame + 1..).next().map_or(end, |(f, _)| *f);
    let keyframes = keyframes.range(first..=last).map(|(f, p)| (*f, *p)).collect();
    let known = track.samples.get(first as usize..=last as usize).unwrap_or_default().to_vec();
    let plan = FollowPlan {
        first,
        last,
        markers: vec![FollowMarker { landmark, mode: track.mode, keyframes }],
        correction: Some(Correction { frame, known }),
    };
    hands.conductor.follow(trial.id, plan, None);
}

/// Goes to the next doubtful stretch and chooses its landmark.
pub fn go_to_next_doubt(hands: &Hands, trial: &Trial, frame: u32) {
    match next_doubt(trial, frame) {
        Some(doubt) => go_to(hands, &doubt),
        None => hands.say("No stretch is in doubt."),
    }
}

fn go_to(hands: &Hands, doubt: &Doubt) {
    hands.look(Look::Frame(doubt.worst));
    hands.look(Look::Landmark(Some(doubt.landmark)));
}

#[derive(Properties, PartialEq)]
pub struct FollowPartProps {
    /// The document.
    pub session: Rc<Session>,
    /// The trial.
    pub trial: Rc<Trial>,
    /// What the worker is doing.
    pub jobs: Jobs,
    /// The frame at rest.
    pub frame: u32,
    /// Doubtful stretches, worst first.
    pub doubts: Rc<Vec<Doubt>>,
    /// Whether anything was followed.
    pub followed: bool,
}

/// The part of the panel about following.
#[component]
pub fn FollowPart(props: &FollowPartProps) -> Html {
    let hands = use_hands();
    if let Some(following) = &props.jobs.following {
        return progress(&hands, props, following);
    }
    let ready: Vec<Rc<Trial>> = props
        .session
        .trials
        .iter()
        .filter(|t| t.next_unplaced().is_none() && props.jobs.open.contains_key(&t.id))
        .cloned()
        .collect();
    let both = ready.len() == 2 && !props.followed;
    let start = {
        let (hands, trial, ready) = (hands.clone(), Rc::clone(&props.trial), ready);
        Callback::from(move |_: MouseEvent| {
            if both {
                follow_one_after_another(&hands, ready.clone());
            } else if let Some(plan) = whole_plan(&trial) {
                hands.conductor.follow(trial.id, plan, None);
            }
        })
    };
    let next = {
        let (hands, trial, frame) = (hands.clone(), Rc::clone(&props.trial), props.frame);
        Callback::from(move |_: MouseEvent| go_to_next_doubt(&hands, &trial, frame))
    };
    let label = match (both, props.followed) {
        (true, _) => "Follow the markers in both clips",
        (false, false) => "Follow the markers",
        (false, true) => "Follow all again",
    };
    let none = whole_plan(&props.trial).is_none() || !props.jobs.open.contains_key(&props.trial.id);
    html! {
        <section class="follow" aria-label="Following">
            if let Some(tryout) = props.jobs.tried.get(&props.trial.id)
                && !props.followed && marker(&props.trial, tryout.landmark).is_some() {
                <p class="advice" role="status">{ preview::in_words(tryout, props.trial.rate_hz()) }</p>
            }
            <button class={classes!((!props.followed && props.trial.next_unplaced().is_none()).then_some("ready"))} disabled={none} onclick={start}>{ label }</button>
            if props.followed {
                <p role="status">{ doubt_summary(&props.doubts) }</p>
                if !props.doubts.is_empty() {
                    <button onclick={next}>{ "Next doubtful stretch" }</button>
                    <ol class="doubts">
                        { for props.doubts.iter().take(8).map(|doubt| {
                            let (hands, doubt) = (hands.clone(), doubt.clone());
                            let sentence = doubt.sentence();
                            html! { <li><button class="line" onclick={move |_| go_to(&hands, &doubt)}>{ sentence }</button></li> }
                        }) }
                    </ol>
                }
                { swap_part(&hands, &props.trial, props.frame) }
            }
        </section>
    }
}

/// Near and far leg taken for each other: one press puts the stretch between two crossings right.
fn swap_part(hands: &Hands, trial: &Rc<Trial>, frame: u32) -> Html {
    if trial.marker_set != MarkerSet::BothSides {
        return Html::default();
    }
    let Some((first, last)) = trial.between_crossings(frame) else {
        return html! { <p class="quiet">{ "Near and far leg taken for each other? Go to a frame in which they are apart." }</p> };
    };
    let (hands, id) = (hands.clone(), trial.id);
    let swap = move |_: MouseEvent| hands.change(id, TrialCommand::SwapLegs { first, last });
    html! { <button onclick={swap}>{ format!("Swap near and far leg, frames {}–{}", first + 1, last + 1) }</button> }
}

fn doubt_summary(doubts: &[Doubt]) -> String {
    let light = doubts.iter().all(Doubt::is_slight);
    match (doubts.len(), light) {
        (0, _) => "Every marker was seen all the way.".to_owned(),
        (1, true) => "One stretch is in doubt, and under 0.1 J of a stride hangs on it. Look at it if you need its angle or heel lift.".to_owned(),
        (n, true) => format!(
            "{n} stretches are in doubt, and on each hangs under 0.1 J of a stride. Look at those whose angle or heel lift you need."
        ),
        (1, false) => "One stretch is in doubt. Look at it, and move the mark where it is wrong.".to_owned(),
        (n, false) => format!(
            "{n} stretches are in doubt, the worst first. Look at each, and move the mark where it is wrong."
        ),
    }
}

/// Follows one clip, then the next; at the end looks at the two beside each other.
fn follow_one_after_another(hands: &Hands, mut trials: Vec<Rc<Trial>>) {
    if trials.is_empty() {
        hands.go(Step::SideBySide);
        return;
    }
    let trial = trials.remove(0);
    let Some(plan) = whole_plan(&trial) else { return };
    hands.look(Look::Trial(trial.id));
    let then = {
        let hands = hands.clone();
        Box::new(move || follow_one_after_another(&hands, trials))
    };
    hands.conductor.follow(trial.id, plan, Some(then));
}

fn progress(
    hands: &Hands,
    props: &FollowPartProps,
    following: &crate::ui::store::Following,
) -> Html {
    let stop = {
        let hands = hands.clone();
        Callback::from(move |_: MouseEvent| hands.conductor.stop_following(None))
    };
    let name = props.session.trial(following.trial).map_or(String::new(), |t| t.name.clone());
    let left =
        following.left_s.map_or(String::new(), |s| format!(", about {:.0} s left", s.ceil()));
    html! {
        <section class="follow" aria-label="Following">
            <p role="status">{ format!("Following in “{name}”: {} of {} frames{left}", following.done, following.total) }</p>
            <progress aria-label="Frames followed" max={following.total.to_string()} value={following.done.to_string()}></progress>
            <button onclick={stop}>{ "Stop" }</button>
            <p class="quiet">{ "What is done is kept when you stop." }</p>
        </section>
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use document::results::doubt::Why;
    use mechanics::analysis::Sensitivity;

    #[test]
    fn it_is_said_whether_anything_hangs_on_what_is_in_doubt() {
        let doubt = |at_stake| Doubt {
            landmark: Landmark::NearHip,
            first: 3,
            last: 9,
            worst: 5,
            p_wrong: 0.4,
            why: Why::Hidden,
            at_stake,
        };
        let said = |stakes: &[Option<Sensitivity>]| {
            doubt_summary(&stakes.iter().map(|s| doubt(*s)).collect::<Vec<_>>())
        };
        let (slight, grave) =
            (Some(Sensitivity::WorkChange(0.049)), Some(Sensitivity::WorkChange(0.05)));
        assert!(said(&[slight, slight]).contains("under 0.1 J"));
        assert!(said(&[slight]).contains("under 0.1 J"));
        for stakes in
            [&[slight, grave][..], &[slight, None], &[slight, Some(Sensitivity::ExcludedStride)]]
        {
            assert!(said(stakes).contains("the worst first"), "{}", said(stakes));
        }
        assert!(!said(&[None]).contains("0.1 J"));
        assert!(said(&[]).contains("seen all the way"));
    }
}
