//! Sessions in several states of the work on the example.

use document::session::{
    Certainty, ClipInfo, ClipRef, Command, Session, TrackSample, TrialCommand, TrialId, apply,
    example,
};
use mechanics::body::Landmark;
use mechanics::space::Pixel;
use std::collections::BTreeMap;
use std::rc::Rc;

/// The example with its first marks.
pub fn marked() -> Session {
    let clips: Vec<ClipRef> = example::clip_names().unwrap().iter().map(|n| clip(n)).collect();
    example::session("a".into(), &clips).unwrap()
}

/// The example with every landmark at its true position.
pub fn tracked() -> Session {
    let names = example::clip_names().unwrap();
    let mut session = Rc::new(marked());
    for (id, name) in (1..).map(TrialId).zip(&names) {
        let keep = TrialCommand::KeepFollowed {
            first: 0,
            stretches: true_tracks(name),
            camera: None,
            repeated: None,
        };
        session = Rc::new(apply(&session, &Command::ForTrial(id, keep)).unwrap());
    }
    Session::clone(&session)
}

fn clip(name: &str) -> ClipRef {
    let info = ClipInfo {
        width_px: 1280,
        height_px: 720,
        codec: "H.264 (avc1.64002a)".into(),
        rotation_quarter_turns: 0,
        stamps_s: (0..600).map(|i| f64::from(i) / 120.0).collect(),
        filmed_rate_hz: None,
    };
    ClipRef {
        name: name.to_owned(),
        size_bytes: 1,
        fingerprint: String::new(),
        info: Rc::new(info),
    }
}

/// The tracks that the generator of the example clips wrote beside them.
fn true_tracks(clip: &str) -> BTreeMap<Landmark, Vec<Option<TrackSample>>> {
    let name = clip.trim_end_matches(".mp4");
    let path = format!("{}/../../demo-clips/clips/{name}.truth.json", env!("CARGO_MANIFEST_DIR"));
    let truth: serde_json::Value =
        serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap();
    let numbers = |columns: &serde_json::Value, axis: &str| -> Vec<f64> {
        columns[axis].as_array().unwrap().iter().filter_map(serde_json::Value::as_f64).collect()
    };
    let track = |columns: &serde_json::Value| {
        let positions = numbers(columns, "x_px").into_iter().zip(numbers(columns, "y_px"));
        let sample =
            |(x_px, y_px)| Some(TrackSample::new(Pixel { x_px, y_px }, Certainty::Seen, 0.0));
        positions.map(sample).collect()
    };
    let landmarks = truth["landmarks"].as_object().unwrap().iter();
    let parsed = landmarks.filter_map(|(name, columns)| {
        Some((serde_json::from_value(name.as_str().into()).ok()?, track(columns)))
    });
    parsed.collect()
}
