//! What the page has to say, above everything, until it is read.

use crate::browser::loader;
use crate::ui::actions::use_hands;
use crate::ui::store::{Notice, ViewChange};
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
                        if notice.offers_reload {
                            <button class="small" onclick={|_| loader::reload()}>{ "Load the page again" }</button>
                        }
                        <button class="small" aria-label="Close this notice" onclick={move |_| hands.look(ViewChange::Dismiss(index))}>{ "Close" }</button>
                    </div>
                }
            }) }
        </div>
    }
}
