//! Steps through a clip on the page by the page's own controls, and reads what its canvas shows.

use super::code::{Spot, number, spots, stretched_tones, tones};
use super::kinds::{Kind, Surgery};
use crate::browser::Result;
use fantoccini::Client;
use serde_json::{Value, json};

/// What the page showed at one moment.
#[derive(Clone, Debug, PartialEq)]
pub struct Seen {
    /// The frame the page says that it shows.
    pub frame: usize,
    /// The number that stands in the picture, or why none can be read.
    pub number: std::result::Result<usize, String>,
    /// How far the corners' tones are from what was drawn.
    pub tones_off: f64,
    /// The same against what a browser shows that takes the full range for the limited one.
    pub stretched_tones_off: f64,
    /// From the gesture until the page said that it shows the frame; 0 where no one gesture asked for it.
    pub took_ms: f64,
}

/// Functions of the scripts below.
const COMMON: &str = "
    const stage = () => document.querySelector('[data-testid=stage]');
    const slider = () => document.querySelector('input[type=range][aria-label=Frame]');
    const named = (name) => document.querySelector(`button[aria-label='${name}']`);
    const pause = (ms) => new Promise((done) => setTimeout(done, ms));
    const read = () => {
        const canvas = stage().querySelector('canvas');
        const places = spots.map(([x, y]) => [Math.round(x * canvas.width), Math.round(y * canvas.height)]);
        // Only what holds the places: a picture of 1080p is 8 MB, and what is held is looked at too.
        const [left, top] = [0, 1].map((i) => Math.min(...places.map((p) => p[i])) - 3);
        const [width, height] = [0, 1].map((i) => Math.max(...places.map((p) => p[i])) + 3 - (i ? top : left));
        const pixels = canvas.getContext('2d').getImageData(left, top, width, height).data;
        return places.map(([x, y]) => {
            let sum = 0;
            for (let v = -3; v < 3; v++) for (let u = -3; u < 3; u++) {
                const at = 4 * ((y + v - top) * width + x + u - left);
                sum += pixels[at] + pixels[at + 1] + pixels[at + 2];
            }
            return sum / 108;
        });
    };
    const scrub = (frame) => {
        const setter = Object.getOwnPropertyDescriptor(HTMLInputElement.prototype, 'value').set;
        setter.call(slider(), String(frame));
        slider().dispatchEvent(new Event('input', { bubbles: true }));
    };
";

const VISIT: &str = "
    (async () => {
        const seen = [];
        for (const frame of frames) {
            const now = Number(stage().dataset.frame);
            const began = performance.now();
            if (frame === now + 1) named('Next frame').click();
            else if (frame === now - 1) named('Previous frame').click();
            else if (frame !== now) scrub(frame);
            while (stage()?.dataset.frame !== String(frame)) {
                if (performance.now() - began > 10000) throw new Error(`frame ${frame} is not shown`);
                await pause(2);
            }
            const took = performance.now() - began;
            seen.push([frame, read(), took]);
        }
        return seen;
    })().then((seen) => done({ seen }), (error) => done({ error: String(error) }));
";

/// Pulls the slider to each frame without waiting, and looks at what is shown whenever the screen is drawn.
///
/// The clock runs ahead at each look, so that whoever puts work off when time is short puts it off each time: what is
/// drawn and what is named must not come apart on a slow machine either.
const SCRUB: &str = "
    (async () => {
        const seen = [], now = Date.now;
        let ahead_ms = 0;
        Date.now = () => now.call(Date) + (ahead_ms += 20);
        const look = () => {
            if (stage().dataset.frame !== undefined) seen.push([Number(stage().dataset.frame), read()]);
        };
        const drawn = () => new Promise((next) => requestAnimationFrame(next));
        const last = frames[frames.length - 1];
        const began = performance.now();
        for (let at = 0; at < frames.length || stage().dataset.frame !== String(last); at++) {
            if (performance.now() - began > 20000) throw new Error(`frame ${last} is not shown`);
            if (at < frames.length) scrub(frames[at]);
            await drawn();
            look();
            await pause(0);
            look();
        }
        Date.now = now;
        return seen;
    })().then((seen) => done({ seen }), (error) => done({ error: String(error) }));
";

/// Where a place of the coded picture stands on the canvas, as fractions of its width and height.
fn on_canvas(kind: &Kind, spot: Spot) -> (f64, f64) {
    let (width, height) = (kind.size_px.0 as f64, kind.size_px.1 as f64);
    let Surgery::Matrix((a, b, c, d)) = kind.surgery else {
        return (spot.x_px / width, spot.y_px / height);
    };
    let turn = |p: i32, q: i32| {
        let (p, q) = (f64::from(p), f64::from(q));
        let size = (p * width).abs() + (q * height).abs();
        // The matrix turns about the corner; the picture is then moved back into the frame.
        let back = (p * width).min(0.0) + (q * height).min(0.0);
        (p * spot.x_px + q * spot.y_px - back) / size
    };
    (turn(a, c), turn(b, d))
}

async fn run(client: &Client, script: &str, kind: &Kind, frames: &[usize]) -> Result<Vec<Seen>> {
    let places: Vec<_> = spots().into_iter().map(|s| on_canvas(kind, s)).collect();
    let script = format!("const [spots, frames, done] = arguments;{COMMON}{script}");
    let answer = client.execute_async(&script, vec![json!(places), json!(frames)]).await?;
    if let Some(error) = answer.get("error").and_then(Value::as_str) {
        return Err(error.into());
    }
    let all = answer.get("seen").and_then(Value::as_array).ok_or("the page answers nothing")?;
    all.iter().map(|entry| seen(entry).ok_or("the page answers in other words".into())).collect()
}

fn seen(entry: &Value) -> Option<Seen> {
    let frame = usize::try_from(entry.get(0)?.as_u64()?).ok()?;
    let read: Vec<f64> = entry.get(1)?.as_array()?.iter().filter_map(Value::as_f64).collect();
    Some(Seen {
        frame,
        number: number(&read),
        tones_off: tones(&read),
        stretched_tones_off: stretched_tones(&read),
        took_ms: entry.get(2).and_then(Value::as_f64).unwrap_or(0.0),
    })
}

/// Goes to each of these frames in turn: a step where it is the next or the one before, else a jump.
///
/// # Errors
/// When one of them is not shown within ten seconds.
pub async fn visit(client: &Client, kind: &Kind, frames: &[usize]) -> Result<Vec<Seen>> {
    run(client, VISIT, kind, frames).await
}

/// Pulls through these frames faster than they can be shown; answers all that was shown meanwhile.
///
/// # Errors
/// When the last of them is not shown in the end.
pub async fn scrub(client: &Client, kind: &Kind, frames: &[usize]) -> Result<Vec<Seen>> {
    run(client, SCRUB, kind, frames).await
}
