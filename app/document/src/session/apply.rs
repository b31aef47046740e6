//! Applies a command to a session.

use super::calibration::ClipCalibration;
use super::clip::ClipRef;
use super::command::{Command, TrialCommand};
use super::error::Error;
use super::model::Session;
use super::swap::swap_legs;
use super::track::Track;
use super::trial::{Conditions, Trial, TrialId, Unknown};
use super::validation;
use mechanics::body::MarkerSet;
use std::collections::BTreeMap;
use std::rc::Rc;

/// The session after the command; the given one stays unchanged.
///
/// # Errors
/// When the command names a trial or a frame that does not exist, or brings what a session must not contain: a number
/// that is not finite, a text or a clip beyond the limits.
pub fn apply(session: &Session, command: &Command) -> Result<Session, Error> {
    validation::command(session, command)?;
    let mut next = session.clone();
    match command {
        Command::NameSession(name) => next.name.clone_from(name),
        Command::SetRunner(runner) => next.runner = runner.clone(),
        Command::SetOptions(options) => next.options = *options,
        Command::SetNotes(notes) => next.notes.clone_from(notes),
        Command::AddTrial { id, name, clip } => {
            if session.trial(*id).is_some() {
                return Err(Error::TrialTaken);
            }
            next.trials.push(Rc::new(new_trial(session, *id, name, clip)));
        }
        Command::RemoveTrial(id) => {
            session.trial(*id).ok_or(Error::NoTrial)?;
            next.trials.retain(|t| t.id != *id);
        }
        Command::ForTrial(id, change) => {
            let trial = next.trials.iter_mut().find(|t| t.id == *id).ok_or(Error::NoTrial)?;
            apply_to_trial(Rc::make_mut(trial), change)?;
        }
    }
    Ok(next)
}

/// A new trial. It takes over how the last one was filmed and run, since one sitting seldom moves the camera.
fn new_trial(session: &Session, id: TrialId, name: &str, clip: &ClipRef) -> Trial {
    let before = session.trials.last();
    let size_px = |clip: &ClipRef| (clip.info.width_px, clip.info.height_px);
    // A camera that moved stands elsewhere in another clip.
    let same_view =
        before.filter(|t| t.camera.is_none()).filter(|t| size_px(&t.clip) == size_px(clip));
    let calibration = same_view.map_or_else(ClipCalibration::default, |t| t.calibration);
    let conditions = before.map_or_else(Conditions::default, |t| t.conditions.clone());
    Trial {
        id,
        name: name.to_owned(),
        clip: clip.clone(),
        calibration: ClipCalibration { filmed_rate_hz: None, ..calibration },
        conditions: Conditions { cue: String::new(), ..conditions },
        marker_set: before.map_or(MarkerSet::NearSide, |t| t.marker_set),
        tracks: BTreeMap::new(),
        camera: None,
        repeated: Vec::new(),
        event_edits: Vec::new(),
        unknown: Unknown::new(),
    }
}

fn apply_to_trial(trial: &mut Trial, change: &TrialCommand) -> Result<(), Error> {
    let frame_count = trial.clip.info.frame_count();
    match change {
        TrialCommand::Rename(name) => trial.name.clone_from(name),
        TrialCommand::KnowClipAs(name) => trial.clip.name.clone_from(name),
        TrialCommand::Calibrate(calibration) => trial.calibration = *calibration,
        TrialCommand::SetConditions(conditions) => trial.conditions = conditions.clone(),
        TrialCommand::ChooseMarkers(set) => trial.marker_set = *set,
        TrialCommand::PlaceMark { landmark, frame, at, mode } => {
            check_frame(*frame, frame_count)?;
            let new = || Rc::new(Track::empty(*mode, frame_count));
            let track = trial.tracks.entry(*landmark).or_insert_with(new);
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
            check_frame(*first, frame_count)?;
            if let Some(repeated) = repeated {
                trial.repeated.clone_from(repeated);
            }
            if camera.is_some() {
                trial.camera.clone_from(camera);
            }
            for (landmark, stretch) in stretches {
                if let Some(track) = trial.tracks.get_mut(landmark) {
                    Rc::make_mut(track).store(*first, stretch);
                }
            }
        }
        TrialCommand::SwapLegs { first, last } => {
            check_frame(*first, frame_count)?;
            check_frame(*last, frame_count)?;
            swap_legs(trial, *first, *last);
        }
        TrialCommand::EditEvent(edit) => trial.event_edits.push(*edit),
        TrialCommand::ForgetEventEdits => trial.event_edits.clear(),
    }
    Ok(())
}

fn check_frame(frame: u32, frame_count: u32) -> Result<(), Error> {
    if frame < frame_count { Ok(()) } else { Err(Error::NoFrame { frame, frame_count }) }
}
