//! The choice of paper: the theme of the page.

use web_sys::HtmlSelectElement;
use yew::prelude::*;

/// The papers: name, and value of `data-paper` in the style sheet.
const PAPERS: [(&str, &str); 4] =
    [("Device", ""), ("Light", "light"), ("Dark", "dark"), ("Outdoors", "outdoors")];

/// The choice.
#[component]
pub fn PaperChoice() -> Html {
    let onchange = Callback::from(|event: Event| {
        if let Some(select) = event.target_dyn_into::<HtmlSelectElement>() {
            set_paper(&select.value());
        }
    });
    html! {
        <label class="paper">
            <span class="quiet">{ "Paper" }</span>
            <select aria-label="Paper" {onchange}>
                { for PAPERS.iter().map(|(name, value)| html! { <option value={*value} selected={value.is_empty()}>{ *name }</option> }) }
            </select>
        </label>
    }
}

fn set_paper(value: &str) {
    let root = web_sys::window().and_then(|w| w.document()).and_then(|d| d.document_element());
    if let Some(root) = root {
        // The root never refuses a plain attribute.
        let _ = if value.is_empty() {
            root.remove_attribute("data-paper")
        } else {
            root.set_attribute("data-paper", value)
        };
    }
}
