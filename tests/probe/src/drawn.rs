//! A clip drawn with whole numbers only, so that every machine draws the same bytes.
//!
//! Two stickers and two pieces of cloth go over a ground of their own texture; cloth is sheared as it goes, and a
//! bar hides one marker of each kind for some frames.

/// Width of the clip's pictures.
pub const WIDTH_PX: usize = 320;
/// Height of the clip's pictures.
pub const HEIGHT_PX: usize = 200;
/// How many pictures there are.
pub const FRAMES: usize = 36;
/// How many markers go through it: stickers first, then cloth.
pub const MARKERS: usize = 4;
/// How many of them are stickers.
pub const STICKERS: usize = 2;

/// Places are in sixteenths of a pixel.
const FINE: i64 = 16;
/// Radii of the cloth, of a sticker and of its dark middle.
const CLOTH: i64 = 22 * FINE;
const STICKER: i64 = 8 * FINE;
const MIDDLE: i64 = 2 * FINE + FINE / 2;
/// The bar's frames and the half of its width in pixels.
const HIDDEN: std::ops::Range<usize> = 15..19;
const BAR_HALF_PX: i64 = 14;

/// Where a marker is in a frame, in sixteenths of a pixel.
#[must_use]
pub fn place(marker: usize, frame: usize) -> (i64, i64) {
    let t = frame as i64;
    let middle = [(60, 45), (170, 60), (70, 140), (190, 135)][marker % MARKERS];
    let (along, swing, period) =
        [(37, 5, 17), (29, 7, 23), (33, 6, 19), (24, 8, 29)][marker % MARKERS];
    // A parabola up and one down is a swing without a sine.
    let (half, phase) = (period, (t + 3 * marker as i64) % (2 * period));
    let (u, sign) = if phase < half { (phase, 1) } else { (phase - half, -1) };
    let rise = sign * 4 * swing * FINE * u * (half - u) / (half * half);
    (middle.0 * FINE + along * t, middle.1 * FINE + rise)
}

/// The grey levels of one frame, row by row.
#[must_use]
pub fn picture(frame: usize) -> Vec<u8> {
    panned(frame, 0)
}

/// The same in the view of a camera that has panned by pixels to the right.
#[must_use]
pub fn panned(frame: usize, right_px: i64) -> Vec<u8> {
    let mut bytes = Vec::with_capacity(WIDTH_PX * HEIGHT_PX);
    for y in 0..HEIGHT_PX {
        for x in 0..WIDTH_PX {
            bytes.push(pixel(frame, x as i64 + right_px, y as i64));
        }
    }
    bytes
}

/// The place of a yellow disc of the lightness of its ground in a frame, in sixteenths of a pixel.
#[must_use]
pub fn yellow(frame: usize) -> (i64, i64) {
    let t = frame as i64;
    (110 * FINE + 29 * t, 97 * FINE + (t % 12 - 6) * 7)
}

/// Blue and red difference of a frame, one value each for two by two pixels: all of one colour but for the disc.
#[must_use]
pub fn colour(frame: usize) -> (Vec<u8>, Vec<u8>) {
    let (width, height) = (WIDTH_PX.div_ceil(2), HEIGHT_PX.div_ceil(2));
    let (mx, my) = yellow(frame);
    let of = |seed: i64, ground: i64, disc: i64| {
        let value = |k: usize| {
            let (i, j) = ((k % width) as i64, (k / width) as i64);
            let mut sum = 0;
            for (a, b) in (0..8).flat_map(|a| (0..8).map(move |b| (a, b))) {
                // Over an even column, between two rows.
                let (u, v) =
                    (FINE * 2 * i + 4 * a - 14 - mx, FINE * 2 * j + FINE / 2 + 4 * b - 14 - my);
                sum += if u * u + v * v < STICKER * STICKER { disc } else { ground };
            }
            let noise = (hash(i, j, seed + frame as i64) & 3) as i64;
            (sum / 64 + noise).clamp(0, 255) as u8
        };
        (0..width * height).map(value).collect()
    };
    (of(3000, 116, 50), of(4000, 140, 138))
}

/// The mean of four by four points of a pixel, and a little noise.
fn pixel(frame: usize, x: i64, y: i64) -> u8 {
    let mut sum = 0;
    for j in 0..4 {
        for i in 0..4 {
            sum += point(frame, FINE * x + 4 * i - 6, FINE * y + 4 * j - 6);
        }
    }
    let noise = (hash(x, y, 1000 + frame as i64) & 3) as i64;
    (sum / 16 + noise).clamp(0, 255) as u8
}

/// The grey level at a point in sixteenths of a pixel.
fn point(frame: usize, x: i64, y: i64) -> i64 {
    if HIDDEN.contains(&frame) {
        for marker in [1, 3] {
            if (x - place(marker, frame).0).abs() < BAR_HALF_PX * FINE {
                return 118;
            }
        }
    }
    for marker in 0..MARKERS {
        let (mx, my) = place(marker, frame);
        let (u, v) = (x - mx, y - my);
        let square = u * u + v * v;
        if marker < STICKERS && square < STICKER * STICKER {
            return if square < MIDDLE * MIDDLE { 40 } else { 225 };
        }
        if marker >= STICKERS && square < CLOTH * CLOTH {
            let shear = v * (frame as i64) / 160;
            return 90 + texture(u + shear, v, 96, marker as i64) / 2;
        }
    }
    60 + texture(x, y, 128, 77) / 4
}

/// 0 to 255: values of a lattice `cell` wide, straight between its points.
fn texture(x: i64, y: i64, cell: i64, seed: i64) -> i64 {
    let (i, j) = (x.div_euclid(cell), y.div_euclid(cell));
    let (u, v) = (x.rem_euclid(cell), y.rem_euclid(cell));
    let at = |a: i64, b: i64| (hash(i + a, j + b, seed) & 255) as i64;
    let upper = at(0, 0) * (cell - u) + at(1, 0) * u;
    let lower = at(0, 1) * (cell - u) + at(1, 1) * u;
    (upper * (cell - v) + lower * v) / (cell * cell)
}

/// Pseudo-random bits: xorshift and multiply.
fn hash(x: i64, y: i64, seed: i64) -> u64 {
    let mut h = (x as u64).wrapping_mul(0x9e37_79b9_7f4a_7c15)
        ^ (y as u64).wrapping_mul(0xc2b2_ae3d_27d4_eb4f)
        ^ (seed as u64).wrapping_mul(0x1656_67b1_9e37_79f9);
    for _ in 0..2 {
        h ^= h >> 29;
        h = h.wrapping_mul(0xbf58_476d_1ce4_e5b9);
    }
    h ^ (h >> 32)
}
