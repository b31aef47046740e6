//! Curves over a stride and the mean figure.

use super::band::{Six, six};
use super::{Curve, Figure, Quantity};
use crate::body::{BodyModel, Landmark};
use crate::measures::energy::leg_energy_j;
use crate::measures::motion::{MOMENTS, Moment, StrideMotion};
use crate::measures::posture::{knee_flexion_rad, thigh_angle_rad};
use crate::measures::swing::{leg_inertia_kg_m2, leg_mass_kg};
use crate::space::Point;
use crate::statistics::{mean, sd};
use std::collections::BTreeMap;

/// The curves that these strides give; none without a stride.
///
/// `measured` is what the measurement adds to the SD of moments and powers.
pub fn curves(model: &BodyModel, strides: &[StrideMotion], measured: &[Six]) -> Vec<Curve> {
    let mut all: Vec<Curve> = Vec::new();
    let mut add = |quantity: Quantity, of: &dyn Fn(&StrideMotion) -> Vec<f64>| {
        let whole = |s: &StrideMotion| of(s).into_iter().map(Some).collect();
        let series: Vec<Vec<Option<f64>>> = strides.iter().map(whole).collect();
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
    all.extend(joints(model, strides, measured));
    all
}

/// Moments and powers in swing. Their SD is that of the strides with what the measurement adds.
fn joints(model: &BodyModel, strides: &[StrideMotion], measured: &[Six]) -> Vec<Curve> {
    use Quantity as Q;
    let swings: Vec<Vec<Option<Six>>> = strides.iter().map(|s| in_swing(model, s)).collect();
    let of_joint = |(k, quantity): (usize, Quantity)| {
        let at = |six: &Six| six.get(k).copied();
        let one = |s: &Vec<Option<Six>>| s.iter().map(|six| six.as_ref().and_then(at)).collect();
        let series: Vec<Vec<Option<f64>>> = swings.iter().map(one).collect();
        let mut curve = curve(quantity, &series)?;
        let known = curve.mean_si.iter().zip(&mut curve.sd_si).zip(measured);
        for ((_, sd_si), measured) in known.filter(|((mean, _), _)| mean.is_some()) {
            *sd_si = sd_si.hypot(at(measured).unwrap_or(0.0));
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
    let heights = stride.series(|m| m.place(Landmark::NearHeel).map_or(0.0, |p| p.y));
    let contact = heights.get(..=stride.toe_off()).unwrap_or_default();
    let level = contact.iter().copied().reduce(f64::min).unwrap_or(0.0);
    heights.iter().map(|h| h - level).collect()
}

/// Moments and powers of the swing; none while the foot is on the ground, whose push is not known.
fn in_swing(model: &BodyModel, stride: &StrideMotion) -> Vec<Option<Six>> {
    let toe_off = stride.toe_off();
    let of = |(i, moment): (usize, &Moment)| (i > toe_off).then(|| six(model, moment)).flatten();
    stride.moments.iter().enumerate().map(of).collect()
}

/// None where no moment of the stride has a value in every stride.
fn curve(quantity: Quantity, strides: &[Vec<Option<f64>>]) -> Option<Curve> {
    let at = |i: usize| -> Option<Vec<f64>> {
        strides.iter().map(|s| s.get(i).copied().flatten()).collect()
    };
    let mean_si: Vec<_> = (0..MOMENTS).map(|i| at(i).and_then(|v| mean(&v))).collect();
    let sd_si = (0..MOMENTS).map(|i| at(i).and_then(|v| sd(&v)).unwrap_or(0.0)).collect();
    mean_si.iter().any(Option::is_some).then_some(Curve { quantity, mean_si, sd_si })
}

/// The mean figure: each landmark relative to the mid-hip at 101 phases.
pub fn figure(strides: &[StrideMotion]) -> Figure {
    let mut figure = BTreeMap::new();
    for landmark in Landmark::ALL {
        let mean_at = |i: usize| -> Option<Point> {
            let places: Vec<_> = (strides.iter())
                .map(|s| {
                    s.moments.get(i).and_then(|m| Some(m.place(landmark)? - m.mid_hip.position_m))
                })
                .collect::<Option<Vec<_>>>()?;
            let n = places.len() as f64;
            let sum = places.iter().fold(nalgebra::Vector2::zeros(), |a, b| a + b);
            (n > 0.0).then(|| Point { x_m: sum.x / n, y_m: sum.y / n })
        };
        if let Some(points) = (0..MOMENTS).map(mean_at).collect::<Option<Vec<_>>>() {
            figure.insert(landmark, points);
        }
    }
    figure
}
