//! A patch found again moved and turned: three unknowns by Gauss-Newton, held by what was expected.
//!
//! Source: inverse compositional alignment after Baker, S. & Matthews, I. (2004), Lucas-Kanade 20 years on,
//! Int. J. Comput. Vis. 56:221-255; the expectation enters as in any least squares with a prior.

use super::algebra::solve;
use super::algebra::{dot, sum2, sum3};
use super::patch::{Patch, Pose, turned_window};
use super::turn::Turn;
use crate::image::{Region, Tile};

const MAX_ITERATIONS: usize = 10;
/// Chosen: a tenth of what following skin can reach.
const SETTLED_PX: f64 = 0.05;
/// Chosen: what agrees no better than this after so many steps is something else, and is not followed on.
const TRIES: usize = 2;
const HOPELESS: f32 = 0.4;
/// Chosen: grey levels by which a patch and its window differ though they show the same: noise, coding, another light.
/// What the patch misses of its window is added.
const NOISE: f32 = 5.0;
/// Chosen: pixels of a coded clip that err together; four, as with noise smoothed over two by two.
const TOGETHER: f32 = 4.0;
/// Chosen: pixels that what a patch misses errs together in, where it is asked how firmly a place is held: ten by ten, for
/// that is what passes behind a limb, or its shade. A fit that is under way counts it as noise, so that it moves.
const MISSED_TOGETHER: f32 = 100.0;
/// Chosen: a patch of fewer squared grey levels is flat, whatever is done.
const LEAST_VARIANCE: f32 = 0.1;
/// Chosen: the most a patch is turned in one step, so that its linear model holds.
const MOST_TURN_RAD: f64 = 0.3;

/// What is expected of a pose, with its standard deviations.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Expectation {
    /// The pose.
    pub pose: Pose,
    /// Of the place, each way.
    pub place_px: f64,
    /// Of the turn.
    pub turn_rad: f64,
}

/// Where a fit begins, what is expected, and how far it may go.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Aim {
    /// Where it begins.
    pub start: Pose,
    /// What is expected.
    pub expected: Expectation,
    /// The furthest from where it begins.
    pub reach_px: f64,
}

/// Where a patch was found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TurnedFit {
    /// Where and how turned.
    pub pose: Pose,
    /// Weighted correlation there.
    pub correlation: f32,
    /// Contrast there over the contrast of the patch.
    pub gain_ratio: f32,
    /// How firmly the picture holds the place, in the picture's axes, as one over the variance in squared pixels:
    /// xx, xy, yy. Along an edge it is near zero.
    pub hold_per_px2: [f64; 3],
}

/// Buffers of a fit, kept from call to call.
#[derive(Clone, Debug, Default)]
pub struct TurnedScratch {
    tile: Tile,
    window: Vec<f32>,
    centred: Vec<f32>,
    weighted: [Vec<f32>; 3],
    free: [Vec<f32>; 3],
    /// The last fit's differences, in grey levels, in the marker's own axes.
    pub residual: Vec<f32>,
}

impl Patch {
    /// How well a pose agrees, without moving it; the differences are left in the scratch.
    #[must_use]
    pub fn look(
        &self,
        region: &Region,
        pose: Pose,
        weights: &[f32],
        scratch: &mut TurnedScratch,
    ) -> Option<TurnedFit> {
        Frame::of(self, region, weights, scratch)?.finish(pose, scratch)
    }

    /// The correlation that [`Patch::look`] has for each of several patches of one size, which share one window.
    pub fn correlations<'p>(
        patches: impl Iterator<Item = &'p Patch>,
        (region, pose): (&Region, Pose),
        weights: &[f32],
        scratch: &mut TurnedScratch,
    ) -> Vec<Option<f32>> {
        scratch.tile.clear();
        let mut shown: Option<(usize, f32, f32)> = None;
        let mut one = |patch: &Patch| {
            let (variance, TurnedScratch { tile, window, centred, .. }) =
                (centre(patch, weights, scratch)?, &mut *scratch);
            let (mean, deviation) = match shown {
                Some((half, mean, deviation)) if half == patch.half_px => (mean, deviation),
                _ => spread(patch.half_px, (region, pose), weights, (tile, window))?,
            };
            shown = Some((patch.half_px, mean, deviation));
            let covariance = sum3(window, centred, weights);
            Some(covariance / (deviation * variance.sqrt()))
        };
        patches.map(&mut one).collect()
    }

    /// Settles the pose where the weighted squares of the differences and of the way from what was expected
    /// are least; `None` where it leaves the region or goes further than is allowed.
    ///
    /// `weights` are of the pixels, with the sum one. Brightness and contrast are free.
    #[must_use]
    pub fn settle(
        &self,
        region: &Region,
        aim: &Aim,
        weights: &[f32],
        scratch: &mut TurnedScratch,
    ) -> Option<TurnedFit> {
        let frame = Frame::of(self, region, weights, scratch)?;
        let mut pose = aim.start;
        for done in 0..MAX_ITERATIONS {
            let seen = frame.window(pose, scratch)?;
            if done >= TRIES && seen.correlation < HOPELESS {
                return Some(frame.fit(pose, &seen, scratch));
            }
            let [dx, dy, turn_rad] = frame.step((pose, &seen), &aim.expected, scratch)?;
            pose.at = pose.at.moved(dx, dy);
            pose.turn = pose.turn.then(Turn::small(turn_rad));
            if pose.at.distance_px(aim.start.at) > aim.reach_px {
                return None;
            }
            if dx * dx + dy * dy < SETTLED_PX * SETTLED_PX {
                // What was read so near by is what is there.
                return Some(frame.fit(pose, &seen, scratch));
            }
        }
        frame.finish(pose, scratch)
    }
}

/// What a window shows: its mean and standard deviation in grey levels, and its correlation with the patch.
struct Seen {
    mean: f32,
    deviation: f32,
    correlation: f32,
}

/// A patch in a picture: what of them is the same in all iterations.
struct Frame<'a> {
    patch: &'a Patch,
    region: &'a Region,
    weights: &'a [f32],
    contrast: f32,
    /// Weighted gram of the slopes: xx, xy, yy, xt, yt, tt.
    gram: [f32; 6],
    /// Pixels that count, were all of one weight.
    effective: f32,
}

impl<'a> Frame<'a> {
    fn of(
        patch: &'a Patch,
        region: &'a Region,
        weights: &'a [f32],
        scratch: &mut TurnedScratch,
    ) -> Option<Self> {
        scratch.tile.clear();
        let variance = centre(patch, weights, scratch)?;
        let centred = &scratch.centred;
        for ((slope, free), weighted) in
            patch.slopes.iter().zip(&mut scratch.free).zip(&mut scratch.weighted)
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
        let effective = 1.0 / dot(weights, weights).max(1e-9);
        Some(Self { patch, region, weights, contrast: variance.sqrt(), gram, effective })
    }

    /// What the window at a pose shows; it is left in the scratch.
    fn window(&self, pose: Pose, scratch: &mut TurnedScratch) -> Option<Seen> {
        let TurnedScratch { tile, window, centred, .. } = scratch;
        let place = (self.region, pose);
        let (mean, deviation) = spread(self.patch.half_px, place, self.weights, (tile, window))?;
        let covariance = sum3(window, centred, self.weights);
        Some(Seen { mean, deviation, correlation: covariance / (deviation * self.contrast) })
    }

    /// How much a squared grey level counts: the noise and what the patch misses of its window make it less, each by
    /// its variance and by how many pixels err together.
    fn worth(&self, correlation: f32, missed_together: f32) -> f64 {
        let missed = self.contrast * self.contrast * (1.0 - correlation * correlation).max(0.0);
        f64::from(self.effective / (TOGETHER * NOISE * NOISE + missed_together * missed))
    }

    /// The step right, down and about from a pose whose window is in the scratch.
    fn step(
        &self,
        (pose, seen): (Pose, &Seen),
        expected: &Expectation,
        scratch: &mut TurnedScratch,
    ) -> Option<[f64; 3]> {
        let worth = self.worth(seen.correlation, TOGETHER);
        let gain = self.contrast / seen.deviation;
        // In the marker's axes; the slopes are free of brightness and contrast, so both drop out.
        let TurnedScratch { window, weighted, .. } = scratch;
        let b = weighted.each_ref().map(|w| -worth * f64::from(gain * dot(w, window)));
        let (own_x, own_y) = pose.turn.back().of(expected.pose.at.from(pose.at));
        let hold = 1.0 / (expected.place_px * expected.place_px);
        let hold_turn = 1.0 / (expected.turn_rad * expected.turn_rad);
        let way_turn = pose.turn.back().then(expected.pose.turn).angle_rad();
        let g = self.gram.map(|g| worth * f64::from(g));
        let matrix = [g[0] + hold, g[1], g[2] + hold, g[3], g[4], g[5] + hold_turn];
        let right = [b[0] + hold * own_x, b[1] + hold * own_y, b[2] + hold_turn * way_turn];
        let [u, v, turn_rad] = solve(matrix, right)?;
        let (dx, dy) = pose.turn.of((u, v));
        Some([dx, dy, turn_rad.clamp(-MOST_TURN_RAD, MOST_TURN_RAD)])
    }

    fn finish(&self, pose: Pose, scratch: &mut TurnedScratch) -> Option<TurnedFit> {
        let seen = self.window(pose, scratch)?;
        Some(self.fit(pose, &seen, scratch))
    }

    /// A fit at a pose, by what was seen there.
    fn fit(&self, pose: Pose, seen: &Seen, scratch: &mut TurnedScratch) -> TurnedFit {
        let Seen { mean, deviation, correlation } = *seen;
        let gain = self.contrast / deviation;
        let TurnedScratch { window, centred, residual, .. } = scratch;
        residual.clear();
        residual.extend(window.iter().zip(centred.iter()).map(|(v, c)| (v - mean) * gain - c));
        let worth = self.worth(correlation, MISSED_TOGETHER);
        let [xx, xy, yy, ..] = self.gram.map(|g| worth * f64::from(g));
        let Turn { cos, sin } = pose.turn;
        let hold_per_px2 = [
            cos * cos * xx - 2.0 * cos * sin * xy + sin * sin * yy,
            cos * sin * (xx - yy) + (cos * cos - sin * sin) * xy,
            sin * sin * xx + 2.0 * cos * sin * xy + cos * cos * yy,
        ];
        TurnedFit { pose, correlation, gain_ratio: deviation / self.contrast, hold_per_px2 }
    }
}

/// Leaves a patch's values in the scratch with their mean taken off; their variance, `None` where they are flat.
fn centre(patch: &Patch, weights: &[f32], scratch: &mut TurnedScratch) -> Option<f32> {
    let mean = dot(weights, &patch.values);
    let centred = &mut scratch.centred;
    centred.clear();
    centred.extend(patch.values.iter().map(|v| v - mean));
    let variance = sum2(centred, weights, |v, w| v * v * w);
    (variance > LEAST_VARIANCE).then_some(variance)
}

/// Reads the window at a pose; its mean and standard deviation, `None` where it leaves the region.
fn spread(
    half_px: usize,
    (region, pose): (&Region, Pose),
    weights: &[f32],
    (tile, window): (&mut Tile, &mut Vec<f32>),
) -> Option<(f32, f32)> {
    let at = region.local(pose.at, 0);
    turned_window((region.level(0), tile), at, pose.turn, half_px, window).then_some(())?;
    let mean = dot(weights, window);
    let variance = sum2(window, weights, |v, w| (v - mean) * (v - mean) * w);
    Some((mean, variance.sqrt().max(0.5)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::image::{GreyFrame, Pixel};

    const HALF: usize = 10;

    fn hills(x: f64, y: f64) -> f64 {
        128.0 + 40.0 * (x / 5.0).sin() * (y / 6.0).cos() + 30.0 * ((x + 2.0 * y) / 9.0).sin()
    }

    /// The hills about (60, 60), turned, moved, dimmed.
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
        Region::around(frame, Pixel { x_px: 60.0, y_px: 60.0 }, 50)
    }

    fn middle(turn: Turn) -> Pose {
        Pose { at: Pixel { x_px: 60.0, y_px: 60.0 }, turn }
    }

    fn even() -> Vec<f32> {
        vec![1.0 / 441.0; 441]
    }

    fn loose(pose: Pose) -> Aim {
        Aim {
            start: pose,
            expected: Expectation { pose, place_px: 50.0, turn_rad: 5.0 },
            reach_px: 8.0,
        }
    }

    #[test]
    fn a_patch_that_moved_and_turned_and_darkened_is_found() {
        let patch = Patch::take(&region(&picture(0.0, (0.0, 0.0), 1.0)), middle(Turn::NONE), HALF);
        let patch = patch.unwrap();
        for (angle, moved) in [(0.0, (0.4, -0.3)), (0.25, (1.7, -1.2)), (-0.3, (-0.8, 2.1))] {
            let there = region(&picture(angle, moved, 0.7));
            let aim = loose(middle(Turn::NONE));
            let fit = patch.settle(&there, &aim, &even(), &mut TurnedScratch::default()).unwrap();
            let (dx, dy) = fit.pose.at.from(middle(Turn::NONE).at);
            // Whole grey levels and bilinear values on hills 30 px wide.
            assert!((dx - moved.0).abs() < 0.1 && (dy - moved.1).abs() < 0.1, "{fit:?}");
            assert!((fit.pose.turn.sin - angle.sin()).abs() < 0.02, "{fit:?}");
            assert!(fit.correlation > 0.99 && (fit.gain_ratio - 0.7).abs() < 0.03, "{fit:?}");
        }
    }

    #[test]
    fn the_correlation_is_that_of_the_plain_sums() {
        let here = region(&picture(0.1, (0.0, 0.0), 1.0));
        let there = region(&picture(0.3, (1.0, 0.5), 0.8));
        let patch = Patch::take(&here, middle(Turn::NONE), HALF).unwrap();
        let turn = Turn::small(0.15);
        let mut scratch = TurnedScratch::default();
        let fit = patch.look(&there, middle(turn), &even(), &mut scratch).unwrap();
        let other = Patch::take(&there, middle(turn), HALF).unwrap();
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
        let takes = [0.0, 0.2].map(|a| Patch::take(&here, middle(Turn::small(a)), HALF).unwrap());
        let (pose, mut scratch) = (middle(Turn::small(0.15)), TurnedScratch::default());
        let many = Patch::correlations(takes.iter(), (&there, pose), &even(), &mut scratch);
        let each = takes.each_ref().map(|p| p.look(&there, pose, &even(), &mut scratch));
        assert_eq!(many, each.map(|fit| fit.map(|f| f.correlation)));
    }

    #[test]
    fn along_an_edge_the_expectation_decides() {
        let edge: Vec<u8> = (0..120 * 120).map(|k| if k % 120 < 60 { 60 } else { 180 }).collect();
        let edge = region(&edge);
        let patch = Patch::take(&edge, middle(Turn::NONE), HALF).unwrap();
        let expected = Pose { at: Pixel { x_px: 62.0, y_px: 63.0 }, turn: Turn::NONE };
        let aim = Aim {
            start: expected,
            expected: Expectation { pose: expected, place_px: 2.0, turn_rad: 0.1 },
            reach_px: 5.0,
        };
        let fit = patch.settle(&edge, &aim, &even(), &mut TurnedScratch::default()).unwrap();
        assert!((fit.pose.at.x_px - 60.0).abs() < 0.1, "{fit:?}");
        assert!((fit.pose.at.y_px - 63.0).abs() < 0.1, "{fit:?}");
        assert!(fit.hold_per_px2[0] > 1.0 && fit.hold_per_px2[2] < 0.01, "{fit:?}");
    }
}
