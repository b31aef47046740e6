//! Makes the analysis of what was prepared: motions of the strides, measures, curves, figure, checks, notes.

use super::prepare::Prepared;
use super::{Analysis, Check, LeftOut, Stride, Trial, shapes, words};
use crate::body::BodyModel;
use crate::measures::motion::{Source, StrideMotion};
use crate::measures::{checks, estimate, gather, timing};
use crate::space::Side;
use crate::{Note, measures};
use std::collections::BTreeMap;

/// Everything that is known of the trial.
pub fn assemble(trial: &Trial, mut prepared: Prepared) -> Analysis {
    let model = BodyModel::new(trial.table, trial.marker_set, trial.mass_kg, &prepared.lengths());
    let (near, lost) = motions(&prepared, &model);
    prepared.left_out.extend(lost);
    prepared.strides.retain(|s| s.side == Side::Far || near.iter().any(|m| m.stride == *s));
    let timing =
        timing(&prepared.strides, &near, &prepared.events, (trial.surface, trial.speed_m_s));
    let gathered = gather(&model, &near, &timing, (trial.surface, trial.mass_kg));
    let notes = words::notes(trial, &prepared, &model);
    let measures = gathered
        .into_iter()
        .filter_map(|(measure, values)| {
            let own = words::notes_for(measure, prepared.mirrored);
            Some((measure, estimate(measure, values, trial.spread(), own)?))
        })
        .collect();
    Analysis {
        rate_hz: prepared.grid.rate_hz,
        curves: shapes::curves(&model, &near),
        figure: shapes::figure(&near),
        checks: physical_checks(trial, &prepared, &model, &near, &timing),
        cutoffs_hz: prepared.cutoffs_hz,
        events: prepared.events,
        strides: prepared.strides,
        left_out: prepared.left_out,
        measures,
        notes,
    }
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
