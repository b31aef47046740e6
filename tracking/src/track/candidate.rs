//! A place where a marker may be in the current frame.

use crate::image::ImagePoint;
use crate::point::Rotation;

/// Two places nearer than this are one.
///
/// Chosen: the error of two fits of one place; by trial on the worked clips, no record.
const SAME_PLACE_PX: f64 = 1.5;

/// A place where a marker may be, with what speaks for it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Candidate {
    /// Where, settled.
    pub at: ImagePoint,
    /// Similarity with what decides in the marker's mode.
    pub similarity: f32,
    /// [`super::cost::image_merit`]: what speaks for it before the other markers are heard.
    pub image_merit: f32,
    /// What only skin and cloth have; `None` of a sticker.
    pub skin: Option<SkinPose>,
}

/// What a place on skin or cloth has besides.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct SkinPose {
    /// How it is rotated against the way it was placed.
    pub rotation: Rotation,
    /// How firmly the picture holds it: one over the variance, as xx, xy, yy.
    pub hold_per_px2: [f64; 3],
    /// Variance of the place each way that drifting since the user placed it has left.
    pub drift_px2: f64,
}

impl Candidate {
    /// A place of a sticker: held by its picture alone.
    pub fn of_sticker(at: ImagePoint, similarity: f32, image_merit: f32) -> Self {
        Self { at, similarity, image_merit, skin: None }
    }

    /// Variance of the place each way that drifting has left; none of a sticker.
    pub fn drift_px2(&self) -> f64 {
        self.skin.map_or(0.0, |skin| skin.drift_px2)
    }
}

/// Adds a candidate unless one as good stands in its place.
pub(super) fn offer(candidates: &mut Vec<Candidate>, new: Candidate) {
    match candidates.iter_mut().find(|c| c.at.distance_px(new.at) < SAME_PLACE_PX) {
        Some(old) if old.image_merit >= new.image_merit => {}
        Some(old) => *old = new,
        None => candidates.push(new),
    }
}
