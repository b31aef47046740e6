//! Arrow keys that move a point of the picture.

use mechanics::space::Pixel;
use web_sys::KeyboardEvent;

/// A movement, in picture pixels.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Nudge {
    dx_px: f64,
    dy_px: f64,
}

impl Nudge {
    /// The movement of an arrow key: one pixel, with Shift ten.
    #[must_use]
    pub fn of(event: &KeyboardEvent) -> Option<Self> {
        let step_px = if event.shift_key() { 10.0 } else { 1.0 };
        let (dx_px, dy_px) = match event.key().as_str() {
            "ArrowLeft" => (-step_px, 0.0),
            "ArrowRight" => (step_px, 0.0),
            "ArrowUp" => (0.0, -step_px),
            "ArrowDown" => (0.0, step_px),
            _ => return None,
        };
        Some(Self { dx_px, dy_px })
    }

    /// The point after the movement.
    #[must_use]
    pub fn moved(self, point: Pixel) -> Pixel {
        Pixel { x_px: point.x_px + self.dx_px, y_px: point.y_px + self.dy_px }
    }
}
