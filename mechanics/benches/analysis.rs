//! How long the analysis of an invented trial takes.

mod invented;

use divan::{Bencher, black_box};
use invented::trial;
use mechanics::analysis::analyse;
use mechanics::body::MarkerSet;
use mechanics::comparison::{Repeats, Side};

fn main() {
    divan::main();
}

/// One trial as the page meets it most: four seconds, the near side.
#[divan::bench]
fn near_side_of_500_frames(bencher: Bencher<'_, '_>) {
    let trial = trial(500, 120.0, MarkerSet::NearSide);
    bencher.bench_local(|| analyse(black_box(&trial)));
}

/// Both trials of a comparison, 1000 frames, both sides.
#[divan::bench]
fn both_trials_of_1000_frames_and_both_sides(bencher: Bencher<'_, '_>) {
    let trial = trial(1000, 120.0, MarkerSet::BothSides);
    bencher.bench_local(|| (analyse(black_box(&trial)), analyse(black_box(&trial))));
}

/// Ten of the 500 runs of a Monte Carlo simulation of such a comparison.
#[divan::bench]
fn ten_runs_of_a_simulation(bencher: Bencher<'_, '_>) {
    let trial = trial(1000, 120.0, MarkerSet::BothSides);
    let Ok(analysis) = analyse(&trial) else { return };
    let side = Side { trial: &trial, analysis: &analysis };
    let mut repeats = Repeats::new(side, side, 1, u32::MAX);
    bencher.bench_local(|| (0..10).all(|_| repeats.run()));
}
