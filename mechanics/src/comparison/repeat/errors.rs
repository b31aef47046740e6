//! The errors of one measurement: how they are drawn, and how they move a landmark.
//!
//! Drawn is what lasts through a trial and so cannot be seen in the spread of its strides: a marker that sits
//! beside its place, the scale, the upright direction, and what is wrong with a kind of event throughout. What
//! is new in each frame or each event differs from stride to stride; it is in their spread already, and to
//! draw it again would count it twice.

use crate::body::Landmark;
use crate::gait::{EventKind, GaitEvent};
use crate::signal::State;
use crate::statistics::{Random, mean};
use nalgebra::{Rotation2, Vector2};

/// Chosen: half of an event's own SD is of its rule and of the runner and so the same in all strides. Over
/// the force plate two runners' constants differ by 1 ms (contact) and 6 ms (toe-off), and events scatter by
/// 2 to 5 ms about them.
const LASTING_EVENT_PART: f64 = 0.5;

/// How uncertain a measurement is in what lasts.
#[derive(Clone, Copy, Debug)]
pub struct Sizes {
    pub marker_sd_m: f64,
    pub scale_sd_ratio: f64,
    pub vertical_sd_rad: f64,
    pub contact_sd_s: f64,
    pub toe_off_sd_s: f64,
}

impl Sizes {
    /// With what these events say of themselves.
    pub fn with_events(self, events: &[GaitEvent]) -> Self {
        let of = |kind: EventKind| {
            let all: Vec<f64> = events.iter().filter(|e| e.kind == kind).map(|e| e.sd_s).collect();
            LASTING_EVENT_PART * mean(&all).unwrap_or(0.0)
        };
        Self { contact_sd_s: of(EventKind::Contact), toe_off_sd_s: of(EventKind::ToeOff), ..self }
    }
}

/// Everything that is wrong in one run.
pub struct Errors {
    off_m: [Vector2<f64>; Landmark::ALL.len()],
    scale_ratio: f64,
    turned: Rotation2<f64>,
    contact_s: f64,
    toe_off_s: f64,
}

impl Errors {
    /// Draws each of them from its normal distribution.
    pub fn draw(sizes: Sizes, random: &mut Random) -> Self {
        Self {
            off_m: std::array::from_fn(|_| {
                Vector2::new(random.normal(), random.normal()) * sizes.marker_sd_m
            }),
            scale_ratio: (1.0 + sizes.scale_sd_ratio * random.normal()).max(0.1),
            turned: Rotation2::new(sizes.vertical_sd_rad * random.normal()),
            contact_s: sizes.contact_sd_s * random.normal(),
            toe_off_s: sizes.toe_off_sd_s * random.normal(),
        }
    }

    /// By how much lengths are wrong.
    pub fn scale_ratio(&self) -> f64 {
        self.scale_ratio
    }

    /// The event where this run finds it.
    pub fn moved(&self, event: &GaitEvent) -> GaitEvent {
        let late_s = match event.kind {
            EventKind::Contact => self.contact_s,
            EventKind::ToeOff => self.toe_off_s,
        };
        GaitEvent { time_s: event.time_s + late_s, ..*event }
    }

    /// The landmark as this run measures it, `late_s` later than thought.
    pub fn apply(&self, landmark: Landmark, state: &mut State, late_s: f64) {
        state.position_m +=
            state.velocity_m_s * late_s + state.acceleration_m_s2 * (0.5 * late_s * late_s);
        state.velocity_m_s += state.acceleration_m_s2 * late_s;
        if let Some(off_m) = self.off_m.get(landmark.index()) {
            state.position_m += off_m;
        }
        for vector in [&mut state.position_m, &mut state.velocity_m_s, &mut state.acceleration_m_s2]
        {
            *vector = self.turned * (*vector * self.scale_ratio);
        }
    }
}
