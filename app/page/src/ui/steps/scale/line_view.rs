//! The lines of a calibration, drawn over the picture.

use super::line::{HeldLine, LineKind};
use document::session::ClipCalibration;
use mechanics::space::Pixel;
use yew::prelude::*;

/// Width of the picture over the radius of a line's ends.
const RADIUS_DIVISOR: f64 = 160.0;

/// The lines of a calibration; the dragged one as it is under the finger.
pub fn calibration_lines(
    calibration: &ClipCalibration,
    dragged: Option<HeldLine>,
    width_px: f64,
) -> Html {
    let is_at_rest = |kind: LineKind| dragged.is_none_or(|line| !line.kind.is_same_line(kind));
    let scale = calibration.scale.filter(|_| is_at_rest(LineKind::Scale));
    let vertical = calibration.vertical.filter(|v| is_at_rest(LineKind::Vertical(v.kind)));
    let radius = width_px / RADIUS_DIVISOR;
    html! {
        <>
            { scale.map(|s| line("scale-line", [s.from, s.to], radius)) }
            { vertical.map(|v| line("upright-line", [v.from, v.to], radius)) }
            { dragged.map(|d| line(class_of(d.kind), [d.from, d.to], radius)) }
        </>
    }
}

fn class_of(kind: LineKind) -> &'static str {
    match kind {
        LineKind::Scale => "scale-line",
        LineKind::Vertical(_) => "upright-line",
    }
}

fn line(class: &'static str, [from, to]: [Pixel; 2], radius: f64) -> Html {
    let end = |p: Pixel| html! { <circle cx={p.x_px.to_string()} cy={p.y_px.to_string()} r={radius.to_string()} /> };
    let stroke = |class: Option<&'static str>| {
        html! { <line {class} x1={from.x_px.to_string()} y1={from.y_px.to_string()} x2={to.x_px.to_string()} y2={to.y_px.to_string()} /> }
    };
    html! { <g {class}>{ stroke(Some("under")) }{ stroke(None) }{ end(from) }{ end(to) }</g> }
}
