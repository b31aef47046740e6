//! The file of a clip, its index, and how to decode it.

use crate::decode::blob::BlobReader;
use crate::decode::decoder::Decoder;
use crate::decode::frame_size::visible_size_px;
use crate::decode::workarounds::with_full_range;
use jobs::protocol::JobError;
use media::{ClipIndex, Picture};
use std::rc::Rc;
use web_sys::{File, VideoDecoderConfig, VideoFrame};

/// What every decoder of a clip needs.
pub struct ClipSource {
    file: File,
    index: Rc<ClipIndex>,
    config: VideoDecoderConfig,
    /// The coded picture as the decoder outputs it.
    pub picture: Picture,
}

impl ClipSource {
    /// A source over this file; `first` is its first frame, decoded.
    pub fn new(
        file: File,
        index: Rc<ClipIndex>,
        config: VideoDecoderConfig,
        first: &VideoFrame,
    ) -> Self {
        let picture = picture_of(&index, first);
        Self { file, index, config, picture }
    }

    /// The index.
    pub fn index(&self) -> &ClipIndex {
        &self.index
    }

    /// A new decoder.
    ///
    /// # Errors
    /// If the browser has no decoder free, or cannot read the file.
    pub fn decoder(&self) -> Result<Decoder, JobError> {
        let reader = BlobReader::new(self.file.clone().into())?;
        Decoder::new(Rc::clone(&self.index), reader, self.config.clone())
    }

    /// A decoded frame as it should be displayed, in its full range of tones. Takes the frame over.
    pub async fn to_display(&self, decoded: VideoFrame) -> VideoFrame {
        with_full_range(decoded, self.index.codec.is_full_range).await
    }
}

fn picture_of(index: &ClipIndex, frame: &VideoFrame) -> Picture {
    let (coded_width_px, coded_height_px) =
        visible_size_px(frame).unwrap_or((index.width_px, index.height_px));
    let (across, down) = index.pixel_shape;
    let widened = (u64::from(coded_width_px) * u64::from(across.max(1))
        + u64::from(down.max(1)) / 2)
        / u64::from(down.max(1));
    let square_width_px =
        u32::try_from(widened).ok().filter(|w| (1..=32_768).contains(w)).unwrap_or(coded_width_px);
    Picture {
        coded_width_px,
        coded_height_px,
        square_width_px,
        square_height_px: coded_height_px,
        orientation: index.orientation,
    }
}
