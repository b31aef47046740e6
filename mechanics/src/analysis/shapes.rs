//! Curves over a stride and the mean figure.

use super::{Curve, Figure, Quantity};
use crate::body::{BodyModel, Landmark};
use crate::measures::energy::leg_energy_j;
use crate::measures::motion::{MOMENTS, Moment, StrideMotion};
use crate::measures::posture::{knee_flexion_rad, thigh_angle_rad};
use crate::measures::swing::{free_leg_moments, leg_inertia_kg_m2};
use crate::space::Point;
use crate::statistics::{mean, sd};
use std::collections::BTreeMap;

/// The curves that these strides give; none without a stride.
pub fn curves(model: &BodyModel, strides: &[StrideMotion]) -> Vec<Curve> {
    let all = [
        (
            Quantity::KneeFlexion,
            series(strides, |s| s.series(|m| knee_flexion_rad(m).unwrap_or(0.0))),
        ),
        (
            Quantity::ThighAngle,
            series(strides, |s| s.series(|m| thigh_angle_rad(m).unwrap_or(0.0))),
        ),
        (Quantity::HeelHeight, series(strides, heel_height_m)),
        (Quantity::LegInertia, series(strides, |s| s.series(|m| leg_inertia_kg_m2(model, m)))),
        (Quantity::LegEnergy, series(strides, |s| leg_energy_j(model, s))),
        (
            Quantity::HipMoment,
            series(strides, |s| in_swing(s, |m| free_leg_moments(model, m).map(|m| m.hip_n_m))),
        ),
        (
            Quantity::KneeMoment,
            series(strides, |s| in_swing(s, |m| free_leg_moments(model, m).map(|m| m.knee_n_m))),
        ),
    ];
    all.into_iter().filter_map(|(quantity, strides)| curve(quantity, &strides)).collect()
}

fn series(strides: &[StrideMotion], of: impl Fn(&StrideMotion) -> Vec<f64>) -> Vec<Vec<f64>> {
    strides.iter().map(of).collect()
}

fn heel_height_m(stride: &StrideMotion) -> Vec<f64> {
    let heights = stride.series(|m| m.place(Landmark::NearHeel).map_or(0.0, |p| p.y));
    let contact = heights.get(..=stride.toe_off()).unwrap_or_default();
    let level = contact.iter().copied().reduce(f64::min).unwrap_or(0.0);
    heights.iter().map(|h| h - level).collect()
}

/// A number of the swing; zero while the foot is on the ground.
fn in_swing(stride: &StrideMotion, of: impl Fn(&Moment) -> Option<f64>) -> Vec<f64> {
    let toe_off = stride.toe_off();
    stride
        .moments
        .iter()
        .enumerate()
        .map(|(i, m)| if i > toe_off { of(m).unwrap_or(0.0) } else { 0.0 })
        .collect()
}

fn curve(quantity: Quantity, strides: &[Vec<f64>]) -> Option<Curve> {
    let at = |i: usize| -> Vec<f64> { strides.iter().filter_map(|s| s.get(i).copied()).collect() };
    let mean_si = (0..MOMENTS).map(|i| mean(&at(i))).collect::<Option<Vec<f64>>>()?;
    let sd_si = (0..MOMENTS).map(|i| sd(&at(i)).unwrap_or(0.0)).collect();
    Some(Curve { quantity, mean_si, sd_si })
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
