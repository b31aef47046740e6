//! A browser decoder and the frames that it has output but nobody has taken yet.

use jobs::protocol::JobError;
use js_sys::{Reflect, Uint8Array};
use std::cell::RefCell;
use std::collections::VecDeque;
use std::future::poll_fn;
use std::rc::Rc;
use std::task::{Poll, Waker};
use wasm_bindgen::prelude::*;
use wasm_bindgen_futures::JsFuture;
use web_sys::{
    CodecState, DomException, EncodedVideoChunk, EncodedVideoChunkInit, EncodedVideoChunkType,
    Event, VideoDecoder, VideoDecoderConfig, VideoDecoderInit, VideoFrame,
};

#[derive(Default)]
struct Output {
    frames: VecDeque<VideoFrame>,
    /// Frames output since the run began.
    count: usize,
    failure: Option<String>,
    waker: Option<Waker>,
}

impl Output {
    fn wake(&mut self) {
        if let Some(waker) = self.waker.take() {
            waker.wake();
        }
    }

    fn clear(&mut self) {
        for frame in self.frames.drain(..) {
            frame.close();
        }
    }
}

struct Handlers {
    _output: Closure<dyn Fn(VideoFrame)>,
    _error: Closure<dyn Fn(DomException)>,
    _dequeue: Closure<dyn Fn(Event)>,
}

/// A browser decoder. Dropped, it closes itself and every frame that nobody has taken.
pub(super) struct DecoderSession {
    decoder: VideoDecoder,
    output: Rc<RefCell<Output>>,
    _handlers: Handlers,
}

impl DecoderSession {
    /// A new decoder.
    ///
    /// # Errors
    /// `NoDecoder` if the browser has none free.
    pub fn new() -> Result<Self, JobError> {
        let output = Rc::new(RefCell::new(Output::default()));
        let (out, err, deq) = (Rc::clone(&output), Rc::clone(&output), Rc::clone(&output));
        let on_output = Closure::<dyn Fn(VideoFrame)>::new(move |frame| {
            let mut output = out.borrow_mut();
            output.frames.push_back(frame);
            output.count += 1;
            output.wake();
        });
        let on_error = Closure::<dyn Fn(DomException)>::new(move |e: DomException| {
            let mut output = err.borrow_mut();
            output.failure = Some(e.message());
            output.wake();
        });
        let on_dequeue = Closure::<dyn Fn(Event)>::new(move |_| deq.borrow_mut().wake());
        let init = VideoDecoderInit::new(
            on_error.as_ref().unchecked_ref(),
            on_output.as_ref().unchecked_ref(),
        );
        let decoder = VideoDecoder::new(&init).map_err(|_| JobError::NoDecoder)?;
        decoder.set_ondequeue(Some(on_dequeue.as_ref().unchecked_ref()));
        let handlers = Handlers { _output: on_output, _error: on_error, _dequeue: on_dequeue };
        Ok(Self { decoder, output, _handlers: handlers })
    }

    /// Prepares for a run that begins at a key frame.
    pub fn begin(&self, config: &VideoDecoderConfig) -> Result<(), JobError> {
        let mut output = self.output.borrow_mut();
        output.clear();
        output.count = 0;
        drop(output);
        let failed = |_: JsValue| JobError::DecoderRefused;
        if self.decoder.state() == CodecState::Closed {
            return Err(self.failure());
        }
        self.decoder.reset().map_err(failed)?;
        self.decoder.configure(config).map_err(failed)
    }

    /// Feeds one sample.
    pub fn feed(&self, bytes: &Uint8Array, stamp_us: i64, is_key: bool) -> Result<(), JobError> {
        let kind = if is_key { EncodedVideoChunkType::Key } else { EncodedVideoChunkType::Delta };
        let init = EncodedVideoChunkInit::new(bytes, 0, kind);
        // The binding takes the stamp as 32 bits, which would overflow after 35 minutes.
        #[allow(clippy::cast_precision_loss, reason = "stamps are kept below 2^52 by the index")]
        let stamp = JsValue::from_f64(stamp_us as f64);
        let refused = |_: JsValue| JobError::SampleRefused;
        Reflect::set(&init, &"timestamp".into(), &stamp).map_err(refused)?;
        let chunk = EncodedVideoChunk::new(&init).map_err(refused)?;
        self.decoder.decode(&chunk).map_err(|_| self.failure())
    }

    /// Waits until everything fed so far is output.
    pub async fn flush(&self) -> Result<(), JobError> {
        JsFuture::from(self.decoder.flush()).await.map(|_| ()).map_err(|_| self.failure())
    }

    /// Takes the frame with this stamp from the output, closes the frames before it, and keeps the last stamp passed.
    ///
    /// It need not be the first: a browser on a busy machine may still output frames of the run before, as Firefox 153
    /// does. After a step back those are later ones.
    pub fn take(
        &self,
        stamp_us: i64,
        passed_us: &mut Option<i64>,
    ) -> Result<Option<VideoFrame>, JobError> {
        let mut output = self.output.borrow_mut();
        if output.failure.is_some() {
            drop(output);
            return Err(self.failure());
        }
        let mut found = None;
        for _ in 0..output.frames.len() {
            let Some(frame) = output.frames.pop_front() else { break };
            let here = stamp_of(&frame);
            if here > stamp_us {
                output.frames.push_back(frame);
                continue;
            }
            *passed_us = (*passed_us).max(Some(here));
            if here == stamp_us && found.is_none() {
                found = Some(frame);
            } else {
                frame.close();
            }
        }
        Ok(found)
    }

    /// Frames output since the run began.
    pub fn output_count(&self) -> usize {
        self.output.borrow().count
    }

    /// Frames that nobody has taken yet.
    pub fn waiting(&self) -> usize {
        self.output.borrow().frames.len()
    }

    /// Whether fewer samples and fewer frames than these wait, so that another sample may be fed.
    pub fn has_room(&self, most_queued: u32, most_waiting: usize) -> bool {
        self.decoder.decode_queue_size() < most_queued && self.waiting() < most_waiting
    }

    /// Waits until a frame is output, a sample leaves the queue, or the decoder fails.
    pub async fn wait(&self) {
        let mut is_woken = false;
        poll_fn(|context| {
            if is_woken {
                return Poll::Ready(());
            }
            is_woken = true;
            self.output.borrow_mut().waker = Some(context.waker().clone());
            Poll::Pending
        })
        .await;
    }

    fn failure(&self) -> JobError {
        JobError::DecoderStopped { reason: self.output.borrow().failure.clone() }
    }
}

impl Drop for DecoderSession {
    fn drop(&mut self) {
        self.decoder.set_ondequeue(None);
        if self.decoder.state() != CodecState::Closed {
            // Fails only if the decoder is being closed already.
            let _ = self.decoder.close();
        }
        self.output.borrow_mut().clear();
    }
}

/// The stamp that a frame has from its sample, in microseconds.
fn stamp_of(frame: &VideoFrame) -> i64 {
    let stamp =
        Reflect::get(frame, &"timestamp".into()).ok().and_then(|v| v.as_f64()).unwrap_or(f64::MIN);
    #[allow(clippy::cast_possible_truncation, reason = "stamps are kept below 2^52 by the index")]
    let stamp = stamp as i64;
    stamp
}
