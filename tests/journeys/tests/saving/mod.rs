//! Sessions are never lost: saves that fail, tabs that are killed or meet, panics, new versions.

mod common;
mod deleting;
mod failing_saves;
mod full_disk;
mod kills;
mod memory;
mod panics;
mod tabs;
mod updates;

/// The journeys of this folder.
pub fn all() -> Vec<libtest_mimic::Trial> {
    let files = [
        kills::all(),
        failing_saves::all(),
        full_disk::all(),
        deleting::all(),
        memory::all(),
        panics::all(),
        tabs::all(),
        updates::all(),
    ];
    files.into_iter().flatten().collect()
}
