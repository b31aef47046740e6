//! One target under libFuzzer. `fuzz` compiles this program with coverage counters and starts it; its last argument names the target.

#![no_main]
#![allow(unsafe_code, reason = "libFuzzer calls functions without Rust's name mangling")]
#![allow(clippy::panic, reason = "a panic is how libFuzzer learns of a failure")]

use fuzz::{Target, limits, targets};
use libfuzzer_sys::{fuzz_mutator, fuzz_target, fuzzer_mutate};
use std::sync::OnceLock;

fn target() -> &'static Target {
    static TARGET: OnceLock<&Target> = OnceLock::new();
    TARGET.get_or_init(|| {
        let name = std::env::args().next_back().unwrap_or_default();
        targets::find(&name).unwrap_or_else(|| panic!("no target is named {name}"))
    })
}

fuzz_target!(|input: &[u8]| {
    if let Err(excess) = limits::check(target(), input) {
        panic!("{excess}");
    }
});

fuzz_mutator!(|data: &mut [u8], size: usize, max_size: usize, seed: u32| {
    let fields = data.get(..size).map(target().fields).unwrap_or_default();
    let chosen = usize::try_from(seed).unwrap_or(0).checked_rem(fields.len());
    match chosen.and_then(|n| fields.get(n)).and_then(|field| data.get_mut(field.clone())) {
        Some(field) => {
            // The mutated field may be shorter; its last bytes then stay as they are.
            fuzzer_mutate(field, field.len(), field.len());
            size
        }
        None => fuzzer_mutate(data, size, max_size),
    }
});
