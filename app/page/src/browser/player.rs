//! The frame that is wanted and the frame that is displayed; at most one request is under way.

use super::clock::{Ticker, now_ms};
use document::session::TrialId;
use std::rc::Rc;

/// A frame of a clip.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FramePlace {
    /// The trial of the clip.
    pub trial: TrialId,
    /// The frame, in display order.
    pub frame: u32,
}

/// The frame that is due while a clip plays.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct DueFrame {
    /// The frame.
    pub place: FramePlace,
    /// Whether it is the last of the clip.
    pub is_last: bool,
}

/// The state of the display.
#[derive(Default)]
pub struct Player {
    wanted: Option<FramePlace>,
    requested: Option<FramePlace>,
    shown: Option<FramePlace>,
    playing: Option<Playing>,
}

struct Playing {
    from: FramePlace,
    began_ms: f64,
    speed_ratio: f64,
    times_s: Rc<[f64]>,
    _ticker: Ticker,
}

impl Player {
    /// A frame is wanted. Returns the frame to request, if no request is under way.
    pub fn want(&mut self, place: FramePlace) -> Option<FramePlace> {
        self.wanted = Some(place);
        self.next_request()
    }

    /// The requested frame arrived. Returns the next frame to request.
    pub fn arrived(&mut self, place: FramePlace) -> Option<FramePlace> {
        self.shown = Some(place);
        self.requested = None;
        self.next_request()
    }

    /// A frame was displayed without a request, and is now the wanted one.
    pub fn drawn(&mut self, place: FramePlace) {
        self.shown = Some(place);
        self.wanted = Some(place);
    }

    /// The request failed. The frame is not requested again until it is wanted again.
    pub fn failed(&mut self) {
        self.wanted = self.shown;
        self.requested = None;
    }

    /// Forgets everything, because the clips or the canvas changed.
    pub fn forget(&mut self) {
        *self = Self::default();
    }

    /// The frame displayed last.
    #[must_use]
    pub fn shown(&self) -> Option<FramePlace> {
        self.shown
    }

    fn next_request(&mut self) -> Option<FramePlace> {
        if self.requested.is_some() || self.wanted == self.shown {
            return None;
        }
        self.requested = self.wanted;
        self.requested
    }

    /// Plays from this frame; `on_tick` runs before each repaint.
    pub fn play(
        &mut self,
        from: FramePlace,
        times_s: Rc<[f64]>,
        speed_ratio: f64,
        on_tick: impl FnMut(f64) + 'static,
    ) {
        self.playing = Some(Playing {
            from,
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

    /// The frame that is due at this time while a clip plays.
    #[must_use]
    pub fn due(&self, time_ms: f64) -> Option<DueFrame> {
        let playing = self.playing.as_ref()?;
        let began_s = playing.times_s.get(playing.from.frame as usize)?;
        let due_s = began_s + (time_ms - playing.began_ms).max(0.0) / 1000.0 * playing.speed_ratio;
        let after = playing.times_s.partition_point(|t| *t <= due_s);
        let frame = u32::try_from(after.saturating_sub(1)).unwrap_or(u32::MAX);
        let place = FramePlace { frame, ..playing.from };
        Some(DueFrame { place, is_last: after >= playing.times_s.len() })
    }
}
