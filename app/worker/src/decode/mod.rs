//! From a file on the device to exactly the frame that is asked for.

pub mod blob;
mod chroma;
pub mod decoder;
mod decoder_session;
mod frame_buffer;
pub mod frame_cache;
pub mod frame_size;
pub mod luma;
pub mod workarounds;
