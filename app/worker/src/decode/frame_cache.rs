//! Pictures shown lately, kept outside of the decoder, so that stepping back need not decode again.

use js_sys::{Object, Reflect, Uint8Array};
use std::collections::VecDeque;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{VideoFrame, VideoFrameBufferInit, VideoFrameCopyToOptions, VideoPixelFormat};

/// Most that is kept of one clip. Chosen: 46 pictures at 720p, 20 at 1080p, and two clips stay far
/// below what a page may hold.
const MOST_BYTES: u32 = 64 * 1024 * 1024;

/// A picture's planes, and what is needed to make a picture of them again.
struct Kept {
    frame: u32,
    planes: Uint8Array,
    init: VideoFrameBufferInit,
}

/// The pictures kept, the one used last at the back.
#[derive(Default)]
pub struct Recent {
    kept: VecDeque<Kept>,
    bytes: u32,
}

impl Recent {
    /// Whether this frame is kept.
    #[must_use]
    pub fn has(&self, frame: u32) -> bool {
        self.kept.iter().any(|k| k.frame == frame)
    }

    /// How many pictures of the present size can be kept.
    #[must_use]
    pub fn room(&self) -> u32 {
        self.kept.back().map_or(1, |k| MOST_BYTES / k.planes.length().max(1))
    }

    /// The picture of this frame, if it is kept; the caller closes it.
    pub fn get(&mut self, frame: u32) -> Option<VideoFrame> {
        let place = self.kept.iter().position(|k| k.frame == frame)?;
        let kept = self.kept.remove(place)?;
        let picture =
            VideoFrame::new_with_u8_array_and_video_frame_buffer_init(&kept.planes, &kept.init);
        self.kept.push_back(kept);
        // A browser that cannot make pictures of this format gets them from the decoder each time.
        picture.ok()
    }

    /// Keeps a copy of a picture. One that the browser does not give out is not kept.
    pub async fn keep(&mut self, frame: u32, picture: &VideoFrame) {
        if self.has(frame) {
            return;
        }
        let native = Reflect::get(picture, &"format".into()).unwrap_or(JsValue::NULL);
        let options = VideoFrameCopyToOptions::new();
        if native.is_null() {
            options.set_format(VideoPixelFormat::Rgba);
        }
        let Ok(size) = picture.allocation_size_with_options(&options) else { return };
        let planes = self.make_room(size);
        let promise =
            picture.copy_to_with_buffer_source_and_options(planes.unchecked_ref(), &options);
        let Ok(layout) = JsFuture::from(promise).await else { return };
        let Some(init) = describe(picture, &native, &layout) else { return };
        self.bytes += size;
        self.kept.push_back(Kept { frame, planes, init });
    }

    /// Gives up what was used longest ago until so much fits; a buffer of that size is used again.
    fn make_room(&mut self, size: u32) -> Uint8Array {
        let mut again = None;
        while self.bytes.saturating_add(size) > MOST_BYTES {
            let Some(oldest) = self.kept.pop_front() else { break };
            self.bytes = self.bytes.saturating_sub(oldest.planes.length());
            again = Some(oldest.planes).filter(|p| p.length() == size).or(again);
        }
        again.unwrap_or_else(|| Uint8Array::new_with_length(size))
    }
}

/// What the planes are; none when the browser refuses to tell.
pub(super) fn describe(
    picture: &VideoFrame,
    native: &JsValue,
    layout: &JsValue,
) -> Option<VideoFrameBufferInit> {
    let rect = picture.visible_rect()?;
    let init = Object::new();
    let set = |name: &str, value: &JsValue| Reflect::set(&init, &name.into(), value).ok();
    // Only what is visible was copied, so that is the whole picture now.
    set("codedWidth", &rect.width().into())?;
    set("codedHeight", &rect.height().into())?;
    set("displayWidth", &picture.display_width().into())?;
    set("displayHeight", &picture.display_height().into())?;
    set("timestamp", &picture.timestamp().into())?;
    set("layout", layout)?;
    if native.is_null() {
        set("format", &"RGBA".into())?;
    } else {
        set("format", native)?;
        set("colorSpace", &picture.color_space())?;
    }
    Some(init.unchecked_into())
}
