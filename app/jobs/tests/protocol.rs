//! Every message survives its text form, and a text that is no message gives an error.

#![allow(clippy::unwrap_used, clippy::panic, reason = "tests: a failure is the answer")]

use document::session::{
    CameraPath, CameraPose, Certainty, ClipInfo, ClipRef, MarkerMode, TrackSample, TrialId,
};
use jobs::protocol::{
    Attachment, Envelope, FrameMeta, JobError, JobId, Message, Progress, ProtocolError, Request,
    Response, TrackingResult, decode, encode,
};
use jobs::{Blur, Correction, Preview, TrackedMarker, TrackingPlan, Tracks};
use mechanics::body::Landmark;
use mechanics::space::Pixel;
use media::{Orientation, Picture};
use std::collections::BTreeMap;
use std::fmt::Debug;
use std::rc::Rc;

const AT: Pixel = Pixel { x_px: 12.25, y_px: -3.5 };

fn sample() -> Option<TrackSample> {
    Some(TrackSample::new(AT, Certainty::Doubtful, 0.25))
}

fn plan() -> TrackingPlan {
    let keyframes = vec![(3, AT), (9, Pixel { x_px: 0.1 + 0.2, y_px: 1e-9 })];
    let marker = TrackedMarker { landmark: Landmark::NearHip, mode: MarkerMode::Skin, keyframes };
    let correction = Some(Correction { frame: 3, old_track: vec![sample(), None] });
    TrackingPlan { first: 1, last: 20, markers: vec![marker], correction }
}

/// Every request; the match makes the compiler name one that is missing here.
fn requests() -> Vec<Request> {
    let all = vec![
        Request::Open,
        Request::ShowFrame { frame: 0 },
        Request::StillFrame { frame: u32::MAX },
        Request::Track(plan()),
        Request::Preview(TrackingPlan { correction: None, ..plan() }),
        Request::Cancel { id: JobId(u64::MAX) },
        Request::Close,
        Request::ReturnBuffer,
    ];
    for request in &all {
        match request {
            Request::Open
            | Request::ShowFrame { .. }
            | Request::StillFrame { .. }
            | Request::Track(_)
            | Request::Preview(_)
            | Request::Cancel { .. }
            | Request::Close
            | Request::ReturnBuffer => {}
        }
    }
    all
}

fn clip() -> ClipRef {
    let info = ClipInfo {
        width_px: 1280,
        height_px: 720,
        codec: "H.264 (avc1.64002a)".into(),
        rotation_quarter_turns: 3,
        stamps_s: vec![0.0, 1.0 / 120.0, 2.0 / 120.0],
        filmed_rate_hz: Some(240.0),
    };
    ClipRef {
        name: "“a” \\ b.mp4".into(),
        size_bytes: 5_370_000_000,
        fingerprint: "ab12".into(),
        info: Rc::new(info),
    }
}

fn responses() -> Vec<Response> {
    let latest = BTreeMap::from([(Landmark::NearHip, sample()), (Landmark::FarToe, None)]);
    let samples = BTreeMap::from([(Landmark::NearHip, vec![sample(), None, sample()])]);
    let pose = CameraPose::new(0.9, 0.1, -4.5, 2.25);
    let camera = CameraPath { poses: vec![CameraPose::REST, pose], residual_px: 0.125 };
    let result = TrackingResult {
        tracks: Tracks { first: 7, samples },
        camera: Some(Rc::new(camera)),
        duplicates: Some(vec![3, 9]),
        cancelled: true,
    };
    let preview = Preview {
        landmark: Landmark::NearHeel,
        mode: MarkerMode::Sticker,
        frames: 90,
        unsure: 2,
        blur: Some(Blur { length_px: 2.3, may_be_more: false }),
    };
    let mut all = vec![
        Response::Ready,
        Response::Opened(clip()),
        Response::Frame { frame: 599 },
        Response::Progress(Progress { done: 5, total: 600, frame: 4, latest }),
        Response::Tracked(result),
        Response::Previewed(Some(preview)),
        Response::Previewed(None),
        Response::Panicked { message: "unreachable\n at src/a.rs:1:2".into() },
    ];
    all.extend(errors().into_iter().map(Response::Failed));
    for response in &all {
        match response {
            Response::Ready
            | Response::Opened(_)
            | Response::Frame { .. }
            | Response::Progress(_)
            | Response::Tracked(_)
            | Response::Previewed(_)
            | Response::Failed(_)
            | Response::Panicked { .. } => {}
        }
    }
    all
}

fn errors() -> Vec<JobError> {
    let reason = || "it was moved".to_owned();
    let protocol = [
        ProtocolError::NoText,
        ProtocolError::Unreadable { reason: reason() },
        ProtocolError::NoAttachment,
        ProtocolError::NotSent { reason: reason() },
    ];
    let mut all: Vec<JobError> = protocol.into_iter().map(JobError::Protocol).collect();
    all.extend([
        JobError::ClipNotOpen,
        JobError::Unanswered,
        JobError::Media(media::Part::EditList.into()),
        JobError::FileChanged { reason: reason() },
        JobError::UnsupportedCodec { codec: "HEVC (hvc1.1)".into(), is_high_profile: true },
        JobError::NoDecoder,
        JobError::DecoderRefused,
        JobError::SampleRefused,
        JobError::DecoderStopped { reason: None },
        JobError::DecoderStopped { reason: Some(reason()) },
        JobError::NoSuchFrame { frame: 9 },
        JobError::FrameMissing { frame: 9 },
        JobError::CopyRefused,
        JobError::EmptyFrame,
        JobError::FrameSize,
        JobError::FramesOutside { first: 5, last: 700, frame_count: 600 },
        JobError::NothingToTrack,
        JobError::NothingToPreview,
        JobError::MarkOutside { landmark: Landmark::FarWrist },
        JobError::Tracker { reason: reason() },
    ]);
    all
}

fn attachments() -> [Option<Attachment>; 5] {
    let picture = Picture {
        coded_width_px: 720,
        coded_height_px: 576,
        square_width_px: 1024,
        square_height_px: 576,
        orientation: Orientation { quarter_turns: 1, mirrored: true },
    };
    let meta = FrameMeta { picture, width_px: 720, height_px: 576 };
    [
        None,
        Some(Attachment::File),
        Some(Attachment::Pixels(meta)),
        Some(Attachment::VideoFrame(meta)),
        Some(Attachment::Buffer),
    ]
}

fn survives<B: Clone + Debug + PartialEq>(bodies: &[B])
where
    Envelope<B>: Message,
{
    for body in bodies {
        for attachment in attachments() {
            for clip in [None, Some(TrialId(u32::MAX))] {
                let envelope = Envelope { id: JobId(7), clip, body: body.clone(), attachment };
                let text = encode(&envelope).unwrap();
                assert_eq!(decode::<Envelope<B>>(Some(&text)), Ok(envelope), "{text}");
            }
        }
    }
}

#[test]
fn every_request_and_every_response_survives_its_text() {
    survives(&requests());
    survives(&responses());
}

#[test]
fn a_text_that_is_no_message_is_an_error_and_names_what_is_wrong() {
    let read = |text| decode::<Envelope<Request>>(text).unwrap_err();
    assert_eq!(read(None), ProtocolError::NoText);
    for (text, reason) in [
        ("", "EOF"),
        ("{}", "missing field `id`"),
        (r#"{"id":1,"clip":1,"body":"Dance","attachment":null}"#, "unknown variant `Dance`"),
        (r#"{"id":1,"clip":1,"body":{"Track":{}},"attachment":null}"#, "missing field `first`"),
        (r#"{"id":-1,"clip":1,"body":"Open","attachment":null}"#, "invalid value"),
        (r#"{"id":1,"clip":1,"body":"Open","attachment":"Film"}"#, "unknown variant `Film`"),
    ] {
        let error = read(Some(text));
        let ProtocolError::Unreadable { reason: found } = &error else { panic!("{error:?}") };
        assert!(found.contains(reason), "{text}: {found}");
    }
}

#[test]
fn a_request_is_no_response() {
    let open = Envelope { id: JobId(1), clip: None, body: Request::Open, attachment: None };
    let text = encode(&open).unwrap();
    let read = decode::<Envelope<Response>>(Some(&text));
    assert!(matches!(read, Err(ProtocolError::Unreadable { .. })), "{read:?}");
}

#[test]
fn only_a_file_stays_with_its_sender() {
    let transferred: Vec<bool> =
        attachments().into_iter().flatten().map(Attachment::is_transferred).collect();
    assert_eq!(transferred, [false, true, true, true]);
}
