//! How the cut-off of each marker was chosen: the residual of the low-pass by its cut-off.

use super::axis::axis;
use super::curves::{CurveLine, Curves, ToeOffMark};
use super::path::{PixelRange, path};
use crate::results::analyse::TrialAnalysis;
use crate::results::format::number;
use crate::results::scene::Area;
use crate::results::table::TextTable;
use mechanics::analysis::Residuals;
use mechanics::body::Landmark;

/// One chart a marker, with the chosen cut-off marked; none if the cut-off was entered.
#[must_use]
pub fn residual_curves(trial: &TrialAnalysis, area: Area) -> Vec<Curves> {
    let of = |(landmark, residuals): (&Landmark, &Residuals)| {
        let chosen_hz = trial.analysis.cutoffs_hz.get(landmark).copied()?;
        chart(*landmark, residuals, chosen_hz, area)
    };
    trial.analysis.residuals.iter().filter_map(of).collect()
}

fn chart(landmark: Landmark, of: &Residuals, chosen_hz: f64, area: Area) -> Option<Curves> {
    let millimetres = |m: &f64| 1000.0 * m;
    let points: Vec<(f64, f64)> =
        of.cutoffs_hz.iter().copied().zip(of.residuals_m.iter().map(millimetres)).collect();
    let finite = points.iter().all(|(x, y)| x.is_finite() && y.is_finite());
    if points.len() < 2 || !finite || !chosen_hz.is_finite() {
        return None;
    }
    let name = landmark.to_string();
    let title =
        format!("What the low-pass takes from {name}, mm; chosen: {} Hz", number(chosen_hz, 1));
    let (hz, mm): (Vec<f64>, Vec<f64>) = points.iter().copied().unzip();
    let x_axis = axis("Cut-off, Hz", &hz, PixelRange { from_px: 0.0, to_px: area.width_px }, 5);
    let y_axis = axis(
        &title,
        &[mm.as_slice(), &[0.0]].concat(),
        PixelRange { from_px: area.height_px, to_px: 0.0 },
        4,
    );
    let line = path(points.iter().map(|(x, y)| (x_axis.at_px(*x), y_axis.at_px(*y))));
    let rows = points.iter().map(|(x, y)| vec![number(*x, 0), number(*y, 2)]).collect();
    Some(Curves {
        lines: vec![CurveLine { trial: 0, line, band: String::new() }],
        toe_offs: vec![ToeOffMark { trial: 0, x_px: x_axis.at_px(chosen_hz) }],
        table: TextTable {
            caption: title.clone(),
            headings: vec!["Cut-off, Hz".to_owned(), "Taken away (RMS), mm".to_owned()],
            rows,
        },
        title,
        x_axis,
        y_axis,
    })
}
