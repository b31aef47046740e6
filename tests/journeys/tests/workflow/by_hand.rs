//! The whole job by hand on clips of known truth: scale, plumb line, marks, tracking, ledger.

use super::common::{TRACKED, beside, saved_session, trial};
use document::session::ClipCalibration;
use journeys::browser::{Browser, Result, timed_journey};
use journeys::clips::decoder_rate_hz;
use journeys::compare::{Limits, check_trial};
use journeys::measurements::{Row, record};
use journeys::options::clips_beside;
use journeys::truth::Truth;
use mechanics::body::{Landmark, MarkerSet};
use site::serve::Server;
use std::path::Path;

/// Tracks the markers and answers the time that the page shows its progress, in milliseconds, without any other
/// command meanwhile.
const TRACK_TIMED: &str = "const done = arguments[0];
    let began = null;
    new MutationObserver((_, watch) => {
        const under = document.querySelector('.follow progress') !== null;
        if (under) began ??= performance.now();
        if (!under && began !== null) {
            watch.disconnect();
            done(performance.now() - began);
        }
    }).observe(document.body, { childList: true, subtree: true });
    [...document.querySelectorAll('.follow button')].find(b => b.innerText === 'Follow the markers').click();";

/// What is entered by hand for a clip of known truth.
struct Known {
    name: &'static str,
    mass_kg: &'static str,
    /// Whether the camera is rolled, so that the ground line has to be marked.
    is_rolled: bool,
    /// The name of its row in the measured table.
    row: &'static str,
}

/// The camera of a clip, from the file beside it.
struct Camera {
    /// The ends of the known length, in pixels.
    ends: [(f64, f64); 2],
    length_m: f64,
    px_per_m: f64,
    /// The roll of the camera.
    roll_rad: f64,
}

impl Camera {
    fn of(name: &str) -> Result<Self> {
        let text = std::fs::read_to_string(clips_beside().join(format!("{name}.meta.json")))?;
        let meta: serde_json::Value = serde_json::from_str(&text)?;
        let number = |path: &str| {
            meta.pointer(path).and_then(serde_json::Value::as_f64).ok_or(format!("no {path}"))
        };
        let end = |i: usize| -> Result<(f64, f64)> {
            Ok((number(&format!("/scale_px/{i}/0"))?, number(&format!("/scale_px/{i}/1"))?))
        };
        Ok(Self {
            ends: [end(0)?, end(1)?],
            length_m: number("/scale_m")?,
            px_per_m: number("/px_per_m")?,
            roll_rad: number("/tilt_deg")?.to_radians(),
        })
    }

    /// Three times the known length along the level ground: a longer line is more exact, and its ends are not those of the scale.
    fn ground(&self) -> [(f64, f64); 2] {
        let [from, to] = self.ends;
        let along = (to.0 - from.0, to.1 - from.1);
        [(from.0 - along.0, from.1 - along.1), (to.0 + along.0, to.1 + along.1)]
    }

    /// Checks what was entered against the true camera: lengths within 0.1 %, roll within 0.0005 rad.
    fn check(&self, entered: &ClipCalibration) -> Result<()> {
        let scale = entered.scale.ok_or("no scale")?;
        let span = |a: mechanics::space::Pixel, b: mechanics::space::Pixel| {
            (b.x_px - a.x_px, b.y_px - a.y_px)
        };
        let (x_px, y_px) = span(scale.from, scale.to);
        let px_per_m = x_px.hypot(y_px) / scale.length_m;
        let off_ratio = px_per_m / self.px_per_m - 1.0;
        println!("scale {px_per_m:.2} px/m, off by {:.3} % of 0.1 %", off_ratio * 100.0);
        if off_ratio.abs() > 0.001 {
            return Err(format!("scale {px_per_m} px/m, true {}", self.px_per_m).into());
        }
        // The ground line goes from left to right; y points down in the frame.
        let roll_rad = entered.vertical.map_or(0.0, |v| {
            let (x_px, y_px) = span(v.from, v.to);
            y_px.atan2(x_px)
        });
        println!("roll {roll_rad:.4} rad, true {:.4}", self.roll_rad);
        if (roll_rad - self.roll_rad).abs() > 0.0005 {
            return Err(format!("roll {roll_rad} rad, true {}", self.roll_rad).into());
        }
        Ok(())
    }
}

/// Draws a line roughly, then moves each end exactly to its place.
async fn draw_exactly(browser: &Browser, [from, to]: [(f64, f64); 2]) -> Result<()> {
    let roughly = |(x, y): (f64, f64), off: f64| ((x + off).round(), (y - off).round());
    let (rough_from, rough_to) = (roughly(from, 3.0), roughly(to, -3.0));
    browser.zoom(1).await?;
    browser.drag(rough_from, rough_to).await?;
    browser.put_exactly(rough_to, to).await?;
    browser.put_exactly(rough_from, from).await?;
    browser.zoom(1).await
}

/// Scale, ground line, direction, speed and mass, as a person enters them.
async fn calibrate(browser: &Browser, known: &Known, camera: &Camera) -> Result<()> {
    browser.step("Scale").await?;
    browser.shows_frame(0, 30).await?;
    draw_exactly(browser, camera.ends).await?;
    browser.fill("Length in metres", &camera.length_m.to_string()).await?;
    if known.is_rolled {
        browser.press("Mark the ground line").await?;
        draw_exactly(browser, camera.ground()).await?;
    }
    browser.choose("To the right").await?;
    browser.fill("Speed (m/s)", "2.5").await?;
    browser.fill("Body mass (kg)", known.mass_kg).await
}

/// Chosen: the distance from the middle of a sticker at which a finger may land. The head has no sticker.
fn beside_px(landmark: Landmark) -> (f64, f64) {
    if landmark == Landmark::Head { (0.0, 0.0) } else { (2.0, -2.0) }
}

/// Marks every landmark of the near side, a little beside its true place, in the guided order.
pub async fn mark(browser: &Browser, truth: &Truth) -> Result<()> {
    browser.step("Markers").await?;
    browser.shows_frame(0, 30).await?;
    for (index, landmark) in MarkerSet::NearSide.landmarks().iter().enumerate() {
        let place = truth.places.get(landmark).and_then(|p| p.first()).ok_or("no truth")?;
        let named =
            format!("document.querySelector('.now')?.innerText.startsWith('{} of 9')", index + 1);
        browser.until(&named, 10).await?;
        let (right, down) = beside_px(*landmark);
        browser.tap((place.x_px.round() + right, place.y_px.round() + down)).await?;
    }
    browser.until("document.querySelectorAll('.landmark.has-mark').length === 9", 10).await
}

/// Checks that a tap beside a sticker marks its middle.
async fn marks_are_centred(browser: &Browser, truth: &Truth) -> Result<()> {
    browser.step("Clip").await?;
    let session = saved_session(browser).await?;
    browser.step("Markers").await?;
    let marked = trial(&session, 0)?;
    let stickers = MarkerSet::NearSide.landmarks().iter().filter(|l| **l != Landmark::Head);
    for landmark in stickers {
        let place = truth.places.get(landmark).and_then(|p| p.first()).ok_or("no truth")?;
        let mark =
            marked.tracks.get(landmark).and_then(|t| t.keyframes.get(&0)).ok_or("no mark")?;
        let off_px = (mark.x_px - place.x_px).hypot(mark.y_px - place.y_px);
        // Of 1,952 taps on stickers of known places, the worst mark was 0.43 px off.
        if off_px > 0.5 {
            return Err(format!("{landmark:?} is marked {off_px:.2} px off").into());
        }
    }
    Ok(())
}

/// The whole job by hand: open, scale, direction, speed, runner, marks, tracking, ledger.
async fn by_hand(browser: &Browser, server: &Server, known: &Known, clip: &Path) -> Result<()> {
    let truth = Truth::of_csv(&clips_beside().join(format!("{}.truth_px.csv", known.name)))?;
    let camera = Camera::of(known.name)?;
    browser.open(&server.url()).await?;
    browser.choose_file("Open a clip", clip).await?;
    browser.shows_frame(0, 30).await?;
    calibrate(browser, known, &camera).await?;
    mark(browser, &truth).await?;
    marks_are_centred(browser, &truth).await?;
    let took = browser.client.execute_async(TRACK_TIMED, vec![]).await?;
    browser.until(TRACKED, 120).await?;
    let frames = truth.places.values().next().map_or(0, Vec::len);
    let rate_hz = 1000.0 * frames as f64 / took.as_f64().ok_or("it was not tracked")?;
    let decoder_hz = decoder_rate_hz(browser, clip).await?;
    let speed = format!("{rate_hz:.0} frames/s; {:.2} of {decoder_hz:.0}", rate_hz / decoder_hz);
    browser.step("Ledger").await?;
    browser.wait("table.ledger", 10).await?;
    browser.shows_no_fault().await?;
    browser.screenshot(known.name).await?;
    let session = saved_session(browser).await?;
    camera.check(&trial(&session, 0)?.calibration)?;
    let limits = Limits { work_ratio: if known.is_rolled { 0.06 } else { 0.05 }, corrections: 2 };
    let errors = check_trial(&session, &trial(&session, 0)?, &truth, limits)?;
    let rows = [
        Row::new(known.row, errors.summary(), limits.summary()),
        Row::new("decoding and tracking; share of the decoder alone", speed, "–; 0.9"),
    ];
    Ok(record(known.name, &rows)?)
}

fn runner_a_is_measured_by_hand_within_its_limits() {
    let Some(clip) = beside("runner_a.mp4") else { return };
    timed_journey(async |browser, server| {
        let row = "720p, 120 frames/s, 480 frames, nine stickers: corrections; internal work; cadence; heel lift; peak knee flexion";
        let known = Known { name: "runner_a", mass_kg: "62", is_rolled: false, row };
        by_hand(browser, server, &known, &clip).await
    });
}

fn runner_b_filmed_by_a_rolled_camera_is_measured_by_hand_within_its_limits() {
    let Some(clip) = beside("runner_b.mp4") else { return };
    timed_journey(async |browser, server| {
        let row = "60 frames/s, camera rolled by 1.2°: the same";
        let known = Known { name: "runner_b", mass_kg: "70", is_rolled: true, row };
        by_hand(browser, server, &known, &clip).await
    });
}

/// The journeys of this file.
pub fn all() -> Vec<libtest_mimic::Trial> {
    journeys::timed_trials!["workflow::by_hand": runner_a_is_measured_by_hand_within_its_limits, runner_b_filmed_by_a_rolled_camera_is_measured_by_hand_within_its_limits]
}
