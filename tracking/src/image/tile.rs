//! A piece of a plane in a room of fixed size, so that reading between its pixels at slanting places needs no look
//! for its edges.

use super::Plane;
use super::plane::{mix, weights};

/// Side of the room: holds a patch of 37 pixels turned any way, 53 across.
const SIDE: usize = 64;
/// Of places up to the last, four pixels are read: those to the right and below it stand beyond the square.
const ROOM: usize = SIDE * SIDE + SIDE + 2;
/// Places worked on at a time.
const LANES: usize = 8;
/// Binary digits of a fine step, and the fine steps of a pixel.
const FINE: u32 = 20;
const ONE: i32 = 1 << FINE;

/// The piece, and where in its plane it is from.
#[derive(Clone, Debug)]
pub struct Tile {
    values: Box<[f32; ROOM]>,
    left: usize,
    top: usize,
    right: usize,
    bottom: usize,
}

impl Default for Tile {
    fn default() -> Self {
        Self { values: Box::new([0.0; ROOM]), left: 0, top: 0, right: 0, bottom: 0 }
    }
}

impl Tile {
    /// Forgets what it holds: it is of another plane than what is read next.
    pub fn clear(&mut self) {
        (self.right, self.bottom) = (0, 0);
    }

    /// Sees that it holds all places up to `reach` from `(x, y)` and the pixels beyond them; what it holds already,
    /// since it was cleared, is not read again. False where that leaves the plane or is more than it holds.
    pub fn hold(&mut self, plane: &Plane, (x, y): (f32, f32), reach: f32) -> bool {
        let (right, low) = (plane.width_px() as f32 - 1.5, plane.height_px() as f32 - 1.5);
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

    /// Takes the square that is asked for and as much about it as there is room for.
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

    /// Fills `out` with the values at places in a row, `(dx, dy)` apart from `(x, y)` of the plane on; whoever calls
    /// has seen that it holds all of them.
    ///
    /// Each is bilinear as [`Plane::bilinear`] has it, its place to 2^-20 px, in a plane of at most 2047 px each way.
    /// Places are whole numbers of fine steps, so that their whole pixels cost no rounding.
    pub fn along(&self, (x, y): (f32, f32), (dx, dy): (f32, f32), out: &mut [f32]) {
        let start = |value: f32, from: usize| fine(value).wrapping_sub((from as i32) << FINE);
        let (mut u, mut v) = (start(x, self.left), start(y, self.top));
        let (du, dv) = (fine(dx), fine(dy));
        for line in out.chunks_mut(LANES) {
            let (mut taps, mut parts) = ([[0.0_f32; LANES]; 4], [[0_i32; LANES]; 2]);
            for k in 0..LANES {
                let at = ((v as u32 >> FINE) as usize * SIDE + (u as u32 >> FINE) as usize)
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

/// Chosen: as far as a fit usually moves.
const MARGIN_PX: usize = 4;

/// Whole fine steps; what is no number or too large comes to lie outside of any plane.
fn fine(value_px: f32) -> i32 {
    (value_px * ONE as f32) as i32
}

#[cfg(test)]
mod tests {
    use super::*;

    fn texture() -> Plane {
        Plane::from_fn(140, 130, |x, y| ((x * 37 + y * 91 + x * y) % 256) as f32)
    }

    #[test]
    fn values_along_a_slanting_row_are_the_planes_one_by_one() {
        let plane = texture();
        let mut tile = Tile::default();
        assert!(tile.hold(&plane, (60.0, 70.0), 20.0));
        let mut row = [0.0; 20];
        tile.along((45.25, 59.5), (0.75, 0.5), &mut row);
        for (i, value) in row.iter().enumerate() {
            let (x, y) = (45.25 + 0.75 * i as f32, 59.5 + 0.5 * i as f32);
            assert_eq!(plane.bilinear(x, y), Some(*value));
        }
        // At places that no fine step meets: the nearest one is within 2^-21 px and a row of 20 adds as many steps'
        // error; over differences of up to 255 between pixels.
        let (x, y, dx, dy) = (53.217, 74.9, 0.871, -0.491);
        tile.along((x, y), (dx, dy), &mut row);
        for (i, value) in row.iter().enumerate() {
            let one = plane.bilinear(x + dx * i as f32, y + dy * i as f32).unwrap();
            assert!((value - one).abs() < 0.01, "{i}: {value} {one}");
        }
    }

    #[test]
    fn it_holds_no_more_than_the_plane_and_its_room() {
        let plane = texture();
        let mut tile = Tile::default();
        assert!(!tile.hold(&plane, (19.9, 70.0), 20.0) && !tile.hold(&plane, (60.0, 109.0), 20.0));
        assert!(
            !tile.hold(&plane, (f32::NAN, 70.0), 20.0) && !tile.hold(&plane, (60.0, 60.0), 32.0)
        );
        assert!(tile.hold(&plane, (30.0, 30.0), 30.0) && tile.hold(&plane, (118.4, 108.4), 20.0));
    }

    #[test]
    fn another_plane_is_read_once_it_is_cleared() {
        let (plane, other) = (texture(), Plane::from_fn(140, 130, |x, y| (x + y) as f32));
        let (mut tile, mut row) = (Tile::default(), [0.0; 3]);
        assert!(tile.hold(&plane, (60.0, 60.0), 10.0));
        tile.clear();
        assert!(tile.hold(&other, (61.0, 60.0), 10.0));
        tile.along((55.0, 52.0), (1.0, 0.0), &mut row);
        assert_eq!(row, [107.0, 108.0, 109.0]);
    }
}
