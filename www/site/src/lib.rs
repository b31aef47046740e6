//! Builds the site and serves it on this machine only.
//!
//! `build` turns the crate `app` and the folder `www/shell` into a folder of static files;
//! `serve` hands that folder out on the loopback address. Both are used by the program `site`
//! and by the browser journeys.

pub mod build;
mod error;
pub mod policy;
pub mod serve;

pub use error::SiteError;
