//! The example: what a coach would have entered for the two clips that come with the page.

use super::apply::apply;
use super::calibration::{ClipCalibration, Scale, Vertical, VerticalKind};
use super::clip::ClipRef;
use super::command::{Command, TrialCommand};
use super::error::Error;
use super::model::{Runner, Session};
use super::track::MarkerMode;
use super::trial::{Conditions, TrialId};
use mechanics::body::{Landmark, MarkerSet, Table};
use mechanics::space::{Direction, Pixel};
use serde::Deserialize;
use std::collections::BTreeMap;

/// Written by the generator of the clips, beside them.
const TEXT: &str = include_str!("../../../../demo-clips/clips/example.json");

#[derive(Deserialize)]
struct Example {
    session: String,
    runner: String,
    mass_kg: f64,
    height_m: f64,
    table: Table,
    speed_m_s: f64,
    trials: Vec<ExampleTrial>,
}

#[derive(Deserialize)]
struct ExampleTrial {
    clip: String,
    cue: String,
    scale_px: [(f64, f64); 2],
    length_m: f64,
    vertical_px: [(f64, f64); 2],
    direction: Direction,
    marker_set: MarkerSet,
    marks_px: BTreeMap<Landmark, (f64, f64)>,
}

fn read() -> Result<Example, Error> {
    serde_json::from_str(TEXT).map_err(|e| Error::ExampleBroken { reason: e.to_string() })
}

fn pixel((x_px, y_px): (f64, f64)) -> Pixel {
    Pixel { x_px, y_px }
}

/// The names of the clips, in order.
///
/// # Errors
/// When the page came with a broken example.
pub fn clip_names() -> Result<Vec<String>, Error> {
    Ok(read()?.trials.into_iter().map(|t| t.clip).collect())
}

/// The example's session under this identifier, with its opened clips in the order of [`clip_names`].
///
/// It has scale, vertical, direction, speed, runner and the marks of the first frame; nothing is tracked yet.
///
/// # Errors
/// When the page came with a broken example, or a clip is missing.
pub fn session(id: String, clips: &[ClipRef]) -> Result<Session, Error> {
    let commands = commands(clips)?;
    commands.iter().try_fold(Session::empty(id), |session, command| apply(&session, command))
}

fn commands(clips: &[ClipRef]) -> Result<Vec<Command>, Error> {
    let example = read()?;
    let (expected, opened) = (example.trials.len(), clips.len());
    if opened != expected {
        return Err(Error::ExampleClips { expected, opened });
    }
    let runner = Runner {
        label: example.runner,
        mass_kg: Some(example.mass_kg),
        height_m: Some(example.height_m),
        table: example.table,
    };
    let mut commands = vec![Command::NameSession(example.session), Command::SetRunner(runner)];
    for ((id, clip), trial) in (1..).map(TrialId).zip(clips).zip(&example.trials) {
        commands.push(Command::AddTrial { id, name: trial.cue.clone(), clip: clip.clone() });
        let changes = trial.changes(example.speed_m_s).into_iter();
        commands.extend(changes.map(|change| Command::ForTrial(id, change)));
    }
    Ok(commands)
}

impl ExampleTrial {
    fn changes(&self, speed_m_s: f64) -> Vec<TrialCommand> {
        let [from, to] = self.scale_px.map(pixel);
        let [top, bottom] = self.vertical_px.map(pixel);
        let calibration = ClipCalibration {
            scale: Some(Scale { from, to, length_m: self.length_m, frame: 0 }),
            vertical: Some(Vertical { kind: VerticalKind::Plumb, from: top, to: bottom, frame: 0 }),
            direction: Some(self.direction),
            filmed_rate_hz: None,
        };
        let conditions = Conditions {
            speed_m_s: Some(speed_m_s),
            cue: self.cue.clone(),
            ..Conditions::default()
        };
        let marks = self.marks_px.iter().map(|(landmark, at)| TrialCommand::PlaceMark {
            landmark: *landmark,
            frame: 0,
            at: pixel(*at),
            mode: MarkerMode::Sticker,
        });
        let first = [
            TrialCommand::Calibrate(calibration),
            TrialCommand::SetConditions(conditions),
            TrialCommand::ChooseMarkers(self.marker_set),
        ];
        first.into_iter().chain(marks).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::session::clip::ClipInfo;
    use crate::session::history::History;
    use std::rc::Rc;

    fn clip(name: String) -> ClipRef {
        let info = ClipInfo {
            width_px: 1280,
            height_px: 720,
            codec: "H.264".into(),
            rotation_quarter_turns: 0,
            stamps_s: (0..600).map(|i| f64::from(i) / 120.0).collect(),
            filmed_rate_hz: None,
        };
        ClipRef { name, size_bytes: 1, fingerprint: String::new(), info: Rc::new(info) }
    }

    fn example() -> Session {
        let clips: Vec<ClipRef> = clip_names().unwrap().into_iter().map(clip).collect();
        session("x".into(), &clips).unwrap()
    }

    #[test]
    fn the_example_has_every_landmark_placed_in_both_clips() {
        let session = example();
        assert_eq!(session.trials.len(), 2);
        for trial in &session.trials {
            assert_eq!(trial.next_unplaced(), None);
            assert!(
                trial.calibration.scale.is_some()
                    && trial.calibration.direction == Some(Direction::Right)
            );
            assert_eq!(trial.conditions.speed_m_s, Some(2.8));
        }
    }

    #[test]
    fn the_opened_example_has_no_step_to_undo() {
        let history = History::new(example());
        assert!(!history.can_undo());
        assert_eq!(history.clone().undo(), history);
    }

    #[test]
    fn a_missing_clip_is_reported() {
        let error = session("x".into(), &[]);
        assert_eq!(error, Err(Error::ExampleClips { expected: 2, opened: 0 }));
    }
}
