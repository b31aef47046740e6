//! What lies under the finger, six times as large, in the corner where the finger is not.

use super::picture::context_of;
use crate::browser::frame_image::Sight;
use mechanics::space::Pixel;
use web_sys::{CanvasRenderingContext2d, HtmlCanvasElement};
use yew::prelude::*;

/// Picture pixels across the loupe.
const ACROSS_PX: f64 = 40.0;
/// Its size in its own pixels.
const SIZE: u32 = 240;

#[derive(Properties, PartialEq)]
pub struct LoupeProps {
    /// The picture.
    pub canvas: NodeRef,
    /// The place looked at.
    pub at: Pixel,
    /// The frame in the picture; drawn anew when it changes.
    pub frame: Option<u32>,
    /// Whether it stands at the left.
    pub left: bool,
}

#[component]
pub fn Loupe(props: &LoupeProps) -> Html {
    let own = use_node_ref();
    {
        let (own, canvas) = (own.clone(), props.canvas.clone());
        use_effect_with((props.at, props.frame), move |(at, _)| magnify(&canvas, &own, *at));
    }
    html! {
        <div class={classes!("loupe", props.left.then_some("at-left"))} aria-hidden="true">
            <canvas ref={own} width={SIZE.to_string()} height={SIZE.to_string()}></canvas>
            <svg viewBox="-50 -50 100 100">
                <path class="loupe-cross" d="M-50 0H-6M6 0H50M0 -50V-6M0 6V50" />
            </svg>
        </div>
    }
}

fn magnify(picture: &NodeRef, own: &NodeRef, at: Pixel) {
    let (Some(picture), Some(own)) =
        (picture.cast::<HtmlCanvasElement>(), own.cast::<HtmlCanvasElement>())
    else {
        return;
    };
    let Some((context, [left, top, size])) = cleared(&own, at) else { return };
    // A picture that cannot be drawn leaves the loupe empty, which is what it then has to show.
    let _ = context.draw_image_with_html_canvas_element_and_sw_and_sh_and_dx_and_dy_and_dw_and_dh(
        &picture, left, top, ACROSS_PX, ACROSS_PX, 0.0, 0.0, size, size,
    );
}

/// Draws what a picture has about a place, as large as the loupe shows it.
pub fn draw_about(own: &NodeRef, picture: &Sight, at: Pixel) {
    let Some(own) = own.cast::<HtmlCanvasElement>() else { return };
    let Some((context, [left, top, size])) = cleared(&own, at) else { return };
    let larger = size / ACROSS_PX;
    context.save();
    let scaled = context.scale(larger, larger).and_then(|()| context.translate(-left, -top));
    // As above.
    let _ = scaled.is_ok() && picture.draw(&context);
    context.restore();
}

/// An empty square canvas, ready to be drawn on; the corner of what is about a place, and the canvas's side.
fn cleared(own: &HtmlCanvasElement, at: Pixel) -> Option<(CanvasRenderingContext2d, [f64; 3])> {
    let context = context_of(own)?;
    let size = f64::from(own.width());
    context.set_image_smoothing_enabled(false);
    context.clear_rect(0.0, 0.0, size, size);
    let (left, top) = (at.x_px + 0.5 - ACROSS_PX / 2.0, at.y_px + 0.5 - ACROSS_PX / 2.0);
    Some((context, [left, top, size]))
}
