//! A forward and a backward pass blended into one track.

use super::sample::{DOUBTFUL, Sample, State};
use crate::image::ImagePoint;
use crate::scales::{PASS_AGREEMENT_PX, PASS_CLOSURE_PX, PASS_DISAGREEMENT_PX, PASS_SHARPENING_PX};

/// Weights of a sample by its state: doubtful, coasting and lost; placed and seen have one.
///
/// Chosen: by trial on the worked clips, no record.
const DOUBTFUL_WEIGHT: f64 = 0.5;
/// See [`DOUBTFUL_WEIGHT`].
///
/// Chosen: as it.
const COASTING_WEIGHT: f64 = 0.03;
/// See [`DOUBTFUL_WEIGHT`].
///
/// Chosen: as it; above zero, so that two lost samples have a mean.
const LOST_WEIGHT: f64 = 1e-4;
/// What a sample that is certainly wrong still weighs, beside one.
///
/// Chosen: above zero, so that two such samples have a mean.
const CERTAINLY_WRONG: f64 = 1.02;
/// Probability of being wrong of a mean of two passes that are far apart.
///
/// Chosen: one of the two is wrong; by trial on the worked clips, no record.
const DISAGREEMENT: f64 = 0.6;
/// Most times that the weights are squared.
///
/// Chosen: after that the better pass decides alone.
const MOST_SHARPENING: f64 = 4.0;

/// A sample with its weight.
#[derive(Clone, Copy)]
struct Weighted<'a> {
    sample: &'a Sample,
    weight: f64,
}

/// Blends a forward and a backward pass over the same frames between two anchors into one track.
///
/// Both are in order of time and of the same length; the first and last sample are the anchors. A frame's place is the mean of
/// both passes, each weighed by its nearness to its anchor, by its state (seen before doubtful before coasting) and by how well
/// it arrives where the other pass begins. The further the passes are apart, the more the better one decides alone and the
/// higher is the probability of being wrong.
#[must_use]
pub fn blend(forward: &[Sample], backward: &[Sample]) -> Vec<Sample> {
    let count = forward.len().min(backward.len());
    let apart = |i: usize| match (forward.get(i), backward.get(i)) {
        (Some(f), Some(b)) => f.at.distance_px(b.at),
        _ => 0.0,
    };
    // One frame from its anchor the other pass is as good as truth.
    let arrival = |i: usize| {
        let miss = apart(i) / PASS_CLOSURE_PX;
        1.0 / (1.0 + miss * miss)
    };
    let trust = if count > 2 { (arrival(count - 2), arrival(1)) } else { (1.0, 1.0) };
    let last = count.saturating_sub(1);
    let pairs = forward.iter().zip(backward).enumerate();
    pairs
        .map(|(i, (f, b))| {
            if i == 0 || f.state == State::Placed {
                return *f;
            }
            if i == last || b.state == State::Placed {
                return *b;
            }
            let near = i as f64 / last as f64;
            let weight_f = (1.0 - near) * trust.0 * weight(f);
            let weight_b = near * trust.1 * weight(b);
            let forward = Weighted { sample: f, weight: weight_f };
            mean(forward, Weighted { sample: b, weight: weight_b })
        })
        .collect()
}

/// How much a sample counts for what it is.
fn weight(sample: &Sample) -> f64 {
    let by_state = match sample.state {
        State::Placed | State::Seen => 1.0,
        State::Doubtful => DOUBTFUL_WEIGHT,
        State::Coasting => COASTING_WEIGHT,
        State::Lost => LOST_WEIGHT,
    };
    by_state * (CERTAINLY_WRONG - sample.p_wrong.clamp(0.0, 1.0))
}

/// Whether a sample was not seen.
fn is_unseen(sample: &Sample) -> bool {
    matches!(sample.state, State::Coasting | State::Lost)
}

/// The mean of two samples of one frame.
fn mean(f: Weighted<'_>, b: Weighted<'_>) -> Sample {
    let apart_px = f.sample.at.distance_px(b.sample.at);
    let share = share(f.weight, b.weight, sharpness(apart_px));
    let (f, b) = (f.sample, b.sample);
    let pull = |a: f64, c: f64| share * a + (1.0 - share) * c;
    let at = ImagePoint { x_px: pull(f.at.x_px, b.at.x_px), y_px: pull(f.at.y_px, b.at.y_px) };
    let both_seen = !is_unseen(f) && !is_unseen(b);
    let agree = both_seen && apart_px < PASS_AGREEMENT_PX;
    let alone = pull(f.p_wrong, b.p_wrong);
    let p_wrong = if agree {
        // Two passes that agree are rarely wrong in the same way.
        f.p_wrong.min(b.p_wrong)
    } else if both_seen {
        let apart = ((apart_px - PASS_AGREEMENT_PX) / PASS_DISAGREEMENT_PX).min(1.0);
        alone.max(DISAGREEMENT * apart)
    } else {
        alone
    };
    // Two passes that agree and are both certain are more certain still, whatever is doubtful in what is followed.
    let both_sure = agree && ![f.state, b.state].contains(&State::Doubtful);
    let leads = if share >= 0.5 { (f, b) } else { (b, f) };
    let state = match leading_state(leads.0, leads.1) {
        _ if both_sure => State::Seen,
        State::Seen | State::Doubtful if p_wrong > DOUBTFUL => State::Doubtful,
        State::Doubtful => State::Seen,
        state => state,
    };
    Sample { at, state, p_wrong }
}

/// The state of a mean, whatever its probability of being wrong.
fn leading_state(leader: &Sample, other: &Sample) -> State {
    match (is_unseen(leader), is_unseen(other)) {
        (true, true) if leader.state == State::Lost => other.state,
        (true, true) => leader.state,
        (true, false) => other.state,
        (false, true) => leader.state,
        (false, false) => State::Seen,
    }
}

/// The share of the forward pass, its weight and the other multiplied by themselves so often; a half if neither weighs
/// anything.
fn share(forward: f64, backward: f64, times: u32) -> f64 {
    let (mut weight_f, mut weight_b) = (forward, backward);
    for _ in 0..times {
        (weight_f, weight_b) = (weight_f * forward, weight_b * backward);
    }
    let total = weight_f + weight_b;
    if total > 0.0 { weight_f / total } else { 0.5 }
}

/// How often the weights are multiplied by themselves: a mean of two places far apart is neither.
fn sharpness(apart_px: f64) -> u32 {
    (apart_px / PASS_SHARPENING_PX).min(MOST_SHARPENING) as u32
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Of a place that is not doubtful.
    const SURE: f64 = 0.5 * DOUBTFUL;

    fn sample(x_px: f64, state: State, p_wrong: f64) -> Sample {
        Sample { at: ImagePoint { x_px, y_px: 2.0 * x_px }, state, p_wrong }
    }

    fn pass(places: &[f64]) -> Vec<Sample> {
        let last = places.len() - 1;
        let state = |i| if i == 0 || i == last { State::Placed } else { State::Seen };
        places.iter().enumerate().map(|(i, x)| sample(*x, state(i), SURE)).collect()
    }

    #[test]
    fn passes_that_agree_are_left_as_they_are() {
        let both = pass(&[0.0, 1.0, 2.0, 3.0, 4.0]);
        assert_eq!(blend(&both, &both), both);
    }

    #[test]
    fn reversing_time_reverses_the_track() {
        let f =
            [(0.0, State::Placed), (1.0, State::Seen), (2.5, State::Doubtful), (9.0, State::Seen)];
        let b =
            [(0.5, State::Seen), (3.0, State::Coasting), (2.0, State::Seen), (4.0, State::Placed)];
        let make =
            |v: &[(f64, State)]| v.iter().map(|(x, s)| sample(*x, *s, 0.1)).collect::<Vec<_>>();
        let (f, b) = (make(&f), make(&b));
        let reverse = |v: &[Sample]| v.iter().rev().copied().collect::<Vec<_>>();
        let there = blend(&f, &b);
        let back = reverse(&blend(&reverse(&b), &reverse(&f)));
        for (a, c) in there.iter().zip(&back) {
            // Sums of two terms in another order.
            assert!(a.at.distance_px(c.at) < 1e-12);
            assert_eq!(a.state, c.state);
            assert!((a.p_wrong - c.p_wrong).abs() < 1e-12);
        }
    }

    #[test]
    fn a_drift_is_distributed_by_the_distance_from_the_anchors() {
        let f = pass(&[0.0, 0.5, 1.0, 1.5, 0.0]);
        let b = pass(&[0.0, 0.0, 0.0, 0.0, 0.0]);
        let x: Vec<f64> = blend(&f, &b).iter().map(|s| s.at.x_px).collect();
        assert!(x[1] > 0.2 && x[1] < 0.5, "{x:?}");
        assert!(x[3] < 0.4, "{x:?}");
    }

    #[test]
    fn a_seen_place_outweighs_a_coasting_one_nearer_to_its_anchor() {
        let mut f = pass(&[0.0, 10.0, 10.0, 10.0, 10.0, 0.0]);
        let b = pass(&[0.0, 2.0, 2.0, 2.0, 2.0, 0.0]);
        f[1].state = State::Coasting;
        f[1].p_wrong = 0.2;
        let one = blend(&f, &b)[1];
        assert!((one.at.x_px - 2.0).abs() < 1.0, "{one:?}");
        assert_eq!(one.state, State::Seen);
    }

    #[test]
    fn passes_that_disagree_leave_doubt() {
        let f = pass(&[0.0, 1.0, 20.0, 20.0, 0.0]);
        let b = pass(&[0.0, 1.0, 2.0, 3.0, 0.0]);
        let one = blend(&f, &b)[2];
        assert_eq!(one.state, State::Doubtful);
        assert!(one.p_wrong > 0.3, "{one:?}");
    }

    #[test]
    fn a_marker_that_neither_pass_saw_stays_unseen() {
        let mut f = pass(&[0.0, 1.0, 2.0, 3.0, 4.0]);
        let mut b = f.clone();
        f[2] = sample(2.0, State::Lost, 1.0);
        b[2] = sample(2.2, State::Coasting, 0.5);
        assert_eq!(blend(&f, &b)[2].state, State::Coasting);
        b[2] = sample(2.2, State::Lost, 1.0);
        assert_eq!(blend(&f, &b)[2].state, State::Lost);
    }
}
