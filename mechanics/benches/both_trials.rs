//! Analyses both trials of a comparison twenty times over, 1000 frames and both sides, to be timed from outside
//! where a program has no clock of its own: `site time` runs it as WASM.

mod invented;

use mechanics::analysis::analyse;
use mechanics::body::MarkerSet;
use std::hint::black_box;

/// As often as `site time` divides by. Chosen: making the trial then counts for next to nothing.
const ROUNDS: usize = 20;

fn main() {
    let trial = invented::trial(1000, 120.0, MarkerSet::BothSides);
    for _ in 0..ROUNDS {
        let both = (analyse(black_box(&trial)), analyse(black_box(&trial)));
        // A trial that is refused would be done in no time.
        let is_whole = [&both.0, &both.1]
            .iter()
            .all(|a| a.as_ref().is_ok_and(|a| a.strides.len() > 5 && a.measures.len() > 20));
        assert!(is_whole, "the invented trial has no numbers");
        drop(black_box(both));
    }
}
