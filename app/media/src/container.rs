//! The index of a clip: where every coded frame is and when every frame is displayed, without the pictures.

use crate::codec::Codec;
use crate::error::{MediaError, Part};
use crate::rotation::Orientation;
use crate::timing::{DisplayFrame, Sample, display_frames, samples};
use crate::track::RawTrack;
use crate::{mp4, webm};
use std::io::{Read, Seek, SeekFrom};

/// Everything that is needed to decode any frame of a clip.
#[derive(Clone, Debug, PartialEq)]
pub struct ClipIndex {
    /// The codec.
    pub codec: Codec,
    /// Columns in the container; those of the decoded picture may differ and count.
    pub width_px: u32,
    /// Rows, likewise.
    pub height_px: u32,
    /// Width and height of one pixel, up to a factor.
    pub pixel_shape: (u32, u32),
    /// How the coded picture becomes upright.
    pub orientation: Orientation,
    /// Frames per second of the camera, if the file names it.
    pub capture_rate_hz: Option<f64>,
    /// In decoding order.
    samples: Vec<Sample>,
    /// In display order.
    frames: Vec<DisplayFrame>,
}

impl ClipIndex {
    /// Reads the index of a clip, and at most a few bytes of its pictures.
    ///
    /// # Errors
    /// When it is no clip, cut off, damaged, or browsers have no decoder for its codec.
    pub fn read<R: Read + Seek>(file: &mut R) -> Result<Self, MediaError> {
        let file_bytes = file.seek(SeekFrom::End(0))?;
        if file_bytes == 0 {
            return Err(MediaError::Empty);
        }
        let mut first = Vec::with_capacity(12);
        file.seek(SeekFrom::Start(0))?;
        file.by_ref().take(12).read_to_end(&mut first)?;
        let track = if mp4::is_mp4(&first) {
            mp4::read(file, file_bytes)?
        } else if webm::is_matroska(&first) {
            webm::read(file, file_bytes)?
        } else {
            return Err(MediaError::NotVideo);
        };
        Self::of_track(track)
    }

    fn of_track(mut track: RawTrack) -> Result<Self, MediaError> {
        // Decoding cannot begin before the first key frame.
        let first_key = track.samples.iter().position(|s| s.is_key).ok_or(Part::NoKeyFrame)?;
        track.samples.drain(..first_key);
        if track.width_px == 0 || track.height_px == 0 {
            return Err(Part::PictureSize.into());
        }
        let index = Self {
            samples: samples(&track)?,
            frames: display_frames(&track),
            codec: track.codec,
            width_px: track.width_px,
            height_px: track.height_px,
            pixel_shape: track.pixel_shape,
            orientation: track.orientation,
            capture_rate_hz: track.capture_rate_hz,
        };
        if index.frames.is_empty() { Err(MediaError::NoPicture) } else { Ok(index) }
    }

    /// Coded frames in decoding order.
    #[must_use]
    pub fn samples(&self) -> &[Sample] {
        &self.samples
    }

    /// Frames in display order.
    #[must_use]
    pub fn frames(&self) -> &[DisplayFrame] {
        &self.frames
    }

    /// Time of each displayed frame since the first.
    #[must_use]
    pub fn stamps_s(&self) -> Vec<f64> {
        self.frames.iter().map(|f| f.stamp_s).collect()
    }

    /// Number of displayed frames.
    #[must_use]
    pub fn frame_count(&self) -> u32 {
        u32::try_from(self.frames.len()).unwrap_or(u32::MAX)
    }

    /// The sample of a displayed frame and its index in decoding order.
    #[must_use]
    pub fn sample_of(&self, frame: u32) -> Option<(usize, Sample)> {
        let at = self.frames.get(usize::try_from(frame).ok()?)?.sample;
        Some((at, *self.samples.get(at)?))
    }

    /// The sample with which decoding must begin so that this one comes out right: the last key frame at
    /// or before it in decoding order that is not displayed after it.
    ///
    /// A picture that is decoded after a key frame but displayed before it may refer to earlier pictures.
    #[must_use]
    pub fn decode_start(&self, sample: usize) -> usize {
        let Some(target) = self.samples.get(sample) else { return 0 };
        let before = self.samples.get(..=sample).unwrap_or_default();
        before.iter().rposition(|s| s.is_key && s.stamp_us <= target.stamp_us).unwrap_or(0)
    }

    /// The frame with which decoding begins for this frame; the frame itself when that one is not displayed.
    #[must_use]
    pub fn decode_start_frame(&self, frame: u32) -> u32 {
        let Some((at, _)) = self.sample_of(frame) else { return frame };
        let start = self.decode_start(at);
        let begins = |f: &u32| self.sample_of(*f).is_some_and(|(at, _)| at == start);
        (0..=frame).rev().find(begins).unwrap_or(frame)
    }

    /// The first frame of a batch that ends with `last` and has at most `max_frames` frames.
    ///
    /// The batch begins with the earliest key frame within reach, else as early as it may.
    #[must_use]
    pub fn batch_start(&self, last: u32, max_frames: u32) -> u32 {
        let lowest = (last + 1).saturating_sub(max_frames.max(1));
        let is_start = |frame: &u32| {
            self.sample_of(*frame).is_some_and(|(at, s)| s.is_key && self.decode_start(at) == at)
        };
        (lowest..=last).find(is_start).unwrap_or(lowest)
    }
}
