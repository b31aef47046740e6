//! Curves over a stride and the mean figure.

use super::result::{Curve, Figure, Quantity};
use super::uncertainty::{JointValues, joint_values};
use crate::body::BodyModel;
use crate::landmark::Landmark;
use crate::measures::energy::leg_energy_j;
use crate::measures::motion::{BodyState, SAMPLES, StrideMotion};
use crate::measures::posture::{knee_flexion_rad, thigh_angle_rad};
use crate::measures::swing::{leg_inertia_kg_m2, leg_mass_kg};
use crate::space::Point;
use crate::statistics::{mean, sd};
use std::collections::BTreeMap;

/// The curves of these strides; none without a stride.
///
/// `measurement_sd` is the SD that the measurement adds to moments and powers, sample by sample.
pub fn curves(
    model: &BodyModel,
    strides: &[StrideMotion],
    measurement_sd: &[JointValues],
) -> Vec<Curve> {
    let mut all: Vec<Curve> = Vec::new();
    let mut add = |quantity: Quantity, of: &dyn Fn(&StrideMotion) -> Vec<f64>| {
        let all_known = |s: &StrideMotion| of(s).into_iter().map(Some).collect();
        let series: Vec<Vec<Option<f64>>> = strides.iter().map(all_known).collect();
        all.extend(curve(quantity, &series));
    };
    add(Quantity::KneeFlexion, &|s| s.series(|m| knee_flexion_rad(m).unwrap_or(0.0)));
    add(Quantity::ThighAngle, &|s| s.series(|m| thigh_angle_rad(m).unwrap_or(0.0)));
    add(Quantity::HeelHeight, &heel_height_m);
    add(Quantity::LegInertia, &|s| s.series(|m| leg_inertia_kg_m2(model, m)));
    add(Quantity::LegEnergy, &|s| leg_energy_j(model, s));
    let leg_kg = leg_mass_kg(model).max(f64::MIN_POSITIVE);
    add(Quantity::EffectiveLength, &|s| {
        s.series(|m| (leg_inertia_kg_m2(model, m) / leg_kg).sqrt())
    });
    all.extend(joint_curves(model, strides, measurement_sd));
    all
}

/// Moments and powers in swing. Their SD combines that of the strides and that of the measurement.
fn joint_curves(
    model: &BodyModel,
    strides: &[StrideMotion],
    measurement_sd: &[JointValues],
) -> Vec<Curve> {
    use Quantity as Q;
    let swings: Vec<Vec<Option<JointValues>>> =
        strides.iter().map(|s| in_swing(model, s)).collect();
    let of_joint = |(k, quantity): (usize, Quantity)| {
        let at = |values: &JointValues| values.get(k).copied();
        let one = |s: &Vec<Option<JointValues>>| {
            s.iter().map(|values| values.as_ref().and_then(at)).collect()
        };
        let series: Vec<Vec<Option<f64>>> = swings.iter().map(one).collect();
        let mut curve = curve(quantity, &series)?;
        let known = curve.mean_si.iter().zip(&mut curve.sd_si).zip(measurement_sd);
        for ((_, sd_si), measurement_sd) in known.filter(|((mean, _), _)| mean.is_some()) {
            *sd_si = sd_si.hypot(at(measurement_sd).unwrap_or(0.0));
        }
        Some(curve)
    };
    [Q::HipMoment, Q::KneeMoment, Q::AnkleMoment, Q::HipPower, Q::KneePower, Q::AnklePower]
        .into_iter()
        .enumerate()
        // The hip's power needs the trunk.
        .filter(|(_, q)| model.whole_body || *q != Q::HipPower)
        .filter_map(of_joint)
        .collect()
}

fn heel_height_m(stride: &StrideMotion) -> Vec<f64> {
    let heights = stride.series(|s| s.position_m(Landmark::NearHeel).map_or(0.0, |p| p.y));
    let contact = heights.get(..=stride.toe_off()).unwrap_or_default();
    let level = contact.iter().copied().reduce(f64::min).unwrap_or(0.0);
    heights.iter().map(|h| h - level).collect()
}

/// Moments and powers in swing; none while the foot is on the ground, since the ground's force is not known.
fn in_swing(model: &BodyModel, stride: &StrideMotion) -> Vec<Option<JointValues>> {
    let toe_off = stride.toe_off();
    let of = |(i, state): (usize, &BodyState)| {
        (i > toe_off).then(|| joint_values(model, state)).flatten()
    };
    stride.samples.iter().enumerate().map(of).collect()
}

/// The mean curve; none if no sample has a value in every stride.
fn curve(quantity: Quantity, strides: &[Vec<Option<f64>>]) -> Option<Curve> {
    let at = |i: usize| -> Option<Vec<f64>> {
        strides.iter().map(|s| s.get(i).copied().flatten()).collect()
    };
    let mean_si: Vec<_> = (0..SAMPLES).map(|i| at(i).and_then(|v| mean(&v))).collect();
    let sd_si = (0..SAMPLES).map(|i| at(i).and_then(|v| sd(&v)).unwrap_or(0.0)).collect();
    mean_si.iter().any(Option::is_some).then_some(Curve { quantity, mean_si, sd_si })
}

/// The mean figure: each landmark relative to the mid-hip in 101 samples.
pub fn mean_figure(strides: &[StrideMotion]) -> Figure {
    let mut figure = BTreeMap::new();
    for landmark in Landmark::ALL {
        let mean_at = |i: usize| -> Option<Point> {
            let relative: Vec<_> = (strides.iter())
                .map(|stride| {
                    let state = stride.samples.get(i)?;
                    Some(state.position_m(landmark)? - state.mid_hip.position_m)
                })
                .collect::<Option<Vec<_>>>()?;
            let n = relative.len() as f64;
            let sum = relative.iter().fold(nalgebra::Vector2::zeros(), |a, b| a + b);
            (n > 0.0).then(|| Point { x_m: sum.x / n, y_m: sum.y / n })
        };
        if let Some(points) = (0..SAMPLES).map(mean_at).collect::<Option<Vec<_>>>() {
            figure.insert(landmark, points);
        }
    }
    figure
}
