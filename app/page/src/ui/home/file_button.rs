//! A button that lets a person choose files on the device.

use super::open_clips::open_as_new_trials;
use crate::ui::actions::use_actions;
use crate::ui::sentences;
use web_sys::{File, HtmlInputElement};
use yew::prelude::*;

/// The video files that can be opened, as an `accept` attribute.
pub const VIDEO_FILES: &str = "video/*,.mp4,.mov,.webm,.m4v";

#[derive(Properties, PartialEq)]
pub struct FileButtonProps {
    /// The label.
    pub label: AttrValue,
    /// The kinds of file, as an `accept` attribute.
    pub accept: AttrValue,
    /// Whether several files may be chosen.
    #[prop_or_default]
    pub is_multiple: bool,
    /// Called with the chosen files.
    pub on_files: Callback<Vec<File>>,
    /// Whether this is the main button of the screen.
    #[prop_or_default]
    pub is_primary: bool,
}

/// The button.
#[component]
pub fn FileButton(props: &FileButtonProps) -> Html {
    let on_files = props.on_files.clone();
    let onchange = Callback::from(move |event: Event| {
        let Some(input) = event.target_dyn_into::<HtmlInputElement>() else { return };
        let files: Vec<File> = (input.files())
            .map(|list| (0..list.length()).filter_map(|i| list.get(i)).collect())
            .unwrap_or_default();
        // Emptied, so that the same file can be chosen again.
        input.set_value("");
        if !files.is_empty() {
            on_files.emit(files);
        }
    });
    html! {
        <label class={classes!("file-button", props.is_primary.then_some("ready"))}>
            <span aria-hidden="true">{ props.label.clone() }</span>
            <input type="file" aria-label={props.label.clone()} accept={props.accept.clone()} multiple={props.is_multiple} {onchange} />
        </label>
    }
}

#[derive(Properties, PartialEq)]
pub struct OpenClipsButtonProps {
    /// Whether several files may be chosen.
    #[prop_or_default]
    pub is_multiple: bool,
    /// Whether this is the main button of the screen.
    #[prop_or_default]
    pub is_primary: bool,
}

/// Opens more clips as new trials.
#[component]
pub fn OpenClipsButton(props: &OpenClipsButtonProps) -> Html {
    let actions = use_actions();
    let on_files = Callback::from(move |files| open_as_new_trials(&actions, files));
    html! {
        <FileButton label={sentences::clip::OPEN_ANOTHER} accept={VIDEO_FILES} is_multiple={props.is_multiple}
            {on_files} is_primary={props.is_primary} />
    }
}
