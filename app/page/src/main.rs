//! The page. In a worker, which has no page, the same program runs the Monte Carlo of the measurement.

mod browser;
mod ui;

use browser::monte_carlo;

fn main() {
    if monte_carlo::in_worker() {
        monte_carlo::listen();
    } else {
        ui::start();
    }
}
