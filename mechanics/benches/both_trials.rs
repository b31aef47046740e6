//! Analyses both trials of a comparison twenty times, 1000 frames and both sides each. `site time` runs it as WASM and
//! times it from outside, since the program has no clock of its own there.

mod synthetic;

use mechanics::analysis::analyse;
use mechanics::body::MarkerSet;
use std::hint::black_box;

/// The number that `site time` divides by. Chosen: making the trial then takes a negligible part of the time.
const ROUNDS: usize = 20;

fn main() {
    let trial = synthetic::trial(1000, 120.0, MarkerSet::BothSides);
    for _ in 0..ROUNDS {
        let both = (analyse(black_box(&trial)), analyse(black_box(&trial)));
        // A refused trial would take no time.
        let is_complete = [&both.0, &both.1]
            .iter()
            .all(|a| a.as_ref().is_ok_and(|a| a.strides.len() > 5 && a.measures.len() > 20));
        assert!(is_complete, "the synthetic trial has no measures");
        drop(black_box(both));
    }
}
