//! Pictures in the full range of tones that the browser takes for the limited one, told anew.
//!
//! `WebKitGTK` 2.50 decodes them right and then names them limited, so that they would be drawn with too much contrast.

use super::recent::describe;
use js_sys::{Object, Reflect, Uint8Array};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::VideoFrame;

/// The picture, named as in the full range when the file says so and the browser does not.
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
