//! A session that another tab has can be worked on here when a person says so.

use super::home_screen::take_over;
use crate::ui::actions::use_hands;
use wasm_bindgen_futures::spawn_local;
use yew::prelude::*;

#[derive(Properties, PartialEq)]
pub struct TakeOverProps {
    /// The session that another tab has.
    pub id: AttrValue,
}

/// The offer to take it over.
#[component]
pub fn TakeOver(props: &TakeOverProps) -> Html {
    let hands = use_hands();
    let id = props.id.clone();
    let take = Callback::from(move |_: MouseEvent| {
        let (hands, id) = (hands.clone(), id.clone());
        spawn_local(async move { take_over(&hands, &id).await });
    });
    html! {
        <div class="notice" role="status">
            <p>{ "Another tab works on this session; here it is only shown." }</p>
            <button class="small" onclick={take}>{ "Work on it here" }</button>
        </div>
    }
}
