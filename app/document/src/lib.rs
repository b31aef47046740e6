//! The document: what is saved (`session`), and what is shown of it (`results`). Pure.

pub mod results;
pub mod session;
