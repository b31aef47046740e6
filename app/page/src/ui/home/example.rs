//! The example: two clips of an invented runner that come with the page.

use crate::browser::loader;
use crate::browser::session_id::new_session_id;
use crate::ui::actions::Actions;
use crate::ui::open_error::OpenError;
use crate::ui::sentences;
use crate::ui::store::{Action, Screen, Step};
use document::session::{Session, TrialId, example};
use std::rc::Rc;
use wasm_bindgen_futures::spawn_local;

/// Opens the example's clips and places the first marks; tracking is left to the visitor.
pub fn try_example(actions: &Actions) {
    let actions = actions.clone();
    spawn_local(async move {
        if let Err(error) = open_example(&actions).await {
            actions.report(sentences::clip::not_opened(&error));
        }
    });
}

async fn open_example(actions: &Actions) -> Result<(), OpenError> {
    actions.conductor.close_all();
    let id = new_session_id();
    let empty = Session::empty(id.clone());
    actions.dispatch.dispatch(Action::Open(Rc::new(empty), Screen::Home));
    let names = example::clip_names().map_err(OpenError::Document)?;
    let mut clips = Vec::new();
    for (trial, name) in (1..).map(TrialId).zip(names) {
        let loaded = loader::example_clip(&name).await;
        let file = loaded.map_err(OpenError::Browser)?;
        let opened = actions.conductor.open(trial, file).await;
        clips.push(opened.map_err(OpenError::Job)?);
    }
    // Opened as a whole: the example is where the work begins, so there is nothing to undo.
    let session = example::session(id, &clips).map_err(OpenError::Document)?;
    actions.dispatch.dispatch(Action::Open(Rc::new(session), Screen::Step(Step::Markers)));
    Ok(())
}
