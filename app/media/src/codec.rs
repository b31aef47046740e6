//! The string that names a codec to a browser, from the configuration record in the container.

use crate::error::{MediaError, Part};
use crate::parameter_sets;

/// A codec as a browser's decoder is configured with it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Codec {
    /// Its common name, such as `H.264`.
    pub name: &'static str,
    /// Its name among browsers, such as `avc1.64001f`.
    pub string: String,
    /// The configuration record, for the codecs that need one.
    pub description: Option<Vec<u8>>,
    /// Whether black is 0 and white the highest value; the limited range where the file is silent.
    pub is_full_range: bool,
}

fn byte(record: &[u8], at: usize) -> Result<u8, MediaError> {
    Ok(record.get(at).copied().ok_or(Part::CodecConfiguration)?)
}

impl Codec {
    /// `H.264 (avc1.64001f)`.
    #[must_use]
    pub fn label(&self) -> String {
        format!("{} ({})", self.name, self.string)
    }

    /// H.264 of its `avcC` record: `avc1.` and profile, constraints and level in hexadecimal.
    ///
    /// Source: ISO/IEC 14496-15:2022, 5.3.3.1 (record) and Annex E.3 (string).
    ///
    /// # Errors
    /// When the record is too short.
    pub(crate) fn avc(record: &[u8]) -> Result<Self, MediaError> {
        let (profile, constraints, level) = (byte(record, 1)?, byte(record, 2)?, byte(record, 3)?);
        Ok(Self {
            name: "H.264",
            string: format!("avc1.{profile:02x}{constraints:02x}{level:02x}"),
            description: Some(record.to_vec()),
            is_full_range: parameter_sets::avc_is_full_range(record) == Some(true),
        })
    }

    /// HEVC of its `hvcC` record: `hvc1.` and profile, compatibility, tier with level, constraints.
    ///
    /// Source: ISO/IEC 14496-15:2022, 8.3.3.1 (record) and Annex E.3 (string).
    ///
    /// # Errors
    /// When the record is too short.
    pub(crate) fn hevc(record: &[u8]) -> Result<Self, MediaError> {
        let head = record.get(1..13).ok_or(Part::CodecConfiguration)?;
        let profile = byte(head, 0)?;
        let space = ["", "A", "B", "C"].get(usize::from(profile >> 6)).copied().unwrap_or("");
        let tier = if profile & 0x20 == 0 { 'L' } else { 'H' };
        let compatibility = head.get(1..5).ok_or(Part::CodecConfiguration)?;
        let compatibility = compatibility.iter().fold(0_u32, |sum, b| sum << 8 | u32::from(*b));
        let mut string = format!(
            "hvc1.{space}{}.{:X}.{tier}{}",
            profile & 0x1f,
            compatibility.reverse_bits(),
            byte(head, 11)?
        );
        let constraints = head.get(5..11).ok_or(Part::CodecConfiguration)?;
        let used = constraints.iter().rposition(|b| *b != 0).map_or(0, |last| last + 1);
        for flags in constraints.iter().take(used) {
            string.push_str(&format!(".{flags:X}"));
        }
        let is_full_range = parameter_sets::hevc_is_full_range(record) == Some(true);
        Ok(Self { name: "HEVC", string, description: Some(record.to_vec()), is_full_range })
    }

    /// VP8, which has no configuration.
    #[must_use]
    pub(crate) fn vp8() -> Self {
        Self { name: "VP8", string: "vp8".into(), description: None, is_full_range: false }
    }

    /// VP9 of profile, level and bits per sample.
    ///
    /// Source: VP Codec ISO Media File Format Binding 1.0, "Codecs Parameter String".
    #[must_use]
    fn vp9(profile: u8, level: u8, bits: u8) -> Self {
        Self {
            name: "VP9",
            string: format!("vp09.{profile:02}.{level:02}.{bits:02}"),
            description: None,
            is_full_range: false,
        }
    }

    /// VP9 of its `vpcC` box without version and flags.
    ///
    /// # Errors
    /// When the box is too short.
    pub(crate) fn vp9_of_box(record: &[u8]) -> Result<Self, MediaError> {
        let depth_and_range = byte(record, 2)?;
        let codec = Self::vp9(byte(record, 0)?, byte(record, 1)?, depth_and_range >> 4);
        Ok(if depth_and_range & 1 == 1 { codec.in_full_range() } else { codec })
    }

    /// The same codec with black at 0 and white at the highest value. Browsers read the range of VP9 and
    /// AV1 in this string, and assume the limited range if it is left out.
    ///
    /// Chosen: the colours of BT.709, since only the luma of a picture is measured.
    #[must_use]
    pub(crate) fn in_full_range(mut self) -> Self {
        let rest = match self.name {
            "VP9" => ".01.01.01.01.01",
            "AV1" => ".0.110.01.01.01.1",
            _ => "",
        };
        if !self.is_full_range {
            self.string.push_str(rest);
        }
        self.is_full_range = true;
        self
    }

    /// VP9 of the first bytes of a key frame. The level is an upper bound, so the highest common one is named.
    ///
    /// Source: VP9 Bitstream and Decoding Process Specification 0.6, 6.2 (`uncompressed_header`).
    ///
    /// # Errors
    /// When there are no bytes.
    pub(crate) fn vp9_of_key_frame(first: &[u8]) -> Result<Self, MediaError> {
        let head = byte(first, 0)?;
        let profile = (head >> 5 & 1) | (head >> 4 & 1) << 1;
        // Profiles 2 and 3 have 10 or 12 bits; the flag for 12 bits follows marker, profile,
        // show-existing, type, show, error and the three bytes of the sync code.
        let deep = byte(first, 4).unwrap_or(0) >> if profile == 3 { 6 } else { 7 } & 1 == 1;
        let bits = match (profile >= 2, deep) {
            (false, _) => 8,
            (true, false) => 10,
            (true, true) => 12,
        };
        // The range follows the bit depth, in the profiles that have one, and three bits of the colour space.
        let is_full = byte(first, 4).unwrap_or(0) >> if profile >= 2 { 3 } else { 4 } & 1 == 1;
        let codec = Self::vp9(profile, 51, bits);
        Ok(if is_full && profile != 3 { codec.in_full_range() } else { codec })
    }

    /// AV1 of its `av1C` record: profile, level with tier, bits, and the range of its sequence header.
    ///
    /// Source: AV1 Codec ISO Media File Format Binding 1.2.0, 2.3 (record) and 5 (string).
    ///
    /// # Errors
    /// When the record is too short.
    pub(crate) fn av1(record: &[u8]) -> Result<Self, MediaError> {
        let (profile_level, depth) = (byte(record, 1)?, byte(record, 2)?);
        let tier = if depth & 0x80 == 0 { 'M' } else { 'H' };
        let bits = match (depth & 0x40 != 0, depth & 0x20 != 0) {
            (false, _) => 8,
            (true, false) => 10,
            (true, true) => 12,
        };
        let (profile, level) = (profile_level >> 5, profile_level & 0x1f);
        let codec = Self {
            name: "AV1",
            string: format!("av01.{profile}.{level:02}{tier}.{bits:02}"),
            description: None,
            is_full_range: false,
        };
        let is_full = parameter_sets::av1_is_full_range(record) == Some(true);
        Ok(if is_full { codec.in_full_range() } else { codec })
    }

    /// The error for a sample entry whose codec browsers do not decode.
    #[must_use]
    pub(crate) fn unknown(kind: &[u8]) -> MediaError {
        let codec = match kind {
            b"ap4x" | b"ap4h" | b"apch" | b"apcn" | b"apcs" | b"apco" => "ProRes".to_owned(),
            b"mp4v" => "MPEG-4 Visual".to_owned(),
            b"mjpa" | b"mjpb" | b"jpeg" => "Motion JPEG".to_owned(),
            b"s263" | b"h263" => "H.263".to_owned(),
            b"encv" => "encrypted video".to_owned(),
            other => format!("'{}'", String::from_utf8_lossy(other).escape_debug()),
        };
        MediaError::UnknownCodec { codec }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn codec_strings_equal_the_examples_of_the_standards() {
        let avc = Codec::avc(&[1, 0x42, 0xe0, 0x1e, 0xff]).unwrap();
        assert_eq!(avc.label(), "H.264 (avc1.42e01e)");
        // Source: ISO/IEC 14496-15:2022, Annex E.3: Main profile, Main tier, level 3.1, progressive.
        let hevc = [1, 0x01, 0x60, 0, 0, 0, 0xb0, 0, 0, 0, 0, 0, 93];
        assert_eq!(Codec::hevc(&hevc).unwrap().string, "hvc1.1.6.L93.B0");
        // Source: AV1 in ISO Media File Format, section 5: Main, level 3.0, Main tier, 8 bits.
        assert_eq!(Codec::av1(&[0x81, 0x04, 0x0c, 0]).unwrap().string, "av01.0.04M.08");
        assert_eq!(Codec::vp9_of_box(&[2, 10, 0xa2]).unwrap().string, "vp09.02.10.10");
    }

    #[test]
    fn the_string_names_the_full_range() {
        let vp9 = Codec::vp9_of_box(&[0, 10, 0x83]).unwrap();
        assert_eq!(vp9.string, "vp09.00.10.08.01.01.01.01.01");
        assert_eq!(vp9.clone().in_full_range(), vp9);
        let header = [0x82, 0x49, 0x83, 0x42, 0x30];
        assert_eq!(
            Codec::vp9_of_key_frame(&header).unwrap().string,
            "vp09.00.51.08.01.01.01.01.01"
        );
        assert_eq!(
            Codec::vp9_of_key_frame(&[0x82, 0x49, 0x83, 0x42, 0x20]).unwrap().string,
            "vp09.00.51.08"
        );
        let av1 = Codec::av1(&[0x81, 0x04, 0x0c, 0]).unwrap().in_full_range();
        assert_eq!(av1.string, "av01.0.04M.08.0.110.01.01.01.1");
    }

    #[test]
    fn records_that_are_too_short_are_errors_and_no_panic() {
        for length in 0..3 {
            let record = vec![1_u8; length];
            assert!(Codec::avc(&record).is_err());
            assert!(Codec::hevc(&record).is_err());
            assert!(Codec::av1(&record).is_err());
        }
        assert!(Codec::vp9_of_box(&[]).is_err());
        assert!(Codec::vp9_of_key_frame(&[]).is_err());
    }
}
