//! A drawn runner who crosses before a panning camera: positions in one frame of the ground.

use super::by_hand::mark;
use super::common::{TRACKED, saved_session, trial};
use document::results::metres;
use journeys::browser::{Browser, Result, timed_journey};
use journeys::options::options;
use journeys::truth::Truth;
use mechanics::body::Landmark;
use serde_json::Value;
use std::path::{Path, PathBuf};

/// A drawn clip.
struct Drawn {
    clip: PathBuf,
    truth: PathBuf,
    /// What the file of the truth holds.
    json: Value,
}

fn drawn(folder: &Path) -> Result<Drawn> {
    let files: Vec<PathBuf> = std::fs::read_dir(folder)?.flatten().map(|f| f.path()).collect();
    let ending = |e: &str| files.iter().find(|p| p.to_string_lossy().ends_with(e)).cloned();
    let clip = ending(".mp4").ok_or("no clip in the folder")?;
    let truth = ending(".truth.json").ok_or("no truth in the folder")?;
    let json = serde_json::from_str(&std::fs::read_to_string(&truth)?)?;
    Ok(Drawn { clip, truth, json })
}

fn point(json: &Value, path: &str) -> Result<(f64, f64)> {
    let number = |i: u32| json.pointer(&format!("{path}/{i}")).and_then(Value::as_f64);
    Ok((number(0).ok_or("no point")?, number(1).ok_or("no point")?))
}

async fn line(browser: &Browser, json: &Value, path: &str) -> Result<()> {
    let round = |(x, y): (f64, f64)| (x.round(), y.round());
    let from = round(point(json, &format!("{path}/0"))?);
    browser.drag(from, round(point(json, &format!("{path}/1"))?)).await
}

/// Distance of each place from the first, in metres.
fn travelled_m(places: impl Iterator<Item = Option<f64>>) -> Vec<Option<f64>> {
    let places: Vec<Option<f64>> = places.collect();
    let first = places.first().copied().flatten();
    places.iter().map(|p| Some(p.as_ref()? - first?)).collect()
}

/// Only with `--moving`, since the clip takes minutes to draw.
fn a_runner_before_a_panning_camera_is_measured_over_the_ground() {
    let Some(folder) = &options().moving else {
        println!("not run: --moving names no folder with a drawn clip");
        return;
    };
    timed_journey(async |browser, server| {
        let Drawn { clip, truth, json } = drawn(folder)?;
        browser.open(&server.url()).await?;
        browser.choose_file("Open a clip", &clip).await?;
        browser.shows_frame(0, 30).await?;
        browser.step("Scale").await?;
        browser.shows_frame(0, 30).await?;
        line(browser, &json, "/scale/points_px").await?;
        browser.press("Mark a plumb line").await?;
        line(browser, &json, "/plumb_px").await?;
        browser.choose("To the right").await?;
        browser.choose("On the ground").await?;
        mark(browser, &Truth::of_json(&truth)?).await?;
        browser.press("Follow the markers").await?;
        browser.until(TRACKED, 120).await?;
        browser.step("Clip").await?;
        browser.shows_text("brought to one frame", 10).await?;
        let session = saved_session(browser).await?;
        let trial = trial(&session, 0)?;
        let camera = trial.camera.clone().ok_or("the camera's motion was not found")?;
        println!("the background misses by {} px", camera.residual_px);
        let found = metres(&trial).ok_or("no metres")?;
        let hip = found.get(&Landmark::NearHip).ok_or("no hip")?;
        let ours = travelled_m(hip.iter().map(|p| Some(p.as_ref()?.x_m)));
        let true_m = json.pointer("/landmarks/near_hip/x_m").and_then(Value::as_array);
        let truth = travelled_m(true_m.ok_or("no truth")?.iter().map(Value::as_f64));
        let both: Vec<(f64, f64)> =
            ours.iter().zip(&truth).filter_map(|(o, t)| Some(((*o)?, (*t)?))).collect();
        let (last, true_last) = both.last().copied().ok_or("the hip is nowhere")?;
        println!(
            "{} of {} frames: {last:.3} m over the ground, true {true_last:.3} m",
            both.len(),
            truth.len()
        );
        assert!(both.len() * 2 > truth.len() && true_last > 2.0, "the hip is not tracked");
        // Chosen: three times the uncertainty of a scale marked by hand in the whole frame.
        assert!((last / true_last - 1.0).abs() < 0.03);
        browser.scrub(100).await?;
        browser.step("Scale").await?;
        browser.screenshot("moving-scale").await?;
        Ok(())
    });
}

/// The journeys of this file.
pub fn all() -> Vec<libtest_mimic::Trial> {
    journeys::timed_trials!["workflow::panning": a_runner_before_a_panning_camera_is_measured_over_the_ground]
}
