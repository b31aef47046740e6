//! A picture that came from the worker, on its way to the screen.

use jobs::Told;
use js_sys::{Array, ArrayBuffer, Object, Reflect, Uint8ClampedArray};
use media::Orientation;
use std::cell::RefCell;
use std::f64::consts::FRAC_PI_2;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{
    CanvasRenderingContext2d, ImageData, OffscreenCanvas, OffscreenCanvasRenderingContext2d,
    VideoFrame, Worker,
};

enum Sent {
    /// Red, green, blue and alpha, each a byte, in a buffer that the worker lent.
    Colours { data: ImageData, buffer: ArrayBuffer, lender: Worker },
    /// What the worker could not turn into colours.
    Frame(VideoFrame),
}

/// A picture as it is coded, and how it is to be shown. Dropped, it goes back: a browser has only a handful of frames,
/// and buffers of this size that are made anew each time are given up too late.
pub struct Sight {
    sent: Sent,
    told: Told,
}

thread_local! {
    /// Where colours are put to be turned or widened from.
    static TABLE: RefCell<Option<OffscreenCanvas>> = const { RefCell::new(None) };
}

impl Sight {
    /// Takes what came beside an answer out of the worker's message.
    pub(super) fn of(message: &JsValue, told: Option<Told>, worker: &Worker) -> Option<Self> {
        let told = told?;
        let part = |name: &str| Reflect::get(message, &name.into()).ok();
        if let Some(frame) = part("frame").and_then(|f| f.dyn_into::<VideoFrame>().ok()) {
            return Some(Self { sent: Sent::Frame(frame), told });
        }
        let buffer = part("colours")?.dyn_into::<ArrayBuffer>().ok()?;
        let (width, height) = told.size_px;
        let bytes = Uint8ClampedArray::new(&buffer);
        let data = ImageData::new_with_js_u8_clamped_array_and_sh(&bytes, width, height).ok()?;
        Some(Self { sent: Sent::Colours { data, buffer, lender: worker.clone() }, told })
    }

    /// Draws it over a whole canvas of its upright size; false where the browser refuses.
    #[must_use]
    pub fn fill(&self, context: &CanvasRenderingContext2d) -> bool {
        match &self.sent {
            Sent::Colours { data, .. } if self.is_as_shown() => {
                context.put_image_data(data, 0, 0).is_ok()
            }
            _ => self.draw(context),
        }
    }

    /// Draws it upright, its corner at the origin, in the context's own scale; false where the browser refuses.
    #[must_use]
    pub fn draw(&self, context: &CanvasRenderingContext2d) -> bool {
        context.save();
        let done = self.turned(context);
        context.restore();
        done.is_ok()
    }

    fn is_as_shown(&self) -> bool {
        let Told { picture, size_px } = &self.told;
        picture.orientation == Orientation::default() && *size_px == picture.upright_size_px()
    }

    fn turned(&self, context: &CanvasRenderingContext2d) -> Result<(), JsValue> {
        let picture = &self.told.picture;
        let (width, height) = picture.upright_size_px();
        // About the middle: the call nearest to the drawing is done first, so mirrored, then turned.
        context.translate(f64::from(width) / 2.0, f64::from(height) / 2.0)?;
        context.rotate(f64::from(picture.orientation.quarter_turns) * FRAC_PI_2)?;
        if picture.orientation.mirrored {
            context.scale(-1.0, 1.0)?;
        }
        let (across, down) =
            (f64::from(picture.square_width_px), f64::from(picture.square_height_px));
        let (left, top) = (-across / 2.0, -down / 2.0);
        match &self.sent {
            Sent::Frame(frame) => {
                context.draw_image_with_video_frame_and_dw_and_dh(frame, left, top, across, down)
            }
            Sent::Colours { data, .. } => {
                let table = laid_on_table(data)?;
                context
                    .draw_image_with_offscreen_canvas_and_dw_and_dh(&table, left, top, across, down)
            }
        }
    }
}

fn laid_on_table(data: &ImageData) -> Result<OffscreenCanvas, JsValue> {
    TABLE.with_borrow_mut(|kept| {
        let (width, height) = (data.width(), data.height());
        let fits = |t: &OffscreenCanvas| (t.width(), t.height()) == (width, height);
        let table = match kept.take().filter(fits) {
            Some(table) => table,
            None => OffscreenCanvas::new(width, height)?,
        };
        let context = table.get_context("2d")?.ok_or(JsValue::NULL)?;
        let context: OffscreenCanvasRenderingContext2d = context.dyn_into()?;
        context.put_image_data(data, 0, 0)?;
        *kept = Some(table.clone());
        Ok(table)
    })
}

impl Drop for Sight {
    fn drop(&mut self) {
        match &self.sent {
            Sent::Frame(frame) => frame.close(),
            Sent::Colours { buffer, lender, .. } => {
                let message = Object::new();
                // Setting a property of a plain object is never refused; a worker that ended misses nothing.
                let _ = Reflect::set(&message, &"back".into(), buffer);
                let _ = lender.post_message_with_transfer(&message, &Array::of1(buffer));
            }
        }
    }
}
