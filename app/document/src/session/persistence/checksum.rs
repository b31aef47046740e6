//! Checksums of saved texts.

use sha2::{Digest, Sha256};
use std::fmt::Write as _;

/// SHA-256 in hexadecimal.
pub(super) fn hex_sha256(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().fold(String::with_capacity(64), |mut hex, byte| {
        // Writing to a string cannot fail.
        let _ = write!(hex, "{byte:02x}");
        hex
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: FIPS 180-2, appendix B.1, the message "abc".
    #[test]
    fn the_checksum_is_sha_256() {
        let expected = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
        assert_eq!(hex_sha256(b"abc"), expected);
    }
}
