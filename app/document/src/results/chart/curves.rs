//! Curves over one stride, mean with a band of one SD, as SVG paths.

use super::axis::{Axis, axis};
use super::path::{PixelRange, path};
use crate::results::analyse::TrialAnalysis;
use crate::results::format::{Unit, number};
use crate::results::scene::Area;
use crate::results::table::{TextTable, ordinal};
use mechanics::analysis::{Curve, Quantity};
use mechanics::measures::Measure;

/// The curve of one trial.
#[derive(Clone, Debug, PartialEq)]
pub struct CurveLine {
    /// 0 for the first trial, 1 for the second.
    pub trial: usize,
    /// The mean, as the `d` of an SVG path.
    pub line: String,
    /// One SD to each side, as the `d` of a closed SVG path; empty without spread.
    pub band: String,
}

/// The mean toe-off of the near foot; in a chart of residuals, the chosen cut-off.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ToeOffMark {
    /// 0 for the first trial, 1 for the second.
    pub trial: usize,
    /// Its place along x.
    pub x_px: f64,
}

/// The whole chart.
#[derive(Clone, Debug, PartialEq)]
pub struct Curves {
    /// What it shows, with the unit.
    pub title: String,
    /// One a trial.
    pub lines: Vec<CurveLine>,
    /// Toe-offs.
    pub toe_offs: Vec<ToeOffMark>,
    /// Per cent of a stride.
    pub x_axis: Axis,
    /// The quantity.
    pub y_axis: Axis,
    /// Every tenth point as text.
    pub table: TextTable,
}

/// The quantities that at least one of these trials has, in order.
#[must_use]
pub fn quantities(trials: &[&TrialAnalysis]) -> Vec<Quantity> {
    let mut found: Vec<Quantity> =
        trials.iter().flat_map(|t| &t.analysis.curves).map(|c| c.quantity).collect();
    found.sort_unstable();
    found.dedup();
    found
}

/// How a quantity is shown: name, unit and decimals.
fn display(quantity: Quantity) -> (&'static str, Unit, usize) {
    match quantity {
        Quantity::KneeFlexion => ("Knee flexion", Unit::Angle, 0),
        Quantity::ThighAngle => ("Thigh to the vertical, forward positive", Unit::Angle, 0),
        Quantity::HeelHeight => ("Heel above its contact level", Unit::Centimetre, 1),
        Quantity::LegInertia => ("Leg inertia about the hip", Unit::KilogramSquareMetre, 2),
        Quantity::LegEnergy => ("Internal energy of the near leg", Unit::Joule, 1),
        Quantity::EffectiveLength => ("Effective leg length about the hip", Unit::Centimetre, 1),
        Quantity::HipMoment => ("Net hip moment in swing", Unit::NewtonMetre, 0),
        Quantity::KneeMoment => ("Net knee moment in swing", Unit::NewtonMetre, 0),
        Quantity::AnkleMoment => ("Net ankle moment in swing", Unit::NewtonMetre, 1),
        Quantity::HipPower => ("Hip power in swing", Unit::Watt, 0),
        Quantity::KneePower => ("Knee power in swing", Unit::Watt, 0),
        Quantity::AnklePower => ("Ankle power in swing", Unit::Watt, 1),
    }
}

/// The curves of one quantity for one trial or two; none if no trial has it.
#[must_use]
pub fn curves(quantity: Quantity, trials: &[&TrialAnalysis], area: Area) -> Option<Curves> {
    let (name, unit, decimals) = display(quantity);
    let found: Vec<(usize, &Curve)> = trials
        .iter()
        .enumerate()
        .filter_map(|(trial, t)| {
            Some((trial, t.analysis.curves.iter().find(|c| c.quantity == quantity)?))
        })
        .filter(|(_, curve)| curve.mean_si.iter().flatten().any(|v| v.is_finite()))
        .collect();
    if found.is_empty() {
        return None;
    }
    let title = format!("{name}, {}", unit.symbol());
    let ends: Vec<f64> = found.iter().flat_map(|(_, c)| edges(c, unit)).collect();
    let x_axis =
        axis("% of a stride", &[0.0, 100.0], PixelRange { from_px: 0.0, to_px: area.width_px }, 5);
    let y_axis = axis(&title, &ends, PixelRange { from_px: area.height_px, to_px: 0.0 }, 4);
    let lines = found.iter().map(|(trial, curve)| CurveLine {
        trial: *trial,
        line: line(curve, unit, &x_axis, &y_axis),
        band: band(curve, unit, &x_axis, &y_axis),
    });
    Some(Curves {
        lines: lines.collect(),
        toe_offs: toe_offs(trials, &x_axis),
        table: table(&title, &found, unit, decimals),
        title,
        x_axis,
        y_axis,
    })
}

fn toe_offs(trials: &[&TrialAnalysis], x_axis: &Axis) -> Vec<ToeOffMark> {
    let duty_factor = |t: &TrialAnalysis| {
        let mean = t.analysis.measures.get(&Measure::DutyFactor)?.mean_si;
        (mean > 0.0 && mean < 1.0).then_some(mean)
    };
    let found = trials.iter().enumerate().filter_map(|(trial, t)| {
        Some(ToeOffMark { trial, x_px: x_axis.at_px(100.0 * duty_factor(t)?) })
    });
    found.collect()
}

/// Per cent of the stride, mean and SD of each point in the display unit; a spread that is not finite counts as none.
fn points(curve: &Curve, unit: Unit) -> impl DoubleEndedIterator<Item = (f64, f64, f64)> {
    let count = curve.mean_si.len();
    let per_cent = move |i: usize| 100.0 * i as f64 / (count.max(2) - 1) as f64;
    (0..count).filter_map(move |i| {
        let mean = curve.mean_si.get(i).copied().flatten().filter(|v| v.is_finite())?;
        let sd = curve.sd_si.get(i).copied().filter(|v| v.is_finite()).unwrap_or(0.0);
        Some((per_cent(i), unit.shown(mean), unit.shown(sd.abs())))
    })
}

fn edges(curve: &Curve, unit: Unit) -> Vec<f64> {
    points(curve, unit).flat_map(|(_, mean, sd)| [mean - sd, mean + sd]).collect()
}

fn line(curve: &Curve, unit: Unit, x_axis: &Axis, y_axis: &Axis) -> String {
    path(points(curve, unit).map(|(x, mean, _)| (x_axis.at_px(x), y_axis.at_px(mean))))
}

fn band(curve: &Curve, unit: Unit, x_axis: &Axis, y_axis: &Axis) -> String {
    if points(curve, unit).all(|(_, _, sd)| sd <= 0.0) {
        return String::new();
    }
    let upper = points(curve, unit).map(|(x, mean, sd)| (x, mean + sd));
    let lower = points(curve, unit).rev().map(|(x, mean, sd)| (x, mean - sd));
    let outline = upper.chain(lower).map(|(x, y)| (x_axis.at_px(x), y_axis.at_px(y)));
    path(outline) + "Z"
}

fn table(title: &str, found: &[(usize, &Curve)], unit: Unit, decimals: usize) -> TextTable {
    let mut headings = vec!["% of a stride".to_owned()];
    headings.extend(found.iter().map(|(trial, curve)| {
        let spread = if curve.quantity.is_of_a_joint_in_swing() {
            "SD of strides and measurement"
        } else {
            "SD of strides"
        };
        format!("{}, mean ± {spread}", ordinal(*trial))
    }));
    let cell = |curve: &Curve, per_cent: usize| {
        let here = points(curve, unit).find(|(x, _, _)| (x - per_cent as f64).abs() < 0.01);
        here.map_or("—".into(), |(_, mean, sd)| {
            format!("{} ± {}", number(mean, decimals), number(sd, decimals))
        })
    };
    let rows = (0..=100_usize).step_by(10).map(|per_cent| {
        let mut cells = vec![per_cent.to_string()];
        cells.extend(found.iter().map(|(_, curve)| cell(curve, per_cent)));
        cells
    });
    TextTable { caption: title.to_owned(), headings, rows: rows.collect() }
}
