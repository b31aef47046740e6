//! One trial measured repeatedly, each time with other errors.

use super::errors::{ErrorSds, MeasurementErrors};
use crate::analysis::Motion;
use crate::body::BodyModel;
use crate::comparison::analysed_trial::AnalysedTrial;
use crate::gait::{EventKind, GaitEvent, Stride};
use crate::measures::motion::{SAMPLES, StrideMotion, mirror};
use crate::measures::{Measure, RunConditions, measure_strides, timing};
use crate::space::Side;
use crate::statistics::{Random, mean};
use std::collections::BTreeMap;

/// Chosen: an error that lasts is the same in all strides, so that a few of them show it; six strides from the middle of
/// the clip keep a run short.
const MOST_STRIDES: usize = 6;

/// A trial, ready to be measured repeatedly.
#[derive(Clone, Debug)]
pub struct SimulatedTrial {
    motion: Motion,
    model: BodyModel,
    drawn: Vec<StrideMotion>,
    strides: Vec<Stride>,
    events: Vec<GaitEvent>,
    conditions: RunConditions,
    sds: ErrorSds,
}

impl SimulatedTrial {
    /// The trial with up to [`MOST_STRIDES`] of its strides.
    pub fn new(AnalysedTrial { trial, analysis }: AnalysedTrial<'_>) -> Self {
        let mut motion = Motion::clone(&analysis.motion);
        let spare = motion.near.len().saturating_sub(MOST_STRIDES);
        motion.near.drain(..spare / 2);
        motion.near.truncate(MOST_STRIDES);
        let sds = ErrorSds {
            marker_sd_m: trial.marker_sd_m,
            scale_sd_ratio: trial.scale_sd_ratio,
            vertical_sd_rad: trial.vertical_sd_rad,
            contact_sd_s: 0.0,
            toe_off_sd_s: 0.0,
        };
        Self {
            model: motion.model.clone(),
            drawn: motion.near.clone(),
            strides: analysis.strides.clone(),
            events: analysis.events.clone(),
            conditions: RunConditions {
                surface: trial.surface,
                mass_kg: trial.mass_kg,
                speed_m_s: trial.speed_m_s,
            },
            sds: sds.with_events(&analysis.events),
            motion,
        }
    }

    /// The mean of every measure, measured once with errors drawn at random; empty if a landmark is missing.
    pub fn draw_means(&mut self, random: &mut Random) -> BTreeMap<Measure, f64> {
        let errors = MeasurementErrors::draw(self.sds, random);
        let events: Vec<GaitEvent> = self.events.iter().map(|e| errors.shifted(e)).collect();
        let strides: Vec<Stride> =
            self.strides.iter().map(|s| shifted_stride(s, &self.events, &events)).collect();
        for (segment, own) in self.model.segments.iter_mut().zip(&self.motion.model.segments) {
            segment.inertia_kg_m2 = own.inertia_kg_m2 * errors.scale_ratio().powi(2);
        }
        let mut known = true;
        for (drawn, own) in self.drawn.iter_mut().zip(&self.motion.near) {
            drawn.stride = shifted_stride(&own.stride, &self.events, &events);
            known &= redraw_landmarks(drawn, own, &errors, self.motion.mirrored);
            known &= drawn.samples.iter_mut().all(|m| m.refresh(&self.model).is_ok());
        }
        if !known {
            return BTreeMap::new();
        }
        let RunConditions { surface, speed_m_s, .. } = self.conditions;
        let timing = timing(&strides, &self.drawn, &events, surface, speed_m_s);
        measure_strides(&self.model, &self.drawn, &timing, self.conditions)
            .into_iter()
            .filter_map(|(measure, values)| Some((measure, mean(&values)?)))
            .collect()
    }
}

/// Sets every landmark to its state as this run measures it, and returns whether a mirrored far side is known.
fn redraw_landmarks(
    drawn: &mut StrideMotion,
    own: &StrideMotion,
    errors: &MeasurementErrors,
    mirrored: bool,
) -> bool {
    let start_late_s = drawn.stride.start_s - own.stride.start_s;
    let end_late_s = drawn.stride.end_s - own.stride.end_s;
    let mut all = Vec::with_capacity(SAMPLES);
    for (i, sample) in own.samples.iter().enumerate() {
        let part = i as f64 / (SAMPLES - 1) as f64;
        let late_s = start_late_s + part * (end_late_s - start_late_s);
        let mut landmarks = sample.landmarks.clone();
        for (landmark, state) in landmarks.known_mut() {
            if !mirrored || landmark.side() != Some(Side::Far) {
                errors.apply(landmark, state, late_s);
            }
        }
        all.push(landmarks);
    }
    let known = !mirrored || mirror(&mut all).is_ok();
    for (sample, landmarks) in drawn.samples.iter_mut().zip(all) {
        sample.landmarks = landmarks;
    }
    known
}

/// The stride with its events at their shifted times.
fn shifted_stride(stride: &Stride, events: &[GaitEvent], shifted: &[GaitEvent]) -> Stride {
    let at = |kind: EventKind, time_s: f64| {
        let is_it = |e: &GaitEvent| e.side == stride.side && e.kind == kind && e.time_s == time_s;
        events.iter().position(is_it).and_then(|i| shifted.get(i)).map_or(time_s, |e| e.time_s)
    };
    Stride {
        side: stride.side,
        start_s: at(EventKind::Contact, stride.start_s),
        toe_off_s: at(EventKind::ToeOff, stride.toe_off_s),
        end_s: at(EventKind::Contact, stride.end_s),
    }
}
