//! Opens clips: as new trials, again for a trial, or from their copies on the device.

use crate::browser::storage::opfs;
use crate::ui::actions::Actions;
use crate::ui::open_error::OpenError;
use crate::ui::sentences;
use crate::ui::store::Step;
use document::session::{ClipMatch, ClipRef, Command, Trial, TrialCommand, TrialId, match_clip};
use std::rc::Rc;
use wasm_bindgen_futures::spawn_local;
use web_sys::File;

/// Longest name of a trial that is taken from its file, in characters.
const NAME_LENGTH: usize = 60;

/// Opens each file as a new trial, one after another, and goes to the step Clip.
pub fn open_as_new_trials(actions: &Actions, files: Vec<File>) {
    let actions = actions.clone();
    spawn_local(async move {
        let mut id = actions.conductor.session().next_trial_id();
        for file in files {
            match actions.conductor.open(id, file).await {
                Ok(clip) => {
                    let name = trial_name(&clip);
                    actions.apply(Command::AddTrial { id, name, clip });
                    actions.go_to(Step::Clip);
                    id = TrialId(id.0 + 1);
                }
                Err(failure) => actions.report(sentences::jobs::sentence(&failure)),
            }
        }
    });
}

/// The first name of a trial: the name of its file without the extension.
fn trial_name(clip: &ClipRef) -> String {
    let stem = clip.name.rsplit_once('.').map_or(clip.name.as_str(), |(stem, _)| stem);
    stem.chars().take(NAME_LENGTH).collect()
}

/// Opens a file as the clip of a trial that has one; a different clip is refused.
pub async fn open_again(actions: &Actions, trial: &Trial, file: File) -> Result<(), OpenError> {
    let opened = actions.conductor.open(trial.id, file).await;
    let clip = opened.map_err(OpenError::Job)?;
    let outcome = match_clip(&trial.clip, &clip);
    match outcome {
        ClipMatch::Same => Ok(()),
        ClipMatch::Renamed => {
            actions.change_trial(trial.id, TrialCommand::KnowClipAs(clip.name));
            Ok(())
        }
        ClipMatch::Changed | ClipMatch::Different => {
            actions.conductor.close(trial.id);
            let (wanted, found) = (Box::new(trial.clip.clone()), Box::new(clip));
            Err(OpenError::AnotherClip { outcome, wanted, found })
        }
    }
}

/// Opens the clips of a session that have a copy on this device.
pub async fn open_copies(actions: &Actions, trials: &[Rc<Trial>]) {
    for trial in trials {
        if let Some(file) = opfs::kept_clip(&trial.clip.fingerprint, &trial.clip.name).await
            && let Err(error) = open_again(actions, trial, file).await
        {
            actions.report(sentences::clip::not_opened(&error));
        }
    }
}
