//! Fields that check what is entered and say at the field what is wrong.

use std::cell::Cell;
use wasm_bindgen::JsCast;
use web_sys::HtmlInputElement;
use yew::prelude::*;

thread_local! {
    static LAST_NAME: Cell<u32> = const { Cell::new(0) };
}

/// A name that no other element of the page has.
fn fresh_name(kind: &str) -> String {
    let number = LAST_NAME.get() + 1;
    LAST_NAME.set(number);
    format!("{kind}-{number}")
}

/// A field for a number with its unit.
#[derive(Properties, PartialEq)]
pub struct NumberFieldProps {
    /// What is asked, with the unit in parentheses.
    pub label: AttrValue,
    /// What is known.
    pub value_shown: Option<f64>,
    /// Least that makes sense.
    pub least_shown: f64,
    /// Most that makes sense.
    pub most_shown: f64,
    /// Told of each change that makes sense; `None` when the field was emptied.
    pub on_change: Callback<Option<f64>>,
    /// A word on what it is for.
    #[prop_or_default]
    pub help: Option<AttrValue>,
}

/// A number, or why the text is not one in range.
fn read_number(text: &str, least: f64, most: f64) -> Result<Option<f64>, String> {
    let text = text.trim().replace(',', ".");
    if text.is_empty() {
        return Ok(None);
    }
    match text.parse::<f64>() {
        Ok(value) if value.is_finite() && value >= least && value <= most => Ok(Some(value)),
        Ok(value) if value.is_finite() => {
            Err(format!("{value} is not possible here: enter {least} to {most}."))
        }
        _ => Err(format!("“{text}” is not a number: enter {least} to {most}.")),
    }
}

/// A number with its unit.
#[component]
pub fn NumberField(props: &NumberFieldProps) -> Html {
    let wrong = use_state_eq(|| None::<String>);
    let id = use_memo((), |()| fresh_name("field"));
    {
        let wrong = wrong.clone();
        use_effect_with(props.value_shown, move |_| wrong.set(None));
    }
    let change = {
        let (wrong, on_change) = (wrong.clone(), props.on_change.clone());
        let (least, most, before) = (props.least_shown, props.most_shown, props.value_shown);
        Callback::from(move |event: Event| {
            let Some(input) = event.target().and_then(|t| t.dyn_into::<HtmlInputElement>().ok())
            else {
                return;
            };
            match read_number(&input.value(), least, most) {
                Ok(value) => {
                    wrong.set(None);
                    if value != before {
                        on_change.emit(value);
                    }
                }
                Err(reason) => wrong.set(Some(reason)),
            }
        })
    };
    let told = format!("{id}-told");
    html! {
        <div class="field">
            <label for={(*id).clone()}>{ props.label.clone() }</label>
            <input id={(*id).clone()} type="text" inputmode="decimal" autocomplete="off"
                value={props.value_shown.map(|v| v.to_string()).unwrap_or_default()} onchange={change}
                aria-invalid={wrong.is_some().to_string()} aria-describedby={told.clone()} />
            <p id={told} class={if wrong.is_some() { "wrong" } else { "quiet" }}>
                { wrong.as_ref().map_or_else(|| props.help.clone().unwrap_or_default(), |w| w.clone().into()) }
            </p>
        </div>
    }
}

/// A field for words.
#[derive(Properties, PartialEq)]
pub struct TextFieldProps {
    /// What is asked.
    pub label: AttrValue,
    /// What is known.
    pub value: AttrValue,
    /// Told of each change.
    pub on_change: Callback<String>,
    /// A word on what it is for.
    #[prop_or_default]
    pub help: Option<AttrValue>,
}

/// Words, at most 200 of their letters.
#[component]
pub fn TextField(props: &TextFieldProps) -> Html {
    let id = use_memo((), |()| fresh_name("field"));
    let (on_change, before) = (props.on_change.clone(), props.value.clone());
    let change = Callback::from(move |event: Event| {
        let input = event.target().and_then(|t| t.dyn_into::<HtmlInputElement>().ok());
        if let Some(value) = input.map(|i| i.value()).filter(|v| *v != *before) {
            on_change.emit(value);
        }
    });
    html! {
        <div class="field">
            <label for={(*id).clone()}>{ props.label.clone() }</label>
            <input id={(*id).clone()} type="text" maxlength="200" autocomplete="off" value={props.value.clone()} onchange={change} />
            if let Some(help) = &props.help {
                <p class="quiet">{ help.clone() }</p>
            }
        </div>
    }
}

/// One of a few.
#[derive(Properties, PartialEq)]
pub struct ChoiceProps {
    /// What is asked.
    pub legend: AttrValue,
    /// The answers, each with a word on it (may be empty).
    pub answers: Vec<(AttrValue, AttrValue)>,
    /// Which is chosen.
    pub chosen: Option<usize>,
    /// Told of the choice.
    pub on_choose: Callback<usize>,
}

/// A question with a few answers, one of which holds.
#[component]
pub fn Choice(props: &ChoiceProps) -> Html {
    let name = use_memo((), |()| fresh_name("choice"));
    html! {
        <fieldset class="choice">
            <legend>{ props.legend.clone() }</legend>
            { for props.answers.iter().enumerate().map(|(index, (answer, word))| {
                let on_choose = props.on_choose.clone();
                let told = format!("{name}-{index}");
                html! {
                    <label class="answer">
                        <input type="radio" name={(*name).clone()} checked={props.chosen == Some(index)}
                            aria-label={answer.clone()} aria-describedby={told.clone()}
                            onchange={move |_| on_choose.emit(index)} />
                        <span><b>{ answer.clone() }</b><span id={told} class="quiet">{ word.clone() }</span></span>
                    </label>
                }
            }) }
        </fieldset>
    }
}

#[cfg(test)]
mod tests {
    use super::read_number;

    #[test]
    fn a_comma_is_read_as_a_decimal_point() {
        assert_eq!(read_number(" 62,5 ", 15.0, 300.0), Ok(Some(62.5)));
    }

    #[test]
    fn what_is_out_of_range_or_no_number_is_refused_with_a_sentence() {
        assert_eq!(
            read_number("0", 15.0, 300.0),
            Err("0 is not possible here: enter 15 to 300.".into())
        );
        assert!(read_number("NaN", 0.0, 1.0).is_err_and(|e| e.contains("not a number")));
        assert!(read_number("inf", 0.0, 1.0).is_err());
        assert_eq!(read_number("", 0.0, 1.0), Ok(None));
    }
}
