//! Displays frames: one at rest, one after the other while a clip plays, or beside the display.

use super::Conductor;
use crate::browser::frame_image::FrameImage;
use crate::browser::player::FramePlace;
use crate::ui::pending::{FrameSink, Pending};
use jobs::protocol::Request;
use std::rc::Rc;

impl Conductor {
    /// Sets where frames are displayed from now on.
    pub fn draw_on(&self, sink: Option<FrameSink>) {
        *self.0.sink.borrow_mut() = sink;
        self.0.player.borrow_mut().forget();
    }

    /// Displays this frame as soon as possible.
    pub fn show(&self, place: FramePlace) {
        let next = self.0.player.borrow_mut().want(place);
        self.request_frame(next);
    }

    fn request_frame(&self, place: Option<FramePlace>) {
        if let Some(place) = place {
            let request = Request::ShowFrame { frame: place.frame };
            self.request(place.trial, request, Some(Pending::ShowFrame(place)));
        }
    }

    /// Calls back with the image of a frame, without changing what is displayed.
    pub fn still_frame(&self, place: FramePlace, then: impl FnOnce(&FrameImage) + 'static) {
        let pending = Pending::StillFrame(place.trial, Box::new(then));
        let request = Request::StillFrame { frame: place.frame };
        self.request(place.trial, request, Some(pending));
    }

    /// Plays from this frame.
    pub fn play(
        &self,
        from: FramePlace,
        times_s: Rc<[f64]>,
        speed_ratio: f64,
        on_end: impl Fn() + 'static,
    ) {
        let weak = Rc::downgrade(&self.0);
        let on_tick = move |time_ms| {
            let Some(this) = weak.upgrade().map(Conductor) else { return };
            let due = this.0.player.borrow().due(time_ms);
            if let Some(due) = due {
                this.show(due.place);
                if due.is_last {
                    on_end();
                }
            }
        };
        self.0.player.borrow_mut().play(from, times_s, speed_ratio, on_tick);
    }

    /// Stops playing; returns the frame displayed last.
    pub fn stop(&self) -> Option<FramePlace> {
        let mut player = self.0.player.borrow_mut();
        player.stop();
        player.shown()
    }

    pub(super) fn on_frame(&self, place: FramePlace, image: Option<&Rc<FrameImage>>) {
        let sink = self.0.sink.borrow().clone();
        if let (Some(sink), Some(image)) = (sink, image) {
            sink(place, image);
        }
        let next = self.0.player.borrow_mut().arrived(place);
        self.request_frame(next);
    }

    /// Displays a frame in which markers were just tracked, without a request for it.
    pub(super) fn on_live_frame(&self, place: FramePlace, image: &Rc<FrameImage>) {
        let sink = self.0.sink.borrow().clone();
        if let Some(sink) = sink {
            sink(place, image);
        }
        self.0.player.borrow_mut().drawn(place);
    }
}
