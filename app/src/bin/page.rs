//! The page; in a worker, where no page is, what it repeats behind the screen.

use app::browser::repeats;

fn main() {
    if repeats::in_worker() {
        repeats::listen();
    } else {
        app::ui::start();
    }
}
