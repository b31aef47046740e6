//! The tracker alone, natively and as WASM: its results must be the same bits on both, and its time is measured.

pub mod drawn;
pub mod exact;
