//! Near and far leg mistaken for each other: exchanges the stretch between two crossings in one step.

use super::track::{Track, TrackSample};
use super::trial::Trial;
use mechanics::body::{Joint, Landmark};
use mechanics::space::Side;
use std::ops::RangeInclusive;
use std::rc::Rc;

/// The joints that change legs. The hips stay: seen from the side they hardly part, and neither is ever mistaken for
/// a foot.
const SWAPPED: [Joint; 4] = [Joint::Knee, Joint::Ankle, Joint::Heel, Joint::Toe];

/// Part of the greatest distance of the ankles within which the legs count as crossing. Chosen: the ankles of a
/// runner pass through it in a few frames.
const CROSSING_RATIO: f64 = 0.25;

impl Trial {
    /// The frames around this one, first and last, between two crossings of the legs; none if both ankles are not
    /// tracked, or if the legs cross in this very frame.
    #[must_use]
    pub fn between_crossings(&self, frame: u32) -> Option<(u32, u32)> {
        let near = self.tracks.get(&Landmark::NearAnkle)?;
        let far = self.tracks.get(&Landmark::FarAnkle)?;
        let apart = |f: u32| Some(distance_px(near.sample(f)?, far.sample(f)?));
        let count = self.clip.info.frame_count();
        let widest = (0..count).filter_map(apart).fold(0.0, f64::max);
        let is_apart = |f: &u32| apart(*f).is_some_and(|d| d > CROSSING_RATIO * widest);
        is_apart(&frame).then_some(())?;
        let first = (0..=frame).rev().take_while(is_apart).last()?;
        let last = (frame..count).take_while(is_apart).last()?;
        Some((first, last))
    }
}

fn distance_px(a: TrackSample, b: TrackSample) -> f64 {
    (a.at.x_px - b.at.x_px).hypot(a.at.y_px - b.at.y_px)
}

/// Exchanges the tracks of near and far leg in these frames.
///
/// Each sample keeps its certainty: the question was which leg it is, not how well it was seen.
pub(super) fn swap_legs(trial: &mut Trial, first: u32, last: u32) {
    for joint in SWAPPED {
        let sides = [Side::Near, Side::Far].map(|side| Landmark::of(joint, side));
        let [Some(near), Some(far)] = sides.map(|l| trial.tracks.get(&l).cloned()) else {
            continue;
        };
        let (mut new_near, mut new_far) = (Track::clone(&near), Track::clone(&far));
        copy_frames(&mut new_near, &far, first..=last);
        copy_frames(&mut new_far, &near, first..=last);
        trial.tracks.insert(sides[0], Rc::new(new_near));
        trial.tracks.insert(sides[1], Rc::new(new_far));
    }
}

/// Replaces these frames of a track by those of another.
fn copy_frames(track: &mut Track, other: &Track, frames: RangeInclusive<u32>) {
    let within = |(from, to): (u32, u32)| (from.max(*frames.start()), to.min(*frames.end()));
    if let Some((from, to)) = other.followed.map(within).filter(|(from, to)| from <= to) {
        track.extend_followed(from, to);
    }
    track.keyframes.retain(|frame, _| !frames.contains(frame));
    track.keyframes.extend(other.keyframes.range(frames.clone()).map(|(f, p)| (*f, *p)));
    for frame in frames {
        if let Some(slot) = track.samples.get_mut(frame as usize) {
            *slot = other.sample(frame);
        }
    }
}
