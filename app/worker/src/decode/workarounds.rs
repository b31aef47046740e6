//! Pictures that a browser decodes right and then gives out as something else, made anew.

use super::frame_cache::describe;
use js_sys::{Object, Reflect, Uint8Array};
use media::{ClipIndex, Picture};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{OffscreenCanvas, OffscreenCanvasRenderingContext2d, VideoFrame, VideoFrameInit};

/// The whole picture in the rows and columns of the file.
///
/// `WebKitGTK` 2.50 makes oblong pixels square: it draws such a picture whole, but copies only its upper or left part.
/// So it is drawn once, in the size it was coded in, and is the picture of that drawing from then on.
pub fn whole(picture: VideoFrame, index: &ClipIndex) -> VideoFrame {
    let file = (index.width_px, index.height_px);
    let is_made_square = picture.visible_rect().is_some_and(|rect| {
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a picture's size is a small whole number"
        )]
        let sent = (rect.width() as u32, rect.height() as u32);
        Picture::is_made_square(sent, file, index.pixel_shape)
    });
    let anew = if is_made_square { drawn(&picture, file) } else { None };
    match anew {
        Some(anew) => {
            picture.close();
            anew
        }
        None => picture,
    }
}

fn drawn(picture: &VideoFrame, (width_px, height_px): (u32, u32)) -> Option<VideoFrame> {
    let canvas = OffscreenCanvas::new(width_px, height_px).ok()?;
    let context: OffscreenCanvasRenderingContext2d =
        canvas.get_context("2d").ok()??.dyn_into().ok()?;
    let (width, height) = (f64::from(width_px), f64::from(height_px));
    context.draw_image_with_video_frame_and_dw_and_dh(picture, 0.0, 0.0, width, height).ok()?;
    let init = VideoFrameInit::new();
    init.set_timestamp_f64(picture.timestamp());
    VideoFrame::new_with_offscreen_canvas_and_video_frame_init(&canvas, &init).ok()
}

/// The picture, named as in the full range when the file says so and the browser does not, as `WebKitGTK` 2.50 does not.
///
/// One that the browser has turned into colours before is left as it is: what was cut off there does not come back.
pub async fn told_full(picture: VideoFrame, is_full: bool) -> VideoFrame {
    if !is_full || is_named_full(&picture) {
        return picture;
    }
    match named_anew(&picture).await {
        Some(anew) => {
            picture.close();
            anew
        }
        None => picture,
    }
}

fn is_named_full(picture: &VideoFrame) -> bool {
    Reflect::get(&picture.color_space(), &"fullRange".into()).is_ok_and(|full| full.is_truthy())
}

async fn named_anew(picture: &VideoFrame) -> Option<VideoFrame> {
    let format = Reflect::get(picture, &"format".into()).ok()?;
    let name = format.as_string()?;
    if !(name.starts_with('I') || name.starts_with("NV")) {
        return None;
    }
    let planes = Uint8Array::new_with_length(picture.allocation_size().ok()?);
    let layout = JsFuture::from(picture.copy_to_with_buffer_source(planes.unchecked_ref()));
    let init = describe(picture, &format, &layout.await.ok()?.into())?;
    let colours = Object::new();
    for part in ["primaries", "transfer", "matrix"] {
        let value = Reflect::get(&picture.color_space(), &part.into()).ok()?;
        Reflect::set(&colours, &part.into(), &value).ok()?;
    }
    Reflect::set(&colours, &"fullRange".into(), &JsValue::TRUE).ok()?;
    Reflect::set(&init, &"colorSpace".into(), &colours).ok()?;
    VideoFrame::new_with_u8_array_and_video_frame_buffer_init(&planes, &init).ok()
}
