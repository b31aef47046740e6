//! The picture track as a container tells it, before the order of showing is made of it.

use super::{Codec, MediaError, Orientation};

/// Most frames a clip may have. Chosen: an hour at 240 frames/s is 864 000.
pub const MOST_SAMPLES: usize = 1_000_000;

/// Frames that any file may name.
const ALWAYS: u64 = 100_000;
/// Bytes of a file for each frame beyond those. Chosen: a picture in which nothing moves still takes
/// some forty with its row in the tables, and what is held of a frame is about a hundred.
const BYTES_PER_FRAME: u64 = 40;

/// Most frames that a file of this length may name: what it names is held in memory.
#[must_use]
pub fn most_samples(file_bytes: u64) -> usize {
    let most = ALWAYS.saturating_add(file_bytes / BYTES_PER_FRAME);
    usize::try_from(most).unwrap_or(usize::MAX).min(MOST_SAMPLES)
}

/// More frames than the file can hold.
pub const TOO_MANY: MediaError =
    MediaError::TooMuch { what: "more frames than a file of its size can hold" };

/// A coded frame.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct RawSample {
    /// Where its bytes begin.
    pub offset: u64,
    /// How many there are.
    pub size_bytes: u32,
    /// Whether decoding can begin here.
    pub is_key: bool,
    /// Whether it is ever shown.
    pub is_shown: bool,
    /// Presentation time.
    pub pts_ticks: i64,
    /// Duration.
    pub duration_ticks: u32,
}

/// One entry of an edit list.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Edit {
    /// How long, on the movie's clock; zero for as long as there is.
    pub duration_ticks: u64,
    /// From which time of the track on; none for a wait without a picture.
    pub media_ticks: Option<i64>,
}

/// A picture track.
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
    /// How it is to be shown.
    pub orientation: Orientation,
    /// Ticks a second of the samples.
    pub ticks_per_s: u64,
    /// Ticks a second of the edits' durations.
    pub movie_ticks_per_s: u64,
    /// In the order of decoding.
    pub samples: Vec<RawSample>,
    /// In the order of showing; none shows all.
    pub edits: Vec<Edit>,
    /// Frames a second at which it was filmed, where the file tells.
    pub filmed_rate_hz: Option<f64>,
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
