//! The drawing over the picture: marks, limbs, the dragged mark; and doubt along the time line.

mod doubt_strip;
mod mark_shapes;

pub use doubt_strip::doubt_strip;

use super::place::Drag;
use document::results::scene::{SceneLine, scene, trail};
use document::session::{TrackSample, Trial};
use mark_shapes::{Shapes, bone};
use mechanics::body::Landmark;
use mechanics::space::Pixel;
use std::collections::BTreeMap;
use std::rc::Rc;
use yew::prelude::*;

/// Width of the picture over the radius of a mark.
const RADIUS_DIVISOR: f64 = 200.0;
/// Frames before and after the current one in which the trail of the chosen marker is drawn.
const TRAIL_FRAMES: u32 = 30;

/// What is drawn over a frame.
pub struct Overlay {
    /// The trial.
    pub trial: Rc<Trial>,
    /// The landmark that the next press places.
    pub chosen: Option<Landmark>,
    /// The mark that is dragged.
    pub drag: Option<Drag>,
    /// The crosshair that the keys move.
    pub crosshair: Option<Pixel>,
    /// The marks found in the frame, while it is tracked.
    pub live: Option<BTreeMap<Landmark, Option<TrackSample>>>,
}

impl Overlay {
    /// The overlay for the stage.
    pub fn callback(self) -> Callback<u32, Html> {
        Callback::from(move |frame| self.draw(frame))
    }

    fn shapes(&self) -> Shapes {
        Shapes { radius_px: f64::from(self.trial.clip.info.width_px) / RADIUS_DIVISOR }
    }

    fn draw(&self, frame: u32) -> Html {
        match (&self.live, self.drag.filter(|d| d.frame == frame)) {
            (Some(live), _) => self.draw_live(live),
            (None, Some(drag)) => self.draw_dragging(frame, drag),
            (None, None) => self.draw_at_rest(frame),
        }
    }

    fn draw_live(&self, live: &BTreeMap<Landmark, Option<TrackSample>>) -> Html {
        let found = live.iter().filter_map(|(landmark, sample)| Some((*landmark, (*sample)?)));
        let is_chosen = |landmark| Some(landmark) == self.chosen;
        found.map(|(l, s)| self.shapes().mark(s.at, s.certainty, is_chosen(l))).collect()
    }

    /// The marks at rest, and the dragged one as a crosshair with its name.
    fn draw_dragging(&self, frame: u32, drag: Drag) -> Html {
        let shapes = self.shapes();
        html! {
            <>
                { self.marks(frame, Some(drag.landmark)) }
                { shapes.crosshair(drag.at) }
                { shapes.caption(drag.landmark, drag.at) }
            </>
        }
    }

    fn draw_at_rest(&self, frame: u32) -> Html {
        let scene = scene(&self.trial, frame);
        html! {
            <>
                { self.chosen.map(|landmark| self.trail(landmark, frame)) }
                { for scene.lines.iter().map(|line: &SceneLine| bone(line)) }
                { self.marks(frame, None) }
                { self.crosshair.map(|at| self.shapes().crosshair(at)) }
            </>
        }
    }

    /// The marks of a frame without the dragged one.
    fn marks(&self, frame: u32, dragged: Option<Landmark>) -> Html {
        let scene = scene(&self.trial, frame);
        let at_rest = scene.points.iter().filter(|p| Some(p.landmark) != dragged);
        let is_chosen = |landmark| Some(landmark) == self.chosen;
        at_rest.map(|p| self.shapes().mark(p.at, p.certainty, is_chosen(p.landmark))).collect()
    }

    /// The path of a marker shortly before and after a frame, in which a jump is obvious.
    fn trail(&self, landmark: Landmark, frame: u32) -> Html {
        let pieces = trail(&self.trial, landmark, frame, TRAIL_FRAMES);
        pieces.iter().map(|piece| mark_shapes::trail(piece)).collect()
    }
}
