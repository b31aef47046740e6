//! The near leg's work by heel lift, as its swing is blended from the first way into the second.

use super::axis::axis;
use super::curves::{CurveLine, Curves};
use super::path::{PixelRange, path};
use crate::results::format::{Unit, number};
use crate::results::scene::Area;
use crate::results::table::TextTable;
use mechanics::comparison::Blend;

/// The chart; none with fewer than two steps.
#[must_use]
pub fn blend_curve(steps: &[Blend], area: Area) -> Option<Curves> {
    let lift_cm = |b: &Blend| Unit::Centimetre.shown(b.heel_lift_m);
    let points: Vec<(f64, f64)> = steps.iter().map(|b| (lift_cm(b), b.near_leg_j)).collect();
    if points.len() < 2 || !points.iter().all(|(x, y)| x.is_finite() && y.is_finite()) {
        return None;
    }
    let (lifts_cm, works_j): (Vec<f64>, Vec<f64>) = points.iter().copied().unzip();
    let title = "Work of the near leg by heel lift, J a stride".to_owned();
    let x_axis =
        axis("Heel lift, cm", &lifts_cm, PixelRange { from_px: 0.0, to_px: area.width_px }, 5);
    let y_axis = axis(&title, &works_j, PixelRange { from_px: area.height_px, to_px: 0.0 }, 4);
    let at = |(x, y): &(f64, f64)| (x_axis.at_px(*x), y_axis.at_px(*y));
    let line = path(points.iter().map(at));
    Some(Curves {
        lines: vec![CurveLine { trial: 0, line, band: String::new() }],
        toe_offs: Vec::new(),
        table: table(steps, &title),
        title,
        x_axis,
        y_axis,
    })
}

fn table(steps: &[Blend], caption: &str) -> TextTable {
    let headings = [
        "Part of the second way, %",
        "Heel lift, cm",
        "Near leg, J",
        "Whole stride, J",
        "Least leg inertia, kg m²",
    ];
    let cells = |b: &Blend| {
        vec![
            number(100.0 * b.second_ratio, 0),
            number(Unit::Centimetre.shown(b.heel_lift_m), 1),
            number(b.near_leg_j, 1),
            number(b.internal_j, 1),
            number(b.least_inertia_kg_m2, 2),
        ]
    };
    TextTable {
        caption: caption.to_owned(),
        headings: headings.map(str::to_owned).to_vec(),
        rows: steps.iter().map(cells).collect(),
    }
}
