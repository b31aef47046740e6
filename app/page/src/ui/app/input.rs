//! Input to the page as a whole: dropped files, and the keys for undo and redo.

use crate::ui::actions::Actions;
use crate::ui::home::open_as_new_trials;
use crate::ui::store::Action;
use wasm_bindgen::JsCast;
use web_sys::{File, HtmlInputElement, HtmlTextAreaElement};
use yew::prelude::*;

/// Keeps the browser from its own answer to a drag.
pub fn prevent_default() -> Callback<DragEvent> {
    Callback::from(|event: DragEvent| event.prevent_default())
}

/// Opens dropped files as new trials.
pub fn dropped_files(actions: &Actions) -> Callback<DragEvent> {
    let actions = actions.clone();
    Callback::from(move |event: DragEvent| {
        event.prevent_default();
        let list = event.data_transfer().and_then(|d| d.files());
        let files: Vec<File> = list
            .map(|list| (0..list.length()).filter_map(|i| list.get(i)).collect())
            .unwrap_or_default();
        if !files.is_empty() {
            open_as_new_trials(&actions, files);
        }
    })
}

/// Undo and redo by Ctrl+Z and Shift+Ctrl+Z.
pub fn undo_keys(actions: &Actions) -> Callback<KeyboardEvent> {
    let actions = actions.clone();
    Callback::from(move |event: KeyboardEvent| {
        let is_undo = (event.ctrl_key() || event.meta_key())
            && event.key().eq_ignore_ascii_case("z")
            && !is_in_text_field(&event);
        if is_undo {
            event.prevent_default();
            let action = if event.shift_key() { Action::Redo } else { Action::Undo };
            actions.dispatch.dispatch(action);
        }
    })
}

/// Whether the key goes to a text field, which has an undo of its own.
fn is_in_text_field(event: &KeyboardEvent) -> bool {
    event.target().is_some_and(|target| {
        target.dyn_ref::<HtmlInputElement>().is_some_and(|i| i.type_() == "text")
            || target.dyn_ref::<HtmlTextAreaElement>().is_some()
    })
}
