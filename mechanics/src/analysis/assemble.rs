//! Makes the analysis of what was prepared: motions of the strides, measures, curves, figure, checks, notes.

use super::prepare::Prepared;
use super::{Analysis, Check, LeftOut, Motion, Stride, Trial, band, shapes, words};
use crate::body::BodyModel;
use crate::measures::estimate::Spread;
use crate::measures::motion::{Source, StrideMotion};
use crate::measures::{Estimate, Measure, checks, estimate, gather, of_leg, timing};
use crate::space::Side;
use crate::statistics::mean;
use crate::{Note, measures};
use std::collections::BTreeMap;
use std::sync::Arc;

/// Everything that is known of the trial.
pub fn assemble(trial: &Trial, mut prepared: Prepared) -> Analysis {
    let model = model(trial, &prepared);
    let (near, lost) = motions(&prepared, &model);
    prepared.left_out.extend(lost);
    prepared.strides.retain(|s| s.side == Side::Far || near.iter().any(|m| m.stride == *s));
    let timing =
        timing(&prepared.strides, &near, &prepared.events, (trial.surface, trial.speed_m_s));
    let gathered = gather(&model, &near, &timing, (trial.surface, trial.mass_kg));
    let legs = legs(trial, &prepared, mean(&timing.speed_m_s));
    let notes = words::notes(trial, &prepared, &model);
    // One stride, in the middle, tells for all.
    let middle = near.get(near.len() / 2);
    let measured = middle.map(|s| band::measured(&model, s, trial)).unwrap_or_default();
    let spread = Spread { of_works_j: measured.of_works_j, ..trial.spread() };
    let measures = gathered
        .into_iter()
        .filter_map(|(measure, values)| {
            let own = words::notes_for(measure, prepared.mirrored);
            Some((measure, estimate(measure, values, &spread, own)?))
        })
        .collect();
    Analysis {
        rate_hz: prepared.grid.rate_hz,
        curves: shapes::curves(&model, &near, &measured.of_curves),
        figure: shapes::figure(&near),
        checks: physical_checks(trial, &prepared, &model, &near, &timing),
        cutoffs_hz: prepared.cutoffs_hz,
        residuals: prepared.residuals,
        events: prepared.events,
        strides: prepared.strides,
        left_out: prepared.left_out,
        legs,
        measures,
        notes,
        motion: Arc::new(Motion { model, near, mirrored: prepared.mirrored }),
    }
}

fn model(trial: &Trial, prepared: &Prepared) -> BodyModel {
    BodyModel::new(trial.table, trial.marker_set, trial.mass_kg, &prepared.lengths())
}

/// With what the centre of mass falls in flight; none with fewer than two strides of the near leg, or with legs alone.
pub fn fall_m_s2(trial: &Trial) -> Option<f64> {
    let prepared = Prepared::new(trial, &BTreeMap::new()).ok()?;
    let model = model(trial, &prepared);
    let (near, _) = motions(&prepared, &model);
    if near.len() < 2 || !model.whole_body {
        return None;
    }
    let flights = checks::flight_heights(&near, prepared.light_heights(&model));
    checks::mean_fall_m_s2(&flights).map(|(fall, _)| fall)
}

/// Times and lengths of each leg that is marked.
fn legs(
    trial: &Trial,
    prepared: &Prepared,
    speed_m_s: Option<f64>,
) -> BTreeMap<Side, BTreeMap<Measure, Estimate>> {
    let of = |side: Side| {
        let values = of_leg(side, &prepared.strides, &prepared.events, speed_m_s);
        let estimates: BTreeMap<Measure, Estimate> = values
            .into_iter()
            .filter_map(|(m, values)| {
                let own = words::notes_for(m, prepared.mirrored);
                Some((m, estimate(m, values, &trial.spread(), own)?))
            })
            .collect();
        (!estimates.is_empty()).then_some((side, estimates))
    };
    [Side::Near, Side::Far].into_iter().filter_map(of).collect()
}

/// The near strides as moments, and those that are not known throughout.
fn motions(prepared: &Prepared, model: &BodyModel) -> (Vec<StrideMotion>, Vec<LeftOut>) {
    let source = Source {
        tracks: &prepared.tracks,
        grid: &prepared.grid,
        model,
        mirrored: prepared.mirrored,
    };
    let (mut whole, mut lost) = (Vec::new(), Vec::new());
    for stride in prepared.strides.iter().filter(|s| s.side == Side::Near) {
        match StrideMotion::new(source, *stride) {
            Ok(motion) => whole.push(motion),
            Err(landmark) => {
                let Stride { start_s, end_s, .. } = *stride;
                lost.push(LeftOut { start_s, end_s, reason: words::hidden(landmark) });
            }
        }
    }
    (whole, lost)
}

fn physical_checks(
    trial: &Trial,
    prepared: &Prepared,
    model: &BodyModel,
    near: &[StrideMotion],
    timing: &measures::Timing,
) -> Vec<Check> {
    let mut all: Vec<Check> = Vec::new();
    if model.whole_body {
        let flights = checks::flight_heights(near, prepared.light_heights(model));
        all.extend(checks::free_fall(&flights, prepared.grid.rate_hz));
        all.extend(checks::momentum(near));
    }
    all.extend(checks::plant_foot_speed(&timing.plant_foot_m_s, trial.speed_m_s));
    all.extend(checks::segment_lengths(near));
    all
}

/// Notes by key, so that each is said once.
pub fn once(notes: impl IntoIterator<Item = Note>) -> Vec<Note> {
    let by_key: BTreeMap<String, Note> = notes.into_iter().map(|n| (n.key.clone(), n)).collect();
    by_key.into_values().collect()
}
