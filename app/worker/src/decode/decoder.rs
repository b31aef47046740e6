//! Decodes exactly the frame that is asked for, with WebCodecs.

use super::blob::BlobReader;
use super::decoder_session::DecoderSession;
use super::workarounds::in_coded_size;
use jobs::protocol::JobError;
use js_sys::{Reflect, Uint8Array};
use media::ClipIndex;
use std::collections::BTreeSet;
use std::rc::Rc;
use wasm_bindgen_futures::JsFuture;
use web_sys::{VideoDecoder, VideoDecoderConfig, VideoFrame};

/// Output frames to wait for before more samples are fed. Chosen: hardware decoders have only a few frames.
const MOST_WAITING: usize = 5;
/// Samples to queue. Chosen: enough to keep a decoder busy.
const MOST_QUEUED: u32 = 8;
/// Chosen: this many output frames that are all later than the wanted one prove that it will not come.
const MOST_TOO_LATE: usize = 16;
/// Chosen: no codec of the browsers holds a frame back for more samples than this.
const MOST_HELD_BACK: usize = 40;

/// Profiles of H.264 with more than 8 bits or finer colour than 4:2:0: High 10, High 4:2:2, High 4:4:4.
///
/// Source: ISO/IEC 14496-10, A.2.
const HIGH_PROFILES: [&str; 3] = ["avc1.6e", "avc1.7a", "avc1.f4"];

/// Decodes the frames of one clip.
pub struct Decoder {
    index: Rc<ClipIndex>,
    file: BlobReader,
    config: VideoDecoderConfig,
    session: DecoderSession,
    /// The next sample to feed; none before the first run.
    next: Option<usize>,
    /// The stamp of the last frame returned or skipped since the run began.
    passed_us: Option<i64>,
    /// Whether the frame asked for last began a new run, so that the frames after it may not be wanted.
    is_seek: bool,
    /// Key frames, by sample, at which this browser cannot begin.
    no_starts: BTreeSet<usize>,
}

/// The decoder configuration of a clip.
///
/// # Errors
/// `UnsupportedCodec` if this browser cannot decode it.
pub async fn configuration(index: &ClipIndex) -> Result<VideoDecoderConfig, JobError> {
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
    let profile = codec.string.to_lowercase();
    let is_high_profile = HIGH_PROFILES.iter().any(|p| profile.starts_with(p));
    Err(JobError::UnsupportedCodec { codec: codec.label(), is_high_profile })
}

impl Decoder {
    /// A decoder of this clip.
    ///
    /// # Errors
    /// `NoDecoder` if the browser has none free.
    pub fn new(
        index: Rc<ClipIndex>,
        file: BlobReader,
        config: VideoDecoderConfig,
    ) -> Result<Self, JobError> {
        Ok(Self {
            index,
            file,
            config,
            session: DecoderSession::new()?,
            next: None,
            passed_us: None,
            is_seek: false,
            no_starts: BTreeSet::new(),
        })
    }

    /// A frame with the rows and columns of the file; the caller closes it.
    ///
    /// # Errors
    /// If the clip has no such frame, or the file or the decoder fails.
    pub async fn frame(&mut self, frame: u32) -> Result<VideoFrame, JobError> {
        Ok(in_coded_size(self.decoded(frame).await?, &self.index))
    }

    /// Begins further and further back if the decoder stops soon after the beginning of a run. `WebKitGTK` 2.50 cannot
    /// begin at a key frame of an open group of pictures, before which frames are displayed that refer further back.
    async fn decoded(&mut self, frame: u32) -> Result<VideoFrame, JobError> {
        let (at, _) = self.index.sample_of(frame).ok_or(JobError::NoSuchFrame { frame })?;
        let mut groups_back = 1;
        loop {
            let begin = self.begin_for(at);
            let error = match self.run_to(frame, begin).await {
                Ok(decoded) => return Ok(decoded),
                Err(error) => error,
            };
            let is_at_the_start = self.session.output_count() <= MOST_HELD_BACK;
            let has_stopped = matches!(error, JobError::DecoderStopped { .. });
            if !has_stopped || !is_at_the_start || begin == 0 {
                return Err(error);
            }
            for _ in 0..groups_back {
                self.no_starts.insert(self.begin_for(at));
            }
            groups_back *= 2;
            self.session = DecoderSession::new()?;
            (self.next, self.passed_us) = (None, None);
        }
    }

    /// The sample at which decoding begins for this one, without those at which this browser cannot begin.
    fn begin_for(&self, sample: usize) -> usize {
        let mut begin = self.index.decode_start(sample);
        while begin > 0 && self.no_starts.contains(&begin) {
            begin = self.index.decode_start(begin - 1);
        }
        begin
    }

    /// Continues the run if the frame lies ahead in it, else begins a run at this key frame.
    async fn run_to(&mut self, frame: u32, begin: usize) -> Result<VideoFrame, JobError> {
        let (at, sample) = self.index.sample_of(frame).ok_or(JobError::NoSuchFrame { frame })?;
        let is_ahead = self.passed_us.is_none_or(|passed| passed < sample.stamp_us);
        // After a flush the last frames of the clip wait here, and no sample can follow them.
        if let (true, Some(found)) = (is_ahead, self.take(sample.stamp_us)?) {
            return Ok(found);
        }
        let is_in_run = self.next.is_some_and(|next| begin <= next);
        self.is_seek = !(is_ahead && is_in_run);
        if self.is_seek {
            self.session.begin(&self.config)?;
            (self.next, self.passed_us) = (Some(begin), None);
        }
        let last_fed = (at + MOST_HELD_BACK).min(self.index.samples().len());
        loop {
            if let Some(found) = self.take(sample.stamp_us)? {
                return Ok(found);
            }
            if self.next.is_none_or(|next| next >= last_fed) {
                // The next run begins at a key frame.
                self.session.flush().await?;
                self.next = None;
                return self.take(sample.stamp_us)?.ok_or(JobError::FrameMissing { frame });
            }
            let waiting = self.session.waiting();
            if waiting >= MOST_TOO_LATE {
                return Err(JobError::FrameMissing { frame });
            }
            // Every frame that still waits is later than the wanted one.
            let most_waiting = if waiting == 0 { MOST_WAITING } else { MOST_TOO_LATE };
            // After a seek, samples past the wanted one are fed one at a time: more would delay the display and the
            // next seek.
            let is_past = self.next.is_some_and(|next| next > at);
            let most_queued = if self.is_seek && is_past { 1 } else { MOST_QUEUED };
            if self.session.has_room(most_queued, most_waiting) {
                self.feed()?;
            } else {
                self.session.wait().await;
            }
        }
    }

    fn take(&mut self, stamp_us: i64) -> Result<Option<VideoFrame>, JobError> {
        self.session.take(stamp_us, &mut self.passed_us)
    }

    fn feed(&mut self) -> Result<(), JobError> {
        let Some(sample) = self.next.and_then(|n| self.index.samples().get(n).copied()) else {
            return Ok(());
        };
        let bytes = self.file.sample(sample.offset, sample.size_bytes)?;
        self.session.feed(&bytes, sample.stamp_us, sample.is_key)?;
        self.next = self.next.map(|n| n + 1);
        Ok(())
    }
}
