//! The sentences a person reads about errors, one file for each crate's errors.

pub mod document;
