//! The example: two clips of an invented runner that come with the page.

use crate::browser::loader;
use crate::ui::actions::Hands;
use crate::ui::sentences::document::sentence;
use crate::ui::store::{Action, Screen, Step};
use document::session::{Session, TrialId, example};
use std::rc::Rc;
use wasm_bindgen_futures::spawn_local;

/// Opens the example's clips and puts the marks where a coach would; nothing is followed yet.
pub fn try_example(hands: &Hands) {
    let hands = hands.clone();
    spawn_local(async move {
        if let Err(reason) = set_up(&hands).await {
            hands.complain(reason);
        }
    });
}

async fn set_up(hands: &Hands) -> Result<(), String> {
    hands.conductor.close_all();
    let id = crate::browser::random_name();
    let empty = Session::empty(id.clone());
    hands.dispatch.dispatch(Action::Open(Rc::new(empty), Screen::Home));
    let mut clips = Vec::new();
    for (trial, name) in (1..).map(TrialId).zip(example::clip_names().map_err(|e| sentence(&e))?) {
        let file = loader::example_clip(&name).await?;
        clips.push(hands.conductor.open(trial, file).await?);
    }
    // Opened as a whole: the example is where the work begins, so there is nothing to undo.
    let session = example::session(id, &clips).map_err(|e| sentence(&e))?;
    hands.dispatch.dispatch(Action::Open(Rc::new(session), Screen::Step(Step::Markers)));
    Ok(())
}
