//! Before the marking: the blur that is measured at the first mark of the shoe.

use super::common::demo;
use journeys::browser::{Result, journey};
use journeys::truth::Truth;
use mechanics::body::Landmark;

/// The path of the heel while the shutter is open: the median of its five fastest frames.
fn true_blur_px(truth: &Truth, file: &serde_json::Value) -> Result<f64> {
    let number = |name: &str| file[name].as_f64().ok_or(format!("no {name} in the truth"));
    let open_ratio = number("shutter_s")? * number("rate_hz")?;
    let places = truth.places.get(&Landmark::NearHeel).ok_or("no heel")?;
    // The frames of the 0.8 s of the preview.
    let mut paths_px: Vec<f64> = (places.windows(3).take(95))
        .map(|p| (p[2].x_px - p[0].x_px).hypot(p[2].y_px - p[0].y_px) / 2.0)
        .collect();
    paths_px.sort_by(|a, b| b.total_cmp(a));
    Ok(open_ratio * paths_px.get(2).ok_or("no frames")?)
}

fn a_first_mark_on_the_heel_is_answered_with_its_blur() {
    journey(async |browser, server| {
        browser.open(&server.url()).await?;
        browser.choose_file("Open a clip", &demo("heels_low.mp4")).await?;
        browser.shows_frame(0, 30).await?;
        browser.step("Markers").await?;
        browser.shows_frame(0, 10).await?;
        browser.press("Near heel").await?;
        let path = demo("heels_low.truth.json");
        let truth = Truth::of_json(&path)?;
        let file = serde_json::from_str(&std::fs::read_to_string(&path)?)?;
        let heel =
            truth.places.get(&Landmark::NearHeel).and_then(|p| p.first()).ok_or("no heel")?;
        browser.tap((heel.x_px.round(), heel.y_px.round())).await?;
        browser
            .shows_text("Tried out on the near heel over 97 frames: held in every one", 20)
            .await?;
        let said =
            browser.script("return document.querySelector('.follow .advice').innerText").await?;
        let said = said.as_str().and_then(|s| s.split_once("blurred over ")).ok_or("no blur")?.1;
        let said_px: f64 = said.split_once(" px where").ok_or("no length")?.0.parse()?;
        let true_px = true_blur_px(&truth, &file)?;
        println!("blurred over {said_px} px, true {true_px:.1} px");
        // The page shows whole pixels, and the median error on other clips at this rate was less than one: no blur or
        // twice the blur would fail.
        assert!((said_px - true_px).abs() < 1.5, "{said_px} px on the page, true {true_px}");
        browser.shows_no_fault().await
    });
}

/// The journeys of this file.
pub fn all() -> Vec<libtest_mimic::Trial> {
    journeys::trials!["workflow::preview": a_first_mark_on_the_heel_is_answered_with_its_blur]
}
