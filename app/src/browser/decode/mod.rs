//! From a file on the device to exactly the picture that is asked for.

pub mod blob;
pub mod decoder;
pub mod luma;
pub mod range;
pub mod recent;
