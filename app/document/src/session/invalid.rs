//! What a session must not contain, and the sizes it must not exceed.

use thiserror::Error;

/// Trials in a session. Chosen: far more than one sitting has, few enough to list.
pub const MAX_TRIALS: usize = 64;
/// Frames of one clip. Chosen: seventeen minutes at 240 frames a second.
pub const MAX_FRAMES: usize = 250_000;
/// Frames of all clips of a session. Chosen: their times then fill about 10 MB of a session file.
pub const MAX_FRAMES_IN_ALL: usize = 500_000;
/// Positions in a session. Chosen: ten minutes at 240 frames a second with thirteen landmarks, which is 64 MB in
/// memory and fits the largest session file that is read.
pub const MAX_SAMPLES: usize = 2_000_000;
/// Bytes of a name or another short text. Chosen: a hundred times what a field takes.
pub const MAX_TEXT_BYTES: usize = 10_000;
/// Bytes of the notes. Chosen: some twenty pages.
pub const MAX_NOTES_BYTES: usize = 100_000;
/// Edits to the events of one trial. Chosen: more than a clip of the longest kind has events worth editing.
pub const MAX_EVENT_EDITS: usize = 2_000;
/// Largest side of an image. Chosen: twice that of 8K video.
pub(super) const MAX_SIDE_PX: u32 = 16_384;
/// Largest magnitude of any number. Chosen: nothing about a runner comes near it, and its powers stay far below the
/// largest number that can be represented.
const MAX_MAGNITUDE: f64 = 1e9;

/// Whether a number is finite and of a magnitude that a session may contain.
pub(super) fn is_usable(value: f64) -> bool {
    value.is_finite() && value.abs() <= MAX_MAGNITUDE
}

/// A field of a session with a limit of its own.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs, reason = "the name of each says which field it is")]
pub enum SessionField {
    SessionName,
    Notes,
    TrialName,
    ClipName,
    Fingerprint,
    Codec,
    RunnerName,
    Cue,
    Shoes,
    Mass,
    Height,
    Cutoff,
    Speed,
    FilmedRate,
    ScaleEnd,
    ScaleLength,
    VerticalEnd,
    MarkerPosition,
    FrameTime,
    EventTime,
}

/// What cannot be part of a session.
#[derive(Clone, Debug, PartialEq, Error)]
#[non_exhaustive]
pub enum Invalid {
    /// A number is not finite, or too large.
    #[error("{field:?} is not a usable number")]
    Number {
        /// Which number.
        field: SessionField,
    },
    /// A text is too long.
    #[error("{field:?} is longer than {max_bytes} bytes")]
    Text {
        /// Which text.
        field: SessionField,
        /// Its limit.
        max_bytes: usize,
    },
    /// More than [`MAX_TRIALS`] trials.
    #[error("too many trials")]
    TooManyTrials,
    /// A clip without frames.
    #[error("clip {clip} has no frames")]
    NoFrames {
        /// Name of the clip.
        clip: String,
    },
    /// More than [`MAX_FRAMES`] frames in one clip.
    #[error("clip {clip} has {count} frames")]
    TooManyFrames {
        /// Name of the clip.
        clip: String,
        /// Its number of frames.
        count: usize,
    },
    /// More than [`MAX_FRAMES_IN_ALL`] frames in all clips.
    #[error("too many frames in all clips")]
    TooManyFramesInAll,
    /// A frame is not later than the one before.
    #[error("frame {frame} of clip {clip} is not later than the one before")]
    TimesNotIncreasing {
        /// Name of the clip.
        clip: String,
        /// The first such frame.
        frame: usize,
    },
    /// An image of impossible size or rotation.
    #[error("clip {clip} has an image of {width_px} x {height_px} px")]
    Image {
        /// Name of the clip.
        clip: String,
        /// Width of the image.
        width_px: u32,
        /// Height of the image.
        height_px: u32,
    },
    /// More than [`MAX_SAMPLES`] positions.
    #[error("too many positions")]
    TooManySamples,
    /// More than [`MAX_EVENT_EDITS`] edits to the events of one trial.
    #[error("too many edits to the events of one trial")]
    TooManyEdits,
    /// The session's identifier is not one that this program generates.
    #[error("malformed session identifier")]
    Id,
    /// Two trials have one identifier.
    #[error("two trials have the identifier {id}")]
    SameTrial {
        /// The identifier.
        id: u32,
    },
    /// A track does not have one sample a frame.
    #[error("a track of trial {trial} has {found} frames, the clip {expected}")]
    TrackLength {
        /// Name of the trial.
        trial: String,
        /// Frames of the track.
        found: usize,
        /// Frames of the clip.
        expected: usize,
    },
    /// A keyframe lies outside the clip.
    #[error("a keyframe of trial {trial} is in frame {frame}, outside the clip")]
    KeyframeOutside {
        /// Name of the trial.
        trial: String,
        /// The frame.
        frame: u32,
    },
    /// The camera path does not fit the clip, or cannot be inverted.
    #[error("invalid camera path of trial {trial}")]
    Camera {
        /// Name of the trial.
        trial: String,
    },
    /// The repeated frames are not ascending frames of the clip.
    #[error("invalid repeated frames of trial {trial}")]
    Repeated {
        /// Name of the trial.
        trial: String,
    },
    /// The tracked range lies outside the clip.
    #[error("a track of trial {trial} was tracked outside the clip")]
    TrackedOutside {
        /// Name of the trial.
        trial: String,
    },
    /// A sample is not a possible position.
    #[error("invalid position of trial {trial} in frame {frame}")]
    Sample {
        /// Name of the trial.
        trial: String,
        /// The first such frame.
        frame: usize,
    },
}

/// Why the columns of a track or of a camera path do not fit each other. Shown within the message of a broken file.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
pub enum ColumnError {
    /// The columns of a track differ in length.
    #[error("a track has columns of different lengths")]
    TrackLengths,
    /// A letter does not stand for a certainty.
    #[error("a track has the unknown certainty '{0}'")]
    UnknownCertainty(char),
    /// There are fewer positions than frames with one.
    #[error("a track has fewer positions than frames")]
    TooFewPositions,
    /// There are more positions than frames with one.
    #[error("a track has more positions than frames")]
    TooManyPositions,
    /// The columns of a camera path differ in length.
    #[error("the camera has columns of different lengths")]
    CameraLengths,
}
