//! A small picture of `f32` values, and windows read between its pixels.

/// Values row by row from the top; grey levels of eight bits stay 0 to 255.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Plane {
    width_px: usize,
    height_px: usize,
    values: Vec<f32>,
}

impl Plane {
    /// A plane whose value at `(x, y)` is `value(x, y)`.
    #[must_use]
    pub fn from_fn(
        width_px: usize,
        height_px: usize,
        mut value: impl FnMut(usize, usize) -> f32,
    ) -> Self {
        let values = (0..height_px)
            .flat_map(|y| (0..width_px).map(move |x| (x, y)))
            .map(|(x, y)| value(x, y));
        Self { width_px, height_px, values: values.collect() }
    }

    /// A plane of values row by row; those beyond `width_px * height_px` are dropped, missing ones are zero.
    #[must_use]
    pub fn from_values(width_px: usize, height_px: usize, mut values: Vec<f32>) -> Self {
        values.resize(width_px * height_px, 0.0);
        Self { width_px, height_px, values }
    }

    /// Width.
    #[must_use]
    pub fn width_px(&self) -> usize {
        self.width_px
    }

    /// Height.
    #[must_use]
    pub fn height_px(&self) -> usize {
        self.height_px
    }

    /// One row; empty outside the plane.
    #[must_use]
    pub fn row(&self, y: usize) -> &[f32] {
        let start = y * self.width_px;
        self.values.get(start..start + self.width_px).unwrap_or(&[])
    }

    /// The value between pixels, `None` outside: `(1-fx)(1-fy) v00 + fx(1-fy) v10 + (1-fx)fy v01 + fx fy v11`.
    #[must_use]
    pub fn bilinear(&self, x: f32, y: f32) -> Option<f32> {
        if !(x >= 0.0 && y >= 0.0) {
            return None;
        }
        let (x0, y0) = (x as usize, y as usize);
        let (fx, fy) = (x - x0 as f32, y - y0 as f32);
        let (upper, lower) = (self.row(y0), self.row(y0 + 1));
        let (a, b) = (upper.get(x0)?, upper.get(x0 + 1)?);
        let (c, d) = (lower.get(x0)?, lower.get(x0 + 1)?);
        Some(mix([*a, *b, *c, *d], weights(fx, fy)))
    }

    /// Fills `out` with the square window of `2 half + 1` pixels about `(x, y)`, each value bilinear.
    ///
    /// All pixels of a window lie at the same place between their neighbours, so that the weights are the same for all,
    /// which makes a shifted window cheap. False, and `out` unspecified, if the window leaves the plane.
    pub fn window(&self, x: f32, y: f32, half: usize, out: &mut Vec<f32>) -> bool {
        let side = 2 * half + 1;
        let (left, top) = (x - half as f32, y - half as f32);
        if !(left >= 0.0 && top >= 0.0) {
            return false;
        }
        let (x0, y0) = (left as usize, top as usize);
        if x0 + side >= self.width_px || y0 + side >= self.height_px {
            return false;
        }
        let w = weights(left - x0 as f32, top - y0 as f32);
        out.resize(side * side, 0.0);
        for (j, line) in out.chunks_exact_mut(side).enumerate() {
            let upper = &self.row(y0 + j)[x0..=x0 + side];
            let lower = &self.row(y0 + j + 1)[x0..=x0 + side];
            let pairs = upper.iter().zip(&upper[1..]).zip(lower.iter().zip(&lower[1..]));
            for (value, ((a, b), (c, d))) in line.iter_mut().zip(pairs) {
                *value = mix([*a, *b, *c, *d], w);
            }
        }
        true
    }
}

/// Bilinear weights of the four pixels about a place with these fractions.
pub(super) fn weights(fx: f32, fy: f32) -> [f32; 4] {
    [(1.0 - fx) * (1.0 - fy), fx * (1.0 - fy), (1.0 - fx) * fy, fx * fy]
}

/// Four values by their weights, added in one order on every machine.
pub(super) fn mix(v: [f32; 4], w: [f32; 4]) -> f32 {
    (v[0] * w[0] + v[1] * w[1]) + (v[2] * w[2] + v[3] * w[3])
}

#[cfg(test)]
mod tests {
    use super::*;

    fn texture() -> Plane {
        Plane::from_fn(40, 30, |x, y| ((x * 37 + y * 91 + x * y) % 256) as f32)
    }

    #[test]
    fn a_window_holds_the_bilinear_value_of_each_place() {
        let plane = texture();
        let mut window = Vec::new();
        for (x, y) in [(12.0, 14.0), (12.25, 14.5), (9.9, 17.1)] {
            assert!(plane.window(x, y, 5, &mut window));
            for (i, value) in window.iter().enumerate() {
                let (dx, dy) = ((i % 11) as f32 - 5.0, (i / 11) as f32 - 5.0);
                let one = plane.bilinear(x + dx, y + dy).unwrap();
                // Rounding in x + dx: a few units in the last place of values up to 255.
                assert!((value - one).abs() < 2e-3, "{value} {one}");
            }
        }
    }

    #[test]
    fn a_window_at_a_whole_pixel_holds_the_pixels_themselves() {
        let plane = texture();
        let mut window = Vec::new();
        assert!(plane.window(20.0, 15.0, 1, &mut window));
        assert_eq!(window[0], plane.row(14)[19]);
        assert_eq!(window[4], plane.row(15)[20]);
        assert_eq!(window[8], plane.row(16)[21]);
    }

    #[test]
    fn a_window_that_leaves_the_plane_is_refused() {
        let plane = texture();
        let mut window = Vec::new();
        for (x, y) in [(4.9, 15.0), (35.0, 15.0), (20.0, 3.0), (20.0, 25.0), (f32::NAN, 9.0)] {
            assert!(!plane.window(x, y, 5, &mut window), "{x} {y}");
        }
    }
}
