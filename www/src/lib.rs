//! Builds and serves the site.
