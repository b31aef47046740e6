//! A piece of a plane in a buffer of fixed size, so that bilinear reads along slanted rows need no bounds checks.

use super::plane::{Plane, mix, weights};

/// Side of the buffer.
///
/// Chosen: a power of two that holds a patch of 37 pixels rotated any way, 53 across.
const SIDE: usize = 64;
/// Values of the buffer: a place reads the pixels to its right and below, also those of the last.
///
/// Exact: a row and two more than the square.
const BUFFER: usize = SIDE * SIDE + SIDE + 2;
/// Places computed at a time.
///
/// Chosen: two vector registers of four.
const LANES: usize = 8;
/// Binary digits after the point of a place in fixed-point numbers.
///
/// Chosen: eleven are left before it, for planes up to 2047 px.
const FRACTION_BITS: u32 = 20;
/// One pixel in fixed-point numbers.
///
/// Exact: 2^20.
const ONE: i32 = 1 << FRACTION_BITS;
/// How much more than needed is copied on each side.
///
/// Chosen: as far as a fit usually moves.
const MARGIN_PX: usize = 4;
/// What a plane's last place to read is less than its size: the pixel beyond and a half for rounding.
///
/// Exact: by the four pixels that a bilinear value needs.
const EDGE_PX: f32 = 1.5;

/// A piece of a plane, and its bounds there.
#[derive(Clone, Debug)]
pub struct Tile {
    values: Box<[f32; BUFFER]>,
    left: usize,
    top: usize,
    right: usize,
    bottom: usize,
}

impl Default for Tile {
    fn default() -> Self {
        Self { values: Box::new([0.0; BUFFER]), left: 0, top: 0, right: 0, bottom: 0 }
    }
}

impl Tile {
    /// Forgets its piece: the next reads are of another plane.
    pub fn clear(&mut self) {
        (self.right, self.bottom) = (0, 0);
    }

    /// Makes sure that it holds all places up to `reach` from `(x, y)` and the pixels beyond them; a piece that it already
    /// holds since it was cleared is not copied again. False if that leaves the plane or is too large.
    pub fn hold(&mut self, plane: &Plane, (x, y): (f32, f32), reach: f32) -> bool {
        let (right, low) = (plane.width_px() as f32 - EDGE_PX, plane.height_px() as f32 - EDGE_PX);
        let inside = x - reach >= 0.0 && y - reach >= 0.0 && x + reach < right && y + reach < low;
        if !inside {
            return false;
        }
        let (left, top) = ((x - reach) as usize, (y - reach) as usize);
        // One for the pixel beyond, one for steps whose rounding adds up.
        let (right, bottom) = ((x + reach) as usize + 3, (y + reach) as usize + 3);
        let has = left >= self.left && top >= self.top;
        if has && right <= self.right && bottom <= self.bottom {
            return true;
        }
        self.cut(plane, (left, top), (right, bottom))
    }

    /// Copies a rectangle and as much about it as the buffer has room for.
    fn cut(
        &mut self,
        plane: &Plane,
        (left, top): (usize, usize),
        (right, bottom): (usize, usize),
    ) -> bool {
        let (Some(across), Some(down)) =
            (SIDE.checked_sub(right - left), SIDE.checked_sub(bottom - top))
        else {
            return false;
        };
        let spare = (across / 2).min(MARGIN_PX).min(left).min(down / 2).min(top);
        let (left, top) = (left - spare, top - spare);
        let right = (right + spare).min(plane.width_px());
        let bottom = (bottom + spare).min(plane.height_px());
        for (line, y) in self.values.chunks_exact_mut(SIDE).zip(top..bottom) {
            let row = plane.row(y).get(left..right).unwrap_or_default();
            if let Some(start) = line.get_mut(..row.len()) {
                start.copy_from_slice(row);
            }
        }
        (self.left, self.top, self.right, self.bottom) = (left, top, right, bottom);
        true
    }

    /// Fills `out` with the bilinear values at `(x, y)`, `(x + dx, y + dy)`, …; [`Tile::hold`] must hold for all of them.
    ///
    /// Each is that of [`Plane::bilinear`], its place rounded to 2^-20 px, in a plane of at most 2047 px each way. Places are
    /// fixed-point numbers, so that their whole pixels cost no rounding.
    pub fn along(&self, (x, y): (f32, f32), (dx, dy): (f32, f32), out: &mut [f32]) {
        let start =
            |value: f32, from: usize| fixed(value).wrapping_sub((from as i32) << FRACTION_BITS);
        let (mut u, mut v) = (start(x, self.left), start(y, self.top));
        let (du, dv) = (fixed(dx), fixed(dy));
        for line in out.chunks_mut(LANES) {
            let (mut taps, mut parts) = ([[0.0_f32; LANES]; 4], [[0_i32; LANES]; 2]);
            for k in 0..LANES {
                let at = ((v as u32 >> FRACTION_BITS) as usize * SIDE
                    + (u as u32 >> FRACTION_BITS) as usize)
                    & (SIDE * SIDE - 1);
                [taps[0][k], taps[1][k]] = [self.values[at], self.values[at + 1]];
                [taps[2][k], taps[3][k]] = [self.values[at + SIDE], self.values[at + SIDE + 1]];
                [parts[0][k], parts[1][k]] = [u & (ONE - 1), v & (ONE - 1)];
                (u, v) = (u.wrapping_add(du), v.wrapping_add(dv));
            }
            let values: [f32; LANES] = std::array::from_fn(|k| {
                let [fx, fy] = [parts[0][k], parts[1][k]].map(|p| p as f32 * (1.0 / ONE as f32));
                mix([taps[0][k], taps[1][k], taps[2][k], taps[3][k]], weights(fx, fy))
            });
            line.copy_from_slice(&values[..line.len()]);
        }
    }
}

/// As a fixed-point number; a value that is not a number or too large comes to lie outside of any plane.
fn fixed(value_px: f32) -> i32 {
    (value_px * ONE as f32) as i32
}

#[cfg(test)]
mod tests {
    use super::*;

    fn texture() -> Plane {
        Plane::from_fn(140, 130, |x, y| ((x * 37 + y * 91 + x * y) % 256) as f32)
    }

    #[test]
    fn values_along_a_slanted_row_are_those_of_the_plane() {
        let plane = texture();
        let mut tile = Tile::default();
        assert!(tile.hold(&plane, (60.0, 70.0), 20.0));
        let mut row = [0.0; 20];
        tile.along((45.25, 59.5), (0.75, 0.5), &mut row);
        for (i, value) in row.iter().enumerate() {
            let (x, y) = (45.25 + 0.75 * i as f32, 59.5 + 0.5 * i as f32);
            assert_eq!(plane.bilinear(x, y), Some(*value));
        }
        // At places that are no fixed-point numbers: each is within 2^-21 px and a row of 20 adds up 20 such errors; over
        // differences of up to 255 between pixels.
        let (x, y, dx, dy) = (53.217, 74.9, 0.871, -0.491);
        tile.along((x, y), (dx, dy), &mut row);
        for (i, value) in row.iter().enumerate() {
            let one = plane.bilinear(x + dx * i as f32, y + dy * i as f32).unwrap();
            assert!((value - one).abs() < 0.01, "{i}: {value} {one}");
        }
    }

    #[test]
    fn it_holds_no_more_than_the_plane_and_its_buffer() {
        let plane = texture();
        let mut tile = Tile::default();
        assert!(!tile.hold(&plane, (19.9, 70.0), 20.0) && !tile.hold(&plane, (60.0, 109.0), 20.0));
        assert!(
            !tile.hold(&plane, (f32::NAN, 70.0), 20.0) && !tile.hold(&plane, (60.0, 60.0), 32.0)
        );
        assert!(tile.hold(&plane, (30.0, 30.0), 30.0) && tile.hold(&plane, (118.4, 108.4), 20.0));
    }

    #[test]
    fn it_reads_another_plane_once_it_is_cleared() {
        let (plane, other) = (texture(), Plane::from_fn(140, 130, |x, y| (x + y) as f32));
        let (mut tile, mut row) = (Tile::default(), [0.0; 3]);
        assert!(tile.hold(&plane, (60.0, 60.0), 10.0));
        tile.clear();
        assert!(tile.hold(&other, (61.0, 60.0), 10.0));
        tile.along((55.0, 52.0), (1.0, 0.0), &mut row);
        assert_eq!(row, [107.0, 108.0, 109.0]);
    }
}
