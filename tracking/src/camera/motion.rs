//! The camera from frame to frame: features off the runner are followed, and what most of them do is the camera.

use super::Similarity;
use super::estimate::{Agreed, LEAST_AGREEING, agreed};
use crate::Error;
use crate::image::{GreyFrame, LEVELS, Pixel, Region};
use crate::point::{Match, Scratch, compare, correlation, flow_in_any_light};

/// Chosen: columns and rows of cells, in each of which the best piece of picture is taken: at most 40 pieces.
const CELLS: (usize, usize) = (8, 5);
/// Half the side of a piece. At a quarter of the size, 14 px, it holds a window of 15 px that has gone 6 px: a pan of
/// 24 px a frame.
const HALF_PX: usize = 56;
/// The finest scale that is looked at, half the picture's size: the texture of a wall is coarse and the noise of a sensor
/// fine, so that halving leaves the one and takes three quarters of the other.
///
/// Chosen: settled at the full size after that, clean drawn pans came out at 0.9 px in place of 0.8, all else alike.
const FINEST: usize = 1;
/// Half a window there: 21 of its pixels, 42 of the picture's.
const HALF_WINDOW_PX: usize = 10;
/// Chosen: no piece is taken nearer to the picture's edge.
const EDGE_PX: usize = 32;
/// Chosen: nothing of a runner is nearer than this share of the picture's height to no marker.
const BODY_RATIO: f64 = 0.16;
/// There and back may miss by so much.
const CLOSING_PX: f64 = 0.5;
/// Chosen: places every so many pixels are tried within a cell.
const TRIED_EVERY_PX: usize = 24;
/// Chosen: least mean square of both slopes of a piece at half the size, in squared grey levels: an edge of ten levels
/// through the window.
const LEAST_TEXTURE: f64 = 4.0;
/// Least texture over mean square difference of the two windows, below which it may be noise.
///
/// White noise of `sigma` differs by `2 sigma^2` and, by central differences, has a texture of `sigma^2 / 2`: a quarter.
/// Chosen: above the most that pieces of nothing but noise have. A place is then good to
/// `sqrt(1 / 441) = 0.05` pixels of half the size.
const LEAST_TEXTURE_RATIO: f32 = 1.0;
/// Chosen: new pieces are taken where fewer than this share of them are in the picture still.
const LEAST_IN_VIEW_RATIO: f64 = 0.8;
/// Chosen: or where fewer than this share of those agree that did at best; noise lets one in four come and go.
const LEAST_SEEN_RATIO: f64 = 0.6;
/// Chosen: or where the picture is turned or scaled by so much: half a pixel at a window's corner.
const MOST_TURN_RATIO: f64 = 0.02;
/// Chosen: so far aside a wall does not look as it does in place, unless it is of one shade.
const ASIDE_PX: f64 = 16.0;
/// Chosen: least mean correlation of the pieces, and what it is higher by than any aside, of a picture that stands in
/// place. Before a still camera they add up to 1.31 with noise of 5.5 grey levels and to 0.80 with 17; in fourteen
/// panned clips two of some 1,100 frames were above 0.67, at 0.76 and 0.77.
const LEAST_ALIKE: f64 = 0.78;
/// Chosen: a way of so many standard errors is one: by chance alone once in some 250,000 places were all else normal.
const SURE: f64 = 5.0;
/// Chosen: and a camera whose corners seem to have gone by less is still: what coded pictures of a still wall may do.
const STILL_PX: f64 = 0.25;

/// What the camera did between two frames and since the first.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Motion {
    /// From a place in the first frame to that of the same thing in this one.
    pub since_first: Similarity,
    /// Root mean square miss of the pieces that agree, its quality; `None` where too few agree.
    pub residual_px: Option<f64>,
    /// How many pieces agree.
    pub agreeing: usize,
    /// Whether the camera has moved since the first frame.
    pub moving: bool,
    /// Whether the first frame's picture stands where it stood: also where too few agree because of noise, but not where
    /// something hides it or the camera has gone too far to be followed.
    pub in_place: bool,
}

impl Motion {
    /// The place in the first frame's picture, the ground frame, of a place in this one.
    #[must_use]
    pub fn on_ground(&self, at: Pixel) -> Pixel {
        self.since_first.inverse().of(at)
    }
}

/// The camera over one pass.
#[derive(Debug)]
pub struct Camera {
    size_px: (usize, usize),
    pieces: Vec<(Pixel, Region)>,
    /// The picture the pieces were taken from, seen from the first frame.
    anchor: Similarity,
    /// The last frame, seen from that picture.
    since_anchor: Similarity,
    /// What it did in the last frame, which it will go on doing.
    step: Similarity,
    /// Most pieces of this picture that agreed in one frame.
    most: usize,
    /// Frames since the last in which anything was seen.
    unseen: usize,
    moving: bool,
    scratch: Scratch,
}

impl Camera {
    /// Begins at a frame; the surroundings of `keep_out`, the markers on the runner, are left aside.
    #[inline(never)]
    #[must_use]
    pub fn new(frame: GreyFrame<'_>, keep_out: &[Pixel]) -> Self {
        Self {
            size_px: (frame.width_px(), frame.height_px()),
            pieces: choose(frame, keep_out),
            anchor: Similarity::STILL,
            since_anchor: Similarity::STILL,
            step: Similarity::STILL,
            most: 0,
            unseen: 0,
            moving: false,
            scratch: Scratch::default(),
        }
    }

    /// Whether there is enough to be seen beside the runner to tell anything; a plain wall has nothing to hold on to.
    #[must_use]
    pub fn can_tell(&self) -> bool {
        self.pieces.len() >= LEAST_AGREEING
    }

    /// Takes the next frame.
    ///
    /// Every frame is held against the first one, so that nothing adds up; a camera that moves, against a later one
    /// once too little of that is seen.
    ///
    /// # Errors
    /// When the frame is of another size than the first.
    #[inline(never)]
    pub fn step(&mut self, frame: GreyFrame<'_>, keep_out: &[Pixel]) -> Result<Motion, Error> {
        let now = (frame.width_px(), frame.height_px());
        if now != self.size_px {
            return Err(Error::Size { first: self.size_px, now });
        }
        let found = self.look(frame, keep_out);
        self.moving = self.moving || found.is_some_and(|agreed| self.is_way(&agreed));
        if self.moving {
            self.go_on(found.as_ref());
            self.unseen = if found.is_none() { self.unseen + 1 } else { 0 };
            if self.unseen > 1 || found.is_some_and(|agreed| self.is_leaving(&agreed)) {
                self.anchor = self.since_anchor.after(&self.anchor);
                self.since_anchor = Similarity::STILL;
                self.pieces = choose(frame, keep_out);
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

    /// Goes where it was found; unseen it goes on as it did, and that nothing agreed is told.
    fn go_on(&mut self, found: Option<&Agreed>) {
        let before = self.since_anchor;
        if let Some(agreed) = found {
            self.since_anchor = agreed.similarity;
            self.step = agreed.similarity.after(&before.inverse());
            self.most = self.most.max(agreed.agreeing);
        } else {
            self.since_anchor = self.step.after(&before);
        }
    }

    /// Whether the picture the pieces were taken from is seen less and less, or is turned or scaled too far.
    fn is_leaving(&self, agreed: &Agreed) -> bool {
        let Similarity { cosine_ratio: a, sine_ratio: b, .. } = agreed.similarity;
        let turned = (a - 1.0) * (a - 1.0) + b * b > MOST_TURN_RATIO * MOST_TURN_RATIO;
        let inside = |v: f64, size: usize| {
            (EDGE_PX as f64..size.saturating_sub(EDGE_PX) as f64).contains(&v)
        };
        let in_view = self
            .pieces
            .iter()
            .map(|(at, _)| agreed.similarity.of(*at))
            .filter(|p| inside(p.x_px, self.size_px.0) && inside(p.y_px, self.size_px.1));
        turned
            || (in_view.count() as f64) < LEAST_IN_VIEW_RATIO * self.pieces.len() as f64
            || (agreed.agreeing as f64) < LEAST_SEEN_RATIO * self.most as f64
    }

    /// What most pieces did since they were taken.
    fn look(&mut self, frame: GreyFrame<'_>, keep_out: &[Pixel]) -> Option<Agreed> {
        let body_px = BODY_RATIO * self.size_px.1 as f64;
        let expected = self.step.after(&self.since_anchor);
        let mut pairs = Vec::with_capacity(self.pieces.len());
        for (at, region) in &self.pieces {
            let guess = expected.of(*at);
            if keep_out.iter().any(|p| p.distance_px(guess) < body_px) {
                continue;
            }
            let there = Region::around(frame, guess, HALF_PX);
            pairs.extend(followed((region, *at), (&there, guess), &mut self.scratch));
        }
        agreed(&pairs, 0.2 * self.size_px.1 as f64)
    }

    /// Whether the pieces look together as they did where they were taken, each by itself hidden in noise perhaps.
    fn is_in_place(&mut self, frame: GreyFrame<'_>, keep_out: &[Pixel]) -> bool {
        let body_px = BODY_RATIO * self.size_px.1 as f64;
        let free = |at: &Pixel| keep_out.iter().all(|p| p.distance_px(*at) >= body_px);
        let pieces = self.pieces.iter().filter(|(at, _)| free(at));
        let pairs: Vec<_> =
            pieces.map(|(at, old)| (*at, old, Region::around(frame, *at, HALF_PX))).collect();
        let window = (HALF_WINDOW_PX, FINEST..LEVELS);
        let mut mean = |x_px: f64, y_px: f64| {
            let one = |(at, old, new): &(Pixel, &Region, Region)| {
                let (from, to) = ((*old, *at), (new, at.moved(x_px, y_px)));
                correlation(from, to, &window, &mut self.scratch)
            };
            pairs.iter().filter_map(one).map(f64::from).sum::<f64>() / pairs.len().max(1) as f64
        };
        let here = mean(0.0, 0.0);
        let aside = [(ASIDE_PX, 0.0), (-ASIDE_PX, 0.0), (0.0, ASIDE_PX), (0.0, -ASIDE_PX)];
        let best_aside = aside.map(|(x, y)| mean(x, y)).into_iter().fold(-1.0, f64::max);
        pairs.len() >= LEAST_AGREEING && here + (here - best_aside) > LEAST_ALIKE
    }

    /// Whether what was seen against the first frame is more than what seeing it errs by, at a corner of the picture or
    /// in the midst of the pieces.
    fn is_way(&self, found: &Agreed) -> bool {
        let (right, bottom) = (self.size_px.0 as f64, self.size_px.1 as f64);
        let corners = [(0.0, 0.0), (right, 0.0), (0.0, bottom), (right, bottom)];
        let places = corners.map(|(x_px, y_px)| Pixel { x_px, y_px });
        places.into_iter().chain([found.middle()]).any(|at| {
            let way_px = found.similarity.of(at).distance_px(at);
            way_px > STILL_PX.max(SURE * found.error_px(at))
        })
    }
}

/// A piece and where it went, if it is found there and back and stands above the noise.
fn followed(
    from: (&Region, Pixel),
    to: (&Region, Pixel),
    scratch: &mut Scratch,
) -> Option<(Pixel, Pixel)> {
    let window = (HALF_WINDOW_PX, FINEST..LEVELS);
    let there = flow_in_any_light(from, to, &window, scratch)?;
    let Match { texture, difference } = compare(from, (to.0, there), &window, scratch)?;
    (texture > LEAST_TEXTURE_RATIO * difference).then_some(())?;
    let back = flow_in_any_light((to.0, there), from, &window, scratch)?;
    (back.distance_px(from.1) < CLOSING_PX).then_some((from.1, there))
}

/// The piece with most texture of each cell, away from the runner and the picture's edge.
fn choose(frame: GreyFrame<'_>, keep_out: &[Pixel]) -> Vec<(Pixel, Region)> {
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
        let mut best: Option<(f64, Pixel)> = None;
        for (x, y) in places.filter(inside) {
            let at = Pixel { x_px: x as f64, y_px: y as f64 };
            if keep_out.iter().any(|p| p.distance_px(at) < body_px) {
                continue;
            }
            let texture = texture(frame, x, y);
            if texture > best.map_or(LEAST_TEXTURE, |(most, _)| most) {
                best = Some((texture, at));
            }
        }
        best.map(|(_, at)| (at, Region::around(frame, at, HALF_PX)))
    });
    best.collect()
}

/// The lesser eigenvalue of the mean of `grad grad^T` about a place, in a picture of half the size made of means of four,
/// every second pixel of its window (Shi & Tomasi 1994, CVPR 593-600).
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
            // Sums of four pixels, two steps apart: eight times the slope.
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

    /// Noise of a deviation of 11 grey levels: the sum of three even numbers of 0 to 22 (xorshift, Marsaglia 2003).
    fn noise(mut state: u64) -> Vec<u8> {
        let mut even = || {
            state ^= state << 13;
            state ^= state >> 7;
            state ^= state << 17;
            (state >> 20) % 23
        };
        (0..640 * 360).map(|_| u8::try_from(95 + even() + even() + even()).unwrap()).collect()
    }

    #[test]
    fn pieces_of_nothing_but_noise_stay_well_below_what_counts() {
        let (one, other) = (noise(7), noise(8));
        let view = |bytes| GreyFrame::new(640, 360, 640, bytes).unwrap();
        let window = (HALF_WINDOW_PX, FINEST..LEVELS);
        let mut scratch = Scratch::default();
        let pieces = choose(view(&one), &[]);
        assert!(pieces.len() > 30, "{}", pieces.len());
        let ratio = |(at, region): &(Pixel, Region)| {
            let there = Region::around(view(&other), *at, HALF_PX);
            let to = flow_in_any_light((region, *at), (&there, *at), &window, &mut scratch)?;
            let seen = compare((region, *at), (&there, to), &window, &mut scratch)?;
            Some(seen.texture / seen.difference)
        };
        let ratios: Vec<f32> = pieces.iter().filter_map(ratio).collect();
        let most = ratios.iter().copied().fold(0.0, f32::max);
        assert!(ratios.len() > 10 && most < 0.7 * LEAST_TEXTURE_RATIO, "{most} {ratios:?}");
    }
}
