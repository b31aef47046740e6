//! A reader with a limited number of accesses, for a parser that a damaged file could keep in a loop.

use std::io::{Error, Read, Result, Seek, SeekFrom};

/// Most accesses. Chosen: the head of an hour with a cue every half second takes a tenth of them.
const MAX_ACCESSES: u64 = 2_000_000;
/// Accesses for a file of any length, and more for each byte. Chosen: a cue of some twenty bytes takes fewer than
/// eighty; a loop in a file of a few hundred bytes took more than a second before it reached the highest limit.
const BASE_ACCESSES: u64 = 100_000;
const ACCESSES_PER_BYTE: u64 = 4;

/// A reader that fails once its accesses are used up.
pub struct LimitedReader<R> {
    inner: R,
    accesses_left: u64,
}

impl<R> LimitedReader<R> {
    /// A reader of a file of this length with all its accesses.
    pub fn new(inner: R, file_bytes: u64) -> Self {
        let limit = BASE_ACCESSES.saturating_add(file_bytes.saturating_mul(ACCESSES_PER_BYTE));
        Self { inner, accesses_left: limit.min(MAX_ACCESSES) }
    }

    fn count_access(&mut self) -> Result<()> {
        let left = self.accesses_left.checked_sub(1);
        self.accesses_left = left.ok_or_else(|| Error::other("the parser is in a loop"))?;
        Ok(())
    }
}

impl<R: Read> Read for LimitedReader<R> {
    fn read(&mut self, to: &mut [u8]) -> Result<usize> {
        self.count_access()?;
        self.inner.read(to)
    }
}

impl<R: Seek> Seek for LimitedReader<R> {
    fn seek(&mut self, to: SeekFrom) -> Result<u64> {
        self.count_access()?;
        self.inner.seek(to)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_parser_in_a_loop_is_stopped() {
        let mut reader = LimitedReader::new(std::io::Cursor::new([0_u8; 4]), 4);
        let mut accesses = 0_u64;
        while reader.seek(SeekFrom::Start(0)).is_ok() {
            accesses += 1;
        }
        assert_eq!(accesses, BASE_ACCESSES + 4 * ACCESSES_PER_BYTE);
        assert!(reader.read(&mut [0]).is_err());
    }
}
