//! What a session may contain: the same limits for what a person does and for what a file states.
//!
//! Numbers need only be usable here. Whether a mass or a speed can be a runner's is decided by `mechanics::limits`, in
//! the fields of the page and in the list of what is missing: a file with a slip opens, so that it can be corrected.

use super::calibration::ClipCalibration;
use super::camera::{CameraPath, CameraPose};
use super::clip::ClipRef;
use super::command::{Command, TrialCommand};
use super::invalid::{
    Invalid, MAX_EVENT_EDITS, MAX_FRAMES, MAX_FRAMES_IN_ALL, MAX_NOTES_BYTES, MAX_SAMPLES,
    MAX_SIDE_PX, MAX_TEXT_BYTES, MAX_TRIALS, SessionField, is_usable,
};
use super::model::{CutoffChoice, Options, Runner, Session};
use super::track::Track;
use super::trial::{Conditions, Trial};
use mechanics::gait::EventEdit;
use mechanics::space::Pixel;
use std::collections::BTreeSet;

/// Whether a command brings only what a session may contain.
pub(super) fn command(session: &Session, command: &Command) -> Result<(), Invalid> {
    match command {
        Command::NameSession(name) => text(SessionField::SessionName, name),
        Command::SetRunner(next) => runner(next),
        Command::SetOptions(next) => options(next),
        Command::SetNotes(notes) => long_text(SessionField::Notes, notes, MAX_NOTES_BYTES),
        Command::AddTrial { name, clip: next, .. } => {
            text(SessionField::TrialName, name)?;
            clip(next)?;
            let frames = frames_in_all(session) + next.info.stamps_s.len();
            require(session.trials.len() < MAX_TRIALS, || Invalid::TooManyTrials)?;
            require(frames <= MAX_FRAMES_IN_ALL, || Invalid::TooManyFramesInAll)
        }
        Command::RemoveTrial(_) => Ok(()),
        Command::ForTrial(id, change) => {
            let trial = session.trial(*id);
            trial.map_or(Ok(()), |trial| trial_command(session, trial, change))
        }
    }
}

fn trial_command(session: &Session, trial: &Trial, change: &TrialCommand) -> Result<(), Invalid> {
    match change {
        TrialCommand::Rename(name) => text(SessionField::TrialName, name),
        TrialCommand::KnowClipAs(name) => text(SessionField::ClipName, name),
        TrialCommand::Calibrate(next) => calibration(next),
        TrialCommand::SetConditions(next) => conditions(next),
        TrialCommand::PlaceMark { landmark, at, .. } => {
            pixel(SessionField::MarkerPosition, *at)?;
            let new = !trial.tracks.contains_key(landmark);
            let samples = samples_in_all(session) + trial.clip.info.stamps_s.len();
            require(!new || samples <= MAX_SAMPLES, || Invalid::TooManySamples)
        }
        TrialCommand::KeepFollowed { camera: path, repeated: frames, .. } => {
            path.as_ref().map_or(Ok(()), |path| camera(trial, path))?;
            frames.as_ref().map_or(Ok(()), |frames| repeated(trial, frames))
        }
        TrialCommand::EditEvent(next) => {
            require(trial.event_edits.len() < MAX_EVENT_EDITS, || Invalid::TooManyEdits)?;
            edit(next)
        }
        TrialCommand::ChooseMarkers(_)
        | TrialCommand::ForgetMark { .. }
        | TrialCommand::ForgetLandmark(_)
        | TrialCommand::SetMode(..)
        | TrialCommand::SwapLegs { .. }
        | TrialCommand::ForgetEventEdits => Ok(()),
    }
}

/// Whether a session from outside is consistent.
pub(super) fn session(session: &Session) -> Result<(), Invalid> {
    let allowed = |c: char| c.is_ascii_alphanumeric() || c == '-';
    require((1..=64).contains(&session.id.len()), || Invalid::Id)?;
    require(session.id.chars().all(allowed), || Invalid::Id)?;
    text(SessionField::SessionName, &session.name)?;
    long_text(SessionField::Notes, &session.notes, MAX_NOTES_BYTES)?;
    runner(&session.runner)?;
    options(&session.options)?;
    require(session.trials.len() <= MAX_TRIALS, || Invalid::TooManyTrials)?;
    require(frames_in_all(session) <= MAX_FRAMES_IN_ALL, || Invalid::TooManyFramesInAll)?;
    require(samples_in_all(session) <= MAX_SAMPLES, || Invalid::TooManySamples)?;
    let mut seen = BTreeSet::new();
    for trial in &session.trials {
        require(seen.insert(trial.id), || Invalid::SameTrial { id: trial.id.0 })?;
        check_trial(trial)?;
    }
    Ok(())
}

fn check_trial(trial: &Trial) -> Result<(), Invalid> {
    text(SessionField::TrialName, &trial.name)?;
    clip(&trial.clip)?;
    calibration(&trial.calibration)?;
    conditions(&trial.conditions)?;
    require(trial.event_edits.len() <= MAX_EVENT_EDITS, || Invalid::TooManyEdits)?;
    trial.event_edits.iter().try_for_each(edit)?;
    trial.camera.as_ref().map_or(Ok(()), |path| camera(trial, path))?;
    repeated(trial, &trial.repeated)?;
    trial.tracks.iter().try_for_each(|(_, t)| track(trial, t))
}

fn camera(trial: &Trial, path: &CameraPath) -> Result<(), Invalid> {
    let complete = path.poses.len() == trial.clip.info.stamps_s.len();
    let valid =
        complete && path.poses.iter().all(CameraPose::is_valid) && is_usable(path.residual_px);
    require(valid, || Invalid::Camera { trial: trial.name.clone() })
}

fn repeated(trial: &Trial, frames: &[u32]) -> Result<(), Invalid> {
    let rises = frames.iter().zip(frames.iter().skip(1)).all(|(a, b)| a < b);
    let inside = frames.last().is_none_or(|last| *last < trial.clip.info.frame_count());
    require(rises && inside, || Invalid::Repeated { trial: trial.name.clone() })
}

fn track(trial: &Trial, track: &Track) -> Result<(), Invalid> {
    let name = || trial.name.clone();
    let (found, expected) = (track.samples.len(), trial.clip.info.stamps_s.len());
    require(found == expected, || Invalid::TrackLength { trial: name(), found, expected })?;
    for (frame, at) in &track.keyframes {
        let outside = || Invalid::KeyframeOutside { trial: name(), frame: *frame };
        require((*frame as usize) < expected, outside)?;
        pixel(SessionField::MarkerPosition, *at)?;
    }
    let within = |(first, last): (u32, u32)| first <= last && (last as usize) < expected;
    require(track.followed.is_none_or(within), || Invalid::TrackedOutside { trial: name() })?;
    let wrong = track.samples.iter().position(|s| s.as_ref().is_some_and(|s| !s.is_valid()));
    wrong.map_or(Ok(()), |frame| Err(Invalid::Sample { trial: name(), frame }))
}

fn clip(clip: &ClipRef) -> Result<(), Invalid> {
    text(SessionField::ClipName, &clip.name)?;
    text(SessionField::Fingerprint, &clip.fingerprint)?;
    let info = &clip.info;
    text(SessionField::Codec, &info.codec)?;
    optional(SessionField::FilmedRate, info.filmed_rate_hz)?;
    let name = || clip.name.clone();
    let (width_px, height_px) = (info.width_px, info.height_px);
    let side = 1..=MAX_SIDE_PX;
    require(
        side.contains(&width_px) && side.contains(&height_px) && info.rotation_quarter_turns < 4,
        || Invalid::Image { clip: name(), width_px, height_px },
    )?;
    let count = info.stamps_s.len();
    require(count > 0, || Invalid::NoFrames { clip: name() })?;
    require(count <= MAX_FRAMES, || Invalid::TooManyFrames { clip: name(), count })?;
    info.stamps_s.iter().try_for_each(|s| number(SessionField::FrameTime, *s))?;
    let late = info.stamps_s.windows(2).position(|w| w.first() >= w.last());
    late.map_or(Ok(()), |before| {
        Err(Invalid::TimesNotIncreasing { clip: name(), frame: before + 1 })
    })
}

fn runner(runner: &Runner) -> Result<(), Invalid> {
    text(SessionField::RunnerName, &runner.label)?;
    optional(SessionField::Mass, runner.mass_kg)?;
    optional(SessionField::Height, runner.height_m)
}

fn options(options: &Options) -> Result<(), Invalid> {
    match options.cutoff {
        CutoffChoice::Automatic => Ok(()),
        CutoffChoice::Fixed { cutoff_hz } => number(SessionField::Cutoff, cutoff_hz),
    }
}

fn conditions(conditions: &Conditions) -> Result<(), Invalid> {
    optional(SessionField::Speed, conditions.speed_m_s)?;
    text(SessionField::Cue, &conditions.cue)?;
    text(SessionField::Shoes, &conditions.shoes)
}

fn calibration(calibration: &ClipCalibration) -> Result<(), Invalid> {
    optional(SessionField::FilmedRate, calibration.filmed_rate_hz)?;
    if let Some(scale) = calibration.scale {
        pixel(SessionField::ScaleEnd, scale.from)?;
        pixel(SessionField::ScaleEnd, scale.to)?;
        number(SessionField::ScaleLength, scale.length_m)?;
    }
    if let Some(vertical) = calibration.vertical {
        pixel(SessionField::VerticalEnd, vertical.from)?;
        pixel(SessionField::VerticalEnd, vertical.to)?;
    }
    Ok(())
}

fn edit(edit: &EventEdit) -> Result<(), Invalid> {
    let times_s = match edit {
        EventEdit::Move { from_s, to_s, .. } => [*from_s, *to_s],
        EventEdit::Add { at_s, .. } | EventEdit::Remove { at_s, .. } => [*at_s, *at_s],
    };
    times_s.iter().try_for_each(|t| number(SessionField::EventTime, *t))
}

fn frames_in_all(session: &Session) -> usize {
    session.trials.iter().map(|t| t.clip.info.stamps_s.len()).sum()
}

fn samples_in_all(session: &Session) -> usize {
    session.trials.iter().map(|t| t.tracks.len() * t.clip.info.stamps_s.len()).sum()
}

fn pixel(field: SessionField, at: Pixel) -> Result<(), Invalid> {
    number(field, at.x_px)?;
    number(field, at.y_px)
}

fn optional(field: SessionField, value: Option<f64>) -> Result<(), Invalid> {
    value.map_or(Ok(()), |v| number(field, v))
}

fn number(field: SessionField, value: f64) -> Result<(), Invalid> {
    require(is_usable(value), || Invalid::Number { field })
}

fn text(field: SessionField, value: &str) -> Result<(), Invalid> {
    long_text(field, value, MAX_TEXT_BYTES)
}

fn long_text(field: SessionField, value: &str, max_bytes: usize) -> Result<(), Invalid> {
    require(value.len() <= max_bytes, || Invalid::Text { field, max_bytes })
}

fn require(holds: bool, otherwise: impl FnOnce() -> Invalid) -> Result<(), Invalid> {
    if holds { Ok(()) } else { Err(otherwise()) }
}
