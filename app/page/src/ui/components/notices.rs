//! Notices at the top of the page, until they are closed.

use crate::ui::actions::use_actions;
use crate::ui::store::{Notice, ViewChange};
use yew::prelude::*;

#[derive(Properties, PartialEq)]
pub struct NoticesProps {
    /// The notices, newest last.
    pub notices: Vec<Notice>,
}

/// The notices.
#[component]
pub fn Notices(props: &NoticesProps) -> Html {
    let actions = use_actions();
    html! {
        <div class="notices" aria-live="polite">
            { for props.notices.iter().enumerate().map(|(index, notice)| {
                let actions = actions.clone();
                html! {
                    <div class={classes!("notice", notice.problem.then_some("problem"))} role={if notice.problem { "alert" } else { "status" }}>
                        <p>{ &notice.sentence }</p>
                        <button class="small" aria-label="Close this notice" onclick={move |_| actions.change_view(ViewChange::Dismiss(index))}>{ "Close" }</button>
                    </div>
                }
            }) }
        </div>
    }
}
