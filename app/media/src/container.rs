//! The index of a clip: every coded frame's place and every shown frame's time, without the pictures.

use super::timing::{Sample, Shown, samples, shown};
use super::{Codec, MediaError, Orientation, RawTrack, mp4, webm};
use std::io::{Read, Seek, SeekFrom};

/// What must be known of a clip to decode any frame of it.
#[derive(Clone, Debug, PartialEq)]
pub struct ClipIndex {
    /// The codec.
    pub codec: Codec,
    /// Columns, as the container says; the decoded picture has the last word.
    pub width_px: u32,
    /// Rows, likewise.
    pub height_px: u32,
    /// Width and height of one pixel, up to a factor.
    pub pixel_shape: (u32, u32),
    /// How the picture is to be shown.
    pub orientation: Orientation,
    /// Frames a second at which it was filmed, where the file tells.
    pub filmed_rate_hz: Option<f64>,
    /// In the order of decoding.
    samples: Vec<Sample>,
    /// In the order of showing.
    shown: Vec<Shown>,
}

impl ClipIndex {
    /// Reads the index of a clip; of the pictures at most a few bytes.
    ///
    /// # Errors
    /// When it is no clip, cut off, damaged, or of a codec that no browser knows.
    pub fn read<R: Read + Seek>(file: &mut R) -> Result<Self, MediaError> {
        let file_bytes = file.seek(SeekFrom::End(0))?;
        if file_bytes == 0 {
            return Err(MediaError::Empty);
        }
        let mut first = Vec::with_capacity(12);
        file.seek(SeekFrom::Start(0))?;
        file.by_ref().take(12).read_to_end(&mut first)?;
        let track = if mp4::begins(&first) {
            mp4::read(file, file_bytes)?
        } else if webm::begins(&first) {
            webm::read(file, file_bytes)?
        } else {
            return Err(MediaError::NotVideo);
        };
        Self::of_track(track)
    }

    fn of_track(mut track: RawTrack) -> Result<Self, MediaError> {
        // Nothing can be decoded before the first key frame.
        let first_key = track.samples.iter().position(|s| s.is_key);
        let first_key =
            first_key.ok_or(MediaError::Damaged { what: "there is no key frame in it" })?;
        track.samples.drain(..first_key);
        if track.width_px == 0 || track.height_px == 0 {
            return Err(MediaError::Damaged { what: "the size of its picture" });
        }
        let index = Self {
            samples: samples(&track)?,
            shown: shown(&track),
            codec: track.codec,
            width_px: track.width_px,
            height_px: track.height_px,
            pixel_shape: track.pixel_shape,
            orientation: track.orientation,
            filmed_rate_hz: track.filmed_rate_hz,
        };
        if index.shown.is_empty() { Err(MediaError::NoPicture) } else { Ok(index) }
    }

    /// Coded frames in the order of decoding.
    #[must_use]
    pub fn samples(&self) -> &[Sample] {
        &self.samples
    }

    /// Frames in the order of showing.
    #[must_use]
    pub fn shown(&self) -> &[Shown] {
        &self.shown
    }

    /// Time of each shown frame since the first.
    #[must_use]
    pub fn stamps_s(&self) -> Vec<f64> {
        self.shown.iter().map(|s| s.stamp_s).collect()
    }

    /// Number of shown frames.
    #[must_use]
    pub fn frame_count(&self) -> u32 {
        u32::try_from(self.shown.len()).unwrap_or(u32::MAX)
    }

    /// The sample of a shown frame and its place in the order of decoding.
    #[must_use]
    pub fn sample_of(&self, frame: u32) -> Option<(usize, Sample)> {
        let at = self.shown.get(usize::try_from(frame).ok()?)?.sample;
        Some((at, *self.samples.get(at)?))
    }

    /// Where decoding must begin for this sample to come out right: the last key frame at or before it
    /// in the order of decoding that is not shown after it.
    ///
    /// A picture that is decoded after a key frame but shown before it may refer to what came before.
    #[must_use]
    pub fn run_start(&self, sample: usize) -> usize {
        let Some(target) = self.samples.get(sample) else { return 0 };
        let before = self.samples.get(..=sample).unwrap_or_default();
        before.iter().rposition(|s| s.is_key && s.stamp_us <= target.stamp_us).unwrap_or(0)
    }

    /// The frame at which decoding begins to show this one; the frame itself when that is never shown.
    #[must_use]
    pub fn run_frame(&self, frame: u32) -> u32 {
        let Some((at, _)) = self.sample_of(frame) else { return frame };
        let start = self.run_start(at);
        let begins = |f: &u32| self.sample_of(*f).is_some_and(|(at, _)| at == start);
        (0..=frame).rev().find(begins).unwrap_or(frame)
    }

    /// The first frame of the piece that is decoded to show `last` and at most `most` frames up to it.
    ///
    /// It is where decoding begins anyhow, if that is near enough.
    #[must_use]
    pub fn piece_start(&self, last: u32, most: u32) -> u32 {
        let lowest = (last + 1).saturating_sub(most.max(1));
        let begins_run = |frame: &u32| {
            self.sample_of(*frame).is_some_and(|(at, s)| s.is_key && self.run_start(at) == at)
        };
        (lowest..=last).find(begins_run).unwrap_or(lowest)
    }
}
