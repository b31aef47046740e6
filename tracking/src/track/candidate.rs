//! A place where a marker may be in the frame at hand.

use crate::image::Pixel;
use crate::point::Turn;

/// A place a marker may be, with what speaks for it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Candidate {
    /// Where, settled.
    pub at: Pixel,
    /// Correlation with the template that decides in the marker's mode.
    pub correlation: f32,
    /// Contrast there over the contrast of the template.
    pub gain_ratio: f32,
    /// What speaks for it when the rest of the body is left aside; about a correlation.
    pub merit: f32,
    /// How it is turned against the way it was placed; not turned where that is not looked for.
    pub turn: Turn,
    /// Variance of the place each way, drift since a person placed it included.
    pub variance_px2: f64,
}

/// Two places nearer than this are one.
const SAME_PLACE_PX: f64 = 1.5;

/// Adds a candidate unless one as good stands in its place.
pub(super) fn offer(candidates: &mut Vec<Candidate>, new: Candidate) {
    match candidates.iter_mut().find(|c| c.at.distance_px(new.at) < SAME_PLACE_PX) {
        Some(old) if old.merit >= new.merit => {}
        Some(old) => *old = new,
        None => candidates.push(new),
    }
}
