//! A real browser, driven through what a person sees: names of controls, and places in the frame.

mod devtools;
mod driver;
mod engine;
mod faults;
mod journey;
mod memory;
mod network_log;
mod page;
mod picture;
mod pool;
mod requests;
mod silent_listener;

pub use crate::error::Result;
pub use devtools::DevTools;
pub use driver::{Browser, site_folder};
pub use engine::{Engine, OnlyChromium};
pub use faults::{SCREENS, Screen};
pub use journey::{Setup, journey, run_journey, timed_journey, unchecked_journey};
pub use memory::{PageMemory, page_memory};
pub use network_log::LoggedRequest;
pub use picture::key;
pub use pool::{alone, beside_others, close_idle_browsers};
pub use silent_listener::SilentListener;
