//! What can be wrong with a clip, worded: what is wrong, then what to do.

use thiserror::Error;

/// Why a file cannot be used as a clip; the name of the file is put before it where it is shown.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum MediaError {
    /// No bytes at all.
    #[error("the file is empty: copy it again from the camera")]
    Empty,
    /// No container that is known here.
    #[error(
        "this is not a video that can be read here: choose a clip that is MP4, MOV or WebM, as cameras and phones make them"
    )]
    NotVideo,
    /// Tracks, but none with a picture.
    #[error("there is sound in this file but no picture: choose the video clip itself")]
    NoPicture,
    /// The index is missing.
    #[error(
        "the file is cut off, its index is missing: copy it again from the camera and wait until the copy is complete"
    )]
    NoIndex,
    /// The index names bytes that are not there.
    #[error(
        "the file is cut off, {missing} of {frames} frames lie beyond its end: copy it again from the camera and wait until the copy is complete"
    )]
    CutOff {
        /// Frames that are not there.
        missing: usize,
        /// Frames that the index names.
        frames: usize,
    },
    /// The structure contradicts itself.
    #[error(
        "the file is damaged ({what}): copy it again from the camera, or convert it to MP4 with H.264"
    )]
    Damaged {
        /// What contradicts itself.
        what: &'static str,
    },
    /// More than is ever reasonable.
    #[error("the clip is too long to be read here ({what}): cut it to the strides of interest")]
    TooMuch {
        /// What there is too much of.
        what: &'static str,
    },
    /// A codec without a name among the browsers.
    #[error(
        "the picture is coded as {codec}, which no browser decodes frame by frame: convert the clip to MP4 with H.264"
    )]
    UnknownCodec {
        /// In plain words.
        codec: String,
    },
    /// The bytes could not be had.
    #[error("the file can no longer be read ({reason}): choose it again")]
    Unreadable {
        /// As the system words it.
        reason: String,
    },
}

impl From<std::io::Error> for MediaError {
    fn from(error: std::io::Error) -> Self {
        if error.kind() == std::io::ErrorKind::UnexpectedEof {
            return MediaError::NoIndex;
        }
        MediaError::Unreadable { reason: error.to_string() }
    }
}
