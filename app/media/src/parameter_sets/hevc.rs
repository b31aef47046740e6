//! The range of tones in an HEVC sequence parameter set.
//!
//! Source: Recommendation ITU-T H.265 (08/2021), 7.3.2.2.1, and ISO/IEC 14496-15:2022, 8.3.3.1 (`hvcC`).

use super::bits::{Bits, unescaped};
use super::vui;

/// Offset of the number of unit arrays in an `hvcC` record.
const ARRAYS_AT: usize = 22;
/// Type of a sequence parameter set.
const PARAMETER_SET: u8 = 33;
/// Most reference picture sets in one parameter set (the same, 7.4.3.2.1).
const MAX_REFERENCE_SETS: u32 = 64;

/// Whether black is 0 and white the highest value; none when the record does not name the range.
pub fn is_full_range(record: &[u8]) -> Option<bool> {
    let unit = unescaped(parameter_set(record)?);
    // The first two bytes are the header of the unit.
    let mut bits = Bits::new(unit.get(2..)?);
    skip_to_vui(&mut bits)?;
    if bits.flag()? { vui::is_full_range(&mut bits) } else { None }
}

fn parameter_set(record: &[u8]) -> Option<&[u8]> {
    let (arrays, mut rest) = record.get(ARRAYS_AT..)?.split_first()?;
    for _ in 0..*arrays {
        let (kind, after) = rest.split_first()?;
        let (count, after) = after.split_first_chunk::<2>()?;
        rest = after;
        for _ in 0..u16::from_be_bytes(*count) {
            let (length, after) = rest.split_first_chunk::<2>()?;
            let (unit, after) = after.split_at_checked(usize::from(u16::from_be_bytes(*length)))?;
            if kind & 0x3f == PARAMETER_SET {
                return Some(unit);
            }
            rest = after;
        }
    }
    None
}

fn skip_to_vui(bits: &mut Bits) -> Option<()> {
    bits.skip(4)?;
    let layers = bits.number(3)?;
    bits.skip(1)?;
    skip_profile(bits, layers)?;
    bits.exp_golomb()?;
    if bits.exp_golomb()? == 3 {
        bits.skip(1)?;
    }
    skip_codes(bits, 2)?;
    if bits.flag()? {
        skip_codes(bits, 4)?;
    }
    skip_codes(bits, 2)?;
    let order_bits = bits.exp_golomb()?.checked_add(4)?;
    let each = bits.flag()?;
    for _ in 0..=if each { layers } else { 0 } {
        skip_codes(bits, 3)?;
    }
    skip_codes(bits, 6)?;
    if bits.flag()? && bits.flag()? {
        skip_scaling_lists(bits)?;
    }
    bits.skip(2)?;
    if bits.flag()? {
        bits.skip(8)?;
        skip_codes(bits, 2)?;
        bits.skip(1)?;
    }
    skip_reference_sets(bits)?;
    if bits.flag()? {
        for _ in 0..bits.exp_golomb()? {
            bits.skip(usize::try_from(order_bits).ok()?.checked_add(1)?)?;
        }
    }
    bits.skip(2)
}

fn skip_codes(bits: &mut Bits, count: u32) -> Option<()> {
    for _ in 0..count {
        bits.exp_golomb()?;
    }
    Some(())
}

/// Source: the same, 7.3.3 (`profile_tier_level`).
fn skip_profile(bits: &mut Bits, layers: u32) -> Option<()> {
    bits.skip(96)?;
    let mut more = 0;
    for _ in 0..layers {
        more += if bits.flag()? { 88 } else { 0 };
        more += if bits.flag()? { 8 } else { 0 };
    }
    if layers > 0 {
        bits.skip(2 * usize::try_from(8 - layers).ok()?)?;
    }
    bits.skip(more)
}

/// Source: the same, 7.3.4 (`scaling_list_data`).
fn skip_scaling_lists(bits: &mut Bits) -> Option<()> {
    for size in 0..4_u32 {
        for _ in 0..if size == 3 { 2 } else { 6 } {
            if !bits.flag()? {
                bits.exp_golomb()?;
                continue;
            }
            let count = 64.min(1 << (4 + 2 * size));
            skip_codes(bits, count + u32::from(size > 1))?;
        }
    }
    Some(())
}

/// Source: the same, 7.3.7 (`st_ref_pic_set`).
fn skip_reference_sets(bits: &mut Bits) -> Option<()> {
    let sets = bits.exp_golomb()?;
    if sets > MAX_REFERENCE_SETS {
        return None;
    }
    let mut pictures = 0_u32;
    for set in 0..sets {
        let is_predicted = set > 0 && bits.flag()?;
        pictures =
            if is_predicted { skip_predicted(bits, pictures)? } else { skip_explicit(bits)? };
    }
    Some(())
}

/// Skips a set predicted from the previous one, of this many pictures; returns its own number of pictures.
fn skip_predicted(bits: &mut Bits, previous: u32) -> Option<u32> {
    bits.skip(1)?;
    bits.exp_golomb()?;
    let mut pictures = 0;
    for _ in 0..=previous {
        let is_used = bits.flag()?;
        pictures += u32::from(is_used || bits.flag()?);
    }
    Some(pictures)
}

/// Skips a set that lists its pictures; returns how many.
fn skip_explicit(bits: &mut Bits) -> Option<u32> {
    let pictures = bits.exp_golomb()?.checked_add(bits.exp_golomb()?)?;
    for _ in 0..pictures {
        bits.exp_golomb()?;
        bits.skip(1)?;
    }
    Some(pictures)
}
