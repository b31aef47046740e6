//! What the codec's own header says of the range of tones, where the container says nothing.

mod av1;
mod avc;
mod bits;
mod hevc;

pub use av1::is_full_range as av1_is_full_range;
pub use avc::is_full_range as avc_is_full_range;
pub use hevc::is_full_range as hevc_is_full_range;

use bits::Bits;

/// What a VUI says of the range, from its beginning on; none when it says nothing.
///
/// Source: Recommendation ITU-T H.264 (08/2021), E.1.1; H.265 (08/2021), E.2.1, begins in the same way.
fn vui_range(bits: &mut Bits) -> Option<bool> {
    const EXTENDED_SAR: u32 = 255;
    if bits.flag()? && bits.number(8)? == EXTENDED_SAR {
        bits.skip(32)?;
    }
    if bits.flag()? {
        bits.skip(1)?;
    }
    if !bits.flag()? {
        return None;
    }
    bits.skip(3)?;
    bits.flag()
}
