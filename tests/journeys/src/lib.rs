//! Journeys through the page in a real browser: the driver, the clips, the harness and the known truth.

pub mod browser;
pub mod clips;
pub mod compare;
pub mod csv_rows;
mod error;
pub mod harness;
pub mod injections;
pub mod measurements;
pub mod options;
pub mod random;
pub mod truth;
