//! The browser's services. Apart from the components, nothing else talks to the browser.

pub mod clock;
mod error;
pub mod files;
pub mod frame_image;
mod js_error;
pub mod loader;
mod message;
pub mod monte_carlo;
pub mod panic;
pub mod player;
pub mod session_id;
pub mod storage;
pub mod worker_client;

pub use error::BrowserError;
