//! The range of tones in an H.264 sequence parameter set.
//!
//! Source: Recommendation ITU-T H.264 (08/2021), 7.3.2.1.1, and ISO/IEC 14496-15:2022, 5.3.3.1 (`avcC`).

use super::bits::{Bits, unescaped};
use super::vui_range;

/// Where the first parameter set of an `avcC` record begins, after its length.
const FIRST_AT: usize = 8;

/// Profiles whose parameter sets tell of colour format, depth and scaling.
const FINE: [u32; 13] = [100, 110, 122, 244, 44, 83, 86, 118, 128, 138, 139, 134, 135];

/// Whether black is 0 and white the highest value; none when the record does not tell.
pub fn is_full_range(record: &[u8]) -> Option<bool> {
    if record.get(5)? & 0x1f == 0 {
        return None;
    }
    let length = usize::from(u16::from_be_bytes(*record.get(6..)?.first_chunk()?));
    let unit = unescaped(record.get(FIRST_AT..FIRST_AT.checked_add(length)?)?);
    // The first byte says only that it is such a set.
    let mut bits = Bits::new(unit.get(1..)?);
    before_vui(&mut bits)?;
    if bits.flag()? { vui_range(&mut bits) } else { None }
}

fn before_vui(bits: &mut Bits) -> Option<()> {
    let profile = bits.number(8)?;
    bits.skip(16)?;
    bits.exp_golomb()?;
    if FINE.contains(&profile) {
        pass_fine(bits)?;
    }
    bits.exp_golomb()?;
    pass_order_of_showing(bits)?;
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

fn pass_fine(bits: &mut Bits) -> Option<()> {
    let colours = bits.exp_golomb()?;
    if colours == 3 {
        bits.skip(1)?;
    }
    bits.exp_golomb()?;
    bits.exp_golomb()?;
    bits.skip(1)?;
    if bits.flag()? {
        for list in 0..if colours == 3 { 12 } else { 8 } {
            if bits.flag()? {
                pass_scaling(bits, if list < 6 { 16 } else { 64 })?;
            }
        }
    }
    Some(())
}

/// Source: the same, 7.3.2.1.1.1 (`scaling_list`).
fn pass_scaling(bits: &mut Bits, count: u32) -> Option<()> {
    let (mut last, mut next) = (8_i64, 8_i64);
    for _ in 0..count {
        if next != 0 {
            next = (last + bits.signed_exp_golomb()?).rem_euclid(256);
        }
        last = if next == 0 { last } else { next };
    }
    Some(())
}

fn pass_order_of_showing(bits: &mut Bits) -> Option<()> {
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
