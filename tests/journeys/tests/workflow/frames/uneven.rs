//! Dropped frames, frames of one moment and duplicate frames are found and named.

use super::super::common::{TRACKED, demo, saved_session, trial};
use super::slow_motion::transcoded;
use journeys::browser::{Browser, Result, journey};
use journeys::clips::ClipFolder;
use journeys::truth::Truth;
use mechanics::body::Landmark;
use std::path::Path;

const CODED: [&str; 6] = ["-vsync", "passthrough", "-c:v", "libx264", "-preset", "veryfast"];

async fn opened(browser: &Browser, url: &str, clip: &Path) -> Result<()> {
    browser.open(url).await?;
    browser.choose_file("Open a clip", clip).await?;
    browser.shows_frame(0, 30).await
}

/// The advice of the step Clip on the frames.
const ADVICE: &str =
    "return [...document.querySelectorAll('p.advice')].map(p => p.innerText).slice(1).join(' ');";

async fn advice(browser: &Browser) -> Result<String> {
    Ok(browser.script(ADVICE).await?.as_str().unwrap_or_default().to_owned())
}

fn dropped_frames_and_frames_of_one_moment_are_counted_and_the_first_is_named() {
    let scratch = ClipFolder::new().unwrap();
    let clip = |name: &str, filter: &str| {
        let filtered = ["-vf", filter, "-frames:v", "100"];
        transcoded(&scratch, name, &[], &[&filtered[..], &CODED].concat())
    };
    let dropped = clip("dropped.mp4", "select='not(eq(n,10)+eq(n,11)+eq(n,40))'");
    // Stamped a hundredth of a step after the frame before, since containers hold no two equal stamps.
    let alike = "settb=1/90000,setpts='(N-gte(N,25)+0.01*eq(N,25))/120/TB'";
    let alike = clip("alike.mp4", alike);
    let (Some(dropped), Some(alike)) = (dropped, alike) else { return };
    journey(async |browser, server| {
        opened(browser, &server.url(), &dropped).await?;
        browser.shows_text("The camera dropped 3 frames, the first after frame 10:", 5).await?;
        opened(browser, &server.url(), &alike).await?;
        browser
            .shows_text("1 frame has the stamp of the one before, the first is frame 26:", 5)
            .await?;
        opened(browser, &server.url(), &demo("heels_low.mp4")).await?;
        assert_eq!(advice(browser).await?, "", "a clip without a fault");
        Ok(())
    });
}

/// Marks and tracks the ankle; answers the duplicate frames that were found.
async fn duplicates(browser: &Browser, url: &str, clip: &Path, truth: &Truth) -> Result<Vec<u32>> {
    opened(browser, url, clip).await?;
    browser.step("Markers").await?;
    browser.shows_frame(0, 10).await?;
    browser.press("Near ankle").await?;
    let ankle = truth.places.get(&Landmark::NearAnkle).and_then(|p| p.first()).ok_or("no ankle")?;
    browser.tap((ankle.x_px.round(), ankle.y_px.round())).await?;
    browser.press("Follow the markers").await?;
    browser.until(TRACKED, 60).await?;
    browser.step("Clip").await?;
    Ok(trial(&saved_session(browser).await?, 0)?.repeated.clone())
}

fn duplicate_frames_at_even_stamps_are_found_while_tracking() {
    let scratch = ClipFolder::new().unwrap();
    // Every tenth frame is replaced by the one before, and all are encoded again.
    let duplicated = ["-vf", "shuffleframes=0 1 2 3 4 5 6 7 8 8", "-frames:v", "200"];
    let clip = transcoded(&scratch, "duplicates.mp4", &[], &[&duplicated[..], &CODED].concat());
    // The same at 240 frames/s, with half the motion from frame to frame: ffmpeg interpolates a frame between two of the
    // example; the area beside the runner stays plain, which takes less time.
    let between = "trim=end_frame=45,crop=iw/3:ih,minterpolate=fps=240,pad=iw*3:ih:iw,\
        shuffleframes=0 1 2 3 4 5 6 7 8 8";
    let fast = ["-vf", between, "-frames:v", "80"];
    let fast = transcoded(&scratch, "fast.mp4", &[], &[&fast[..], &CODED].concat());
    let (Some(clip), Some(fast)) = (clip, fast) else { return };
    journey(async |browser, server| {
        let truth = Truth::of_json(&demo("heels_low.truth.json"))?;
        let found = duplicates(browser, &server.url(), &clip, &truth).await?;
        // After the last one there is no frame with motion.
        let wanted: Vec<u32> = (0..19).map(|n| 10 * n + 9).collect();
        assert_eq!(found, wanted);
        browser
            .shows_text("19 frames hold the picture of the one before, the first is frame 10:", 5)
            .await?;
        let found = duplicates(browser, &server.url(), &fast, &truth).await?;
        let wanted: Vec<u32> = (0..7).map(|n| 10 * n + 9).collect();
        assert_eq!(found, wanted, "at 240 frames/s");
        let found = duplicates(browser, &server.url(), &demo("heels_low.mp4"), &truth).await?;
        assert_eq!((found, advice(browser).await?), (Vec::new(), String::new()));
        Ok(())
    });
}

/// The journeys of this file.
pub fn all() -> Vec<libtest_mimic::Trial> {
    journeys::trials!["workflow::uneven_frames": dropped_frames_and_frames_of_one_moment_are_counted_and_the_first_is_named, duplicate_frames_at_even_stamps_are_found_while_tracking]
}
