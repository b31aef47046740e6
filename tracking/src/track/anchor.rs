//! Places that the user gives while a pass runs.

use super::marker::{Marker, Motion};
use super::tracker::{Placement, Tracker, is_inside};
use crate::image::{GreyFrame, ImagePoint};
use crate::scales::{APART_PX, DISPLACED_PX, ELSEWHERE_PX, PLACED_LATELY_FRAMES, TRACKED_PX};

/// Squared distance that is added to that of a neighbour, so that one in the same place has a finite weight.
///
/// Chosen: a pixel.
const NEAREST_PX2: f64 = 1.0;

impl Tracker {
    /// Takes the user's place of a marker in the last frame: an anchor from which it goes on.
    pub fn anchor(&mut self, frame: GreyFrame<'_>, marker: usize, at: ImagePoint) {
        let shared = self.shared_velocity(marker, at);
        let places: Vec<Option<ImagePoint>> =
            self.markers.iter().map(|s| s.marker.as_ref().map(|m| m.at)).collect();
        let in_front = self.skeleton.in_front(marker, &places);
        if let Some(slot) = self.markers.get_mut(marker) {
            slot.at = at;
            let last = slot.placed.replace(Placement { at, frames_ago: 0 });
            if !is_inside(at, self.size_px) {
                slot.marker = None;
                return;
            }
            self.skeleton.place(marker, at);
            let old = slot.marker.as_ref();
            let off_px = old.map_or(f64::INFINITY, |m| m.shown(m.at).distance_px(at));
            let was_right = old.is_some_and(|m| m.unseen == 0 && off_px < TRACKED_PX);
            let others = last.and_then(|last| last.velocity_px(at)).or(shared);
            let others = others.map(|velocity_px| Motion { velocity_px, spin_rad: 0.0 });
            let own = old.map(Marker::motion);
            let motion = if off_px > ELSEWHERE_PX { others.or(own) } else { own };
            slot.marker = Marker::place(frame, at, slot.mode, in_front);
            if let (Some(marker), Some(motion)) = (&mut slot.marker, motion) {
                marker.resume(motion, was_right);
            }
            self.displace_others(marker, at);
        }
    }

    /// A marker that was taken to be where the user has now placed another one was not seen there.
    fn displace_others(&mut self, placed: usize, at: ImagePoint) {
        for (index, slot) in self.markers.iter_mut().enumerate() {
            if let Some(marker) = slot.marker.as_mut()
                && index != placed
                && marker.unseen == 0
                && marker.is_followed()
                && marker.shown(marker.at).distance_px(at) < APART_PX
            {
                marker.coast(marker.at, DISPLACED_PX * DISPLACED_PX);
            }
        }
    }

    /// The mean velocity of a marker's neighbours, near ones weighing more; if none is seen, that of all others.
    fn shared_velocity(&self, marker: usize, at: ImagePoint) -> Option<(f64, f64)> {
        let neighbours = self.skeleton.neighbours(marker).map(|other| other.marker);
        let others = (0..self.markers.len()).filter(|other| *other != marker);
        self.mean_velocity(neighbours, at).or_else(|| self.mean_velocity(others, at))
    }

    fn mean_velocity(&self, of: impl Iterator<Item = usize>, at: ImagePoint) -> Option<(f64, f64)> {
        let (mut x, mut y, mut total) = (0.0, 0.0, 0.0);
        let seen = of.filter_map(|index| self.markers.get(index)?.marker.as_ref());
        for marker in seen.filter(|m| m.unseen == 0 && m.is_followed()) {
            let (dx, dy) = marker.at.minus(at);
            let weight = 1.0 / (dx * dx + dy * dy + NEAREST_PX2);
            let (vx, vy) = marker.velocity_px;
            (x, y, total) = (x + weight * vx, y + weight * vy, total + weight);
        }
        (total > 0.0).then_some((x / total, y / total))
    }
}

impl Placement {
    /// The mean velocity from this place to a later one, if it was given lately.
    fn velocity_px(self, at: ImagePoint) -> Option<(f64, f64)> {
        let frames = self.frames_ago;
        (1..=PLACED_LATELY_FRAMES).contains(&frames).then(|| {
            let (dx, dy) = at.minus(self.at);
            (dx / f64::from(frames), dy / f64::from(frames))
        })
    }
}
