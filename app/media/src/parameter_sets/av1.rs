//! The range of tones in an AV1 sequence header.
//!
//! Source: AV1 Bitstream & Decoding Process Specification (2019-01-08), 5.3.1 (units), 5.5.1 (sequence header) and 5.5.2
//! (colours); AV1 Codec ISO Media File Format Binding 1.2.0, 2.3 (`av1C`).

use super::bits::Bits;

/// Offset of the first unit in an `av1C` record.
const UNITS_AT: usize = 4;
/// Type of a unit that is a sequence header.
const SEQUENCE_HEADER: u8 = 1;

/// Whether black is 0 and white the highest value; none when the record does not name the range.
pub fn is_full_range(record: &[u8]) -> Option<bool> {
    let mut rest = record.get(UNITS_AT..)?;
    loop {
        let (kind, body, after) = unit(rest)?;
        if kind == SEQUENCE_HEADER {
            return sequence_range(&mut Bits::new(body));
        }
        rest = after;
    }
}

/// The first unit: its type, its body, and the bytes after it.
fn unit(bytes: &[u8]) -> Option<(u8, &[u8], &[u8])> {
    let (first, rest) = bytes.split_first()?;
    let rest = if first & 0x04 == 0 { rest } else { rest.get(1..)? };
    let kind = first >> 3 & 0x0f;
    if first & 0x02 == 0 {
        return Some((kind, rest, &[]));
    }
    // Seven bits a byte, the lowest first (4.10.5).
    let used = rest.iter().take(8).position(|b| b & 0x80 == 0)? + 1;
    let (length, rest) = rest.split_at_checked(used)?;
    let size = length.iter().rev().fold(0_u64, |sum, b| sum << 7 | u64::from(b & 0x7f));
    let (body, after) = rest.split_at_checked(usize::try_from(size).ok()?)?;
    Some((kind, body, after))
}

fn sequence_range(bits: &mut Bits) -> Option<bool> {
    let profile = bits.number(3)?;
    bits.skip(1)?;
    let is_reduced = bits.flag()?;
    if is_reduced {
        bits.skip(5)?;
    } else {
        skip_operating_points(bits)?;
    }
    let (across, down) = (bits.number(4)?, bits.number(4)?);
    bits.number(across + 1)?;
    bits.number(down + 1)?;
    if !is_reduced && bits.flag()? {
        bits.skip(7)?;
    }
    bits.skip(3)?;
    if !is_reduced {
        skip_tools(bits)?;
    }
    bits.skip(3)?;
    colour_range(bits, profile)
}

fn skip_operating_points(bits: &mut Bits) -> Option<()> {
    let mut delay_bits = None;
    if bits.flag()? {
        bits.skip(64)?;
        if bits.flag()? {
            bits.exp_golomb()?;
        }
        if bits.flag()? {
            delay_bits = Some(bits.number(5)? + 1);
            bits.skip(42)?;
        }
    }
    let has_delay = bits.flag()?;
    for _ in 0..=bits.number(5)? {
        bits.skip(12)?;
        if bits.number(5)? > 7 {
            bits.skip(1)?;
        }
        if let Some(length) = delay_bits
            && bits.flag()?
        {
            bits.number(length)?;
            bits.number(length)?;
            bits.skip(1)?;
        }
        if has_delay && bits.flag()? {
            bits.skip(4)?;
        }
    }
    Some(())
}

/// Skips the coding tools, which stand between the size of the picture and its colours in a header that is not reduced.
fn skip_tools(bits: &mut Bits) -> Option<()> {
    bits.skip(4)?;
    let has_order_hint = bits.flag()?;
    if has_order_hint {
        bits.skip(2)?;
    }
    let has_screen_content = bits.flag()? || bits.flag()?;
    if has_screen_content && !bits.flag()? {
        bits.skip(1)?;
    }
    if has_order_hint {
        bits.skip(3)?;
    }
    Some(())
}

fn colour_range(bits: &mut Bits, profile: u32) -> Option<bool> {
    /// BT.709 primaries with sRGB tones and no matrix: always the full range.
    const SRGB: (u32, u32, u32) = (1, 13, 0);
    const UNSPECIFIED: (u32, u32, u32) = (2, 2, 2);
    let is_deep = bits.flag()?;
    if profile == 2 && is_deep {
        bits.skip(1)?;
    }
    let is_grey = profile != 1 && bits.flag()?;
    let has_description = bits.flag()?;
    let colours = if has_description {
        (bits.number(8)?, bits.number(8)?, bits.number(8)?)
    } else {
        UNSPECIFIED
    };
    if !is_grey && colours == SRGB { Some(true) } else { bits.flag() }
}
