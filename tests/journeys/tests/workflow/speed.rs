//! The time from a moved marker to the redrawn numbers, in the page, with more than 500 frames and 13 markers.

use super::common::{TRACKED, demo, open_the_example, saved_session};
use document::session::{Session, file};
use journeys::browser::{Browser, Result, key, timed_journey};
use journeys::measurements::{Row, record};
use mechanics::body::{Landmark, MarkerSet};
use serde_json::json;
use std::rc::Rc;

/// The frame in which the heel is moved.
const HEEL_MOVED: u32 = 250;

/// True while no tracking run goes on.
const AT_REST: &str =
    "document.querySelector('.follow') && !document.querySelector('.follow progress')";

/// Counts the tracking runs that begin from now on: a run may be too short to be seen by polling.
const COUNT: &str = "window.trackingRuns = 0;
    const begun = (node) => node.nodeName === 'PROGRESS' || node.querySelector?.('.follow progress');
    new MutationObserver((all) => {
        if (all.some((one) => [...one.addedNodes].some(begun))) window.trackingRuns += 1;
    }).observe(document.body, { childList: true, subtree: true });";

/// Presses a button of the page head and answers the time until other numbers are drawn, in milliseconds.
const REDRAWN: &str = "const done = arguments[2], table = document.querySelector(arguments[1]).closest('main');
    const before = document.querySelector(arguments[1]).innerText;
    const button = [...document.querySelectorAll('.page-head button')].find(b => b.innerText === arguments[0]);
    const began = performance.now();
    const watch = new MutationObserver(() => {
        if (document.querySelector(arguments[1])?.innerText === before) return;
        watch.disconnect();
        document.body.offsetHeight;
        done(performance.now() - began);
    });
    watch.observe(document.body, { childList: true, subtree: true, characterData: true });
    button.click();
    setTimeout(() => { watch.disconnect(); done(-1); }, 3000);";

/// Undoes a step and answers the time until the Monte Carlo repeats are done and their intervals drawn, and the longest
/// time meanwhile in which the page could not draw, both in milliseconds.
const REPEATED: &str =
    "const done = arguments[0], text = () => document.querySelector('.repeats').innerText;
    const began = performance.now();
    let last = began, longest = 0, under = false;
    const frame = (now) => {
        longest = Math.max(longest, performance.now() - last);
        last = performance.now();
        under ||= text().includes('being repeated');
        if (under && text().includes('500 repeats')) return done([last - began, longest]);
        if (last - began > 20000) return done([-1, longest]);
        requestAnimationFrame(frame);
    };
    [...document.querySelectorAll('.page-head button')].find(b => b.innerText === 'Undo').click();
    requestAnimationFrame(frame);";

/// The far side as the near side half a stride earlier, so that every landmark of both sides has a track.
fn on_both_sides(mut session: Session) -> Result<Session> {
    for trial in &mut session.trials {
        let trial = Rc::make_mut(trial);
        let half = 27;
        trial.marker_set = MarkerSet::BothSides;
        for landmark in MarkerSet::BothSides.landmarks() {
            if trial.tracks.contains_key(landmark) {
                continue;
            }
            let near = near_of(*landmark).ok_or("no landmark of the near side")?;
            let mut track =
                document::session::Track::clone(trial.tracks.get(&near).ok_or("no near one")?);
            track.samples.rotate_left(half);
            track.keyframes.clear();
            if let Some(first) = track.sample(0) {
                track.keyframes.insert(0, first.at);
            }
            trial.tracks.insert(*landmark, Rc::new(track));
        }
        // Marked a little before and after, so that moving it tracks those frames alone.
        if let Some(heel) = trial.tracks.get_mut(&Landmark::NearHeel).map(Rc::make_mut) {
            for frame in [HEEL_MOVED - 20, HEEL_MOVED + 20] {
                if let Some(sample) = heel.sample(frame) {
                    heel.keyframes.insert(frame, sample.at);
                }
            }
        }
    }
    Ok(session)
}

fn near_of(far: Landmark) -> Option<Landmark> {
    let name = serde_json::to_value(far).ok()?;
    serde_json::from_value(json!(name.as_str()?.replace("far", "near"))).ok()
}

/// Moves the near heel by keys a number of times, each time as a step that can be undone.
async fn move_the_heel(browser: &Browser, times: u32) -> Result<()> {
    browser.step("Markers").await?;
    browser.scrub(HEEL_MOVED).await?;
    browser.script(COUNT).await?;
    for time in 1..=times {
        browser.press("Near heel, marked").await?;
        browser.keys(&format!("{}{}", key::SHIFT, key::UP)).await?;
        browser.until(&format!("window.trackingRuns >= {time} && {AT_REST}"), 60).await?;
    }
    browser.until(TRACKED, 10).await
}

/// Undoes steps, each to a state that was not computed before; those that leave the shown digits unchanged do not count.
async fn times_ms(browser: &Browser, numbers: &str, steps: u32) -> Result<Vec<f64>> {
    let mut all = Vec::new();
    for _ in 0..steps {
        let took =
            browser.client.execute_async(REDRAWN, vec![json!("Undo"), json!(numbers)]).await?;
        all.extend(took.as_f64().filter(|t| *t >= 0.0));
        browser.shows_no_fault().await?;
    }
    all.sort_by(f64::total_cmp);
    if all.len() < 3 { Err("the numbers do not change".into()) } else { Ok(all) }
}

fn a_moved_marker_redraws_the_numbers_in_a_measured_time() {
    timed_journey(async |browser, server| {
        browser.open(&server.url()).await?;
        open_the_example(browser).await?;
        let session = on_both_sides(saved_session(browser).await?)?;
        let markers = session.trials.first().map_or(0, |t| t.tracks.len());
        let path = browser.downloads.join("both.stride.json");
        std::fs::write(&path, file::write(&session))?;
        browser.press("Stride Ledger, first page").await?;
        browser.choose_file("Open a session file", &path).await?;
        browser.wait(".ask-for-clip", 20).await?;
        std::fs::remove_file(&path)?;
        browser.choose_file("Open heels_low.mp4 again", &demo("heels_low.mp4")).await?;
        browser.shows_frame(0, 30).await?;
        let mut rows = Vec::new();
        for (step, numbers) in [("Ledger", ".numbers"), ("Side by side", ".side-by-side")] {
            move_the_heel(browser, 4).await?;
            browser.step(step).await?;
            browser.wait(numbers, 20).await?;
            let all = times_ms(browser, numbers, 5).await?;
            let (least, middle) = (all[0], all[all.len() / 2]);
            let result = format!("{middle:.0} ms median, {least:.0} ms fastest of {}", all.len());
            let what = format!(
                "{step}: a moved marker to the redrawn numbers, 600 frames × {markers} markers"
            );
            rows.push(Row::new(what, result, "50 ms"));
        }
        browser
            .until("document.querySelector('.repeats').innerText.includes('500 repeats')", 30)
            .await?;
        let took = browser.client.execute_async(REPEATED, vec![]).await?;
        let ms = |at: usize| took.get(at).and_then(serde_json::Value::as_f64).unwrap_or(-1.0);
        let result = format!("{:.2} s; {:.0} ms", ms(0) / 1e3, ms(1));
        let what =
            "500 Monte Carlo repeats of both trials in their worker; longest block of the page";
        rows.push(Row::new(what, result, "2 s; 50 ms"));
        record("speed", &rows)?;
        assert!(ms(0) >= 0.0, "the repeats do not end");
        assert!(markers >= 13, "{markers}");
        Ok(())
    });
}

/// The journeys of this file.
pub fn all() -> Vec<libtest_mimic::Trial> {
    journeys::timed_trials!["workflow::speed": a_moved_marker_redraws_the_numbers_in_a_measured_time]
}
