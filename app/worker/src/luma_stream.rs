//! The luma of a clip's frames, one after the other, for one job.

use crate::clip_source::ClipSource;
use crate::decode::decoder::Decoder;
use crate::decode::luma::{Luma, Planes, luma};
use jobs::protocol::JobError;
use js_sys::Uint8Array;
use web_sys::VideoFrame;

/// The job's own decoder, and a buffer that is used for every frame.
pub struct LumaStream {
    decoder: Decoder,
    buffer: Uint8Array,
}

impl LumaStream {
    /// A stream over this clip.
    ///
    /// # Errors
    /// If the browser has no decoder free.
    pub fn new(clip: &ClipSource) -> Result<Self, JobError> {
        Ok(Self { decoder: clip.decoder()?, buffer: Uint8Array::new_with_length(0) })
    }

    /// The luma of a frame, and its chroma if asked.
    pub async fn luma(&mut self, frame: u32, planes: Planes) -> Result<Luma, JobError> {
        let (luma, decoded) = self.luma_and_frame(frame, planes).await?;
        decoded.close();
        Ok(luma)
    }

    /// The luma of a frame and the frame itself; the caller closes it.
    pub async fn luma_and_frame(
        &mut self,
        frame: u32,
        planes: Planes,
    ) -> Result<(Luma, VideoFrame), JobError> {
        let decoded = self.decoder.frame(frame).await?;
        match luma(&decoded, &mut self.buffer, planes).await {
            Ok(luma) => Ok((luma, decoded)),
            Err(error) => {
                decoded.close();
                Err(error)
            }
        }
    }

    /// Decodes a frame only to come closer to the wanted ones.
    pub async fn skip(&mut self, frame: u32) -> Result<(), JobError> {
        self.decoder.frame(frame).await?.close();
        Ok(())
    }
}
