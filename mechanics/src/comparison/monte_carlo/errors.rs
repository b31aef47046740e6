//! The errors of one measurement: how they are drawn, and how they displace a landmark.
//!
//! Only errors that last through a trial are drawn, since the spread of its strides cannot show them: a marker beside
//! its true position, the scale, the vertical, and a constant error of each kind of event. Errors that differ between
//! frames or events differ between strides; they are part of that spread already, and drawing them would count them
//! twice.

use crate::gait::{EventKind, GaitEvent};
use crate::landmark::Landmark;
use crate::signal::State;
use crate::statistics::{Random, mean};
use nalgebra::{Rotation2, Vector2};

/// Part of an event's SD that lasts. Chosen: half of it is due to the rule and the runner, and so the same in all strides.
/// Over the force plate the constants of two runners differ by 1 ms (contact) and 6 ms (toe-off), and events scatter by 2 to
/// 5 ms about them.
const LASTING_EVENT_RATIO: f64 = 0.5;

/// SDs of the errors that last through a trial.
#[derive(Clone, Copy, Debug)]
pub struct ErrorSds {
    pub marker_sd_m: f64,
    pub scale_sd_ratio: f64,
    pub vertical_sd_rad: f64,
    pub contact_sd_s: f64,
    pub toe_off_sd_s: f64,
}

impl ErrorSds {
    /// With the SDs of these events.
    pub fn with_events(self, events: &[GaitEvent]) -> Self {
        let of = |kind: EventKind| {
            let all: Vec<f64> = events.iter().filter(|e| e.kind == kind).map(|e| e.sd_s).collect();
            LASTING_EVENT_RATIO * mean(&all).unwrap_or(0.0)
        };
        Self { contact_sd_s: of(EventKind::Contact), toe_off_sd_s: of(EventKind::ToeOff), ..self }
    }
}

/// The errors of one run.
pub struct MeasurementErrors {
    off_m: [Vector2<f64>; Landmark::ALL.len()],
    scale_ratio: f64,
    rotation: Rotation2<f64>,
    contact_s: f64,
    toe_off_s: f64,
}

impl MeasurementErrors {
    /// Draws each error from its normal distribution.
    pub fn draw(sds: ErrorSds, random: &mut Random) -> Self {
        Self {
            off_m: std::array::from_fn(|_| {
                Vector2::new(random.normal(), random.normal()) * sds.marker_sd_m
            }),
            scale_ratio: (1.0 + sds.scale_sd_ratio * random.normal()).max(0.1),
            rotation: Rotation2::new(sds.vertical_sd_rad * random.normal()),
            contact_s: sds.contact_sd_s * random.normal(),
            toe_off_s: sds.toe_off_sd_s * random.normal(),
        }
    }

    /// Measured over true length.
    pub fn scale_ratio(&self) -> f64 {
        self.scale_ratio
    }

    /// The event at the time at which this run finds it.
    pub fn shifted(&self, event: &GaitEvent) -> GaitEvent {
        let late_s = match event.kind {
            EventKind::Contact => self.contact_s,
            EventKind::ToeOff => self.toe_off_s,
        };
        GaitEvent { time_s: event.time_s + late_s, ..*event }
    }

    /// Changes the state of a landmark to that which this run measures, `late_s` later.
    pub fn apply(&self, landmark: Landmark, state: &mut State, late_s: f64) {
        state.position_m +=
            state.velocity_m_s * late_s + state.acceleration_m_s2 * (0.5 * late_s * late_s);
        state.velocity_m_s += state.acceleration_m_s2 * late_s;
        if let Some(off_m) = self.off_m.get(landmark.index()) {
            state.position_m += off_m;
        }
        for vector in [&mut state.position_m, &mut state.velocity_m_s, &mut state.acceleration_m_s2]
        {
            *vector = self.rotation * (*vector * self.scale_ratio);
        }
    }
}
