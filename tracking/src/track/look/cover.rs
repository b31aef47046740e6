//! What of a patch lies behind other limbs.

use crate::image::Pixel;
use crate::point::Pose;
use std::borrow::Cow;

/// A limb that lies in front: all that is nearer to the way between two places than half its width.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::track) struct Band {
    pub from: Pixel,
    pub to: Pixel,
    pub half_px: f64,
}

impl Band {
    /// How far a place is from its edge; within it less than zero.
    pub fn outside_px(&self, at: Pixel) -> f64 {
        let ((dx, dy), (x, y)) = (self.to.from(self.from), at.from(self.from));
        let square = (dx * dx + dy * dy).max(1.0);
        let share = ((x * dx + y * dy) / square).clamp(0.0, 1.0);
        self.from.moved(share * dx, share * dy).distance_px(at) - self.half_px
    }
}

/// The pixels of a square patch that are seen: one there, zero where another limb is; `None` where all are seen.
pub(super) type Seen = Option<Vec<f32>>;

/// What is seen of a patch at a pose behind these bands.
pub(super) fn seen_behind(bands: &[Band], pose: Pose, half_px: usize) -> Seen {
    let half = half_px as f64;
    // A patch turned by half a right angle reaches furthest: sqrt(2) times half its side.
    let near: Vec<&Band> = bands.iter().filter(|b| b.outside_px(pose.at) < 1.5 * half).collect();
    if near.is_empty() {
        return None;
    }
    let side = 2 * half_px + 1;
    let value = |k: usize| {
        let step = ((k % side) as f64 - half, (k / side) as f64 - half);
        let (dx, dy) = pose.turn.of(step);
        let at = pose.at.moved(dx, dy);
        if near.iter().all(|b| b.outside_px(at) > 0.0) { 1.0 } else { 0.0 }
    };
    Some((0..side * side).map(value).collect())
}

/// Chosen: of so little of a patch, by its weights, nothing is made.
const LEAST_SEEN: f32 = 0.35;

/// Weights with the sum one of what is seen in both; `None` where that is too little.
pub(super) fn weights_seen<'w>(weights: &'w [f32], both: [&Seen; 2]) -> Option<Cow<'w, [f32]>> {
    if both.iter().all(|seen| seen.is_none()) {
        return Some(Cow::Borrowed(weights));
    }
    let mut left = weights.to_vec();
    for seen in both.into_iter().flatten() {
        left.iter_mut().zip(seen).for_each(|(w, s)| *w *= s);
    }
    let total: f32 = left.iter().sum();
    if total < LEAST_SEEN {
        return None;
    }
    left.iter_mut().for_each(|w| *w /= total);
    Some(Cow::Owned(left))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::point::Turn;

    #[test]
    fn a_band_hides_what_it_covers_whatever_way_the_patch_is_turned() {
        let at = |x_px: f64, y_px: f64| Pixel { x_px, y_px };
        // Upright, 8 px wide, over the right edge of a patch of 21 px.
        let band = Band { from: at(60.0, 0.0), to: at(60.0, 100.0), half_px: 4.0 };
        let pose = |turn| Pose { at: at(50.0, 50.0), turn };
        let seen = seen_behind(&[band], pose(Turn::NONE), 10).unwrap();
        assert_eq!((seen[10 * 21 + 5], seen[10 * 21 + 20]), (1.0, 0.0));
        // Turned by a right angle, what was its right side is below.
        let turned = seen_behind(&[band], pose(Turn::along(0.0, 1.0)), 10).unwrap();
        assert_eq!((turned[10 * 21 + 20], turned[10]), (1.0, 0.0));
        assert_eq!(seen_behind(&[band], Pose { at: at(20.0, 50.0), turn: Turn::NONE }, 10), None);
    }

    #[test]
    fn weights_of_what_is_seen_have_the_sum_one_and_too_little_is_nothing() {
        let even = vec![0.25; 4];
        let half = Some(vec![1.0, 1.0, 0.0, 0.0]);
        assert_eq!(weights_seen(&even, [&half, &None]).unwrap().to_vec(), [0.5, 0.5, 0.0, 0.0]);
        let other = Some(vec![0.0, 1.0, 1.0, 1.0]);
        assert_eq!(weights_seen(&even, [&half, &other]), None);
        assert_eq!(weights_seen(&even, [&None, &None]).unwrap().to_vec(), even);
    }
}
