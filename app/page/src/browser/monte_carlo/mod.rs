//! The Monte Carlo of a comparison, in a worker of its own so that the page stays responsive.
//!
//! The worker runs the page's own program, which finds no page there: nothing more has to be loaded. It gets the session,
//! answers once, and is ended to stop the runs.

mod client;
mod protocol;
mod worker;

pub use client::MonteCarloClient;
pub use protocol::{MonteCarloError, Repetition};
pub use worker::{in_worker, listen};
