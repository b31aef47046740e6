//! The camera from frame to frame: features off the runner are followed, and what most of them do is the camera.

use super::estimate::{Agreed, LEAST_AGREEING, agreed};
use super::similarity::{Correspondence, Similarity};
use crate::error::Error;
use crate::image::{GreyFrame, ImagePoint, LEVELS, Region, RegionPoint};
use crate::point::{FlowScratch, Match, Window, compare, correlation, flow_in_any_light};

/// Columns and rows of cells, in each of which the best feature is taken.
///
/// Chosen: at most 40 features; by trial on drawn clips, no record.
const CELLS: (usize, usize) = (8, 5);
/// Half the side of the region about a feature.
///
/// Chosen: at a quarter of the size, 14 px, it holds a window of 15 px that has moved 6 px: a pan of 24 px a frame.
const HALF_PX: usize = 56;
/// The window of a feature: half of 21 px, at half and a quarter of the picture's size.
///
/// Chosen: the texture of a wall is coarse and the noise of a sensor fine, so that halving leaves the one and takes three
/// quarters of the other. Settled at the full size after that, clean drawn pans came out at 0.9 px instead of 0.8.
const WINDOW: Window = Window { half_px: HALF_WINDOW_PX, levels: 1..LEVELS };
/// Half the side of that window: 42 px of the picture wide.
///
/// Chosen: the usual window of Lucas-Kanade.
const HALF_WINDOW_PX: usize = 10;
/// No feature is taken nearer to the picture's edge.
///
/// Chosen: the window and what its texture is computed from stay inside.
const EDGE_PX: usize = 32;
/// The runner is nowhere further from all markers than this share of the picture's height.
///
/// Chosen: by trial on drawn clips, no record; 115 px of 720 where the body is 400 to 550 px tall, a quarter of it.
const BODY_RATIO: f64 = 0.16;
/// Two features that fix a similarity are further apart than this share of the picture's height.
///
/// Chosen: nearer, their errors turn it; by trial on drawn clips, no record.
const APART_RATIO: f64 = 0.2;
/// Flow there and back may miss its start by this.
///
/// Chosen: by trial on drawn clips, no record.
const CLOSURE_PX: f64 = 0.5;
/// Places of a cell are tried so far apart.
///
/// Chosen: about half a window.
const TRIED_EVERY_PX: usize = 24;
/// Least mean square of both gradients of a feature at half the size, in squared grey levels.
///
/// Chosen: an edge of ten levels through the window.
const LEAST_TEXTURE: f64 = 4.0;
/// Least texture over mean square difference of the two windows, below which it may be noise.
///
/// White noise of `sigma` differs by `2 sigma^2` and, by central differences, has a texture of `sigma^2 / 2`: a quarter.
///
/// Chosen: above the most that features of nothing but noise have. A place is then good to `sqrt(1 / 441) = 0.05` pixels of
/// half the size.
const LEAST_TEXTURE_RATIO: f32 = 1.0;
/// New features are taken if fewer than this share are still in the picture.
///
/// Chosen: by trial on drawn clips, no record.
const LEAST_IN_VIEW_RATIO: f64 = 0.8;
/// Or if fewer than this share agree of those that did at best.
///
/// Chosen: noise lets one in four come and go.
const LEAST_AGREEING_RATIO: f64 = 0.6;
/// Or if the picture is rotated or scaled by this.
///
/// Chosen: half a pixel at a window's corner.
const MOST_CHANGE_RATIO: f64 = 0.02;
/// Shifted by this, a wall does not look as it does in place, unless it is of one shade.
///
/// Chosen: by trial on still clips with noise, no record.
const SHIFT_PX: f64 = 16.0;
/// Least sum of the features' mean correlation in place and of what it is higher by than any shifted one, for a picture that
/// stands in place.
///
/// Chosen: of a still camera the sum is 1.31 with noise of 5.5 grey levels and 0.80 with 17; in fourteen panned clips two of
/// some 1,100 frames were above 0.67, at 0.76 and 0.77.
const LEAST_ALIKE: f64 = 0.78;
/// A motion of so many standard errors is one.
///
/// Chosen: by chance alone once in some 250,000 places, were all errors normal.
const SIGNIFICANT_ERRORS: f64 = 5.0;
/// A camera whose corners seem to have moved by less is still.
///
/// Chosen: what coded pictures of a still wall may do.
const STILL_PX: f64 = 0.25;

/// What the camera did between two frames and since the first.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Motion {
    /// From a place in the first frame to that of the same thing in this one.
    pub since_first: Similarity,
    /// Root mean square miss of the features that agree, its quality; `None` if too few agree.
    pub residual_px: Option<f64>,
    /// How many features agree.
    pub agreeing: usize,
    /// Whether the camera has moved since the first frame.
    pub moving: bool,
    /// Whether the first frame's picture stands where it stood: also if too few agree because of noise, but not if something
    /// hides it or the camera has moved too far to be followed.
    pub in_place: bool,
}

impl Motion {
    /// The place in the first frame's picture, the ground frame, of a place in this one.
    #[must_use]
    pub fn on_ground(&self, at: ImagePoint) -> ImagePoint {
        self.since_first.inverse().apply(at)
    }
}

/// A piece of picture with texture.
#[derive(Debug)]
struct Feature {
    at: ImagePoint,
    region: Region,
}

impl Feature {
    fn point(&self) -> RegionPoint<'_> {
        self.region.point(self.at)
    }
}

/// The camera over one pass.
#[derive(Debug)]
pub struct Camera {
    size_px: (usize, usize),
    features: Vec<Feature>,
    /// From the first frame to the one that the features were taken from.
    anchor: Similarity,
    /// From that one to the last frame.
    since_anchor: Similarity,
    /// The motion in the last frame, which is the prediction for the next.
    step: Similarity,
    /// The most features that agreed in one frame.
    most: usize,
    /// Frames since features agreed last.
    unseen: usize,
    moving: bool,
    scratch: FlowScratch,
}

impl Camera {
    /// Begins at a frame; no feature is taken near `keep_out`, the markers on the runner.
    #[inline(never)]
    #[must_use]
    pub fn new(frame: GreyFrame<'_>, keep_out: &[ImagePoint]) -> Self {
        Self {
            size_px: (frame.width_px(), frame.height_px()),
            features: choose(frame, keep_out),
            anchor: Similarity::STILL,
            since_anchor: Similarity::STILL,
            step: Similarity::STILL,
            most: 0,
            unseen: 0,
            moving: false,
            scratch: FlowScratch::default(),
        }
    }

    /// Whether there are enough features beside the runner to distinguish a motion; a plain wall has none.
    #[must_use]
    pub fn can_distinguish(&self) -> bool {
        self.features.len() >= LEAST_AGREEING
    }

    /// Takes the next frame.
    ///
    /// Every frame is compared with the first one, so that no errors add up; under a camera that moves, with a later one once
    /// too little of the first is in view.
    ///
    /// # Errors
    /// If the frame is of another size than the first.
    #[inline(never)]
    pub fn step(&mut self, frame: GreyFrame<'_>, keep_out: &[ImagePoint]) -> Result<Motion, Error> {
        let now = (frame.width_px(), frame.height_px());
        if now != self.size_px {
            return Err(Error::Size { first: self.size_px, now });
        }
        let found = self.estimate(frame, keep_out);
        self.moving = self.moving || found.is_some_and(|agreed| self.is_significant(&agreed));
        if self.moving {
            self.advance(found.as_ref());
            self.unseen = if found.is_none() { self.unseen + 1 } else { 0 };
            if self.unseen > 1 || found.is_some_and(|agreed| self.is_leaving(&agreed)) {
                self.anchor = self.since_anchor.after(&self.anchor);
                self.since_anchor = Similarity::STILL;
                self.features = choose(frame, keep_out);
                self.most = 0;
            }
        }
        let in_place = !self.moving && (found.is_some() || self.is_in_place(frame, keep_out));
        Ok(Motion {
            in_place,
            since_first: self.since_anchor.after(&self.anchor),
            residual_px: found.map(|a| a.residual_px),
            agreeing: found.map_or(0, |a| a.agreeing),
            moving: self.moving,
        })
    }

    /// Goes to what was found; without that it goes on as it moved before.
    fn advance(&mut self, found: Option<&Agreed>) {
        let before = self.since_anchor;
        if let Some(agreed) = found {
            self.since_anchor = agreed.similarity;
            self.step = agreed.similarity.after(&before.inverse());
            self.most = self.most.max(agreed.agreeing);
        } else {
            self.since_anchor = self.step.after(&before);
        }
    }

    /// Whether the picture that the features were taken from is leaving the view, or is rotated or scaled too far.
    fn is_leaving(&self, agreed: &Agreed) -> bool {
        let Similarity { cosine_ratio: a, sine_ratio: b, .. } = agreed.similarity;
        let changed = (a - 1.0) * (a - 1.0) + b * b > MOST_CHANGE_RATIO * MOST_CHANGE_RATIO;
        let inside = |v: f64, size: usize| {
            (EDGE_PX as f64..size.saturating_sub(EDGE_PX) as f64).contains(&v)
        };
        let in_view = self
            .features
            .iter()
            .map(|feature| agreed.similarity.apply(feature.at))
            .filter(|p| inside(p.x_px, self.size_px.0) && inside(p.y_px, self.size_px.1));
        changed
            || (in_view.count() as f64) < LEAST_IN_VIEW_RATIO * self.features.len() as f64
            || (agreed.agreeing as f64) < LEAST_AGREEING_RATIO * self.most as f64
    }

    /// What most features did since they were taken.
    fn estimate(&mut self, frame: GreyFrame<'_>, keep_out: &[ImagePoint]) -> Option<Agreed> {
        let body_px = BODY_RATIO * self.size_px.1 as f64;
        let predicted = self.step.after(&self.since_anchor);
        let mut pairs = Vec::with_capacity(self.features.len());
        for feature in &self.features {
            let guess = predicted.apply(feature.at);
            if keep_out.iter().any(|p| p.distance_px(guess) < body_px) {
                continue;
            }
            let there = Region::around(frame, guess, HALF_PX);
            pairs.extend(follow(feature.point(), there.point(guess), &mut self.scratch));
        }
        agreed(&pairs, APART_RATIO * self.size_px.1 as f64)
    }

    /// Whether the features look together as they did where they were taken, though each by itself may be hidden in noise.
    fn is_in_place(&mut self, frame: GreyFrame<'_>, keep_out: &[ImagePoint]) -> bool {
        let body_px = BODY_RATIO * self.size_px.1 as f64;
        let free = |at: ImagePoint| keep_out.iter().all(|p| p.distance_px(at) >= body_px);
        let features = self.features.iter().filter(|feature| free(feature.at));
        let pairs: Vec<_> =
            features.map(|old| (old, Region::around(frame, old.at, HALF_PX))).collect();
        let mut mean = |x_px: f64, y_px: f64| {
            let one = |(old, new): &(&Feature, Region)| {
                let shifted = new.point(old.at.moved(x_px, y_px));
                correlation(old.point(), shifted, &WINDOW, &mut self.scratch)
            };
            pairs.iter().filter_map(one).map(f64::from).sum::<f64>() / pairs.len().max(1) as f64
        };
        let here = mean(0.0, 0.0);
        let shifts = [(SHIFT_PX, 0.0), (-SHIFT_PX, 0.0), (0.0, SHIFT_PX), (0.0, -SHIFT_PX)];
        let best_shifted = shifts.map(|(x, y)| mean(x, y)).into_iter().fold(-1.0, f64::max);
        pairs.len() >= LEAST_AGREEING && here + (here - best_shifted) > LEAST_ALIKE
    }

    /// Whether a motion since the first frame is more than the error of finding it, at a corner of the picture or in the midst
    /// of the features.
    fn is_significant(&self, found: &Agreed) -> bool {
        let (right, bottom) = (self.size_px.0 as f64, self.size_px.1 as f64);
        let corners = [(0.0, 0.0), (right, 0.0), (0.0, bottom), (right, bottom)];
        let places = corners.map(|(x_px, y_px)| ImagePoint { x_px, y_px });
        places.into_iter().chain([found.mean()]).any(|at| {
            let moved_px = found.similarity.apply(at).distance_px(at);
            moved_px > STILL_PX.max(SIGNIFICANT_ERRORS * found.error_px(at))
        })
    }
}

/// A feature and where it went, if it is found there and back and stands above the noise.
fn follow(
    from: RegionPoint<'_>,
    guess: RegionPoint<'_>,
    scratch: &mut FlowScratch,
) -> Option<Correspondence> {
    let there = guess.region.point(flow_in_any_light(from, guess, &WINDOW, scratch)?);
    let Match { texture, difference } = compare(from, there, &WINDOW, scratch)?;
    (texture > LEAST_TEXTURE_RATIO * difference).then_some(())?;
    let back = flow_in_any_light(there, from, &WINDOW, scratch)?;
    (back.distance_px(from.at) < CLOSURE_PX)
        .then_some(Correspondence { from: from.at, to: there.at })
}

/// The feature with most texture of each cell, away from the runner and the picture's edge.
fn choose(frame: GreyFrame<'_>, keep_out: &[ImagePoint]) -> Vec<Feature> {
    let body_px = BODY_RATIO * frame.height_px() as f64;
    let (wide, high) = (frame.width_px() / CELLS.0, frame.height_px() / CELLS.1);
    let cells = (0..CELLS.1).flat_map(|row| (0..CELLS.0).map(move |column| (column, row)));
    let best = cells.filter_map(|(column, row)| {
        let places = (0..high).step_by(TRIED_EVERY_PX).flat_map(|y| {
            (0..wide).step_by(TRIED_EVERY_PX).map(move |x| (column * wide + x, row * high + y))
        });
        let inside = |&(x, y): &(usize, usize)| {
            let room = |v: usize, size: usize| v >= EDGE_PX && v + EDGE_PX < size;
            room(x, frame.width_px()) && room(y, frame.height_px())
        };
        let mut best: Option<(f64, ImagePoint)> = None;
        for (x, y) in places.filter(inside) {
            let at = ImagePoint { x_px: x as f64, y_px: y as f64 };
            if keep_out.iter().any(|p| p.distance_px(at) < body_px) {
                continue;
            }
            let texture = texture(frame, x, y);
            if texture > best.map_or(LEAST_TEXTURE, |(most, _)| most) {
                best = Some((texture, at));
            }
        }
        best.map(|(_, at)| Feature { at, region: Region::around(frame, at, HALF_PX) })
    });
    best.collect()
}

/// The lesser eigenvalue of the mean of `grad grad^T` about a place, in a picture of half the size made of means of four
/// pixels, at every second pixel of the window.
///
/// Source: Shi, J. & Tomasi, C. (1994), Good features to track, CVPR 593-600.
fn texture(frame: GreyFrame<'_>, x: usize, y: usize) -> f64 {
    let half = 2 * HALF_WINDOW_PX;
    let (mut xx, mut xy, mut yy, mut count) = (0_i64, 0_i64, 0_i64, 0_i64);
    for row in (y - half..=y + half).step_by(4) {
        let lines = [row - 2, row - 1, row, row + 1, row + 2, row + 3].map(|r| frame.row(r));
        for column in (x - half..=x + half).step_by(4) {
            let two = |line: &[u8], c: usize| {
                line.get(c..c + 2).map_or(0, |v| v.iter().map(|v| i64::from(*v)).sum())
            };
            let four = |top: usize, c: usize| two(lines[top], c) + two(lines[top + 1], c);
            let across = four(2, column + 2) - four(2, column - 2);
            let down = four(4, column) - four(0, column);
            xx += across * across;
            xy += across * down;
            yy += down * down;
            // Sums of four pixels, two steps apart: eight times the gradient, squared.
            count += 64;
        }
    }
    let (xx, xy, yy) = (xx as f64, xy as f64, yy as f64);
    let spread = ((xx - yy) * (xx - yy) + 4.0 * xy * xy).sqrt();
    0.5 * (xx + yy - spread) / count.max(1) as f64
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::image::noise;

    /// A picture of noise with a deviation of 11 grey levels: the sum of three even numbers of 0 to 22.
    fn noisy(seed: u64) -> Vec<u8> {
        let even = noise(seed, 3 * 640 * 360);
        even.chunks_exact(3).map(|three| 95 + three.iter().map(|v| v % 23).sum::<u8>()).collect()
    }

    #[test]
    fn features_of_pure_noise_stay_well_below_the_least_texture() {
        let (one, other) = (noisy(7), noisy(8));
        let view = |bytes| GreyFrame::new(640, 360, 640, bytes).unwrap();
        let mut scratch = FlowScratch::default();
        let features = choose(view(&one), &[]);
        assert!(features.len() > 30, "{}", features.len());
        let ratio = |feature: &Feature| {
            let there = Region::around(view(&other), feature.at, HALF_PX);
            let guess = there.point(feature.at);
            let to = flow_in_any_light(feature.point(), guess, &WINDOW, &mut scratch)?;
            let seen = compare(feature.point(), there.point(to), &WINDOW, &mut scratch)?;
            Some(seen.texture / seen.difference)
        };
        let ratios: Vec<f32> = features.iter().filter_map(ratio).collect();
        let most = ratios.iter().copied().fold(0.0, f32::max);
        assert!(ratios.len() > 10 && most < 0.7 * LEAST_TEXTURE_RATIO, "{most} {ratios:?}");
    }
}
