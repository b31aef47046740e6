//! Time of the analysis of a synthetic trial.

mod synthetic;

use divan::{Bencher, black_box};
use mechanics::analysis::analyse;
use mechanics::body::MarkerSet;
use mechanics::comparison::{AnalysedTrial, MonteCarlo};
use synthetic::trial;

fn main() {
    divan::main();
}

/// The most common trial on the page: four seconds, the near side.
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
fn ten_monte_carlo_runs(bencher: Bencher<'_, '_>) {
    let trial = trial(1000, 120.0, MarkerSet::BothSides);
    let Ok(analysis) = analyse(&trial) else { return };
    let analysed = AnalysedTrial { trial: &trial, analysis: &analysis };
    let mut simulation = MonteCarlo::new(analysed, analysed, 1, u32::MAX);
    bencher.bench_local(|| (0..10).all(|_| simulation.run_once()));
}
