//! The grey pictures of a clip, one after the other, for a job that works on each.

use super::clip::Clip;
use crate::decode::decoder::Decoder;
use crate::decode::luma::{Luma, luma};
use js_sys::Uint8Array;
use web_sys::VideoFrame;

/// A decoder of a job's own, and what is kept from picture to picture.
pub struct Greys<'a> {
    clip: &'a Clip,
    decoder: Decoder,
    buffer: Uint8Array,
}

impl<'a> Greys<'a> {
    /// Those of this clip.
    pub fn of(clip: &'a Clip) -> Result<Self, String> {
        let decoder = clip.decoder()?;
        Ok(Self { clip, decoder, buffer: Uint8Array::new_with_length(0) })
    }

    /// The grey picture of a frame, with its colour where that is wanted.
    pub async fn grey(&mut self, frame: u32, with_colour: bool) -> Result<Luma, String> {
        let (grey, picture) = self.grey_and_picture(frame, with_colour).await?;
        picture.close();
        Ok(grey)
    }

    /// The grey picture of a frame and the frame itself; the caller closes it.
    pub async fn grey_and_picture(
        &mut self,
        frame: u32,
        with_colour: bool,
    ) -> Result<(Luma, VideoFrame), String> {
        let picture = self.decoder.frame(frame).await.map_err(|e| self.clip.named(&e))?;
        match luma(&picture, &mut self.buffer, with_colour).await {
            Ok(grey) => Ok((grey, picture)),
            Err(reason) => {
                picture.close();
                Err(self.clip.named(&reason))
            }
        }
    }

    /// Decodes a frame that is only on the way to the wanted ones.
    pub async fn pass(&mut self, frame: u32) -> Result<(), String> {
        self.decoder.frame(frame).await.map_err(|e| self.clip.named(&e))?.close();
        Ok(())
    }
}
