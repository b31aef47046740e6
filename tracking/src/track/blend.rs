//! A forward and a backward pass made one track.

use super::sample::{DOUBT, Sample, State};
use crate::image::Pixel;

/// Passes that end up so far apart halve the trust in the one that had further to go.
const CLOSING_PX: f64 = 4.0;
/// Passes nearer than this agree.
const AGREE_PX: f64 = 3.0;

/// Makes one track of a forward and a backward pass over the same frames between two anchors.
///
/// Both are in order of time and of the same length; the first and last sample are the anchors. A frame's
/// place is the mean of both passes, each weighing by its nearness to its anchor, by what it is (seen before
/// doubtful before coasting) and by how well it arrives where the other pass begins. The further the passes
/// are apart, the more the better one decides alone and the higher is the probability of being wrong.
#[must_use]
pub fn blend(forward: &[Sample], backward: &[Sample]) -> Vec<Sample> {
    let count = forward.len().min(backward.len());
    let apart = |i: usize| match (forward.get(i), backward.get(i)) {
        (Some(f), Some(b)) => f.at.distance_px(b.at),
        _ => 0.0,
    };
    // One frame from its anchor the other pass is as good as truth.
    let arrival = |i: usize| {
        let miss = apart(i) / CLOSING_PX;
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
            let weight_f = (1.0 - near) * trust.0 * worth(f);
            let weight_b = near * trust.1 * worth(b);
            mix((f, weight_f), (b, weight_b))
        })
        .collect()
}

/// How much a sample counts for what it is.
fn worth(sample: &Sample) -> f64 {
    let by_state = match sample.state {
        State::Placed | State::Seen => 1.0,
        State::Doubtful => 0.5,
        State::Coasting => 0.03,
        State::Lost => 1e-4,
    };
    by_state * (1.02 - sample.p_wrong.clamp(0.0, 1.0))
}

fn mix(f: (&Sample, f64), b: (&Sample, f64)) -> Sample {
    let apart_px = f.0.at.distance_px(b.0.at);
    let (mut weight_f, mut weight_b) = (f.1, b.1);
    for _ in 0..sharpness(apart_px) {
        (weight_f, weight_b) = (weight_f * f.1, weight_b * b.1);
    }
    let total = weight_f + weight_b;
    let share = if total > 0.0 { weight_f / total } else { 0.5 };
    let pull = |a: f64, c: f64| share * a + (1.0 - share) * c;
    let at = Pixel { x_px: pull(f.0.at.x_px, b.0.at.x_px), y_px: pull(f.0.at.y_px, b.0.at.y_px) };
    let unseen = |s: &Sample| matches!(s.state, State::Coasting | State::Lost);
    let (leader, other) = if share >= 0.5 { (f.0, b.0) } else { (b.0, f.0) };
    let state = match (unseen(f.0), unseen(b.0)) {
        (true, true) if leader.state == State::Lost => other.state,
        (true, true) => leader.state,
        (true, false) => b.0.state,
        (false, true) => f.0.state,
        (false, false) => State::Seen,
    };
    let both_seen = !unseen(f.0) && !unseen(b.0);
    let alone = pull(f.0.p_wrong, b.0.p_wrong);
    let p_wrong = if both_seen && apart_px < AGREE_PX {
        // Two looks that agree are rarely wrong in the same way.
        f.0.p_wrong.min(b.0.p_wrong)
    } else if both_seen {
        alone.max(0.6 * ((apart_px - AGREE_PX) / 12.0).min(1.0))
    } else {
        alone
    };
    // Two ways that agree and are both sure are surer still, whatever is doubtful in what is followed.
    let both_sure =
        both_seen && apart_px < AGREE_PX && ![f.0.state, b.0.state].contains(&State::Doubtful);
    let state = match state {
        _ if both_sure => State::Seen,
        State::Seen | State::Doubtful if p_wrong > DOUBT => State::Doubtful,
        State::Doubtful => State::Seen,
        state => state,
    };
    Sample { at, state, p_wrong }
}

/// How often the weights are multiplied by themselves: a mean of two places far apart is neither.
fn sharpness(apart_px: f64) -> u32 {
    (apart_px / 8.0).min(4.0) as u32
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Of a place that is not in doubt.
    const SURE: f64 = 0.5 * DOUBT;

    fn sample(x_px: f64, state: State, p_wrong: f64) -> Sample {
        Sample { at: Pixel { x_px, y_px: 2.0 * x_px }, state, p_wrong }
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
    fn turning_time_round_turns_the_track_round() {
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
    fn a_drift_is_shared_out_by_the_distance_from_the_anchors() {
        let f = pass(&[0.0, 0.5, 1.0, 1.5, 0.0]);
        let b = pass(&[0.0, 0.0, 0.0, 0.0, 0.0]);
        let x: Vec<f64> = blend(&f, &b).iter().map(|s| s.at.x_px).collect();
        assert!(x[1] > 0.2 && x[1] < 0.5, "{x:?}");
        assert!(x[3] < 0.4, "{x:?}");
    }

    #[test]
    fn a_seen_place_outweighs_a_coasted_one_nearer_to_its_anchor() {
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
    fn a_marker_neither_pass_saw_stays_unseen() {
        let mut f = pass(&[0.0, 1.0, 2.0, 3.0, 4.0]);
        let mut b = f.clone();
        f[2] = sample(2.0, State::Lost, 1.0);
        b[2] = sample(2.2, State::Coasting, 0.5);
        assert_eq!(blend(&f, &b)[2].state, State::Coasting);
        b[2] = sample(2.2, State::Lost, 1.0);
        assert_eq!(blend(&f, &b)[2].state, State::Lost);
    }
}
