//! What can be wrong with a clip.

use serde::{Deserialize, Serialize};
use thiserror::Error;

/// Why a file cannot be used as a clip; the name of the file is put before it on the screen.
#[derive(Clone, Debug, PartialEq, Eq, Error, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum MediaError {
    /// The file has no bytes.
    #[error("empty file")]
    Empty,
    /// The container is neither MP4 or MOV nor WebM or Matroska.
    #[error("not a video container")]
    NotVideo,
    /// The file has tracks, but no video track.
    #[error("no video track")]
    NoPicture,
    /// The index is missing.
    #[error("no index")]
    NoIndex,
    /// The index names bytes beyond the end of the file.
    #[error("{missing} of {frames} frames lie beyond the end")]
    CutOff {
        /// Frames beyond the end.
        missing: usize,
        /// Frames that the index names.
        frames: usize,
    },
    /// The structure contradicts itself.
    #[error("damaged: {part}")]
    Damaged {
        /// The part that contradicts itself.
        part: Part,
    },
    /// The file names more than any clip has.
    #[error("too large: {limit}")]
    TooLarge {
        /// The limit that it exceeds.
        limit: Limit,
    },
    /// Browsers have no decoder for this codec.
    #[error("unknown codec {codec}")]
    UnknownCodec {
        /// Its common name, or its quoted identifier.
        codec: String,
    },
    /// Reading the file failed.
    #[error("unreadable: {reason}")]
    Unreadable {
        /// The system's own words.
        reason: String,
    },
}

/// A part of a file that can be damaged; the box or element that it comes from stands in brackets.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error, Serialize, Deserialize)]
#[error("{self:?}")]
#[serde(rename_all = "snake_case")]
pub enum Part {
    /// The head of a Matroska file.
    FileHead,
    /// A box that is longer than the box around it.
    BoxLength,
    /// The missing head of the index (`mvhd`).
    MovieHeadMissing,
    /// The head of the index (`mvhd`).
    MovieHead,
    /// The missing head of a track (`tkhd`).
    TrackHeadMissing,
    /// The head of a track (`tkhd`).
    TrackHead,
    /// The clock of a track (`mdhd`).
    TrackClock,
    /// The edit list (`elst`).
    EditList,
    /// The description of the samples (`stsd`).
    SampleDescription,
    /// The codec's configuration record.
    CodecConfiguration,
    /// The width or height of the picture.
    PictureSize,
    /// The missing sample table (`stbl`).
    SampleTableMissing,
    /// Tables of the sample table that contradict each other.
    SampleTable,
    /// The sizes of the samples (`stsz`).
    SampleSizes,
    /// The places of the chunks (`stco`, `co64`).
    ChunkOffsets,
    /// The samples of each chunk (`stsc`).
    SamplesPerChunk,
    /// The decoding times (`stts`).
    DecodingTimes,
    /// The offsets from decoding time to display time (`ctts`).
    CompositionOffsets,
    /// The list of key frames (`stss`).
    KeyFrames,
    /// The defaults of all fragments (`trex`).
    FragmentDefaults,
    /// The head of a fragment (`tfhd`).
    FragmentHead,
    /// The time of a fragment (`tfdt`).
    FragmentTime,
    /// A run of samples in a fragment (`trun`).
    FragmentRun,
    /// Parts of a fragment that contradict each other (`traf`).
    Fragment,
    /// A block of a cluster.
    Block,
    /// A block with several frames (lacing), which video does not use.
    LacedBlock,
    /// Times that a browser cannot represent to the microsecond.
    Times,
    /// A track without a key frame, so that decoding cannot begin.
    NoKeyFrame,
}

/// A limit that keeps memory and waiting within bounds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error, Serialize, Deserialize)]
#[error("{self:?}")]
#[serde(rename_all = "snake_case")]
pub enum Limit {
    /// Frames for the length of the file.
    Frames,
    /// Boxes of an MP4 or MOV file.
    Boxes,
    /// Bytes of a box that is read into memory.
    IndexBytes,
    /// Elements of a Matroska file.
    Elements,
}

impl From<Part> for MediaError {
    fn from(part: Part) -> Self {
        MediaError::Damaged { part }
    }
}

impl From<Limit> for MediaError {
    fn from(limit: Limit) -> Self {
        MediaError::TooLarge { limit }
    }
}

impl From<std::io::Error> for MediaError {
    fn from(error: std::io::Error) -> Self {
        if error.kind() == std::io::ErrorKind::UnexpectedEof {
            return MediaError::NoIndex;
        }
        MediaError::Unreadable { reason: error.to_string() }
    }
}
