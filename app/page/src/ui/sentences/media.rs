//! Sentences about a file that cannot be used as a clip.

use media::{Limit, MediaError, Part};

/// What is wrong with the file, then what to do; its name is put before it.
#[must_use]
pub fn sentence(error: &MediaError) -> String {
    const COPY: &str = "copy it again from the camera";
    match error {
        MediaError::Empty => format!("the file is empty: {COPY}"),
        MediaError::NotVideo => "this is not a video that can be read here: choose a clip that is MP4, MOV or WebM, as cameras and phones make them".to_owned(),
        MediaError::NoPicture => {
            "there is sound in this file but no picture: choose the video clip itself".to_owned()
        }
        MediaError::NoIndex => format!(
            "the file is cut off, its index is missing: {COPY} and wait until the copy is complete"
        ),
        MediaError::CutOff { missing, frames } => format!(
            "the file is cut off, {missing} of {frames} frames lie beyond its end: {COPY} and wait until the copy is complete"
        ),
        MediaError::Damaged { part } => format!(
            "the file is damaged ({}): {COPY}, or convert it to MP4 with H.264",
            damage(*part)
        ),
        MediaError::TooLarge { limit } => format!(
            "the clip is too long to be read here ({}): cut it to the strides of interest",
            excess(*limit)
        ),
        MediaError::UnknownCodec { codec } => format!(
            "the picture is coded as {codec}, which no browser decodes frame by frame: convert the clip to MP4 with H.264"
        ),
        MediaError::Unreadable { reason } => {
            format!("the file can no longer be read ({reason}): choose it again")
        }
    }
}

fn damage(part: Part) -> &'static str {
    match part {
        Part::FileHead => "the head of the file, or it is cut off",
        Part::BoxLength => "a part of its index is longer than the whole",
        Part::MovieHeadMissing => "its index has no head",
        Part::MovieHead => "the head of its index",
        Part::TrackHeadMissing => "a track has no head",
        Part::TrackHead => "the head of a track",
        Part::TrackClock => "the clock of a track",
        Part::EditList => "its edit list",
        Part::SampleDescription => "the description of its pictures",
        Part::CodecConfiguration => "the codec's configuration is too short",
        Part::PictureSize => "the size of its picture",
        Part::SampleTableMissing => "a track has no table of frames",
        Part::SampleTable => "its table of frames contradicts itself",
        Part::SampleSizes => "its table of sizes",
        Part::ChunkOffsets => "its table of places",
        Part::SamplesPerChunk => "its table of chunks",
        Part::DecodingTimes => "its table of times",
        Part::CompositionOffsets => "its table of times of showing",
        Part::KeyFrames => "its table of key frames",
        Part::FragmentDefaults => "what its fragments have in common",
        Part::FragmentHead => "the head of a fragment",
        Part::FragmentTime => "the time of a fragment",
        Part::FragmentRun => "a run of a fragment",
        Part::Fragment => "a fragment contradicts itself",
        Part::Block => "a block of it",
        Part::LacedBlock => "several pictures share a block",
        Part::Times => "its times are beyond all measure",
        Part::NoKeyFrame => "there is no key frame in it",
    }
}

fn excess(limit: Limit) -> &'static str {
    match limit {
        Limit::Frames => "more frames than a file of its size can hold",
        Limit::Boxes => "more boxes than a clip has",
        Limit::IndexBytes => "its index is larger than 64 MB",
        Limit::Elements => "more parts than a clip has",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sentence_says_what_is_wrong_and_then_what_to_do() {
        let errors = [
            MediaError::Empty,
            MediaError::NotVideo,
            MediaError::NoPicture,
            MediaError::NoIndex,
            MediaError::CutOff { missing: 3, frames: 9 },
            Part::EditList.into(),
            Limit::Frames.into(),
            MediaError::UnknownCodec { codec: "ProRes".to_owned() },
            MediaError::Unreadable { reason: "gone".to_owned() },
        ];
        for error in errors {
            assert!(sentence(&error).contains(": "));
        }
    }
}
