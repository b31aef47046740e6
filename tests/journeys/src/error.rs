//! What a journey comes to.

/// The error is for a person to read: a journey only ends with it.
pub type Result<T> = std::result::Result<T, Box<dyn std::error::Error>>;
