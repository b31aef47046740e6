//! One of a few answers.

use super::element_id::unique_id;
use yew::prelude::*;

/// An answer to choose.
#[derive(Clone, PartialEq)]
pub struct Answer {
    /// The answer.
    pub name: AttrValue,
    /// A hint below it; may be empty.
    pub hint: AttrValue,
}

impl Answer {
    /// An answer with its hint.
    #[must_use]
    pub const fn new(name: &'static str, hint: &'static str) -> Self {
        Self { name: AttrValue::Static(name), hint: AttrValue::Static(hint) }
    }
}

#[derive(Properties, PartialEq)]
pub struct ChoiceProps {
    /// The question.
    pub legend: AttrValue,
    /// The answers.
    pub answers: Vec<Answer>,
    /// The index of the chosen answer.
    pub chosen: Option<usize>,
    /// Called with the index of the answer that was chosen.
    pub on_choose: Callback<usize>,
}

/// A question with a few answers as radio buttons.
#[component]
pub fn Choice(props: &ChoiceProps) -> Html {
    let name = use_memo((), |()| unique_id("choice"));
    html! {
        <fieldset class="choice">
            <legend>{ props.legend.clone() }</legend>
            { for props.answers.iter().enumerate().map(|(index, answer)| {
                let on_choose = props.on_choose.clone();
                let hint_id = format!("{name}-{index}");
                html! {
                    <label class="answer">
                        <input type="radio" name={(*name).clone()} checked={props.chosen == Some(index)}
                            aria-label={answer.name.clone()} aria-describedby={hint_id.clone()}
                            onchange={move |_| on_choose.emit(index)} />
                        <span><b>{ answer.name.clone() }</b><span id={hint_id} class="quiet">{ answer.hint.clone() }</span></span>
                    </label>
                }
            }) }
        </fieldset>
    }
}
