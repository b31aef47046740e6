//! A reader with a limited number of accesses, for a parser that a damaged file could keep in a loop.

use std::io::{Error, Read, Result, Seek, SeekFrom};

/// Most accesses. Chosen: the head of an hour with a cue every half second takes a tenth of them.
const MAX_ACCESSES: u32 = 2_000_000;

/// A reader that fails once its accesses are used up.
pub struct LimitedReader<R> {
    inner: R,
    accesses_left: u32,
}

impl<R> LimitedReader<R> {
    /// A reader with all its accesses.
    pub fn new(inner: R) -> Self {
        Self { inner, accesses_left: MAX_ACCESSES }
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
        let mut reader = LimitedReader::new(std::io::Cursor::new([0_u8; 4]));
        let mut accesses = 0_u32;
        while reader.seek(SeekFrom::Start(0)).is_ok() {
            accesses += 1;
        }
        assert_eq!(accesses, MAX_ACCESSES);
        assert!(reader.read(&mut [0]).is_err());
    }
}
