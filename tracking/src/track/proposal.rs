//! The mode that is proposed for a placed marker, and the centre of the sticker near a click.

use super::appearance::discriminate;
use super::mode::Mode;
use crate::image::{GreyFrame, ImagePoint};
use crate::scales::PROPOSAL_HALF_PX;

/// Proposes the mode of a marker from the patch about it.
#[must_use]
pub fn propose_mode(frame: GreyFrame<'_>, at: ImagePoint) -> Mode {
    match snap_to_sticker(frame, at) {
        Some(_) => Mode::Sticker,
        None => Mode::Skin,
    }
}

/// The centre of the sticker within five pixels of a click; `None` if there is no round mark.
///
/// ```
/// use tracking::image::{GreyFrame, ImagePoint};
/// use tracking::track::snap_to_sticker;
///
/// // A white disc of 6 px radius about (40, 30) on grey.
/// let disc = |x: f64, y: f64| (x - 40.0).hypot(y - 30.0) < 6.0;
/// let level = |k: usize| if disc((k % 80) as f64, (k / 80) as f64) { 230 } else { 90 };
/// let bytes: Vec<u8> = (0..80 * 60).map(level).collect();
/// let frame = GreyFrame::new(80, 60, 80, &bytes)?;
/// let centre = snap_to_sticker(frame, ImagePoint { x_px: 43.0, y_px: 28.0 });
/// assert!(centre.unwrap().distance_px(ImagePoint { x_px: 40.0, y_px: 30.0 }) < 0.1);
/// assert_eq!(snap_to_sticker(frame, ImagePoint { x_px: 12.0, y_px: 12.0 }), None);
/// # Ok::<(), tracking::Error>(())
/// ```
#[must_use]
pub fn snap_to_sticker(frame: GreyFrame<'_>, at: ImagePoint) -> Option<ImagePoint> {
    let found = discriminate(frame, at, PROPOSAL_HALF_PX);
    found.blob.filter(|_| found.is_even).map(|blob| blob.centre)
}
