//! A field for a text.

use super::element_id::unique_id;
use web_sys::HtmlInputElement;
use yew::prelude::*;

#[derive(Properties, PartialEq)]
pub struct TextFieldProps {
    /// The label.
    pub label: AttrValue,
    /// The current text.
    pub value: AttrValue,
    /// Called with each new text.
    pub on_change: Callback<String>,
}

/// The field.
#[component]
pub fn TextField(props: &TextFieldProps) -> Html {
    let id = use_memo((), |()| unique_id("field"));
    let onchange = {
        let (on_change, before) = (props.on_change.clone(), props.value.clone());
        Callback::from(move |event: Event| {
            let input = event.target_dyn_into::<HtmlInputElement>();
            if let Some(value) = input.map(|i| i.value()).filter(|v| *v != *before) {
                on_change.emit(value);
            }
        })
    };
    html! {
        <div class="field">
            <label for={(*id).clone()}>{ props.label.clone() }</label>
            <input id={(*id).clone()} type="text" maxlength="200" autocomplete="off" value={props.value.clone()} {onchange} />
        </div>
    }
}
