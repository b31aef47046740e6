//! The picture and its time line.

/// Until the first frame is drawn.
pub const WAITING: &str = "The picture is on its way.";

/// The name of a button that zooms in this many times.
#[must_use]
pub fn zoom_name(factor: u32) -> String {
    if factor == 1 { "Whole picture".to_owned() } else { format!("{factor} times as close") }
}

/// The label of a button that zooms in this many times.
#[must_use]
pub fn zoom_label(factor: u32) -> String {
    format!("{factor}×")
}

/// The frame shown among all, with its time. `frame` counts from zero.
#[must_use]
pub fn frame_position(frame: u32, frame_count: u32, time_s: f64) -> String {
    format!("frame {} of {frame_count} · {time_s:.3} s", frame + 1)
}

/// The same for a screen reader.
#[must_use]
pub fn frame_position_spoken(frame: u32, frame_count: u32, time_s: f64) -> String {
    format!("frame {} of {frame_count}, {time_s:.3} seconds", frame + 1)
}

/// The mean figures at one phase of the stride, for a screen reader.
#[must_use]
pub fn figures_at(phase: f64) -> String {
    format!(
        "The mean figures of both ways at {:.0} per cent of the stride, hips together",
        phase * 100.0
    )
}

/// A phase of the stride.
#[must_use]
pub fn phase(phase: f64) -> String {
    format!("{:.0} % of the stride", phase * 100.0)
}
