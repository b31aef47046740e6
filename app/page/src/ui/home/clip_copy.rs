//! The copy of a clip on this device, with which the page need not ask for the file again.

use crate::browser::opfs;
use crate::ui::actions::use_actions;
use document::session::Trial;
use std::rc::Rc;
use wasm_bindgen_futures::spawn_local;
use yew::prelude::*;

#[derive(Properties, PartialEq)]
pub struct ClipCopyProps {
    /// The trial whose clip is copied.
    pub trial: Rc<Trial>,
    /// Whether the clip is open.
    pub is_open: bool,
}

/// Whether the browser has a copy of this clip; none until that is known, or if it can have none.
#[hook]
fn use_has_copy(trial: &Trial) -> UseStateHandle<Option<bool>> {
    let has_copy = use_state_eq(|| None::<bool>);
    let state = has_copy.clone();
    let clip = (trial.clip.fingerprint.clone(), trial.clip.name.clone());
    use_effect_with(clip, move |(fingerprint, name)| {
        let (fingerprint, name) = (fingerprint.clone(), name.clone());
        spawn_local(async move {
            if opfs::available().await {
                state.set(Some(opfs::kept_clip(&fingerprint, &name).await.is_some()));
            }
        });
    });
    has_copy
}

/// The choice to keep a copy.
#[component]
pub fn ClipCopy(props: &ClipCopyProps) -> Html {
    let actions = use_actions();
    let state = use_has_copy(&props.trial);
    let Some(has_copy) = *state else { return Html::default() };
    let onchange = {
        let (actions, trial) = (actions.clone(), Rc::clone(&props.trial));
        Callback::from(move |_: Event| {
            let (actions, trial, state) = (actions.clone(), Rc::clone(&trial), state.clone());
            spawn_local(async move {
                let fingerprint = &trial.clip.fingerprint;
                let result = match actions.conductor.file(trial.id) {
                    Some(file) if !has_copy => opfs::keep_clip(fingerprint, &file).await,
                    _ => opfs::forget_clip(fingerprint).await,
                };
                match result {
                    Ok(()) => state.set(Some(!has_copy)),
                    Err(reason) => actions.report(reason.to_string()),
                }
            });
        })
    };
    html! {
        <label class="answer">
            <input type="checkbox" checked={has_copy} disabled={!props.is_open && !has_copy} {onchange} />
            <span><b>{ "Keep a copy on this device" }</b><span class="quiet">{ "otherwise the file is asked for again next time; it never leaves this device either way" }</span></span>
        </label>
    }
}
