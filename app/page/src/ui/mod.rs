//! The components of the page.

mod actions;
mod app;
mod autosave;
mod components;
mod conductor;
mod home;
mod open_clips;
mod open_error;
mod pending;
mod sentences;
mod stage;
mod steps;
mod store;
#[cfg(test)]
mod tests;

use app::App;

/// Renders the page into the element that the shell leaves for it.
pub fn start() {
    let root =
        web_sys::window().and_then(|w| w.document()).and_then(|d| d.get_element_by_id("app"));
    yew::set_custom_panic_hook(Box::new(crate::browser::panic::report));
    if let Some(root) = root {
        // The shell's own text stays until the page is ready.
        root.set_inner_html("");
        yew::Renderer::<App>::with_root(root).render();
    }
}
