//! The program of the worker.

fn main() {
    worker::start();
}
