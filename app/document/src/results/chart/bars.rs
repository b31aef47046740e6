//! The energy of a stride by limb, as horizontal bars with 95 % intervals.

use super::axis::{Axis, axis};
use super::path::PixelRange;
use crate::results::analyse::TrialAnalysis;
use crate::results::format::{ShownValue, finite_pair};
use crate::results::measure::row;
use crate::results::report::labels::{LIMBS, label};
use crate::results::table::{TextTable, ordinal};
use mechanics::measures::{Estimate, Measure};

/// One bar.
#[derive(Clone, Debug, PartialEq)]
pub struct Bar {
    /// 0 for the first trial, 1 for the second.
    pub trial: usize,
    /// Left end.
    pub x_px: f64,
    /// Upper edge.
    pub y_px: f64,
    /// Length.
    pub width_px: f64,
    /// Thickness.
    pub height_px: f64,
    /// Both ends of the 95 % interval along x.
    pub interval: Option<PixelRange>,
    /// The number it shows.
    pub shown: ShownValue,
}

/// The bars of one limb.
#[derive(Clone, Debug, PartialEq)]
pub struct BarGroup {
    /// The limb.
    pub measure: Measure,
    /// Its name, with its footnote mark.
    pub label: String,
    /// Middle of the group, for the label.
    pub label_y_px: f64,
    /// One for each trial with this limb.
    pub bars: Vec<Bar>,
}

/// The whole chart.
#[derive(Clone, Debug, PartialEq)]
pub struct Bars {
    /// From top to bottom.
    pub groups: Vec<BarGroup>,
    /// Energy, along x.
    pub axis: Axis,
    /// Height without the axis labels.
    pub height_px: f64,
    /// The same as text.
    pub table: TextTable,
}

/// Thickness of a bar. Chosen: two bars and their gap are as high as a line and a half of text.
const BAR_PX: f64 = 14.0;
/// Distance between two bars of a limb. Chosen: visible, and well below the distance between limbs.
const BETWEEN_PX: f64 = 3.0;
/// Distance between two limbs. Chosen: the thickness of a bar.
const GAP_PX: f64 = 14.0;

/// Height of the chart of this number of trials, without the axis labels.
fn energy_bars_height_px(trial_count: usize) -> f64 {
    LIMBS.len() as f64 * group_height_px(trial_count)
}

fn group_height_px(trial_count: usize) -> f64 {
    trial_count.max(1) as f64 * (BAR_PX + BETWEEN_PX) - BETWEEN_PX + GAP_PX
}

/// Bars of the energy of a stride by limb, for one trial or two; `x` are the ends of the axis.
#[must_use]
pub fn energy_bars(trials: &[&TrialAnalysis], x: PixelRange) -> Bars {
    let mut ends = vec![0.0];
    for estimate in LIMBS.iter().flat_map(|m| trials.iter().filter_map(|t| known(t, *m))) {
        ends.push(estimate.mean_si);
        ends.extend(finite_pair(estimate.interval_95_si).map(|(_, high)| high));
    }
    let axis = axis("J a stride", &ends, x, 5);
    let height_px = group_height_px(trials.len());
    let groups = (0_u32..).zip(LIMBS).map(|(place, measure)| {
        let top_px = f64::from(place) * height_px + GAP_PX / 2.0;
        group(trials, measure, top_px, &axis)
    });
    Bars {
        groups: groups.collect(),
        height_px: energy_bars_height_px(trials.len()),
        table: table(trials),
        axis,
    }
}

fn known(trial: &TrialAnalysis, measure: Measure) -> Option<&Estimate> {
    trial.analysis.measures.get(&measure).filter(|e| e.mean_si.is_finite())
}

fn group(trials: &[&TrialAnalysis], measure: Measure, top_px: f64, axis: &Axis) -> BarGroup {
    let mut bars = Vec::new();
    for (trial, analysed) in trials.iter().enumerate() {
        let Some(estimate) = known(analysed, measure) else { continue };
        let (zero_px, end_px) = (axis.at_px(0.0), axis.at_px(estimate.mean_si));
        bars.push(Bar {
            trial,
            x_px: zero_px.min(end_px),
            y_px: top_px + trial as f64 * (BAR_PX + BETWEEN_PX),
            width_px: (end_px - zero_px).abs(),
            height_px: BAR_PX,
            interval: finite_pair(estimate.interval_95_si).map(|(low, high)| PixelRange {
                from_px: axis.at_px(low.max(0.0)),
                to_px: axis.at_px(high),
            }),
            shown: row(measure).shown(Some(estimate)),
        });
    }
    BarGroup {
        measure,
        label: label(trials, measure),
        label_y_px: top_px + (group_height_px(trials.len()) - GAP_PX) / 2.0,
        bars,
    }
}

fn table(trials: &[&TrialAnalysis]) -> TextTable {
    let mut headings = vec!["limb".to_owned()];
    for trial in 0..trials.len() {
        headings.push(format!("{}, J ± SD", ordinal(trial)));
        headings.push(format!("{}, 95 % interval", ordinal(trial)));
        headings.push(format!("{}, strides", ordinal(trial)));
    }
    let rows = LIMBS.iter().chain(&[Measure::InternalWork]).map(|measure| {
        let mut cells = vec![label(trials, *measure)];
        for analysed in trials {
            let shown = row(*measure).shown(known(analysed, *measure));
            let interval = shown.interval_95.as_ref();
            cells.push(shown.pair());
            cells.push(interval.map_or("—".into(), |(low, high)| format!("{low} to {high}")));
            cells.push(shown.n.to_string());
        }
        cells
    });
    TextTable { caption: "Internal work a stride by limb".into(), headings, rows: rows.collect() }
}
