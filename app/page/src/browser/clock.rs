//! The page's clock: a loop that runs once a drawn frame, and a pause that can be awaited.

use std::cell::{Cell, RefCell};
use std::rc::Rc;
use wasm_bindgen::prelude::*;
use wasm_bindgen_futures::JsFuture;

/// Milliseconds since the page began, never going back.
#[must_use]
pub fn now_ms() -> f64 {
    web_sys::window().and_then(|w| w.performance()).map_or(0.0, |p| p.now())
}

/// Waits for so many milliseconds.
pub async fn pause(ms: i32) {
    let promise = js_sys::Promise::new(&mut |resolve, _| {
        if let Some(window) = web_sys::window() {
            // A window that cannot set a timer is closing; the promise then never resolves, which is right.
            let _ = window.set_timeout_with_callback_and_timeout_and_arguments_0(&resolve, ms);
        }
    });
    // The promise is only ever resolved.
    let _ = JsFuture::from(promise).await;
}

/// Waits until what was changed has been drawn; in a window that is hidden, until it is seen again.
pub async fn drawn() {
    let promise = js_sys::Promise::new(&mut |resolve, _| {
        if let Some(window) = web_sys::window() {
            // Refused only when the window is closing.
            let _ = window.request_animation_frame(&resolve);
        }
    });
    // The promise is only ever resolved, before the drawing; what follows a pause comes after it.
    let _ = JsFuture::from(promise).await;
    pause(0).await;
}

type Tick = Rc<RefCell<Option<Closure<dyn FnMut(f64)>>>>;

/// A loop that calls back before each repaint until it is dropped.
pub struct Ticker {
    running: Rc<Cell<bool>>,
}

impl Ticker {
    /// Starts the loop; the callback gets the time in milliseconds.
    #[must_use]
    pub fn start(mut on_tick: impl FnMut(f64) + 'static) -> Self {
        let running = Rc::new(Cell::new(true));
        let tick: Tick = Rc::default();
        let (again, go_on) = (Rc::clone(&tick), Rc::clone(&running));
        *tick.borrow_mut() = Some(Closure::new(move |time_ms: f64| {
            if go_on.get() {
                on_tick(time_ms);
                request(&again);
            }
            if !go_on.get() {
                // The closure may not drop itself while it runs.
                let again = Rc::clone(&again);
                wasm_bindgen_futures::spawn_local(async move {
                    again.borrow_mut().take();
                });
            }
        }));
        request(&tick);
        Self { running }
    }
}

impl Drop for Ticker {
    fn drop(&mut self) {
        self.running.set(false);
    }
}

fn request(tick: &Tick) {
    if let (Some(window), Some(closure)) = (web_sys::window(), tick.borrow().as_ref()) {
        // Refused only when the window is closing.
        let _ = window.request_animation_frame(closure.as_ref().unchecked_ref());
    }
}
