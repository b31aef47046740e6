//! A marker among the others in one frame: where it coasts, and what shows that its place may be off.

use super::candidate::Candidate;
use super::cost::skeleton_penalty;
use super::error_model::Features;
use super::marker::Marker;
use super::prediction::Prediction;
use super::skeleton::{Places, Skeleton, UncertainPlace};
use crate::scales::GAP_FRAMES;

/// How much less the neighbours are relied on with a marker that is not seen than with it seen, as a factor of their variance.
///
/// Chosen: by trial on the worked clips, no record.
const CARRIED_FACTOR: f64 = 2.0;
/// Neighbour residual of a marker that its neighbours do not carry.
///
/// Chosen: as far as is usual.
const NO_RESIDUAL: f64 = 1.0;

/// A marker among the others in one frame.
pub(super) struct Observation<'a> {
    pub skeleton: &'a Skeleton,
    pub index: usize,
    pub marker: &'a Marker,
    /// Where all markers were found.
    pub places: &'a Places,
}

impl Observation<'_> {
    /// Whether its neighbours carry it.
    pub fn is_carried(&self) -> bool {
        self.skeleton.carried(self.index, self.marker.at, self.places).is_some()
    }

    /// Where it coasts, with the variance of that: the mean of its own motion, of where its neighbours or the trunk carry it, and
    /// of where it lies between them, at its limbs' lengths.
    pub fn coasting_place(&self, prediction: &Prediction) -> UncertainPlace {
        let Self { skeleton, index, marker, places } = *self;
        let sigma_px = prediction.sigma_px;
        let own = UncertainPlace { at: prediction.at, spread_px2: sigma_px * sigma_px };
        let by_neighbours = skeleton
            .carried(index, marker.at, places)
            .map(|there| UncertainPlace { spread_px2: CARRIED_FACTOR * there.spread_px2, ..there });
        let carried = by_neighbours.or_else(|| skeleton.carried_by_trunk(index, marker.at, places));
        let moved = carried.map_or(own, |carried| own.mean(carried));
        let spread_px2 = marker.spread_px2 + moved.spread_px2;
        let free = UncertainPlace { at: moved.at, spread_px2 };
        let between = skeleton.interpolated(index, places);
        let predicted = between.map_or(free, |between| free.mean(between));
        let at = skeleton.constrained(index, predicted, places);
        let at = if at.is_finite() { at } else { marker.at };
        UncertainPlace { at, spread_px2: predicted.spread_px2 }
    }

    /// What shows that a place that was found may be off.
    pub fn found_features(&self, found: &Candidate, prediction: &Prediction) -> Features {
        let Self { skeleton, index, marker, places } = *self;
        let penalty = skeleton_penalty(&skeleton.evidence(index, found.at, places));
        let residual = skeleton.rigid_deviation(index, marker.at, found.at, places);
        Features {
            decorrelation_ratio: f64::from((1.0 - found.similarity).max(0.0)),
            body_penalty_ratio: f64::from(penalty),
            innovation_ratio: prediction.innovation_ratio(found.at),
            limb_strain_ratio: skeleton.limb_strain(index, found.at, places),
            drift_px: found.drift_px2().sqrt(),
            gap_ratio: marker.memory.gap_ratio,
            neighbour_residual_ratio: residual.map_or(NO_RESIDUAL, |deviation| deviation.ratio()),
            unknown_motion_ratio: marker.memory.unknown_ratio,
            isolation_ratio: skeleton.isolation_ratio(index, places).unwrap_or(0.0),
            ..Features::default()
        }
    }

    /// What shows that the place of a coasting marker may be off.
    pub fn coasting_features(&self) -> Features {
        let marker = self.marker;
        let isolation = self.skeleton.isolation_ratio(self.index, self.places);
        Features {
            isolation_ratio: isolation.unwrap_or(1.0),
            unseen_ratio: f64::from(marker.unseen) / f64::from(GAP_FRAMES),
            spread_px: marker.spread_px2.sqrt(),
            ..Features::default()
        }
    }
}
