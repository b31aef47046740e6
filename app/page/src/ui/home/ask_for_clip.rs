//! Asks for a clip that is not open, in place of its picture.

use super::file_button::{FileButton, VIDEO_FILES};
use super::open_clips::open_again;
use crate::ui::actions::use_actions;
use crate::ui::sentences;
use document::session::Trial;
use std::rc::Rc;
use wasm_bindgen_futures::spawn_local;
use web_sys::File;
use yew::prelude::*;

#[derive(Properties, PartialEq)]
pub struct AskForClipProps {
    /// The trial whose clip is not open.
    pub trial: Rc<Trial>,
    /// Whether a file is being opened.
    pub is_opening: bool,
}

/// The request, with the name of the file and a button to choose it.
#[component]
pub fn AskForClip(props: &AskForClipProps) -> Html {
    let actions = use_actions();
    let trial = Rc::clone(&props.trial);
    let on_files = Callback::from(move |files: Vec<File>| {
        let (actions, trial) = (actions.clone(), Rc::clone(&trial));
        spawn_local(async move {
            for file in files.into_iter().take(1) {
                if let Err(error) = open_again(&actions, &trial, file).await {
                    actions.report(sentences::clip::not_opened(&error));
                }
            }
        });
    });
    if props.is_opening {
        return html! { <div class="ask-for-clip"><p role="status">{ sentences::clip::OPENING }</p></div> };
    }
    let name = &props.trial.clip.name;
    html! {
        <div class="ask-for-clip">
            <p>{ sentences::clip::not_open(name) }</p>
            <FileButton label={sentences::clip::open_again(name)} accept={VIDEO_FILES} {on_files} is_primary=true />
        </div>
    }
}
