//! Times and lengths of gait.

use super::measure::{Measure, PerStride};
use super::motion::{BodyState, StrideMotion};
use crate::gait::{EventKind, EventRule, GaitEvent, Stride};
use crate::landmark::Landmark;
use crate::space::{Side, Surface};
use crate::statistics::mean;

/// Times and lengths of gait, one value per stride or step.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Timing {
    /// Steps per second: two over the stride time. Hz.
    pub cadence_hz: Vec<f64>,
    /// Contact to next contact of the same foot. s.
    pub stride_s: Vec<f64>,
    /// Contact to toe-off. s.
    pub contact_s: Vec<f64>,
    /// Toe-off to next contact of the same foot. s.
    pub swing_s: Vec<f64>,
    /// Toe-off to the other foot's contact; negative if both feet are on the ground. s.
    pub flight_s: Vec<f64>,
    /// Contact time as a fraction of stride time.
    pub duty_factor: Vec<f64>,
    /// Of each near stride. m/s.
    pub speed_m_s: Vec<f64>,
    /// Backward speed of the planted foot, of each near stride on a belt. m/s.
    pub plant_foot_m_s: Vec<f64>,
    /// Speed times stride time. m.
    pub stride_length_m: Vec<f64>,
    /// Contact to the other foot's next contact, if both are marked. s.
    pub step_s: Vec<f64>,
    /// Mean speed times step time. m.
    pub step_length_m: Vec<f64>,
}

/// The timing of a trial: times of all strides used, speeds of the near ones.
///
/// The speed is the one entered; otherwise, on a belt, the backward speed of the planted forefoot; on the ground, the
/// travel of the hip over a stride divided by its time.
#[must_use]
pub fn timing(
    strides: &[Stride],
    near: &[StrideMotion],
    events: &[GaitEvent],
    surface: Surface,
    entered_m_s: Option<f64>,
) -> Timing {
    let mut timing = Timing::default();
    for stride in strides {
        timing.cadence_hz.push(2.0 / stride.time_s());
        timing.stride_s.push(stride.time_s());
        timing.contact_s.push(stride.contact_s());
        timing.swing_s.push(stride.time_s() - stride.contact_s());
        timing.duty_factor.push(stride.contact_s() / stride.time_s());
    }
    // A mirrored far leg has the near leg's flight times.
    timing.flight_s = strides.iter().filter_map(|s| flight_s(s, events)).collect();
    for stride in near {
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
    timing.step_s = strides.iter().filter_map(|s| step_s(s, events)).collect();
    if let Some(speed_m_s) = mean(&timing.speed_m_s) {
        timing.step_length_m = timing.step_s.iter().map(|s| s * speed_m_s).collect();
    }
    timing
}

/// Times and lengths of one leg alone, at the trial's mean speed if it is known.
#[must_use]
pub fn leg_timing(
    side: Side,
    strides: &[Stride],
    events: &[GaitEvent],
    speed_m_s: Option<f64>,
) -> PerStride {
    let of: Vec<&Stride> = strides.iter().filter(|s| s.side == side).collect();
    let each = |f: &dyn Fn(&Stride) -> Option<f64>| -> Vec<f64> {
        of.iter().filter_map(|s| f(s)).collect()
    };
    let times = [
        (Measure::StrideTime, each(&|s| Some(s.time_s()))),
        (Measure::ContactTime, each(&|s| Some(s.contact_s()))),
        (Measure::SwingTime, each(&|s| Some(s.time_s() - s.contact_s()))),
        (Measure::DutyFactor, each(&|s| Some(s.contact_s() / s.time_s()))),
        (Measure::FlightTime, each(&|s| flight_s(s, events))),
        (Measure::StepTime, each(&|s| step_s(s, events))),
        (Measure::StrideLength, each(&|s| Some(s.time_s() * speed_m_s?))),
        (Measure::StepLength, each(&|s| Some(step_s(s, events)? * speed_m_s?))),
    ];
    times.into_iter().filter(|(_, values)| !values.is_empty()).collect()
}

/// From the other foot's contact in the middle of a stride to this foot's next; none if the other foot is mirrored.
fn step_s(stride: &Stride, events: &[GaitEvent]) -> Option<f64> {
    let other = other_contact(stride, events)?;
    (other.rule != EventRule::Mirrored).then_some(stride.end_s - other.time_s)
}

/// The other foot's contact nearest to half a stride after a stride's start.
fn other_contact<'a>(stride: &Stride, events: &'a [GaitEvent]) -> Option<&'a GaitEvent> {
    let middle_s = f64::midpoint(stride.start_s, stride.end_s);
    events
        .iter()
        .filter(|e| e.kind == EventKind::Contact && e.side != stride.side)
        .filter(|e| e.time_s > stride.start_s && e.time_s < stride.end_s)
        .min_by(|a, b| (a.time_s - middle_s).abs().total_cmp(&(b.time_s - middle_s).abs()))
}

/// The toe-off of a stride to the other foot's contact nearest to half a stride after its start.
fn flight_s(stride: &Stride, events: &[GaitEvent]) -> Option<f64> {
    Some(other_contact(stride, events)?.time_s - stride.toe_off_s)
}

/// Median backward speed of the forefoot in the middle half of contact, when it is flat on the belt.
fn plant_foot_m_s(stride: &StrideMotion) -> Option<f64> {
    let contact = stride.samples.get(..=stride.toe_off())?;
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

/// Travel of the mid-hip over a stride divided by its time.
fn travel_m_s(stride: &StrideMotion) -> Option<f64> {
    let x_m = |s: Option<&BodyState>| s.map(|s| s.mid_hip.position_m.x);
    let travel_m = x_m(stride.samples.last())? - x_m(stride.samples.first())?;
    Some(travel_m / stride.stride.time_s())
}
