//! A picture that carries its number as a Gray code, tones at its corners, and a bar that moves.
//!
//! A Gray code changes one bit from one number to the next, so that two frames blended into one show
//! themselves as a bit that is neither black nor white.

/// Side of a square of the picture.
const SQUARE_PX: usize = 40;
/// Squares in a row.
const COLUMNS: usize = 8;
/// Rows of squares.
const ROWS: usize = 6;
/// The row that holds the number, and the one that holds its opposite.
const CODE_ROW: usize = 1;
const OPPOSITE_ROW: usize = 3;
/// Tones of the corners: top left, top right, bottom left, bottom right.
const TONES: [u8; 4] = [60, 120, 180, 235];

/// A place of the coded picture whose tone is read; pixel edges are at whole numbers.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spot {
    /// From the left.
    pub x_px: f64,
    /// From the top.
    pub y_px: f64,
}

/// The grey picture of a frame, row by row; what lies beyond the squares is mid grey.
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
        (_, OPPOSITE_ROW) => {
            if bit {
                30
            } else {
                225
            }
        }
        // Something that moves, so that frames are really predicted from each other.
        (_, 4) if x.abs_diff(frame * 7 % 280 + 20) < 16 => 200,
        _ => 128,
    }
}

/// The places to read: bits of the number, bits of its opposite, corners.
#[must_use]
pub fn spots() -> Vec<Spot> {
    let at = |column: usize, row: usize| Spot {
        x_px: ((column * SQUARE_PX) + SQUARE_PX / 2) as f64,
        y_px: ((row * SQUARE_PX) + SQUARE_PX / 2) as f64,
    };
    let row = |row: usize| (0..COLUMNS).map(move |column| at(column, row));
    let corners = [at(0, 0), at(7, 0), at(0, 5), at(7, 5)];
    row(CODE_ROW).chain(row(OPPOSITE_ROW)).chain(corners).collect()
}

/// The number that these tones spell.
///
/// # Errors
/// When a bit is neither black nor white, or does not agree with its opposite.
pub fn number(read: &[f64]) -> Result<usize, String> {
    let (bits, rest) = read.split_at_checked(COLUMNS).ok_or("too few tones were read")?;
    let opposites = rest.get(..COLUMNS).ok_or("too few tones were read")?;
    let mut gray = 0;
    for (column, (bit, opposite)) in bits.iter().zip(opposites).enumerate() {
        match (bit - opposite, *bit + *opposite) {
            (apart, _) if apart.abs() < 150.0 => {
                return Err(format!("bit {column} is neither black nor white: {bit}, {opposite}"));
            }
            (apart, _) => gray |= usize::from(apart > 0.0) << column,
        }
    }
    // Back from Gray code: each bit is the parity of those from it upwards.
    Ok((0..COLUMNS).fold(0, |number, shift| number ^ (gray >> shift)))
}

/// How far the corners' tones are from what was drawn, at most.
#[must_use]
pub fn tones(read: &[f64]) -> f64 {
    tones_as(read, |drawn| drawn)
}

/// The same, when the full range was taken for the limited one and stretched: 16 to black, 235 to white.
///
/// Source: Recommendation ITU-R BT.709-6, item 4.6 (levels of 8 bits).
#[must_use]
pub fn stretched_tones(read: &[f64]) -> f64 {
    tones_as(read, |drawn| ((drawn - 16.0) * 255.0 / 219.0).clamp(0.0, 255.0))
}

fn tones_as(read: &[f64], shown: impl Fn(f64) -> f64) -> f64 {
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
    fn every_number_is_read_as_it_was_drawn_and_a_blend_of_two_is_refused() {
        for frame in 0..256 {
            let read_here = read(&draw(frame, 320, 240), 320);
            assert_eq!(number(&read_here), Ok(frame));
            assert_eq!(tones(&read_here), 0.0);
            assert!(stretched_tones(&read_here) > 15.0);
            if frame > 0 {
                let before = read(&draw(frame - 1, 320, 240), 320);
                let blend: Vec<f64> =
                    read_here.iter().zip(&before).map(|(a, b)| (a + b) / 2.0).collect();
                assert!(number(&blend).is_err(), "{frame}");
            }
        }
    }
}
