//! Which frame is wanted, which is shown, and the asking between: at most one picture is under way.

use super::clock::{Ticker, now_ms};
use document::session::TrialId;
use std::rc::Rc;

/// A frame of a clip.
pub type Place = (TrialId, u32);

/// The state of showing pictures.
#[derive(Default)]
pub struct Player {
    wanted: Option<Place>,
    asked: Option<Place>,
    shown: Option<Place>,
    playing: Option<Playing>,
}

struct Playing {
    trial: TrialId,
    first: u32,
    began_ms: f64,
    speed_ratio: f64,
    times_s: Rc<[f64]>,
    _ticker: Ticker,
}

impl Player {
    /// A frame is wanted; answers the place to ask the worker for, if none is under way.
    pub fn want(&mut self, place: Place) -> Option<Place> {
        self.wanted = Some(place);
        self.next_to_ask()
    }

    /// The worker sent the picture of this place; answers the next place to ask for.
    pub fn arrived(&mut self, place: Place) -> Option<Place> {
        self.shown = Some(place);
        self.asked = None;
        self.next_to_ask()
    }

    /// A picture that was not asked for was drawn; nothing else is wanted until it is said.
    pub fn drawn(&mut self, place: Place) {
        self.shown = Some(place);
        self.wanted = Some(place);
    }

    /// The worker could not send what was asked; it is not asked for again until wanted anew.
    pub fn failed(&mut self) {
        self.wanted = self.shown;
        self.asked = None;
    }

    /// The clips changed: whatever was shown is no longer what is wanted.
    pub fn forget(&mut self) {
        *self = Self::default();
    }

    /// The picture last drawn.
    #[must_use]
    pub fn shown(&self) -> Option<Place> {
        self.shown
    }

    fn next_to_ask(&mut self) -> Option<Place> {
        if self.asked.is_some() || self.wanted == self.shown {
            return None;
        }
        self.asked = self.wanted;
        self.asked
    }

    /// Starts to play from this frame; `on_tick` runs before each repaint.
    pub fn play(
        &mut self,
        from: Place,
        times_s: Rc<[f64]>,
        speed_ratio: f64,
        on_tick: impl FnMut(f64) + 'static,
    ) {
        self.playing = Some(Playing {
            trial: from.0,
            first: from.1,
            began_ms: now_ms(),
            speed_ratio,
            times_s,
            _ticker: Ticker::start(on_tick),
        });
    }

    /// Stops playing.
    pub fn stop(&mut self) {
        self.playing = None;
    }

    /// The frame that belongs to this time while playing, and whether it is the last.
    #[must_use]
    pub fn due(&self, time_ms: f64) -> Option<(Place, bool)> {
        let playing = self.playing.as_ref()?;
        let began_s = playing.times_s.get(playing.first as usize)?;
        let due_s = began_s + (time_ms - playing.began_ms).max(0.0) / 1000.0 * playing.speed_ratio;
        let after = playing.times_s.partition_point(|t| *t <= due_s);
        let frame = u32::try_from(after.saturating_sub(1)).unwrap_or(u32::MAX);
        Some(((playing.trial, frame), after >= playing.times_s.len()))
    }
}
