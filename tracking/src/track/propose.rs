//! What a placed marker is, and where the sticker near a click has its middle.

use super::follower::Mode;
use super::look::standing_out;
use crate::image::{GreyFrame, Pixel};

/// Half the side of what is looked at: the largest sticker about a middle that is as far off as a click may be.
const HALF_PX: usize = 25;

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
    let standing = standing_out(frame, at, HALF_PX);
    standing.ring.filter(|_| standing.is_even).map(|ring| ring.middle)
}
