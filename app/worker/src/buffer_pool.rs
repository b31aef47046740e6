//! Frame images for the page, in buffers that the page gives back.
//!
//! A `VideoFrame` would do, but without a graphics card Chromium 156 keeps each one that it has drawn, up to 512 MB.
//! It does not keep pixels that are put on a canvas, and the page has less to do.

use crate::decode::frame_size::visible_size_px;
use jobs::protocol::{Attachment, FrameMeta};
use js_sys::{ArrayBuffer, Object};
use media::Picture;
use std::cell::RefCell;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{VideoFrame, VideoFrameCopyToOptions, VideoPixelFormat};

/// Chosen: one buffer for the frame on the screen, one for a frame of a tracking run, and one to spare.
const MOST_BUFFERS: usize = 3;

/// A frame image on its way to the page.
pub struct FrameImage {
    /// What it is, for the envelope.
    pub attachment: Attachment,
    /// A buffer of pixels, or the frame itself if the browser does not convert it.
    pub object: JsValue,
}

/// The free buffers.
#[derive(Default)]
pub struct BufferPool(RefCell<Vec<ArrayBuffer>>);

impl BufferPool {
    /// Takes back a buffer.
    pub fn put(&self, buffer: ArrayBuffer) {
        let mut free = self.0.borrow_mut();
        if free.len() >= MOST_BUFFERS {
            // The oldest goes: it may have the size of another clip.
            free.remove(0);
        }
        free.push(buffer);
    }

    fn take(&self, bytes: u32) -> ArrayBuffer {
        let mut free = self.0.borrow_mut();
        let found = free.iter().position(|b| b.byte_length() == bytes);
        found.map_or_else(|| ArrayBuffer::new(bytes), |at| free.remove(at))
    }

    /// The image of a decoded frame. Closes the frame, or passes it on.
    pub async fn image(&self, frame: VideoFrame, picture: Picture) -> FrameImage {
        let (width_px, height_px) = visible_size_px(&frame).unwrap_or((0, 0));
        let meta = FrameMeta { picture, width_px, height_px };
        match self.pixels(&frame, &meta).await {
            Some(buffer) => {
                frame.close();
                FrameImage { attachment: Attachment::Pixels(meta), object: buffer.into() }
            }
            None => FrameImage { attachment: Attachment::VideoFrame(meta), object: frame.into() },
        }
    }

    async fn pixels(&self, frame: &VideoFrame, meta: &FrameMeta) -> Option<ArrayBuffer> {
        let options = VideoFrameCopyToOptions::new();
        options.set_format(VideoPixelFormat::Rgba);
        let bytes = frame.allocation_size_with_options(&options).ok()?;
        if meta.width_px.checked_mul(meta.height_px)?.checked_mul(4)? != bytes {
            return None;
        }
        let buffer = self.take(bytes);
        let to: &Object = buffer.unchecked_ref();
        let promise = frame.copy_to_with_buffer_source_and_options(to, &options);
        JsFuture::from(promise).await.ok().map(|_| buffer)
    }
}
