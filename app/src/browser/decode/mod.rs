//! From a file on the device to exactly the picture that is asked for.

pub mod anew;
pub mod blob;
mod colour;
pub mod decoder;
pub mod luma;
pub mod recent;
mod running;
