//! An open clip.

use crate::clip_source::ClipSource;
use crate::decode::blob::BlobReader;
use crate::decode::decoder::{Decoder, configuration};
use crate::frame_server::FrameServer;
use document::session::{ClipInfo, ClipRef};
use jobs::protocol::JobError;
use media::{ClipIndex, fingerprint};
use std::cell::RefCell;
use std::rc::Rc;
use web_sys::{File, VideoFrame};

/// An open clip.
pub struct Clip {
    /// Its file and index.
    pub source: ClipSource,
    /// Serves `ShowFrame`; none while it works.
    frame_server: RefCell<Option<FrameServer>>,
}

impl Clip {
    /// Reads the index of a file and decodes its first frame, so that every open clip can be displayed.
    ///
    /// # Errors
    /// If the file is no clip, or the browser cannot decode it.
    pub async fn open(file: File) -> Result<(Self, ClipRef), JobError> {
        let mut reader = BlobReader::new(file.clone().into())?;
        let index = Rc::new(ClipIndex::read(&mut reader)?);
        let fingerprint = fingerprint(&mut reader)?;
        let config = configuration(&index).await?;
        let mut decoder = Decoder::new(Rc::clone(&index), reader, config.clone())?;
        let first = decoder.frame(0).await?;
        let name = file.name();
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a file's size is a whole number below 2^53"
        )]
        let size_bytes = file.size() as u64;
        let source = ClipSource::new(file, index, config, &first);
        first.close();
        let info = Rc::new(info_of(&source));
        let frame_server = RefCell::new(Some(FrameServer::with(decoder)));
        Ok((Self { source, frame_server }, ClipRef { name, size_bytes, fingerprint, info }))
    }

    /// Number of displayed frames.
    pub fn frame_count(&self) -> u32 {
        self.source.index().frame_count()
    }

    /// A frame to display, from the frame server.
    pub async fn frame(&self, frame: u32) -> Result<VideoFrame, JobError> {
        let taken = self.frame_server.borrow_mut().take();
        let mut server = taken.unwrap_or_default();
        let served = server.frame(&self.source, frame).await;
        *self.frame_server.borrow_mut() = Some(server);
        served
    }

    /// A frame to display, without disturbing the frame server's decoder.
    pub async fn still_frame(&self, frame: u32) -> Result<VideoFrame, JobError> {
        let cached = self.frame_server.borrow_mut().as_mut().and_then(|s| s.cached(frame));
        if let Some(cached) = cached {
            return Ok(cached);
        }
        let decoded = self.source.decoder()?.frame(frame).await?;
        Ok(self.source.to_display(decoded).await)
    }
}

fn info_of(source: &ClipSource) -> ClipInfo {
    let index = source.index();
    let (width_px, height_px) = source.picture.upright_size_px();
    ClipInfo {
        width_px,
        height_px,
        codec: index.codec.label(),
        rotation_quarter_turns: index.orientation.quarter_turns,
        stamps_s: index.stamps_s(),
        filmed_rate_hz: index.capture_rate_hz,
    }
}
