//! What a person does in the frame: taps, drags, zooms, moves marks by keys.

use super::Browser;
use crate::error::Result;
use fantoccini::Locator;
use fantoccini::actions::{InputSource, MOUSE_BUTTON_LEFT, MouseActions, PointerAction};
use serde_json::{Value, json};
use std::time::Duration;

/// Keys in the encoding of the WebDriver protocol.
pub mod key {
    /// To the left.
    pub const LEFT: &str = "\u{e012}";
    /// Upwards.
    pub const UP: &str = "\u{e013}";
    /// To the right.
    pub const RIGHT: &str = "\u{e014}";
    /// Downwards.
    pub const DOWN: &str = "\u{e015}";
    /// Held until the end of the text that is typed.
    pub const SHIFT: &str = "\u{e008}";
    /// Held until the end of the text that is typed.
    pub const CONTROL: &str = "\u{e009}";
}

/// The stage with the frame, for scripts.
const STAGE: &str = "document.querySelector('[data-testid=stage]')";

impl Browser {
    /// Waits until this frame is shown.
    ///
    /// # Errors
    /// When it is not in time.
    pub async fn shows_frame(&self, frame: u32, seconds: u64) -> Result<()> {
        self.until(&format!("{STAGE}?.dataset.frame === '{frame}'"), seconds).await
    }

    /// The number of the frame that is shown.
    ///
    /// # Errors
    /// When no frame is shown.
    pub async fn frame(&self) -> Result<u32> {
        let frame = self.script(&format!("return {STAGE}?.dataset.frame;")).await?;
        Ok(frame.as_str().ok_or("no frame is shown")?.parse()?)
    }

    /// Goes to a frame by the slider under it.
    ///
    /// # Errors
    /// When the frame does not come.
    pub async fn scrub(&self, frame: u32) -> Result<()> {
        self.slide("Frame", f64::from(frame)).await?;
        self.shows_frame(frame, 20).await?;
        self.shows_no_fault().await
    }

    /// Moves a slider, with the event that a drag sends.
    async fn slide(&self, label: &str, value: f64) -> Result<()> {
        let css = format!("input[type=range][aria-label=\"{label}\"]");
        self.wait(&css, 20).await?;
        let set = "const s = document.querySelector(arguments[0]); s.value = arguments[1];
             s.dispatchEvent(new InputEvent('input', { bubbles: true }));";
        self.client.execute(set, vec![json!(css), json!(value)]).await?;
        Ok(())
    }

    /// Drags in the frame from one place to another, in clip pixels.
    ///
    /// # Errors
    /// When no frame is shown.
    pub async fn drag(&self, from: (f64, f64), to: (f64, f64)) -> Result<()> {
        self.scroll_to(((from.0 + to.0) / 2.0, (from.1 + to.1) / 2.0)).await?;
        let (x0, y0) = self.on_screen(from).await?;
        let (x1, y1) = self.on_screen(to).await?;
        self.drag_on_screen((x0, y0), (x1, y1)).await
    }

    /// Drags on the screen from one place to another.
    ///
    /// # Errors
    /// When the browser is gone, or the page shows a fault after it.
    pub async fn drag_on_screen(&self, from: (f64, f64), to: (f64, f64)) -> Result<()> {
        let go = |x, y| PointerAction::MoveTo { duration: Some(Duration::from_millis(20)), x, y };
        let mouse = MouseActions::new("mouse".into())
            .then(go(from.0, from.1))
            .then(PointerAction::Down { button: MOUSE_BUTTON_LEFT })
            .then(go(to.0, to.1))
            .then(PointerAction::Up { button: MOUSE_BUTTON_LEFT });
        self.client.perform_actions(mouse).await?;
        self.shows_no_fault().await
    }

    /// Taps in the frame, in clip pixels.
    ///
    /// # Errors
    /// When no frame is shown.
    pub async fn tap(&self, at: (f64, f64)) -> Result<()> {
        self.drag(at, at).await
    }

    /// Zooms the frame: 1, 2 or 4 times.
    ///
    /// # Errors
    /// When there is no such button.
    pub async fn zoom(&self, times: u32) -> Result<()> {
        let name =
            if times == 1 { "Whole picture".into() } else { format!("{times} times as close") };
        self.press(&name).await
    }

    /// Scrolls the frame until a place of it is in the middle, or as near to it as possible.
    async fn scroll_to(&self, (x, y): (f64, f64)) -> Result<()> {
        let scroll = format!(
            "const s = {STAGE}, w = s.closest('.stage-window');
             s.scrollIntoView({{ block: 'center' }});
             if (w) {{
                 w.scrollLeft = (arguments[0] + 0.5) / s.dataset.width * s.offsetWidth - w.clientWidth / 2;
                 w.scrollTop = (arguments[1] + 0.5) / s.dataset.height * s.offsetHeight - w.clientHeight / 2;
                 w.scrollIntoView({{ block: 'center' }});
             }}"
        );
        self.client.execute(&scroll, vec![json!(x), json!(y)]).await?;
        Ok(())
    }

    /// The place on the screen of a place of the frame. Pixel centres are at whole numbers.
    async fn on_screen(&self, (x, y): (f64, f64)) -> Result<(f64, f64)> {
        let place = format!(
            "const s = {STAGE}, r = s.getBoundingClientRect();
             return [r.left + (arguments[0] + 0.5) / s.dataset.width * r.width,
                     r.top + (arguments[1] + 0.5) / s.dataset.height * r.height];"
        );
        let place = self.client.execute(&place, vec![json!(x), json!(y)]).await?;
        let number = |i: usize| place.get(i).and_then(Value::as_f64).ok_or("no frame is shown");
        Ok((number(0)?, number(1)?))
    }

    /// Moves what lies at one place of the frame exactly to another, as exactly as the page allows: at zoom 4, by a
    /// drag to a whole pixel of the screen, from which the arrow keys move it on by whole pixels of the clip.
    ///
    /// # Errors
    /// When no frame is shown.
    pub async fn put_exactly(&self, from: (f64, f64), to: (f64, f64)) -> Result<()> {
        self.zoom(4).await?;
        self.scroll_to(to).await?;
        let (x0, y0) = self.on_screen(from).await?;
        let (x1, y1) = self.on_screen(to).await?;
        let (step_x, step_y) = {
            let next = self.on_screen((to.0 + 1.0, to.1 + 1.0)).await?;
            (next.0 - x1, next.1 - y1)
        };
        let (x, right) = whole_and_steps(x1, step_x);
        let (y, down) = whole_and_steps(y1, step_y);
        self.drag_on_screen((x0.round(), y0.round()), (x, y)).await?;
        for (count, towards, back) in [(right, key::RIGHT, key::LEFT), (down, key::DOWN, key::UP)] {
            for _ in 0..count.abs() {
                self.keys(if count > 0 { towards } else { back }).await?;
            }
        }
        Ok(())
    }

    /// Presses keys while the frame has the focus.
    ///
    /// # Errors
    /// When no frame is shown.
    pub async fn keys(&self, keys: &str) -> Result<()> {
        let stage = self.client.find(Locator::Css("[data-testid=stage]")).await?;
        stage.send_keys(keys).await?;
        self.shows_no_fault().await
    }

    /// Drops a file on the page, from outside of the browser.
    ///
    /// # Errors
    /// When the browser refuses.
    pub async fn drop_file(&self, file: &std::path::Path, at: (f64, f64)) -> Result<()> {
        let file = std::fs::canonicalize(file)?;
        let data = json!({ "items": [], "files": [file], "dragOperationsMask": 1 });
        for kind in ["dragEnter", "dragOver", "drop"] {
            let event = json!({ "type": kind, "x": at.0, "y": at.1, "data": data });
            self.command("Input.dispatchDragEvent", event).await?;
        }
        self.shows_no_fault().await
    }
}

/// The whole pixel of the screen from which a number of steps of a clip pixel lead nearest to a place.
fn whole_and_steps(place: f64, step: f64) -> (f64, i32) {
    let off = |count: i32| {
        let start = place - f64::from(count) * step;
        (start - start.round()).abs()
    };
    let best = (-4..=4).min_by(|a, b| off(*a).total_cmp(&off(*b))).unwrap_or(0);
    ((place - f64::from(best) * step).round(), best)
}

#[cfg(test)]
mod tests {
    use super::whole_and_steps;

    #[test]
    fn steps_of_the_clip_reach_a_place_between_pixels_of_the_screen() {
        for (place, step) in [(100.4, 2.3), (57.13, 2.83), (12.5, 1.7)] {
            let (whole, count) = whole_and_steps(place, step);
            assert_eq!(whole, whole.round());
            let reached = whole + f64::from(count) * step;
            assert!((reached - place).abs() <= 0.15, "{reached} for {place}");
        }
    }
}
