//! The example: what a coach would have entered for the two clips that come with the page.

use super::{
    Calibration, ClipRef, Command, Conditions, MarkerMode, Runner, Scale, TrialCommand, TrialId,
    Vertical, VerticalKind,
};
use mechanics::body::{Landmark, MarkerSet, Table};
use mechanics::space::{Direction, Pixel};
use serde::Deserialize;
use std::collections::BTreeMap;

/// Made by the generator of the clips, beside them.
const TEXT: &str = include_str!("../../../../demo-clips/clips/example.json");

#[derive(Deserialize)]
struct Example {
    session: String,
    runner: String,
    mass_kg: f64,
    height_m: f64,
    table: Table,
    speed_m_s: f64,
    trials: Vec<Entry>,
}

#[derive(Deserialize)]
struct Entry {
    clip: String,
    cue: String,
    scale_px: [(f64, f64); 2],
    length_m: f64,
    vertical_px: [(f64, f64); 2],
    direction: Direction,
    marker_set: MarkerSet,
    marks_px: BTreeMap<Landmark, (f64, f64)>,
}

fn read() -> Result<Example, String> {
    serde_json::from_str(TEXT).map_err(|e| {
        format!("the example that came with this page is broken ({e}): load the page again")
    })
}

fn pixel((x_px, y_px): (f64, f64)) -> Pixel {
    Pixel { x_px, y_px }
}

/// The names of the clips, in order.
///
/// # Errors
/// When the page came with a broken example.
pub fn clip_names() -> Result<Vec<String>, String> {
    Ok(read()?.trials.into_iter().map(|t| t.clip).collect())
}

/// What makes the example of an empty session, given its opened clips in the order of [`clip_names`].
///
/// Scale, upright, direction, speed, runner and the marks in the first frame; nothing is followed.
///
/// # Errors
/// When the page came with a broken example, or a clip is missing.
pub fn commands(clips: &[ClipRef]) -> Result<Vec<Command>, String> {
    let example = read()?;
    if clips.len() != example.trials.len() {
        return Err(format!(
            "the example has {} clips and {} were opened: try the example again",
            example.trials.len(),
            clips.len()
        ));
    }
    let runner = Runner {
        label: example.runner,
        mass_kg: Some(example.mass_kg),
        height_m: Some(example.height_m),
        table: example.table,
    };
    let mut commands = vec![Command::NameSession(example.session), Command::SetRunner(runner)];
    for ((id, clip), entry) in (1..).map(TrialId).zip(clips).zip(&example.trials) {
        commands.push(Command::AddTrial { id, name: entry.cue.clone(), clip: clip.clone() });
        commands.extend(
            entry
                .changes(example.speed_m_s)
                .into_iter()
                .map(|change| Command::ForTrial(id, change)),
        );
    }
    Ok(commands)
}

impl Entry {
    fn changes(&self, speed_m_s: f64) -> Vec<TrialCommand> {
        let [from, to] = self.scale_px.map(pixel);
        let [top, bottom] = self.vertical_px.map(pixel);
        let calibration = Calibration {
            scale: Some(Scale { from, to, length_m: self.length_m, frame: 0 }),
            vertical: Some(Vertical { kind: VerticalKind::Plumb, from: top, to: bottom, frame: 0 }),
            direction: Some(self.direction),
            filmed_rate_hz: None,
        };
        let conditions = Conditions {
            speed_m_s: Some(speed_m_s),
            on_belt: true,
            cue: self.cue.clone(),
            shoes: String::new(),
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
    use crate::session::{ClipInfo, Session, apply};
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

    #[test]
    fn the_example_makes_a_session_with_every_landmark_placed_in_both_clips() {
        let clips: Vec<ClipRef> = clip_names().unwrap().into_iter().map(clip).collect();
        let empty = Session::empty("x".into());
        let session = commands(&clips).unwrap().iter().fold(empty, |s, c| apply(&s, c).unwrap());
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
    fn a_missing_clip_is_told() {
        assert!(commands(&[]).is_err_and(|e| e.contains("2 clips and 0 were opened")));
    }
}
