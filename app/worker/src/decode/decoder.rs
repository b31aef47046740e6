//! Decodes exactly the frame that is asked for, with WebCodecs.

use super::blob::BlobReader;
use super::session::{Running, Trouble};
use super::workarounds::whole;
use js_sys::{Reflect, Uint8Array};
use media::ClipIndex;
use std::collections::BTreeSet;
use std::rc::Rc;
use wasm_bindgen_futures::JsFuture;
use web_sys::{VideoDecoder, VideoDecoderConfig, VideoFrame};

const MOST_WAITING: usize = 5;
/// Chosen: enough to keep a decoder busy; hardware decoders lend only a few pictures at a time.
const MOST_QUEUED: u32 = 8;
/// Chosen: so many pictures that are all later than the wanted one prove that it will not come.
const MOST_TOO_LATE: usize = 16;
/// Chosen: no codec that browsers know holds a picture back for longer than this many samples.
const MOST_HELD_BACK: usize = 40;

/// A decoder over one clip.
pub struct Decoder {
    index: Rc<ClipIndex>,
    file: BlobReader,
    config: VideoDecoderConfig,
    running: Running,
    /// The next sample to feed; none before the first run.
    next: Option<usize>,
    /// The stamp of the last picture given out or passed over since the run began.
    passed_us: Option<i64>,
    /// Whether the frame asked for last is the first of its run: what follows it is not known to be wanted.
    leapt: bool,
    /// Key frames at which this browser cannot begin.
    no_starts: BTreeSet<usize>,
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
        let (running, no_starts) = (Running::new()?, BTreeSet::new());
        Ok(Self {
            index,
            file,
            config,
            running,
            next: None,
            passed_us: None,
            leapt: false,
            no_starts,
        })
    }

    /// The picture of a shown frame in the rows and columns of the file; the caller closes it.
    ///
    /// # Errors
    /// When there is no such frame, or the file or the decoder fails.
    pub async fn frame(&mut self, frame: u32) -> Result<VideoFrame, String> {
        Ok(whole(self.decoded(frame).await?, &self.index))
    }

    /// A decoder that stops soon after the beginning of a run may not be able to begin there: `WebKitGTK` 2.50 cannot at
    /// a key frame of an open group of pictures, before which others are shown that refer further back. Then it is begun
    /// further and further back.
    async fn decoded(&mut self, frame: u32) -> Result<VideoFrame, String> {
        let (at, _) = self
            .index
            .sample_of(frame)
            .ok_or_else(|| format!("there is no frame {} in this clip", frame + 1))?;
        let mut groups_back = 1;
        loop {
            let begin = self.begin_for(at);
            let trouble = match self.run_to(frame, begin).await {
                Ok(picture) => return Ok(picture),
                Err(trouble) => trouble,
            };
            let is_at_the_start = self.running.came() <= MOST_HELD_BACK;
            if !matches!(trouble, Trouble::Decoder(_)) || !is_at_the_start || begin == 0 {
                return Err(trouble.words());
            }
            for _ in 0..groups_back {
                self.no_starts.insert(self.begin_for(at));
            }
            groups_back *= 2;
            self.running = Running::new()?;
            (self.next, self.passed_us) = (None, None);
        }
    }

    /// The sample at which decoding begins for this one: none that this browser cannot begin at.
    fn begin_for(&self, sample: usize) -> usize {
        let mut begin = self.index.decode_start(sample);
        while begin > 0 && self.no_starts.contains(&begin) {
            begin = self.index.decode_start(begin - 1);
        }
        begin
    }

    /// Goes on from where it is when the frame lies ahead in the same run of samples, else begins at this key frame.
    async fn run_to(&mut self, frame: u32, begin: usize) -> Result<VideoFrame, Trouble> {
        let missing = || {
            Trouble::Other(format!(
                "frame {} does not come out of the decoder: the file may be damaged there",
                frame + 1
            ))
        };
        let (at, sample) = self.index.sample_of(frame).ok_or_else(missing)?;
        let ahead = self.passed_us.is_none_or(|passed| passed < sample.stamp_us);
        // After a flush the last pictures of the clip wait here, and no sample can follow them.
        if let (true, Some(found)) = (ahead, self.look_for(sample.stamp_us)?) {
            return Ok(found);
        }
        let in_reach = self.next.is_some_and(|next| begin <= next);
        self.leapt = !(ahead && in_reach);
        if self.leapt {
            self.running.begin(&self.config)?;
            (self.next, self.passed_us) = (Some(begin), None);
        }
        let last_fed = (at + MOST_HELD_BACK).min(self.index.samples().len());
        loop {
            if let Some(found) = self.look_for(sample.stamp_us)? {
                return Ok(found);
            }
            if self.next.is_none_or(|next| next >= last_fed) {
                // The next run begins at a key frame.
                self.running.flush().await?;
                self.next = None;
                return self.look_for(sample.stamp_us)?.ok_or_else(missing);
            }
            let waiting = self.running.waiting();
            if waiting >= MOST_TOO_LATE {
                return Err(missing());
            }
            // After the search above every picture still waiting is later than the wanted one.
            let most_waiting = if waiting == 0 { MOST_WAITING } else { MOST_TOO_LATE };
            // Samples after the wanted one are decoded only until it comes out: those that a decoder has taken without
            // need hold up the drawing, and the next leap.
            let is_past = self.next.is_some_and(|next| next > at);
            let most_queued = if self.leapt && is_past { 1 } else { MOST_QUEUED };
            if self.running.has_room(most_queued, most_waiting) {
                self.feed()?;
            } else {
                self.running.wait().await;
            }
        }
    }

    fn look_for(&mut self, stamp_us: i64) -> Result<Option<VideoFrame>, Trouble> {
        self.running.look_for(stamp_us, &mut self.passed_us)
    }

    fn feed(&mut self) -> Result<(), Trouble> {
        let Some(sample) = self.next.and_then(|n| self.index.samples().get(n).copied()) else {
            return Ok(());
        };
        let bytes = self.file.sample(sample.offset, sample.size_bytes).map_err(|e| {
            Trouble::Other(format!("the file can no longer be read ({e}): choose it again"))
        })?;
        self.running.feed(&bytes, sample.stamp_us, sample.is_key)?;
        self.next = self.next.map(|n| n + 1);
        Ok(())
    }
}
