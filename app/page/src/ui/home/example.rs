//! The example: two clips of an invented runner that come with the page.

use crate::browser::{loader, random_name};
use crate::ui::actions::Actions;
use crate::ui::store::{Action, Screen, Step, ViewChange};
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
    let session = Session::empty(random_name());
    actions.dispatch.dispatch(Action::Open(Rc::new(session), Screen::Home));
    let mut clips = Vec::new();
    for (id, name) in (1..).map(TrialId).zip(example::clip_names()?) {
        let file = loader::example_clip(&name).await?;
        clips.push(actions.conductor.open(id, file).await?);
    }
    actions.dispatch.dispatch(Action::DoAll(example::commands(&clips)?));
    actions.change_view(ViewChange::Trial(TrialId(1)));
    actions.go_to(Step::Markers);
    Ok(())
}
