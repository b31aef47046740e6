//! Steps through a clip by the page's own controls, and reads back what its canvas shows.

use super::boxes::Matrix;
use super::gray_code::{Spot, Unreadable, number, spots, stretched_tone_error, tone_error};
use super::kinds::{Kind, Surgery};
use crate::error::Result;
use fantoccini::Client;
use serde_json::{Value, json};

/// A frame as the page showed it.
#[derive(Clone, Debug, PartialEq)]
pub struct ShownFrame {
    /// The number that the page names.
    pub frame: usize,
    /// The number in the frame itself, or why none can be read.
    pub number: std::result::Result<usize, Unreadable>,
    /// The largest error of the corners' tones.
    pub tone_error: f64,
    /// The same against the tones of a browser that takes the full range for the limited range.
    pub stretched_tone_error: f64,
    /// From the gesture until the page named the frame; 0 if no single gesture asked for it.
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
        // Only the part with the places: a frame of 1080p is 8 MB, and memory is measured too.
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

/// Drags the slider to each frame without waiting, and reads back at every repaint.
///
/// The clock runs ahead at each reading, so that code that postpones work when time is short always does: the drawn
/// frame and the named frame must agree on a slow machine too.
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

/// A place of the coded frame on the canvas, as fractions of its width and height.
fn on_canvas(kind: &Kind, spot: Spot) -> (f64, f64) {
    let (width, height) = (kind.size_px.0 as f64, kind.size_px.1 as f64);
    let Surgery::Matrix(Matrix { a, b, c, d }) = kind.surgery else {
        return (spot.x_px / width, spot.y_px / height);
    };
    let turn = |p: i32, q: i32| {
        let (p, q) = (f64::from(p), f64::from(q));
        let size = (p * width).abs() + (q * height).abs();
        // The matrix rotates about the corner; the result is then moved back into the canvas.
        let back = (p * width).min(0.0) + (q * height).min(0.0);
        (p * spot.x_px + q * spot.y_px - back) / size
    };
    (turn(a, c), turn(b, d))
}

async fn run(
    client: &Client,
    script: &str,
    kind: &Kind,
    frames: &[usize],
) -> Result<Vec<ShownFrame>> {
    let places: Vec<_> = spots().into_iter().map(|s| on_canvas(kind, s)).collect();
    let script = format!("const [spots, frames, done] = arguments;{COMMON}{script}");
    let answer = client.execute_async(&script, vec![json!(places), json!(frames)]).await?;
    if let Some(error) = answer.get("error").and_then(Value::as_str) {
        return Err(error.into());
    }
    let all = answer.get("seen").and_then(Value::as_array).ok_or("the page does not answer")?;
    all.iter().map(|entry| seen(entry).ok_or("the page answers in another form".into())).collect()
}

fn seen(entry: &Value) -> Option<ShownFrame> {
    let frame = usize::try_from(entry.get(0)?.as_u64()?).ok()?;
    let read: Vec<f64> = entry.get(1)?.as_array()?.iter().filter_map(Value::as_f64).collect();
    Some(ShownFrame {
        frame,
        number: number(&read),
        tone_error: tone_error(&read),
        stretched_tone_error: stretched_tone_error(&read),
        took_ms: entry.get(2).and_then(Value::as_f64).unwrap_or(0.0),
    })
}

/// Goes to each of these frames in turn: by a step to a neighbour, else by a jump.
///
/// # Errors
/// When one of them is not shown within ten seconds.
pub async fn visit(client: &Client, kind: &Kind, frames: &[usize]) -> Result<Vec<ShownFrame>> {
    run(client, VISIT, kind, frames).await
}

/// Drags through these frames faster than they can be shown; answers everything that was shown meanwhile.
///
/// # Errors
/// When the last of them is not shown in the end.
pub async fn scrub(client: &Client, kind: &Kind, frames: &[usize]) -> Result<Vec<ShownFrame>> {
    run(client, SCRUB, kind, frames).await
}
