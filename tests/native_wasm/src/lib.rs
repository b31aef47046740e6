//! The follower alone, natively and as WASM: for what must be the same on both, and for how long it takes.

pub mod drawn;
pub mod exact;
