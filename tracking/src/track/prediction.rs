//! Where a marker should be in the next frame, and what the frame before says of that.

use super::occluder::Occluder;
use crate::image::{ImagePoint, Region};
use crate::point::{FlowScratch, flow};
use crate::scales::SEARCH_RADIUS_PX;

/// The search reaches so many standard deviations of the prediction.
///
/// Chosen: 99.95 % of what is normal; by trial on the worked clips, no record.
const SEARCH_SIGMAS: f64 = 3.5;
/// Lucas-Kanade there and back again may miss its start by this.
///
/// Chosen: by trial on the worked clips, no record. Truly of pixels: it is the error of a fit of grey levels.
const CLOSURE_PX: f64 = 1.5;
/// A place this near to where the flow leads is the same place.
///
/// Chosen: as the flow's own closure.
const FLOW_AGREEMENT_PX: f64 = 1.5;

/// A marker in the frame before.
pub(super) struct Previous<'a> {
    pub region: &'a Region,
    pub at: ImagePoint,
    /// Frames since it was last seen.
    pub unseen: u32,
    /// The limbs that lie in front of it.
    pub in_front: &'a [Occluder],
}

/// What a marker predicts of a frame.
pub(super) struct Prediction {
    pub at: ImagePoint,
    /// Standard deviation of the predicted place.
    pub sigma_px: f64,
    /// The picture about it.
    pub region: Region,
}

impl Prediction {
    /// How far about the prediction is searched.
    pub fn search_radius_px(&self) -> usize {
        search_radius_px(self.sigma_px)
    }

    /// Distance of a place from the predicted one over its standard deviation.
    pub fn innovation_ratio(&self, at: ImagePoint) -> f64 {
        at.distance_px(self.at) / self.sigma_px
    }
}

/// How far about a prediction of such a deviation is searched.
pub(super) fn search_radius_px(sigma_px: f64) -> usize {
    let (least, most) = SEARCH_RADIUS_PX;
    (SEARCH_SIGMAS * sigma_px).clamp(least, most) as usize
}

/// Where Lucas-Kanade has a marker that was seen in the frame before, if it finds its way back as well.
pub(super) fn flow_both_ways(
    previous: &Previous<'_>,
    prediction: &Prediction,
    half_px: usize,
    scratch: &mut FlowScratch,
) -> Option<ImagePoint> {
    if previous.unseen > 0 {
        return None;
    }
    let before = previous.region.point(previous.at);
    let at = flow(before, prediction.region.point(prediction.at), half_px, scratch)?;
    let back = flow(prediction.region.point(at), before, half_px, scratch)?;
    (back.distance_px(previous.at) < CLOSURE_PX).then_some(at)
}

/// Whether a place is the one that the flow leads to.
pub(super) fn is_at_flow(flowed: Option<ImagePoint>, at: ImagePoint) -> bool {
    flowed.is_some_and(|there| there.distance_px(at) < FLOW_AGREEMENT_PX)
}
