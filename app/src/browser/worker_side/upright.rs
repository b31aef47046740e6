//! Turns and mirrors a decoded picture, so that the page only ever gets upright ones.

use crate::media::Picture;
use std::f64::consts::FRAC_PI_2;
use wasm_bindgen::JsCast;
use web_sys::{OffscreenCanvas, OffscreenCanvasRenderingContext2d, VideoFrame, VideoFrameInit};

/// The picture as it is to be seen; the one given is closed if it was not that already.
///
/// # Errors
/// When the browser refuses to draw it.
pub fn upright(coded: VideoFrame, picture: &Picture) -> Result<VideoFrame, String> {
    if picture.orientation == crate::media::Orientation::default() {
        return Ok(coded);
    }
    let turned = turn(&coded, picture);
    coded.close();
    turned.ok_or_else(|| {
        "the browser cannot turn its picture upright: use another browser".to_owned()
    })
}

fn turn(coded: &VideoFrame, picture: &Picture) -> Option<VideoFrame> {
    let (width_px, height_px) = picture.upright_size_px();
    let canvas = OffscreenCanvas::new(width_px, height_px).ok()?;
    let context: OffscreenCanvasRenderingContext2d =
        canvas.get_context("2d").ok()??.dyn_into().ok()?;
    // About the middle: the call nearest to the drawing is done first, so mirrored, then turned.
    context.translate(f64::from(width_px) / 2.0, f64::from(height_px) / 2.0).ok()?;
    context.rotate(f64::from(picture.orientation.quarter_turns) * FRAC_PI_2).ok()?;
    if picture.orientation.mirrored {
        context.scale(-1.0, 1.0).ok()?;
    }
    let (across, down) = (f64::from(picture.square_width_px), f64::from(picture.square_height_px));
    context
        .draw_image_with_video_frame_and_dw_and_dh(coded, -across / 2.0, -down / 2.0, across, down)
        .ok()?;
    let init = VideoFrameInit::new();
    init.set_timestamp_f64(coded.timestamp());
    VideoFrame::new_with_offscreen_canvas_and_video_frame_init(&canvas, &init).ok()
}
