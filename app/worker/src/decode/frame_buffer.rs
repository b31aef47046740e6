//! The description of copied planes, from which a browser makes a frame again.

use js_sys::{Object, Reflect};
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{VideoFrame, VideoFrameBufferInit};

/// The description of planes that were copied from a frame in this format and layout; a null format means RGBA. None if
/// the browser withholds the frame's size.
pub(super) fn describe(
    frame: &VideoFrame,
    format: &JsValue,
    layout: &JsValue,
) -> Option<VideoFrameBufferInit> {
    let rect = frame.visible_rect()?;
    let init = Object::new();
    let set = |name: &str, value: &JsValue| Reflect::set(&init, &name.into(), value).ok();
    // Only the visible part was copied, so that is the whole frame now.
    set("codedWidth", &rect.width().into())?;
    set("codedHeight", &rect.height().into())?;
    set("displayWidth", &frame.display_width().into())?;
    set("displayHeight", &frame.display_height().into())?;
    set("timestamp", &frame.timestamp().into())?;
    set("layout", layout)?;
    if format.is_null() {
        set("format", &"RGBA".into())?;
    } else {
        set("format", format)?;
        set("colorSpace", &frame.color_space())?;
    }
    Some(init.unchecked_into())
}
