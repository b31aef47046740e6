//! Where a marker is in one frame, and how sure that is.

use crate::image::Pixel;

/// How a position came about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum State {
    /// A person put it there.
    Placed,
    /// Seen: the picture agrees with the marker.
    Seen,
    /// Found, but the picture leaves doubt.
    Doubtful,
    /// Not seen: carried on by its own motion and its limb.
    Coasting,
    /// Gone: the position is the last guess and must not be used.
    Lost,
}

/// A marker in one frame.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sample {
    /// Where.
    pub at: Pixel,
    /// How it came about.
    pub state: State,
    /// Probability of being more than 6 px off.
    pub p_wrong: f64,
}

/// Above this probability of being wrong a place that was found is doubtful: skin or cloth, and a sticker.
///
/// Chosen: one in two hundred; of what is off on rendered skin that nothing was fitted to nineteen of twenty are then
/// flagged, and a sixth of what is right. On stickers one in sixty-six flags all that is off, and one in forty of what
/// is right.
pub(super) const DOUBT: f64 = 0.005;
pub(super) const DOUBT_STICKER: f64 = 0.015;
