//! Playback of a clip.

use crate::ui::actions::use_actions;
use crate::ui::store::ViewChange;
use document::session::Trial;
use std::rc::Rc;
use yew::prelude::*;

/// The speeds, slowest first: name, and ratio to natural speed.
pub const SPEEDS: [(&str, f64); 4] = [("1/8", 0.125), ("1/4", 0.25), ("1/2", 0.5), ("1", 1.0)];

/// The state of playback, and the ways to start and stop it.
pub struct Playback {
    /// Index of the speed in `SPEEDS`.
    pub speed: UseStateHandle<usize>,
    /// Whether the clip plays.
    pub is_playing: bool,
    /// Stops.
    pub stop: Callback<()>,
    /// Stops if the clip plays, else starts.
    pub toggle: Callback<MouseEvent>,
}

/// Playback of a trial's clip from the frame at rest; the store learns the frame when it stops.
#[hook]
pub fn use_playback(trial: &Trial, frame: u32) -> Playback {
    let actions = use_actions();
    let playing = use_state_eq(|| false);
    let speed = use_state_eq(|| 1_usize);
    let id = trial.id;
    let stop = {
        let (actions, playing) = (actions.clone(), playing.clone());
        Callback::from(move |()| {
            playing.set(false);
            if let Some((_, frame)) = actions.conductor.stop() {
                actions.change_view(ViewChange::Frame(frame));
            }
        })
    };
    let is_playing = *playing;
    let toggle = {
        let (actions, stop) = (actions.clone(), stop.clone());
        let times_s: Rc<[f64]> = trial.times_s().into();
        let speed_ratio = SPEEDS.get(*speed).map_or(1.0, |s| s.1);
        let last = trial.clip.info.frame_count().saturating_sub(1);
        let from = (id, if frame >= last { 0 } else { frame });
        Callback::from(move |_: MouseEvent| {
            if is_playing {
                stop.emit(());
            } else {
                playing.set(true);
                let on_end = stop.clone();
                let times_s = Rc::clone(&times_s);
                actions.conductor.play(from, times_s, speed_ratio, move || on_end.emit(()));
            }
        })
    };
    let conductor = actions.conductor.clone();
    use_effect_with(id, move |_| {
        move || {
            conductor.stop();
        }
    });
    Playback { speed, is_playing, stop, toggle }
}
