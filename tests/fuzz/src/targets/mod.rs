//! Every reader of what comes from outside.

mod clip;
mod protocol;
mod session;

use crate::Target;

/// All of them.
pub static TARGETS: [Target; 5] =
    [clip::CONTAINER, clip::TIMING, session::SESSION, session::CSV, protocol::PROTOCOL];

/// The target of this name.
#[must_use]
pub fn find(name: &str) -> Option<&'static Target> {
    TARGETS.iter().find(|target| target.name == name)
}
