//! Reads the luma of a YUV4MPEG2 file into memory.

use std::io::{BufRead, BufReader, Read};

/// Width and height, and the luma of each frame.
pub type Pictures = ((usize, usize), Vec<Vec<u8>>);

/// Size and luma of the first frames of a YUV4MPEG2 file of eight bits, 4:2:0.
pub fn read(path: &str, most_frames: usize) -> Result<Pictures, Box<dyn std::error::Error>> {
    let mut file = BufReader::new(std::fs::File::open(path)?);
    let mut header = String::new();
    file.read_line(&mut header)?;
    let field = |letter: char| {
        let word = header.split_whitespace().skip(1).find_map(|w| w.strip_prefix(letter));
        word.and_then(|w| w.parse::<usize>().ok()).ok_or("this is not YUV4MPEG2")
    };
    let size = (field('W')?, field('H')?);
    let chroma = 2 * size.0.div_ceil(2) * size.1.div_ceil(2);
    let mut frames = Vec::new();
    let mut line = Vec::new();
    while frames.len() < most_frames && file.read_until(b'\n', &mut line)? > 0 {
        let mut bytes = vec![0; size.0 * size.1 + chroma];
        file.read_exact(&mut bytes)?;
        bytes.truncate(size.0 * size.1);
        frames.push(bytes);
        line.clear();
    }
    Ok((size, frames))
}
