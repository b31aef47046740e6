//! A field for a number.

use super::element_id::unique_id;
use super::read_number::{NumberError, Range, read_number};
use crate::ui::sentences::field;
use web_sys::HtmlInputElement;
use yew::prelude::*;

#[derive(Properties, PartialEq)]
pub struct NumberFieldProps {
    /// The label, with the unit in parentheses.
    pub label: AttrValue,
    /// The current value, in the unit of the label.
    pub value_shown: Option<f64>,
    /// The least value that is accepted.
    pub min_shown: f64,
    /// The greatest value that is accepted.
    pub max_shown: f64,
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
        use_effect_with(props.value_shown, move |_| error.set(None));
    }
    let onchange = {
        let (error, on_change) = (error.clone(), props.on_change.clone());
        let range = Range { min_shown: props.min_shown, max_shown: props.max_shown };
        let before = props.value_shown;
        Callback::from(move |event: Event| {
            let Some(input) = event.target_dyn_into::<HtmlInputElement>() else { return };
            match read_number(&input.value(), range) {
                Ok(value) => {
                    error.set(None);
                    if value != before {
                        on_change.emit(value);
                    }
                }
                Err(refused) => error.set(Some(sentence(&refused, range))),
            }
        })
    };
    let hint_id = format!("{id}-hint");
    html! {
        <div class="field">
            <label for={(*id).clone()}>{ props.label.clone() }</label>
            <input id={(*id).clone()} type="text" inputmode="decimal" autocomplete="off"
                value={props.value_shown.map(|v| v.to_string()).unwrap_or_default()} {onchange}
                aria-invalid={error.is_some().to_string()} aria-describedby={hint_id.clone()} />
            <p id={hint_id} class={if error.is_some() { "wrong" } else { "quiet" }}>
                { error.as_ref().map_or_else(|| props.help.clone().unwrap_or_default(), |e| e.clone().into()) }
            </p>
        </div>
    }
}

/// Why an entry is refused, and what the field accepts.
fn sentence(error: &NumberError, range: Range) -> String {
    let Range { min_shown, max_shown } = range;
    match error {
        NumberError::OutOfRange { value_shown } => {
            field::out_of_range(*value_shown, min_shown, max_shown)
        }
        NumberError::NotANumber { text } => field::not_a_number(text, min_shown, max_shown),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_refused_entry_is_named_with_what_the_field_accepts() {
        let range = Range { min_shown: 15.0, max_shown: 300.0 };
        let said = |text: &str| read_number(text, range).map_err(|e| sentence(&e, range));
        assert_eq!(said("0"), Err("0 is not possible here: enter 15 to 300.".into()));
        assert_eq!(said("x"), Err("“x” is not a number: enter 15 to 300.".into()));
    }
}
