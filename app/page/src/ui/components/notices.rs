//! What the page has to say, above everything, until it is read.

use crate::ui::actions::use_hands;
use crate::ui::store::{Look, Notice};
use yew::prelude::*;

#[derive(Properties, PartialEq)]
pub struct NoticesProps {
    /// Newest last.
    pub notices: Vec<Notice>,
}

/// The notices.
#[component]
pub fn Notices(props: &NoticesProps) -> Html {
    let hands = use_hands();
    html! {
        <div class="notices" aria-live="polite">
            { for props.notices.iter().enumerate().map(|(index, notice)| {
                let hands = hands.clone();
                html! {
                    <div class={classes!("notice", notice.problem.then_some("problem"))} role={if notice.problem { "alert" } else { "status" }}>
                        <p>{ &notice.sentence }</p>
                        <button class="small" aria-label="Close this notice" onclick={move |_| hands.look(Look::Dismiss(index))}>{ "Close" }</button>
                    </div>
                }
            }) }
        </div>
    }
}
