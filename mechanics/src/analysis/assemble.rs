//! Assembles the analysis from a prepared trial: motion of the strides, measures, curves, figure, checks, notes.

use super::curves::{curves, mean_figure};
use super::notes::{landmark_missing, notes, notes_for};
use super::prepare::PreparedTrial;
use super::result::{Analysis, Motion};
use super::trial::Trial;
use super::uncertainty::uncertainty;
use crate::body::BodyModel;
use crate::gait::{ExcludedStride, Stride};
use crate::measures::checks::{self, Check};
use crate::measures::flight::{flights, mean_fall};
use crate::measures::motion::{MotionSource, StrideMotion};
use crate::measures::{
    Estimate, Measure, PerStride, RunConditions, Spread, Timing, estimate, leg_timing,
    measure_strides, timing,
};
use crate::space::Side;
use crate::statistics::mean;
use std::collections::BTreeMap;
use std::sync::Arc;

/// The analysis of a prepared trial.
pub fn assemble(trial: &Trial, mut prepared: PreparedTrial) -> Analysis {
    let model = model(trial, &prepared);
    let (near, excluded) = motions(&prepared, &model);
    prepared.excluded.extend(excluded);
    prepared.strides.retain(|s| s.side == Side::Far || near.iter().any(|m| m.stride == *s));
    let conditions = RunConditions {
        surface: trial.surface,
        mass_kg: trial.mass_kg,
        speed_m_s: trial.speed_m_s,
    };
    let timing = timing(&prepared.strides, &near, &prepared.events, trial.surface, trial.speed_m_s);
    let per_stride = measure_strides(&model, &near, &timing, conditions);
    let legs = legs(trial, &prepared, mean(&timing.speed_m_s));
    let notes = notes(trial, &prepared, &model);
    // Chosen: the middle stride represents all; their uncertainties are nearly equal.
    let middle = near.get(near.len() / 2);
    let uncertainty = middle.map(|s| uncertainty(&model, s, trial)).unwrap_or_default();
    let spread = Spread { joint_works_j: uncertainty.joint_works_j, ..trial.spread() };
    let measures = estimates(per_stride, &spread, prepared.mirrored);
    Analysis {
        rate_hz: prepared.grid.rate_hz,
        curves: curves(&model, &near, &uncertainty.joint_values),
        figure: mean_figure(&near),
        checks: physical_checks(trial, &prepared, &model, &near, &timing),
        cutoffs_hz: prepared.cutoffs_hz,
        residuals: prepared.residuals,
        events: prepared.events,
        strides: prepared.strides,
        excluded: prepared.excluded,
        legs,
        measures,
        notes,
        motion: Arc::new(Motion { model, near, mirrored: prepared.mirrored }),
    }
}

/// The estimates of all measures that have a value.
fn estimates(
    per_stride: PerStride,
    spread: &Spread,
    is_mirrored: bool,
) -> BTreeMap<Measure, Estimate> {
    let one = |(measure, values): (Measure, Vec<f64>)| {
        let notes = notes_for(measure, is_mirrored);
        Some((measure, estimate(measure, values, spread, notes)?))
    };
    per_stride.into_iter().filter_map(one).collect()
}

fn model(trial: &Trial, prepared: &PreparedTrial) -> BodyModel {
    BodyModel::new(trial.table, trial.marker_set, trial.mass_kg, &prepared.lengths())
}

/// Mean fall of the centre of mass in flight; none with fewer than two strides of the near leg, or with legs alone.
pub fn fall_m_s2(trial: &Trial) -> Option<f64> {
    let prepared = PreparedTrial::new(trial, &BTreeMap::new()).ok()?;
    let model = model(trial, &prepared);
    let (near, _) = motions(&prepared, &model);
    if near.len() < 2 || !model.whole_body {
        return None;
    }
    let flights = flights(&near, prepared.flight_height_m(&model));
    mean_fall(&flights).map(|mean| mean.fall_m_s2)
}

/// Times and lengths of each marked leg alone.
fn legs(
    trial: &Trial,
    prepared: &PreparedTrial,
    speed_m_s: Option<f64>,
) -> BTreeMap<Side, BTreeMap<Measure, Estimate>> {
    let of = |side: Side| {
        let per_stride = leg_timing(side, &prepared.strides, &prepared.events, speed_m_s);
        let estimates = estimates(per_stride, &trial.spread(), prepared.mirrored);
        (!estimates.is_empty()).then_some((side, estimates))
    };
    [Side::Near, Side::Far].into_iter().filter_map(of).collect()
}

/// The motion of the near strides, and the strides in which a landmark is missing.
fn motions(
    prepared: &PreparedTrial,
    model: &BodyModel,
) -> (Vec<StrideMotion>, Vec<ExcludedStride>) {
    let source = MotionSource {
        tracks: &prepared.tracks,
        grid: &prepared.grid,
        model,
        mirrored: prepared.mirrored,
    };
    let (mut complete, mut excluded) = (Vec::new(), Vec::new());
    for stride in prepared.strides.iter().filter(|s| s.side == Side::Near) {
        match StrideMotion::new(source, *stride) {
            Ok(motion) => complete.push(motion),
            Err(landmark) => {
                let Stride { start_s, end_s, .. } = *stride;
                excluded.push(ExcludedStride {
                    start_s,
                    end_s,
                    reason: landmark_missing(landmark),
                });
            }
        }
    }
    (complete, excluded)
}

fn physical_checks(
    trial: &Trial,
    prepared: &PreparedTrial,
    model: &BodyModel,
    near: &[StrideMotion],
    timing: &Timing,
) -> Vec<Check> {
    let mut all: Vec<Check> = Vec::new();
    if model.whole_body {
        let flights = flights(near, prepared.flight_height_m(model));
        all.extend(checks::free_fall(&flights, prepared.grid.rate_hz));
        all.extend(checks::momentum(near));
    }
    all.extend(checks::plant_foot_speed(&timing.plant_foot_m_s, trial.speed_m_s));
    all.extend(checks::segment_lengths(near));
    all
}
