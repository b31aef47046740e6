//! What can be wrong with what the mechanics is given.

use thiserror::Error;

/// Why there is no result: what is wrong, then what to do.
#[derive(Clone, Debug, PartialEq, Error)]
#[non_exhaustive]
pub enum Error {
    /// The mass is missing, zero, negative or not that of a person.
    #[error("the runner's mass is {mass_kg} kg: enter a mass between 15 and 300 kg")]
    Mass {
        /// What was given.
        mass_kg: f64,
    },
    /// The height is not that of a person.
    #[error(
        "the runner's height is {height_m} m: enter a height between 0.8 and 2.5 m, or leave it empty"
    )]
    Height {
        /// What was given.
        height_m: f64,
    },
    /// The speed is negative or no number.
    #[error(
        "the speed is {speed_m_s} m/s: enter the speed forward, between 0 and 15 m/s, or leave it empty"
    )]
    Speed {
        /// What was given.
        speed_m_s: f64,
    },
    /// The cut-off cannot be one.
    #[error("the cut-off is {cutoff_hz} Hz: choose one between 1 and 50 Hz, or automatic")]
    Cutoff {
        /// What was given.
        cutoff_hz: f64,
    },
    /// The marker or scale spread is negative or no number.
    #[error("the measurement's spread is {spread_si}: give 0 if it is not known")]
    Spread {
        /// What was given.
        spread_si: f64,
    },
    /// Too few frames for any movement.
    #[error("there are {frames} frames: film at least two full strides, some two seconds")]
    TooFewFrames {
        /// How many there are.
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
    /// A landmark has another number of frames than the times.
    #[error(
        "{landmark} has {got} positions for {expected} frames: give one position, or none, for each frame"
    )]
    Length {
        /// Which landmark.
        landmark: String,
        /// How many positions it has.
        got: usize,
        /// How many frames there are.
        expected: usize,
    },
    /// A position is infinite or no number.
    #[error("{landmark} in frame {frame} is no place: mark it again")]
    Position {
        /// Which landmark.
        landmark: String,
        /// In which frame.
        frame: usize,
    },
    /// A landmark that the marker set needs is nowhere marked.
    #[error(
        "{landmark} is not marked long enough anywhere: mark and follow it, or choose a smaller marker set"
    )]
    LandmarkMissing {
        /// Which landmark.
        landmark: String,
    },
    /// The two ends of the scale are the same, or its length is none.
    #[error(
        "the scale is {length_px} px for {length_m} m: mark two different points and enter the distance between them, more than 0"
    )]
    Scale {
        /// Distance of the two points in the picture.
        length_px: f64,
        /// Entered length.
        length_m: f64,
    },
    /// The line that says what is upright has no direction, or is far from upright (or level).
    #[error(
        "the {line} line is too short, or leans more than half a right angle: mark it again, end to end"
    )]
    Upright {
        /// Plumb or ground.
        line: &'static str,
        /// How far it is off.
        tilt_rad: f64,
    },
}
