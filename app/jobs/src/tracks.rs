//! The passes of a run merged into one track per marker.

use crate::coordinates::upright_sample;
use crate::passes::Pass;
use crate::tracking_plan::TrackingPlan;
use document::session::TrackSample;
use mechanics::body::Landmark;
use media::Picture;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use tracking::track::{Sample, blend};

/// The tracks of a run, in the upright picture.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Tracks {
    /// The first frame of every track.
    pub first: u32,
    /// One sample a frame, up to the last frame that the run reached; none in a frame where the marker is lost.
    pub samples: BTreeMap<Landmark, Vec<Option<TrackSample>>>,
}

/// What the passes found of one marker, by frame from the plan's first on.
#[derive(Clone)]
pub(crate) struct FoundWays {
    pub forward: Vec<Option<Sample>>,
    pub backward: Vec<Option<Sample>>,
}

impl FoundWays {
    /// Nothing yet, over this many frames.
    pub fn new(frame_count: usize) -> Self {
        Self { forward: vec![None; frame_count], backward: vec![None; frame_count] }
    }

    /// The samples of passes in one direction.
    pub fn way_mut(&mut self, is_backward: bool) -> &mut Vec<Option<Sample>> {
        if is_backward { &mut self.backward } else { &mut self.forward }
    }

    /// The samples of one direction, and those of the other.
    pub fn this_and_other(
        &mut self,
        is_backward: bool,
    ) -> (&[Option<Sample>], &mut [Option<Sample>]) {
        if is_backward {
            (&self.backward, &mut self.forward)
        } else {
            (&self.forward, &mut self.backward)
        }
    }
}

/// Merges what was found of each marker of the plan. The tracks begin at the first frame that any pass reached.
pub(crate) fn merge_all(
    plan: &TrackingPlan,
    picture: &Picture,
    passes: &[Pass],
    found: &[FoundWays],
) -> Tracks {
    let reached: Vec<(usize, Vec<Option<Sample>>)> = (found.iter().enumerate())
        .map(|(marker, found)| (marker, merge(found, passes, marker, plan.first)))
        .filter(|(_, samples)| samples.iter().any(Option::is_some))
        .collect();
    let begin = |(_, s): &(usize, Vec<Option<Sample>>)| s.iter().position(Option::is_some);
    let skip = reached.iter().filter_map(begin).min().unwrap_or(0);
    let track = |(marker, samples): &(usize, Vec<Option<Sample>>)| {
        let end = samples.iter().rposition(Option::is_some)? + 1;
        let reached = samples.get(skip..end)?.iter();
        let reached = reached.map(|s| s.as_ref().and_then(|s| upright_sample(picture, s)));
        Some((plan.markers.get(*marker)?.landmark, reached.collect()))
    };
    Tracks {
        first: plan.first + u32::try_from(skip).unwrap_or(0),
        samples: reached.iter().filter_map(track).collect(),
    }
}

/// One track of both directions: blended over each pass that both directions covered to its end.
fn merge(found: &FoundWays, passes: &[Pass], marker: usize, first: u32) -> Vec<Option<Sample>> {
    let mut merged: Vec<Option<Sample>> =
        found.forward.iter().zip(&found.backward).map(|(f, b)| f.or(*b)).collect();
    for pass in passes.iter().filter(|p| p.markers.contains(&marker)) {
        let ends = [pass.from, pass.to].map(|f| (f - first) as usize);
        let (a, b) = (ends[0].min(ends[1]), ends[0].max(ends[1]));
        let whole = |way: &[Option<Sample>]| {
            way.get(a..=b).and_then(|w| w.iter().copied().collect::<Option<Vec<_>>>())
        };
        if let (Some(forward), Some(backward)) = (whole(&found.forward), whole(&found.backward)) {
            for (slot, sample) in merged.iter_mut().skip(a).zip(blend(&forward, &backward)) {
                *slot = Some(sample);
            }
        }
    }
    merged
}
