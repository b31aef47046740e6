//! How far a sticker is drawn out by its own motion while the shutter is open.

use super::look::standing_out;
use crate::image::{GreyFrame, Mix, Pixel, Region};
use crate::point::{Fitter, Template, vertex};

/// Chosen: so many moments are told of each kind, as the sticker may be turned away in one.
const MOMENTS: usize = 5;
/// Chosen: beyond the sticker, so that its edge and something of what is behind it count.
const BESIDE_PX: usize = 4;
/// A place is known to two pixels: so many half pixels each way are looked at.
const REACH: i32 = 4;
/// Chosen: what agrees less than this, however far drawn out, is not that sticker.
const LEAST_ALIKE: f32 = 0.7;
/// Half the side of what is kept of it: the largest sticker with what is beside it, drawn out by as much.
const HALF_PX: usize = 2 * (12 + BESIDE_PX) + 6;

/// When a marker moves least and most: indices of its places and its motion there, in pixels from one frame to the next.
#[derive(Clone, Debug, PartialEq)]
pub struct Moments {
    /// When it moves least, the stillest first.
    pub stillest: Vec<usize>,
    /// When it moves most, the fastest first.
    pub fastest_px: Vec<(usize, (f64, f64))>,
}

impl Moments {
    /// Those of a marker's places in successive frames, `None` where it was not seen; `None` where it was never seen three
    /// frames running.
    ///
    /// The motion at frame `k` is `(p(k + 1) - p(k - 1)) / 2`.
    #[must_use]
    pub fn of(places: &[Option<Pixel>]) -> Option<Self> {
        let motion = |(k, three): (usize, &[Option<Pixel>])| match three {
            [Some(before), Some(_), Some(after)] => {
                let (dx, dy) = after.from(*before);
                Some((k + 1, (dx / 2.0, dy / 2.0)))
            }
            _ => None,
        };
        let mut motions: Vec<(usize, (f64, f64))> =
            places.windows(3).enumerate().filter_map(motion).collect();
        let square = |(_, (dx, dy)): &(usize, (f64, f64))| dx * dx + dy * dy;
        motions.sort_by(|a, b| square(b).total_cmp(&square(a)));
        motions.last()?;
        let stillest = motions.iter().rev().take(MOMENTS).map(|(k, _)| *k).collect();
        motions.truncate(MOMENTS);
        Some(Self { stillest, fastest_px: motions })
    }
}

/// A sticker as it looks where it moves least.
#[derive(Clone, Debug)]
pub struct Smear {
    still: Region,
    at: Pixel,
    mix: Mix,
    half_px: usize,
}

impl Smear {
    /// Chosen: what moves less than this from one frame to the next is not drawn out by as much as can be told.
    pub const LEAST_MOTION_PX: f64 = 3.0;

    /// Remembers the sticker at a place; `None` where there is none.
    #[must_use]
    #[inline(never)]
    pub fn of(frame: GreyFrame<'_>, at: Pixel) -> Option<Self> {
        let standing = standing_out(frame, at, HALF_PX);
        let ring = standing.ring.filter(|_| standing.is_even)?;
        let half_px = ring.radius_px as usize + BESIDE_PX;
        Some(Self { still: standing.region, at: ring.middle, mix: standing.mix, half_px })
    }

    /// The longest that can be told: the width of what is looked at.
    #[must_use]
    pub fn most_px(&self) -> f64 {
        2.0 * self.half_px as f64
    }

    /// The length in pixels over which the sticker is drawn out in another picture, near a place, when it moves so far
    /// from one frame to the next; [`Smear::most_px`] where it is more; `None` where it is not seen, or moves too little
    /// for it to be told.
    ///
    /// With `s` the sticker where it hardly moves and `u` the direction of motion, that is the `L` for which
    /// `mean of s(x + o u) over -L/2 <= o <= L/2` correlates most with the picture: an open shutter adds up what passes.
    #[must_use]
    #[inline(never)]
    pub fn length_px(
        &self,
        frame: GreyFrame<'_>,
        at: Pixel,
        (dx_px, dy_px): (f64, f64),
    ) -> Option<f64> {
        let moves_px = (dx_px * dx_px + dy_px * dy_px).sqrt();
        if !(moves_px.is_finite() && moves_px >= Self::LEAST_MOTION_PX) {
            return None;
        }
        let along = ((dx_px / moves_px) as f32, (dy_px / moves_px) as f32);
        let region = Region::mixed(frame, at, self.half_px + REACH as usize, self.mix);
        // The shutter is open for no longer than a frame.
        let alike: Vec<f32> = (0..=(2 * self.half_px).min(moves_px as usize))
            .map(|length| self.alike(&region, at, along, length as f32).unwrap_or(-1.0))
            .collect();
        let (best, most) = alike
            .iter()
            .enumerate()
            .max_by(|(_, a), (_, b)| a.total_cmp(b))
            .filter(|(_, a)| **a >= LEAST_ALIKE)?;
        let beside = |step: Option<usize>| step.and_then(|k| alike.get(k).copied());
        let between = match (beside(best.checked_sub(1)), beside(Some(best + 1))) {
            (Some(before), Some(after)) => vertex(before, *most, after),
            _ => 0.0,
        };
        Some(best as f64 + f64::from(between))
    }

    /// The correlation near a place of a picture with the sticker drawn out by a length.
    fn alike(&self, region: &Region, at: Pixel, along: (f32, f32), length_px: f32) -> Option<f32> {
        let template = Template::of_window(&self.drawn_out(along, length_px)?, self.half_px)?;
        let (x, y) = region.local(at, 0);
        let mut window = Vec::new();
        let mut best: Option<(f32, Pixel)> = None;
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
        // Along a long smear there is nothing to settle by.
        let settled = Fitter::new(template).and_then(|f| f.settle(region, guess, 1.0, &mut window));
        Some(settled.map_or(most, |fit| fit.correlation.max(most)))
    }

    /// The mean of the sticker over a length of motion.
    fn drawn_out(&self, (ux, uy): (f32, f32), length_px: f32) -> Option<Vec<f32>> {
        let (x, y) = self.still.local(self.at, 0);
        // Two a pixel: the bilinear value between them is then as good as the integral.
        let count = 2 * length_px as usize + 1;
        let (mut sum, mut window) = (Vec::new(), Vec::new());
        for step in 0..count {
            let away = ((step as f32 + 0.5) / count as f32 - 0.5) * length_px;
            let (px, py) = (x + away * ux, y + away * uy);
            self.still.level(0).window(px, py, self.half_px, &mut window).then_some(())?;
            sum.resize(window.len(), 0.0_f32);
            sum.iter_mut().zip(&window).for_each(|(sum, value)| *sum += value);
        }
        sum.iter_mut().for_each(|value| *value /= count as f32);
        Some(sum)
    }
}
