//! The choices of a clip for measuring that are not drawn from its seed.

use crate::film::Handling;

/// Camera and course of a clip for measuring.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Variety {
    /// How the camera is held.
    pub handling: Handling,
    /// Whether the runner crosses the hall instead of running on the belt.
    pub crossing: bool,
}

impl Variety {
    /// Default length of the clip.
    ///
    /// Chosen: 3 s, and 1.5 s for a runner who crosses the view of a camera that does not pan, which is how
    /// long he is in it.
    #[must_use]
    pub fn length_s(&self) -> f64 {
        if self.crossing && self.handling != Handling::Panned { 1.5 } else { 3.0 }
    }
}
