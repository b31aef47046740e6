//! Numbers of variable length, in which EBML writes names and lengths.
//!
//! Source: RFC 8794, 4.

/// Most bytes that the name and the length of an element take: four and eight.
pub const MAX_HEAD_BYTES: usize = 12;

/// A number of variable length.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Vint {
    /// With its marker bit, as names are written.
    pub with_marker: u64,
    /// Without its marker bit.
    pub value: u64,
    /// Number of bytes, 1 to 8.
    pub bytes: usize,
}

impl Vint {
    /// As a length; none when all its bits are set, which means that the length is unknown.
    #[must_use]
    pub fn known_value(self) -> Option<u64> {
        (self.value != (1_u64 << (7 * self.bytes)) - 1).then_some(self.value)
    }
}

/// The number at the beginning of these bytes; none when they are too few or begin with none.
#[must_use]
pub fn vint(bytes: &[u8]) -> Option<Vint> {
    let first = *bytes.first()?;
    let length = usize::try_from(first.leading_zeros()).ok()? + 1;
    if length > 8 {
        return None;
    }
    let with_marker = bytes.get(..length)?.iter().fold(0_u64, |sum, b| sum << 8 | u64::from(*b));
    let marker = 1_u64.checked_shl(u32::try_from(7 * length).ok()?)?;
    Some(Vint { with_marker, value: with_marker & !marker, bytes: length })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_read_as_the_examples_of_the_standard_show() {
        // Source: RFC 8794, 4.4: the value 2 in one, two and three bytes.
        let value = |bytes: &[u8]| vint(bytes).map(|v| (v.value, v.bytes));
        assert_eq!(value(&[0x82]), Some((2, 1)));
        assert_eq!(value(&[0x40, 0x02]), Some((2, 2)));
        assert_eq!(value(&[0x20, 0x00, 0x02]), Some((2, 3)));
        assert_eq!(vint(&[0x1a, 0x45, 0xdf, 0xa3]).map(|v| v.with_marker), Some(0x1a45_dfa3));
        assert_eq!(vint(&[0x40]), None);
        assert_eq!(vint(&[]), None);
        assert_eq!(vint(&[0; 9]), None);
    }

    #[test]
    fn a_length_with_all_bits_set_is_unknown() {
        // Source: RFC 8794, 6.2: 0xff in one byte.
        assert_eq!(vint(&[0xff]).and_then(Vint::known_value), None);
        assert_eq!(vint(&[0xfe]).and_then(Vint::known_value), Some(126));
    }
}
