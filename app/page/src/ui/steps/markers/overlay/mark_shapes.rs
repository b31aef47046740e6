//! The shapes of the drawing. The shape of a mark shows its certainty: filled if seen, half filled if doubtful, open if
//! coasting.

use crate::ui::sentences::landmark;
use document::results::scene::SceneLine;
use document::session::Certainty;
use mechanics::body::Landmark;
use mechanics::space::Pixel;
use yew::prelude::*;

/// Shapes in picture pixels, sized by the radius of a mark.
#[derive(Clone, Copy)]
pub struct Shapes {
    /// The radius of a mark.
    pub radius_px: f64,
}

impl Shapes {
    /// A mark.
    pub fn mark(self, at: Pixel, certainty: Certainty, is_chosen: bool) -> Html {
        let class = match certainty {
            Certainty::Placed => "placed",
            Certainty::Seen => "seen",
            Certainty::Doubtful => "doubtful",
            Certainty::Coasting => "coasting",
        };
        let (x, y, r) = (at.x_px, at.y_px, self.radius_px);
        let half = format!("M{x} {} A{r} {r} 0 0 0 {x} {} Z", y - r, y + r);
        let circle = |class: &'static str, radius: f64| {
            html! { <circle {class} cx={x.to_string()} cy={y.to_string()} r={radius.to_string()} /> }
        };
        html! {
            <g class={classes!("mark", class, is_chosen.then_some("chosen"))}>
                if is_chosen {
                    { circle("ring", r * 2.6) }
                }
                { circle("rim", r) }
                { circle("body", r) }
                if certainty == Certainty::Doubtful {
                    <path class="half" d={half} />
                }
            </g>
        }
    }

    /// A crosshair.
    pub fn crosshair(self, at: Pixel) -> Html {
        let (x, y, gap, arm) = (at.x_px, at.y_px, self.radius_px * 0.8, self.radius_px * 4.0);
        let d = format!(
            "M{} {y}H{} M{} {y}H{} M{x} {}V{} M{x} {}V{}",
            x - arm,
            x - gap,
            x + gap,
            x + arm,
            y - arm,
            y - gap,
            y + gap,
            y + arm
        );
        html! { <g class="crosshair"><path class="rim" d={d.clone()} /><path d={d} /></g> }
    }

    /// The name of a landmark beside its mark.
    pub fn caption(self, landmark: Landmark, at: Pixel) -> Html {
        let (x, y, size) =
            (at.x_px + self.radius_px * 5.0, at.y_px - self.radius_px * 3.0, self.radius_px * 4.0);
        html! {
            <text class="caption" x={x.to_string()} y={y.to_string()} font-size={size.to_string()}>
                { landmark::name(landmark) }
            </text>
        }
    }
}

/// A limb between two marks.
pub fn bone(line: &SceneLine) -> Html {
    html! {
        <line class={classes!("bone", (!line.is_sure).then_some("unsure"))}
            x1={line.from.x_px.to_string()} y1={line.from.y_px.to_string()} x2={line.to.x_px.to_string()} y2={line.to.y_px.to_string()} />
    }
}

/// A piece of a marker's path, with a dark edge.
pub fn trail(piece: &[Pixel]) -> Html {
    let points: Vec<String> =
        piece.iter().map(|p| format!("{:.1},{:.1}", p.x_px, p.y_px)).collect();
    let points = points.join(" ");
    html! { <><polyline class="marker-trail under" points={points.clone()} /><polyline class="marker-trail" {points} /></> }
}
