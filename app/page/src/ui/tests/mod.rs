//! Every screen in every state, rendered as text without a browser.

mod accessibility;
mod html;
mod page;
pub mod sessions;
mod states;
