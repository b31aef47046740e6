//! The buttons that magnify the picture.

use crate::ui::sentences;
use yew::prelude::*;

/// The factors.
const FACTORS: [u32; 3] = [1, 2, 4];

/// The buttons; the state holds the factor.
pub fn zoom_buttons(zoom: &UseStateHandle<u32>) -> Html {
    html! {
        <div class="zoom" role="group" aria-label="How close">
            { for FACTORS.iter().map(|factor| button(*factor, zoom)) }
        </div>
    }
}

fn button(factor: u32, zoom: &UseStateHandle<u32>) -> Html {
    let (state, is_current) = (zoom.clone(), **zoom == factor);
    html! {
        <button class="small" aria-pressed={is_current.to_string()} aria-label={sentences::stage::zoom_name(factor)} onclick={move |_| state.set(factor)}>
            { sentences::stage::zoom_label(factor) }
        </button>
    }
}
