//! Boxes of MP4 and MOV: their heads in a file, and the boxes within a box that is in memory.

use crate::error::{Limit, MediaError, Part};
use mp4_atom::Atom;
use std::io::{Read, Seek, SeekFrom};

/// Name of a box.
pub type Kind = [u8; 4];

/// Most boxes read in one file. Chosen: an hour in fragments of 20 frames at 240 frames/s has 86 400.
const MAX_BOXES: usize = 200_000;

/// The largest box read into memory. Chosen: the index of an hour at 240 frames/s takes about 20 MB.
const MAX_BODY_BYTES: u64 = 64 << 20;

/// Where a box of a file is; its body is not read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Head {
    /// Its name.
    pub kind: Kind,
    /// Where it begins.
    pub start: u64,
    /// Where its body begins.
    pub body: u64,
    /// Where it ends; may lie beyond the end of the file.
    pub end: u64,
}

/// The heads of all boxes of the file. Bodies are skipped.
///
/// Source: ISO/IEC 14496-12:2022, 4.2 (`size` 1 for a 64-bit size, 0 for up to the end).
///
/// # Errors
/// When the file cannot be read or has more than [`MAX_BOXES`] boxes.
pub fn heads<R: Read + Seek>(file: &mut R, file_bytes: u64) -> Result<Vec<Head>, MediaError> {
    let mut heads = Vec::new();
    let mut start = 0_u64;
    while file_bytes.saturating_sub(start) >= 8 {
        if heads.len() == MAX_BOXES {
            return Err(Limit::Boxes.into());
        }
        let Some(head) = head_at(file, start, file_bytes)? else { break };
        heads.push(head);
        start = head.end;
    }
    Ok(heads)
}

fn head_at<R: Read + Seek>(
    file: &mut R,
    start: u64,
    file_bytes: u64,
) -> Result<Option<Head>, MediaError> {
    file.seek(SeekFrom::Start(start))?;
    let mut first = [0_u8; 8];
    file.read_exact(&mut first)?;
    let [a, b, c, d, kind @ ..] = first;
    let (head_bytes, size) = match u32::from_be_bytes([a, b, c, d]) {
        0 => (8, file_bytes - start),
        1 if file_bytes - start >= 16 => {
            let mut large = [0_u8; 8];
            file.read_exact(&mut large)?;
            (16, u64::from_be_bytes(large))
        }
        size => (8, u64::from(size)),
    };
    let end = start.checked_add(size);
    Ok(end.filter(|_| size >= head_bytes).map(|end| Head {
        kind,
        start,
        body: start + head_bytes,
        end,
    }))
}

/// Reads the body of a box into memory.
///
/// # Errors
/// When it lies beyond the end of the file, is larger than [`MAX_BODY_BYTES`], or cannot be read.
pub fn read_body<R: Read + Seek>(
    file: &mut R,
    head: Head,
    file_bytes: u64,
) -> Result<Vec<u8>, MediaError> {
    if head.end > file_bytes {
        return Err(MediaError::NoIndex);
    }
    let size = head.end - head.body;
    let size =
        usize::try_from(size).ok().filter(|_| size <= MAX_BODY_BYTES).ok_or(Limit::IndexBytes)?;
    let mut body = vec![0; size];
    file.seek(SeekFrom::Start(head.body))?;
    file.read_exact(&mut body)?;
    Ok(body)
}

/// The boxes within a body: name and body of each.
///
/// A remainder too short for a head is padding, as QuickTime writes it.
///
/// # Errors
/// When a box is longer than the body around it.
pub fn children(body: &[u8]) -> Result<Vec<(Kind, &[u8])>, MediaError> {
    let mut boxes = Vec::new();
    let mut rest = body;
    while let Some((head, after)) = rest.split_first_chunk::<8>() {
        let [a, b, c, d, kind @ ..] = *head;
        let size = u32::from_be_bytes([a, b, c, d]);
        let (body, next) = match size {
            0 => (after, [].as_slice()),
            1 => {
                let (large, after) = after.split_first_chunk::<8>().ok_or(Part::BoxLength)?;
                let size = u64::from_be_bytes(*large).checked_sub(16).ok_or(Part::BoxLength)?;
                let size = usize::try_from(size).map_err(|_| Part::BoxLength)?;
                after.split_at_checked(size).ok_or(Part::BoxLength)?
            }
            _ => {
                let size = usize::try_from(size).map_err(|_| Part::BoxLength)?;
                let size = size.checked_sub(8).ok_or(Part::BoxLength)?;
                after.split_at_checked(size).ok_or(Part::BoxLength)?
            }
        };
        boxes.push((kind, body));
        rest = next;
    }
    Ok(boxes)
}

/// The first box of this name within a body.
///
/// # Errors
/// When the body is damaged.
pub fn child<'a>(body: &'a [u8], kind: &Kind) -> Result<Option<&'a [u8]>, MediaError> {
    Ok(children(body)?.into_iter().find(|(k, _)| k == kind).map(|(_, body)| body))
}

/// Parses the body of a leaf box.
///
/// # Errors
/// When it is damaged, naming this part of the file.
pub fn atom<T: Atom>(mut body: &[u8], part: Part) -> Result<T, MediaError> {
    T::decode_body(&mut body).map_err(|_| part.into())
}
