//! The sentences that a person reads about errors: one file for each crate's errors.

pub mod browser;
pub mod jobs;
pub mod storage;
