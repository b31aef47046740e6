//! Serves the frames of one clip for display: from the cache if it can, else from a decoder.

use crate::clip_source::ClipSource;
use crate::decode::decoder::Decoder;
use crate::decode::frame_cache::FrameCache;
use jobs::protocol::JobError;
use web_sys::VideoFrame;

/// Chosen: a frame at most this far before the last one is a step back, and more steps back will follow.
const STEP_BACK: u32 = 12;

/// The state of serving one clip.
#[derive(Default)]
pub struct FrameServer {
    decoder: Option<Decoder>,
    cache: FrameCache,
    last: Option<u32>,
}

impl FrameServer {
    /// A server that begins with this decoder.
    #[must_use]
    pub fn with(decoder: Decoder) -> Self {
        Self { decoder: Some(decoder), ..Self::default() }
    }

    /// A frame, if it is in the cache; the caller closes it.
    pub fn cached(&mut self, frame: u32) -> Option<VideoFrame> {
        self.cache.get(frame)
    }

    /// A frame; the caller closes it.
    ///
    /// # Errors
    /// If the clip has no such frame, or the file or the decoder fails.
    pub async fn frame(&mut self, clip: &ClipSource, frame: u32) -> Result<VideoFrame, JobError> {
        if let Some(cached) = self.cache.get(frame) {
            self.last = Some(frame);
            return Ok(cached);
        }
        // A step back decodes the frames before it anyway: they are cached for the next steps.
        let is_step_back = self.last.is_some_and(|last| frame < last && last - frame <= STEP_BACK);
        if is_step_back {
            let most = (self.cache.capacity() / 2).max(1);
            for earlier in clip.index().batch_start(frame, most)..frame {
                if !self.cache.has(earlier) {
                    let decoded = self.decode(clip, earlier).await?;
                    self.cache.put(earlier, &decoded).await;
                    decoded.close();
                }
            }
        }
        let decoded = self.decode(clip, frame).await?;
        self.cache.put(frame, &decoded).await;
        self.last = Some(frame);
        Ok(decoded)
    }

    /// Decodes a frame. A decoder that fails is dropped, and the next frame gets a new one.
    async fn decode(&mut self, clip: &ClipSource, frame: u32) -> Result<VideoFrame, JobError> {
        let mut decoder = match self.decoder.take() {
            Some(decoder) => decoder,
            None => clip.decoder()?,
        };
        let decoded = decoder.frame(frame).await?;
        self.decoder = Some(decoder);
        Ok(clip.to_display(decoded).await)
    }
}
