//! The worker: decodes clips and follows markers.

fn main() {
    app::browser::worker_side::start();
}
