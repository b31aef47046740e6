//! The components.
