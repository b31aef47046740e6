//! Walks the clusters of a Matroska file: where each block of one track is, when, and whether a key.
//!
//! Source: RFC 9559, 5.1.3 (clusters) and 10 (blocks); RFC 8794, 4 and 5 (lengths and names).

use crate::{MOST_SAMPLES, MediaError, TOO_MANY, most_samples};
use std::io::{Read, Seek, SeekFrom};

/// A coded frame as its block tells it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Block {
    /// Where its bytes begin.
    pub offset: u64,
    /// How many there are.
    pub size_bytes: u32,
    /// Time of showing, in ticks of the segment.
    pub time_ticks: i64,
    /// Whether decoding can begin here.
    pub is_key: bool,
    /// Whether it is ever shown.
    pub is_shown: bool,
}

pub(super) const SEGMENT: u32 = 0x1853_8067;
const CLUSTER: u32 = 0x1f43_b675;
const CLUSTER_TIME: u32 = 0xe7;
const SIMPLE_BLOCK: u32 = 0xa3;
const GROUP: u32 = 0xa0;
const GROUP_BLOCK: u32 = 0xa1;
const GROUP_REFERENCE: u32 = 0xfb;

/// Most elements looked at. Chosen: three for each block of each of a few tracks.
const MOST_ELEMENTS: usize = 12 * MOST_SAMPLES;

const DAMAGED: MediaError = MediaError::Damaged { what: "a block of it" };

/// The blocks of this track, in the order of decoding.
///
/// # Errors
/// When the file ends within a block, cannot be read, or holds too many.
pub fn scan<R: Read + Seek>(
    file: &mut R,
    file_bytes: u64,
    track: u64,
) -> Result<Vec<Block>, MediaError> {
    let mut walk = Walk { file, file_bytes, track, cluster_ticks: 0, blocks: Vec::new() };
    walk.run()?;
    Ok(walk.blocks)
}

struct Walk<'a, R> {
    file: &'a mut R,
    file_bytes: u64,
    track: u64,
    cluster_ticks: i64,
    blocks: Vec<Block>,
}

/// An element: its name, where its data begins and ends; no end when its length is unknown.
struct Element {
    name: u32,
    data: u64,
    end: Option<u64>,
}

impl<R: Read + Seek> Walk<'_, R> {
    fn run(&mut self) -> Result<(), MediaError> {
        let mut at = 0;
        // Where the group ends in which the walk is, and the block it held.
        let mut group: Option<u64> = None;
        for _ in 0..MOST_ELEMENTS {
            if group.is_some_and(|end| at >= end) {
                group = None;
            }
            if at >= self.file_bytes {
                return Ok(());
            }
            let element = self.element(at)?;
            at = match element.name {
                SEGMENT | CLUSTER => element.data,
                GROUP => {
                    group = Some(element.end.ok_or(DAMAGED)?);
                    element.data
                }
                name => {
                    let end = element.end.ok_or(DAMAGED)?;
                    self.take(name, element.data, end)?;
                    end
                }
            };
        }
        Err(MediaError::TooMuch { what: "more parts than a clip has" })
    }

    fn take(&mut self, name: u32, data: u64, end: u64) -> Result<(), MediaError> {
        match name {
            CLUSTER_TIME => {
                let ticks = self.number(data, end)?;
                self.cluster_ticks = i64::try_from(ticks).map_err(|_| DAMAGED)?;
                Ok(())
            }
            SIMPLE_BLOCK => self.block(data, end, true),
            GROUP_BLOCK => self.block(data, end, false),
            GROUP_REFERENCE => {
                if let Some(block) = self.blocks.last_mut() {
                    block.is_key = false;
                }
                Ok(())
            }
            _ => Ok(()),
        }
    }

    fn block(&mut self, data: u64, end: u64, is_simple: bool) -> Result<(), MediaError> {
        if end > self.file_bytes {
            return Err(MediaError::CutOff { missing: 1, frames: self.blocks.len() + 1 });
        }
        let mut head = [0_u8; 11];
        let have = usize::try_from(end.saturating_sub(data)).unwrap_or(usize::MAX).min(head.len());
        let head = head.get_mut(..have).ok_or(DAMAGED)?;
        self.file.seek(SeekFrom::Start(data))?;
        self.file.read_exact(head)?;
        let (track, used) = variable(head, true).ok_or(DAMAGED)?;
        let &[a, b, flags] = head.get(used..used + 3).ok_or(DAMAGED)? else { return Err(DAMAGED) };
        if track != self.track {
            return Ok(());
        }
        if flags & 0x06 != 0 {
            return Err(MediaError::Damaged { what: "several pictures share a block" });
        }
        if self.blocks.len() >= most_samples(self.file_bytes) {
            return Err(TOO_MANY);
        }
        let offset = data + u64::try_from(used + 3).map_err(|_| DAMAGED)?;
        self.blocks.push(Block {
            offset,
            size_bytes: u32::try_from(end - offset).map_err(|_| DAMAGED)?,
            time_ticks: self.cluster_ticks.saturating_add(i64::from(i16::from_be_bytes([a, b]))),
            // A block of a group is a key frame unless a reference follows it.
            is_key: !is_simple || flags & 0x80 != 0,
            is_shown: flags & 0x08 == 0,
        });
        Ok(())
    }

    fn element(&mut self, at: u64) -> Result<Element, MediaError> {
        let mut head = [0_u8; 12];
        let have = usize::try_from(self.file_bytes - at).unwrap_or(usize::MAX).min(head.len());
        let head = head.get_mut(..have).ok_or(DAMAGED)?;
        self.file.seek(SeekFrom::Start(at))?;
        self.file.read_exact(head)?;
        let (name, name_bytes) = variable(head, false).ok_or(DAMAGED)?;
        let rest = head.get(name_bytes..).ok_or(DAMAGED)?;
        let (length, length_bytes) = variable(rest, true).ok_or(DAMAGED)?;
        let used = u64::try_from(name_bytes + length_bytes).map_err(|_| DAMAGED)?;
        let unknown = length == (1_u64 << (7 * length_bytes)) - 1;
        let data = at + used;
        let end = data.checked_add(length).ok_or(DAMAGED)?;
        Ok(Element {
            name: u32::try_from(name).map_err(|_| DAMAGED)?,
            data,
            end: (!unknown).then_some(end),
        })
    }

    fn number(&mut self, data: u64, end: u64) -> Result<u64, MediaError> {
        let bytes = end.saturating_sub(data);
        if bytes > 8 || end > self.file_bytes {
            return Err(DAMAGED);
        }
        let mut value = Vec::with_capacity(8);
        self.file.seek(SeekFrom::Start(data))?;
        self.file.by_ref().take(bytes).read_to_end(&mut value)?;
        Ok(value.iter().fold(0, |sum, b| sum << 8 | u64::from(*b)))
    }
}

/// A number of variable length and how many bytes it takes; its marker bit is taken off or left on.
pub(super) fn variable(bytes: &[u8], without_marker: bool) -> Option<(u64, usize)> {
    let first = *bytes.first()?;
    let length = usize::try_from(first.leading_zeros()).ok()? + 1;
    if length > 8 {
        return None;
    }
    let all = bytes.get(..length)?;
    let value = all.iter().fold(0_u64, |sum, b| sum << 8 | u64::from(*b));
    let marker = 1_u64.checked_shl(u32::try_from(7 * length).ok()?)?;
    Some((if without_marker { value & !marker } else { value }, length))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_of_variable_length_are_read_as_the_standard_shows() {
        // Source: RFC 8794, 4.4: the value 2 in one, two and three bytes.
        assert_eq!(variable(&[0x82], true), Some((2, 1)));
        assert_eq!(variable(&[0x40, 0x02], true), Some((2, 2)));
        assert_eq!(variable(&[0x20, 0x00, 0x02], true), Some((2, 3)));
        assert_eq!(variable(&[0x1a, 0x45, 0xdf, 0xa3], false), Some((0x1a45_dfa3, 4)));
        assert_eq!(variable(&[0x40], true), None);
        assert_eq!(variable(&[], true), None);
        assert_eq!(variable(&[0; 9], true), None);
    }
}
