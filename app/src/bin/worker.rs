//! The worker.
fn main() {}
