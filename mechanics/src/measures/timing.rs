//! Times and lengths of gait.

use super::motion::StrideMotion;
use super::{Gathered, Measure};
use crate::body::Landmark;
use crate::gait::{EventKind, EventRule, GaitEvent, Stride};
use crate::space::{Side, Surface};
use crate::statistics::mean;

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
    /// Contact to the other foot's next contact, where both are seen. s.
    pub step_s: Vec<f64>,
    /// Mean speed times step time. m.
    pub step_length_m: Vec<f64>,
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
    // The mirrored leg flies as the near one does.
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

/// Times and lengths of one leg alone, at the trial's mean speed where there is one.
#[must_use]
pub fn of_leg(
    side: Side,
    strides: &[Stride],
    events: &[GaitEvent],
    speed_m_s: Option<f64>,
) -> Gathered {
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

/// From the other foot's contact in the middle of a stride to this foot's next; not where the other is mirrored.
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
