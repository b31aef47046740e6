//! The size of a decoded frame.

use web_sys::VideoFrame;

/// Columns and rows of the visible part of a frame; none for an empty frame.
pub fn visible_size_px(frame: &VideoFrame) -> Option<(u32, u32)> {
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "the size of a frame is a small whole number"
    )]
    frame.visible_rect().map(|r| (r.width() as u32, r.height() as u32))
}
