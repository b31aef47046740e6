//! One trial measured again and again, each time with other errors.

use super::errors::{Errors, Sizes};
use crate::analysis::{Motion, Surface};
use crate::body::BodyModel;
use crate::comparison::Side;
use crate::gait::{EventKind, GaitEvent, Stride};
use crate::measures::motion::{MOMENTS, StrideMotion, mirror};
use crate::measures::{Measure, gather, timing};
use crate::space;
use crate::statistics::{Random, mean};
use std::collections::BTreeMap;

/// Chosen: what lasts through a trial is the same in all its strides, so that a few of them show it; six
/// strides (of the clip's middle) keep a run short.
const MOST_STRIDES: usize = 6;

/// A trial, ready to be measured again.
#[derive(Clone, Debug)]
pub struct Repeated {
    motion: Motion,
    model: BodyModel,
    drawn: Vec<StrideMotion>,
    strides: Vec<Stride>,
    events: Vec<GaitEvent>,
    place: (Surface, Option<f64>, f64),
    sizes: Sizes,
}

impl Repeated {
    pub fn new(side: Side<'_>) -> Self {
        let Side { trial, analysis } = side;
        let mut motion = Motion::clone(&analysis.motion);
        let spare = motion.near.len().saturating_sub(MOST_STRIDES);
        motion.near.drain(..spare / 2);
        motion.near.truncate(MOST_STRIDES);
        let sizes = Sizes {
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
            place: (trial.surface, trial.speed_m_s, trial.mass_kg),
            sizes: sizes.with_events(&analysis.events),
            motion,
        }
    }

    /// The mean of every measure, measured once more.
    pub fn once(&mut self, random: &mut Random) -> BTreeMap<Measure, f64> {
        let errors = Errors::draw(self.sizes, random);
        let events: Vec<GaitEvent> = self.events.iter().map(|e| errors.moved(e)).collect();
        let strides: Vec<Stride> =
            self.strides.iter().map(|s| between(s, &self.events, &events)).collect();
        for (segment, own) in self.model.segments.iter_mut().zip(&self.motion.model.segments) {
            segment.inertia_kg_m2 = own.inertia_kg_m2 * errors.scale_ratio().powi(2);
        }
        let mut known = true;
        for (drawn, own) in self.drawn.iter_mut().zip(&self.motion.near) {
            drawn.stride = between(&own.stride, &self.events, &events);
            let late = Late {
                start_s: drawn.stride.start_s - own.stride.start_s,
                end_s: drawn.stride.end_s - own.stride.end_s,
            };
            known &= redraw(drawn, own, (&errors, late), self.motion.mirrored);
            known &= drawn.moments.iter_mut().all(|m| m.refresh(&self.model).is_ok());
        }
        if !known {
            return BTreeMap::new();
        }
        let (surface, speed_m_s, mass_kg) = self.place;
        let timing = timing(&strides, &self.drawn, &events, (surface, speed_m_s));
        gather(&self.model, &self.drawn, &timing, (surface, mass_kg))
            .into_iter()
            .filter_map(|(measure, values)| Some((measure, mean(&values)?)))
            .collect()
    }
}

/// How much later a stride begins and ends than was thought.
#[derive(Clone, Copy)]
struct Late {
    start_s: f64,
    end_s: f64,
}

/// Puts every landmark where this run measures it.
fn redraw(
    drawn: &mut StrideMotion,
    own: &StrideMotion,
    (errors, late): (&Errors, Late),
    mirrored: bool,
) -> bool {
    let far = Some(space::Side::Far);
    let mut all = Vec::with_capacity(MOMENTS);
    for (i, moment) in own.moments.iter().enumerate() {
        let part = i as f64 / (MOMENTS - 1) as f64;
        let late_s = late.start_s + part * (late.end_s - late.start_s);
        let mut places = moment.landmarks.clone();
        for (landmark, state) in places.known_mut() {
            if !mirrored || landmark.side() != far {
                errors.apply(landmark, state, late_s);
            }
        }
        all.push(places);
    }
    let known = !mirrored || mirror(&mut all).is_ok();
    for (moment, places) in drawn.moments.iter_mut().zip(all) {
        moment.landmarks = places;
    }
    known
}

/// The stride between the events that it lies between, where these are now.
fn between(stride: &Stride, events: &[GaitEvent], now: &[GaitEvent]) -> Stride {
    let at = |kind: EventKind, time_s: f64| {
        let is_it = |e: &GaitEvent| e.side == stride.side && e.kind == kind && e.time_s == time_s;
        events.iter().position(is_it).and_then(|i| now.get(i)).map_or(time_s, |e| e.time_s)
    };
    Stride {
        side: stride.side,
        start_s: at(EventKind::Contact, stride.start_s),
        toe_off_s: at(EventKind::ToeOff, stride.toe_off_s),
        end_s: at(EventKind::Contact, stride.end_s),
    }
}
