//! The example: two clips of an invented runner that come with the page.

use crate::browser::loader;
use crate::ui::actions::Hands;
use crate::ui::store::{Action, Look, Screen, Step};
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
    let session = Session::empty(crate::browser::random_name());
    hands.dispatch.dispatch(Action::Open(Rc::new(session), Screen::Home));
    let mut clips = Vec::new();
    for (id, name) in (1..).map(TrialId).zip(example::clip_names()?) {
        let file = loader::example_clip(&name).await?;
        clips.push(hands.conductor.open(id, file).await?);
    }
    hands.dispatch.dispatch(Action::DoAll(example::commands(&clips)?));
    hands.look(Look::Trial(TrialId(1)));
    hands.go(Step::Markers);
    Ok(())
}
