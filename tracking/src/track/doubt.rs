//! How little a place is relied on by its neighbours while they are followed.
//!
//! Not the certainty that is told: that is fitted anew when the follower changes, and the follower must not change
//! with it.

use super::certainty::{Signs, Way, chance};

/// Weight and limit of strain, drift, gap, torn and unknown on skin, and what is added to their sum.
///
/// Chosen: an earlier fit of the certainty of skin, with which legs did not swap.
const WEIGHTS: [(f64, f64); 5] =
    [(0.943, 4.0), (2.970, 2.0), (3.707, 1.0), (0.836, 4.0), (3.020, 1.0)];
const BASE: f64 = -7.405;
/// Chosen: doubt of a marker that has been unseen for one frame, and what is left of the trust in it after each
/// further one: carried by its neighbours, and alone.
const CARRIED: (f64, f64) = (0.2, 0.87);
const ALONE: (f64, f64) = (0.55, 0.6);
/// Chosen: frames after which it is no longer less.
const LONGEST: u32 = 40;

/// From zero, relied on, to one.
pub(super) fn doubt(way: Way, signs: &Signs, (unseen, by_neighbours): (u32, bool)) -> f64 {
    match way {
        Way::Sticker => {
            let lack = (0.7 - (1.0 - signs.lack_ratio)).max(0.0) * 1.5;
            let far = 0.03 * (signs.away_ratio - 1.5).max(0.0);
            (0.002 + lack + signs.blame_ratio + far).clamp(0.0, 0.95)
        }
        Way::Soft => {
            let Signs { strain_ratio, drift_px, gap_ratio, torn_ratio, unknown_ratio, .. } = *signs;
            let numbers = [strain_ratio, drift_px, gap_ratio, torn_ratio, unknown_ratio];
            let parts =
                numbers.iter().zip(WEIGHTS).map(|(n, (weight, limit))| weight * n.min(limit));
            chance(BASE + parts.sum::<f64>())
        }
        Way::Unseen => {
            let (first, left) = if by_neighbours { CARRIED } else { ALONE };
            let further = (1..unseen.min(LONGEST)).fold(1.0 - first, |right, _| right * left);
            (1.0 - further).min(0.98)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_marker_that_goes_on_unseen_is_relied_on_less_and_less_and_least_alone() {
        let unseen = |n, by| doubt(Way::Unseen, &Signs::default(), (n, by));
        for by_neighbours in [false, true] {
            assert!((1..30).all(|n| unseen(n + 1, by_neighbours) >= unseen(n, by_neighbours)));
        }
        assert!(unseen(1, true) < unseen(1, false));
        let seen = |signs: Signs| doubt(Way::Soft, &signs, (0, true));
        assert!(seen(Signs::default()) < seen(Signs { strain_ratio: 3.0, ..Signs::default() }));
    }
}
