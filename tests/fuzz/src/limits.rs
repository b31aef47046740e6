//! What one input may cost.

use crate::Target;
use peak_alloc::PeakAlloc;
use std::time::Instant;
use thiserror::Error;

#[global_allocator]
static MEMORY: PeakAlloc = PeakAlloc;

/// Bytes of memory per byte of input.
///
/// Chosen: an index takes about a hundred bytes per frame, and a frame takes forty or more in the file.
const BYTES_PER_INPUT_BYTE: usize = 4;
/// Bytes of memory that any input may hold beside those.
///
/// Chosen: the rows of the 100 000 frames that a file of any size may name.
const BASE_BYTES: usize = 16 << 20;
/// Bytes that are read in a second at least, and the shortest time limit.
///
/// Chosen: a person does not notice a second before the first frame of a clip.
const BYTES_PER_S: f64 = 1e6;
const BASE_S: f64 = 1.0;
/// Runs of an input that seems slow. Chosen: a slow input is slow each time; one on a busy machine is not.
const MAX_RUNS: usize = 3;

/// An input that costs too much.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum Excess {
    /// Memory.
    #[error("{held_bytes} bytes held for an input of {input_bytes}")]
    Memory {
        /// Most bytes held at a time.
        held_bytes: usize,
        /// Length of the input.
        input_bytes: usize,
    },
    /// Time.
    #[error("{took_s} s for an input of {input_bytes} bytes")]
    Time {
        /// Shortest time of all runs.
        took_s: f64,
        /// Length of the input.
        input_bytes: usize,
    },
}

/// Runs a target on one input. The process must do nothing else meanwhile, since the memory of all its threads counts.
///
/// # Errors
/// When the input takes more memory or time than its length allows.
///
/// # Panics
/// When the target does: a panic is a fault of the code under test.
pub fn check(target: &Target, input: &[u8]) -> Result<(), Excess> {
    let input_bytes = input.len();
    let limit_s = BASE_S.max(input_bytes as f64 / BYTES_PER_S);
    let mut took_s = f64::INFINITY;
    for _ in 0..MAX_RUNS {
        MEMORY.reset_peak_usage();
        let before = MEMORY.current_usage();
        let began = Instant::now();
        (target.run)(input);
        took_s = took_s.min(began.elapsed().as_secs_f64());
        let held_bytes = MEMORY.peak_usage().saturating_sub(before);
        if held_bytes > BYTES_PER_INPUT_BYTE * input_bytes + BASE_BYTES {
            return Err(Excess::Memory { held_bytes, input_bytes });
        }
        if took_s <= limit_s {
            return Ok(());
        }
    }
    Err(Excess::Time { took_s, input_bytes })
}
