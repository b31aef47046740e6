//! A file on the device as a thing to read from and to seek in; only what is read is loaded.

use js_sys::{ArrayBuffer, Uint8Array};
use std::io::{Error, ErrorKind, Read, Result, Seek, SeekFrom};
use wasm_bindgen::JsCast;
use web_sys::{Blob, FileReaderSync};

/// Small reads are served from a piece of this size. Chosen: boxes' heads are 8 to 100 bytes and lie
/// megabytes apart, so more would be read for nothing.
const PIECE_BYTES: u64 = 4096;
/// Samples are read with so much of what follows them, and taken out of it. Chosen: one read serves nine frames of 240
/// frames/s at 110 Mbit/s, and a run of 60 frames is seven times as much, so that little is read for nothing.
const AHEAD_BYTES: u64 = 512 * 1024;

/// A reader over a blob; only in a worker, where reading may wait.
pub struct BlobReader {
    blob: Blob,
    reader: FileReaderSync,
    size: u64,
    at: u64,
    piece: Vec<u8>,
    piece_at: u64,
    /// What was read ahead for samples, and where it begins.
    ahead: Option<(u64, Uint8Array)>,
}

impl BlobReader {
    /// A reader at the beginning.
    ///
    /// # Errors
    /// Outside of a worker.
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a blob's size is a whole number below 2^53"
    )]
    pub fn new(blob: Blob) -> Result<Self> {
        let reader = FileReaderSync::new()
            .map_err(|_| Error::other("this browser cannot read files in a worker"))?;
        let size = blob.size() as u64;
        Ok(Self { blob, reader, size, at: 0, piece: Vec::new(), piece_at: 0, ahead: None })
    }

    /// The bytes of a stretch, as JavaScript holds them.
    ///
    /// # Errors
    /// When the file can no longer be read.
    pub fn stretch(&mut self, offset: u64, bytes: u64) -> Result<Uint8Array> {
        let end = offset.saturating_add(bytes).min(self.size);
        #[allow(clippy::cast_precision_loss, reason = "sizes of files are far below 2^53")]
        let slice = self.blob.slice_with_f64_and_f64(offset.min(end) as f64, end as f64);
        let buffer = slice.and_then(|s| self.reader.read_as_array_buffer(&s));
        let buffer: ArrayBuffer = buffer.map_err(|e| {
            Error::other(e.dyn_ref::<js_sys::Error>().map_or_else(
                || "it was moved or changed".to_owned(),
                |e| String::from(e.message()),
            ))
        })?;
        Ok(Uint8Array::new(&buffer))
    }

    /// The bytes of a sample; those after it are read along, since they are wanted next.
    ///
    /// # Errors
    /// When the file can no longer be read.
    pub fn sample(&mut self, offset: u64, bytes: u32) -> Result<Uint8Array> {
        let end = offset.saturating_add(u64::from(bytes)).min(self.size);
        let within = |at: u64, piece: &Uint8Array| -> Option<Uint8Array> {
            let from = u32::try_from(offset.checked_sub(at)?).ok()?;
            let to = u32::try_from(end.checked_sub(at)?).ok()?;
            (from <= to && to <= piece.length()).then(|| piece.subarray(from, to))
        };
        if let Some(found) = self.ahead.as_ref().and_then(|(at, piece)| within(*at, piece)) {
            return Ok(found);
        }
        if u64::from(bytes) >= AHEAD_BYTES {
            return self.stretch(offset, u64::from(bytes));
        }
        let piece = self.stretch(offset, AHEAD_BYTES)?;
        let found = within(offset, &piece).unwrap_or_else(|| piece.clone());
        self.ahead = Some((offset, piece));
        Ok(found)
    }
}

impl Read for BlobReader {
    fn read(&mut self, to: &mut [u8]) -> Result<usize> {
        if self.at >= self.size || to.is_empty() {
            return Ok(0);
        }
        if to.len() as u64 >= PIECE_BYTES {
            let bytes = self.stretch(self.at, to.len() as u64)?;
            let count = (bytes.length() as usize).min(to.len());
            if let Some(to) = to.get_mut(..count) {
                bytes.copy_to(to);
            }
            self.at += count as u64;
            return Ok(count);
        }
        let inside = self.at >= self.piece_at && self.at < self.piece_at + self.piece.len() as u64;
        if !inside {
            self.piece = self.stretch(self.at, PIECE_BYTES)?.to_vec();
            self.piece_at = self.at;
        }
        let from = usize::try_from(self.at - self.piece_at).map_err(Error::other)?;
        let rest = self.piece.get(from..).unwrap_or_default();
        let count = rest.len().min(to.len());
        for (slot, byte) in to.iter_mut().zip(rest) {
            *slot = *byte;
        }
        self.at += count as u64;
        Ok(count)
    }
}

impl Seek for BlobReader {
    fn seek(&mut self, to: SeekFrom) -> Result<u64> {
        let target = match to {
            SeekFrom::Start(at) => i128::from(at),
            SeekFrom::End(by) => i128::from(self.size) + i128::from(by),
            SeekFrom::Current(by) => i128::from(self.at) + i128::from(by),
        };
        self.at = u64::try_from(target)
            .map_err(|_| Error::new(ErrorKind::InvalidInput, "before the beginning"))?;
        Ok(self.at)
    }
}
