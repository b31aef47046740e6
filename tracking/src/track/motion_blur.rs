//! How far a sticker is blurred by its own motion while the shutter is open.

use super::appearance::discriminate;
use crate::image::{GreyFrame, ImagePoint, Mix, Region};
use crate::point::{Fitter, Template, parabola_vertex};
use crate::scales::{BLOB_RADII_HALF_PX, LEAST_BLURRED_MOTION_PX};

/// Frames of each extreme.
///
/// Chosen: the sticker may be turned away in one.
const FRAMES: usize = 5;
/// What a window is larger than the sticker.
///
/// Chosen: so that its edge and something of its background count.
const MARGIN_PX: usize = 4;
/// Half pixels to each side in which a place is searched.
///
/// Chosen: a place is known to two pixels.
const REACH: i32 = 4;
/// Least correlation of the blurred sticker with the picture.
///
/// Chosen: what agrees less, however blurred, is not that sticker.
const LEAST_CORRELATION: f32 = 0.7;
/// How far a place is settled after that.
///
/// Chosen: two of the steps at which it is searched.
const SETTLED_PX: f32 = 1.0;
/// Places at which the sticker is read, per pixel of blur.
///
/// Chosen: the bilinear value between them is then as good as the integral.
const READS_PER_PX: usize = 2;
/// Half the side of the region that is kept.
///
/// Exact: the largest sticker with its margin, blurred by as much, and what bilinear values and the settling need besides.
const HALF_PX: usize = 2 * (*BLOB_RADII_HALF_PX.end() / 2 + MARGIN_PX) + 6;

/// A frame in which a marker moves, by its index, and its motion there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MovingFrame {
    /// The index among its places.
    pub index: usize,
    /// Motion from one frame to the next.
    pub motion_px: (f64, f64),
}

/// The frames in which a marker moves least and most.
#[derive(Clone, Debug, PartialEq)]
pub struct MotionExtremes {
    /// Indices of those in which it moves least, the stillest first.
    pub stillest: Vec<usize>,
    /// Those in which it moves most, the fastest first.
    pub fastest: Vec<MovingFrame>,
}

impl MotionExtremes {
    /// Those of a marker's places in successive frames, `None` for one in which it was not seen; `None` if it was never seen in
    /// three frames running.
    ///
    /// The motion at frame `k` is `(p(k + 1) - p(k - 1)) / 2`.
    #[must_use]
    pub fn of(places: &[Option<ImagePoint>]) -> Option<Self> {
        let motion = |(k, three): (usize, &[Option<ImagePoint>])| match three {
            [Some(before), Some(_), Some(after)] => {
                let (dx, dy) = after.minus(*before);
                Some(MovingFrame { index: k + 1, motion_px: (dx / 2.0, dy / 2.0) })
            }
            _ => None,
        };
        let mut motions: Vec<MovingFrame> =
            places.windows(3).enumerate().filter_map(motion).collect();
        let square = |frame: &MovingFrame| {
            let (dx, dy) = frame.motion_px;
            dx * dx + dy * dy
        };
        motions.sort_by(|a, b| square(b).total_cmp(&square(a)));
        motions.last()?;
        let stillest = motions.iter().rev().take(FRAMES).map(|frame| frame.index).collect();
        motions.truncate(FRAMES);
        Some(Self { stillest, fastest: motions })
    }
}

/// A sticker as it looks in a frame in which it hardly moves.
#[derive(Clone, Debug)]
pub struct MotionBlur {
    still: Region,
    at: ImagePoint,
    mix: Mix,
    half_px: usize,
}

/// A direction of length one.
#[derive(Clone, Copy)]
struct Direction {
    x: f32,
    y: f32,
}

impl MotionBlur {
    /// Least motion from one frame to the next of which the blur is measured.
    ///
    /// Chosen: what moves less is not blurred by as much as can be measured.
    pub const LEAST_MOTION_PX: f64 = LEAST_BLURRED_MOTION_PX;

    /// Remembers the sticker at a place; `None` if there is none.
    #[must_use]
    #[inline(never)]
    pub fn of(frame: GreyFrame<'_>, at: ImagePoint) -> Option<Self> {
        let found = discriminate(frame, at, HALF_PX);
        let blob = found.blob.filter(|_| found.is_even)?;
        let half_px = blob.radius_px as usize + MARGIN_PX;
        Some(Self { still: found.region, at: blob.centre, mix: found.mix, half_px })
    }

    /// The longest blur that can be measured: the width of the window.
    #[must_use]
    pub fn most_px(&self) -> f64 {
        2.0 * self.half_px as f64
    }

    /// The length in pixels over which the sticker is blurred in another picture, near a place, if it moves so far from one
    /// frame to the next; [`MotionBlur::most_px`] if it is more; `None` if it is not seen, or moves too little.
    ///
    /// With `s` the still sticker and `u` the direction of motion, that is the `L` for which
    /// `mean of s(x + o u) over -L/2 <= o <= L/2` correlates most with the picture: an open shutter adds up what passes.
    #[must_use]
    #[inline(never)]
    pub fn length_px(
        &self,
        frame: GreyFrame<'_>,
        at: ImagePoint,
        (dx_px, dy_px): (f64, f64),
    ) -> Option<f64> {
        let moves_px = (dx_px * dx_px + dy_px * dy_px).sqrt();
        if !(moves_px.is_finite() && moves_px >= Self::LEAST_MOTION_PX) {
            return None;
        }
        let along = Direction { x: (dx_px / moves_px) as f32, y: (dy_px / moves_px) as f32 };
        let region = Region::mixed(frame, at, self.half_px + REACH as usize, self.mix);
        // The shutter is open for no longer than a frame.
        let correlations: Vec<f32> = (0..=(2 * self.half_px).min(moves_px as usize))
            .map(|length| self.correlation(&region, at, along, length as f32).unwrap_or(-1.0))
            .collect();
        let (best, most) = correlations
            .iter()
            .enumerate()
            .max_by(|(_, a), (_, b)| a.total_cmp(b))
            .filter(|(_, a)| **a >= LEAST_CORRELATION)?;
        let beside = |step: Option<usize>| step.and_then(|k| correlations.get(k).copied());
        let between = match (beside(best.checked_sub(1)), beside(Some(best + 1))) {
            (Some(before), Some(after)) => parabola_vertex(before, *most, after),
            _ => 0.0,
        };
        Some(best as f64 + f64::from(between))
    }

    /// The correlation of the sticker, blurred over a length, with a picture near a place.
    fn correlation(
        &self,
        region: &Region,
        at: ImagePoint,
        along: Direction,
        length_px: f32,
    ) -> Option<f32> {
        let template = Template::of_window(&self.blurred(along, length_px)?, self.half_px)?;
        let (x, y) = region.local(at, 0);
        let mut window = Vec::new();
        let mut best: Option<(f32, ImagePoint)> = None;
        for (j, i) in (-REACH..=REACH).flat_map(|j| (-REACH..=REACH).map(move |i| (j, i))) {
            let (px, py) = (x + 0.5 * i as f32, y + 0.5 * j as f32);
            if region.level(0).window(px, py, self.half_px, &mut window) {
                let (correlation, _) = template.agreement(&window);
                if best.is_none_or(|(most, _)| correlation > most) {
                    best = Some((correlation, region.global(px, py)));
                }
            }
        }
        let (most, guess) = best?;
        // Along a long blur there is nothing to settle by.
        let settled =
            Fitter::new(template).and_then(|f| f.settle(region, guess, SETTLED_PX, &mut window));
        Some(settled.map_or(most, |fit| fit.correlation.max(most)))
    }

    /// The mean of the sticker over a length of motion.
    fn blurred(&self, along: Direction, length_px: f32) -> Option<Vec<f32>> {
        let (x, y) = self.still.local(self.at, 0);
        let count = READS_PER_PX * length_px as usize + 1;
        let (mut sum, mut window) = (Vec::new(), Vec::new());
        for step in 0..count {
            let away = ((step as f32 + 0.5) / count as f32 - 0.5) * length_px;
            let (px, py) = (x + away * along.x, y + away * along.y);
            self.still.level(0).window(px, py, self.half_px, &mut window).then_some(())?;
            sum.resize(window.len(), 0.0_f32);
            sum.iter_mut().zip(&window).for_each(|(sum, value)| *sum += value);
        }
        sum.iter_mut().for_each(|value| *value /= count as f32);
        Some(sum)
    }
}
