//! The example: two clips of an invented runner that come with the page.

use crate::browser::{loader, random_name};
use crate::ui::actions::Actions;
use crate::ui::sentences::document::sentence;
use crate::ui::store::{Action, Screen, Step};
use document::session::{Session, TrialId, example};
use std::rc::Rc;
use wasm_bindgen_futures::spawn_local;

/// Opens the example's clips and places the first marks; tracking is left to the visitor.
pub fn try_example(actions: &Actions) {
    let actions = actions.clone();
    spawn_local(async move {
        if let Err(reason) = open_example(&actions).await {
            actions.report(reason);
        }
    });
}

async fn open_example(actions: &Actions) -> Result<(), String> {
    actions.conductor.close_all();
    let id = random_name();
    let empty = Session::empty(id.clone());
    actions.dispatch.dispatch(Action::Open(Rc::new(empty), Screen::Home));
    let names = example::clip_names().map_err(|e| sentence(&e))?;
    let mut clips = Vec::new();
    for (trial, name) in (1..).map(TrialId).zip(names) {
        let file = loader::example_clip(&name).await?;
        clips.push(actions.conductor.open(trial, file).await?);
    }
    // Opened as a whole: the example is where the work begins, so there is nothing to undo.
    let session = example::session(id, &clips).map_err(|e| sentence(&e))?;
    actions.dispatch.dispatch(Action::Open(Rc::new(session), Screen::Step(Step::Markers)));
    Ok(())
}
