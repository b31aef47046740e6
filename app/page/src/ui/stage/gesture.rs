//! A gesture on the picture.

use jobs::Glance;
use mechanics::space::Pixel;

/// One moment of a gesture by finger, pen or mouse.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gesture {
    /// Its phase.
    pub phase: Phase,
    /// The position, in picture pixels.
    pub at: Pixel,
    /// The frame on the screen.
    pub frame: u32,
    /// The reach of a finger, in picture pixels: 22 px of the screen.
    pub reach_px: f64,
    /// The inspected patch around the position, in picture pixels; only when the pointer is lifted.
    pub glance: Option<Glance>,
}

/// The phase of a gesture.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Phase {
    /// The pointer went down.
    Press,
    /// It moved while down.
    Move,
    /// It was lifted.
    Release,
    /// The system ended the gesture.
    Cancel,
}
