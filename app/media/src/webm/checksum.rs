//! Hides a checksum at the beginning of the Segment, since the crate that reads the head would read it for ever.
//!
//! Source: RFC 8794, 11.3.1 (a `CRC-32` element is the first of its parent) and 11.3.2 (`Void`).

use super::vint::{self, vint};
use std::io::{Read, Result, Seek, SeekFrom};

const CHECKSUM: u8 = 0xbf;
const VOID: u8 = 0xec;

/// A reader that presents the checksum as a void element.
pub struct ChecksumHidden<R> {
    inner: R,
    at: u64,
    checksum: Option<u64>,
}

impl<R: Read + Seek> ChecksumHidden<R> {
    /// Looks for the checksum and rewinds.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn new(mut inner: R) -> Result<Self> {
        let checksum = find(&mut inner)?;
        inner.seek(SeekFrom::Start(0))?;
        Ok(Self { inner, at: 0, checksum })
    }
}

/// An element's name, where its data begins, and its length unless that is unknown.
struct Head {
    name: u64,
    data: u64,
    length: Option<u64>,
}

/// Where the Segment, which follows the head of the file, begins with a checksum.
fn find<R: Read + Seek>(file: &mut R) -> Result<Option<u64>> {
    let Some(Head { data, length: Some(length), .. }) = head_at(file, 0)? else { return Ok(None) };
    let Some(next) = data.checked_add(length) else { return Ok(None) };
    let Some(segment) = head_at(file, next)? else { return Ok(None) };
    if segment.name != u64::from(super::blocks::SEGMENT) {
        return Ok(None);
    }
    let first = head_at(file, segment.data)?;
    Ok(first.filter(|e| e.name == u64::from(CHECKSUM)).map(|_| segment.data))
}

fn head_at<R: Read + Seek>(file: &mut R, at: u64) -> Result<Option<Head>> {
    let mut bytes = Vec::with_capacity(vint::MAX_HEAD_BYTES);
    file.seek(SeekFrom::Start(at))?;
    file.by_ref().take(vint::MAX_HEAD_BYTES as u64).read_to_end(&mut bytes)?;
    let Some(name) = vint(&bytes) else { return Ok(None) };
    let Some(length) = vint(bytes.get(name.bytes..).unwrap_or_default()) else { return Ok(None) };
    let used = u64::try_from(name.bytes + length.bytes).unwrap_or(u64::MAX);
    let data = at.checked_add(used);
    Ok(data.map(|data| Head { name: name.with_marker, data, length: length.known_value() }))
}

impl<R: Read> Read for ChecksumHidden<R> {
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

impl<R: Seek> Seek for ChecksumHidden<R> {
    fn seek(&mut self, to: SeekFrom) -> Result<u64> {
        self.at = self.inner.seek(to)?;
        Ok(self.at)
    }
}
