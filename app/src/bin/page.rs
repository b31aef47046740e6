//! The page.

fn main() {
    app::ui::start();
}
