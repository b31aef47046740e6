//! Times and lengths of gait.

use super::motion::StrideMotion;
use crate::body::Landmark;
use crate::gait::{EventKind, GaitEvent, Stride};
use crate::space::{Side, Surface};

/// Times and lengths of gait, one value a stride or a step.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Timing {
    /// Steps a second: two over the stride time. Hz.
    pub cadence_hz: Vec<f64>,
    /// s.
    pub stride_s: Vec<f64>,
    /// s.
    pub contact_s: Vec<f64>,
    /// s.
    pub swing_s: Vec<f64>,
    /// Toe-off to the other foot's contact; negative where both feet are on the ground. s.
    pub flight_s: Vec<f64>,
    /// Contact by stride time.
    pub duty_factor: Vec<f64>,
    /// Of each near stride. m/s.
    pub speed_m_s: Vec<f64>,
    /// Backward speed of the planted foot, of each near stride on a belt. m/s.
    pub plant_foot_m_s: Vec<f64>,
    /// Speed times stride time. m.
    pub stride_length_m: Vec<f64>,
}

/// The timing of a trial: times of all strides used, speeds of the near ones.
///
/// Speed is the entered one; else on a belt the planted forefoot's backward speed, on the ground the
/// hip's travel over the stride by its time.
#[must_use]
pub fn timing(
    strides: &[Stride],
    near: &[StrideMotion],
    events: &[GaitEvent],
    place: (Surface, Option<f64>),
) -> Timing {
    let (surface, entered_m_s) = place;
    let mut timing = Timing::default();
    for stride in strides {
        timing.cadence_hz.push(2.0 / stride.time_s());
        timing.stride_s.push(stride.time_s());
        timing.contact_s.push(stride.contact_s());
        timing.swing_s.push(stride.time_s() - stride.contact_s());
        timing.duty_factor.push(stride.contact_s() / stride.time_s());
    }
    for stride in near {
        timing.flight_s.extend(flight_s(&stride.stride, events));
        let plant = (surface == Surface::Belt).then(|| plant_foot_m_s(stride)).flatten();
        timing.plant_foot_m_s.extend(plant);
        let measured = match surface {
            Surface::Belt => plant,
            Surface::Ground => travel_m_s(stride),
        };
        if let Some(speed_m_s) = entered_m_s.or(measured) {
            timing.speed_m_s.push(speed_m_s);
            timing.stride_length_m.push(speed_m_s * stride.stride.time_s());
        }
    }
    timing
}

/// The toe-off of a near stride to the far foot's contact nearest to half a stride after its start.
fn flight_s(stride: &Stride, events: &[GaitEvent]) -> Option<f64> {
    let middle_s = f64::midpoint(stride.start_s, stride.end_s);
    events
        .iter()
        .filter(|e| e.kind == EventKind::Contact && e.side == Side::Far)
        .map(|e| e.time_s)
        .filter(|t| *t > stride.start_s && *t < stride.end_s)
        .min_by(|a, b| (a - middle_s).abs().total_cmp(&(b - middle_s).abs()))
        .map(|t| t - stride.toe_off_s)
}

/// Median backward speed of the forefoot in the middle half of contact, when it is flat on the belt.
fn plant_foot_m_s(stride: &StrideMotion) -> Option<f64> {
    let contact = stride.moments.get(..=stride.toe_off())?;
    let quarter = contact.len() / 4;
    let flat = contact.get(quarter..contact.len() - quarter)?;
    let mut speeds: Vec<f64> = flat
        .iter()
        .filter_map(|m| m.landmarks.get(Landmark::NearToe))
        .map(|s| -s.velocity_m_s.x)
        .collect();
    speeds.sort_by(f64::total_cmp);
    speeds.get(speeds.len() / 2).copied()
}

fn travel_m_s(stride: &StrideMotion) -> Option<f64> {
    let x = |m: Option<&super::motion::Moment>| m.map(|m| m.mid_hip.position_m.x);
    let travel_m = x(stride.moments.last())? - x(stride.moments.first())?;
    Some(travel_m / stride.stride.time_s())
}
