//! Why the worker could not do what was asked.

use super::protocol_error::ProtocolError;
use mechanics::body::Landmark;
use media::MediaError;
use serde::{Deserialize, Serialize};
use thiserror::Error;

/// Why a request failed. The page knows the clip's name and words the failure for a person.
#[derive(Clone, Debug, PartialEq, Eq, Error, Serialize, Deserialize)]
pub enum JobError {
    /// A message could not be read or sent.
    #[error("protocol: {0}")]
    Protocol(#[from] ProtocolError),
    /// The clip is not open in the worker.
    #[error("clip not open")]
    ClipNotOpen,
    /// The worker ended before it answered.
    #[error("unanswered")]
    Unanswered,
    /// The file cannot be used as a clip.
    #[error("media: {0}")]
    Media(#[from] MediaError),
    /// The file can no longer be read.
    #[error("file changed: {reason}")]
    FileChanged {
        /// What the browser reports.
        reason: String,
    },
    /// The browser cannot decode the codec.
    #[error("codec {codec} not supported")]
    UnsupportedCodec {
        /// The codec, worded for a person.
        codec: String,
        /// Whether its profile has more than 8 bits or finer colour than 4:2:0.
        is_high_profile: bool,
    },
    /// The browser has no decoder free.
    #[error("no decoder")]
    NoDecoder,
    /// The browser refused to start the decoder.
    #[error("decoder refused")]
    DecoderRefused,
    /// The browser refused a sample of the clip.
    #[error("sample refused")]
    SampleRefused,
    /// The decoder stopped.
    #[error("decoder stopped")]
    DecoderStopped {
        /// What the browser reports; none if the decoder was closed without a reason.
        reason: Option<String>,
    },
    /// The clip has no such frame.
    #[error("no frame {frame}")]
    NoSuchFrame {
        /// In display order.
        frame: u32,
    },
    /// The decoder did not output a frame.
    #[error("frame {frame} missing")]
    FrameMissing {
        /// In display order.
        frame: u32,
    },
    /// The browser refused to copy a decoded frame.
    #[error("copy refused")]
    CopyRefused,
    /// The browser sent an empty frame.
    #[error("empty frame")]
    EmptyFrame,
    /// The browser sent a frame of another size than it announced.
    #[error("frame size")]
    FrameSize,
    /// The plan names frames that the clip does not have.
    #[error("frames {first} to {last} of {frame_count}")]
    FramesOutside {
        /// First frame of the plan.
        first: u32,
        /// Last frame of the plan.
        last: u32,
        /// Frames of the clip.
        frame_count: u32,
    },
    /// No marker of the plan has a keyframe in its frames.
    #[error("nothing to track")]
    NothingToTrack,
    /// The plan of a preview has no marker.
    #[error("nothing to preview")]
    NothingToPreview,
    /// A mark lies outside the picture.
    #[error("{landmark:?} outside the picture")]
    MarkOutside {
        /// Whose mark.
        landmark: Landmark,
    },
    /// The tracker refused a frame.
    #[error("tracker: {reason}")]
    Tracker {
        /// The sentence of the tracking crate.
        reason: String,
    },
}
