//! The values of all measures of a trial, stride by stride.

use super::energy::{external_work_j, stride_work};
use super::measure::{Measure as M, Measure, PerStride};
use super::motion::StrideMotion;
use super::posture::posture;
use super::swing::{leg_inertia_kg_m2, leg_mass_kg, swing_work};
use super::timing::Timing;
use crate::body::BodyModel;
use crate::space::Surface;

/// What was entered about a run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RunConditions {
    /// Belt or ground.
    pub surface: Surface,
    /// Body mass.
    pub mass_kg: f64,
    /// Speed, if it was entered.
    pub speed_m_s: Option<f64>,
}

/// Computes every measure that the near strides and the timing give.
#[must_use]
pub fn measure_strides(
    model: &BodyModel,
    near: &[StrideMotion],
    timing: &Timing,
    conditions: RunConditions,
) -> PerStride {
    let mut all = PerStride::new();
    let speeds = timing.speed_m_s.iter().map(|s| Some(*s)).chain(std::iter::repeat(None));
    for (stride, speed_m_s) in near.iter().zip(speeds) {
        add_energy(&mut all, model, stride, RunConditions { speed_m_s, ..conditions });
        add_posture(&mut all, model, stride);
        add_swing(&mut all, model, stride);
    }
    let times = [
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
    for (measure, values) in times {
        if !values.is_empty() {
            all.insert(measure, values.clone());
        }
    }
    all
}

fn add(all: &mut PerStride, measure: Measure, value: Option<f64>) {
    all.entry(measure).or_default().extend(value);
}

/// Adds energies and works; the speed is that of the stride.
fn add_energy(
    all: &mut PerStride,
    model: &BodyModel,
    stride: &StrideMotion,
    RunConditions { surface, mass_kg, speed_m_s }: RunConditions,
) {
    let work = stride_work(model, stride);
    let power_w = work.internal_j / stride.stride.time_s();
    let [near_leg, far_leg, near_arm, far_arm, trunk] = work.by_limb_j;
    let always = [
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
    for (measure, value) in always {
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
        let external_j = model.whole_body.then(|| external_work_j(model, stride, belt_m_s));
        add(all, M::ExternalWork, external_j);
    }
}

fn add_posture(all: &mut PerStride, model: &BodyModel, stride: &StrideMotion) {
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

fn add_swing(all: &mut PerStride, model: &BodyModel, stride: &StrideMotion) {
    let inertias = stride.series(|s| leg_inertia_kg_m2(model, s));
    let least = inertias.iter().copied().reduce(f64::min);
    add(all, M::LegInertiaMaximum, inertias.iter().copied().reduce(f64::max));
    add(all, M::LegInertiaMinimum, least);
    add(all, M::EffectiveLengthMinimum, least.map(|i| (i / leg_mass_kg(model)).sqrt()));
    let Some([ankle, knee, hip]) = swing_work(model, stride) else { return };
    add(all, M::AnkleSwingPositiveWork, Some(ankle.positive_j));
    add(all, M::AnkleSwingNegativeWork, Some(ankle.negative_j));
    add(all, M::KneeSwingPositiveWork, Some(knee.positive_j));
    add(all, M::KneeSwingNegativeWork, Some(knee.negative_j));
    // The hip's power needs the trunk's rotation.
    add(all, M::HipSwingPositiveWork, model.whole_body.then_some(hip.positive_j));
    add(all, M::HipSwingNegativeWork, model.whole_body.then_some(hip.negative_j));
}
