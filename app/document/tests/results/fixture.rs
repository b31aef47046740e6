//! Sessions of true positions, as if every marker had been tracked without error.

use document::results::AnalysisInput;
use document::session::{
    Certainty, ClipCalibration, ClipInfo, ClipRef, Command, Conditions, MarkerMode, Runner, Scale,
    Session, Track, TrackSample, Trial, TrialId, Vertical, VerticalKind, apply,
};
use mechanics::body::{Landmark, MarkerSet, Table};
use mechanics::space::{Direction, Pixel};
use serde_json::Value;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::rc::Rc;

/// The positions of each landmark, frame by frame.
pub type Positions = BTreeMap<Landmark, Vec<Pixel>>;

fn folder(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..").join(name)
}

/// The truth file of one of the example's clips.
pub fn truth(clip: &str) -> Value {
    let path = folder("demo-clips/clips").join(format!("{clip}.truth.json"));
    serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap()
}

fn numbers(value: &Value) -> Vec<f64> {
    value.as_array().unwrap().iter().map(|v| v.as_f64().unwrap()).collect()
}

/// The true positions of each landmark, in the unit that ends the columns: `px` or `m`.
pub fn positions(truth: &Value, ending: &str) -> Positions {
    let landmarks = truth["landmarks"].as_object().unwrap().iter();
    let positions = landmarks.map(|(name, columns)| {
        let landmark: Landmark = serde_json::from_value(Value::String(name.clone())).unwrap();
        let (x, y) =
            (numbers(&columns[format!("x_{ending}")]), numbers(&columns[format!("y_{ending}")]));
        (landmark, x.into_iter().zip(y).map(|(x_px, y_px)| Pixel { x_px, y_px }).collect())
    });
    positions.collect()
}

fn pixel(value: &Value) -> Pixel {
    let xy = numbers(value);
    Pixel { x_px: xy[0], y_px: xy[1] }
}

fn runner(mass_kg: f64, height_m: Option<f64>) -> Runner {
    Runner { label: String::new(), mass_kg: Some(mass_kg), height_m, table: Table::WinterDempster }
}

/// Adds a trial to a session: every landmark placed in the first frame and seen in all others.
fn add(
    session: &Session,
    stamps_s: Vec<f64>,
    positions: &Positions,
    calibration: ClipCalibration,
    speed_m_s: f64,
) -> Session {
    let id = TrialId(session.trials.len() as u32 + 1);
    let info = ClipInfo {
        width_px: 1280,
        height_px: 720,
        codec: "H.264".into(),
        rotation_quarter_turns: 0,
        stamps_s,
        filmed_rate_hz: None,
    };
    let clip = ClipRef {
        name: format!("clip {}.mp4", id.0),
        size_bytes: 1,
        fingerprint: String::new(),
        info: Rc::new(info),
    };
    let added =
        apply(session, &Command::AddTrial { id, name: format!("way {}", id.0), clip }).unwrap();
    let mut session = added;
    let trial = Rc::make_mut(session.trials.last_mut().unwrap());
    trial.calibration = calibration;
    trial.conditions = Conditions { speed_m_s: Some(speed_m_s), ..trial.conditions.clone() };
    trial.marker_set = MarkerSet::NearSide;
    trial.tracks = trial
        .marker_set
        .landmarks()
        .iter()
        .filter_map(|landmark| Some((*landmark, Rc::new(tracked(positions.get(landmark)?)))))
        .collect();
    session
}

/// A track that was placed in its first frame and seen in all others.
fn tracked(positions: &[Pixel]) -> Track {
    let mut track = Track::empty(MarkerMode::Sticker, positions.len() as u32);
    track.keyframes.insert(0, positions[0]);
    track.samples =
        positions.iter().map(|at| Some(TrackSample::new(*at, Certainty::Seen, 0.0))).collect();
    track.samples[0] = Some(TrackSample::new(positions[0], Certainty::Placed, 0.0));
    track.followed = Some((0, positions.len() as u32 - 1));
    track
}

/// A session with the two clips of the example, with true positions instead of tracked ones.
pub fn example() -> Session {
    let mut session = Session::empty("test".into());
    for clip in ["heels_low", "leg_folding"] {
        let truth = truth(clip);
        session.runner = runner(truth["mass_kg"].as_f64().unwrap(), truth["height_m"].as_f64());
        let rate_hz = truth["rate_hz"].as_f64().unwrap();
        let count = truth["frames"].as_u64().unwrap();
        let ends = &truth["scale"]["points_px"];
        let plumb = &truth["plumb_px"];
        let calibration = ClipCalibration {
            scale: Some(Scale {
                from: pixel(&ends[0]),
                to: pixel(&ends[1]),
                length_m: truth["scale"]["length_m"].as_f64().unwrap(),
                frame: 0,
            }),
            vertical: Some(Vertical {
                kind: VerticalKind::Plumb,
                from: pixel(&plumb[0]),
                to: pixel(&plumb[1]),
                frame: 0,
            }),
            direction: Some(Direction::Right),
            filmed_rate_hz: None,
        };
        let stamps_s = (0..count).map(|i| i as f64 / rate_hz).collect();
        let speed_m_s = truth["speed_m_s"].as_f64().unwrap();
        session = add(&session, stamps_s, &positions(&truth, "px"), calibration, speed_m_s);
    }
    session
}

/// The trial at this index, to be changed.
pub fn trial_mut(session: &mut Session, place: usize) -> &mut Trial {
    Rc::make_mut(&mut session.trials[place])
}

/// A session with one rendered clip of a measured runner; none if its folder is absent.
pub fn measured(clip: &str, rate_hz: f64, mass_kg: f64) -> Option<(Session, Positions)> {
    let folder = folder("../shared/clips");
    let read = |end: &str| std::fs::read_to_string(folder.join(format!("{clip}.{end}"))).ok();
    let (px, m) = (columns(&read("truth_px.csv")?), columns(&read("truth_m.csv")?));
    let meta: Value = serde_json::from_str(&read("meta.json")?).unwrap();
    let ends = &meta["scale_px"];
    let roll = meta["tilt_deg"].as_f64().unwrap();
    let (from, to) = (pixel(&ends[0]), pixel(&ends[1]));
    let line = Vertical { kind: VerticalKind::Ground, from, to, frame: 0 };
    let calibration = ClipCalibration {
        scale: Some(Scale { from: line.from, to: line.to, length_m: 1.0, frame: 0 }),
        vertical: (roll != 0.0).then_some(line),
        direction: Some(Direction::Right),
        filmed_rate_hz: None,
    };
    let mut session = Session::empty("test".into());
    session.runner = runner(mass_kg, None);
    let count = px.get(&Landmark::NearHip)?.len();
    let stamps_s = (0..count).map(|i| i as f64 / rate_hz).collect();
    Some((add(&session, stamps_s, &px, calibration, 2.5), m))
}

/// Columns such as `R_mt5_x` as positions; the right side is the near one.
fn columns(text: &str) -> Positions {
    let mut lines = text.lines();
    let names: Vec<&str> = lines.next().unwrap().split(',').collect();
    let rows: Vec<Vec<f64>> =
        lines.map(|l| l.split(',').map(|c| c.parse().unwrap()).collect()).collect();
    let mut positions = Positions::new();
    for landmark in Landmark::ALL {
        let key = serde_json::to_value(landmark).unwrap();
        let name = key
            .as_str()
            .unwrap()
            .replace("near_", "R_")
            .replace("far_", "L_")
            .replace("toe", "mt5");
        let Some(x) = names.iter().position(|n| *n == format!("{name}_x")) else { continue };
        let column = rows.iter().map(|r| Pixel { x_px: r[x], y_px: r[x + 1] });
        positions.insert(landmark, column.collect());
    }
    positions
}

/// The cells of a comma-separated file.
pub fn read_cells(text: &str) -> Vec<Vec<String>> {
    let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(text.as_bytes());
    let rows = reader.records().map(|row| row.unwrap().iter().map(str::to_owned).collect());
    rows.collect()
}

/// What the analysis of this trial reads.
pub fn input(session: &Session, trial: usize) -> AnalysisInput {
    AnalysisInput::new(&session.trials[trial], &session.runner, &session.options)
}
