//! The worker: owns files, indexes and decoders, shows frames and follows markers.

mod buffer_pool;
mod camera_job;
mod clip;
mod decode;
mod dispatcher;
mod frame_server;
mod luma_stream;
mod preview_job;
mod tracking_job;
mod yield_now;

fn main() {
    dispatcher::start();
}
