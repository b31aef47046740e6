//! The sentences that the page composes: one file for the errors of each crate.

pub mod media;
