//! The camera from frame to frame: features off the runner are followed, and what most of them do is the camera.

use super::Similarity;
use super::estimate::{Agreed, LEAST_AGREEING, agreed};
use crate::Error;
use crate::image::{GreyFrame, Pixel, Region};
use crate::point::{Scratch, flow};

/// Chosen: columns and rows of cells, in each of which the best piece of picture is taken: at most 40 pieces.
const CELLS: (usize, usize) = (8, 5);
/// Half the side of a piece. Its quarter-size window finds a pan of 20 px a frame.
const HALF_PX: usize = 32;
/// Half a window of 21 pixels.
const WINDOW_PX: usize = 10;
/// Chosen: nothing of a runner is nearer than this share of the picture's height to no marker.
const BODY_RATIO: f64 = 0.16;
/// There and back may miss by so much.
const CLOSING_PX: f64 = 0.5;
/// Chosen: places every so many pixels are tried within a cell.
const TRIED_EVERY_PX: usize = 16;
/// Chosen: least mean square of both slopes of a piece, in squared grey levels; coded noise has about 2.
const LEAST_TEXTURE: f64 = 4.0;
/// Chosen: a camera whose corners seem to move by less in one frame, and by less in all since, is still: five
/// times what the fit of forty places of 0.1 px leaves at a corner.
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
    last: Similarity,
    /// What it did in the last frame, which it will go on doing.
    step: Similarity,
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
            last: Similarity::STILL,
            step: Similarity::STILL,
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
    /// While the camera is still, every frame is held against the first one, so that nothing adds up; once it
    /// moves, against the frame before.
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
        if let Some(agreed) = &found {
            let since_first = agreed.similarity.after(&self.anchor);
            self.moving |= self.corner_way_px(&since_first) > STILL_PX;
            if self.moving {
                self.last = since_first;
                self.step = agreed.similarity;
            }
        }
        if found.is_none() && self.moving {
            // Unseen it goes on as it did; that nothing agreed is told.
            self.last = self.step.after(&self.last);
        }
        if self.moving {
            self.anchor = self.last;
            self.pieces = choose(frame, keep_out);
        }
        Ok(Motion {
            since_first: self.last,
            residual_px: found.map(|a| a.residual_px),
            agreeing: found.map_or(0, |a| a.agreeing),
            moving: self.moving,
        })
    }

    /// What most pieces did since they were taken.
    fn look(&mut self, frame: GreyFrame<'_>, keep_out: &[Pixel]) -> Option<Agreed> {
        let body_px = BODY_RATIO * self.size_px.1 as f64;
        let mut pairs = Vec::with_capacity(self.pieces.len());
        for (at, region) in &self.pieces {
            let guess = self.step.of(*at);
            if keep_out.iter().any(|p| p.distance_px(guess) < body_px) {
                continue;
            }
            let there = Region::around(frame, guess, HALF_PX);
            let scratch = &mut self.scratch;
            let found = flow((region, *at), (&there, guess), WINDOW_PX, scratch);
            let Some(to) = found else { continue };
            let back = flow((&there, to), (region, *at), WINDOW_PX, scratch);
            if back.is_some_and(|b| b.distance_px(*at) < CLOSING_PX) {
                pairs.push((*at, to));
            }
        }
        agreed(&pairs, 0.2 * self.size_px.1 as f64)
    }

    /// The furthest way of a corner of the picture.
    fn corner_way_px(&self, similarity: &Similarity) -> f64 {
        let (right, bottom) = (self.size_px.0 as f64, self.size_px.1 as f64);
        let corners = [(0.0, 0.0), (right, 0.0), (0.0, bottom), (right, bottom)];
        let way = |(x_px, y_px)| {
            let at = Pixel { x_px, y_px };
            similarity.of(at).distance_px(at)
        };
        corners.map(way).into_iter().fold(0.0, f64::max)
    }
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
            let room = |v: usize, size: usize| v >= HALF_PX && v + HALF_PX < size;
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

/// The lesser eigenvalue of the mean of `grad grad^T` about a place, every second pixel of its window
/// (Shi & Tomasi 1994, CVPR 593-600).
fn texture(frame: GreyFrame<'_>, x: usize, y: usize) -> f64 {
    let (mut xx, mut xy, mut yy, mut count) = (0_i64, 0_i64, 0_i64, 0_i64);
    for row in (y - WINDOW_PX..=y + WINDOW_PX).step_by(2) {
        let (above, line, below) = (frame.row(row - 1), frame.row(row), frame.row(row + 1));
        for column in (x - WINDOW_PX..=x + WINDOW_PX).step_by(2) {
            let value = |row: &[u8], c: usize| i64::from(row.get(c).copied().unwrap_or(0));
            let across = value(line, column + 1) - value(line, column - 1);
            let down = value(below, column) - value(above, column);
            xx += across * across;
            xy += across * down;
            yy += down * down;
            count += 4;
        }
    }
    let (xx, xy, yy) = (xx as f64, xy as f64, yy as f64);
    let spread = ((xx - yy) * (xx - yy) + 4.0 * xy * xy).sqrt();
    0.5 * (xx + yy - spread) / count.max(1) as f64
}
