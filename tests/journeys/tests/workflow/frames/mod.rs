//! Every shown frame is the named one, stepped, scrubbed and played, and the facts of a clip are true.

mod slow_motion;
mod uneven;

use super::common::{beside, demo};
use journeys::browser::{Browser, Result, journey};
use journeys::clips::{BITS, ClipFolder, Probed, SQUARE_PX, numbered_clips};
use serde_json::{Value, json};
use std::path::Path;

/// The number in the shown frame, read from the pixels of the canvas; rotated with the frame.
async fn number_in_frame(browser: &Browser, quarter_turns: i64) -> Result<u32> {
    let read =
        "const c = document.querySelector('[data-testid=stage] canvas'), g = c.getContext('2d');
        const [bits, side, turns] = arguments; let number = 0;
        for (let i = 0; i < bits; i++) {
            const along = (i + 0.5) * side, across = side / 2;
            const [x, y] = [[along, across], [c.width - 1 - across, along],
                [c.width - 1 - along, c.height - 1 - across], [across, c.height - 1 - along]][turns];
            if (g.getImageData(Math.floor(x), Math.floor(y), 1, 1).data[1] > 160) number += 2 ** i;
        }
        return number;";
    let arguments = vec![json!(BITS), json!(SQUARE_PX), json!(quarter_turns)];
    let number = browser.client.execute(read, arguments).await?;
    Ok(u32::try_from(number.as_u64().ok_or("no number")?)?)
}

/// The cell of the table of facts under a heading.
async fn fact(browser: &Browser, heading: &str) -> Result<String> {
    let read = "return [...document.querySelectorAll('.facts tr')]
        .find(r => r.querySelector('th').innerText === arguments[0])?.querySelector('td').innerText;";
    let cell = browser.client.execute(read, vec![json!(heading)]).await?;
    Ok(cell.as_str().ok_or_else(|| format!("no fact {heading}"))?.to_owned())
}

/// Checks the facts on the screen against what ffprobe reads in the file.
async fn facts_are_true(browser: &Browser, clip: &Path) -> Result<Probed> {
    let probed = Probed::of(clip)?;
    let (mut wide, mut high) = probed.size_px;
    if probed.quarter_turns % 2 == 1 {
        (wide, high) = (high, wide);
    }
    let mut steps: Vec<f64> = probed.stamps_s.windows(2).map(|w| w[1] - w[0]).collect();
    steps.sort_by(f64::total_cmp);
    let rate_hz = 1.0 / steps[steps.len() / 2];
    let frames = probed.stamps_s.len();
    let codec = match probed.codec.as_str() {
        "h264" => "H.264",
        "vp9" => "VP9",
        other => return Err(format!("no name for {other}").into()),
    };
    let turn = ["none", "a quarter turn right", "half a turn", "a quarter turn left"];
    let turn = usize::try_from(probed.quarter_turns).ok().and_then(|t| turn.get(t).copied());
    let shown_rate = fact(browser, "Rate in the stamps").await?;
    let shown_hz: f64 = shown_rate.split(' ').next().unwrap_or_default().parse()?;
    let (length, shown_codec) = (fact(browser, "Length").await?, fact(browser, "Codec").await?);
    println!("{}: {shown_rate}, {length}, {shown_codec}", clip.display());
    assert_eq!(fact(browser, "Picture").await?, format!("{wide} × {high} px"));
    // ffprobe rounds stamps to a microsecond, WebM's own are whole milliseconds.
    assert!((shown_hz / rate_hz - 1.0).abs() < 0.002, "{shown_rate}, ffprobe {rate_hz}");
    assert!(length.ends_with(&format!(", {frames} frames")), "{length}, ffprobe {frames}");
    let shown_s: f64 = length.split(' ').next().unwrap_or_default().parse()?;
    let last_s = probed.stamps_s[frames - 1] - probed.stamps_s[0];
    assert!((shown_s - last_s).abs() < 0.02, "{length}, ffprobe {last_s}");
    assert!(shown_codec.starts_with(codec), "{shown_codec}");
    assert_eq!(Some(fact(browser, "Rotation").await?.as_str()), turn);
    Ok(probed)
}

fn every_shown_frame_is_the_named_one_and_the_facts_of_each_clip_are_true() {
    let folder = ClipFolder::new().unwrap();
    let Some(clips) = numbered_clips(folder.path()) else { return };
    journey(async |browser, server| {
        for clip in &clips {
            browser.open(&server.url()).await?;
            browser.choose_file("Open a clip", &clip.path).await?;
            browser.shows_frame(0, 30).await?;
            let probed = facts_are_true(browser, &clip.path).await?;
            let turns = probed.quarter_turns;
            // A trimmed clip begins at a later number; from there on no number is missing.
            let first = number_in_frame(browser, turns).await?;
            if clip.name != "trimmed.mp4" {
                assert_eq!(first, 0, "{}", clip.name);
            }
            let last = u32::try_from(probed.stamps_s.len())? - 1;
            let mut wrong = Vec::new();
            for frame in [last, 1, last / 2, last / 2 + 1, last / 3, 7, last - 1] {
                browser.scrub(frame).await?;
                let number = number_in_frame(browser, turns).await?;
                if number != first + frame {
                    wrong.push((frame, number));
                }
            }
            browser.scrub(last / 2).await?;
            for by in 1..=4 {
                browser.press("Previous frame").await?;
                browser.shows_frame(last / 2 - by, 10).await?;
                let number = number_in_frame(browser, turns).await?;
                if number != first + last / 2 - by {
                    wrong.push((last / 2 - by, number));
                }
            }
            assert_eq!(wrong, [], "{}: named frames and the numbers in them", clip.name);
        }
        Ok(())
    });
}

fn the_facts_of_the_example_and_of_filmed_clips_are_true() {
    journey(async |browser, server| {
        let filmed = ["walker.mp4", "runner_b.mp4"].into_iter().filter_map(beside);
        for clip in filmed.chain([demo("heels_low.mp4")]) {
            browser.open(&server.url()).await?;
            browser.choose_file("Open a clip", &clip).await?;
            browser.shows_frame(0, 30).await?;
            facts_are_true(browser, &clip).await?;
        }
        Ok(())
    });
}

/// Plays for a while and notes the time and the shown frame at every repaint.
const PLAYED: &str = "const done = arguments[1], seen = [], began = performance.now();
    const play = [...document.querySelectorAll('button.play')][0]; play.click();
    const note = () => {
        seen.push([performance.now() - began, Number(document.querySelector('[data-testid=stage]').dataset.frame)]);
        if (performance.now() - began < arguments[0]) return requestAnimationFrame(note);
        play.click(); done(seen);
    };
    requestAnimationFrame(note);";

/// True while the shown frame is the one that the text under it names.
const NAMED: &str = "document.body.innerText.includes(
    `frame ${Number(document.querySelector('[data-testid=stage]').dataset.frame) + 1} of 600`)";

fn a_clip_plays_at_each_speed_and_rests_on_the_frame_where_it_was_stopped() {
    journey(async |browser, server| {
        browser.open(&server.url()).await?;
        browser.choose_file("Open a clip", &demo("heels_low.mp4")).await?;
        browser.shows_frame(0, 30).await?;
        for (speed, ratio) in [("1/8", 0.125), ("1/4", 0.25), ("1/2", 0.5), ("1", 1.0)] {
            browser.select("Speed", speed).await?;
            browser.scrub(20).await?;
            let seen = browser.client.execute_async(PLAYED, vec![json!(1500)]).await?;
            let seen: Vec<(f64, f64)> = seen
                .as_array()
                .into_iter()
                .flatten()
                .filter_map(|p| Some((p.get(0)?.as_f64()?, p.get(1).and_then(Value::as_f64)?)))
                .collect();
            assert!(seen.windows(2).all(|w| w[0].1 <= w[1].1), "{speed}: not forward: {seen:?}");
            // In the first third the decoder comes up to speed.
            let settled: Vec<_> = seen.iter().filter(|(ms, _)| *ms > 500.0).collect();
            let (from, to) = (settled.first().ok_or("nothing")?, settled.last().ok_or("nothing")?);
            let frames_s = (to.1 - from.1) / (to.0 - from.0) * 1000.0;
            println!("speed {speed}: {frames_s:.1} frames/s of {:.1}", ratio * 120.0);
            assert!(frames_s > 0.0, "speed {speed}: {frames_s}");
            // The speed that it reaches depends on the machine, and it catches up after a delay; but it never runs ahead of
            // the frame that is due since the press.
            let ahead = |(ms, frame): &(f64, f64)| frame - (20.0 + ms / 1000.0 * ratio * 120.0);
            let most_ahead = seen.iter().map(ahead).fold(f64::NEG_INFINITY, f64::max);
            let most_behind = settled.iter().map(|s| -ahead(s)).fold(0.0, f64::max);
            println!("at most {most_ahead:.1} frames ahead, later {most_behind:.1} behind");
            assert!(most_ahead <= 1.0, "speed {speed}: {most_ahead} frames ahead");
            // A frame that was being decoded may still arrive; after that the named frame is shown.
            browser.until(NAMED, 5).await?;
            let rests = browser.frame().await?;
            assert!(f64::from(rests) >= to.1, "it went back from {} to {rests}", to.1);
        }
        Ok(())
    });
}

/// The journeys of this folder.
pub fn all() -> Vec<libtest_mimic::Trial> {
    let here = journeys::trials!["workflow::frames": every_shown_frame_is_the_named_one_and_the_facts_of_each_clip_are_true, the_facts_of_the_example_and_of_filmed_clips_are_true, a_clip_plays_at_each_speed_and_rests_on_the_frame_where_it_was_stopped];
    [here, slow_motion::all(), uneven::all()].into_iter().flatten().collect()
}
