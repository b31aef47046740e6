//! Shows frames of one clip: from those kept where it can, else from a decoder.

use super::clip::Clip;
use crate::decode::decoder::Decoder;
use crate::decode::frame_cache::Recent;
use crate::decode::workarounds::told_full;
use web_sys::VideoFrame;

/// A frame so little before the last one is a step back, and more steps are to be expected.
const STEP_BACK: u32 = 12;

/// The state of showing one clip.
#[derive(Default)]
pub struct Shower {
    decoder: Option<Decoder>,
    recent: Recent,
    last: Option<u32>,
}

impl Shower {
    /// Goes on with this decoder.
    #[must_use]
    pub fn with(decoder: Decoder) -> Self {
        Self { decoder: Some(decoder), ..Self::default() }
    }

    /// The picture of a frame as it is coded, if it was kept; the caller closes it.
    pub fn kept(&mut self, frame: u32) -> Option<VideoFrame> {
        self.recent.get(frame)
    }

    /// The picture of a frame as it is coded; the caller closes it.
    ///
    /// # Errors
    /// When there is no such frame, or the file or the decoder fails.
    pub async fn picture(&mut self, clip: &Clip, frame: u32) -> Result<VideoFrame, String> {
        if let Some(kept) = self.recent.get(frame) {
            self.last = Some(frame);
            return Ok(kept);
        }
        // What must be decoded on the way to a frame further back is kept for the steps to come.
        let steps_back = self.last.is_some_and(|last| frame < last && last - frame <= STEP_BACK);
        if steps_back {
            let most = (self.recent.room() / 2).max(1);
            for earlier in clip.index().batch_start(frame, most)..frame {
                if !self.recent.has(earlier) {
                    let picture = self.decode(clip, earlier).await?;
                    self.recent.keep(earlier, &picture).await;
                    picture.close();
                }
            }
        }
        let picture = self.decode(clip, frame).await?;
        self.recent.keep(frame, &picture).await;
        self.last = Some(frame);
        Ok(picture)
    }

    /// A decoder that failed is dropped; the next frame gets a new one.
    async fn decode(&mut self, clip: &Clip, frame: u32) -> Result<VideoFrame, String> {
        let mut decoder = match self.decoder.take() {
            Some(decoder) => decoder,
            None => clip.decoder()?,
        };
        let picture = decoder.frame(frame).await.map_err(|e| clip.named(&e))?;
        self.decoder = Some(decoder);
        Ok(told_full(picture, clip.index().codec.is_full_range).await)
    }
}
