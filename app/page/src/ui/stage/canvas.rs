//! Draws frames onto canvases.

use crate::browser::frame_image::Sight;
use mechanics::space::Pixel;
use wasm_bindgen::JsCast;
use web_sys::{CanvasRenderingContext2d, HtmlCanvasElement};
use yew::prelude::*;

/// Width and height of the part of the picture that a loupe shows, in picture pixels.
const MAGNIFIED_PX: f64 = 40.0;

/// The drawing context of a canvas.
pub fn context_of(canvas: &HtmlCanvasElement) -> Option<CanvasRenderingContext2d> {
    canvas.get_context("2d").ok().flatten()?.dyn_into().ok()
}

/// Draws a frame upright onto the canvas of the stage; false if the canvas is gone.
pub fn draw(canvas: &NodeRef, image: &Sight) -> bool {
    let Some(canvas) = canvas.cast::<HtmlCanvasElement>() else { return false };
    context_of(&canvas).is_some_and(|context| image.fill(&context))
}

/// Draws the part of the stage's canvas around a position, magnified.
pub fn copy_magnified(stage: &NodeRef, target: &NodeRef, at: Pixel) {
    let (Some(stage), Some(target)) =
        (stage.cast::<HtmlCanvasElement>(), target.cast::<HtmlCanvasElement>())
    else {
        return;
    };
    let Some(Magnified { context, left_px, top_px, side }) = cleared(&target, at) else { return };
    // If nothing can be drawn, the loupe rightly stays empty.
    let _ = context.draw_image_with_html_canvas_element_and_sw_and_sh_and_dx_and_dy_and_dw_and_dh(
        &stage,
        left_px,
        top_px,
        MAGNIFIED_PX,
        MAGNIFIED_PX,
        0.0,
        0.0,
        side,
        side,
    );
}

/// Draws the part of a frame around a position, magnified as in the loupe.
pub fn draw_magnified(target: &NodeRef, image: &Sight, at: Pixel) {
    let Some(target) = target.cast::<HtmlCanvasElement>() else { return };
    let Some(Magnified { context, left_px, top_px, side }) = cleared(&target, at) else { return };
    let scale = side / MAGNIFIED_PX;
    context.save();
    let scaled = context.scale(scale, scale).and_then(|()| context.translate(-left_px, -top_px));
    // As above.
    let _ = scaled.is_ok() && image.draw(&context);
    context.restore();
}

/// An empty square canvas, and the part of the picture that it is to show.
struct Magnified {
    context: CanvasRenderingContext2d,
    left_px: f64,
    top_px: f64,
    /// Side of the canvas, in its own pixels.
    side: f64,
}

fn cleared(canvas: &HtmlCanvasElement, at: Pixel) -> Option<Magnified> {
    let context = context_of(canvas)?;
    let side = f64::from(canvas.width());
    context.set_image_smoothing_enabled(false);
    context.clear_rect(0.0, 0.0, side, side);
    let corner = |v: f64| v + 0.5 - MAGNIFIED_PX / 2.0;
    Some(Magnified { context, left_px: corner(at.x_px), top_px: corner(at.y_px), side })
}
