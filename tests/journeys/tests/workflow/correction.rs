//! Marks and contacts moved by hand: by keys, after wrong tracking, undone and redone; a tracking run that is stopped.

use super::by_hand::mark;
use super::common::{TRACKED, demo, open_the_example, saved_session, trial};
use document::results::doubt::{doubts, next_doubt};
use document::session::{Certainty, Session};
use journeys::browser::{Browser, Result, journey, key};
use journeys::measurements::{Row, record};
use journeys::truth::Truth;
use mechanics::body::Landmark;
use mechanics::gait::EventEdit;
use mechanics::space::Pixel;
use std::time::{Duration, Instant};

const ANKLE: Landmark = Landmark::NearAnkle;
/// True while no tracking run goes on.
const AT_REST: &str =
    "document.querySelector('.follow') && !document.querySelector('.follow progress')";

async fn open_at_markers(browser: &Browser, url: &str) -> Result<()> {
    browser.open(url).await?;
    browser.choose_file("Open a clip", &demo("heels_low.mp4")).await?;
    browser.shows_frame(0, 30).await?;
    browser.step("Markers").await?;
    browser.shows_frame(0, 10).await
}

fn keyframes(session: &Session) -> Result<Vec<(u32, Pixel)>> {
    let trial = trial(session, 0)?;
    let track = trial.tracks.get(&ANKLE).ok_or("no ankle")?;
    Ok(track.keyframes.iter().map(|(f, p)| (*f, *p)).collect())
}

/// The error of the ankle in a frame; none if it was not tracked.
fn error_px(session: &Session, truth: &Truth, frame: u32) -> Result<Option<f64>> {
    let trial = trial(session, 0)?;
    let place = truth.places.get(&ANKLE).and_then(|p| p.get(frame as usize)).ok_or("no truth")?;
    let sample = trial.tracks.get(&ANKLE).and_then(|t| t.sample(frame));
    Ok(sample.map(|s| (s.at.x_px - place.x_px).hypot(s.at.y_px - place.y_px)))
}

fn place_of(truth: &Truth, frame: usize) -> Result<(f64, f64)> {
    let place = truth.places.get(&ANKLE).and_then(|p| p.get(frame)).ok_or("no truth")?;
    Ok((place.x_px.round(), place.y_px.round()))
}

/// Mean difference in grey levels between the patch beside a marker's name and the loupe; none while one is missing.
const PATCH_DIFFERENCE: &str = "const pixels = (selector) => {
        const canvas = document.querySelector(selector);
        return canvas && canvas.getContext('2d').getImageData(0, 0, canvas.width, canvas.height).data;
    };
    const [a, b] = [pixels('.placed-picture canvas'), pixels('.loupe canvas')];
    if (!a || !b || a.length !== b.length) return null;
    return a.reduce((sum, v, i) => sum + Math.abs(v - b[i]), 0) / a.length;";

async fn patch_difference(browser: &Browser) -> Result<f64> {
    Ok(browser.script(PATCH_DIFFERENCE).await?.as_f64().ok_or("no patch of the mark")?)
}

fn the_patch_where_a_marker_was_placed_is_shown_beside_its_name_in_every_frame() {
    journey(async |browser, server| {
        open_at_markers(browser, &server.url()).await?;
        browser.press("Near ankle").await?;
        let truth = Truth::of_json(&demo("heels_low.truth.json"))?;
        browser.tap(place_of(&truth, 0)?).await?;
        browser.press("Near ankle, marked").await?;
        browser.shows_text("As placed in frame 1", 10).await?;
        let began = Instant::now();
        // The same patch of the same frame, drawn once from the canvas and once from the decoded frame.
        while patch_difference(browser).await? > 3.0 {
            assert!(
                began.elapsed() < Duration::from_secs(20),
                "{}",
                patch_difference(browser).await?
            );
            tokio::time::sleep(Duration::from_millis(50)).await;
        }
        browser.scrub(40).await?;
        browser.shows_frame(40, 10).await?;
        // A mark elsewhere in another frame: the patch shown is that of the last mark before or on the frame.
        browser.tap(place_of(&truth, 300)?).await?;
        browser.press("Near ankle, marked").await?;
        browser.shows_text("As placed in frame 41", 10).await?;
        browser.scrub(39).await?;
        browser.shows_frame(39, 10).await?;
        browser.shows_text("As placed in frame 1:", 10).await
    });
}

fn arrow_keys_move_a_mark_by_one_pixel_and_with_shift_by_ten_and_each_move_can_be_undone() {
    journey(async |browser, server| {
        open_at_markers(browser, &server.url()).await?;
        browser.press("Near ankle").await?;
        browser.tap((600.0, 400.0)).await?;
        browser.press("Near ankle, marked").await?;
        let mut was = vec![keyframes(&saved_at_clip(browser).await?)?];
        for (keys, x_px, y_px) in [
            (key::RIGHT.to_owned(), 1.0, 0.0),
            (key::UP.to_owned(), 0.0, -1.0),
            (format!("{}{}", key::SHIFT, key::LEFT), -10.0, 0.0),
            (format!("{}{}", key::SHIFT, key::DOWN), 0.0, 10.0),
        ] {
            browser.press("Near ankle, marked").await?;
            browser.keys(&keys).await?;
            let before = was.last().and_then(|w| w.first()).ok_or("no mark")?.1;
            let now = keyframes(&saved_at_clip(browser).await?)?;
            let [(0, at)] = now.as_slice() else { return Err(format!("{now:?}").into()) };
            let moved = (at.x_px - before.x_px, at.y_px - before.y_px);
            assert!((moved.0 - x_px).hypot(moved.1 - y_px) < 0.002, "{moved:?} for {keys:?}");
            was.push(now);
        }
        for before in was.iter().rev().skip(1) {
            browser.press("Undo").await?;
            assert_eq!(&keyframes(&saved_at_clip(browser).await?)?, before);
        }
        for after in was.iter().skip(1) {
            // By keys, while the frame has the focus.
            browser.keys(&format!("{}{}z", key::CONTROL, key::SHIFT)).await?;
            assert_eq!(&keyframes(&saved_at_clip(browser).await?)?, after);
        }
        Ok(())
    });
}

/// The session as saved at the step Clip, and back to the markers.
async fn saved_at_clip(browser: &Browser) -> Result<Session> {
    browser.step("Clip").await?;
    let session = saved_session(browser).await?;
    browser.step("Markers").await?;
    browser.wait("[data-testid=stage]", 10).await?;
    Ok(session)
}

fn a_correction_becomes_a_keyframe_is_tracked_to_both_sides_and_undone_as_a_whole() {
    journey(async |browser, server| {
        let truth = Truth::of_json(&demo("heels_low.truth.json"))?;
        open_at_markers(browser, &server.url()).await?;
        browser.press("Near ankle").await?;
        // Far from the ankle: on the upper mark of the measuring stick, which does not move.
        browser.tap((253.0, 246.0)).await?;
        browser.press("Follow the markers").await?;
        browser.until(TRACKED, 60).await?;
        let wrong = saved_at_clip(browser).await?;
        browser.scrub(300).await?;
        browser.press("Near ankle, marked").await?;
        browser.tap(place_of(&truth, 300)?).await?;
        browser.until(AT_REST, 60).await?;
        let right = saved_at_clip(browser).await?;
        let frames: Vec<u32> = keyframes(&right)?.iter().map(|k| k.0).collect();
        assert_eq!(frames, [0, 300]);
        let placed = trial(&right, 0)?.tracks.get(&ANKLE).and_then(|t| t.sample(300));
        assert_eq!(placed.map(|s| s.certainty), Some(Certainty::Placed));
        for frame in [290, 297, 299, 301, 303, 310] {
            let (before, after) =
                (error_px(&wrong, &truth, frame)?, error_px(&right, &truth, frame)?);
            println!("frame {frame}: error {before:?} px, corrected {after:?} px");
            assert!(before.is_none_or(|b| b > 20.0), "frame {frame} was right already: {before:?}");
            assert!(after.is_some_and(|a| a < 6.0), "frame {frame} is not corrected: {after:?}");
        }
        let trials = |s: &Session| s.trials.clone();
        let mut steps = 0;
        while trials(&saved_at_clip(browser).await?) != trials(&wrong) {
            steps += 1;
            assert!(steps <= 3, "a correction is not undone by {steps} steps");
            browser.press("Undo").await?;
        }
        for _ in 0..steps {
            browser.press("Redo").await?;
        }
        assert_eq!(trials(&saved_at_clip(browser).await?), trials(&right));
        move_a_little(browser, &right).await
    });
}

/// A mark moved by a pixel changes the frames around it and leaves distant ones unchanged.
async fn move_a_little(browser: &Browser, before: &Session) -> Result<()> {
    browser.step("Markers").await?;
    browser.scrub(400).await?;
    browser.press("Near ankle, marked").await?;
    let began = Instant::now();
    browser.keys(key::RIGHT).await?;
    browser.until(AT_REST, 60).await?;
    let took = format!("{:.2} s", began.elapsed().as_secs_f64());
    let what =
        "a mark moved by a pixel, to its stretch tracked again (600 frames, 720p, 120 frames/s)";
    record("moved mark", &[Row::new(what, took, "0.5 s")])?;
    let after = saved_at_clip(browser).await?;
    let ankle = |s: &Session, frame| {
        trial(s, 0).map(|t| t.tracks.get(&ANKLE).and_then(|t| t.sample(frame)))
    };
    assert_eq!(ankle(&after, 400)?.map(|s| s.certainty), Some(Certainty::Placed));
    for frame in [0, 100, 300, 350, 450, 599] {
        assert_eq!(ankle(&after, frame)?, ankle(before, frame)?, "frame {frame} was changed");
    }
    Ok(())
}

fn n_goes_to_the_next_stretch_in_doubt_and_the_sentence_on_it_names_it() {
    journey(async |browser, server| {
        open_at_markers(browser, &server.url()).await?;
        mark(browser, &Truth::of_json(&demo("heels_low.truth.json"))?).await?;
        browser.press("Follow the markers").await?;
        browser.until(TRACKED, 60).await?;
        let session = saved_at_clip(browser).await?;
        let trial = trial(&session, 0)?;
        let all = doubts(&trial, None);
        assert!(!all.is_empty(), "nothing is in doubt, so nothing is proven");
        browser.shows_text("in doubt", 5).await?;
        for doubt in all.iter().take(8) {
            browser.shows_text(&doubt.sentence(), 5).await?;
        }
        let mut here = browser.frame().await?;
        // Through all of them, and on to the first again.
        for _ in 0..=all.len().min(6) {
            let doubt = next_doubt(&trial, here).ok_or("nothing is in doubt")?;
            browser.keys("n").await?;
            browser.shows_frame(doubt.worst, 20).await?;
            println!("frame {here} to {}: {}", doubt.worst, doubt.sentence());
            here = doubt.worst;
        }
        Ok(())
    });
}

fn a_stopped_tracking_run_ends_at_once_and_keeps_what_is_done() {
    journey(async |browser, server| {
        let truth = Truth::of_json(&demo("heels_low.truth.json"))?;
        open_at_markers(browser, &server.url()).await?;
        browser.press("Near ankle").await?;
        browser.tap(place_of(&truth, 0)?).await?;
        browser.press("Follow the markers").await?;
        browser.until("document.querySelector('.follow progress')?.value > 40", 20).await?;
        browser.shows_text("s left", 5).await?;
        // Timed in the page: from the press until the progress is gone.
        let stop = "const done = arguments[0], began = performance.now();
            const poll = () => document.querySelector('.follow progress')
                ? setTimeout(poll, 2) : done(performance.now() - began);
            [...document.querySelectorAll('.follow button')].find(b => b.innerText === 'Stop').click(); poll();";
        let took_ms =
            browser.client.execute_async(stop, Vec::new()).await?.as_f64().ok_or("no time")?;
        println!("a stop is answered after {took_ms:.0} ms");
        let session = saved_at_clip(browser).await?;
        let track = trial(&session, 0)?.tracks.get(&ANKLE).cloned().ok_or("no ankle")?;
        let known = track.samples.iter().filter(|s| s.is_some()).count();
        println!("{known} of {} frames are kept", track.samples.len());
        assert!(known > 40 && known < track.samples.len(), "{known}");
        let (began, late) = (Instant::now(), Duration::from_millis(500));
        tokio::time::sleep(late).await;
        let later = saved_at_clip(browser).await?;
        assert_eq!(
            later.trials,
            session.trials,
            "the tracking went on {:?} later",
            began.elapsed()
        );
        Ok(())
    });
}

/// The edits in the session as saved at the step Clip; then back to the strides.
async fn edits(browser: &Browser) -> Result<Vec<EventEdit>> {
    browser.step("Clip").await?;
    let session: Session = saved_session(browser).await?;
    browser.step("Strides").await?;
    browser.press(&trial(&session, 0)?.name).await?;
    browser.wait(".tick[role=button]", 10).await?;
    Ok(trial(&session, 0)?.event_edits.clone())
}

/// The name of the third tick of the near foot, and its place on the screen.
const THIRD: &str =
    "const t = document.querySelectorAll('.tick[role=button]')[2], r = t.getBoundingClientRect();
    return [t.getAttribute('aria-label'), r.left + r.width / 2, r.top + r.height / 2];";

/// A contact or toe-off on the strip of events.
struct Tick {
    name: String,
    /// Its middle on the screen.
    at: (f64, f64),
}

async fn third(browser: &Browser) -> Result<Tick> {
    browser
        .script("document.querySelector('.events-strip').scrollIntoView({ block: 'center' });")
        .await?;
    let tick = browser.script(THIRD).await?;
    let number = |i: usize| tick.get(i).and_then(serde_json::Value::as_f64).ok_or("no tick");
    let name = tick.get(0).and_then(|n| n.as_str()).ok_or("no name")?.to_owned();
    Ok(Tick { name, at: (number(1)?, number(2)?) })
}

fn a_contact_is_moved_by_a_button_and_by_a_drag_and_restored_to_where_it_was_found() {
    journey(async |browser, server| {
        browser.open(&server.url()).await?;
        open_the_example(browser).await?;
        assert_eq!(edits(browser).await?, []);
        let found = third(browser).await?;
        browser.drag_on_screen(found.at, found.at).await?;
        browser.press("One frame later").await?;
        let by_button = edits(browser).await?;
        let [EventEdit::Move { from_s, to_s, .. }] = by_button.as_slice() else {
            return Err("no event was moved".into());
        };
        println!("{}: moved by a button from {from_s:.4} to {to_s:.4} s", found.name);
        let frame_s = 1.0 / 120.0;
        assert!(to_s > from_s && to_s - from_s < 2.0 * frame_s, "{from_s} to {to_s}");
        let now = third(browser).await?;
        assert_ne!(now.name, found.name, "the tick did not move");
        browser.drag_on_screen(now.at, (now.at.0 + 12.0, now.at.1)).await?;
        let by_hand = edits(browser).await?;
        assert_eq!(by_hand.len(), 2, "{by_hand:?}");
        let Some(EventEdit::Move { from_s, to_s, .. }) = by_hand.last() else {
            return Err("no event was moved by the drag".into());
        };
        println!("moved by a drag from {from_s:.4} to {to_s:.4} s");
        assert!(to_s > from_s);
        browser.press("Back to the events as found").await?;
        assert_eq!(edits(browser).await?, []);
        assert_eq!(third(browser).await?.name, found.name);
        Ok(())
    });
}

/// The journeys of this file.
pub fn all() -> Vec<libtest_mimic::Trial> {
    journeys::trials!["workflow::correction": the_patch_where_a_marker_was_placed_is_shown_beside_its_name_in_every_frame, arrow_keys_move_a_mark_by_one_pixel_and_with_shift_by_ten_and_each_move_can_be_undone, a_correction_becomes_a_keyframe_is_tracked_to_both_sides_and_undone_as_a_whole, n_goes_to_the_next_stretch_in_doubt_and_the_sentence_on_it_names_it, a_stopped_tracking_run_ends_at_once_and_keeps_what_is_done, a_contact_is_moved_by_a_button_and_by_a_drag_and_restored_to_where_it_was_found]
}
