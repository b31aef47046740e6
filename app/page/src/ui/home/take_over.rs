//! The offer to take over a session that another tab has open.

use super::open_session::take_over;
use crate::ui::actions::use_actions;
use crate::ui::sentences;
use wasm_bindgen_futures::spawn_local;
use yew::prelude::*;

#[derive(Properties, PartialEq)]
pub struct TakeOverProps {
    /// The session that another tab has.
    pub id: AttrValue,
}

/// The offer.
#[component]
pub fn TakeOver(props: &TakeOverProps) -> Html {
    let actions = use_actions();
    let id = props.id.clone();
    let onclick = Callback::from(move |_: MouseEvent| {
        let (actions, id) = (actions.clone(), id.clone());
        spawn_local(async move { take_over(&actions, &id).await });
    });
    html! {
        <div class="notice" role="status">
            <p>{ sentences::session::OPEN_ELSEWHERE }</p>
            <button class="small" {onclick}>{ "Work on it here" }</button>
        </div>
    }
}
