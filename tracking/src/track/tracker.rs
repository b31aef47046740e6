//! Follows a set of markers one frame at a time, in either direction of time.

use super::appearance::AppearanceScratch;
use super::candidate::Candidate;
use super::error_model::{Features, Provenance, Verdict, judge};
use super::gating::{Coast, mistrust};
use super::limb::Limb;
use super::marker::Marker;
use super::mode::Mode;
use super::observation::Observation;
use super::prediction::Prediction;
use super::sample::{Sample, State};
use super::skeleton::{Offers, Places, Skeleton};
use crate::error::Error;
use crate::image::{GreyFrame, ImagePoint};

/// A marker as a pass begins.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MarkerStart {
    /// Where it is in the first frame of the pass; no number (`NaN`) if it is not there yet.
    pub at: ImagePoint,
    /// What it is.
    pub mode: Mode,
}

/// The state of one pass over the frames.
#[derive(Debug)]
pub struct Tracker {
    pub(super) size_px: (usize, usize),
    pub(super) markers: Vec<Slot>,
    pub(super) skeleton: Skeleton,
    scratch: AppearanceScratch,
}

/// A marker of a pass.
#[derive(Debug)]
pub(super) struct Slot {
    pub at: ImagePoint,
    pub mode: Mode,
    /// `None` if its picture determines no place: such a marker is lost until it is placed again.
    pub marker: Option<Marker>,
    /// The features of the last frame.
    features: Option<Features>,
    /// Where the user placed it last in this pass.
    pub placed: Option<Placement>,
}

/// A place that the user gave.
#[derive(Clone, Copy, Debug)]
pub(super) struct Placement {
    pub at: ImagePoint,
    /// How many frames ago.
    pub frames_ago: u32,
}

impl Slot {
    /// The centre of what is followed.
    fn centre(&self) -> ImagePoint {
        self.marker.as_ref().map_or(self.at, |m| m.at)
    }
}

/// Whether a place is inside a picture, edges of pixels included.
pub(super) fn is_inside(at: ImagePoint, (width_px, height_px): (usize, usize)) -> bool {
    // Exact: pixel centres are at integers, so that a pixel's edge is a half beyond.
    let within = |v: f64, size: usize| v >= -0.5 && v <= size as f64 - 0.5;
    within(at.x_px, width_px) && within(at.y_px, height_px)
}

/// A marker in one frame, and how little its neighbours rely on that.
struct Settled {
    sample: Sample,
    mistrust: f64,
}

impl Tracker {
    /// Begins a pass at `frame` with the markers where they were placed.
    ///
    /// A place that is no number is that of a marker that is not there yet: it is lost until it is placed.
    ///
    /// # Errors
    /// If a marker lies outside the picture or a limb names a marker that does not exist.
    #[inline(never)]
    pub fn new(
        frame: GreyFrame<'_>,
        markers: &[MarkerStart],
        limbs: &[Limb],
    ) -> Result<Self, Error> {
        let size_px = (frame.width_px(), frame.height_px());
        if let Some(limb) = limbs.iter().find(|l| l.from.max(l.to) >= markers.len()) {
            return Err(Error::NoSuchMarker {
                marker: limb.from.max(limb.to),
                have: markers.len(),
            });
        }
        let outside = |at: ImagePoint| at.is_finite() && !is_inside(at, size_px);
        if let Some(marker) = markers.iter().position(|m| outside(m.at)) {
            return Err(Error::Outside { marker });
        }
        let places: Vec<Option<ImagePoint>> =
            markers.iter().map(|m| is_inside(m.at, size_px).then_some(m.at)).collect();
        let skeleton = Skeleton::new(limbs, places.clone());
        let slot = |(index, m): (usize, &MarkerStart)| {
            let inside = is_inside(m.at, size_px);
            let in_front = skeleton.in_front(index, &places);
            let marker = if inside { Marker::place(frame, m.at, m.mode, in_front) } else { None };
            Slot { at: m.at, mode: m.mode, marker, features: None, placed: None }
        };
        Ok(Self {
            size_px,
            markers: markers.iter().enumerate().map(slot).collect(),
            skeleton,
            scratch: AppearanceScratch::default(),
        })
    }

    /// Takes the next frame of the pass; one sample a marker, in the order given.
    ///
    /// The steps are those of [`super::cost`].
    ///
    /// # Errors
    /// If the frame is of another size than the first.
    #[inline(never)]
    pub fn step(&mut self, frame: GreyFrame<'_>) -> Result<Vec<Sample>, Error> {
        let size_px = (frame.width_px(), frame.height_px());
        if size_px != self.size_px {
            return Err(Error::Size { first: self.size_px, now: size_px });
        }
        let predictions: Vec<Option<Prediction>> =
            self.markers.iter().map(|s| s.marker.as_ref().map(|m| m.predict(frame))).collect();
        self.order_occlusion(&predictions);
        let candidates = self.propose(frame, &predictions);
        let previous: Vec<ImagePoint> = self.markers.iter().map(Slot::centre).collect();
        let offers = Offers { candidates: &candidates, previous: &previous };
        let mut chosen = self.skeleton.assign(offers);
        self.skeleton.relax(&mut chosen);
        // Outside the picture there are only its repeated edges, and nothing is seen in them.
        for choice in &mut chosen {
            *choice = choice.filter(|c| is_inside(c.at, size_px));
        }
        let places: Vec<Option<ImagePoint>> = chosen.iter().map(|c| c.map(|c| c.at)).collect();
        let mut samples = Vec::with_capacity(predictions.len());
        let mut mistrusts = Vec::with_capacity(predictions.len());
        for (index, (prediction, choice)) in predictions.into_iter().zip(chosen).enumerate() {
            let settled = self.settle(index, prediction, choice, &places);
            samples.push(settled.sample);
            mistrusts.push(settled.mistrust);
        }
        self.skeleton.learn(places, mistrusts);
        Ok(samples)
    }

    /// Finds the limbs that will lie in front of each marker.
    fn order_occlusion(&mut self, predictions: &[Option<Prediction>]) {
        let places: Vec<Option<ImagePoint>> =
            predictions.iter().map(|p| p.as_ref().map(|p| p.at)).collect();
        for (index, slot) in self.markers.iter_mut().enumerate() {
            if let Some(marker) = &mut slot.marker {
                marker.in_front = self.skeleton.in_front(index, &places);
            }
        }
    }

    /// By marker, the places where it may be.
    fn propose(
        &mut self,
        frame: GreyFrame<'_>,
        predictions: &[Option<Prediction>],
    ) -> Vec<Vec<Candidate>> {
        let scratch = &mut self.scratch;
        self.markers
            .iter()
            .zip(predictions)
            .map(|(slot, prediction)| match (&slot.marker, prediction) {
                (Some(marker), Some(prediction)) => marker.candidates(frame, prediction, scratch),
                _ => Vec::new(),
            })
            .collect()
    }

    /// Takes what was assigned to a marker.
    fn settle(
        &mut self,
        index: usize,
        prediction: Option<Prediction>,
        choice: Option<Candidate>,
        places: &Places,
    ) -> Settled {
        let slot = &mut self.markers[index];
        slot.features = None;
        if let Some(placed) = &mut slot.placed {
            placed.frames_ago += 1;
        }
        let (Some(marker), Some(prediction)) = (slot.marker.as_mut(), prediction) else {
            let sample = Sample { at: slot.at, state: State::Lost, p_wrong: 1.0 };
            return Settled { sample, mistrust: 1.0 };
        };
        let skeleton = &self.skeleton;
        let is_carried = Observation { skeleton, index, marker, places }.is_carried();
        let (at, provenance, features) = match choice {
            Some(found) => {
                let seen = Observation { skeleton, index, marker, places };
                let features = seen.found_features(&found, &prediction);
                marker.take(&found, prediction.region, &mut self.scratch);
                let provenance =
                    if found.skin.is_some() { Provenance::Skin } else { Provenance::Sticker };
                (found.at, provenance, features)
            }
            None => {
                let before = Observation { skeleton, index, marker, places };
                let there = before.coasting_place(&prediction);
                marker.coast(there.at, there.spread_px2);
                let after = Observation { skeleton, index, marker, places };
                (there.at, Provenance::Unseen, after.coasting_features())
            }
        };
        let Verdict { state, p_wrong } = judge(provenance, &features, marker.unseen);
        slot.features = Some(features);
        slot.at = marker.shown(at);
        let coast = Coast { unseen: marker.unseen, is_carried };
        Settled {
            sample: Sample { at: slot.at, state, p_wrong },
            mistrust: mistrust(provenance, &features, coast),
        }
    }

    /// Whether a marker is followed in colour, so that the frames to come need it; a frame in which a sticker is placed needs
    /// it in any case.
    #[must_use]
    pub fn needs_colour(&self) -> bool {
        self.markers.iter().filter_map(|slot| slot.marker.as_ref()).any(Marker::needs_colour)
    }

    /// The features of a marker in the last frame, for the program that fits the error model.
    #[must_use]
    pub fn features(&self, marker: usize) -> Option<Features> {
        self.markers.get(marker)?.features
    }
}
