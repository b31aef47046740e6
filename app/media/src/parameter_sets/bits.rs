//! Bits of a header, the highest of each byte first.

/// A position among the bits of a header; every method returns none beyond their end.
pub struct Bits<'a> {
    bytes: &'a [u8],
    at: usize,
}

impl<'a> Bits<'a> {
    /// At the first bit.
    pub fn new(bytes: &'a [u8]) -> Self {
        Self { bytes, at: 0 }
    }

    /// A number of this many bits, at most 32.
    pub fn number(&mut self, bits: u32) -> Option<u32> {
        let mut value = 0;
        for _ in 0..bits {
            let byte = self.bytes.get(self.at / 8)?;
            value = value << 1 | u32::from(byte >> (7 - self.at % 8) & 1);
            self.at += 1;
        }
        Some(value)
    }

    /// One bit.
    pub fn flag(&mut self) -> Option<bool> {
        self.number(1).map(|bit| bit == 1)
    }

    /// Skips this many bits.
    pub fn skip(&mut self, bits: usize) -> Option<()> {
        self.at = self.at.checked_add(bits)?;
        (self.at <= self.bytes.len().checked_mul(8)?).then_some(())
    }

    /// An exponential Golomb code: as many zeros as the number has bits after its first, then the number, less one.
    ///
    /// Source: Recommendation ITU-T H.264 (08/2021), 9.1 (`ue(v)`), and AV1 Bitstream Specification, 4.10.3 (`uvlc()`).
    pub fn exp_golomb(&mut self) -> Option<u32> {
        let mut zeros = 0;
        while !self.flag()? {
            zeros += 1;
        }
        let rest = if zeros < 32 { self.number(zeros)? } else { return None };
        // The highest value of 31 zeros is 2^32 - 2.
        u32::try_from((1_u64 << zeros) - 1 + u64::from(rest)).ok()
    }

    /// A signed exponential Golomb code: 0, 1, -1, 2, -2 and so on.
    ///
    /// Source: Recommendation ITU-T H.264 (08/2021), 9.1.1 (`se(v)`).
    pub fn signed_exp_golomb(&mut self) -> Option<i64> {
        let code = i64::from(self.exp_golomb()?);
        Some(if code % 2 == 1 { code / 2 + 1 } else { -(code / 2) })
    }
}

/// A unit without its emulation prevention bytes, which keep it from containing a start code.
///
/// Source: Recommendation ITU-T H.264 (08/2021), 7.3.1 (`emulation_prevention_three_byte`); H.265 has the same.
pub fn unescaped(unit: &[u8]) -> Vec<u8> {
    let mut out = Vec::with_capacity(unit.len());
    let mut zeros = 0;
    for byte in unit {
        if zeros >= 2 && *byte == 3 {
            zeros = 0;
            continue;
        }
        zeros = if *byte == 0 { zeros + 1 } else { 0 };
        out.push(*byte);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn codes_are_those_of_the_standards_table() {
        // Source: Recommendation ITU-T H.264 (08/2021), tables 9-2 and 9-3: 1, 010, 011, 00100, 00101.
        let mut bits = Bits::new(&[0b1010_0110, 0b0100_0010, 0b1000_0000]);
        let codes: Vec<_> = (0..5).map(|_| bits.exp_golomb()).collect();
        assert_eq!(codes, [Some(0), Some(1), Some(2), Some(3), Some(4)]);
        let mut bits = Bits::new(&[0b1010_0110, 0b0100_0010, 0b1000_0000]);
        let codes: Vec<_> = (0..5).map(|_| bits.signed_exp_golomb()).collect();
        assert_eq!(codes, [Some(0), Some(1), Some(-1), Some(2), Some(-2)]);
    }

    #[test]
    fn bits_beyond_the_end_are_none() {
        assert_eq!(Bits::new(&[0; 40]).exp_golomb(), None);
        assert_eq!(Bits::new(&[0xff]).number(9), None);
        assert_eq!(Bits::new(&[0xff]).skip(9), None);
        assert_eq!(Bits::new(&[]).flag(), None);
    }

    #[test]
    fn emulation_prevention_bytes_are_removed() {
        assert_eq!(unescaped(&[1, 0, 0, 3, 1, 0, 0, 3, 0, 3]), [1, 0, 0, 1, 0, 0, 0, 3]);
    }
}
