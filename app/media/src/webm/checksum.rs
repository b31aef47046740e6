//! A checksum at the beginning of the Segment, passed over: the crate that reads the heads would look at it for ever.
//!
//! Source: RFC 8794, 11.3.1 (a `CRC-32` element is the first of its parent) and 11.3.2 (`Void`).

use super::blocks::{SEGMENT, variable};
use std::io::{Read, Result, Seek, SeekFrom};

const CHECKSUM: u8 = 0xbf;
const VOID: u8 = 0xec;

/// A file in which such a checksum is read as a void.
pub struct Passed<R> {
    inner: R,
    at: u64,
    checksum: Option<u64>,
}

impl<R: Read + Seek> Passed<R> {
    /// Looks for it; the file then stands at its beginning.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn over(mut inner: R) -> Result<Self> {
        let checksum = find(&mut inner)?;
        inner.seek(SeekFrom::Start(0))?;
        Ok(Self { inner, at: 0, checksum })
    }
}

/// Where the Segment begins with one, behind the head of the file.
fn find<R: Read + Seek>(file: &mut R) -> Result<Option<u64>> {
    let Some((_, body, Some(length))) = element(file, 0)? else { return Ok(None) };
    let Some(next) = body.checked_add(length) else { return Ok(None) };
    let Some((name, body, _)) = element(file, next)? else { return Ok(None) };
    if name != u64::from(SEGMENT) {
        return Ok(None);
    }
    let begins_with_it = element(file, body)?.is_some_and(|e| e.0 == u64::from(CHECKSUM));
    Ok(begins_with_it.then_some(body))
}

/// Name, place of the data and length of the element at a place; no length when it is unknown.
fn element<R: Read + Seek>(file: &mut R, at: u64) -> Result<Option<(u64, u64, Option<u64>)>> {
    let mut head = Vec::with_capacity(12);
    file.seek(SeekFrom::Start(at))?;
    file.by_ref().take(12).read_to_end(&mut head)?;
    let Some((name, name_bytes)) = variable(&head, false) else { return Ok(None) };
    let rest = head.get(name_bytes..).unwrap_or_default();
    let Some((length, length_bytes)) = variable(rest, true) else { return Ok(None) };
    let unknown = length == (1_u64 << (7 * length_bytes)) - 1;
    let used = u64::try_from(name_bytes + length_bytes).unwrap_or(u64::MAX);
    Ok(at.checked_add(used).map(|body| (name, body, (!unknown).then_some(length))))
}

impl<R: Read> Read for Passed<R> {
    fn read(&mut self, to: &mut [u8]) -> Result<usize> {
        let count = self.inner.read(to)?;
        let within = self.checksum.and_then(|place| place.checked_sub(self.at));
        if let Some(slot) = within
            .and_then(|at| usize::try_from(at).ok())
            .filter(|at| *at < count)
            .and_then(|at| to.get_mut(at))
        {
            *slot = VOID;
        }
        self.at += u64::try_from(count).unwrap_or(0);
        Ok(count)
    }
}

impl<R: Seek> Seek for Passed<R> {
    fn seek(&mut self, to: SeekFrom) -> Result<u64> {
        self.at = self.inner.seek(to)?;
        Ok(self.at)
    }
}
