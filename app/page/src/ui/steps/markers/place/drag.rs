//! A mark that is dragged.

use crate::ui::stage::Gesture;
use document::session::Trial;
use mechanics::body::Landmark;
use mechanics::space::Pixel;

/// Chosen: a drag below half a pixel was a press.
const MIN_DRAG_PX: f64 = 0.5;

/// A mark under the finger. It keeps its distance to the finger, so that a press alone does not move it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Drag {
    /// Its landmark.
    pub landmark: Landmark,
    /// Its frame.
    pub frame: u32,
    /// Its current position.
    pub at: Pixel,
    /// From the finger to the mark.
    offset_x_px: f64,
    offset_y_px: f64,
    /// Its position before; none for a new mark.
    before: Option<Pixel>,
}

impl Drag {
    /// Begins at a press: with the mark within reach, or with a new mark of the chosen landmark.
    #[must_use]
    pub fn begin(trial: &Trial, chosen: Option<Landmark>, press: Gesture) -> Option<Self> {
        let mark = |l: Landmark| {
            Some(Self::of_mark(l, trial.tracks.get(&l)?.sample(press.frame)?.at, press))
        };
        let is_near = |drag: &Self| distance_px(drag.at, press.at) <= press.reach_px;
        match chosen {
            Some(landmark) => {
                let near = mark(landmark).filter(is_near);
                Some(near.unwrap_or_else(|| Self::of_new_mark(landmark, press)))
            }
            None => (trial.marker_set.landmarks().iter())
                .filter_map(|l| mark(*l))
                .filter(is_near)
                .min_by(|a, b| distance_px(a.at, press.at).total_cmp(&distance_px(b.at, press.at))),
        }
    }

    fn of_mark(landmark: Landmark, at: Pixel, press: Gesture) -> Self {
        Self {
            landmark,
            frame: press.frame,
            at,
            offset_x_px: at.x_px - press.at.x_px,
            offset_y_px: at.y_px - press.at.y_px,
            before: Some(at),
        }
    }

    fn of_new_mark(landmark: Landmark, press: Gesture) -> Self {
        Self {
            landmark,
            frame: press.frame,
            at: press.at,
            offset_x_px: 0.0,
            offset_y_px: 0.0,
            before: None,
        }
    }

    /// Goes on with the finger at another position.
    #[must_use]
    pub fn moved(self, finger: Pixel) -> Self {
        let x_px = finger.x_px + self.offset_x_px;
        let y_px = finger.y_px + self.offset_y_px;
        Self { at: Pixel { x_px, y_px }, ..self }
    }

    /// Whether the mark is new or was moved.
    #[must_use]
    pub fn has_moved(&self) -> bool {
        self.before.is_none_or(|before| distance_px(before, self.at) >= MIN_DRAG_PX)
    }
}

fn distance_px(a: Pixel, b: Pixel) -> f64 {
    (a.x_px - b.x_px).hypot(a.y_px - b.y_px)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ui::stage::Phase;
    use crate::ui::tests::sessions::marked;
    use document::session::{Trial, TrialId};
    use std::rc::Rc;

    fn trial() -> Rc<Trial> {
        Rc::clone(marked().trial(TrialId(1)).unwrap())
    }

    /// The first mark of a landmark: its frame and position.
    fn mark(trial: &Trial, landmark: Landmark) -> (u32, Pixel) {
        let (frame, at) = trial.tracks[&landmark].keyframes.iter().next().unwrap();
        (*frame, *at)
    }

    fn press(frame: u32, at: Pixel) -> Gesture {
        Gesture { phase: Phase::Press, at, frame, reach_px: 10.0, glance: None }
    }

    #[test]
    fn a_press_beside_a_mark_takes_hold_of_it_without_moving_it() {
        let trial = trial();
        let (frame, at) = mark(&trial, Landmark::NearKnee);
        let finger = Pixel { x_px: at.x_px + 3.0, y_px: at.y_px };
        let drag = Drag::begin(&trial, Some(Landmark::NearKnee), press(frame, finger)).unwrap();
        assert_eq!((drag.at, drag.has_moved()), (at, false));
        let moved = drag.moved(Pixel { x_px: finger.x_px + 2.0, y_px: finger.y_px });
        assert_eq!((moved.at.x_px, moved.has_moved()), (at.x_px + 2.0, true));
    }

    #[test]
    fn a_press_away_from_its_mark_places_the_chosen_landmark_there() {
        let trial = trial();
        let (frame, at) = mark(&trial, Landmark::NearKnee);
        let finger = Pixel { x_px: at.x_px + 30.0, y_px: at.y_px };
        let drag = Drag::begin(&trial, Some(Landmark::NearKnee), press(frame, finger)).unwrap();
        assert_eq!((drag.at, drag.has_moved()), (finger, true));
    }

    #[test]
    fn without_a_chosen_landmark_only_a_mark_within_reach_is_held() {
        let trial = trial();
        let (frame, at) = mark(&trial, Landmark::NearKnee);
        let held = Drag::begin(&trial, None, press(frame, at)).unwrap();
        assert_eq!(held.landmark, Landmark::NearKnee);
        let corner = Pixel { x_px: 0.0, y_px: 0.0 };
        assert_eq!(Drag::begin(&trial, None, press(frame, corner)), None);
    }
}
