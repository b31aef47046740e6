//! A real browser, driven through what a person sees: names of controls, and places in the picture.

mod driver;
mod page;

pub use driver::{Browser, site_folder};
pub use page::{CLIPS, Result};

use std::sync::{Mutex, MutexGuard};

static ONE: Mutex<()> = Mutex::new(());

/// Journeys go one at a time: two browsers on two cores would only slow each other.
pub fn one_at_a_time() -> MutexGuard<'static, ()> {
    ONE.lock().unwrap_or_else(std::sync::PoisonError::into_inner)
}
