//! What a session may contain: the same limits for what a person does and for what a file says.

use super::{
    Calibration, CameraPath, CameraPose, ClipRef, Command, Conditions, Cutoff, Options, Runner,
    Session, Track, TrackSample, Trial, TrialCommand,
};
use mechanics::gait::EventEdit;
use mechanics::space::Pixel;
use std::collections::BTreeSet;
use thiserror::Error;

/// Trials in a session. Chosen: far more than one sitting has, few enough to list.
pub const MAX_TRIALS: usize = 64;
/// Frames of one clip. Chosen: seventeen minutes at 240 frames a second.
pub const MAX_FRAMES: usize = 250_000;
/// Frames of all clips of a session. Chosen: their times then fill about 10 MB of a session file.
pub const MAX_FRAMES_IN_ALL: usize = 500_000;
/// Positions in a session. Chosen: ten minutes at 240 frames a second with thirteen landmarks,
/// which is 64 MB in memory and fits the largest session file that is read.
pub const MAX_SAMPLES: usize = 2_000_000;
/// Bytes of a name or another short text.
pub const MAX_TEXT_BYTES: usize = 10_000;
/// Bytes of the notes.
pub const MAX_NOTES_BYTES: usize = 100_000;
/// Edits to the events of one trial.
pub const MAX_EVENT_EDITS: usize = 2_000;
/// Largest magnitude of any number. Chosen: nothing about a runner comes near it, and its powers
/// stay far from the end of what a number can hold.
const MAX_MAGNITUDE: f64 = 1e9;
/// Largest side of a picture.
const MAX_SIDE_PX: u32 = 16_384;

/// What cannot be part of a session. Each is a reason that follows "because".
#[derive(Clone, Debug, PartialEq, Error)]
#[non_exhaustive]
#[allow(missing_docs, reason = "the sentence of each says what it is")]
pub enum Unsound {
    #[error("{what} is not a usable number")]
    Number { what: &'static str },
    #[error("{what} is longer than {most} bytes")]
    Text { what: &'static str, most: usize },
    #[error("there are more than {MAX_TRIALS} trials")]
    TooManyTrials,
    #[error("the clip “{clip}” has no frames")]
    NoFrames { clip: String },
    #[error("the clip “{clip}” has {count} frames, more than {MAX_FRAMES}")]
    TooManyFrames { clip: String, count: usize },
    #[error("the clips have more than {MAX_FRAMES_IN_ALL} frames together")]
    TooManyFramesInAll,
    #[error("frame {frame} of the clip “{clip}” is not later than the one before it")]
    TimesNotIncreasing { clip: String, frame: usize },
    #[error("the clip “{clip}” has an impossible picture ({width_px} × {height_px})")]
    Picture { clip: String, width_px: u32, height_px: u32 },
    #[error("there are more than {MAX_SAMPLES} positions")]
    TooManySamples,
    #[error("there are more than {MAX_EVENT_EDITS} changes to the events of one trial")]
    TooManyEdits,
    #[error("its name on this device is not one that Stride Ledger gives")]
    Id,
    #[error("two trials have the same number {id}")]
    SameTrial { id: u32 },
    #[error("a track of the trial “{trial}” has {found} frames where the clip has {expected}")]
    TrackLength { trial: String, found: usize, expected: usize },
    #[error("a marker of the trial “{trial}” is placed in frame {frame}, which the clip has not")]
    KeyframeOutside { trial: String, frame: u32 },
    #[error(
        "the camera of the trial “{trial}” has other frames than the clip, or an impossible place"
    )]
    Camera { trial: String },
    #[error(
        "the repeated pictures of the trial “{trial}” are not frames of the clip in their order"
    )]
    Repeated { trial: String },
    #[error("a track of the trial “{trial}” was followed over frames that the clip has not")]
    FollowedOutside { trial: String },
    #[error("a track of the trial “{trial}” has an impossible position in frame {frame}")]
    Sample { trial: String, frame: usize },
}

type Checked = Result<(), Unsound>;

/// Whether a command brings only what a session may contain.
pub(super) fn command(session: &Session, command: &Command) -> Checked {
    match command {
        Command::NameSession(name) => text("the name of the session", name),
        Command::SetRunner(next) => runner(next),
        Command::SetOptions(next) => options(next),
        Command::SetNotes(notes) => words("the notes", notes, MAX_NOTES_BYTES),
        Command::AddTrial { name, clip: next, .. } => {
            text("the name of the trial", name)?;
            clip(next)?;
            let frames = frames_in_all(session) + next.info.stamps_s.len();
            require(session.trials.len() < MAX_TRIALS, || Unsound::TooManyTrials)?;
            require(frames <= MAX_FRAMES_IN_ALL, || Unsound::TooManyFramesInAll)
        }
        Command::RemoveTrial(_) => Ok(()),
        Command::ForTrial(id, change) => {
            let trial = session.trial(*id);
            trial.map_or(Ok(()), |trial| trial_command(session, trial, change))
        }
    }
}

fn trial_command(session: &Session, trial: &Trial, change: &TrialCommand) -> Checked {
    match change {
        TrialCommand::Rename(name) => text("the name of the trial", name),
        TrialCommand::KnowClipAs(name) => text("the name of the clip", name),
        TrialCommand::Calibrate(next) => calibration(next),
        TrialCommand::SetConditions(next) => conditions(next),
        TrialCommand::PlaceMark { landmark, at, .. } => {
            pixel("the place of a marker", *at)?;
            let new = !trial.tracks.contains_key(landmark);
            let samples = samples_in_all(session) + trial.clip.info.stamps_s.len();
            require(!new || samples <= MAX_SAMPLES, || Unsound::TooManySamples)
        }
        TrialCommand::KeepFollowed { camera: path, repeated: frames, .. } => {
            path.as_ref().map_or(Ok(()), |path| camera(trial, path))?;
            frames.as_ref().map_or(Ok(()), |frames| repeated(trial, frames))
        }
        TrialCommand::EditEvent(next) => {
            require(trial.event_edits.len() < MAX_EVENT_EDITS, || Unsound::TooManyEdits)?;
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

/// Whether a session from outside holds together.
pub(super) fn session(session: &Session) -> Checked {
    let of_an_id = |c: char| c.is_ascii_alphanumeric() || c == '-';
    require((1..=64).contains(&session.id.len()), || Unsound::Id)?;
    require(session.id.chars().all(of_an_id), || Unsound::Id)?;
    text("the name of the session", &session.name)?;
    words("the notes", &session.notes, MAX_NOTES_BYTES)?;
    runner(&session.runner)?;
    options(&session.options)?;
    require(session.trials.len() <= MAX_TRIALS, || Unsound::TooManyTrials)?;
    require(frames_in_all(session) <= MAX_FRAMES_IN_ALL, || Unsound::TooManyFramesInAll)?;
    require(samples_in_all(session) <= MAX_SAMPLES, || Unsound::TooManySamples)?;
    let mut seen = BTreeSet::new();
    for trial in &session.trials {
        require(seen.insert(trial.id), || Unsound::SameTrial { id: trial.id.0 })?;
        whole_trial(trial)?;
    }
    Ok(())
}

fn whole_trial(trial: &Trial) -> Checked {
    text("the name of a trial", &trial.name)?;
    clip(&trial.clip)?;
    calibration(&trial.calibration)?;
    conditions(&trial.conditions)?;
    require(trial.event_edits.len() <= MAX_EVENT_EDITS, || Unsound::TooManyEdits)?;
    trial.event_edits.iter().try_for_each(edit)?;
    trial.camera.as_ref().map_or(Ok(()), |path| camera(trial, path))?;
    repeated(trial, &trial.repeated)?;
    trial.tracks.iter().try_for_each(|(_, t)| track(trial, t))
}

fn camera(trial: &Trial, path: &CameraPath) -> Checked {
    let whole = path.poses.len() == trial.clip.info.stamps_s.len();
    let sound = whole && path.poses.iter().all(CameraPose::is_sound) && usable(path.residual_px);
    require(sound, || Unsound::Camera { trial: trial.name.clone() })
}

fn repeated(trial: &Trial, frames: &[u32]) -> Checked {
    let rises = frames.iter().zip(frames.iter().skip(1)).all(|(a, b)| a < b);
    let inside = frames.last().is_none_or(|last| *last < trial.clip.info.frame_count());
    require(rises && inside, || Unsound::Repeated { trial: trial.name.clone() })
}

fn track(trial: &Trial, track: &Track) -> Checked {
    let name = || trial.name.clone();
    let (found, expected) = (track.samples.len(), trial.clip.info.stamps_s.len());
    require(found == expected, || Unsound::TrackLength { trial: name(), found, expected })?;
    for (frame, at) in &track.keyframes {
        let outside = || Unsound::KeyframeOutside { trial: name(), frame: *frame };
        require((*frame as usize) < expected, outside)?;
        pixel("the place of a marker", *at)?;
    }
    let within = |(first, last): (u32, u32)| first <= last && (last as usize) < expected;
    require(track.followed.is_none_or(within), || Unsound::FollowedOutside { trial: name() })?;
    let wrong = track.samples.iter().position(|s| s.is_some_and(|s| !sample(&s)));
    wrong.map_or(Ok(()), |frame| Err(Unsound::Sample { trial: name(), frame }))
}

/// Whether a followed position is one that can be kept.
pub(super) fn sample(sample: &TrackSample) -> bool {
    usable(sample.at.x_px) && usable(sample.at.y_px) && (0.0..=1.0).contains(&sample.p_wrong)
}

fn clip(clip: &ClipRef) -> Checked {
    text("the name of a clip", &clip.name)?;
    text("the fingerprint of a clip", &clip.fingerprint)?;
    let info = &clip.info;
    text("the codec of a clip", &info.codec)?;
    optional("the filmed rate", info.filmed_rate_hz)?;
    let name = || clip.name.clone();
    let (width_px, height_px) = (info.width_px, info.height_px);
    let side = 1..=MAX_SIDE_PX;
    require(
        side.contains(&width_px) && side.contains(&height_px) && info.rotation_quarter_turns < 4,
        || Unsound::Picture { clip: name(), width_px, height_px },
    )?;
    let count = info.stamps_s.len();
    require(count > 0, || Unsound::NoFrames { clip: name() })?;
    require(count <= MAX_FRAMES, || Unsound::TooManyFrames { clip: name(), count })?;
    info.stamps_s.iter().try_for_each(|s| number("the time of a frame", *s))?;
    let late = info.stamps_s.windows(2).position(|w| w.first() >= w.last());
    late.map_or(Ok(()), |before| {
        Err(Unsound::TimesNotIncreasing { clip: name(), frame: before + 1 })
    })
}

fn runner(runner: &Runner) -> Checked {
    text("the name of the runner", &runner.label)?;
    optional("the mass of the runner", runner.mass_kg)?;
    optional("the height of the runner", runner.height_m)
}

fn options(options: &Options) -> Checked {
    match options.cutoff {
        Cutoff::Automatic => Ok(()),
        Cutoff::Fixed { cutoff_hz } => number("the cut-off", cutoff_hz),
    }
}

fn conditions(conditions: &Conditions) -> Checked {
    optional("the speed", conditions.speed_m_s)?;
    text("the cue", &conditions.cue)?;
    text("the shoes", &conditions.shoes)
}

fn calibration(calibration: &Calibration) -> Checked {
    optional("the filmed rate", calibration.filmed_rate_hz)?;
    if let Some(scale) = calibration.scale {
        pixel("an end of the scale", scale.from)?;
        pixel("an end of the scale", scale.to)?;
        number("the length of the scale", scale.length_m)?;
    }
    if let Some(vertical) = calibration.vertical {
        pixel("an end of the plumb or ground line", vertical.from)?;
        pixel("an end of the plumb or ground line", vertical.to)?;
    }
    Ok(())
}

fn edit(edit: &EventEdit) -> Checked {
    let times_s = match edit {
        EventEdit::Move { from_s, to_s, .. } => [*from_s, *to_s],
        EventEdit::Add { at_s, .. } | EventEdit::Remove { at_s, .. } => [*at_s, *at_s],
    };
    times_s.iter().try_for_each(|t| number("the time of an event", *t))
}

fn frames_in_all(session: &Session) -> usize {
    session.trials.iter().map(|t| t.clip.info.stamps_s.len()).sum()
}

fn samples_in_all(session: &Session) -> usize {
    session.trials.iter().map(|t| t.tracks.len() * t.clip.info.stamps_s.len()).sum()
}

fn pixel(what: &'static str, at: Pixel) -> Checked {
    number(what, at.x_px)?;
    number(what, at.y_px)
}

fn optional(what: &'static str, value: Option<f64>) -> Checked {
    value.map_or(Ok(()), |v| number(what, v))
}

fn number(what: &'static str, value: f64) -> Checked {
    require(usable(value), || Unsound::Number { what })
}

fn usable(value: f64) -> bool {
    value.is_finite() && value.abs() <= MAX_MAGNITUDE
}

fn text(what: &'static str, value: &str) -> Checked {
    words(what, value, MAX_TEXT_BYTES)
}

fn words(what: &'static str, value: &str, most: usize) -> Checked {
    require(value.len() <= most, || Unsound::Text { what, most })
}

fn require(holds: bool, otherwise: impl FnOnce() -> Unsound) -> Checked {
    if holds { Ok(()) } else { Err(otherwise()) }
}
