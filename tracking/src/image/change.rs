//! How much a picture changed into the next one, where it changed most.

use super::GreyFrame;

/// Chosen: every fourth row tells as much of what moves to the side as all of them.
const EVERY_ROW: usize = 4;
/// Chosen: a square is about as large as a shank is wide in a picture of 720 rows.
const SQUARE_PX: usize = 32;
/// Rows of a square that are looked at.
const SQUARE_ROWS: usize = SQUARE_PX / EVERY_ROW;
/// Chosen: what moves fills some squares at the least; the mean of so many is no single spot of noise.
const MOST_CHANGED: usize = 4;

/// Every fourth row of a picture, to be held against those of another.
#[derive(Clone, Debug)]
pub struct Thinned {
    rows: Vec<u8>,
    to_the_row: usize,
}

impl Thinned {
    /// The rows of a picture, as far to the right as squares of 32 pixels go.
    #[inline(never)]
    #[must_use]
    pub fn of(frame: GreyFrame<'_>) -> Self {
        let to_the_row = frame.width_px() / SQUARE_PX * SQUARE_PX;
        let mut rows = Vec::with_capacity(to_the_row * frame.height_px().div_ceil(EVERY_ROW));
        for y in (0..frame.height_px()).step_by(EVERY_ROW) {
            rows.extend_from_slice(frame.row(y).get(..to_the_row).unwrap_or_default());
        }
        Self { rows, to_the_row }
    }

    /// Mean absolute difference of the four squares of 32 × 32 pixels that changed most, of 256 grey levels; 0 where a
    /// picture is narrower than a square.
    #[inline(never)]
    #[must_use]
    pub fn change(&self, other: &Self) -> f64 {
        if self.to_the_row == 0 || self.to_the_row != other.to_the_row {
            return 0.0;
        }
        let to_the_row = self.to_the_row / SQUARE_PX;
        let mut sums: Vec<u32> = Vec::new();
        let rows = self.rows.chunks_exact(self.to_the_row);
        for (y, (old, new)) in rows.zip(other.rows.chunks_exact(self.to_the_row)).enumerate() {
            if y % SQUARE_ROWS == 0 {
                sums.resize(sums.len() + to_the_row, 0);
            }
            let first = sums.len() - to_the_row;
            let squares = old.chunks_exact(SQUARE_PX).zip(new.chunks_exact(SQUARE_PX));
            for (sum, (old, new)) in sums.iter_mut().skip(first).zip(squares) {
                // At most 32 × 255, which fits, and sixteen bits are added eight at once.
                *sum += u32::from(
                    old.iter().zip(new).map(|(a, b)| u16::from(a.abs_diff(*b))).sum::<u16>(),
                );
            }
        }
        sums.sort_unstable_by(|a, b| b.cmp(a));
        let most: u32 = sums.iter().take(MOST_CHANGED).sum();
        f64::from(most) / (MOST_CHANGED * SQUARE_PX * SQUARE_ROWS) as f64
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The same by the definition, pixel by pixel.
    fn plain(old: &[u8], new: &[u8], width: usize, height: usize) -> f64 {
        let mut means: Vec<f64> = Vec::new();
        for top in (0..height).step_by(SQUARE_PX) {
            for left in (0..width / SQUARE_PX).map(|n| n * SQUARE_PX) {
                let mut sum = 0_i32;
                for y in (top..height.min(top + SQUARE_PX)).step_by(EVERY_ROW) {
                    for x in left..left + SQUARE_PX {
                        let at = y * width + x;
                        sum += (i32::from(old[at]) - i32::from(new[at])).abs();
                    }
                }
                means.push(f64::from(sum) / (SQUARE_PX * SQUARE_ROWS) as f64);
            }
        }
        means.sort_by(|a, b| b.total_cmp(a));
        means.iter().take(MOST_CHANGED).sum::<f64>() / MOST_CHANGED as f64
    }

    #[test]
    fn the_squares_that_changed_most_are_told_as_by_the_definition() {
        for (width, height) in [(100, 70), (256, 64), (33, 129), (31, 40)] {
            let mut state = 7_u32;
            let mut noise = || {
                (0..width * height)
                    .map(|_| {
                        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
                        state.to_be_bytes()[0]
                    })
                    .collect::<Vec<u8>>()
            };
            let (old, new) = (noise(), noise());
            let thinned = |bytes| Thinned::of(GreyFrame::new(width, height, width, bytes).unwrap());
            let change = thinned(&old).change(&thinned(&new));
            assert!((change - plain(&old, &new, width, height)).abs() < 1e-9, "{width} x {height}");
            assert_eq!(change > 0.0, width >= SQUARE_PX);
        }
        let (black, white) = (vec![0; 4096], vec![255; 4096]);
        let thinned = |bytes| Thinned::of(GreyFrame::new(64, 64, 64, bytes).unwrap());
        assert!((thinned(&black).change(&thinned(&white)) - 255.0).abs() < 1e-9);
    }
}
