//! The range of tones in an H.264 sequence parameter set.
//!
//! Source: Recommendation ITU-T H.264 (08/2021), 7.3.2.1.1, and ISO/IEC 14496-15:2022, 5.3.3.1 (`avcC`).

use super::bits::{Bits, unescaped};
use super::vui;

/// Offset of the first parameter set in an `avcC` record, after its length.
const FIRST_AT: usize = 8;

/// Profiles whose parameter sets name chroma format, bit depth and scaling lists.
const HIGH_PROFILES: [u32; 13] = [100, 110, 122, 244, 44, 83, 86, 118, 128, 138, 139, 134, 135];

/// Whether black is 0 and white the highest value; none when the record does not name the range.
pub fn is_full_range(record: &[u8]) -> Option<bool> {
    if record.get(5)? & 0x1f == 0 {
        return None;
    }
    let length = usize::from(u16::from_be_bytes(*record.get(6..)?.first_chunk()?));
    let unit = unescaped(record.get(FIRST_AT..FIRST_AT.checked_add(length)?)?);
    // The first byte is the header of the unit.
    let mut bits = Bits::new(unit.get(1..)?);
    skip_to_vui(&mut bits)?;
    if bits.flag()? { vui::is_full_range(&mut bits) } else { None }
}

fn skip_to_vui(bits: &mut Bits) -> Option<()> {
    let profile = bits.number(8)?;
    bits.skip(16)?;
    bits.exp_golomb()?;
    if HIGH_PROFILES.contains(&profile) {
        skip_high_profile(bits)?;
    }
    bits.exp_golomb()?;
    skip_picture_order_count(bits)?;
    bits.exp_golomb()?;
    bits.skip(1)?;
    bits.exp_golomb()?;
    bits.exp_golomb()?;
    if !bits.flag()? {
        bits.skip(1)?;
    }
    bits.skip(1)?;
    if bits.flag()? {
        for _ in 0..4 {
            bits.exp_golomb()?;
        }
    }
    Some(())
}

fn skip_high_profile(bits: &mut Bits) -> Option<()> {
    let chroma_format = bits.exp_golomb()?;
    if chroma_format == 3 {
        bits.skip(1)?;
    }
    bits.exp_golomb()?;
    bits.exp_golomb()?;
    bits.skip(1)?;
    if bits.flag()? {
        for list in 0..if chroma_format == 3 { 12 } else { 8 } {
            if bits.flag()? {
                skip_scaling_list(bits, if list < 6 { 16 } else { 64 })?;
            }
        }
    }
    Some(())
}

/// Source: the same, 7.3.2.1.1.1 (`scaling_list`).
fn skip_scaling_list(bits: &mut Bits, count: u32) -> Option<()> {
    let (mut last, mut next) = (8_i64, 8_i64);
    for _ in 0..count {
        if next != 0 {
            next = (last + bits.signed_exp_golomb()?).rem_euclid(256);
        }
        last = if next == 0 { last } else { next };
    }
    Some(())
}

fn skip_picture_order_count(bits: &mut Bits) -> Option<()> {
    match bits.exp_golomb()? {
        0 => bits.exp_golomb().map(|_| ()),
        1 => {
            bits.skip(1)?;
            bits.exp_golomb()?;
            bits.exp_golomb()?;
            for _ in 0..bits.exp_golomb()? {
                bits.exp_golomb()?;
            }
            Some(())
        }
        _ => Some(()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A record with one baseline parameter set of 128 × 96 pixels that ends with these bits.
    fn record(last: &str) -> Vec<u8> {
        // Set 0, 4-bit frame numbers, no display order, 1 reference, no gaps, 8 × 6 macroblocks, no cropping.
        let bits = format!("1 1 011 010 0 0001000 00110 1 1 0 {last} 1").replace(' ', "");
        let byte = |eight: &[u8]| {
            eight.iter().enumerate().fold(0, |sum, (i, bit)| sum | (bit - b'0') << (7 - i))
        };
        let unit: Vec<u8> =
            [0x67, 66, 0, 10].into_iter().chain(bits.as_bytes().chunks(8).map(byte)).collect();
        let mut record = vec![1, 66, 0, 10, 0xff, 0xe1, 0, unit.len() as u8];
        record.extend(unit);
        record
    }

    #[test]
    fn the_range_is_none_unless_the_vui_names_it() {
        // Source: Recommendation ITU-T H.264 (08/2021), 7.3.2.1.1 and E.1.1.
        assert_eq!(is_full_range(&record("0")), None, "no VUI");
        assert_eq!(is_full_range(&record("1 0 0 0")), None, "no signal type in the VUI");
        assert_eq!(is_full_range(&record("1 0 0 1 101 1 0")), Some(true));
        assert_eq!(is_full_range(&record("1 0 1 1 1 101 0 0")), Some(false));
    }
}
