//! Length, upright and frame rate of a picture.

use document::session::{Scale, Vertical, VerticalKind};

/// While the scale is being drawn.
pub const DRAW_SCALE: &str = "Press on one end of a length you know, drag to the other end, and let go there. It must lie where the near foot runs.";
/// While a plumb line is being drawn.
pub const DRAW_PLUMB: &str = "Drag along something that hangs straight down.";
/// While the ground line is being drawn.
pub const DRAW_GROUND: &str = "Drag along the ground or the belt, if it is level.";
/// Before a scale is drawn.
pub const NO_SCALE: &str = "No length is marked yet.";
/// A line whose two ends coincide.
pub const TOO_SHORT: &str =
    "The two ends are in one place: press on one end, drag to the other, and let go there.";

/// The length of a metre, and what a pixel more or less makes of it.
#[must_use]
pub fn scale(scale: Scale) -> String {
    let length_px = (scale.to.x_px - scale.from.x_px).hypot(scale.to.y_px - scale.from.y_px);
    format!(
        "One metre is {:.1} px here. One pixel off at either end changes lengths by {:.1} %.",
        length_px / scale.length_m,
        100.0 / length_px
    )
}

/// The source of the vertical.
#[must_use]
pub fn vertical(line: Option<Vertical>) -> &'static str {
    match line.map(|l| l.kind) {
        None => "Upright is taken from the picture's own edge.",
        Some(VerticalKind::Plumb) => "Upright is taken from the plumb line.",
        Some(VerticalKind::Ground) => "Upright is taken from the ground line.",
    }
}

/// What an empty field for the frame rate while filming means.
#[must_use]
pub fn rate_help(stamped_hz: f64) -> String {
    format!("Only for slow motion; empty means {stamped_hz:.2}, as the stamps say.")
}

/// A frame rate while filming that the file names itself.
#[must_use]
pub fn rate_in_file(rate_hz: f64) -> String {
    format!("The file says that it was filmed at {rate_hz:.0} frames/s.")
}

/// On the button that takes over that rate.
#[must_use]
pub fn use_rate(rate_hz: f64) -> String {
    format!("Use {rate_hz:.0} frames/s")
}
