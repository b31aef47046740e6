//! Work-arounds for browsers that decode a frame correctly but expose it wrongly.

use super::frame_buffer::describe;
use super::frame_size::visible_size_px;
use js_sys::{Object, Reflect, Uint8Array};
use media::{ClipIndex, Picture};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{OffscreenCanvas, OffscreenCanvasRenderingContext2d, VideoFrame, VideoFrameInit};

/// A frame with the rows and columns of the file. Takes the frame over.
///
/// `WebKitGTK` 2.50 makes oblong pixels square: it draws such a frame whole, but copies only its upper or left part. So
/// it is drawn once in its coded size, and the drawing replaces it.
pub fn in_coded_size(frame: VideoFrame, index: &ClipIndex) -> VideoFrame {
    let coded = (index.width_px, index.height_px);
    let is_made_square = visible_size_px(&frame)
        .is_some_and(|visible| Picture::is_made_square(visible, coded, index.pixel_shape));
    let drawn = if is_made_square { redrawn(&frame, coded) } else { None };
    replace(frame, drawn)
}

fn redrawn(frame: &VideoFrame, (width_px, height_px): (u32, u32)) -> Option<VideoFrame> {
    let canvas = OffscreenCanvas::new(width_px, height_px).ok()?;
    let context: OffscreenCanvasRenderingContext2d =
        canvas.get_context("2d").ok()??.dyn_into().ok()?;
    let (width, height) = (f64::from(width_px), f64::from(height_px));
    context.draw_image_with_video_frame_and_dw_and_dh(frame, 0.0, 0.0, width, height).ok()?;
    let init = VideoFrameInit::new();
    init.set_timestamp_f64(frame.timestamp());
    VideoFrame::new_with_offscreen_canvas_and_video_frame_init(&canvas, &init).ok()
}

/// A frame marked as full range, if the file says so and the browser does not, as `WebKitGTK` 2.50 does not. Takes the
/// frame over.
///
/// A frame that the browser has converted to RGB stays as it is: the tones that were cut off are lost.
pub async fn with_full_range(frame: VideoFrame, is_full: bool) -> VideoFrame {
    if !is_full || is_marked_full(&frame) {
        return frame;
    }
    let marked = marked_full(&frame).await;
    replace(frame, marked)
}

/// Closes a frame that has a replacement.
fn replace(frame: VideoFrame, replacement: Option<VideoFrame>) -> VideoFrame {
    match replacement {
        Some(replacement) => {
            frame.close();
            replacement
        }
        None => frame,
    }
}

fn is_marked_full(frame: &VideoFrame) -> bool {
    Reflect::get(&frame.color_space(), &"fullRange".into()).is_ok_and(|full| full.is_truthy())
}

async fn marked_full(frame: &VideoFrame) -> Option<VideoFrame> {
    let format = Reflect::get(frame, &"format".into()).ok()?;
    let name = format.as_string()?;
    if !(name.starts_with('I') || name.starts_with("NV")) {
        return None;
    }
    let planes = Uint8Array::new_with_length(frame.allocation_size().ok()?);
    let layout = JsFuture::from(frame.copy_to_with_buffer_source(planes.unchecked_ref()));
    let init = describe(frame, &format, &layout.await.ok()?.into())?;
    let colours = Object::new();
    for part in ["primaries", "transfer", "matrix"] {
        let value = Reflect::get(&frame.color_space(), &part.into()).ok()?;
        Reflect::set(&colours, &part.into(), &value).ok()?;
    }
    Reflect::set(&colours, &"fullRange".into(), &JsValue::TRUE).ok()?;
    Reflect::set(&init, &"colorSpace".into(), &colours).ok()?;
    VideoFrame::new_with_u8_array_and_video_frame_buffer_init(&planes, &init).ok()
}
