//! A patch found again moved and rotated: three unknowns by Gauss-Newton, held by a prior.
//!
//! Source: inverse compositional alignment after Baker, S. & Matthews, I. (2004), Lucas-Kanade 20 years on,
//! Int. J. Comput. Vis. 56:221-255; the prior enters as in any least squares.

use super::algebra::{dot, solve, sum3};
use super::patch::{Patch, PlaneTile, Pose, rotated_window};
use super::patch_window::{RigidScratch, centre, mean_and_deviation};
use super::rotation::Rotation;
use crate::image::Region;

/// Chosen: fits that settle do so in fewer; by trial on the worked clips, no record.
const MAX_ITERATIONS: usize = 10;
/// Step at which a fit ends.
///
/// Chosen: a tenth of what following skin can reach.
const SETTLED_PX: f64 = 0.05;
/// Steps after which a fit that agrees no better than [`HOPELESS`] is not continued.
///
/// Chosen: for time; by trial on the worked clips, no record.
const TRIES: usize = 2;
/// Correlation of a fit that is on something else.
///
/// Chosen: what the best wrong place usually has.
const HOPELESS: f32 = 0.4;
/// Grey levels by which a patch and its window differ though they show the same: noise, coding, another light.
///
/// Chosen: by trial on the worked clips, no record; the part of its window that a patch does not explain is added.
const NOISE: f32 = 5.0;
/// Pixels of a coded clip whose errors are one error.
///
/// Chosen: four, as with noise smoothed over two by two.
const TOGETHER: f32 = 4.0;
/// Pixels whose unexplained part is one error, when it is asked how firmly a place is held.
///
/// Chosen: ten by ten, which is what passes behind a limb, or its shade. A running fit counts it as noise, so that it moves.
/// With two terms of the merit, skin needed 15.6 corrections for 100 frames instead of 18.0.
const UNEXPLAINED_TOGETHER: f32 = 100.0;
/// Least sum of squared weights as a divisor.
///
/// Chosen: below that of any patch that is used.
const LEAST_WEIGHT_SQUARE: f32 = 1e-9;
/// The most that a patch is rotated in one step.
///
/// Chosen: so that its linear model holds.
const MOST_STEP_RAD: f64 = 0.3;

/// What is known of a pose before the fit, with standard deviations.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PosePrior {
    /// The pose.
    pub pose: Pose,
    /// Standard deviation of the place, each way.
    pub place_px: f64,
    /// Standard deviation of the rotation.
    pub rotation_rad: f64,
}

/// Where an alignment begins, its prior, and how far it may go.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AlignmentStart {
    /// Where it begins.
    pub pose: Pose,
    /// The prior.
    pub prior: PosePrior,
    /// The furthest from where it begins.
    pub reach_px: f64,
}

/// Where a patch was found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RigidFit {
    /// Where and how rotated.
    pub pose: Pose,
    /// Weighted correlation there.
    pub correlation: f32,
    /// Contrast there over the contrast of the patch.
    pub gain_ratio: f32,
    /// How firmly the picture holds the place: one over the variance, in the picture's axes, as xx, xy, yy. Along an edge it
    /// is near zero.
    pub hold_per_px2: [f64; 3],
}

impl Patch {
    /// How well a pose agrees, without moving it; the differences are left in the scratch.
    #[must_use]
    pub fn evaluate(
        &self,
        region: &Region,
        pose: Pose,
        weights: &[f32],
        scratch: &mut RigidScratch,
    ) -> Option<RigidFit> {
        Prepared::of(self, region, weights, scratch)?.finish(pose, scratch)
    }

    /// The correlation of [`Patch::evaluate`] for each of several patches of one size, which share one window.
    pub fn correlations<'p>(
        patches: impl Iterator<Item = &'p Patch>,
        region: &Region,
        pose: Pose,
        weights: &[f32],
        scratch: &mut RigidScratch,
    ) -> Vec<Option<f32>> {
        scratch.tile.clear();
        let mut shown: Option<(usize, f32, f32)> = None;
        let mut one = |patch: &Patch| {
            let (variance, RigidScratch { tile, window, centred, .. }) =
                (centre(patch, weights, scratch)?, &mut *scratch);
            let (mean, deviation) = match shown {
                Some((half, mean, deviation)) if half == patch.half_px => (mean, deviation),
                _ => {
                    let at = region.local(pose.at, 0);
                    let from = PlaneTile { plane: region.level(0), tile };
                    let read = |window: &mut Vec<f32>| {
                        rotated_window(from, at, pose.rotation, patch.half_px, window)
                    };
                    mean_and_deviation(read, weights, window)?
                }
            };
            shown = Some((patch.half_px, mean, deviation));
            let covariance = sum3(window, centred, weights);
            Some(covariance / (deviation * variance.sqrt()))
        };
        patches.map(&mut one).collect()
    }

    /// Settles the pose at the least weighted squares of the differences and of the distance from the prior; `None` if it
    /// leaves the region or goes further than its reach.
    ///
    /// `weights` are those of the pixels, with the sum one. Brightness and contrast are free.
    #[must_use]
    pub fn align(
        &self,
        region: &Region,
        start: &AlignmentStart,
        weights: &[f32],
        scratch: &mut RigidScratch,
    ) -> Option<RigidFit> {
        let prepared = Prepared::of(self, region, weights, scratch)?;
        let mut pose = start.pose;
        for done in 0..MAX_ITERATIONS {
            let window = prepared.window(pose, scratch)?;
            if done >= TRIES && window.correlation < HOPELESS {
                return Some(prepared.fit(pose, &window, scratch));
            }
            let [dx, dy, rotation_rad] = prepared.step(pose, &window, &start.prior, scratch)?;
            pose.at = pose.at.moved(dx, dy);
            pose.rotation = pose.rotation.then(Rotation::small_angle(rotation_rad));
            if pose.at.distance_px(start.pose.at) > start.reach_px {
                return None;
            }
            if dx * dx + dy * dy < SETTLED_PX * SETTLED_PX {
                // The window that was read so near by is that of this pose.
                return Some(prepared.fit(pose, &window, scratch));
            }
        }
        prepared.finish(pose, scratch)
    }
}

/// A window: its mean and standard deviation in grey levels, and its correlation with the patch.
struct WindowStatistics {
    mean: f32,
    deviation: f32,
    correlation: f32,
}

/// A patch and a picture, prepared for all iterations of a fit.
struct Prepared<'a> {
    patch: &'a Patch,
    region: &'a Region,
    weights: &'a [f32],
    contrast: f32,
    /// Weighted gram matrix of the gradients: xx, xy, yy, xt, yt, tt.
    gram: [f32; 6],
    /// Effective number of pixels: how many of one weight would count as much.
    effective: f32,
}

impl<'a> Prepared<'a> {
    fn of(
        patch: &'a Patch,
        region: &'a Region,
        weights: &'a [f32],
        scratch: &mut RigidScratch,
    ) -> Option<Self> {
        scratch.tile.clear();
        let variance = centre(patch, weights, scratch)?;
        let centred = &scratch.centred;
        for ((slope, free), weighted) in
            patch.gradients.iter().zip(&mut scratch.free).zip(&mut scratch.weighted)
        {
            let mean = dot(weights, slope);
            let along = sum3(slope, centred, weights) / variance;
            free.clear();
            free.extend(slope.iter().zip(centred.iter()).map(|(g, c)| g - mean - along * c));
            weighted.clear();
            weighted.extend(free.iter().zip(weights).map(|(g, w)| g * w));
        }
        let of = |a: usize, b: usize| dot(&scratch.free[a], &scratch.weighted[b]);
        let gram = [of(0, 0), of(0, 1), of(1, 1), of(0, 2), of(1, 2), of(2, 2)];
        let effective = 1.0 / dot(weights, weights).max(LEAST_WEIGHT_SQUARE);
        Some(Self { patch, region, weights, contrast: variance.sqrt(), gram, effective })
    }

    /// Reads the window at a pose into the scratch.
    fn window(&self, pose: Pose, scratch: &mut RigidScratch) -> Option<WindowStatistics> {
        let RigidScratch { tile, window, centred, .. } = scratch;
        let (at, half_px) = (self.region.local(pose.at, 0), self.patch.half_px);
        let from = PlaneTile { plane: self.region.level(0), tile };
        let read = |window: &mut Vec<f32>| rotated_window(from, at, pose.rotation, half_px, window);
        let (mean, deviation) = mean_and_deviation(read, self.weights, window)?;
        let covariance = sum3(window, centred, self.weights);
        let correlation = covariance / (deviation * self.contrast);
        Some(WindowStatistics { mean, deviation, correlation })
    }

    /// Weight of a squared grey level: one over the variance of noise and of the unexplained part of the window, each
    /// counted by how many pixels err together.
    fn grey_weight(&self, correlation: f32, unexplained_together: f32) -> f64 {
        let unexplained =
            self.contrast * self.contrast * (1.0 - correlation * correlation).max(0.0);
        f64::from(self.effective / (TOGETHER * NOISE * NOISE + unexplained_together * unexplained))
    }

    /// The step to the right, down and of the rotation from a pose whose window is in the scratch.
    fn step(
        &self,
        pose: Pose,
        statistics: &WindowStatistics,
        prior: &PosePrior,
        scratch: &mut RigidScratch,
    ) -> Option<[f64; 3]> {
        let worth = self.grey_weight(statistics.correlation, TOGETHER);
        let gain = self.contrast / statistics.deviation;
        // In the marker's axes; the gradients are free of brightness and contrast, so both drop out.
        let RigidScratch { window, weighted, .. } = scratch;
        let b = weighted.each_ref().map(|w| -worth * f64::from(gain * dot(w, window)));
        let (own_x, own_y) = pose.rotation.inverse().apply(prior.pose.at.minus(pose.at));
        let hold = 1.0 / (prior.place_px * prior.place_px);
        let hold_rotation = 1.0 / (prior.rotation_rad * prior.rotation_rad);
        let away_rad = pose.rotation.inverse().then(prior.pose.rotation).angle_rad();
        let g = self.gram.map(|g| worth * f64::from(g));
        let matrix = [g[0] + hold, g[1], g[2] + hold, g[3], g[4], g[5] + hold_rotation];
        let right = [b[0] + hold * own_x, b[1] + hold * own_y, b[2] + hold_rotation * away_rad];
        let [u, v, rotation_rad] = solve(matrix, right)?;
        let (dx, dy) = pose.rotation.apply((u, v));
        Some([dx, dy, rotation_rad.clamp(-MOST_STEP_RAD, MOST_STEP_RAD)])
    }

    fn finish(&self, pose: Pose, scratch: &mut RigidScratch) -> Option<RigidFit> {
        let statistics = self.window(pose, scratch)?;
        Some(self.fit(pose, &statistics, scratch))
    }

    /// The fit at a pose, from the window there.
    fn fit(
        &self,
        pose: Pose,
        statistics: &WindowStatistics,
        scratch: &mut RigidScratch,
    ) -> RigidFit {
        let WindowStatistics { mean, deviation, correlation } = *statistics;
        let gain = self.contrast / deviation;
        let RigidScratch { window, centred, residual, .. } = scratch;
        residual.clear();
        residual.extend(window.iter().zip(centred.iter()).map(|(v, c)| (v - mean) * gain - c));
        let worth = self.grey_weight(correlation, UNEXPLAINED_TOGETHER);
        let [xx, xy, yy, ..] = self.gram.map(|g| worth * f64::from(g));
        let Rotation { cos, sin } = pose.rotation;
        let hold_per_px2 = [
            cos * cos * xx - 2.0 * cos * sin * xy + sin * sin * yy,
            cos * sin * (xx - yy) + (cos * cos - sin * sin) * xy,
            sin * sin * xx + 2.0 * cos * sin * xy + cos * cos * yy,
        ];
        RigidFit { pose, correlation, gain_ratio: deviation / self.contrast, hold_per_px2 }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::image::{GreyFrame, ImagePoint};

    const HALF: usize = 10;

    fn hills(x: f64, y: f64) -> f64 {
        128.0 + 40.0 * (x / 5.0).sin() * (y / 6.0).cos() + 30.0 * ((x + 2.0 * y) / 9.0).sin()
    }

    /// The hills about (60, 60), rotated, moved, dimmed.
    fn picture(angle: f64, (mx, my): (f64, f64), gain: f64) -> Vec<u8> {
        let (sin, cos) = angle.sin_cos();
        let value = |k: usize| {
            let (dx, dy) = ((k % 120) as f64 - 60.0 - mx, (k / 120) as f64 - 60.0 - my);
            let own = hills(60.0 + cos * dx + sin * dy, 60.0 - sin * dx + cos * dy);
            (20.0 + gain * own).round().clamp(0.0, 255.0) as u8
        };
        (0..120 * 120).map(value).collect()
    }

    fn region(bytes: &[u8]) -> Region {
        let frame = GreyFrame::new(120, 120, 120, bytes).unwrap();
        Region::around(frame, ImagePoint { x_px: 60.0, y_px: 60.0 }, 50)
    }

    fn middle(rotation: Rotation) -> Pose {
        Pose { at: ImagePoint { x_px: 60.0, y_px: 60.0 }, rotation }
    }

    fn even() -> Vec<f32> {
        vec![1.0 / 441.0; 441]
    }

    fn loose(pose: Pose) -> AlignmentStart {
        let prior = PosePrior { pose, place_px: 50.0, rotation_rad: 5.0 };
        AlignmentStart { pose, prior, reach_px: 8.0 }
    }

    #[test]
    fn a_patch_that_moved_and_rotated_and_darkened_is_found() {
        let patch =
            Patch::take(&region(&picture(0.0, (0.0, 0.0), 1.0)), middle(Rotation::IDENTITY), HALF);
        let patch = patch.unwrap();
        for (angle, moved) in [(0.0, (0.4, -0.3)), (0.25, (1.7, -1.2)), (-0.3, (-0.8, 2.1))] {
            let there = region(&picture(angle, moved, 0.7));
            let start = loose(middle(Rotation::IDENTITY));
            let fit = patch.align(&there, &start, &even(), &mut RigidScratch::default()).unwrap();
            let (dx, dy) = fit.pose.at.minus(middle(Rotation::IDENTITY).at);
            // Whole grey levels and bilinear values on hills 30 px wide.
            assert!((dx - moved.0).abs() < 0.1 && (dy - moved.1).abs() < 0.1, "{fit:?}");
            assert!((fit.pose.rotation.sin - angle.sin()).abs() < 0.02, "{fit:?}");
            assert!(fit.correlation > 0.99 && (fit.gain_ratio - 0.7).abs() < 0.03, "{fit:?}");
        }
    }

    #[test]
    fn the_correlation_is_that_of_its_definition() {
        let here = region(&picture(0.1, (0.0, 0.0), 1.0));
        let there = region(&picture(0.3, (1.0, 0.5), 0.8));
        let patch = Patch::take(&here, middle(Rotation::IDENTITY), HALF).unwrap();
        let rotation = Rotation::small_angle(0.15);
        let mut scratch = RigidScratch::default();
        let fit = patch.evaluate(&there, middle(rotation), &even(), &mut scratch).unwrap();
        let other = Patch::take(&there, middle(rotation), HALF).unwrap();
        let mean = |v: &[f32]| v.iter().map(|x| f64::from(*x)).sum::<f64>() / 441.0;
        let (a, b) = (patch.values(), other.values());
        let (ma, mb) = (mean(a), mean(b));
        let (mut ab, mut aa, mut bb) = (0.0, 0.0, 0.0);
        for (x, y) in a.iter().zip(b) {
            let (x, y) = (f64::from(*x) - ma, f64::from(*y) - mb);
            ab += x * y;
            aa += x * x;
            bb += y * y;
        }
        let plain = ab / (aa * bb).sqrt();
        // Sums of 441 single precision values.
        assert!((f64::from(fit.correlation) - plain).abs() < 1e-4, "{fit:?} {plain}");
    }

    #[test]
    fn correlations_of_many_are_those_of_each() {
        let here = region(&picture(0.1, (0.0, 0.0), 1.0));
        let there = region(&picture(0.3, (1.0, 0.5), 0.8));
        let takes =
            [0.0, 0.2].map(|a| Patch::take(&here, middle(Rotation::small_angle(a)), HALF).unwrap());
        let (pose, mut scratch) = (middle(Rotation::small_angle(0.15)), RigidScratch::default());
        let many = Patch::correlations(takes.iter(), &there, pose, &even(), &mut scratch);
        let each = takes.each_ref().map(|p| p.evaluate(&there, pose, &even(), &mut scratch));
        assert_eq!(many, each.map(|fit| fit.map(|f| f.correlation)));
    }

    #[test]
    fn along_an_edge_the_prior_decides() {
        let edge: Vec<u8> = (0..120 * 120).map(|k| if k % 120 < 60 { 60 } else { 180 }).collect();
        let edge = region(&edge);
        let patch = Patch::take(&edge, middle(Rotation::IDENTITY), HALF).unwrap();
        let at = ImagePoint { x_px: 62.0, y_px: 63.0 };
        let pose = Pose { at, rotation: Rotation::IDENTITY };
        let prior = PosePrior { pose, place_px: 2.0, rotation_rad: 0.1 };
        let start = AlignmentStart { pose, prior, reach_px: 5.0 };
        let fit = patch.align(&edge, &start, &even(), &mut RigidScratch::default()).unwrap();
        assert!((fit.pose.at.x_px - 60.0).abs() < 0.1, "{fit:?}");
        assert!((fit.pose.at.y_px - 63.0).abs() < 0.1, "{fit:?}");
        assert!(fit.hold_per_px2[0] > 1.0 && fit.hold_per_px2[2] < 0.01, "{fit:?}");
    }
}
