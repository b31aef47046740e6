//! Walks the clusters of a Matroska file: where each block of one track is, its time, and whether it is a key frame.
//!
//! Source: RFC 9559, 5.1.3 (clusters) and 10 (blocks); RFC 8794, 4 and 5 (lengths and names).

use super::vint::{self, vint};
use crate::error::{Limit, MediaError, Part};
use crate::track::{MAX_SAMPLES, sample_limit};
use std::io::{Read, Seek, SeekFrom};

/// A coded frame as its block describes it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Block {
    /// Where its bytes begin in the file.
    pub offset: u64,
    /// Number of bytes.
    pub size_bytes: u32,
    /// Presentation time, in ticks of the segment.
    pub time_ticks: i64,
    /// Whether decoding can begin here.
    pub is_key: bool,
    /// Whether it is displayed.
    pub is_displayed: bool,
}

pub(super) const SEGMENT: u32 = 0x1853_8067;
const CLUSTER: u32 = 0x1f43_b675;
const CLUSTER_TIME: u32 = 0xe7;
const SIMPLE_BLOCK: u32 = 0xa3;
const GROUP: u32 = 0xa0;
const GROUP_BLOCK: u32 = 0xa1;
const GROUP_REFERENCE: u32 = 0xfb;

/// Most elements read. Chosen: three for each block of each of a few tracks.
const MAX_ELEMENTS: usize = 12 * MAX_SAMPLES;

const DAMAGED: Part = Part::Block;

/// The blocks of this track, in decoding order.
///
/// # Errors
/// When the file ends within a block, cannot be read, or names more blocks than its length allows.
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
        for _ in 0..MAX_ELEMENTS {
            if at >= self.file_bytes {
                return Ok(());
            }
            let element = self.element(at)?;
            at = match element.name {
                SEGMENT | CLUSTER => element.data,
                name => {
                    let end = element.end.ok_or(DAMAGED)?;
                    self.visit(name, element.data, end)?;
                    if name == GROUP { element.data } else { end }
                }
            };
        }
        Err(Limit::Elements.into())
    }

    fn visit(&mut self, name: u32, data: u64, end: u64) -> Result<(), MediaError> {
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
        let head = self.read_at(data, end, &mut head)?;
        let track = vint(head).ok_or(DAMAGED)?;
        let rest = head.get(track.bytes..).and_then(|rest| rest.first_chunk::<3>());
        let [a, b, flags] = *rest.ok_or(DAMAGED)?;
        if track.value != self.track {
            return Ok(());
        }
        if flags & 0x06 != 0 {
            return Err(Part::LacedBlock.into());
        }
        if self.blocks.len() >= sample_limit(self.file_bytes) {
            return Err(Limit::Frames.into());
        }
        let offset = data + u64::try_from(track.bytes + 3).map_err(|_| DAMAGED)?;
        self.blocks.push(Block {
            offset,
            size_bytes: u32::try_from(end - offset).map_err(|_| DAMAGED)?,
            time_ticks: self.cluster_ticks.saturating_add(i64::from(i16::from_be_bytes([a, b]))),
            // A block of a group is a key frame unless a reference follows it.
            is_key: !is_simple || flags & 0x80 != 0,
            is_displayed: flags & 0x08 == 0,
        });
        Ok(())
    }

    fn element(&mut self, at: u64) -> Result<Element, MediaError> {
        let mut head = [0_u8; vint::MAX_HEAD_BYTES];
        let head = self.read_at(at, self.file_bytes, &mut head)?;
        let name = vint(head).ok_or(DAMAGED)?;
        let length = vint(head.get(name.bytes..).ok_or(DAMAGED)?).ok_or(DAMAGED)?;
        let data = at + u64::try_from(name.bytes + length.bytes).map_err(|_| DAMAGED)?;
        let end = data.checked_add(length.value).ok_or(DAMAGED)?;
        Ok(Element {
            name: u32::try_from(name.with_marker).map_err(|_| DAMAGED)?,
            data,
            end: length.known_value().map(|_| end),
        })
    }

    /// Fills the buffer from a place in the file, or the part of it that lies before `end`.
    fn read_at<'b>(
        &mut self,
        at: u64,
        end: u64,
        buffer: &'b mut [u8],
    ) -> Result<&'b [u8], MediaError> {
        let length = usize::try_from(end.saturating_sub(at)).unwrap_or(usize::MAX);
        let length = length.min(buffer.len());
        let part = buffer.get_mut(..length).ok_or(DAMAGED)?;
        self.file.seek(SeekFrom::Start(at))?;
        self.file.read_exact(part)?;
        Ok(part)
    }

    fn number(&mut self, data: u64, end: u64) -> Result<u64, MediaError> {
        let mut bytes = [0_u8; 8];
        if end.saturating_sub(data) > 8 || end > self.file_bytes {
            return Err(DAMAGED.into());
        }
        let bytes = self.read_at(data, end, &mut bytes)?;
        Ok(bytes.iter().fold(0, |sum, b| sum << 8 | u64::from(*b)))
    }
}
