//! A clip in the worker's hands.

use super::frame_server::Shower;
use crate::decode::blob::BlobReader;
use crate::decode::decoder::{Decoder, configuration};
use crate::decode::workarounds::told_full;
use document::session::ClipInfo;
use jobs::Answer;
use media::{ClipIndex, Picture, fingerprint};
use std::cell::RefCell;
use std::rc::Rc;
use web_sys::{File, VideoDecoderConfig, VideoFrame};

/// A clip that was opened.
pub struct Clip {
    name: String,
    file: File,
    index: Rc<ClipIndex>,
    config: VideoDecoderConfig,
    /// The coded picture as the decoder really sends it.
    pub picture: Picture,
    /// What shows frames; taken out while it works.
    shower: RefCell<Option<Shower>>,
}

impl Clip {
    /// Reads the index of a file and decodes its first frame, so that what is opened can be shown.
    ///
    /// # Errors
    /// A sentence that names the file, what is wrong and what to do.
    pub async fn open(file: File) -> Result<(Self, Answer), String> {
        let name = file.name();
        let named = |reason: String| format!("“{name}”: {reason}.");
        let mut reader = BlobReader::new(file.clone().into()).map_err(|e| named(e.to_string()))?;
        let index = Rc::new(ClipIndex::read(&mut reader).map_err(|e| named(e.to_string()))?);
        let fingerprint = fingerprint(&mut reader).map_err(|e| named(e.to_string()))?;
        let config = configuration(&index).await.map_err(named)?;
        let mut decoder = Decoder::new(Rc::clone(&index), reader, config.clone()).map_err(named)?;
        let first = decoder.frame(0).await.map_err(named)?;
        let picture = picture_of(&index, &first);
        first.close();
        let (width_px, height_px) = picture.upright_size_px();
        let info = ClipInfo {
            width_px,
            height_px,
            codec: index.codec.label(),
            rotation_quarter_turns: index.orientation.quarter_turns,
            stamps_s: index.stamps_s(),
            filmed_rate_hz: index.capture_rate_hz,
        };
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a file's size is a whole number below 2^53"
        )]
        let size_bytes = file.size() as u64;
        let opened = Answer::Opened { info, name: name.clone(), size_bytes, fingerprint };
        Ok((
            Self {
                name,
                file,
                index,
                config,
                picture,
                shower: RefCell::new(Some(Shower::with(decoder))),
            },
            opened,
        ))
    }

    /// Number of shown frames.
    pub fn frame_count(&self) -> u32 {
        self.index.frame_count()
    }

    /// The index.
    pub fn index(&self) -> &ClipIndex {
        &self.index
    }

    /// A decoder of its own, for a job beside the showing.
    pub fn decoder(&self) -> Result<Decoder, String> {
        let reader =
            BlobReader::new(self.file.clone().into()).map_err(|e| self.named(&e.to_string()))?;
        Decoder::new(Rc::clone(&self.index), reader, self.config.clone())
            .map_err(|e| self.named(&e))
    }

    /// The picture of a frame as it is coded, to be shown.
    pub async fn picture_of_frame(&self, frame: u32) -> Result<VideoFrame, String> {
        let taken = self.shower.borrow_mut().take();
        let mut shower = taken.unwrap_or_default();
        let shown = shower.picture(self, frame).await;
        *self.shower.borrow_mut() = Some(shower);
        shown
    }

    /// The same beside the showing, which goes on where it is.
    pub async fn glimpse(&self, frame: u32) -> Result<VideoFrame, String> {
        let kept = self.shower.borrow_mut().as_mut().and_then(|shower| shower.kept(frame));
        if let Some(kept) = kept {
            return Ok(kept);
        }
        let picture = self.decoder()?.frame(frame).await.map_err(|e| self.named(&e))?;
        Ok(self.to_show(picture).await)
    }

    /// A decoded picture in its full range of tones. The one given is the caller's no more.
    pub async fn to_show(&self, coded: VideoFrame) -> VideoFrame {
        told_full(coded, self.index.codec.is_full_range).await
    }

    /// A sentence about this clip.
    pub fn named(&self, reason: &str) -> String {
        format!("“{}”: {reason}.", self.name)
    }
}

fn picture_of(index: &ClipIndex, frame: &VideoFrame) -> Picture {
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a picture's size is a small whole number"
    )]
    let (coded_width_px, coded_height_px) = frame
        .visible_rect()
        .map_or((index.width_px, index.height_px), |r| (r.width() as u32, r.height() as u32));
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
