//! The interpolation constraint: where a marker lies between two joined neighbours, so that no errors add up while it is not
//! seen.

use super::places::{Places, UncertainPlace};
use super::state::Skeleton;
use crate::image::ImagePoint;
use crate::track::cost::Deviation;
use crate::track::gating::LEARNT_FROM;

/// The least variance that an interpolated place is taken for.
///
/// Chosen: by trial on the worked clips, no record.
const LEAST_PX2: f64 = 4.0;

impl Skeleton {
    /// Where a marker lies by its neighbours' places: the least uncertain of its triangles.
    pub fn interpolated(&self, marker: usize, places: &Places) -> Option<UncertainPlace> {
        self.triangles
            .iter()
            .filter(|t| t.marker == marker && self.is_trusted(t.from) && self.is_trusted(t.to))
            .filter_map(|t| {
                let mistrust = self.mistrust_px2(t.from) + self.mistrust_px2(t.to);
                let spread_px2 = t.spread_px2.max(LEAST_PX2) + mistrust;
                Some(UncertainPlace { at: t.interpolate(places)?, spread_px2 })
            })
            .min_by(|a, b| a.spread_px2.total_cmp(&b.spread_px2))
    }

    /// How far a place is from there.
    pub(super) fn interpolation_deviation(
        &self,
        marker: usize,
        at: ImagePoint,
        places: &Places,
    ) -> Option<Deviation> {
        let UncertainPlace { at: there, spread_px2 } = self.interpolated(marker, places)?;
        Some(Deviation { distance_px: there.distance_px(at), usual_px2: spread_px2 })
    }

    /// Learns where the markers lie between their neighbours, and how much that varies.
    pub(super) fn learn_interpolation(&mut self, seen: &Places) {
        let sure: Vec<bool> =
            (0..self.previous.len()).map(|marker| self.mistrust_of(marker) < LEARNT_FROM).collect();
        let is_sure = |marker: usize| sure.get(marker).copied().unwrap_or(true);
        for triangle in &mut self.triangles {
            if [triangle.marker, triangle.from, triangle.to].into_iter().all(is_sure) {
                triangle.learn(seen);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::track::limb::Limb;

    fn point(x_px: f64, y_px: f64) -> ImagePoint {
        ImagePoint { x_px, y_px }
    }

    #[test]
    fn an_unseen_toe_lies_where_ankle_and_heel_have_it_however_long_it_is_unseen() {
        let foot = [Limb::between(0, 1), Limb::between(0, 2), Limb::between(1, 2)];
        let places = [point(100.0, 100.0), point(85.0, 120.0), point(140.0, 125.0)];
        let mut skeleton = Skeleton::new(&foot, places.iter().map(|p| Some(*p)).collect());
        // A quarter turn about (0, 0) in nine steps; the toe is seen in none of them.
        for step in 1..=9 {
            let (sin, cos) = (f64::from(step) * std::f64::consts::PI / 18.0).sin_cos();
            let rotated =
                |p: ImagePoint| point(cos * p.x_px - sin * p.y_px, sin * p.x_px + cos * p.y_px);
            let seen = vec![Some(rotated(places[0])), Some(rotated(places[1])), None];
            let there = skeleton.interpolated(2, &seen).unwrap();
            assert!(there.at.distance_px(rotated(places[2])) < 1e-9, "{step}: {there:?}");
            skeleton.learn(seen, vec![0.0, 0.0, 0.2]);
        }
        assert_eq!(skeleton.interpolated(2, &[Some(places[0]), None, None]), None);
    }
}
