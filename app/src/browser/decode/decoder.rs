//! Decodes exactly the frame that is asked for, with WebCodecs.

use super::anew::whole;
use super::blob::BlobReader;
use crate::media::ClipIndex;
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

/// Chosen: enough to keep a decoder busy; hardware decoders lend only a few pictures at a time.
const MOST_QUEUED: u32 = 8;
const MOST_WAITING: usize = 5;
/// Chosen: so many pictures that are all later than the wanted one prove that it will not come.
const MOST_TOO_LATE: usize = 16;
/// Chosen: no codec that browsers know holds a picture back for longer than this many samples.
const MOST_HELD_BACK: usize = 40;

#[derive(Default)]
struct Inbox {
    frames: VecDeque<VideoFrame>,
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

/// A decoder over one clip.
pub struct Decoder {
    index: Rc<ClipIndex>,
    file: BlobReader,
    config: VideoDecoderConfig,
    decoder: VideoDecoder,
    inbox: Rc<RefCell<Inbox>>,
    _handlers: Handlers,
    /// The next sample to feed; none before the first run.
    next: Option<usize>,
    /// The stamp of the last picture given out or passed over since the run began.
    passed_us: Option<i64>,
}

/// The configuration of a clip.
///
/// # Errors
/// When this browser does not know the codec: a sentence that says what to do.
pub async fn configuration(index: &ClipIndex) -> Result<VideoDecoderConfig, String> {
    let codec = &index.codec;
    let config = VideoDecoderConfig::new(&codec.string);
    config.set_coded_width(index.width_px);
    config.set_coded_height(index.height_px);
    if let Some(description) = &codec.description {
        config.set_description(&Uint8Array::from(description.as_slice()));
    }
    let answer = JsFuture::from(VideoDecoder::is_config_supported(&config)).await;
    let supported = answer
        .ok()
        .and_then(|a| Reflect::get(&a, &"supported".into()).ok())
        .is_some_and(|s| s.is_truthy());
    if supported {
        return Ok(config);
    }
    let (label, profile) = (codec.label(), codec.string.as_str());
    // Profiles of H.264 with more than 8 bits or finer colour: High 10, High 4:2:2, High 4:4:4 (ISO/IEC 14496-10, A.2).
    let fine =
        ["avc1.6e", "avc1.7a", "avc1.f4"].iter().any(|p| profile.to_lowercase().starts_with(p));
    let way_out = if fine {
        "film with 8 bits, without HDR or log, or convert the clip to H.264 of 8 bits and 4:2:0, or open this page in another \
         browser"
    } else {
        "set the phone to record “most compatible” (H.264), convert the clip to H.264, or open this page in a browser that \
         can, such as Safari for HEVC"
    };
    Err(format!("this browser cannot decode {label}: {way_out}"))
}

impl Decoder {
    /// A decoder of this clip.
    ///
    /// # Errors
    /// When the browser refuses to make one.
    pub fn new(
        index: Rc<ClipIndex>,
        file: BlobReader,
        config: VideoDecoderConfig,
    ) -> Result<Self, String> {
        let inbox = Rc::new(RefCell::new(Inbox::default()));
        let (out, err, deq) = (Rc::clone(&inbox), Rc::clone(&inbox), Rc::clone(&inbox));
        let output = Closure::<dyn Fn(VideoFrame)>::new(move |frame| {
            let mut inbox = out.borrow_mut();
            inbox.frames.push_back(frame);
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
        Ok(Self {
            index,
            file,
            config,
            decoder,
            inbox,
            _handlers: handlers,
            next: None,
            passed_us: None,
        })
    }

    /// The picture of a shown frame in the rows and columns of the file; the caller closes it.
    ///
    /// # Errors
    /// When there is no such frame, or the file or the decoder fails.
    pub async fn frame(&mut self, frame: u32) -> Result<VideoFrame, String> {
        Ok(whole(self.decoded(frame).await?, &self.index))
    }

    /// Goes on from where it is when the frame lies ahead in the same run of samples, else begins at the
    /// key frame before it.
    async fn decoded(&mut self, frame: u32) -> Result<VideoFrame, String> {
        let (at, sample) = self
            .index
            .sample_of(frame)
            .ok_or_else(|| format!("there is no frame {} in this clip", frame + 1))?;
        let begin = self.index.run_start(at);
        let ahead = self.passed_us.is_none_or(|passed| passed < sample.stamp_us);
        // After a flush the last pictures of the clip wait here, and no sample can follow them.
        if let (true, Some(found)) = (ahead, self.look_for(sample.stamp_us)?) {
            return Ok(found);
        }
        let in_reach = self.next.is_some_and(|next| begin <= next);
        if !(ahead && in_reach) {
            self.begin(begin)?;
        }
        let missing = || {
            format!(
                "frame {} does not come out of the decoder: the file may be damaged there",
                frame + 1
            )
        };
        let last_fed = (at + MOST_HELD_BACK).min(self.index.samples().len());
        loop {
            if let Some(found) = self.look_for(sample.stamp_us)? {
                return Ok(found);
            }
            if self.next.is_none_or(|next| next >= last_fed) {
                self.flush().await?;
                let found = self.look_for(sample.stamp_us)?;
                return found.ok_or_else(missing);
            }
            let waiting = self.inbox.borrow().frames.len();
            if waiting >= MOST_TOO_LATE {
                return Err(missing());
            }
            // After the search above every picture still waiting is later than the wanted one.
            let most_waiting = if waiting == 0 { MOST_WAITING } else { MOST_TOO_LATE };
            if self.has_room(most_waiting) { self.feed()? } else { self.wait().await }
        }
    }

    /// Begins a run at a key frame.
    fn begin(&mut self, sample: usize) -> Result<(), String> {
        self.inbox.borrow_mut().clear();
        let failed = |_: JsValue| "the decoder does not start: open the clip again".to_owned();
        if self.decoder.state() == CodecState::Closed {
            return Err(self.failure());
        }
        self.decoder.reset().map_err(failed)?;
        self.decoder.configure(&self.config).map_err(failed)?;
        self.next = Some(sample);
        self.passed_us = None;
        Ok(())
    }

    /// Takes the picture of this stamp out of the inbox, and closes those before it.
    ///
    /// It need not be the first: a browser on a busy machine may still send pictures of the run before (Firefox 153 was
    /// seen to), which are later ones after a step back.
    fn look_for(&mut self, stamp_us: i64) -> Result<Option<VideoFrame>, String> {
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
            self.passed_us = self.passed_us.max(Some(here));
            if here == stamp_us && found.is_none() {
                found = Some(frame);
            } else {
                frame.close();
            }
        }
        Ok(found)
    }

    fn failure(&self) -> String {
        let reason =
            self.inbox.borrow().failure.clone().unwrap_or_else(|| "it was closed".to_owned());
        format!(
            "the decoder stopped ({reason}): the file may be damaged there; open it again, or convert it to H.264"
        )
    }

    fn has_room(&self, most_waiting: usize) -> bool {
        self.decoder.decode_queue_size() < MOST_QUEUED
            && self.inbox.borrow().frames.len() < most_waiting
    }

    fn feed(&mut self) -> Result<(), String> {
        let Some(sample) = self.next.and_then(|n| self.index.samples().get(n).copied()) else {
            return Ok(());
        };
        let bytes = self
            .file
            .stretch(sample.offset, u64::from(sample.size_bytes))
            .map_err(|e| format!("the file can no longer be read ({e}): choose it again"))?;
        let kind =
            if sample.is_key { EncodedVideoChunkType::Key } else { EncodedVideoChunkType::Delta };
        let init = EncodedVideoChunkInit::new(&bytes, 0, kind);
        // The binding's stamp is a 32-bit number, which would overflow after 35 minutes.
        #[allow(clippy::cast_precision_loss, reason = "stamps are kept below 2^52 by the index")]
        let stamp = JsValue::from_f64(sample.stamp_us as f64);
        Reflect::set(&init, &"timestamp".into(), &stamp)
            .map_err(|_| "the browser refused a sample")?;
        let chunk = EncodedVideoChunk::new(&init)
            .map_err(|_| "the browser refused a sample: the file may be damaged")?;
        self.decoder.decode(&chunk).map_err(|_| self.failure())?;
        self.next = self.next.map(|n| n + 1);
        Ok(())
    }

    /// Has everything fed so far come out; the next run begins at a key frame.
    async fn flush(&mut self) -> Result<(), String> {
        let flushed = JsFuture::from(self.decoder.flush()).await;
        self.next = None;
        flushed.map(|_| ()).map_err(|_| self.failure())
    }

    /// Waits until a picture arrives, a sample leaves the queue, or the decoder fails.
    async fn wait(&self) {
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
}

impl Drop for Decoder {
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
