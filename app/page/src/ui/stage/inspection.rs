//! Inspects the picture around a position: is there a sticker, skin, or nothing to track?

use super::canvas::context_of;
use jobs::{GLANCE_REACH_PX, Glance, glance};
use mechanics::space::Pixel;
use web_sys::HtmlCanvasElement;
use yew::prelude::*;

/// The inspected patch around a position on the canvas; positions are in picture pixels.
pub fn inspect(canvas: &NodeRef, at: Pixel) -> Option<Glance> {
    let canvas = canvas.cast::<HtmlCanvasElement>()?;
    // A position in a picture is far below the limit of 32 bits.
    let corner = |v: f64| v.round() as i32 - GLANCE_REACH_PX;
    let (left, top, side) = (corner(at.x_px), corner(at.y_px), 2 * GLANCE_REACH_PX + 1);
    let patch = context_of(&canvas)?.get_image_data(left, top, side, side).ok()?;
    let in_patch = Pixel { x_px: at.x_px - f64::from(left), y_px: at.y_px - f64::from(top) };
    let mut found = glance(&patch.data(), side as usize, in_patch)?;
    if let Some(middle) = &mut found.middle {
        (middle.x_px, middle.y_px) = (middle.x_px + f64::from(left), middle.y_px + f64::from(top));
    }
    Some(found)
}
