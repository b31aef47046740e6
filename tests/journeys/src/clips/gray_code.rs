//! A frame that carries its number as a Gray code, tones at its corners, and a bar that moves.
//!
//! A Gray code changes one bit from one number to the next, so that a blend of two frames has a bit that is
//! neither black nor white.

/// Side of a square.
const SQUARE_PX: usize = 40;
/// Squares in a row.
const COLUMNS: usize = 8;
/// Rows of squares.
const ROWS: usize = 6;
/// The row with the number, and the row with its complement.
const CODE_ROW: usize = 1;
const COMPLEMENT_ROW: usize = 3;
/// Tones of the corners: top left, top right, bottom left, bottom right.
const TONES: [u8; 4] = [60, 120, 180, 235];

/// A place of the coded frame whose tone is read; pixel edges are at whole numbers.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spot {
    /// From the left.
    pub x_px: f64,
    /// From the top.
    pub y_px: f64,
}

/// The grey levels of a frame, row by row; everything beyond the squares is mid grey.
#[must_use]
pub fn draw(frame: usize, width: usize, height: usize) -> Vec<u8> {
    let gray = frame ^ (frame >> 1);
    let mut picture = Vec::with_capacity(width * height);
    for y in 0..height {
        for x in 0..width {
            picture.push(tone(frame, gray, (x, y)));
        }
    }
    picture
}

fn tone(frame: usize, gray: usize, (x, y): (usize, usize)) -> u8 {
    let (column, row) = (x / SQUARE_PX, y / SQUARE_PX);
    let bit = gray >> (column % COLUMNS) & 1 == 1;
    match (column, row) {
        _ if column >= COLUMNS || row >= ROWS => 128,
        (0, 0) => TONES[0],
        (7, 0) => TONES[1],
        (0, 5) => TONES[2],
        (7, 5) => TONES[3],
        (_, CODE_ROW) => {
            if bit {
                225
            } else {
                30
            }
        }
        (_, COMPLEMENT_ROW) => {
            if bit {
                30
            } else {
                225
            }
        }
        // A moving bar, so that the encoder really predicts frames from each other.
        (_, 4) if x.abs_diff(frame * 7 % 280 + 20) < 16 => 200,
        _ => 128,
    }
}

/// The places to read: bits of the number, bits of its complement, corners.
#[must_use]
pub fn spots() -> Vec<Spot> {
    let at = |column: usize, row: usize| Spot {
        x_px: ((column * SQUARE_PX) + SQUARE_PX / 2) as f64,
        y_px: ((row * SQUARE_PX) + SQUARE_PX / 2) as f64,
    };
    let row = |row: usize| (0..COLUMNS).map(move |column| at(column, row));
    let corners = [at(0, 0), at(7, 0), at(0, 5), at(7, 5)];
    row(CODE_ROW).chain(row(COMPLEMENT_ROW)).chain(corners).collect()
}

/// Why no number can be read.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum Unreadable {
    /// Not every square was read.
    #[error("too few tones were read")]
    TooFew,
    /// A bit and its complement are not black and white.
    #[error("bit {bit} is neither black nor white: {tone}, complement {complement}")]
    Blend {
        /// Which bit.
        bit: usize,
        /// Its grey level.
        tone: f64,
        /// The grey level of its complement.
        complement: f64,
    },
}

/// The number that these tones encode.
///
/// # Errors
/// When a bit is neither black nor white, or does not agree with its complement.
pub fn number(read: &[f64]) -> Result<usize, Unreadable> {
    let (bits, rest) = read.split_at_checked(COLUMNS).ok_or(Unreadable::TooFew)?;
    let complements = rest.get(..COLUMNS).ok_or(Unreadable::TooFew)?;
    let mut gray = 0;
    for (column, (bit, complement)) in bits.iter().zip(complements).enumerate() {
        let apart = bit - complement;
        if apart.abs() < 150.0 {
            return Err(Unreadable::Blend { bit: column, tone: *bit, complement: *complement });
        }
        gray |= usize::from(apart > 0.0) << column;
    }
    // Back from Gray code: each bit is the parity of those from it upwards.
    Ok((0..COLUMNS).fold(0, |number, shift| number ^ (gray >> shift)))
}

/// The largest error of the corners' tones.
#[must_use]
pub fn tone_error(read: &[f64]) -> f64 {
    error_against(read, |drawn| drawn)
}

/// The same, if the full range was taken for the limited range and stretched: 16 to black, 235 to white.
///
/// Source: Recommendation ITU-R BT.709-6, item 4.6 (levels of 8 bits).
#[must_use]
pub fn stretched_tone_error(read: &[f64]) -> f64 {
    error_against(read, |drawn| ((drawn - 16.0) * 255.0 / 219.0).clamp(0.0, 255.0))
}

fn error_against(read: &[f64], shown: impl Fn(f64) -> f64) -> f64 {
    let corners = read.get(2 * COLUMNS..).unwrap_or_default();
    let apart = corners.iter().zip(TONES).map(|(read, drawn)| (read - shown(drawn.into())).abs());
    apart.fold(0.0, f64::max)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(picture: &[u8], width: usize) -> Vec<f64> {
        let at = |s: Spot| f64::from(picture[s.y_px as usize * width + s.x_px as usize]);
        spots().into_iter().map(at).collect()
    }

    #[test]
    fn every_number_is_read_as_it_was_drawn_and_a_blend_of_two_is_an_error() {
        for frame in 0..256 {
            let read_here = read(&draw(frame, 320, 240), 320);
            assert_eq!(number(&read_here), Ok(frame));
            assert_eq!(tone_error(&read_here), 0.0);
            assert!(stretched_tone_error(&read_here) > 15.0);
            if frame > 0 {
                let before = read(&draw(frame - 1, 320, 240), 320);
                let blend: Vec<f64> =
                    read_here.iter().zip(&before).map(|(a, b)| (a + b) / 2.0).collect();
                assert!(number(&blend).is_err(), "{frame}");
            }
        }
    }
}
