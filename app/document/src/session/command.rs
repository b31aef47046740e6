//! The one way to change a session: a command, one per gesture.

use super::swap::swap_legs;
use super::validation::{self, Unsound};
use super::{
    Calibration, CameraPath, Certainty, ClipRef, Conditions, MarkerMode, Options, Runner, Session,
    Track, TrackSample, Trial, TrialId, Unknown,
};
use mechanics::body::{Landmark, MarkerSet};
use mechanics::gait::EventEdit;
use mechanics::space::Pixel;
use std::collections::BTreeMap;
use std::rc::Rc;
use thiserror::Error;

/// What a gesture does to the session.
#[derive(Clone, Debug, PartialEq)]
pub enum Command {
    /// The session is called this.
    NameSession(String),
    /// The runner is this.
    SetRunner(Runner),
    /// The numbers are computed like this.
    SetOptions(Options),
    /// The notes are these.
    SetNotes(String),
    /// A clip was opened: a trial begins.
    AddTrial {
        /// Its name within the session; not yet taken.
        id: TrialId,
        /// What to call it.
        name: String,
        /// Which clip.
        clip: ClipRef,
    },
    /// The trial is gone.
    RemoveTrial(TrialId),
    /// Something about one trial.
    ForTrial(TrialId, TrialCommand),
}

/// What a gesture does to one trial.
#[derive(Clone, Debug, PartialEq)]
pub enum TrialCommand {
    /// It is called this.
    Rename(String),
    /// The clip's file has another name now.
    KnowClipAs(String),
    /// Scale, vertical, direction, rate.
    Calibrate(Calibration),
    /// Speed, belt, cue, shoes.
    SetConditions(Conditions),
    /// These landmarks are to be marked.
    ChooseMarkers(MarkerSet),
    /// A landmark was put here in this frame.
    PlaceMark {
        /// Which.
        landmark: Landmark,
        /// In which frame.
        frame: u32,
        /// Where.
        at: Pixel,
        /// Mode of a landmark that has no track yet; else ignored.
        mode: MarkerMode,
    },
    /// The keyframe of this landmark in this frame is taken away.
    ForgetMark {
        /// Which.
        landmark: Landmark,
        /// In which frame.
        frame: u32,
    },
    /// The landmark and everything known of it is taken away.
    ForgetLandmark(Landmark),
    /// The landmark is a sticker, or skin or cloth.
    SetMode(Landmark, MarkerMode),
    /// A following came to its end, or was cancelled: keep this stretch of each landmark.
    KeepFollowed {
        /// First frame of the stretch.
        first: u32,
        /// The stretch of each landmark, one sample a frame from `first` on.
        stretches: BTreeMap<Landmark, Vec<Option<TrackSample>>>,
        /// What the camera did, if that was looked for and it moved; else what is known of it stays.
        camera: Option<Rc<CameraPath>>,
        /// The frames whose picture is that of the one before, if every frame was looked at; else what is known stays.
        repeated: Option<Vec<u32>>,
    },
    /// The near and the far leg were taken for each other in this stretch.
    SwapLegs {
        /// First frame of the stretch.
        first: u32,
        /// Last frame of it.
        last: u32,
    },
    /// One change to the events.
    EditEvent(EventEdit),
    /// The events are as they were found.
    ForgetEventEdits,
}

/// Why a command was refused: what is wrong, then what to do.
#[derive(Clone, Debug, PartialEq, Error)]
#[non_exhaustive]
pub enum CommandError {
    /// There is no such trial.
    #[error("this trial is no longer there: choose another")]
    NoTrial,
    /// There is such a trial already.
    #[error("this trial is there already: open the clip again")]
    TrialTaken,
    /// There is no such frame.
    #[error("frame {frame} is not in this clip of {frame_count} frames: choose another frame")]
    NoFrame {
        /// What was asked for.
        frame: u32,
        /// How many there are.
        frame_count: u32,
    },
    /// It would bring what a session cannot contain.
    #[error("this cannot be kept, because {0}: change it and try again")]
    Unsound(#[from] Unsound),
}

/// The session after the command; the one given is left as it was.
///
/// # Errors
/// When the command names a trial or a frame that is not there, or brings what a session cannot
/// contain: a number that is none, a text or a clip beyond the limits.
pub fn apply(session: &Session, command: &Command) -> Result<Session, CommandError> {
    validation::command(session, command)?;
    let mut next = session.clone();
    match command {
        Command::NameSession(name) => next.name.clone_from(name),
        Command::SetRunner(runner) => next.runner = runner.clone(),
        Command::SetOptions(options) => next.options = *options,
        Command::SetNotes(notes) => next.notes.clone_from(notes),
        Command::AddTrial { id, name, clip } => {
            if session.trial(*id).is_some() {
                return Err(CommandError::TrialTaken);
            }
            next.trials.push(Rc::new(begin(session, *id, name, clip)));
        }
        Command::RemoveTrial(id) => {
            session.trial(*id).ok_or(CommandError::NoTrial)?;
            next.trials.retain(|t| t.id != *id);
        }
        Command::ForTrial(id, change) => {
            let place =
                next.trials.iter_mut().find(|t| t.id == *id).ok_or(CommandError::NoTrial)?;
            apply_to_trial(Rc::make_mut(place), change)?;
        }
    }
    Ok(next)
}

/// A trial as it begins: as the last one was filmed and run, since one sitting seldom moves the camera.
fn begin(session: &Session, id: TrialId, name: &str, clip: &ClipRef) -> Trial {
    let before = session.trials.last();
    // A camera that moved stands elsewhere in another clip.
    let same_picture = before.filter(|t| t.camera.is_none()).filter(|t| {
        (t.clip.info.width_px, t.clip.info.height_px) == (clip.info.width_px, clip.info.height_px)
    });
    let nothing =
        Calibration { scale: None, vertical: None, direction: None, filmed_rate_hz: None };
    Trial {
        id,
        name: name.to_owned(),
        clip: clip.clone(),
        calibration: same_picture
            .map_or(nothing, |t| Calibration { filmed_rate_hz: None, ..t.calibration }),
        conditions: before.map_or_else(
            || Conditions {
                speed_m_s: None,
                on_belt: true,
                cue: String::new(),
                shoes: String::new(),
            },
            |t| Conditions { cue: String::new(), ..t.conditions.clone() },
        ),
        marker_set: before.map_or(MarkerSet::NearSide, |t| t.marker_set),
        tracks: BTreeMap::new(),
        camera: None,
        repeated: Vec::new(),
        event_edits: Vec::new(),
        unknown: Unknown::new(),
    }
}

fn apply_to_trial(trial: &mut Trial, change: &TrialCommand) -> Result<(), CommandError> {
    let frame_count = trial.clip.info.frame_count();
    match change {
        TrialCommand::Rename(name) => trial.name.clone_from(name),
        TrialCommand::KnowClipAs(name) => trial.clip.name.clone_from(name),
        TrialCommand::Calibrate(calibration) => trial.calibration = *calibration,
        TrialCommand::SetConditions(conditions) => trial.conditions = conditions.clone(),
        TrialCommand::ChooseMarkers(set) => trial.marker_set = *set,
        TrialCommand::PlaceMark { landmark, frame, at, mode } => {
            within(*frame, frame_count)?;
            let track = trial
                .tracks
                .entry(*landmark)
                .or_insert_with(|| Rc::new(Track::empty(*mode, frame_count)));
            Rc::make_mut(track).place(*frame, *at);
        }
        TrialCommand::ForgetMark { landmark, frame } => {
            if let Some(track) = trial.tracks.get_mut(landmark) {
                Rc::make_mut(track).forget(*frame);
            }
        }
        TrialCommand::ForgetLandmark(landmark) => {
            trial.tracks.remove(landmark);
        }
        TrialCommand::SetMode(landmark, mode) => {
            if let Some(track) = trial.tracks.get_mut(landmark) {
                Rc::make_mut(track).mode = *mode;
            }
        }
        TrialCommand::KeepFollowed { first, stretches, camera, repeated } => {
            within(*first, frame_count)?;
            if let Some(repeated) = repeated {
                trial.repeated.clone_from(repeated);
            }
            if camera.is_some() {
                trial.camera.clone_from(camera);
            }
            for (landmark, stretch) in stretches {
                if let Some(track) = trial.tracks.get_mut(landmark) {
                    Rc::make_mut(track).keep(*first, stretch);
                }
            }
        }
        TrialCommand::SwapLegs { first, last } => {
            within(*first, frame_count)?;
            within(*last, frame_count)?;
            swap_legs(trial, *first, *last);
        }
        TrialCommand::EditEvent(edit) => trial.event_edits.push(*edit),
        TrialCommand::ForgetEventEdits => trial.event_edits.clear(),
    }
    Ok(())
}

fn within(frame: u32, frame_count: u32) -> Result<(), CommandError> {
    if frame < frame_count { Ok(()) } else { Err(CommandError::NoFrame { frame, frame_count }) }
}

impl Track {
    fn place(&mut self, frame: u32, at: Pixel) {
        let sample = TrackSample::new(at, Certainty::Placed, 0.0);
        self.keyframes.insert(frame, sample.at);
        if let Some(slot) = self.samples.get_mut(frame as usize) {
            *slot = Some(sample);
        }
    }

    fn forget(&mut self, frame: u32) {
        if self.keyframes.remove(&frame).is_some()
            && let Some(slot) = self.samples.get_mut(frame as usize)
        {
            *slot = None;
        }
    }

    /// Keeps a followed stretch; keyframes stay where a person put them, impossible positions are gaps.
    fn keep(&mut self, first: u32, stretch: &[Option<TrackSample>]) {
        let end = self.samples.len().min(first as usize + stretch.len());
        if let Some(last) =
            u32::try_from(end).ok().and_then(|n| n.checked_sub(1)).filter(|l| *l >= first)
        {
            self.went_over(first, last);
        }
        for (frame, sample) in (first..).zip(stretch) {
            if self.keyframes.contains_key(&frame) {
                continue;
            }
            if let Some(slot) = self.samples.get_mut(frame as usize) {
                *slot = sample.filter(validation::sample);
            }
        }
    }
}
