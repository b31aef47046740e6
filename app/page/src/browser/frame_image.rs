//! The image of a frame from the worker, on its way to the screen.

use super::message::post;
use jobs::protocol::{Attachment, Envelope, FrameMeta, JobId, ProtocolError, Request};
use js_sys::{ArrayBuffer, Uint8ClampedArray};
use media::Orientation;
use std::cell::RefCell;
use std::f64::consts::FRAC_PI_2;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{
    CanvasRenderingContext2d, ImageData, OffscreenCanvas, OffscreenCanvasRenderingContext2d,
    VideoFrame, Worker,
};

enum Content {
    /// Red, green, blue and alpha, one byte each, in a buffer that goes back to the worker.
    Pixels { data: ImageData, buffer: ArrayBuffer, worker: Worker },
    /// A frame that the worker could not convert to pixels.
    VideoFrame(VideoFrame),
}

/// The image of a frame as it is coded, and how to display it.
///
/// Dropped, it returns its content: a browser has only a few frames, and frees buffers of this size too late.
pub struct FrameImage {
    content: Content,
    meta: FrameMeta,
}

thread_local! {
    /// A canvas from which pixels are drawn rotated or widened.
    static SCRATCH: RefCell<Option<OffscreenCanvas>> = const { RefCell::new(None) };
}

impl FrameImage {
    /// The image that a response of this worker brought.
    ///
    /// # Errors
    /// `NoAttachment` if the object is not what the envelope announced.
    pub(super) fn new(
        attachment: Attachment,
        object: JsValue,
        worker: &Worker,
    ) -> Result<Self, ProtocolError> {
        let wrong = |_: JsValue| ProtocolError::NoAttachment;
        match attachment {
            Attachment::VideoFrame(meta) => {
                Ok(Self { content: Content::VideoFrame(object.dyn_into().map_err(wrong)?), meta })
            }
            Attachment::Pixels(meta) => {
                let buffer: ArrayBuffer = object.dyn_into().map_err(wrong)?;
                let bytes = Uint8ClampedArray::new(&buffer);
                let (width, height) = (meta.width_px, meta.height_px);
                let data = ImageData::new_with_js_u8_clamped_array_and_sh(&bytes, width, height)
                    .map_err(wrong)?;
                let content = Content::Pixels { data, buffer, worker: worker.clone() };
                Ok(Self { content, meta })
            }
            Attachment::File | Attachment::Buffer => Err(ProtocolError::NoAttachment),
        }
    }

    /// Draws it over a whole canvas of its upright size; false if the browser refuses.
    #[must_use]
    pub fn fill(&self, context: &CanvasRenderingContext2d) -> bool {
        match &self.content {
            Content::Pixels { data, .. } if self.is_coded_upright() => {
                context.put_image_data(data, 0, 0).is_ok()
            }
            _ => self.draw(context),
        }
    }

    /// Draws it upright in the context's own scale, its corner at the origin; false if the browser refuses.
    #[must_use]
    pub fn draw(&self, context: &CanvasRenderingContext2d) -> bool {
        context.save();
        let drawn = self.draw_upright(context);
        context.restore();
        drawn.is_ok()
    }

    fn is_coded_upright(&self) -> bool {
        let FrameMeta { picture, width_px, height_px } = &self.meta;
        picture.orientation == Orientation::default()
            && (*width_px, *height_px) == picture.upright_size_px()
    }

    fn draw_upright(&self, context: &CanvasRenderingContext2d) -> Result<(), JsValue> {
        let picture = &self.meta.picture;
        let (width, height) = picture.upright_size_px();
        // Around the centre. The last transformation applies first: mirrored, then rotated.
        context.translate(f64::from(width) / 2.0, f64::from(height) / 2.0)?;
        context.rotate(f64::from(picture.orientation.quarter_turns) * FRAC_PI_2)?;
        if picture.orientation.mirrored {
            context.scale(-1.0, 1.0)?;
        }
        let (across, down) =
            (f64::from(picture.square_width_px), f64::from(picture.square_height_px));
        let (left, top) = (-across / 2.0, -down / 2.0);
        match &self.content {
            Content::VideoFrame(frame) => {
                context.draw_image_with_video_frame_and_dw_and_dh(frame, left, top, across, down)
            }
            Content::Pixels { data, .. } => {
                let scratch = on_scratch(data)?;
                context.draw_image_with_offscreen_canvas_and_dw_and_dh(
                    &scratch, left, top, across, down,
                )
            }
        }
    }
}

fn on_scratch(data: &ImageData) -> Result<OffscreenCanvas, JsValue> {
    SCRATCH.with_borrow_mut(|slot| {
        let (width, height) = (data.width(), data.height());
        let fits = |c: &OffscreenCanvas| (c.width(), c.height()) == (width, height);
        let canvas = match slot.take().filter(fits) {
            Some(canvas) => canvas,
            None => OffscreenCanvas::new(width, height)?,
        };
        let context = canvas.get_context("2d")?.ok_or(JsValue::NULL)?;
        let context: OffscreenCanvasRenderingContext2d = context.dyn_into()?;
        context.put_image_data(data, 0, 0)?;
        *slot = Some(canvas.clone());
        Ok(canvas)
    })
}

impl Drop for FrameImage {
    fn drop(&mut self) {
        match &self.content {
            Content::VideoFrame(frame) => frame.close(),
            Content::Pixels { buffer, worker, .. } => {
                let envelope = Envelope {
                    id: JobId::NONE,
                    clip: None,
                    body: Request::ReturnBuffer,
                    attachment: Some(Attachment::Buffer),
                };
                // A buffer that does not arrive is made again, and a worker that ended needs none.
                let _ = post(worker, &envelope, Some(buffer.as_ref()));
            }
        }
    }
}
