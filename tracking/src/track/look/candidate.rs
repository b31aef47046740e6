//! A place where a marker may be in the frame at hand.

use crate::image::Pixel;
use crate::point::Turn;

/// A place a marker may be, with what speaks for it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::track) struct Candidate {
    /// Where, settled.
    pub at: Pixel,
    /// Correlation with the template that decides in the marker's mode.
    pub correlation: f32,
    /// What speaks for it when the rest of the body is left aside; about a correlation.
    pub merit: f32,
    /// What only skin and cloth have.
    pub soft: Soft,
}

/// What a place on skin or cloth has beside it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::track) struct Soft {
    /// How it is turned against the way it was placed.
    pub turn: Turn,
    /// How firmly the picture holds it (one over the variance): across xx, xy, yy, in one over squared pixels.
    pub hold_per_px2: [f64; 3],
    /// Variance of the place each way that drifting since a person placed it has left.
    pub drift_px2: f64,
}

impl Candidate {
    /// A place of a sticker: not turned, and held by its picture alone.
    pub fn still(at: Pixel, correlation: f32, merit: f32) -> Self {
        let hold = [f64::INFINITY, 0.0, f64::INFINITY];
        let soft = Soft { turn: Turn::NONE, hold_per_px2: hold, drift_px2: 0.0 };
        Self { at, correlation, merit, soft }
    }

    /// Whether it is of skin or cloth.
    pub fn is_soft(&self) -> bool {
        self.soft.hold_per_px2[0].is_finite()
    }
}

/// Two places nearer than this are one.
const SAME_PLACE_PX: f64 = 1.5;

/// Adds a candidate unless one as good stands in its place.
pub(in crate::track) fn offer(candidates: &mut Vec<Candidate>, new: Candidate) {
    match candidates.iter_mut().find(|c| c.at.distance_px(new.at) < SAME_PLACE_PX) {
        Some(old) if old.merit >= new.merit => {}
        Some(old) => *old = new,
        None => candidates.push(new),
    }
}
