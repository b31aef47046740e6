//! The worker: opens clips, decodes frames and tracks markers.

mod buffer_pool;
mod camera_job;
mod clip;
mod clip_job;
mod clip_source;
mod decode;
mod dispatcher;
mod frame_server;
mod js_error;
mod luma_stream;
mod open_clips;
mod outbox;
mod preview_job;
mod tracking_job;
mod yield_now;

pub use dispatcher::start;
