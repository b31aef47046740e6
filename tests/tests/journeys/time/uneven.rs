//! Frames that were dropped, that share a moment, or that hold the picture of the one before are found and said.

use super::slow_motion::remade;
use crate::common::{FOLLOWED, demo, saved_session, trial};
use checks::browser::{Browser, Result, journey};
use checks::clips::Workshop;
use checks::truth::Truth;
use mechanics::body::Landmark;
use std::path::Path;

const CODED: [&str; 6] = ["-vsync", "passthrough", "-c:v", "libx264", "-preset", "veryfast"];

async fn opened(browser: &Browser, url: &str, clip: &Path) -> Result<()> {
    browser.open(url).await?;
    browser.give("Open a clip", clip).await?;
    browser.shows_frame(0, 30).await
}

/// What the step Clip says of the frames.
const SAID: &str =
    "return [...document.querySelectorAll('p.advice')].map(p => p.innerText).slice(1).join(' ');";

async fn said(browser: &Browser) -> Result<String> {
    Ok(browser.script(SAID).await?.as_str().unwrap_or_default().to_owned())
}

#[test]
fn dropped_frames_and_frames_of_one_moment_are_counted_and_the_first_is_named() {
    let workshop = Workshop::new("uneven").unwrap();
    let clip = |name: &str, filter: &str| {
        let filtered = ["-vf", filter, "-frames:v", "100"];
        remade(&workshop, name, &[], &[&filtered[..], &CODED].concat())
    };
    let dropped = clip("dropped.mp4", "select='not(eq(n,10)+eq(n,11)+eq(n,40))'");
    // Stamped a hundredth of a step after the one before: containers hold no two alike.
    let alike = "settb=1/90000,setpts='(N-gte(N,25)+0.01*eq(N,25))/120/TB'";
    let alike = clip("alike.mp4", alike);
    let (Some(dropped), Some(alike)) = (dropped, alike) else { return };
    journey(async |browser, server| {
        opened(browser, &server.url(), &dropped).await?;
        browser.says("The camera dropped 3 frames, the first after frame 10:", 5).await?;
        opened(browser, &server.url(), &alike).await?;
        browser.says("1 frame has the stamp of the one before, the first is frame 26:", 5).await?;
        opened(browser, &server.url(), &demo("heels_low.mp4")).await?;
        assert_eq!(said(browser).await?, "", "a clip without a fault");
        Ok(())
    });
}

/// Marks the ankle and has it followed; answers the frames found to hold the picture of the one before.
async fn repeated(browser: &Browser, url: &str, clip: &Path, truth: &Truth) -> Result<Vec<u32>> {
    opened(browser, url, clip).await?;
    browser.step("Markers").await?;
    browser.shows_frame(0, 10).await?;
    browser.press("Near ankle").await?;
    let ankle = truth.places.get(&Landmark::NearAnkle).and_then(|p| p.first()).ok_or("no ankle")?;
    browser.touch((ankle.x_px.round(), ankle.y_px.round())).await?;
    browser.press("Follow the markers").await?;
    browser.until(FOLLOWED, 60).await?;
    browser.step("Clip").await?;
    Ok(trial(&saved_session(browser).await?, 0)?.repeated.clone())
}

#[test]
fn pictures_written_twice_at_steady_stamps_are_found_while_following() {
    let workshop = Workshop::new("twice").unwrap();
    // Of ten pictures the last gives way to the one before, and all are coded anew.
    let again = ["-vf", "shuffleframes=0 1 2 3 4 5 6 7 8 8", "-frames:v", "200"];
    let clip = remade(&workshop, "twice.mp4", &[], &[&again[..], &CODED].concat());
    // The same at 240 frames/s, where from picture to picture half as much moves: between two pictures of the example one is
    // drawn by the movement that ffmpeg finds; beside the runner all stays plain, as that takes less time.
    let between = "trim=end_frame=45,crop=iw/3:ih,minterpolate=fps=240,pad=iw*3:ih:iw,\
        shuffleframes=0 1 2 3 4 5 6 7 8 8";
    let fast = ["-vf", between, "-frames:v", "80"];
    let fast = remade(&workshop, "fast.mp4", &[], &[&fast[..], &CODED].concat());
    let (Some(clip), Some(fast)) = (clip, fast) else { return };
    journey(async |browser, server| {
        let truth = Truth::of_json(&demo("heels_low.truth.json"))?;
        let found = repeated(browser, &server.url(), &clip, &truth).await?;
        // The last has no neighbour after it that moves.
        let wanted: Vec<u32> = (0..19).map(|n| 10 * n + 9).collect();
        assert_eq!(found, wanted);
        browser
            .says("19 frames hold the picture of the one before, the first is frame 10:", 5)
            .await?;
        let found = repeated(browser, &server.url(), &fast, &truth).await?;
        let wanted: Vec<u32> = (0..7).map(|n| 10 * n + 9).collect();
        assert_eq!(found, wanted, "at 240 frames/s");
        let found = repeated(browser, &server.url(), &demo("heels_low.mp4"), &truth).await?;
        assert_eq!((found, said(browser).await?), (Vec::new(), String::new()));
        Ok(())
    });
}
