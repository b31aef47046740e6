//! What can be wrong with a clip.

use serde::{Deserialize, Serialize};
use thiserror::Error;

/// Why a file cannot be used as a clip; the name of the file is put before it on the screen.
#[derive(Clone, Debug, PartialEq, Eq, Error, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum MediaError {
    /// The file has no bytes.
    #[error("the file is empty: copy it again from the camera")]
    Empty,
    /// The container is neither MP4 or MOV nor WebM or Matroska.
    #[error(
        "this is not a video that can be read here: choose a clip that is MP4, MOV or WebM, as cameras and phones make them"
    )]
    NotVideo,
    /// The file has tracks, but no video track.
    #[error("there is sound in this file but no picture: choose the video clip itself")]
    NoPicture,
    /// The index is missing.
    #[error(
        "the file is cut off, its index is missing: copy it again from the camera and wait until the copy is complete"
    )]
    NoIndex,
    /// The index names bytes beyond the end of the file.
    #[error(
        "the file is cut off, {missing} of {frames} frames lie beyond its end: copy it again from the camera and wait until the copy is complete"
    )]
    CutOff {
        /// Frames beyond the end.
        missing: usize,
        /// Frames that the index names.
        frames: usize,
    },
    /// The structure contradicts itself.
    #[error(
        "the file is damaged ({part}): copy it again from the camera, or convert it to MP4 with H.264"
    )]
    Damaged {
        /// The part that contradicts itself.
        part: Part,
    },
    /// The file names more than any clip has.
    #[error("the clip is too long to be read here ({limit}): cut it to the strides of interest")]
    TooLarge {
        /// The limit that it exceeds.
        limit: Limit,
    },
    /// Browsers have no decoder for this codec.
    #[error(
        "the picture is coded as {codec}, which no browser decodes frame by frame: convert the clip to MP4 with H.264"
    )]
    UnknownCodec {
        /// Its common name, or its quoted identifier.
        codec: String,
    },
    /// Reading the file failed.
    #[error("the file can no longer be read ({reason}): choose it again")]
    Unreadable {
        /// The system's own words.
        reason: String,
    },
}

/// A part of a file that can be damaged; the box or element that it comes from stands in brackets.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Part {
    /// The head of a Matroska file.
    #[error("the head of the file, or it is cut off")]
    FileHead,
    /// A box that is longer than the box around it.
    #[error("a part of its index is longer than the whole")]
    BoxLength,
    /// The missing head of the index (`mvhd`).
    #[error("its index has no head")]
    MovieHeadMissing,
    /// The head of the index (`mvhd`).
    #[error("the head of its index")]
    MovieHead,
    /// The missing head of a track (`tkhd`).
    #[error("a track has no head")]
    TrackHeadMissing,
    /// The head of a track (`tkhd`).
    #[error("the head of a track")]
    TrackHead,
    /// The clock of a track (`mdhd`).
    #[error("the clock of a track")]
    TrackClock,
    /// The edit list (`elst`).
    #[error("its edit list")]
    EditList,
    /// The description of the samples (`stsd`).
    #[error("the description of its pictures")]
    SampleDescription,
    /// The codec's configuration record.
    #[error("the codec's configuration is too short")]
    CodecConfiguration,
    /// The width or height of the picture.
    #[error("the size of its picture")]
    PictureSize,
    /// The missing sample table (`stbl`).
    #[error("a track has no table of frames")]
    SampleTableMissing,
    /// Tables of the sample table that contradict each other.
    #[error("its table of frames contradicts itself")]
    SampleTable,
    /// The sizes of the samples (`stsz`).
    #[error("its table of sizes")]
    SampleSizes,
    /// The places of the chunks (`stco`, `co64`).
    #[error("its table of places")]
    ChunkOffsets,
    /// The samples of each chunk (`stsc`).
    #[error("its table of chunks")]
    SamplesPerChunk,
    /// The decoding times (`stts`).
    #[error("its table of times")]
    DecodingTimes,
    /// The offsets from decoding time to display time (`ctts`).
    #[error("its table of times of showing")]
    CompositionOffsets,
    /// The list of key frames (`stss`).
    #[error("its table of key frames")]
    KeyFrames,
    /// The defaults of all fragments (`trex`).
    #[error("what its fragments have in common")]
    FragmentDefaults,
    /// The head of a fragment (`tfhd`).
    #[error("the head of a fragment")]
    FragmentHead,
    /// The time of a fragment (`tfdt`).
    #[error("the time of a fragment")]
    FragmentTime,
    /// A run of samples in a fragment (`trun`).
    #[error("a run of a fragment")]
    FragmentRun,
    /// Parts of a fragment that contradict each other (`traf`).
    #[error("a fragment contradicts itself")]
    Fragment,
    /// A block of a cluster.
    #[error("a block of it")]
    Block,
    /// A block with several frames (lacing), which video does not use.
    #[error("several pictures share a block")]
    LacedBlock,
    /// Times that a browser cannot represent to the microsecond.
    #[error("its times are beyond all measure")]
    Times,
    /// A track without a key frame, so that decoding cannot begin.
    #[error("there is no key frame in it")]
    NoKeyFrame,
}

/// A limit that keeps memory and waiting within bounds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Limit {
    /// Frames for the length of the file.
    #[error("more frames than a file of its size can hold")]
    Frames,
    /// Boxes of an MP4 or MOV file.
    #[error("more boxes than a clip has")]
    Boxes,
    /// Bytes of a box that is read into memory.
    #[error("its index is larger than 64 MB")]
    IndexBytes,
    /// Elements of a Matroska file.
    #[error("more parts than a clip has")]
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
