//! Keys that place and move marks.

use crate::ui::actions::Actions;
use crate::ui::steps::markers::new_mark::NewMark;
use crate::ui::steps::markers::review::go_to_next_doubt;
use crate::ui::steps::nudge::Nudge;
use document::session::{Trial, TrialCommand};
use mechanics::body::Landmark;
use mechanics::space::Pixel;
use std::rc::Rc;
use yew::prelude::*;

/// The label of the picture, which names the keys.
pub const PLACE_LABEL: &str = "Picture: press to place the named landmark; arrow keys move it by one pixel, with Shift by ten, \
    Enter places it, N goes to the next doubtful stretch";

/// What the keys act on.
pub struct MarkKeys {
    /// The trial.
    pub trial: Rc<Trial>,
    /// The frame at rest.
    pub frame: u32,
    /// The landmark that they move.
    pub chosen: Option<Landmark>,
    /// The position of its mark in this frame.
    pub mark: Option<Pixel>,
    /// The crosshair that they move if there is no mark.
    pub crosshair: UseStateHandle<Option<Pixel>>,
    /// Places a mark.
    pub on_place: Callback<NewMark>,
}

impl MarkKeys {
    /// The listener for keys.
    pub fn listener(self, actions: &Actions) -> Callback<KeyboardEvent> {
        let actions = actions.clone();
        Callback::from(move |event: KeyboardEvent| {
            if matches!(event.key().as_str(), "n" | "N") {
                return go_to_next_doubt(&actions, &self.trial, self.frame);
            }
            let Some(landmark) = self.chosen else { return };
            if let Some(nudge) = Nudge::of(&event) {
                event.prevent_default();
                return self.move_by(nudge, landmark);
            }
            match event.key().as_str() {
                "Enter" => {
                    event.prevent_default();
                    self.place(landmark, self.position());
                }
                "Delete" => {
                    let forget = TrialCommand::ForgetMark { landmark, frame: self.frame };
                    actions.change_trial(self.trial.id, forget);
                }
                _ => {}
            }
        })
    }

    /// The position that the keys act on: the mark, the crosshair, or the middle of the picture.
    fn position(&self) -> Pixel {
        let info = &self.trial.clip.info;
        let middle =
            Pixel { x_px: f64::from(info.width_px) / 2.0, y_px: f64::from(info.height_px) / 2.0 };
        self.mark.or(*self.crosshair).unwrap_or(middle)
    }

    fn move_by(&self, nudge: Nudge, landmark: Landmark) {
        let at = nudge.moved(self.position());
        if self.mark.is_some() {
            self.place(landmark, at);
        } else {
            self.crosshair.set(Some(at));
        }
    }

    fn place(&self, landmark: Landmark, at: Pixel) {
        self.on_place.emit(NewMark { landmark, frame: self.frame, at, glance: None });
    }
}
