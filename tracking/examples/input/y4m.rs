//! A YUV4MPEG2 file of eight bits, 4:2:0.

use super::Outcome;
use std::fs::File;
use std::io::{BufRead, BufReader, Read, Seek, SeekFrom};
use tracking::image::GreyFrame;

/// Bytes of the line before each frame.
const FRAME_LINE: u64 = 6;
/// The longest header.
const HEADER_BYTES: u64 = 4096;

/// A clip whose frames are read one by one.
pub struct Clip {
    file: BufReader<File>,
    width: usize,
    height: usize,
    start: u64,
    frame_bytes: u64,
    /// How many frames it has.
    pub frames: usize,
}

impl Clip {
    /// Opens a clip.
    ///
    /// # Errors
    /// If it cannot be read or is of another kind.
    pub fn open(path: &str) -> Outcome<Self> {
        let length = std::fs::metadata(path)?.len();
        let mut file = BufReader::new(File::open(path)?);
        let mut header = Vec::new();
        file.by_ref().take(HEADER_BYTES).read_until(b'\n', &mut header)?;
        let text = std::str::from_utf8(&header)?;
        if !text.starts_with("YUV4MPEG2 ") {
            return Err(format!("{path} is not YUV4MPEG2: let ffmpeg write it").into());
        }
        let field =
            |letter: char| text.split_whitespace().skip(1).find_map(|w| w.strip_prefix(letter));
        if field('C').is_some_and(|c| !c.starts_with("420") || c.contains("p1")) {
            return Err("only 4:2:0 with eight bits is read: use -pix_fmt yuv420p".into());
        }
        let width: usize = field('W').ok_or("no width in the header")?.parse()?;
        let height: usize = field('H').ok_or("no height in the header")?.parse()?;
        let chroma = width.div_ceil(2) * height.div_ceil(2);
        let frame_bytes = FRAME_LINE + (width * height + 2 * chroma) as u64;
        let start = header.len() as u64;
        let frames = ((length - start) / frame_bytes) as usize;
        Ok(Self { file, width, height, start, frame_bytes, frames })
    }

    /// A frame's luma and then both chroma planes.
    ///
    /// # Errors
    /// If the file ends before it.
    pub fn bytes(&mut self, frame: usize) -> Outcome<Vec<u8>> {
        let place = self.start + frame as u64 * self.frame_bytes + FRAME_LINE;
        self.file.seek(SeekFrom::Start(place))?;
        let mut bytes = vec![0; (self.frame_bytes - FRAME_LINE) as usize];
        self.file.read_exact(&mut bytes)?;
        Ok(bytes)
    }

    /// The first frames, into memory.
    ///
    /// # Errors
    /// As of [`Clip::bytes`].
    pub fn first(&mut self, most_frames: usize) -> Outcome<Vec<Vec<u8>>> {
        (0..self.frames.min(most_frames)).map(|frame| self.bytes(frame)).collect()
    }

    /// A frame in grey.
    ///
    /// # Errors
    /// If there are too few bytes.
    pub fn grey<'b>(&self, bytes: &'b [u8]) -> Outcome<GreyFrame<'b>> {
        Ok(GreyFrame::new(self.width, self.height, self.width, bytes)?)
    }

    /// A frame with its colour.
    ///
    /// # Errors
    /// If there are too few bytes.
    pub fn coloured<'b>(&self, bytes: &'b [u8]) -> Outcome<GreyFrame<'b>> {
        let (luma, chroma) = bytes.split_at(self.width * self.height);
        let (blue, red) = chroma.split_at(chroma.len() / 2);
        Ok(self.grey(luma)?.with_colour(blue, red)?)
    }
}
