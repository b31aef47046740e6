//! A real browser, driven through what a person sees: names of controls, and places in the picture.

mod calm;
mod devtools;
mod driver;
mod engine;
mod journey;
mod memory;
mod page;
mod picture;
mod traffic;

pub use calm::SCREENS;
pub use devtools::DevTools;
pub use driver::{Browser, at_the_top, site_folder};
pub use engine::{Engine, OnlyChromium};
pub use journey::{free_journey, journey, journey_alone};
pub use memory::page_process_mb;
pub use picture::key;
pub use traffic::{Asked, Deaf};

use std::sync::{PoisonError, RwLock, RwLockReadGuard, RwLockWriteGuard};

/// What a journey comes to.
pub type Result<T> = std::result::Result<T, Box<dyn std::error::Error>>;

/// Clips of known truth beside the project.
pub const CLIPS: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../../shared/clips");

static ROOM: RwLock<()> = RwLock::new(());

/// Journeys go beside each other, as many as the test runner has threads: each waits most of its time.
pub fn beside_others() -> RwLockReadGuard<'static, ()> {
    ROOM.read().unwrap_or_else(PoisonError::into_inner)
}

/// A journey that measures goes alone among those of its file.
pub fn alone() -> RwLockWriteGuard<'static, ()> {
    ROOM.write().unwrap_or_else(PoisonError::into_inner)
}
