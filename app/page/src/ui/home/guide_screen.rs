//! How to film so that a clip can be measured, and the cautions.

use crate::ui::actions::use_actions;
use crate::ui::components::cautions;
use crate::ui::sentences::filming;
use crate::ui::store::{Screen, ViewChange};
use yew::prelude::*;

/// The guide.
#[component]
pub fn GuideScreen() -> Html {
    let actions = use_actions();
    html! {
        <main class="reading">
            <h1>{ "How to film, so that it can be measured" }</h1>
            <dl class="filming">
                <dt>{ "Square to the path." }</dt><dd>{ filming::square_camera() }</dd>
                { for filming::ADVICE.iter().map(|(heading, advice)| html! { <><dt>{ *heading }</dt><dd>{ *advice }</dd></> }) }
            </dl>
            { cautions() }
            <p><button onclick={move |_| actions.change_view(ViewChange::Screen(Screen::Home))}>{ "Back to the first page" }</button></p>
        </main>
    }
}
