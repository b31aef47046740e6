//! The tracker alone, natively and as WASM: to compare the bits of both, and to time it.

pub mod drawn;
pub mod exact;
