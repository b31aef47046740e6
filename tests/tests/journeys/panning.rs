//! Before a camera that pans. A real walker in a dress: opened, stepped through, followed where nothing is in the way,
//! and what is lost is said. A drawn runner who crosses: positions come out in one frame of the ground.

use crate::by_hand::mark;
use crate::common::{FOLLOWED, beside, saved_session, trial};
use checks::browser::{Browser, Result, at_the_top, journey, journey_alone};
use checks::truth::Truth;
use document::results::metres;
use document::session::{Certainty, MarkerMode, Trial};
use mechanics::body::Landmark;
use serde_json::Value;
use std::path::{Path, PathBuf};

/// Where the walker is marked: past the weeds, both feet on the pavement.
const MARKED: u32 = 51;

/// A landmark, what the page calls it, where it is in the frame in which it is marked, how far off it may be, and where
/// it is in other frames: the shoulder, the dress over the hip behind the arm, the middle of the leg under the hem, and
/// the ankle of the near leg. The knee's places are read by eye on enlarged pictures; the others are places that a
/// following found and that were judged right by eye.
type Read = (Landmark, &'static str, (f64, f64), f64, &'static [(u32, f64, f64)]);

const READ: [Read; 4] = [
    (
        Landmark::NearShoulder,
        "Near shoulder",
        (318.0, 194.0),
        8.0,
        &[
            (33, 322.0, 192.0),
            (36, 328.0, 197.0),
            (42, 335.0, 203.0),
            (48, 320.0, 191.0),
            (54, 321.0, 201.0),
            (60, 332.0, 197.0),
            (66, 352.0, 190.0),
            (69, 363.0, 198.0),
        ],
    ),
    (
        Landmark::NearHip,
        "Near hip",
        (312.0, 284.0),
        14.0,
        &[(45, 338.0, 281.0), (48, 321.0, 281.0), (54, 310.0, 282.0), (57, 317.0, 277.0)],
    ),
    (
        Landmark::NearKnee,
        "Near knee",
        (358.0, 373.0),
        12.0,
        &[
            (36, 309.0, 380.0),
            (39, 308.0, 381.0),
            (42, 328.0, 382.0),
            (45, 328.0, 381.0),
            (48, 346.0, 376.0),
            (54, 358.0, 376.0),
            (57, 358.0, 377.0),
            (60, 349.0, 371.0),
            (66, 338.0, 367.0),
        ],
    ),
    (
        Landmark::NearAnkle,
        "Near ankle",
        (367.0, 427.0),
        10.0,
        &[
            (36, 277.0, 440.0),
            (39, 258.0, 433.0),
            (42, 269.0, 409.0),
            (45, 293.0, 400.0),
            (48, 324.0, 414.0),
            (54, 369.0, 427.0),
            (60, 339.0, 424.0),
            (66, 320.0, 422.0),
        ],
    ),
];

/// In how many of the frames in which a landmark was read it is as near as it may be off. Where it is further off it must
/// be said to be in doubt or hidden: half a pixel in a mark decides what becomes of a hip on an even dress beside an arm,
/// and browsers differ by that.
fn right_places(trial: &Trial, (landmark, name, _, most_px, places): Read) -> Result<usize> {
    let track = trial.tracks.get(&landmark).ok_or_else(|| format!("{name}: no track"))?;
    assert_eq!(track.mode, MarkerMode::Skin, "{name}: nothing there is a sticker");
    let mut right = 0;
    for (frame, x_px, y_px) in places {
        let Some(sample) = track.sample(*frame) else {
            println!("{name}, frame {frame}: lost");
            continue;
        };
        let (at, certainty) = (sample.at, sample.certainty);
        let off_px = (at.x_px - x_px).hypot(at.y_px - y_px);
        println!("{name}, frame {frame}: {off_px:.1} px from where it was read, {certainty:?}");
        let is_said = matches!(certainty, Certainty::Doubtful | Certainty::Coasting);
        let is_right = off_px <= most_px;
        assert!(is_right || is_said, "{name} in frame {frame}: {at:?}, read at {x_px} {y_px}");
        right += usize::from(is_right);
    }
    Ok(right)
}

#[test]
fn the_walker_is_followed_where_nothing_hides_her_and_what_is_lost_is_said() {
    let Some(clip) = beside("walker.mp4") else { return };
    journey(async |browser, server| {
        browser.open(&server.url()).await?;
        browser.give("Open a clip", &clip).await?;
        browser.shows_frame(0, 30).await?;
        assert!(browser.words().await?.contains("70 frames"));
        for frame in 1..=5 {
            browser.press("Next frame").await?;
            browser.shows_frame(frame, 10).await?;
        }
        for frame in (0..5).rev() {
            browser.press("Previous frame").await?;
            browser.shows_frame(frame, 10).await?;
        }
        browser.step("Markers").await?;
        browser.shows_frame(0, 10).await?;
        browser.scrub(MARKED).await?;
        browser.shows_frame(MARKED, 10).await?;
        for (_, name, at, ..) in READ {
            browser.press(name).await?;
            browser.touch(at).await?;
        }
        browser.until("document.querySelectorAll('.landmark.has-mark').length === 4", 10).await?;
        browser.press("Follow the markers").await?;
        browser.until(FOLLOWED, 60).await?;
        browser.shot("walker").await?;
        let said = browser.words().await?;
        browser.step("Clip").await?;
        let followed = trial(&saved_session(browser).await?, 0)?;
        let right = READ.into_iter().map(|read| right_places(&followed, read));
        let right: usize = right.sum::<Result<usize>>()?;
        let read: usize = READ.iter().map(|(.., places)| places.len()).sum();
        println!("right in {right} of {read} places");
        // Chosen: nine in ten; a person would have to place the others anew.
        assert!(10 * right >= 9 * read, "right in {right} of {read} places");
        // Behind the weeds at the beginning, and where the arm goes over the hip at the end, nothing can be seen.
        let hip = followed.tracks.get(&Landmark::NearHip).ok_or("no hip")?;
        let is_sure = |frame: u32| {
            let certainty = hip.sample(frame).map(|s| s.certainty);
            matches!(certainty, Some(Certainty::Seen | Certainty::Placed))
        };
        assert!(!(64..70).any(is_sure), "the arm is over the hip");
        for what in ["near hip hidden", "near ankle", "in doubt"] {
            assert!(said.contains(what), "{what} is not said: {said}");
        }
        Ok(())
    });
}

/// The clip and what is true of it.
fn drawn(folder: &Path) -> Result<(PathBuf, PathBuf, Value)> {
    let files: Vec<PathBuf> = std::fs::read_dir(folder)?.flatten().map(|f| f.path()).collect();
    let ending = |e: &str| files.iter().find(|p| p.to_string_lossy().ends_with(e)).cloned();
    let clip = ending(".mp4").ok_or("no clip in the folder")?;
    let truth = ending(".truth.json").ok_or("no truth in the folder")?;
    let json = serde_json::from_str(&std::fs::read_to_string(&truth)?)?;
    Ok((clip, truth, json))
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

/// How far the hip has come from the first frame to each, in metres.
fn way_m(places: impl Iterator<Item = Option<f64>>) -> Vec<Option<f64>> {
    let places: Vec<Option<f64>> = places.collect();
    let first = places.first().copied().flatten();
    places.iter().map(|p| Some(p.as_ref()? - first?)).collect()
}

/// Not among the quick tests, since the clip takes minutes to draw: `STRIDE_MOVING` names the folder of one.
#[test]
fn a_runner_before_a_panning_camera_is_measured_over_the_ground() {
    let Some(folder) = std::env::var_os("STRIDE_MOVING").map(|f| at_the_top().join(f)) else {
        println!("not run: STRIDE_MOVING names no folder with a clip drawn for it");
        return;
    };
    journey_alone(async |browser, server| {
        let (clip, truth_file, json) = drawn(&folder)?;
        browser.open(&server.url()).await?;
        browser.give("Open a clip", &clip).await?;
        browser.shows_frame(0, 30).await?;
        browser.step("Scale").await?;
        browser.shows_frame(0, 30).await?;
        line(browser, &json, "/scale/points_px").await?;
        browser.press("Mark a plumb line").await?;
        line(browser, &json, "/plumb_px").await?;
        browser.choose("To the right").await?;
        browser.choose("On the ground").await?;
        mark(browser, &Truth::of_json(&truth_file)?).await?;
        browser.press("Follow the markers").await?;
        browser.until(FOLLOWED, 120).await?;
        browser.step("Clip").await?;
        browser.says("brought to one frame", 10).await?;
        let session = saved_session(browser).await?;
        let trial = trial(&session, 0)?;
        let camera = trial.camera.clone().ok_or("the camera was not seen to move")?;
        println!("the background misses by {} px", camera.residual_px);
        let found = metres(&trial).ok_or("no metres")?;
        let hip = found.get(&Landmark::NearHip).ok_or("no hip")?;
        let ours = way_m(hip.iter().map(|p| Some(p.as_ref()?.x_m)));
        let true_m = json.pointer("/landmarks/near_hip/x_m").and_then(Value::as_array);
        let truth = way_m(true_m.ok_or("no truth")?.iter().map(Value::as_f64));
        let both: Vec<(f64, f64)> =
            ours.iter().zip(&truth).filter_map(|(o, t)| Some(((*o)?, (*t)?))).collect();
        let (last, true_last) = both.last().copied().ok_or("the hip is nowhere")?;
        println!(
            "{} of {} frames: {last:.3} m over the ground, true {true_last:.3} m",
            both.len(),
            truth.len()
        );
        assert!(both.len() * 2 > truth.len() && true_last > 2.0, "the hip is not followed");
        // Chosen: what the length of a scale marked by hand in the whole picture is uncertain by, three times over.
        assert!((last / true_last - 1.0).abs() < 0.03);
        browser.scrub(100).await?;
        browser.step("Scale").await?;
        browser.shot("moving-scale").await?;
        Ok(())
    });
}
