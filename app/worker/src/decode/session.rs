//! A decoder of the browser with the pictures that came out of it and were not fetched yet.

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

/// Why a run of samples ended.
pub(super) enum Trouble {
    /// The decoder stopped.
    Decoder(String),
    /// Anything else: what is wrong, then what to do.
    Other(String),
}

impl Trouble {
    /// The sentence.
    pub fn words(self) -> String {
        match self {
            Self::Decoder(words) | Self::Other(words) => words,
        }
    }
}

#[derive(Default)]
struct Inbox {
    frames: VecDeque<VideoFrame>,
    /// How many came since the run began.
    came: usize,
    failure: Option<String>,
    waker: Option<Waker>,
}

impl Inbox {
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

/// A decoder of the browser; closed when dropped, with every picture that nobody fetched.
pub(super) struct Running {
    decoder: VideoDecoder,
    inbox: Rc<RefCell<Inbox>>,
    _handlers: Handlers,
}

impl Running {
    pub fn new() -> Result<Self, String> {
        let inbox = Rc::new(RefCell::new(Inbox::default()));
        let (out, err, deq) = (Rc::clone(&inbox), Rc::clone(&inbox), Rc::clone(&inbox));
        let output = Closure::<dyn Fn(VideoFrame)>::new(move |frame| {
            let mut inbox = out.borrow_mut();
            inbox.frames.push_back(frame);
            inbox.came += 1;
            inbox.wake();
        });
        let error = Closure::<dyn Fn(DomException)>::new(move |e: DomException| {
            let mut inbox = err.borrow_mut();
            inbox.failure = Some(e.message());
            inbox.wake();
        });
        let dequeue = Closure::<dyn Fn(Event)>::new(move |_| deq.borrow_mut().wake());
        let init =
            VideoDecoderInit::new(error.as_ref().unchecked_ref(), output.as_ref().unchecked_ref());
        let decoder = VideoDecoder::new(&init).map_err(
            |_| "the browser has no decoder free: close other videos and open the clip again",
        )?;
        decoder.set_ondequeue(Some(dequeue.as_ref().unchecked_ref()));
        let handlers = Handlers { _output: output, _error: error, _dequeue: dequeue };
        Ok(Self { decoder, inbox, _handlers: handlers })
    }

    /// Makes ready for a run that begins at a key frame.
    pub fn begin(&self, config: &VideoDecoderConfig) -> Result<(), Trouble> {
        let mut inbox = self.inbox.borrow_mut();
        inbox.clear();
        inbox.came = 0;
        drop(inbox);
        let failed =
            |_: JsValue| Trouble::Other("the decoder does not start: open the clip again".into());
        if self.decoder.state() == CodecState::Closed {
            return Err(self.failure());
        }
        self.decoder.reset().map_err(failed)?;
        self.decoder.configure(config).map_err(failed)
    }

    /// Feeds one sample.
    pub fn feed(&self, bytes: &Uint8Array, stamp_us: i64, is_key: bool) -> Result<(), Trouble> {
        let kind = if is_key { EncodedVideoChunkType::Key } else { EncodedVideoChunkType::Delta };
        let init = EncodedVideoChunkInit::new(bytes, 0, kind);
        // The binding's stamp is a 32-bit number, which would overflow after 35 minutes.
        #[allow(clippy::cast_precision_loss, reason = "stamps are kept below 2^52 by the index")]
        let stamp = JsValue::from_f64(stamp_us as f64);
        let refused =
            || Trouble::Other("the browser refused a sample: the file may be damaged".into());
        Reflect::set(&init, &"timestamp".into(), &stamp).map_err(|_| refused())?;
        let chunk = EncodedVideoChunk::new(&init).map_err(|_| refused())?;
        self.decoder.decode(&chunk).map_err(|_| self.failure())
    }

    /// Has everything fed so far come out.
    pub async fn flush(&self) -> Result<(), Trouble> {
        JsFuture::from(self.decoder.flush()).await.map(|_| ()).map_err(|_| self.failure())
    }

    /// Takes the picture of this stamp out of the inbox, closes those before it, and answers the last stamp passed.
    ///
    /// It need not be the first: a browser on a busy machine may still send pictures of the run before (Firefox 153 was
    /// seen to), which are later ones after a step back.
    pub fn look_for(
        &self,
        stamp_us: i64,
        passed_us: &mut Option<i64>,
    ) -> Result<Option<VideoFrame>, Trouble> {
        let mut inbox = self.inbox.borrow_mut();
        if inbox.failure.is_some() {
            drop(inbox);
            return Err(self.failure());
        }
        let mut found = None;
        for _ in 0..inbox.frames.len() {
            let Some(frame) = inbox.frames.pop_front() else { break };
            let here = stamp_of(&frame);
            if here > stamp_us {
                inbox.frames.push_back(frame);
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

    /// How many pictures came out since the run began.
    pub fn came(&self) -> usize {
        self.inbox.borrow().came
    }

    /// How many pictures wait to be fetched.
    pub fn waiting(&self) -> usize {
        self.inbox.borrow().frames.len()
    }

    /// Whether it takes another sample while fewer than so many samples and so many pictures wait.
    pub fn has_room(&self, most_queued: u32, most_waiting: usize) -> bool {
        self.decoder.decode_queue_size() < most_queued && self.waiting() < most_waiting
    }

    /// Waits until a picture arrives, a sample leaves the queue, or the decoder fails.
    pub async fn wait(&self) {
        let mut asked = false;
        poll_fn(|context| {
            if asked {
                return Poll::Ready(());
            }
            asked = true;
            self.inbox.borrow_mut().waker = Some(context.waker().clone());
            Poll::Pending
        })
        .await;
    }

    fn failure(&self) -> Trouble {
        let reason =
            self.inbox.borrow().failure.clone().unwrap_or_else(|| "it was closed".to_owned());
        Trouble::Decoder(format!(
            "the decoder stopped ({reason}): the file may be damaged there; open it again, or convert it to H.264"
        ))
    }
}

impl Drop for Running {
    fn drop(&mut self) {
        self.decoder.set_ondequeue(None);
        if self.decoder.state() != CodecState::Closed {
            // Closing one that is being closed is refused, and is what is wanted.
            let _ = self.decoder.close();
        }
        self.inbox.borrow_mut().clear();
    }
}

/// The stamp that a picture took over from its sample, in microseconds.
fn stamp_of(frame: &VideoFrame) -> i64 {
    let stamp =
        Reflect::get(frame, &"timestamp".into()).ok().and_then(|v| v.as_f64()).unwrap_or(f64::MIN);
    #[allow(clippy::cast_possible_truncation, reason = "stamps are kept below 2^52 by the index")]
    let stamp = stamp as i64;
    stamp
}
