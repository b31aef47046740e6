//! From a file on the device to exactly the picture that is asked for.

pub mod blob;
mod colour;
pub mod decoder;
pub mod frame_cache;
pub mod luma;
mod session;
pub mod workarounds;
