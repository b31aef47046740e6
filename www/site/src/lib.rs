//! Builds the site and serves it on this machine only.
//!
//! `build` turns the page, the worker and the folder `www/shell` into a folder of static files;
//! `serve` serves that folder on the loopback address. The program `site` and the browser journeys
//! use both.

pub mod build;
pub mod command_line;
mod error;
pub mod policy;
pub mod serve;

pub use error::{MissingPart, SiteError};
