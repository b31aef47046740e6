//! What a marker looks like, and where its look may be in the next frame.

mod candidate;
mod cover;
mod search;
mod skin;
mod standing;
mod sticker;

pub(super) use candidate::Candidate;
pub(super) use cover::Band;
pub(super) use skin::{MOST_HALF_PX, Skin, SkinScratch};
pub(super) use standing::standing_out;
pub(super) use sticker::Sticker;
