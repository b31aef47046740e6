//! Work is never lost: saving that fails, tabs that are killed or meet, programs that fall, versions that change.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test ends by it")]

mod common;
mod deleting;
mod falls;
mod full_disk;
mod kills;
mod memory;
mod saving;
mod tabs;
mod updates;
