//! The frames displayed last, copied out of the decoder, so that a step back need not decode again.

use super::frame_buffer::describe;
use js_sys::{Reflect, Uint8Array};
use std::collections::VecDeque;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{VideoFrame, VideoFrameBufferInit, VideoFrameCopyToOptions, VideoPixelFormat};

/// Chosen: 46 frames at 720p, 20 at 1080p; two clips stay far below what a page may hold.
const MOST_BYTES: u32 = 64 * 1024 * 1024;

/// The planes of a frame, and what makes a frame of them again.
struct CachedFrame {
    frame: u32,
    planes: Uint8Array,
    init: VideoFrameBufferInit,
}

/// The cached frames of one clip, the one used last at the back.
#[derive(Default)]
pub struct FrameCache {
    frames: VecDeque<CachedFrame>,
    bytes: u32,
}

impl FrameCache {
    /// Whether this frame is cached.
    #[must_use]
    pub fn has(&self, frame: u32) -> bool {
        self.frames.iter().any(|k| k.frame == frame)
    }

    /// Number of frames of the present size that fit.
    #[must_use]
    pub fn capacity(&self) -> u32 {
        self.frames.back().map_or(1, |k| MOST_BYTES / k.planes.length().max(1))
    }

    /// This frame, if it is cached; the caller closes it.
    pub fn get(&mut self, frame: u32) -> Option<VideoFrame> {
        let place = self.frames.iter().position(|k| k.frame == frame)?;
        let cached = self.frames.remove(place)?;
        let made =
            VideoFrame::new_with_u8_array_and_video_frame_buffer_init(&cached.planes, &cached.init);
        self.frames.push_back(cached);
        // A browser that cannot make frames of this format decodes each time.
        made.ok()
    }

    /// Caches a copy of a frame, if the browser allows to copy it.
    pub async fn put(&mut self, frame: u32, decoded: &VideoFrame) {
        if self.has(frame) {
            return;
        }
        let format = Reflect::get(decoded, &"format".into()).unwrap_or(JsValue::NULL);
        let options = VideoFrameCopyToOptions::new();
        if format.is_null() {
            options.set_format(VideoPixelFormat::Rgba);
        }
        let Ok(size) = decoded.allocation_size_with_options(&options) else { return };
        let planes = self.make_room(size);
        let promise =
            decoded.copy_to_with_buffer_source_and_options(planes.unchecked_ref(), &options);
        let Ok(layout) = JsFuture::from(promise).await else { return };
        let Some(init) = describe(decoded, &format, &layout) else { return };
        self.bytes += size;
        self.frames.push_back(CachedFrame { frame, planes, init });
    }

    /// Drops the frames used longest ago until `bytes` more fit. Returns a buffer, a used one if its size is right.
    fn make_room(&mut self, bytes: u32) -> Uint8Array {
        let mut reused = None;
        while self.bytes.saturating_add(bytes) > MOST_BYTES {
            let Some(oldest) = self.frames.pop_front() else { break };
            self.bytes = self.bytes.saturating_sub(oldest.planes.length());
            reused = Some(oldest.planes).filter(|p| p.length() == bytes).or(reused);
        }
        reused.unwrap_or_else(|| Uint8Array::new_with_length(bytes))
    }
}
