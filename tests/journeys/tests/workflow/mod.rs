//! The whole job: open, calibrate, mark, track, compare, save; against known truth.

mod autosave;
mod by_hand;
mod common;
mod correction;
mod example;
mod frames;
mod panning;
mod preview;
mod privacy;
mod speed;
mod walker;

/// The journeys of this folder.
pub fn all() -> Vec<libtest_mimic::Trial> {
    let files = [
        autosave::all(),
        by_hand::all(),
        correction::all(),
        example::all(),
        frames::all(),
        panning::all(),
        preview::all(),
        privacy::all(),
        speed::all(),
        walker::all(),
    ];
    files.into_iter().flatten().collect()
}
