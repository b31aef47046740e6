//! Repeatable noise: the same number for the same place and seed on every machine.

/// Mixes whole numbers into 64 well-spread bits.
///
/// Source: Steele, Lea and Flood, Fast Splittable Pseudorandom Number Generators, OOPSLA 2014
/// (the finalizer of SplitMix).
#[must_use]
pub fn bits(seed: u64, x: i64, y: i64) -> u64 {
    let mut z = seed
        .wrapping_add((x as u64).wrapping_mul(0x9E37_79B9_7F4A_7C15))
        .wrapping_add((y as u64).wrapping_mul(0xC2B2_AE3D_27D4_EB4F));
    z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    z ^ (z >> 31)
}

/// Evenly spread over 0 to 1.
#[must_use]
pub fn uniform(seed: u64, x: i64, y: i64) -> f64 {
    (bits(seed, x, y) >> 11) as f64 / (1_u64 << 53) as f64
}

/// Nearly normal with mean 0 and standard deviation 1: four even numbers summed, within ±3.5.
#[must_use]
pub fn normal(seed: u64, x: i64, y: i64) -> f64 {
    let word = bits(seed, x, y);
    let sum: f64 = [0, 16, 32, 48].iter().map(|shift| ((word >> shift) & 0xFFFF) as f64).sum();
    (sum / 65535.0 - 2.0) * 3.0_f64.sqrt()
}

/// A smooth texture from 0 to 1 whose features are about one unit wide.
#[must_use]
pub fn texture(seed: u64, x: f64, y: f64) -> f64 {
    let (column, row) = (x.floor(), y.floor());
    let (u, v) = (smooth(x - column), smooth(y - row));
    let (column, row) = (column as i64, row as i64);
    let top = lerp(uniform(seed, column, row), uniform(seed, column + 1, row), u);
    let bottom = lerp(uniform(seed, column, row + 1), uniform(seed, column + 1, row + 1), u);
    lerp(top, bottom, v)
}

fn smooth(u: f64) -> f64 {
    u * u * (3.0 - 2.0 * u)
}

fn lerp(a: f64, b: f64, u: f64) -> f64 {
    a + (b - a) * u
}
