//! Where a marker is in one frame, and how certain that is.

use crate::image::ImagePoint;

/// How a position came about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum State {
    /// The user put it there.
    Placed,
    /// Seen: the picture agrees with the marker.
    Seen,
    /// Found, but the picture leaves doubt.
    Doubtful,
    /// Not seen: carried on by its own motion and its limbs.
    Coasting,
    /// Gone: the position is the last guess and must not be used.
    Lost,
}

/// A marker in one frame.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sample {
    /// Where.
    pub at: ImagePoint,
    /// How it came about.
    pub state: State,
    /// Probability of being more than 6 px off.
    pub p_wrong: f64,
}

/// Probability of being wrong above which a place that was found is doubtful.
///
/// Chosen: one in a hundred and twenty-five. On rendered clips that nothing was fitted to, 97 % of what was off on skin was
/// then flagged, with 18 % of what was right; all of what was off on stickers, with less than 1 % of what was right.
pub(super) const DOUBTFUL: f64 = 0.008;
