//! The passes over the frames that a following takes: forward from each keyframe, backward from the next.

use super::FollowPlan;
use std::collections::BTreeMap;

/// One pass over a stretch of frames, both ends included.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pass {
    /// The frame it begins at: a keyframe of each of its markers.
    pub from: u32,
    /// The frame it ends at; before `from` in a backward pass.
    pub to: u32,
    /// Which markers of the plan, by index.
    pub markers: Vec<usize>,
}

impl Pass {
    /// Whether it goes against time.
    #[must_use]
    pub fn is_backward(&self) -> bool {
        self.to < self.from
    }

    /// How many frames it takes.
    #[must_use]
    pub fn frame_count(&self) -> u32 {
        self.from.abs_diff(self.to) + 1
    }
}

/// The passes of a plan.
///
/// Before a marker's first keyframe one goes backward, after its last one goes forward, and between two
/// keyframes both ways, unless they are neighbours. Markers that share a stretch share its pass, so that each frame is decoded once
/// for all of them and their distances can be held against each other. After a correction those that lead away from
/// the new mark come first.
#[must_use]
pub fn passes(plan: &FollowPlan) -> Vec<Pass> {
    let mut shared: BTreeMap<(u32, u32), Vec<usize>> = BTreeMap::new();
    for (index, marker) in plan.markers.iter().enumerate() {
        let inside = |f: &u32| (plan.first..=plan.last).contains(f);
        let mut keyframes: Vec<u32> =
            marker.keyframes.iter().map(|(f, _)| *f).filter(inside).collect();
        keyframes.sort_unstable();
        keyframes.dedup();
        let (Some(&first), Some(&last)) = (keyframes.first(), keyframes.last()) else { continue };
        let mut stretch = |from: u32, to: u32| shared.entry((from, to)).or_default().push(index);
        if plan.first < first {
            stretch(first, plan.first);
        }
        for pair in keyframes.windows(2) {
            // Between neighbours there is nothing to be found.
            if let [a, b] = pair
                && b - a > 1
            {
                stretch(*a, *b);
                stretch(*b, *a);
            }
        }
        if last < plan.last {
            stretch(last, plan.last);
        }
    }
    let mut passes: Vec<Pass> =
        shared.into_iter().map(|((from, to), markers)| Pass { from, to, markers }).collect();
    if let Some(correction) = &plan.correction {
        passes.sort_by_key(|p| p.from != correction.frame);
    }
    passes
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::FollowMarker;
    use document::session::MarkerMode;
    use mechanics::body::Landmark;
    use mechanics::space::Pixel;

    fn marker(landmark: Landmark, keyframes: &[u32]) -> FollowMarker {
        let at = Pixel { x_px: 1.0, y_px: 1.0 };
        FollowMarker {
            landmark,
            mode: MarkerMode::Sticker,
            keyframes: keyframes.iter().map(|f| (*f, at)).collect(),
        }
    }

    fn plan(markers: Vec<FollowMarker>) -> FollowPlan {
        FollowPlan { first: 0, last: 99, markers, correction: None }
    }

    #[test]
    fn markers_with_one_keyframe_at_the_start_share_one_forward_pass() {
        let both = plan(vec![marker(Landmark::NearHip, &[0]), marker(Landmark::NearKnee, &[0])]);
        assert_eq!(passes(&both), [Pass { from: 0, to: 99, markers: vec![0, 1] }]);
    }

    #[test]
    fn a_stretch_between_two_keyframes_is_gone_over_both_ways() {
        let found = passes(&plan(vec![marker(Landmark::NearHip, &[20, 60])]));
        let ways: Vec<(u32, u32)> = found.iter().map(|p| (p.from, p.to)).collect();
        assert_eq!(ways, [(20, 0), (20, 60), (60, 20), (60, 99)]);
    }

    #[test]
    fn keyframes_outside_the_range_and_markers_without_any_are_passed_over() {
        assert_eq!(
            passes(&plan(vec![marker(Landmark::NearHip, &[200]), marker(Landmark::NearKnee, &[])])),
            []
        );
    }
}
