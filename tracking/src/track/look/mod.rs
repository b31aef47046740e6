//! What a marker looks like, and where its look may be in the next frame.

mod candidate;
mod cover;
mod hue;
mod search;
mod skin;
mod standing;
mod sticker;

pub(super) use candidate::Candidate;
pub(super) use cover::Band;
pub(super) use skin::{MOST_HALF_PX, Skin};
pub(super) use standing::standing_out;
pub(super) use sticker::Sticker;

use crate::point::{AffineScratch, Scratch, TurnedScratch};

/// Buffers kept from call to call.
#[derive(Debug, Default)]
pub(super) struct LookScratch {
    pub flow: Scratch,
    pub turned: TurnedScratch,
    pub changed: AffineScratch,
}
