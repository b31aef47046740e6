//! Gestures that place and move marks.

use super::drag::Drag;
use crate::ui::actions::Actions;
use crate::ui::stage::{Gesture, Phase};
use crate::ui::steps::markers::new_mark::NewMark;
use crate::ui::store::ViewChange;
use document::session::Trial;
use mechanics::body::Landmark;
use std::rc::Rc;
use yew::prelude::*;

/// The listener for gestures: a drag places or moves a mark, a press on a mark chooses its landmark.
pub fn drag_gestures(
    actions: &Actions,
    trial: &Rc<Trial>,
    chosen: Option<Landmark>,
    drag: &UseStateHandle<Option<Drag>>,
    on_place: Callback<NewMark>,
) -> Callback<Gesture> {
    let (actions, trial, drag) = (actions.clone(), Rc::clone(trial), drag.clone());
    Callback::from(move |gesture: Gesture| match gesture.phase {
        Phase::Press => {
            actions.conductor.stop();
            drag.set(Drag::begin(&trial, chosen, gesture));
        }
        Phase::Move => drag.set(drag.map(|d| d.moved(gesture.at))),
        Phase::Release => {
            if let Some(end) = drag.map(|d| d.moved(gesture.at)) {
                let Drag { landmark, frame, at, .. } = end;
                if end.has_moved() {
                    on_place.emit(NewMark { landmark, frame, at, glance: gesture.glance });
                } else {
                    actions.change_view(ViewChange::Landmark(Some(landmark)));
                }
            }
            drag.set(None);
        }
        Phase::Cancel => drag.set(None),
    })
}
