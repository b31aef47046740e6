//! Near and far leg taken for each other: the stretch between two crossings, put right in one step.

use super::{Track, TrackSample, Trial};
use mechanics::body::{Joint, Landmark};
use mechanics::space::Side;
use std::rc::Rc;

/// What goes over to the other leg where the legs were taken for each other. The hips stay: they hardly part in
/// a picture from the side, and neither is ever taken for a foot.
const SWAPPED: [Joint; 4] = [Joint::Knee, Joint::Ankle, Joint::Heel, Joint::Toe];

/// Chosen: the legs count as crossing while the ankles are nearer than this part of their greatest distance.
const CROSSING: f64 = 0.25;

impl Trial {
    /// The frames about this one, first and last, between the crossings of the legs before and after it; `None`
    /// where both ankles are not followed, or the legs cross in this very frame.
    #[must_use]
    pub fn between_crossings(&self, frame: u32) -> Option<(u32, u32)> {
        let near = self.tracks.get(&Landmark::NearAnkle)?;
        let far = self.tracks.get(&Landmark::FarAnkle)?;
        let apart = |f: u32| Some(distance_px(near.sample(f)?, far.sample(f)?));
        let count = self.clip.info.frame_count();
        let widest = (0..count).filter_map(apart).fold(0.0, f64::max);
        let is_apart = |f: &u32| apart(*f).is_some_and(|d| d > CROSSING * widest);
        is_apart(&frame).then_some(())?;
        let first = (0..=frame).rev().take_while(is_apart).last()?;
        let last = (frame..count).take_while(is_apart).last()?;
        Some((first, last))
    }
}

fn distance_px(a: TrackSample, b: TrackSample) -> f64 {
    (a.at.x_px - b.at.x_px).hypot(a.at.y_px - b.at.y_px)
}

/// What was known of the near leg in these frames is known of the far leg now, and the other way round.
///
/// Each sample keeps its certainty: which leg it is was asked, not how well it was seen.
pub(super) fn swap_legs(trial: &mut Trial, first: u32, last: u32) {
    for joint in SWAPPED {
        let sides = [Side::Near, Side::Far].map(|side| Landmark::of(joint, side));
        let [Some(near), Some(far)] = sides.map(|l| trial.tracks.get(&l).cloned()) else {
            continue;
        };
        let (mut new_near, mut new_far) = (Track::clone(&near), Track::clone(&far));
        take_from(&mut new_near, &far, (first, last));
        take_from(&mut new_far, &near, (first, last));
        trial.tracks.insert(sides[0], Rc::new(new_near));
        trial.tracks.insert(sides[1], Rc::new(new_far));
    }
}

fn take_from(track: &mut Track, other: &Track, (first, last): (u32, u32)) {
    if let Some((from, to)) =
        other.followed.map(|(a, b)| (a.max(first), b.min(last))).filter(|(a, b)| a <= b)
    {
        track.went_over(from, to);
    }
    track.keyframes.retain(|frame, _| !(first..=last).contains(frame));
    track.keyframes.extend(other.keyframes.range(first..=last).map(|(f, p)| (*f, *p)));
    for frame in first..=last {
        if let Some(slot) = track.samples.get_mut(frame as usize) {
            *slot = other.sample(frame);
        }
    }
}
