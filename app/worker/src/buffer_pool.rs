//! Pictures turned into colours for the page, in buffers that come back from it.
//!
//! A `VideoFrame` would do, but Chromium 156 keeps each one that it has drawn, up to 512 MB of them, where it draws
//! without a graphics card; colours that are put on a canvas it does not keep, and the page has less to do.

use jobs::Told;
use js_sys::{ArrayBuffer, Object};
use media::Picture;
use std::cell::RefCell;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{VideoFrame, VideoFrameCopyToOptions, VideoPixelFormat};

/// Chosen: one that is shown, one that a following tells of, and one beside them.
const MOST_KEPT: usize = 3;

/// What travels beside an answer.
pub struct Parcel {
    /// A buffer of colours, or the frame itself where the browser does not turn it into colours.
    pub content: JsValue,
    /// What the page looks for.
    pub name: &'static str,
    /// What is said of it.
    pub told: Told,
}

/// The buffers that are here.
#[derive(Default)]
pub struct Lent(RefCell<Vec<ArrayBuffer>>);

impl Lent {
    /// A buffer has come back.
    pub fn back(&self, buffer: ArrayBuffer) {
        let mut here = self.0.borrow_mut();
        if here.len() >= MOST_KEPT {
            // Of those of another clip the one that has lain longest goes first.
            here.remove(0);
        }
        here.push(buffer);
    }

    fn of_size(&self, bytes: u32) -> ArrayBuffer {
        let mut here = self.0.borrow_mut();
        let found = here.iter().position(|b| b.byte_length() == bytes);
        found.map_or_else(|| ArrayBuffer::new(bytes), |at| here.remove(at))
    }

    /// Packs a picture as it is coded; the frame given is the caller's no more.
    pub async fn pack(&self, frame: VideoFrame, picture: Picture) -> Parcel {
        let size_px = visible_px(&frame);
        let told = Told { picture, size_px };
        match self.colours(&frame, size_px).await {
            Some(buffer) => {
                frame.close();
                Parcel { content: buffer.into(), name: "colours", told }
            }
            None => Parcel { content: frame.into(), name: "frame", told },
        }
    }

    async fn colours(
        &self,
        frame: &VideoFrame,
        (width, height): (u32, u32),
    ) -> Option<ArrayBuffer> {
        let options = VideoFrameCopyToOptions::new();
        options.set_format(VideoPixelFormat::Rgba);
        let bytes = frame.allocation_size_with_options(&options).ok()?;
        if width.checked_mul(height)?.checked_mul(4)? != bytes {
            return None;
        }
        let buffer = self.of_size(bytes);
        let to: &Object = buffer.unchecked_ref();
        let promise = frame.copy_to_with_buffer_source_and_options(to, &options);
        JsFuture::from(promise).await.ok().map(|_| buffer)
    }
}

fn visible_px(frame: &VideoFrame) -> (u32, u32) {
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a picture's size is a small whole number"
    )]
    frame.visible_rect().map_or((0, 0), |r| (r.width() as u32, r.height() as u32))
}
