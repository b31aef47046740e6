//! Stride Ledger: two side-view clips in, one honest comparison out.
//!
//! `session` < `results` < `media` < `jobs` < `browser` < `ui`: each may use what stands before it.
//! The first four are pure and know no browser.

pub mod browser;
pub mod jobs;
pub mod media;
pub mod results;
pub mod session;
pub mod ui;
