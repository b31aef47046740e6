//! What a placed marker is, and where the sticker near a click has its middle.

use super::follower::Mode;
use crate::image::{GreyFrame, Pixel, Region};
use crate::point::ring_near;

/// Chosen: a click on a sticker lands within its radius; a little more for a hurried one.
const REACH_PX: usize = 5;

/// Proposes the mode of a marker from the patch about it.
#[must_use]
pub fn propose_mode(frame: GreyFrame<'_>, at: Pixel) -> Mode {
    match snap_to_sticker(frame, at) {
        Some(_) => Mode::Sticker,
        None => Mode::Skin,
    }
}

/// The middle of the sticker within five pixels of a click; `None` where there is no round mark.
#[must_use]
pub fn snap_to_sticker(frame: GreyFrame<'_>, at: Pixel) -> Option<Pixel> {
    let region = Region::around(frame, at, REACH_PX + 20);
    ring_near(&region, at, REACH_PX).map(|ring| ring.middle)
}
