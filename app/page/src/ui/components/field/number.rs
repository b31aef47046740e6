//! A field for a number.

use super::element_id::unique_id;
use super::read_number::{Range, read_number};
use web_sys::HtmlInputElement;
use yew::prelude::*;

#[derive(Properties, PartialEq)]
pub struct NumberFieldProps {
    /// The label, with the unit in parentheses.
    pub label: AttrValue,
    /// The current value, in the unit of the label.
    pub value: Option<f64>,
    /// The least value that is accepted.
    pub min: f64,
    /// The greatest value that is accepted.
    pub max: f64,
    /// Called with each new value; `None` when the field was emptied.
    pub on_change: Callback<Option<f64>>,
    /// A hint below the field.
    #[prop_or_default]
    pub help: Option<AttrValue>,
}

/// The field; below it a hint, or why the entry is refused.
#[component]
pub fn NumberField(props: &NumberFieldProps) -> Html {
    let error = use_state_eq(|| None::<String>);
    let id = use_memo((), |()| unique_id("field"));
    {
        let error = error.clone();
        use_effect_with(props.value, move |_| error.set(None));
    }
    let onchange = {
        let (error, on_change) = (error.clone(), props.on_change.clone());
        let (range, before) = (Range { min: props.min, max: props.max }, props.value);
        Callback::from(move |event: Event| {
            let Some(input) = event.target_dyn_into::<HtmlInputElement>() else { return };
            match read_number(&input.value(), range) {
                Ok(value) => {
                    error.set(None);
                    if value != before {
                        on_change.emit(value);
                    }
                }
                Err(sentence) => error.set(Some(sentence)),
            }
        })
    };
    let hint_id = format!("{id}-hint");
    html! {
        <div class="field">
            <label for={(*id).clone()}>{ props.label.clone() }</label>
            <input id={(*id).clone()} type="text" inputmode="decimal" autocomplete="off"
                value={props.value.map(|v| v.to_string()).unwrap_or_default()} {onchange}
                aria-invalid={error.is_some().to_string()} aria-describedby={hint_id.clone()} />
            <p id={hint_id} class={if error.is_some() { "wrong" } else { "quiet" }}>
                { error.as_ref().map_or_else(|| props.help.clone().unwrap_or_default(), |e| e.clone().into()) }
            </p>
        </div>
    }
}
