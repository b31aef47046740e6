//! Follows a set of markers one frame at a time, in either direction of time.

use super::sample::{Pixel, Sample};
use crate::Error;
use crate::image::GreyFrame;

/// What a marker is: decides how it is followed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mode {
    /// A sticker of its own contrast: the placed template decides.
    Sticker,
    /// Skin or cloth: continuity decides, templates are renewed.
    Skin,
}

/// A marker as a pass begins.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MarkerStart {
    /// Where it is in the first frame of the pass.
    pub at: Pixel,
    /// What it is.
    pub mode: Mode,
}

/// Two markers (by index) at the ends of one segment of the body, whose distance hardly changes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Limb {
    /// One end.
    pub from: usize,
    /// The other end.
    pub to: usize,
}

/// The state of one pass over the frames.
#[derive(Debug)]
pub struct Follower {}

impl Follower {
    /// Begins a pass at `frame` with the markers where they were placed.
    ///
    /// # Errors
    /// When a marker lies outside the picture or a limb names a marker that is not there.
    pub fn new(
        frame: GreyFrame<'_>,
        markers: &[MarkerStart],
        limbs: &[Limb],
    ) -> Result<Self, Error> {
        let _ = (frame, markers, limbs);
        Ok(Self {})
    }

    /// Takes the next frame of the pass; one sample a marker, in the order given.
    ///
    /// # Errors
    /// When the frame is of another size than the first.
    pub fn step(&mut self, frame: GreyFrame<'_>) -> Result<Vec<Sample>, Error> {
        let _ = frame;
        Ok(Vec::new())
    }

    /// Tells the pass that a person placed this marker in the frame just taken: an anchor to go on from.
    pub fn anchor(&mut self, frame: GreyFrame<'_>, marker: usize, at: Pixel) {
        let _ = (frame, marker, at);
    }
}

/// Makes one track of a forward and a backward pass over the same frames between two anchors.
///
/// Both are in order of time and of the same length; the first and last sample are the anchors.
#[must_use]
pub fn blend(forward: &[Sample], backward: &[Sample]) -> Vec<Sample> {
    let _ = backward;
    forward.to_vec()
}

/// Proposes the mode of a marker from the patch about it.
#[must_use]
pub fn propose_mode(frame: GreyFrame<'_>, at: Pixel) -> Mode {
    let _ = (frame, at);
    Mode::Sticker
}
