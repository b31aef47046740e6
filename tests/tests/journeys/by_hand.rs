//! The whole job by hand on clips of known truth: scale, upright, marks, following, ledger.

use crate::common::{FOLLOWED, beside, saved_session, trial};
use checks::browser::{Browser, CLIPS, Result, journey_alone};
use checks::clips::decoded_alone_hz;
use checks::compare::{Limits, hold};
use checks::truth::Truth;
use document::session::ClipCalibration;
use mechanics::body::{Landmark, MarkerSet};
use site::serve::Server;
use std::path::Path;

/// Has the markers followed and answers how long the page says that it follows, in milliseconds; nothing is asked of the
/// page meanwhile.
const FOLLOW_TIMED: &str = "const done = arguments[0];
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
    levelled: bool,
}

/// What the file beside a clip tells of its camera.
struct Camera {
    /// The ends of the known length, in pixels.
    ends: [(f64, f64); 2],
    length_m: f64,
    px_per_m: f64,
    /// How far the picture is rolled.
    roll_rad: f64,
}

impl Camera {
    fn of(name: &str) -> Result<Self> {
        let text = std::fs::read_to_string(Path::new(CLIPS).join(format!("{name}.meta.json")))?;
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

    /// Three times the known length along the level ground: longer is surer, and its ends are not those of the scale.
    fn ground(&self) -> [(f64, f64); 2] {
        let [from, to] = self.ends;
        let along = (to.0 - from.0, to.1 - from.1);
        [(from.0 - along.0, from.1 - along.1), (to.0 + along.0, to.1 + along.1)]
    }

    /// Holds what was entered against the camera as it was: lengths within 0.1 %, upright within 0.0005 rad.
    fn holds(&self, entered: &ClipCalibration) -> Result<()> {
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
        // The ground line leads from left to right; y counts downwards in the picture.
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

/// Draws a line roughly, then puts each of its ends exactly where it belongs.
async fn draw_exactly(browser: &Browser, [from, to]: [(f64, f64); 2]) -> Result<()> {
    let roughly = |(x, y): (f64, f64), off: f64| ((x + off).round(), (y - off).round());
    let (rough_from, rough_to) = (roughly(from, 3.0), roughly(to, -3.0));
    browser.look_closer(1).await?;
    browser.drag(rough_from, rough_to).await?;
    browser.put_exactly(rough_to, to).await?;
    browser.put_exactly(rough_from, from).await?;
    browser.look_closer(1).await
}

/// Scale, upright, direction, speed and mass, as a person enters them.
async fn calibrate(browser: &Browser, known: &Known, camera: &Camera) -> Result<()> {
    browser.step("Scale").await?;
    browser.shows_frame(0, 30).await?;
    draw_exactly(browser, camera.ends).await?;
    browser.fill("Length in metres", &camera.length_m.to_string()).await?;
    if known.levelled {
        browser.press("Mark the ground line").await?;
        draw_exactly(browser, camera.ground()).await?;
    }
    browser.choose("To the right").await?;
    browser.fill("Speed (m/s)", "2.5").await?;
    browser.fill("Body mass (kg)", known.mass_kg).await
}

/// Chosen: as far beside the middle of its sticker as a finger on a screen may land. The head has no sticker.
fn beside_px(landmark: Landmark) -> (f64, f64) {
    if landmark == Landmark::Head { (0.0, 0.0) } else { (2.0, -2.0) }
}

/// Every landmark of the near side a little beside where it truly is, in the guided order.
pub async fn mark(browser: &Browser, truth: &Truth) -> Result<()> {
    browser.step("Markers").await?;
    browser.shows_frame(0, 30).await?;
    for (index, landmark) in MarkerSet::NearSide.landmarks().iter().enumerate() {
        let place = truth.places.get(landmark).and_then(|p| p.first()).ok_or("no truth")?;
        let named =
            format!("document.querySelector('.now')?.innerText.startsWith('{} of 9')", index + 1);
        browser.until(&named, 10).await?;
        let (right, down) = beside_px(*landmark);
        browser.touch((place.x_px.round() + right, place.y_px.round() + down)).await?;
    }
    browser.until("document.querySelectorAll('.landmark.has-mark').length === 9", 10).await
}

/// Taps beside stickers are laid in their middles.
async fn is_in_the_middle(browser: &Browser, truth: &Truth) -> Result<()> {
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
        // Of 1,952 presses on stickers of known places that were laid in their middles the worst was 0.43 px off.
        if off_px > 0.5 {
            return Err(format!("{landmark:?} is marked {off_px:.2} px off").into());
        }
    }
    Ok(())
}

/// The whole job by hand: open, scale, direction, speed, runner, marks, follow, ledger.
async fn by_hand(browser: &Browser, server: &Server, known: &Known, clip: &Path) -> Result<()> {
    let truth = Truth::of_csv(&Path::new(CLIPS).join(format!("{}.truth_px.csv", known.name)))?;
    let camera = Camera::of(known.name)?;
    browser.open(&server.url()).await?;
    browser.give("Open a clip", clip).await?;
    browser.shows_frame(0, 30).await?;
    calibrate(browser, known, &camera).await?;
    mark(browser, &truth).await?;
    is_in_the_middle(browser, &truth).await?;
    let took = browser.client.execute_async(FOLLOW_TIMED, vec![]).await?;
    browser.until(FOLLOWED, 120).await?;
    let frames = truth.places.values().next().map_or(0, Vec::len);
    let rate_hz = 1000.0 * frames as f64 / took.as_f64().ok_or("it was not followed")?;
    let alone_hz = decoded_alone_hz(browser, clip).await?;
    println!(
        "{}: {rate_hz:.0} frames/s of decoding and following, {:.2} of the decoder alone ({alone_hz:.0}), of 0.9",
        known.name,
        rate_hz / alone_hz
    );
    browser.step("Ledger").await?;
    browser.wait("table.ledger", 10).await?;
    browser.shows_no_fault().await?;
    browser.shot(known.name).await?;
    let session = saved_session(browser).await?;
    camera.holds(&trial(&session, 0)?.calibration)?;
    let limits = Limits { work_ratio: if known.levelled { 0.06 } else { 0.05 }, corrections: 2 };
    hold(known.name, &session, &trial(&session, 0)?, &truth, limits)?;
    Ok(())
}

#[test]
fn runner_a_is_measured_by_hand_within_its_limits() {
    let Some(clip) = beside("runner_a.mp4") else { return };
    journey_alone(async |browser, server| {
        by_hand(browser, server, &Known { name: "runner_a", mass_kg: "62", levelled: false }, &clip)
            .await
    });
}

#[test]
fn runner_b_filmed_aslant_is_measured_by_hand_within_its_limits() {
    let Some(clip) = beside("runner_b.mp4") else { return };
    journey_alone(async |browser, server| {
        by_hand(browser, server, &Known { name: "runner_b", mass_kg: "70", levelled: true }, &clip)
            .await
    });
}
