//! The video track as a container describes it, in decoding order.

use crate::codec::Codec;
use crate::error::MediaError;
use crate::rotation::Orientation;

/// Most frames a clip may have. Chosen: an hour at 240 frames/s is 864 000.
pub const MAX_SAMPLES: usize = 1_000_000;

/// Frames that any file may name. Chosen: seven minutes at 240 frames/s; their rows take 10 MB of memory.
const BASE_SAMPLES: u64 = 100_000;
/// Bytes of a file for each frame beyond those. Chosen: a frame in which nothing moves still takes
/// some forty with its row in the tables, and its row in memory takes about a hundred.
const BYTES_PER_SAMPLE: u64 = 40;

/// Most frames that a file of this length may name, since memory is held for each of them.
#[must_use]
pub fn sample_limit(file_bytes: u64) -> usize {
    let limit = BASE_SAMPLES.saturating_add(file_bytes / BYTES_PER_SAMPLE);
    usize::try_from(limit).unwrap_or(usize::MAX).min(MAX_SAMPLES)
}

/// A coded frame, on the clock of its track.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct RawSample {
    /// Where its bytes begin in the file.
    pub offset: u64,
    /// Number of bytes.
    pub size_bytes: u32,
    /// Whether decoding can begin here.
    pub is_key: bool,
    /// Whether it is displayed.
    pub is_displayed: bool,
    /// Presentation time.
    pub pts_ticks: i64,
    /// Duration.
    pub duration_ticks: u32,
}

/// One entry of an edit list.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Edit {
    /// Duration on the movie's clock; zero means to the end of the track.
    pub duration_ticks: u64,
    /// The track's time at which it begins; none for a delay without a picture.
    pub media_ticks: Option<i64>,
}

/// A video track.
#[derive(Clone, Debug, PartialEq)]
pub struct RawTrack {
    /// The codec.
    pub codec: Codec,
    /// Columns.
    pub width_px: u32,
    /// Rows.
    pub height_px: u32,
    /// Width and height of one pixel, up to a factor.
    pub pixel_shape: (u32, u32),
    /// How the coded picture becomes upright.
    pub orientation: Orientation,
    /// Ticks per second of the track's clock.
    pub ticks_per_s: u64,
    /// Ticks per second of the movie's clock.
    pub movie_ticks_per_s: u64,
    /// In decoding order.
    pub samples: Vec<RawSample>,
    /// In display order; an empty list displays the whole track.
    pub edits: Vec<Edit>,
    /// Frames per second of the camera, if the file names it.
    pub capture_rate_hz: Option<f64>,
}

impl RawTrack {
    /// Checks that every frame lies within a file of this length.
    ///
    /// # Errors
    /// When frames lie beyond its end.
    pub fn check_end(&self, file_bytes: u64) -> Result<(), MediaError> {
        let beyond = |s: &&RawSample| {
            s.offset.checked_add(u64::from(s.size_bytes)).is_none_or(|end| end > file_bytes)
        };
        let missing = self.samples.iter().filter(beyond).count();
        if missing > 0 {
            return Err(MediaError::CutOff { missing, frames: self.samples.len() });
        }
        Ok(())
    }
}
