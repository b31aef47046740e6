//! Draws the lines of a calibration by gestures and keys.

use super::line::{HeldLine, LineKind};
use crate::ui::actions::Actions;
use crate::ui::sentences;
use crate::ui::stage::{Gesture, Phase};
use crate::ui::steps::nudge::Nudge;
use document::session::{ClipCalibration, TrialCommand, TrialId};
use yew::prelude::*;

/// The trial to calibrate, with its lines as they lie in the frame on the screen.
#[derive(Clone)]
pub struct DrawingTarget {
    /// The actions of the page.
    pub actions: Actions,
    /// The trial.
    pub trial: TrialId,
    /// Its calibration.
    pub calibration: ClipCalibration,
    /// The frame on the screen.
    pub frame: u32,
}

impl DrawingTarget {
    /// Stores a line that was drawn or moved; a line that is too short is refused with a notice.
    fn store(&self, line: HeldLine) {
        match line.applied_to(self.calibration, self.frame) {
            Some(calibration) => {
                self.actions.change_trial(self.trial, TrialCommand::Calibrate(calibration));
            }
            None => self.actions.report(sentences::scale::TOO_SHORT),
        }
    }
}

/// The state of drawing.
pub struct Drawing {
    /// The kind of line that the next press begins.
    pub tool: UseStateHandle<Option<LineKind>>,
    /// The line under the finger.
    pub dragged: UseStateHandle<Option<HeldLine>>,
    /// The line that the keys move.
    pub selected: UseStateHandle<Option<HeldLine>>,
}

/// The state of drawing; the scale is drawn first if there is none.
#[hook]
pub fn use_drawing(begins_with_scale: bool) -> Drawing {
    Drawing {
        tool: use_state_eq(|| begins_with_scale.then_some(LineKind::Scale)),
        dragged: use_state_eq(|| None),
        selected: use_state_eq(|| None),
    }
}

impl Drawing {
    /// The listener for gestures.
    pub fn gestures(&self, target: &DrawingTarget) -> Callback<Gesture> {
        let (tool, dragged, selected) =
            (self.tool.clone(), self.dragged.clone(), self.selected.clone());
        let target = target.clone();
        Callback::from(move |gesture: Gesture| match gesture.phase {
            Phase::Press => dragged.set(match *tool {
                Some(kind) => Some(HeldLine::new(kind, gesture.at)),
                None => HeldLine::within_reach(&target.calibration, gesture.at, gesture.reach_px),
            }),
            Phase::Move => dragged.set(dragged.map(|line| line.moved_to(gesture.at))),
            Phase::Release => {
                if let Some(line) = dragged.map(|line| line.moved_to(gesture.at)) {
                    target.store(line);
                    selected.set(Some(line));
                    tool.set(None);
                }
                dragged.set(None);
            }
            Phase::Cancel => dragged.set(None),
        })
    }

    /// The listener for keys.
    pub fn keys(&self, target: &DrawingTarget) -> Callback<KeyboardEvent> {
        let (target, selected) = (target.clone(), self.selected.clone());
        Callback::from(move |event: KeyboardEvent| {
            if let (Some(line), Some(nudge)) = (*selected, Nudge::of(&event)) {
                event.prevent_default();
                let line = line.moved_to(nudge.moved(line.held_end()));
                target.store(line);
                selected.set(Some(line));
            }
        })
    }
}
