//! A reader that gives up after so many accesses, for a parser that a damaged file could keep going round.

use std::io::{Error, Read, Result, Seek, SeekFrom};

/// Accesses granted. Chosen: the heads of an hour with a cue every half second take a tenth of it.
const GRANTED: u32 = 2_000_000;

/// A reader on ration.
pub struct Rationed<R> {
    inner: R,
    left: u32,
}

impl<R> Rationed<R> {
    /// With the whole ration.
    pub fn new(inner: R) -> Self {
        Self { inner, left: GRANTED }
    }

    fn spend(&mut self) -> Result<()> {
        self.left =
            self.left.checked_sub(1).ok_or_else(|| Error::other("it goes round in circles"))?;
        Ok(())
    }
}

impl<R: Read> Read for Rationed<R> {
    fn read(&mut self, to: &mut [u8]) -> Result<usize> {
        self.spend()?;
        self.inner.read(to)
    }
}

impl<R: Seek> Seek for Rationed<R> {
    fn seek(&mut self, to: SeekFrom) -> Result<u64> {
        self.spend()?;
        self.inner.seek(to)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_reader_that_goes_round_in_circles_is_stopped() {
        let mut reader = Rationed::new(std::io::Cursor::new([0_u8; 4]));
        let mut rounds = 0_u32;
        while reader.seek(SeekFrom::Start(0)).is_ok() {
            rounds += 1;
        }
        assert_eq!(rounds, GRANTED);
        assert!(reader.read(&mut [0]).is_err());
    }
}
