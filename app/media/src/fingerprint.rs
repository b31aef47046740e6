//! Identifies a file: a hash of its size and both ends.

use crate::error::MediaError;
use sha2::{Digest, Sha256};
use std::fmt::Write;
use std::io::{Read, Seek, SeekFrom};

/// Bytes hashed at each end. Chosen: the index and first pictures of most clips lie there, and hashing a
/// gigabyte would take seconds.
const END_BYTES: u64 = 64 * 1024;

/// SHA-256, in hexadecimal, of the size (eight bytes, highest first) and the first and last 64 KiB.
///
/// # Errors
/// When the file cannot be read.
pub fn fingerprint<R: Read + Seek>(file: &mut R) -> Result<String, MediaError> {
    let file_bytes = file.seek(SeekFrom::End(0))?;
    let mut hash = Sha256::new();
    hash.update(file_bytes.to_be_bytes());
    for start in [0, file_bytes.saturating_sub(END_BYTES)] {
        let mut piece = Vec::new();
        file.seek(SeekFrom::Start(start))?;
        file.by_ref().take(END_BYTES).read_to_end(&mut piece)?;
        hash.update(&piece);
    }
    let mut text = String::with_capacity(64);
    for byte in hash.finalize() {
        let _ = write!(text, "{byte:02x}");
    }
    Ok(text)
}
