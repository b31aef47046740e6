//! The components.

mod actions;
mod app;
mod autosave;
mod components;
mod conductor;
mod home;
mod pending;
mod sentences;
mod stage;
mod steps;
mod store;
#[cfg(test)]
mod tests;

pub use app::App;

/// Draws the page in the place that the shell leaves for it.
pub fn start() {
    let place =
        web_sys::window().and_then(|w| w.document()).and_then(|d| d.get_element_by_id("app"));
    yew::set_custom_panic_hook(Box::new(crate::browser::panic::tell));
    if let Some(place) = place {
        // The shell's own words stand there until the page is ready.
        place.set_inner_html("");
        yew::Renderer::<App>::with_root(place).render();
    }
}
