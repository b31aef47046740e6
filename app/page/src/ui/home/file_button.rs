//! A button that asks for a file on the device.

use wasm_bindgen::JsCast;
use web_sys::{File, HtmlInputElement};
use yew::prelude::*;

#[derive(Properties, PartialEq)]
pub struct FileButtonProps {
    /// What is asked for.
    pub label: AttrValue,
    /// Which kinds of file, as the `accept` attribute says it.
    pub accept: AttrValue,
    /// Whether several may be chosen.
    #[prop_or_default]
    pub many: bool,
    /// Told of the files.
    pub on_files: Callback<Vec<File>>,
    /// Whether it is the one way on.
    #[prop_or_default]
    pub first: bool,
}

/// The button.
#[component]
pub fn FileButton(props: &FileButtonProps) -> Html {
    let on_files = props.on_files.clone();
    let chosen = Callback::from(move |event: Event| {
        let Some(input) = event.target().and_then(|t| t.dyn_into::<HtmlInputElement>().ok()) else {
            return;
        };
        let files = input
            .files()
            .map(|list| (0..list.length()).filter_map(|i| list.get(i)).collect::<Vec<_>>());
        // Emptied, so that the same file can be chosen again after a mistake.
        input.set_value("");
        if let Some(files) = files.filter(|f| !f.is_empty()) {
            on_files.emit(files);
        }
    });
    html! {
        <label class={classes!("file-button", props.first.then_some("ready"))}>
            <span aria-hidden="true">{ props.label.clone() }</span>
            <input type="file" aria-label={props.label.clone()} accept={props.accept.clone()} multiple={props.many} onchange={chosen} />
        </label>
    }
}
