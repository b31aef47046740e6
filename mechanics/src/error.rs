//! Why a trial, a calibration or a cut-off is refused.

use crate::landmark::Landmark;
use crate::limits::{CUTOFF, HEIGHT, LEAST_FRAMES, MASS, SPEED};
use thiserror::Error;

/// Why there is no result. Displayed as a sentence: what is wrong, then what to do.
#[derive(Clone, Debug, PartialEq, Error)]
#[non_exhaustive]
pub enum Error {
    /// The mass is missing or outside [`MASS`].
    #[error("the runner's mass is {mass_kg} kg: enter a mass {MASS}")]
    Mass {
        /// The mass given.
        mass_kg: f64,
    },
    /// The height is outside [`HEIGHT`].
    #[error("the runner's height is {height_m} m: enter a height {HEIGHT}, or leave it empty")]
    Height {
        /// The height given.
        height_m: f64,
    },
    /// The speed is outside [`SPEED`].
    #[error("the speed is {speed_m_s} m/s: enter the forward speed, {SPEED}, or leave it empty")]
    Speed {
        /// The speed given.
        speed_m_s: f64,
    },
    /// The cut-off is outside [`CUTOFF`].
    #[error("the cut-off is {cutoff_hz} Hz: choose one {CUTOFF}, or automatic")]
    Cutoff {
        /// The cut-off given.
        cutoff_hz: f64,
    },
    /// A standard deviation of markers, scale or vertical is negative or not a number.
    #[error("the standard deviation of the measurement is {spread_si}: give 0 if it is unknown")]
    Spread {
        /// The standard deviation given.
        spread_si: f64,
    },
    /// There are fewer than [`LEAST_FRAMES`] frames.
    #[error(
        "there are {frames} frames, fewer than {LEAST_FRAMES}: film at least two full strides, about two seconds"
    )]
    TooFewFrames {
        /// How many frames there are.
        frames: usize,
    },
    /// The times do not increase.
    #[error(
        "frame {frame} is not later than the one before it: the clip's time stamps are broken; re-encode the clip or enter the filmed rate"
    )]
    Times {
        /// The first frame that is not later than the one before.
        frame: usize,
    },
    /// A landmark does not have one position, or none, for each frame.
    #[error(
        "{landmark} has {got} positions for {expected} frames: give one position, or none, for each frame"
    )]
    Length {
        /// The landmark.
        landmark: Landmark,
        /// Number of its positions.
        got: usize,
        /// Number of frames.
        expected: usize,
    },
    /// A coordinate is infinite or not a number.
    #[error("{landmark} in frame {frame} has no valid position: mark it again")]
    Position {
        /// The landmark.
        landmark: Landmark,
        /// The frame.
        frame: usize,
    },
    /// A landmark that the marker set needs is not marked in enough frames in a row.
    #[error(
        "{landmark} is not marked in enough consecutive frames: mark and follow it, or choose a smaller marker set"
    )]
    LandmarkMissing {
        /// The landmark.
        landmark: Landmark,
    },
    /// The two ends of the scale coincide, or its length is not positive.
    #[error(
        "the scale is {length_px} px for {length_m} m: mark two different points and enter the distance between them, more than 0"
    )]
    Scale {
        /// Distance between the two ends in the image.
        length_px: f64,
        /// The length entered.
        length_m: f64,
    },
    /// The line that gives the vertical is too short, or leans too far.
    #[error(
        "the {line} line is too short, or leans more than half a right angle: mark it again, end to end"
    )]
    Upright {
        /// Which line.
        line: UprightLine,
        /// Its angle to the vertical (plumb) or the horizontal (ground) of the image.
        tilt_rad: f64,
    },
}

/// The line in the image from which the vertical is taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum UprightLine {
    /// A line that hangs or stands vertically.
    Plumb,
    /// The ground or the belt, level.
    Ground,
}

impl std::fmt::Display for UprightLine {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            UprightLine::Plumb => "plumb",
            UprightLine::Ground => "ground",
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_landmark_is_named_in_words() {
        let error = Error::LandmarkMissing { landmark: Landmark::NearKnee };
        assert!(error.to_string().starts_with("the near knee is not marked"), "{error}");
    }

    #[test]
    fn a_sentence_states_the_limits_of_the_table() {
        let error = Error::Mass { mass_kg: 3.0 };
        assert_eq!(
            error.to_string(),
            "the runner's mass is 3 kg: enter a mass between 15 and 300 kg"
        );
    }
}
