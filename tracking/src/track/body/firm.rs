//! Where a marker lies between two neighbours that are joined themselves: kept, so that nothing adds up while it
//! is not seen.

use super::Body;
use crate::image::Pixel;
use crate::track::limb::Limb;

/// Chosen: how far off such a place is at first, as a variance; learnt from then on.
const FIRST_PX2: f64 = 9.0;
/// Chosen: the least such a variance is taken for.
const LEAST_PX2: f64 = 4.0;
/// Chosen: how fast the variance and the place are learnt, and how much of the place once a person places one.
const LEARN: f64 = 0.05;
const LEARN_PLACE: f64 = 0.02;
const LEARN_PLACED: f64 = 0.5;
/// Chosen: one frame in which it is far off says no more than this.
const MOST_PX2: f64 = 400.0;
/// Chosen: a neighbour that is more likely off than not holds nothing.
const MOST_DOUBT: f64 = 0.5;
/// Chosen: what being exactly where two neighbours have it is worth, in correlation; the variance of where they have it
/// beyond which it is worth nothing, and the one that is forgiven whatever they have.
const BORNE_OUT: f64 = 0.3;
const VAGUE_PX2: f64 = 30.0;
const FORGIVEN_PX2: f64 = 1.0;
/// Chosen: squared deviations at which it is worth nothing any more: two deviations.
const FAR: f64 = 4.0;

/// A marker and two neighbours that a limb joins.
#[derive(Clone, Debug)]
pub(super) struct Firm {
    marker: usize,
    from: usize,
    to: usize,
    /// Along and across the way from the one to the other, in its length.
    local: Option<(f64, f64)>,
    spread_px2: f64,
}

impl Firm {
    /// All that these limbs have.
    pub fn all(limbs: &[Limb], places: &[Option<Pixel>]) -> Vec<Self> {
        let joined = |a: usize, b: usize| limbs.iter().any(|l| l.other_end(a) == Some(b));
        let mut all = Vec::new();
        for limb in limbs {
            for marker in 0..places.len() {
                if joined(marker, limb.from) && joined(marker, limb.to) {
                    let (from, to) = (limb.from, limb.to);
                    let mut firm = Self { marker, from, to, local: None, spread_px2: FIRST_PX2 };
                    firm.local = firm.seen(places);
                    all.push(firm);
                }
            }
        }
        all
    }

    fn seen(&self, places: &[Option<Pixel>]) -> Option<(f64, f64)> {
        let place = |m: usize| places.get(m).copied().flatten();
        let (at, from, to) = (place(self.marker)?, place(self.from)?, place(self.to)?);
        let ((dx, dy), (x, y)) = (to.from(from), at.from(from));
        let square = dx * dx + dy * dy;
        (square > 16.0).then(|| ((x * dx + y * dy) / square, (y * dx - x * dy) / square))
    }

    fn place(&self, places: &[Option<Pixel>]) -> Option<Pixel> {
        let place = |m: usize| places.get(m).copied().flatten();
        let (from, to) = (place(self.from)?, place(self.to)?);
        let ((dx, dy), (u, v)) = (to.from(from), self.local?);
        Some(from.moved(u * dx - v * dy, u * dy + v * dx))
    }
}

impl Body {
    /// Where a marker lies by its neighbours' places, with the variance of that.
    pub fn firm_place(&self, marker: usize, now: &[Option<Pixel>]) -> Option<(Pixel, f64)> {
        let sure = |m: usize| self.doubts.get(m).is_none_or(|d| *d < MOST_DOUBT);
        self.firms
            .iter()
            .filter(|f| f.marker == marker && sure(f.from) && sure(f.to))
            .filter_map(|f| {
                let doubt = self.doubt_px2(f.from) + self.doubt_px2(f.to);
                Some((f.place(now)?, f.spread_px2.max(LEAST_PX2) + doubt))
            })
            .min_by(|a, b| a.1.total_cmp(&b.1))
    }

    /// What speaks for a place because it is where two neighbours have the marker: less of its picture needs to be seen
    /// there, as a heel's beneath which the ground passes.
    pub(super) fn borne_out(&self, marker: usize, at: Pixel, now: &[Option<Pixel>]) -> f32 {
        match self.firm_place(marker, now) {
            Some((place, spread_px2)) if spread_px2 < VAGUE_PX2 => {
                let away = place.distance_px(at);
                let share = away * away / (FAR * (spread_px2 + FORGIVEN_PX2));
                (BORNE_OUT * (1.0 - share).max(0.0)) as f32
            }
            _ => 0.0,
        }
    }

    /// Learns where the markers lie between their neighbours, and how much that varies.
    pub(super) fn learn_firm(&mut self, seen: &[Option<Pixel>]) {
        let doubts = &self.doubts;
        let sure = |m: usize| doubts.get(m).is_none_or(|d| *d < 0.05);
        for firm in &mut self.firms {
            if !(sure(firm.marker) && sure(firm.from) && sure(firm.to)) {
                continue;
            }
            let Some((u, v)) = firm.seen(seen) else { continue };
            if let (Some(place), Some(Some(at))) = (firm.place(seen), seen.get(firm.marker)) {
                let away = place.distance_px(*at);
                firm.spread_px2 += LEARN * ((away * away).min(MOST_PX2) - firm.spread_px2);
            }
            firm.local =
                Some(firm.local.map_or((u, v), |(a, b)| {
                    (a + LEARN_PLACE * (u - a), b + LEARN_PLACE * (v - b))
                }));
        }
    }

    /// A person placed a marker: what is kept of it and its neighbours is nearer to how they are now.
    pub(super) fn place_firm(&mut self, marker: usize) {
        let places = &self.before;
        for firm in self.firms.iter_mut().filter(|f| [f.marker, f.from, f.to].contains(&marker)) {
            let Some((u, v)) = firm.seen(places) else { continue };
            firm.local =
                Some(firm.local.map_or((u, v), |(a, b)| {
                    (a + LEARN_PLACED * (u - a), b + LEARN_PLACED * (v - b))
                }));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pixel(x_px: f64, y_px: f64) -> Pixel {
        Pixel { x_px, y_px }
    }

    #[test]
    fn an_unseen_toe_lies_where_ankle_and_heel_have_it_however_long_it_is_unseen() {
        let foot = [Limb::between(0, 1), Limb::between(0, 2), Limb::between(1, 2)];
        let places = [pixel(100.0, 100.0), pixel(85.0, 120.0), pixel(140.0, 125.0)];
        let mut body = Body::new(&foot, places.iter().map(|p| Some(*p)).collect());
        // A quarter turn about (0, 0) in nine steps, and the toe is seen in none of them.
        for step in 1..=9 {
            let (sin, cos) = (f64::from(step) * std::f64::consts::PI / 18.0).sin_cos();
            let turned = |p: Pixel| pixel(cos * p.x_px - sin * p.y_px, sin * p.x_px + cos * p.y_px);
            let seen = vec![Some(turned(places[0])), Some(turned(places[1])), None];
            let (at, _) = body.firm_place(2, &seen).unwrap();
            assert!(at.distance_px(turned(places[2])) < 1e-9, "{step}: {at:?}");
            body.learn(seen, vec![0.0, 0.0, 0.2]);
        }
        assert_eq!(body.firm_place(2, &[Some(places[0]), None, None]), None);
    }
}
