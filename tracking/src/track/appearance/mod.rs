//! What a marker looks like, and where that may be in the next frame.

mod colour_check;
mod colour_discriminant;
mod occlusion_mask;
mod patch_search;
mod scratch;
mod skin;
mod skin_candidates;
mod sticker;

pub(super) use colour_discriminant::discriminate;
pub(super) use scratch::AppearanceScratch;
pub(super) use skin::Skin;
pub(super) use sticker::Sticker;
