//! What can be wrong with what the mechanics is given.

use thiserror::Error;

/// Why there is no result: what is wrong, then what to do.
#[derive(Clone, Debug, PartialEq, Error)]
#[non_exhaustive]
pub enum Error {
    /// The mass is missing, zero or negative.
    #[error("the runner's mass is {mass_kg} kg: enter a mass between 15 and 300 kg")]
    Mass {
        /// What was given.
        mass_kg: f64,
    },
}
