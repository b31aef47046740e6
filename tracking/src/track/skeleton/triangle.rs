//! A marker and two neighbours that a limb joins.

use super::places::{Places, place_of};
use crate::image::ImagePoint;
use crate::scales::{INTERPOLATION_ERROR_LEARNT, INTERPOLATION_LEARNT, INTERPOLATION_SPAN_PX};
use crate::track::limb::Limb;

/// Variance of an interpolated place before it is learnt.
///
/// Chosen: by trial on the worked clips, no record.
const FIRST_PX2: f64 = 9.0;
/// The most that one frame says of that variance.
///
/// Chosen: 20 px off; by trial on the worked clips, no record.
const MOST_PX2: f64 = 400.0;
/// Share of the place between the neighbours that is learnt when the user places one of the three.
///
/// Chosen: by trial on the worked clips, no record.
const LEARNT_PLACED: f64 = 0.5;

/// A marker and two neighbours that a limb joins.
#[derive(Clone, Debug)]
pub(super) struct Triangle {
    pub marker: usize,
    pub from: usize,
    pub to: usize,
    /// The marker's place along and across the way from the one neighbour to the other, in its length.
    local: Option<(f64, f64)>,
    /// Variance of where that has the marker.
    pub spread_px2: f64,
}

impl Triangle {
    /// All triangles of these limbs.
    pub fn all(limbs: &[Limb], places: &Places) -> Vec<Self> {
        let joined = |a: usize, b: usize| limbs.iter().any(|l| l.joins(a, b));
        let mut all = Vec::new();
        for limb in limbs {
            for marker in 0..places.len() {
                if joined(marker, limb.from) && joined(marker, limb.to) {
                    let (from, to) = (limb.from, limb.to);
                    let mut one = Self { marker, from, to, local: None, spread_px2: FIRST_PX2 };
                    one.local = one.measure(places);
                    all.push(one);
                }
            }
        }
        all
    }

    /// Whether a marker is one of the three.
    pub fn has(&self, marker: usize) -> bool {
        [self.marker, self.from, self.to].contains(&marker)
    }

    /// The marker's place along and across the way between its neighbours, as they are.
    fn measure(&self, places: &Places) -> Option<(f64, f64)> {
        let place = |m| place_of(places, m);
        let (at, from, to) = (place(self.marker)?, place(self.from)?, place(self.to)?);
        let ((dx, dy), (x, y)) = (to.minus(from), at.minus(from));
        let square = dx * dx + dy * dy;
        (square > INTERPOLATION_SPAN_PX * INTERPOLATION_SPAN_PX)
            .then(|| ((x * dx + y * dy) / square, (y * dx - x * dy) / square))
    }

    /// Where the neighbours have the marker.
    pub fn interpolate(&self, places: &Places) -> Option<ImagePoint> {
        let place = |m| place_of(places, m);
        let (from, to) = (place(self.from)?, place(self.to)?);
        let ((dx, dy), (u, v)) = (to.minus(from), self.local?);
        Some(from.moved(u * dx - v * dy, u * dy + v * dx))
    }

    /// Learns from where all three were seen.
    pub fn learn(&mut self, seen: &Places) {
        let Some(now) = self.measure(seen) else { return };
        if let (Some(place), Some(at)) = (self.interpolate(seen), place_of(seen, self.marker)) {
            let away = place.distance_px(at);
            self.spread_px2 +=
                INTERPOLATION_ERROR_LEARNT * ((away * away).min(MOST_PX2) - self.spread_px2);
        }
        self.approach(now, INTERPOLATION_LEARNT);
    }

    /// The user placed one of the three: it is nearer to how they are now.
    pub fn place(&mut self, places: &Places) {
        if let Some(now) = self.measure(places) {
            self.approach(now, LEARNT_PLACED);
        }
    }

    fn approach(&mut self, (u, v): (f64, f64), share: f64) {
        self.local =
            Some(self.local.map_or((u, v), |(a, b)| (a + share * (u - a), b + share * (v - b))));
    }
}
