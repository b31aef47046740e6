//! Sentences about what the worker could not do.

use super::browser::request_unreadable;
use super::media;
use crate::ui::pending::JobFailure;
use jobs::protocol::JobError;

/// What is wrong with which clip, then what to do.
#[must_use]
pub fn sentence(failure: &JobFailure) -> String {
    if let JobError::Protocol(error) = &failure.error {
        return request_unreadable(error);
    }
    let fault = fault(&failure.error);
    match &failure.clip {
        Some(name) => format!("“{name}”: {fault}."),
        None => format!("The clip: {fault}."),
    }
}

fn fault(error: &JobError) -> String {
    let plain = match error {
        JobError::Protocol(error) => return request_unreadable(error),
        JobError::Media(error) => return media::sentence(error),
        JobError::Tracker { reason } => reason.as_str(),
        JobError::FileChanged { reason } => {
            return format!("the file can no longer be read ({reason}): choose it again");
        }
        JobError::UnsupportedCodec { codec, is_high_profile } => {
            return unsupported(codec, *is_high_profile);
        }
        JobError::DecoderStopped { reason } => {
            return format!(
                "the decoder stopped ({}): the file may be damaged there; open it again, or convert it to H.264",
                reason.as_deref().unwrap_or("it was closed")
            );
        }
        JobError::NoSuchFrame { frame } => {
            return format!("there is no frame {} in this clip: choose another frame", frame + 1);
        }
        JobError::FrameMissing { frame } => {
            return format!(
                "frame {} does not come out of the decoder: the file may be damaged there",
                frame + 1
            );
        }
        JobError::FramesOutside { first, last, frame_count } => {
            return format!(
                "frames {} to {} cannot be followed in a clip of {frame_count} frames: choose frames of the clip",
                first + 1,
                last + 1
            );
        }
        JobError::MarkOutside { landmark } => {
            return format!("the mark of {landmark} lies outside the picture: place it again");
        }
        JobError::ClipNotOpen => "the clip is not open: open its file again",
        JobError::Unanswered => "it was not opened: open it again",
        JobError::NoDecoder => {
            "the browser has no decoder free: close other videos and open the clip again"
        }
        JobError::DecoderRefused => "the decoder does not start: open the clip again",
        JobError::SampleRefused => "the browser refused a sample: the file may be damaged",
        JobError::CopyRefused => {
            "the browser would not give out the picture: open the clip again, or use another browser"
        }
        JobError::EmptyFrame => "the browser sent an empty picture: open the clip again",
        JobError::FrameSize => {
            "the browser sent a picture of another size than it said: open the clip again"
        }
        JobError::NothingToTrack => {
            "there is nothing to follow: place a marker in this stretch first"
        }
        JobError::NothingToPreview => "there is nothing to try out: place a marker",
    };
    plain.to_owned()
}

fn unsupported(codec: &str, is_high_profile: bool) -> String {
    let way_out = if is_high_profile {
        "film with 8 bits, without HDR or log, or convert the clip to H.264 of 8 bits and 4:2:0, or open this page in another \
         browser"
    } else {
        "set the phone to record “most compatible” (H.264), convert the clip to H.264, or open this page in a browser that \
         can, such as Safari for HEVC"
    };
    format!("this browser cannot decode {codec}: {way_out}")
}

#[cfg(test)]
mod tests {
    use super::*;
    use jobs::protocol::ProtocolError;
    use mechanics::body::Landmark;

    fn said(error: JobError) -> String {
        sentence(&JobFailure { clip: Some("a.mp4".into()), error })
    }

    #[test]
    fn a_failure_names_the_clip_what_is_wrong_and_what_to_do() {
        let reason = || "it was moved".to_owned();
        for error in [
            JobError::ClipNotOpen,
            JobError::Unanswered,
            JobError::Media(::media::MediaError::Empty),
            JobError::FileChanged { reason: reason() },
            JobError::UnsupportedCodec { codec: "HEVC (hvc1)".into(), is_high_profile: false },
            JobError::UnsupportedCodec { codec: "H.264 (avc1.6e)".into(), is_high_profile: true },
            JobError::NoDecoder,
            JobError::DecoderRefused,
            JobError::SampleRefused,
            JobError::DecoderStopped { reason: None },
            JobError::NoSuchFrame { frame: 9 },
            JobError::FrameMissing { frame: 9 },
            JobError::CopyRefused,
            JobError::EmptyFrame,
            JobError::FrameSize,
            JobError::FramesOutside { first: 5, last: 700, frame_count: 600 },
            JobError::NothingToTrack,
            JobError::NothingToPreview,
            JobError::MarkOutside { landmark: Landmark::FarWrist },
        ] {
            let sentence = said(error);
            assert!(sentence.starts_with("“a.mp4”: ") && sentence.ends_with('.'), "{sentence}");
            assert_eq!(sentence.matches(": ").count(), 2, "{sentence}");
            assert!(!sentence.contains(".."), "{sentence}");
        }
        assert!(said(JobError::NoSuchFrame { frame: 9 }).contains("frame 10 "));
    }

    #[test]
    fn an_unreadable_message_asks_to_load_the_page_again_and_says_that_nothing_is_lost() {
        for error in [
            ProtocolError::NoText,
            ProtocolError::Unreadable { reason: "EOF at line 1".into() },
            ProtocolError::NoAttachment,
            ProtocolError::NotSent { reason: "refused".into() },
        ] {
            let sentence = said(JobError::Protocol(error));
            assert!(
                sentence.ends_with("Nothing entered is lost: load the page again."),
                "{sentence}"
            );
        }
    }
}
