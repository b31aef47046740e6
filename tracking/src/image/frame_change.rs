//! How much a picture differs from the next one where it differs most.

use super::frame::GreyFrame;

/// Chosen: every fourth row shows a sideways motion as well as all rows do.
const EVERY_ROW: usize = 4;
/// Chosen: a square is about as wide as a shank in a picture of 720 rows.
const SQUARE_PX: usize = 32;
/// Rows of a square that are compared.
///
/// Exact: every fourth.
const SQUARE_ROWS: usize = SQUARE_PX / EVERY_ROW;
/// Squares whose mean is the change.
///
/// Chosen: what moves fills several squares, and the mean of four is no single spot of noise.
const MOST_CHANGED: usize = 4;

/// Every fourth row of a picture, to be compared with those of another.
#[derive(Clone, Debug)]
pub struct SampledRows {
    rows: Vec<u8>,
    /// Bytes of a row.
    row_bytes: usize,
}

impl SampledRows {
    /// The rows of a picture, as far to the right as whole squares go.
    #[inline(never)]
    #[must_use]
    pub fn of(frame: GreyFrame<'_>) -> Self {
        let row_bytes = frame.width_px() / SQUARE_PX * SQUARE_PX;
        let mut rows = Vec::with_capacity(row_bytes * frame.height_px().div_ceil(EVERY_ROW));
        for y in (0..frame.height_px()).step_by(EVERY_ROW) {
            rows.extend_from_slice(frame.row(y).get(..row_bytes).unwrap_or_default());
        }
        Self { rows, row_bytes }
    }

    /// Mean absolute difference, of 256 grey levels, of the four squares of 32 × 32 pixels that changed most; 0 if the
    /// picture is narrower than a square.
    #[inline(never)]
    #[must_use]
    pub fn change(&self, other: &Self) -> f64 {
        if self.row_bytes == 0 || self.row_bytes != other.row_bytes {
            return 0.0;
        }
        let squares_per_row = self.row_bytes / SQUARE_PX;
        let mut sums: Vec<u32> = Vec::new();
        let rows = self.rows.chunks_exact(self.row_bytes);
        for (y, (old, new)) in rows.zip(other.rows.chunks_exact(self.row_bytes)).enumerate() {
            if y % SQUARE_ROWS == 0 {
                sums.resize(sums.len() + squares_per_row, 0);
            }
            let first = sums.len() - squares_per_row;
            let squares = old.chunks_exact(SQUARE_PX).zip(new.chunks_exact(SQUARE_PX));
            for (sum, (old, new)) in sums.iter_mut().skip(first).zip(squares) {
                // At most 32 × 255, which fits sixteen bits, and eight of those are added at once.
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
    use crate::image::noise;

    /// The same by its definition, pixel by pixel.
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
    fn the_change_is_that_of_the_definition() {
        for (width, height) in [(100, 70), (256, 64), (33, 129), (31, 40)] {
            let (old, new) = (noise(7, width * height), noise(8, width * height));
            let sampled =
                |bytes| SampledRows::of(GreyFrame::new(width, height, width, bytes).unwrap());
            let change = sampled(&old).change(&sampled(&new));
            assert!((change - plain(&old, &new, width, height)).abs() < 1e-9, "{width} x {height}");
            assert_eq!(change > 0.0, width >= SQUARE_PX);
        }
        let (black, white) = (vec![0; 4096], vec![255; 4096]);
        let sampled = |bytes| SampledRows::of(GreyFrame::new(64, 64, 64, bytes).unwrap());
        assert!((sampled(&black).change(&sampled(&white)) - 255.0).abs() < 1e-9);
    }
}
