//! A real browser, driven through what a person sees: names of controls, and places in the picture.

mod calm;
mod devtools;
mod driver;
mod journey;
mod page;
mod picture;
mod traffic;

pub use calm::SCREENS;
pub use devtools::DevTools;
pub use driver::{Browser, site_folder};
pub use journey::{free_journey, journey};
pub use picture::key;
pub use traffic::{Asked, Deaf};

use std::sync::{Mutex, MutexGuard};

/// What a journey comes to.
pub type Result<T> = std::result::Result<T, Box<dyn std::error::Error>>;

/// Clips of known truth beside the project.
pub const CLIPS: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../../shared/clips");

static ONE: Mutex<()> = Mutex::new(());

/// Journeys go one at a time: two browsers on two cores would only slow each other.
pub fn one_at_a_time() -> MutexGuard<'static, ()> {
    ONE.lock().unwrap_or_else(std::sync::PoisonError::into_inner)
}
