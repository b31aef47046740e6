//! What a finger or a key does to a mark.

use crate::ui::stage::Gesture;
use document::session::Trial;
use mechanics::body::Landmark;
use mechanics::space::Pixel;
use web_sys::KeyboardEvent;

/// A mark under the finger. It keeps its distance to the finger, so taking hold of it does not move it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Drag {
    /// Which.
    pub landmark: Landmark,
    /// In which frame.
    pub frame: u32,
    /// Where it is now.
    pub at: Pixel,
    /// From the finger to the mark.
    offset: (f64, f64),
    /// Where it was, if it was anywhere.
    before: Option<Pixel>,
}

impl Drag {
    /// The finger is here now.
    #[must_use]
    pub fn moved(self, finger: Pixel) -> Self {
        Self {
            at: Pixel { x_px: finger.x_px + self.offset.0, y_px: finger.y_px + self.offset.1 },
            ..self
        }
    }

    /// Whether it is a new mark or an old one that moved by half a pixel or more.
    #[must_use]
    pub fn has_moved(&self) -> bool {
        self.before.is_none_or(|b| (b.x_px - self.at.x_px).hypot(b.y_px - self.at.y_px) >= 0.5)
    }
}

/// What a press takes hold of: a mark within reach, the chosen one first; else the chosen landmark is put here.
#[must_use]
pub fn take_hold(trial: &Trial, chosen: Option<Landmark>, gesture: Gesture) -> Option<Drag> {
    let mark = |l: Landmark| Some((l, trial.tracks.get(&l)?.sample(gesture.frame)?.at));
    let away = |p: Pixel| (p.x_px - gesture.at.x_px).hypot(p.y_px - gesture.at.y_px);
    let hold = |(landmark, at): (Landmark, Pixel)| Drag {
        landmark,
        frame: gesture.frame,
        at,
        offset: (at.x_px - gesture.at.x_px, at.y_px - gesture.at.y_px),
        before: Some(at),
    };
    let fresh = |landmark| Drag {
        landmark,
        frame: gesture.frame,
        at: gesture.at,
        offset: (0.0, 0.0),
        before: None,
    };
    let Some(chosen_one) = chosen else {
        return (trial.marker_set.landmarks().iter().filter_map(|l| mark(*l)))
            .filter(|(_, at)| away(*at) <= gesture.reach_px)
            .min_by(|a, b| away(a.1).total_cmp(&away(b.1)))
            .map(hold);
    };
    match mark(chosen_one) {
        Some((landmark, at)) if away(at) <= gesture.reach_px => Some(hold((landmark, at))),
        _ => Some(fresh(chosen_one)),
    }
}

/// How far an arrow key moves a mark: one pixel, with Shift ten.
#[must_use]
pub fn nudge(event: &KeyboardEvent) -> Option<(f64, f64)> {
    let step = if event.shift_key() { 10.0 } else { 1.0 };
    match event.key().as_str() {
        "ArrowLeft" => Some((-step, 0.0)),
        "ArrowRight" => Some((step, 0.0)),
        "ArrowUp" => Some((0.0, -step)),
        "ArrowDown" => Some((0.0, step)),
        _ => None,
    }
}
