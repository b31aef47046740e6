//! Pictures made of whole numbers only, so that a script in another language makes the same bytes.

use tracking::image::{GreyFrame, ImagePoint, Region};

/// Width and height.
pub const SIZE: usize = 160;

/// 0 to 255, well spread: the finalizer of SplitMix (Steele, Lea and Flood 2014) over a mixed index.
fn hash(column: i64, row: i64) -> i64 {
    let mixed = (column as u64)
        .wrapping_mul(0x9E37_79B9_7F4A_7C15)
        .wrapping_add((row as u64).wrapping_mul(0xC2B2_AE3D_27D4_EB4F));
    let mut z = mixed;
    z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    ((z ^ (z >> 31)) >> 56) as i64
}

/// Texture at a place in quarters of a pixel: hashes each 24 of them, straight lines between.
fn fine(u: i64, v: i64) -> i64 {
    const CELL: i64 = 24;
    let (column, row) = (u.div_euclid(CELL), v.div_euclid(CELL));
    let (a, b) = (u.rem_euclid(CELL), v.rem_euclid(CELL));
    let line = |row| (CELL - a) * hash(column, row) + a * hash(column + 1, row);
    ((CELL - b) * line(row) + b * line(row + 1)) / (CELL * CELL)
}

/// The texture moved by so many quarters of a pixel; each pixel is the mean of its 16 parts.
pub fn moved(right_quarters: i64, down_quarters: i64) -> Vec<u8> {
    let pixel = |index: usize| {
        let (x, y) = ((index % SIZE) as i64, (index / SIZE) as i64);
        let part = |k: i64| fine(4 * x + k % 4 - right_quarters, 4 * y + k / 4 - down_quarters);
        ((0..16).map(part).sum::<i64>() / 16) as u8
    };
    (0..SIZE * SIZE).map(pixel).collect()
}

/// Places well inside the picture.
pub fn places() -> Vec<ImagePoint> {
    let at = |k: i32| ImagePoint {
        x_px: f64::from(52 + 14 * (k % 5)) + 0.25 * f64::from(k % 3),
        y_px: f64::from(52 + 14 * (k / 5)),
    };
    (0..25).map(at).collect()
}

/// The surroundings of a place in a picture.
pub fn region(bytes: &[u8], at: ImagePoint) -> Region {
    Region::around(GreyFrame::new(SIZE, SIZE, SIZE, bytes).unwrap(), at, 48)
}
