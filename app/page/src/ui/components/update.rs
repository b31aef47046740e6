//! The offer of a new version; it is loaded on request, never over unsaved work.

use crate::browser::loader;
use yew::prelude::*;

#[derive(Properties, PartialEq)]
pub struct UpdateProps {
    /// Whether everything is saved.
    pub is_saved: bool,
}

/// The offer, once a new version is ready.
#[component]
pub fn Update(props: &UpdateProps) -> Html {
    let is_ready = use_state_eq(|| false);
    {
        let is_ready = is_ready.clone();
        use_effect_with((), move |()| loader::on_update(move || is_ready.set(true)));
    }
    if !*is_ready {
        return Html::default();
    }
    html! {
        <div class="notice" role="status">
            <p>{ "A new version of this page is ready. Your work stays." }</p>
            <button class="small" disabled={!props.is_saved} onclick={|_| loader::apply_update()}>{ "Load it now" }</button>
        </div>
    }
}
