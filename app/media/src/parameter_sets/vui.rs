//! The range of tones in the video usability information, which H.264 and HEVC share.

use super::bits::Bits;

/// The range in the VUI that begins here; none when it does not name it.
///
/// Source: Recommendation ITU-T H.264 (08/2021), E.1.1; H.265 (08/2021), E.2.1, begins in the same way.
pub fn is_full_range(bits: &mut Bits) -> Option<bool> {
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
