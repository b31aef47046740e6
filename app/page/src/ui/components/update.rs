//! Word of a new version; it is loaded when asked for, never over unsaved work.

use crate::browser::loader;
use yew::prelude::*;

#[derive(Properties, PartialEq)]
pub struct UpdateProps {
    /// Whether everything is saved.
    pub saved: bool,
}

/// The word, once there is a new version.
#[component]
pub fn Update(props: &UpdateProps) -> Html {
    let ready = use_state_eq(|| false);
    {
        let ready = ready.clone();
        use_effect_with((), move |()| loader::on_update(move || ready.set(true)));
    }
    if !*ready {
        return Html::default();
    }
    html! {
        <div class="notice" role="status">
            <p>{ "A new version of this page is ready. Your work stays." }</p>
            <button class="small" disabled={!props.saved} onclick={|_| loader::apply_update()}>{ "Load it now" }</button>
        </div>
    }
}
