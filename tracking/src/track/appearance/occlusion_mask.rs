//! The pixels of a patch that other limbs hide.

use crate::point::Pose;
use crate::track::occluder::Occluder;
use std::borrow::Cow;

/// How far from its middle a rotated patch reaches, in halves of its side.
///
/// Chosen: above the square root of two.
const REACH: f64 = 1.5;
/// Least part of a patch, by its weights, that must be visible.
///
/// Chosen: by trial on the worked clips, no record.
const LEAST_VISIBLE: f32 = 0.35;

/// By pixel of a square patch, one if it is visible and zero if another limb hides it; `None` if all are visible.
pub(super) type Mask = Option<Vec<f32>>;

/// The visible pixels of a patch at a pose behind these limbs.
pub(super) fn visible_behind(in_front: &[Occluder], pose: Pose, half_px: usize) -> Mask {
    let half = half_px as f64;
    let near: Vec<&Occluder> =
        in_front.iter().filter(|limb| limb.outside_px(pose.at) < REACH * half).collect();
    if near.is_empty() {
        return None;
    }
    let side = 2 * half_px + 1;
    let value = |k: usize| {
        let step = ((k % side) as f64 - half, (k / side) as f64 - half);
        let (dx, dy) = pose.rotation.apply(step);
        let at = pose.at.moved(dx, dy);
        if near.iter().all(|limb| limb.outside_px(at) > 0.0) { 1.0 } else { 0.0 }
    };
    Some((0..side * side).map(value).collect())
}

/// The weights of what is visible in both masks, with the sum one; `None` if that is too little.
pub(super) fn visible_weights<'w>(weights: &'w [f32], both: [&Mask; 2]) -> Option<Cow<'w, [f32]>> {
    if both.iter().all(|mask| mask.is_none()) {
        return Some(Cow::Borrowed(weights));
    }
    let mut left = weights.to_vec();
    for mask in both.into_iter().flatten() {
        left.iter_mut().zip(mask).for_each(|(weight, visible)| *weight *= visible);
    }
    let total: f32 = left.iter().sum();
    if total < LEAST_VISIBLE {
        return None;
    }
    left.iter_mut().for_each(|weight| *weight /= total);
    Some(Cow::Owned(left))
}

/// Whether no limb hides any pixel of a patch at a pose.
pub(super) fn is_open(in_front: &[Occluder], pose: Pose, half_px: usize) -> bool {
    visible_behind(in_front, pose, half_px).is_none()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::image::ImagePoint;
    use crate::point::Rotation;

    const fn at(x_px: f64, y_px: f64) -> ImagePoint {
        ImagePoint { x_px, y_px }
    }

    #[test]
    fn a_limb_hides_what_it_covers_whatever_the_rotation_of_the_patch() {
        // Upright, 8 px wide, over the right edge of a patch of 21 px.
        let limb = Occluder { from: at(60.0, 0.0), to: at(60.0, 100.0), half_width_px: 4.0 };
        let pose = |rotation| Pose { at: at(50.0, 50.0), rotation };
        let mask = visible_behind(&[limb], pose(Rotation::IDENTITY), 10).unwrap();
        assert_eq!((mask[10 * 21 + 5], mask[10 * 21 + 20]), (1.0, 0.0));
        // Rotated by a right angle, its right side is below.
        let rotated = visible_behind(&[limb], pose(Rotation::along(0.0, 1.0)), 10).unwrap();
        assert_eq!((rotated[10 * 21 + 20], rotated[10]), (1.0, 0.0));
        let beside = Pose { at: at(20.0, 50.0), rotation: Rotation::IDENTITY };
        assert!(is_open(&[limb], beside, 10));
    }

    #[test]
    fn visible_weights_have_the_sum_one_and_too_few_are_none() {
        let even = vec![0.25; 4];
        let half = Some(vec![1.0, 1.0, 0.0, 0.0]);
        assert_eq!(visible_weights(&even, [&half, &None]).unwrap().to_vec(), [0.5, 0.5, 0.0, 0.0]);
        let other = Some(vec![0.0, 1.0, 1.0, 1.0]);
        assert_eq!(visible_weights(&even, [&half, &other]), None);
        assert_eq!(visible_weights(&even, [&None, &None]).unwrap().to_vec(), even);
    }
}
