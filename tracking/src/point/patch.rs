//! A patch in the marker's own axes, and the windows that it is read from.

use super::rotation::Rotation;
use crate::image::{ImagePoint, Plane, Region, Tile};

/// Where a patch is and how it is rotated against the way it was placed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pose {
    /// Its middle.
    pub at: ImagePoint,
    /// Its rotation.
    pub rotation: Rotation,
}

/// What a place in a patch keeps from its last pixel, so that a bilinear value has its four.
///
/// Chosen: far below what is seen, above the rounding of the place.
const EDGE_PX: f64 = 1e-3;

/// A square patch in the marker's own axes, whatever its rotation in the picture.
#[derive(Clone, Debug, PartialEq)]
pub struct Patch {
    pub(super) half_px: usize,
    pub(super) values: Vec<f32>,
    /// Derivatives of the values by a step right, a step down and a rotation.
    pub(super) gradients: [Vec<f32>; 3],
}

impl Patch {
    /// The patch about a pose; `None` if it leaves the region.
    #[must_use]
    pub fn take(region: &Region, pose: Pose, half_px: usize) -> Option<Self> {
        let (mut wide, mut tile) = (Vec::new(), Tile::default());
        let place = region.local(pose.at, 0);
        let plane = PlaneTile { plane: region.level(0), tile: &mut tile };
        rotated_window(plane, place, pose.rotation, half_px + 1, &mut wide).then_some(())?;
        let side = 2 * half_px + 1;
        let count = side * side;
        let mut patch = Self {
            half_px,
            values: Vec::with_capacity(count),
            gradients: [const { Vec::new() }; 3],
        };
        let rows: Vec<&[f32]> = wide.chunks_exact(side + 2).collect();
        for (j, three) in rows.windows(3).enumerate() {
            let [above, line, below] = three else { continue };
            let v = j as f32 - half_px as f32;
            for i in 0..side {
                let u = i as f32 - half_px as f32;
                let right = 0.5 * (line[i + 2] - line[i]);
                let down = 0.5 * (below[i + 1] - above[i + 1]);
                patch.values.push(line[i + 1]);
                patch.gradients[0].push(right);
                patch.gradients[1].push(down);
                patch.gradients[2].push(u * down - v * right);
            }
        }
        Some(patch)
    }

    /// Takes the pixels that are not visible, zero in the mask, from another patch of the same size.
    pub fn fill_hidden(&mut self, other: &Patch, visible: &[f32]) {
        let fill = |own: &mut [f32], old: &[f32]| {
            for ((value, old), visible) in own.iter_mut().zip(old).zip(visible) {
                // Exact: half-way between hidden and visible.
                if *visible < 0.5 {
                    *value = *old;
                }
            }
        };
        fill(&mut self.values, &other.values);
        for (own, old) in self.gradients.iter_mut().zip(&other.gradients) {
            fill(own, old);
        }
    }

    /// Blends a share of another patch of the same size into this one: `v + share (v' - v)`.
    pub fn blend_in(&mut self, other: &Patch, share: f32) {
        let mix = |own: &mut [f32], new: &[f32]| {
            own.iter_mut().zip(new).for_each(|(v, n)| *v += share * (n - *v));
        };
        mix(&mut self.values, &other.values);
        for (own, new) in self.gradients.iter_mut().zip(&other.gradients) {
            mix(own, new);
        }
    }

    /// Its values row by row.
    #[must_use]
    pub fn values(&self) -> &[f32] {
        &self.values
    }

    /// Half its side.
    #[must_use]
    pub fn half_px(&self) -> usize {
        self.half_px
    }

    /// The square window of `2 half + 1` pixels that shows the middle of the patch rotated; corners beyond the patch repeat
    /// its edge.
    #[must_use]
    pub fn rotated_middle(&self, rotation: Rotation, half_px: usize) -> Vec<f32> {
        let (side, own) = (2 * half_px + 1, 2 * self.half_px + 1);
        let plane = Plane::from_values(own, own, self.values.clone());
        let (half, middle) = (half_px as f64, self.half_px as f64);
        let last = (own - 1) as f64 - EDGE_PX;
        let back = rotation.inverse();
        let value = |k: usize| {
            let step = ((k % side) as f64 - half, (k / side) as f64 - half);
            let (x, y) = back.apply(step);
            let (x, y) = ((x + middle).clamp(0.0, last), (y + middle).clamp(0.0, last));
            plane.bilinear(x as f32, y as f32).unwrap_or(0.0)
        };
        (0..side * side).map(value).collect()
    }
}

/// A plane and the tile that it is read through; what the tile holds must be of this plane.
pub(super) struct PlaneTile<'a> {
    pub plane: &'a Plane,
    pub tile: &'a mut Tile,
}

/// Fills `out` with the square window of `2 half + 1` pixels about a place, its axes rotated. False, and `out` unspecified,
/// if it leaves the plane.
pub(super) fn rotated_window(
    PlaneTile { plane, tile }: PlaneTile<'_>,
    (x, y): (f32, f32),
    rotation: Rotation,
    half: usize,
    out: &mut Vec<f32>,
) -> bool {
    let (cos, sin) = (rotation.cos as f32, rotation.sin as f32);
    let h = half as f32;
    if !tile.hold(plane, (x, y), h * (cos.abs() + sin.abs())) {
        return false;
    }
    let side = 2 * half + 1;
    out.resize(side * side, 0.0);
    for (j, line) in out.chunks_exact_mut(side).enumerate() {
        let v = j as f32 - h;
        let (row_x, row_y) = (x - sin * v, y + cos * v);
        tile.along((row_x - cos * h, row_y - sin * h), (cos, sin), line);
    }
    true
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::image::{GreyFrame, noise};

    #[test]
    fn a_patch_taken_rotated_shows_the_picture_when_rotated_back() {
        let value = |x: usize, y: usize| (4 * x + y) as u8;
        let bytes: Vec<u8> = (0..60 * 60).map(|k| value(k % 60, k / 60)).collect();
        let frame = GreyFrame::new(60, 60, 60, &bytes).unwrap();
        let at = ImagePoint { x_px: 30.0, y_px: 30.0 };
        let region = Region::around(frame, at, 28);
        let rotation = Rotation::along(0.8, 0.6);
        let patch = Patch::take(&region, Pose { at, rotation }, 8).unwrap();
        let shown = patch.rotated_middle(rotation, 8);
        for (dx, dy) in [(0_i32, 0_i32), (3, -4), (-5, 2), (0, 7)] {
            let k = ((dy + 8) * 17 + dx + 8) as usize;
            let plain = f32::from(value((30 + dx) as usize, (30 + dy) as usize));
            // Bilinear values of a sloping plane are exact, but for their rounding.
            assert!((shown[k] - plain).abs() < 0.01, "{dx} {dy}: {} {plain}", shown[k]);
        }
        assert_eq!(Patch::take(&region, Pose { at: at.moved(20.0, 0.0), rotation }, 8), None);
    }

    #[test]
    fn a_running_mean_of_patches_averages_their_noise() {
        let hill = |k: usize| 100 + (k % 60) as i32 / 2 + (k / 60) as i32 / 3;
        let taken = |seed: u64| {
            // Even levels from -10 to 10.
            let noisy = |(k, byte): (usize, &u8)| (hill(k) + i32::from(*byte) % 21 - 10) as u8;
            let bytes: Vec<u8> = noise(seed, 60 * 60).iter().enumerate().map(noisy).collect();
            let frame = GreyFrame::new(60, 60, 60, &bytes).unwrap();
            let at = ImagePoint { x_px: 30.0, y_px: 30.0 };
            let region = Region::around(frame, at, 28);
            Patch::take(&region, Pose { at, rotation: Rotation::IDENTITY }, 8).unwrap()
        };
        let off = |patch: &Patch| {
            let plain = |k: usize| hill((22 + k / 17) * 60 + 22 + k % 17) as f32;
            let squares = patch.values.iter().enumerate().map(|(k, v)| (v - plain(k)).powi(2));
            (squares.sum::<f32>() / 289.0).sqrt()
        };
        let mut patch = taken(1);
        let first = off(&patch);
        (2..30).for_each(|seed| patch.blend_in(&taken(seed), 0.3));
        // The root of 0.3 / 1.7 is 0.42.
        let ratio = off(&patch) / first;
        assert!((0.36..0.48).contains(&ratio), "{ratio}");
        // Gradients are blended alike: they are still central differences.
        let (v, right) = (&patch.values, &patch.gradients[0]);
        assert!((right[8 * 17 + 8] - 0.5 * (v[8 * 17 + 9] - v[8 * 17 + 7])).abs() < 1e-3);
    }
}
