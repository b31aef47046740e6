//! All values of all measures of a trial, stride by stride.

use super::energy::{external_work_j, stride_work};
use super::motion::StrideMotion;
use super::posture::posture;
use super::swing::{leg_inertia_kg_m2, leg_mass_kg, swing_work};
use super::timing::Timing;
use super::{Measure as M, Measure};
use crate::body::BodyModel;
use crate::space::Surface;
use std::collections::BTreeMap;

/// Values of each measure, one a stride.
pub type Gathered = BTreeMap<Measure, Vec<f64>>;

/// Gathers every measure that the near strides and the timing give.
#[must_use]
pub fn gather(
    model: &BodyModel,
    near: &[StrideMotion],
    timing: &Timing,
    place: (Surface, f64),
) -> Gathered {
    let (surface, mass_kg) = place;
    let mut all = Gathered::new();
    let speeds = timing.speed_m_s.iter().map(|s| Some(*s)).chain(std::iter::repeat(None));
    for (stride, speed_m_s) in near.iter().zip(speeds) {
        add_energy(&mut all, model, stride, (surface, mass_kg, speed_m_s));
        add_posture(&mut all, model, stride);
        add_swing(&mut all, model, stride);
    }
    let timed = [
        (M::Cadence, &timing.cadence_hz),
        (M::StrideTime, &timing.stride_s),
        (M::ContactTime, &timing.contact_s),
        (M::SwingTime, &timing.swing_s),
        (M::FlightTime, &timing.flight_s),
        (M::DutyFactor, &timing.duty_factor),
        (M::Speed, &timing.speed_m_s),
        (M::PlantFootSpeed, &timing.plant_foot_m_s),
        (M::StrideLength, &timing.stride_length_m),
        (M::StepTime, &timing.step_s),
        (M::StepLength, &timing.step_length_m),
    ];
    for (measure, values) in timed {
        if !values.is_empty() {
            all.insert(measure, values.clone());
        }
    }
    all
}

fn add(all: &mut Gathered, measure: Measure, value: Option<f64>) {
    all.entry(measure).or_default().extend(value);
}

fn add_energy(
    all: &mut Gathered,
    model: &BodyModel,
    stride: &StrideMotion,
    place: (Surface, f64, Option<f64>),
) {
    let (surface, mass_kg, speed_m_s) = place;
    let work = stride_work(model, stride);
    let power_w = work.internal_j / stride.stride.time_s();
    let [near_leg, far_leg, near_arm, far_arm, trunk] = work.by_limb_j;
    let fixed = [
        (M::InternalWork, work.internal_j),
        (M::InternalPower, power_w),
        (M::InternalPowerPerMass, power_w / mass_kg),
        (M::InternalWorkNoTransfer, work.no_transfer_j),
        (M::InternalWorkFullTransfer, work.full_transfer_j),
        (M::TranslationalWork, work.translational_j),
        (M::RotationalWork, work.rotational_j),
        (M::ForwardSwingWork, work.forward_swing_j),
        (M::BackwardSwingWork, work.backward_swing_j),
    ];
    for (measure, value) in fixed {
        add(all, measure, Some(value));
    }
    let limbs = [
        (M::NearLegWork, near_leg),
        (M::FarLegWork, far_leg),
        (M::NearArmWork, near_arm),
        (M::FarArmWork, far_arm),
        (M::TrunkWork, trunk),
    ];
    for (measure, value) in limbs {
        add(all, measure, value);
    }
    if let Some(speed_m_s) = speed_m_s.filter(|v| *v > 0.0) {
        add(all, M::InternalWorkPerDistance, Some(power_w / mass_kg / speed_m_s));
        let belt_m_s = if surface == Surface::Belt { speed_m_s } else { 0.0 };
        add(
            all,
            M::ExternalWork,
            model.whole_body.then(|| external_work_j(model, stride, belt_m_s)),
        );
    }
}

fn add_posture(all: &mut Gathered, model: &BodyModel, stride: &StrideMotion) {
    let p = posture(stride, model.whole_body);
    let values = [
        (M::HeelLift, p.heel_lift_m),
        (M::HeelLiftFraction, p.heel_lift_fraction),
        (M::PeakKneeFlexion, p.peak_knee_flexion_rad),
        (M::ThighRange, p.thigh_range_rad),
        (M::ToeClearance, p.toe_clearance_m),
        (M::LandingAheadOfHip, p.landing_ahead_of_hip_m),
        (M::LandingAheadOfCentreOfMass, p.landing_ahead_of_centre_m),
        (M::CentreOfMassRise, p.centre_rise_m),
    ];
    for (measure, value) in values {
        add(all, measure, value);
    }
}

fn add_swing(all: &mut Gathered, model: &BodyModel, stride: &StrideMotion) {
    let inertias = stride.series(|m| leg_inertia_kg_m2(model, m));
    let least = inertias.iter().copied().reduce(f64::min);
    add(all, M::LegInertiaMaximum, inertias.iter().copied().reduce(f64::max));
    add(all, M::LegInertiaMinimum, least);
    add(all, M::EffectiveLengthMinimum, least.map(|i| (i / leg_mass_kg(model)).sqrt()));
    let Some([ankle, knee, hip]) = swing_work(model, stride) else { return };
    add(all, M::AnkleSwingPositiveWork, Some(ankle.positive_j));
    add(all, M::AnkleSwingNegativeWork, Some(ankle.negative_j));
    add(all, M::KneeSwingPositiveWork, Some(knee.positive_j));
    add(all, M::KneeSwingNegativeWork, Some(knee.negative_j));
    // The hip's power needs the trunk's turning.
    add(all, M::HipSwingPositiveWork, model.whole_body.then_some(hip.positive_j));
    add(all, M::HipSwingNegativeWork, model.whole_body.then_some(hip.negative_j));
}
