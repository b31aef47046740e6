//! Chroma planes of a picture, and mixes of grey and chroma: what is as light as its surroundings may have another colour.

use super::image_point::ImagePoint;
use crate::error::Error;

/// The level of a chroma value that has no colour.
///
/// Exact: half of the 256 levels of a byte.
const GREY_LEVEL: i32 = 128;
/// Parts of a whole in a [`Mix`].
///
/// Exact: so that mixes are sums of whole numbers, and the same on every machine.
const MIX_PARTS: i32 = 16;
/// Parts of a place between four chroma values: three of four from the nearer row, halves of two columns.
///
/// Exact: 4 times 2.
const PLACE_PARTS: i32 = 8;

/// Borrowed planes of the blue and the red difference (Cb, Cr), one byte each for two by two pixels, without gaps.
///
/// The values stand over every second pixel of a row and between two rows, as in Recommendation ITU-T H.264 (08/2021),
/// figure 6-1, unless a clip says otherwise; [`GREY_LEVEL`] is grey.
#[derive(Clone, Copy, Debug)]
pub(super) struct Colour<'a> {
    width: usize,
    blue: &'a [u8],
    red: &'a [u8],
}

impl<'a> Colour<'a> {
    pub fn new(
        width_px: usize,
        height_px: usize,
        blue: &'a [u8],
        red: &'a [u8],
    ) -> Result<Self, Error> {
        let (width, height) = (width_px.div_ceil(2), height_px.div_ceil(2));
        let (need, have) = (width * height, blue.len().min(red.len()));
        if have < need {
            return Err(Error::Colour { width_px, height_px, need_bytes: need, have_bytes: have });
        }
        Ok(Self { width, blue: &blue[..need], red: &red[..need] })
    }

    /// The chroma rows nearest to a row of the picture, the nearer one first; it weighs three of four parts.
    fn rows(&self, y: usize) -> [[&'a [u8]; 2]; 2] {
        let last = (self.blue.len() / self.width.max(1)).saturating_sub(1);
        let near = (y / 2).min(last);
        let far = if y.is_multiple_of(2) { near.saturating_sub(1) } else { (near + 1).min(last) };
        [self.blue, self.red].map(|plane| [near, far].map(|row| self.row(plane, row)))
    }

    /// Mean blue and red difference of the values from `inner` to `outer` pixels from a place; `None` if there are none.
    pub fn mean(&self, at: ImagePoint, inner_px: f64, outer_px: f64) -> Option<[f32; 2]> {
        let ImagePoint { x_px: x, y_px: y } = at;
        let height = self.blue.len() / self.width.max(1);
        let span = |middle: f64, count: usize| {
            let at = |v: f64| v.clamp(0.0, count as f64) as usize;
            at(middle - 0.5 * outer_px)..at(middle + 0.5 * outer_px + 1.0)
        };
        // A value stands over an even column and between two rows.
        let (columns, rows) = (span(0.5 * x, self.width), span(0.5 * y - 0.25, height));
        let (mut sums, mut count) = ([0_u32; 2], 0_u32);
        for row in rows {
            let v = 2.0 * row as f64 + 0.5 - y;
            for column in columns.clone() {
                let u = 2.0 * column as f64 - x;
                let square = u * u + v * v;
                if (inner_px * inner_px..outer_px * outer_px).contains(&square) {
                    let at = row * self.width + column;
                    for (sum, plane) in sums.iter_mut().zip([self.blue, self.red]) {
                        *sum += plane.get(at).map_or(GREY_LEVEL as u32, |v| u32::from(*v));
                    }
                    count += 1;
                }
            }
        }
        (count > 0).then(|| sums.map(|sum| sum as f32 / count as f32))
    }

    fn row(&self, plane: &'a [u8], row: usize) -> &'a [u8] {
        plane.get(row * self.width..(row + 1) * self.width).unwrap_or(&[])
    }
}

/// A weighted sum of grey, blue and red difference, in sixteenths; the differences count from grey.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Mix {
    /// Weight of grey.
    pub grey: i32,
    /// Weight of the blue difference.
    pub blue: i32,
    /// Weight of the red difference.
    pub red: i32,
}

impl Mix {
    /// Grey alone.
    pub const GREY: Self = Self { grey: MIX_PARTS, blue: 0, red: 0 };
    /// The blue difference alone.
    pub const BLUE: Self = Self { grey: 0, blue: MIX_PARTS, red: 0 };
    /// The red difference alone.
    pub const RED: Self = Self { grey: 0, blue: 0, red: MIX_PARTS };

    /// Whether it needs no colour.
    #[must_use]
    pub fn is_grey(self) -> bool {
        (self.blue, self.red) == (0, 0)
    }
}

/// Adds every `step`th value of a row from its first on, at most `count`.
///
/// It is in this crate because this crate is compiled for speed, and a picture has some hundred thousand values.
#[inline(never)]
pub fn every_nth(row: &[u8], step: usize, count: usize, out: &mut Vec<u8>) {
    match step {
        0 | 1 => out.extend_from_slice(row.get(..count).unwrap_or(row)),
        2 => {
            let pairs = row.get(..2 * count).unwrap_or(row).chunks_exact(2);
            let rest = pairs.remainder().first().copied();
            out.extend(pairs.map(|pair| pair[0]));
            out.extend(rest);
        }
        _ => out.extend(row.iter().step_by(step).take(count)),
    }
}

/// A piece of a row of a picture.
#[derive(Clone, Copy, Debug)]
pub(super) struct RowSpan {
    /// Its first column, which may lie outside.
    pub left_px: i64,
    /// The row.
    pub y: usize,
    /// How many columns.
    pub width: usize,
}

/// Adds a mix of a piece of a row to `values`; columns outside the picture are those at its edge.
///
/// Whole numbers: `(16 parts of mix) * (8 parts of a place between four values)`, rounded to whole levels.
pub(super) fn push_mixed(
    grey: &[u8],
    colour: Colour<'_>,
    RowSpan { left_px, y, width }: RowSpan,
    mix: Mix,
    values: &mut Vec<f32>,
) {
    // Exact: the parts of a sum are those of a mix times those of a place; half of them rounds.
    const PARTS_BITS: u32 = (MIX_PARTS * PLACE_PARTS).ilog2();
    const HALF: i32 = MIX_PARTS * PLACE_PARTS / 2;
    let [blue, red] = colour.rows(y);
    let last = grey.len().saturating_sub(1) as i64;
    let ends = colour.width.saturating_sub(1);
    values.extend((0..width as i64).map(|i| {
        let x = (left_px + i).clamp(0, last) as usize;
        let (one, two) = ((x / 2).min(ends), (x / 2 + x % 2).min(ends));
        let eighths = |[near, far]: [&[u8]; 2]| {
            let at = |row: &[u8], k: usize| row.get(k).map_or(GREY_LEVEL, |v| i32::from(*v));
            3 * (at(near, one) + at(near, two)) + at(far, one) + at(far, two)
                - PLACE_PARTS * GREY_LEVEL
        };
        let light = PLACE_PARTS * i32::from(grey.get(x).copied().unwrap_or(0));
        let sum = mix.grey * light + mix.blue * eighths(blue) + mix.red * eighths(red);
        ((sum + HALF) >> PARTS_BITS) as f32
    }));
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::image::{GreyFrame, ImagePoint, Region};

    const WIDTH: usize = 21;
    const HEIGHT: usize = 17;

    fn bytes(count: usize, factor: usize) -> Vec<u8> {
        (0..count).map(|k| (k * factor + k / 7 * 13) as u8).collect()
    }

    /// A value of a chroma plane at a pixel: bilinear between the four about it, columns over even pixels, rows between an
    /// even one and the next.
    fn between(plane: &[u8], x: usize, y: usize) -> f64 {
        let (columns, rows) = (WIDTH.div_ceil(2), HEIGHT.div_ceil(2));
        let (u, v) = (x as f64 / 2.0, (y as f64 - 0.5) / 2.0);
        let at = |i: f64, j: f64| {
            let clamped = |k: f64, n: usize| k.clamp(0.0, (n - 1) as f64) as usize;
            f64::from(plane[clamped(j, rows) * columns + clamped(i, columns)])
        };
        let (i, j, p, q) = (u.floor(), v.floor(), u - u.floor(), v - v.floor());
        let row = |j: f64| (1.0 - p) * at(i, j) + p * at(i + 1.0, j);
        (1.0 - q) * row(j) + q * row(j + 1.0)
    }

    #[test]
    fn a_mix_is_the_weighted_sum_of_bilinear_values() {
        let small = WIDTH.div_ceil(2) * HEIGHT.div_ceil(2);
        let (grey, blue, red) = (bytes(WIDTH * HEIGHT, 31), bytes(small, 57), bytes(small, 91));
        let frame = GreyFrame::new(WIDTH, HEIGHT, WIDTH, &grey).unwrap();
        let frame = frame.with_colour(&blue, &red).unwrap();
        let mix = Mix { grey: 5, blue: -9, red: 2 };
        let region = Region::mixed(frame, ImagePoint { x_px: 10.0, y_px: 8.0 }, 12, mix);
        for (y, x) in (0..HEIGHT).flat_map(|y| (0..WIDTH).map(move |x| (y, x))) {
            let [b, r] = [&blue, &red].map(|plane| between(plane, x, y) - 128.0);
            let plain = (5.0 * f64::from(grey[y * WIDTH + x]) - 9.0 * b + 2.0 * r) / 16.0;
            let found = f64::from(region.level(0).row(y + 4)[x + 2]);
            // Rounded to a whole level.
            assert!((found - plain).abs() <= 0.5, "{x} {y}: {found} {plain}");
        }
        assert_eq!(
            Region::mixed(frame, ImagePoint { x_px: 3.0, y_px: 3.0 }, 8, Mix::GREY),
            Region::around(frame, ImagePoint { x_px: 3.0, y_px: 3.0 }, 8)
        );
    }

    #[test]
    fn every_nth_value_is_taken_up_to_the_end_of_the_row() {
        let row: Vec<u8> = (0..23).collect();
        for (step, count) in (1..5).flat_map(|step| [0, 3, 5, 40].map(|count| (step, count))) {
            let mut out = vec![99];
            every_nth(&row, step, count, &mut out);
            let plain: Vec<u8> = row.iter().step_by(step).take(count).copied().collect();
            assert_eq!(out, [&[99][..], &plain].concat(), "{step} {count}");
        }
    }

    #[test]
    fn too_few_chroma_bytes_are_refused() {
        let grey = bytes(WIDTH * HEIGHT, 3);
        let frame = GreyFrame::new(WIDTH, HEIGHT, WIDTH, &grey).unwrap();
        assert!(frame.with_colour(&grey[..99], &grey[..98]).is_err());
        assert!(frame.with_colour(&grey[..99], &grey[..99]).is_ok());
    }
}
