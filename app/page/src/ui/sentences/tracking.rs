//! Tracking: its progress, and the stretches in doubt.

use document::results::doubt::Doubt;

/// No stretch is left to review.
pub const NO_DOUBT: &str = "No stretch is in doubt.";
/// Between two crossings the legs are too close to be swapped.
pub const SWAP_ELSEWHERE: &str =
    "Near and far leg mistaken for each other? Go to a frame in which they are apart.";
/// Under the button that stops.
pub const STOP_KEEPS: &str = "What is done is kept when you stop.";

/// What is missing before the next step; empty if nothing is.
#[must_use]
pub fn missing(has_unplaced: bool, is_tracked: bool) -> &'static str {
    match (has_unplaced, is_tracked) {
        (true, _) => "Some landmarks have no mark yet.",
        (false, false) => "The markers are not followed yet.",
        (false, true) => "",
    }
}

/// On the button that starts tracking.
#[must_use]
pub fn start(is_for_both: bool, is_tracked: bool) -> &'static str {
    match (is_for_both, is_tracked) {
        (true, _) => "Follow the markers in both clips",
        (false, false) => "Follow the markers",
        (false, true) => "Follow all again",
    }
}

/// How far tracking is, with the time left once it is known.
#[must_use]
pub fn progress(clip: &str, done: u32, total: u32, left_s: Option<f64>) -> String {
    match left_s.map(f64::ceil) {
        Some(left_s) => {
            format!("Following in “{clip}”: {done} of {total} frames, about {left_s:.0} s left")
        }
        None => format!("Following in “{clip}”: {done} of {total} frames"),
    }
}

/// On the button that swaps the legs from one frame to another; frames count from zero.
#[must_use]
pub fn swap_legs(first: u32, last: u32) -> String {
    format!("Swap near and far leg, frames {}–{}", first + 1, last + 1)
}

/// How much is in doubt, and how much depends on it.
#[must_use]
pub fn doubts(doubts: &[Doubt]) -> String {
    let slight = doubts.iter().all(Doubt::is_slight);
    match (doubts.len(), slight) {
        (0, _) => "Every marker was seen all the way.".to_owned(),
        (1, true) => "One stretch is in doubt, and under 0.1 J of a stride depends on it. Look at it if you need its angle or heel lift.".to_owned(),
        (n, true) => format!(
            "{n} stretches are in doubt, and under 0.1 J of a stride depends on each. Look at those whose angle or heel lift you need."
        ),
        (1, false) => "One stretch is in doubt. Look at it, and move the mark if it is wrong.".to_owned(),
        (n, false) => format!(
            "{n} stretches are in doubt, the worst first. Look at each, and move the mark if it is wrong."
        ),
    }
}

/// The strip along the time line, for a screen reader.
#[must_use]
pub fn doubt_strip(stretches: usize, keyframes: usize) -> String {
    format!(
        "{stretches} stretches of the clip are in doubt; {keyframes} frames have marks placed by hand"
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use document::results::doubt::DoubtReason;
    use mechanics::analysis::Sensitivity;
    use mechanics::body::Landmark;

    #[test]
    fn the_summary_says_whether_a_result_depends_on_a_doubtful_stretch() {
        let doubt = |at_stake| Doubt {
            landmark: Landmark::NearHip,
            first: 3,
            last: 9,
            worst: 5,
            p_wrong: 0.4,
            reason: DoubtReason::Hidden,
            at_stake,
        };
        let summary = |stakes: &[Option<Sensitivity>]| {
            doubts(&stakes.iter().map(|s| doubt(*s)).collect::<Vec<_>>())
        };
        let (slight, grave) = (Some(Sensitivity::WorkChange(0.049)), Some(Sensitivity::WorkChange(0.05)));
        assert!(summary(&[slight, slight]).contains("under 0.1 J"));
        assert!(summary(&[slight]).contains("under 0.1 J"));
        for stakes in [&[slight, grave][..], &[slight, None], &[slight, Some(Sensitivity::ExcludedStride)]] {
            assert!(summary(stakes).contains("the worst first"), "{}", summary(stakes));
        }
        assert!(!summary(&[None]).contains("0.1 J"));
        assert!(summary(&[]).contains("seen all the way"));
    }
}
