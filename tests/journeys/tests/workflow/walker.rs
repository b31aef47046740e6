//! A real walker in a dress before a panning camera: stepped through, tracked where nothing hides her, and lost
//! landmarks named.

use super::common::{TRACKED, beside, saved_session, trial};
use document::session::{Certainty, MarkerMode, Trial};
use journeys::browser::{Result, journey};
use journeys::measurements::{Row, record};
use mechanics::body::Landmark;

/// The frame in which the walker is marked: past the weeds, both feet on the pavement.
const MARKED: u32 = 51;

/// The places of a landmark, read by eye.
#[derive(Clone, Copy)]
struct Reading {
    landmark: Landmark,
    /// Its name on the page.
    name: &'static str,
    /// Its place in the frame in which it is marked.
    marked_px: (f64, f64),
    /// The largest error that counts as right.
    most_px: f64,
    /// Its places in other frames: the frame, x and y.
    places: &'static [(u32, f64, f64)],
}

/// The shoulder, the dress over the hip behind the arm, the middle of the leg under the hem, and the ankle of the near
/// leg. The knee's places were read on enlarged frames; the others are places that a tracking run found and that were
/// judged right by eye.
const READINGS: [Reading; 4] = [
    Reading {
        landmark: Landmark::NearShoulder,
        name: "Near shoulder",
        marked_px: (318.0, 194.0),
        most_px: 8.0,
        places: &[
            (33, 322.0, 192.0),
            (36, 328.0, 197.0),
            (42, 335.0, 203.0),
            (48, 320.0, 191.0),
            (54, 321.0, 201.0),
            (60, 332.0, 197.0),
            (66, 352.0, 190.0),
            (69, 363.0, 198.0),
        ],
    },
    Reading {
        landmark: Landmark::NearHip,
        name: "Near hip",
        marked_px: (312.0, 284.0),
        most_px: 14.0,
        places: &[(45, 338.0, 281.0), (48, 321.0, 281.0), (54, 310.0, 282.0), (57, 317.0, 277.0)],
    },
    Reading {
        landmark: Landmark::NearKnee,
        name: "Near knee",
        marked_px: (358.0, 373.0),
        most_px: 12.0,
        places: &[
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
    },
    Reading {
        landmark: Landmark::NearAnkle,
        name: "Near ankle",
        marked_px: (367.0, 427.0),
        most_px: 10.0,
        places: &[
            (36, 277.0, 440.0),
            (39, 258.0, 433.0),
            (42, 269.0, 409.0),
            (45, 293.0, 400.0),
            (48, 324.0, 414.0),
            (54, 369.0, 427.0),
            (60, 339.0, 424.0),
            (66, 320.0, 422.0),
        ],
    },
];

/// The number of readings in which a landmark is right. In the others the page must say that it is in doubt or hidden:
/// half a pixel in a mark decides whether the hip on an even dress beside an arm is found, and browsers differ by that.
fn right_places(trial: &Trial, reading: Reading) -> Result<usize> {
    let Reading { landmark, name, most_px, places, .. } = reading;
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
        println!("{name}, frame {frame}: {off_px:.1} px from the reading, {certainty:?}");
        let is_said = matches!(certainty, Certainty::Doubtful | Certainty::Coasting);
        let is_right = off_px <= most_px;
        assert!(is_right || is_said, "{name} in frame {frame}: {at:?}, read at {x_px} {y_px}");
        right += usize::from(is_right);
    }
    Ok(right)
}

fn the_walker_is_tracked_where_nothing_hides_her_and_lost_landmarks_are_named() {
    let Some(clip) = beside("walker.mp4") else { return };
    journey(async |browser, server| {
        browser.open(&server.url()).await?;
        browser.choose_file("Open a clip", &clip).await?;
        browser.shows_frame(0, 30).await?;
        assert!(browser.text().await?.contains("70 frames"));
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
        for reading in READINGS {
            browser.press(reading.name).await?;
            browser.tap(reading.marked_px).await?;
        }
        browser.until("document.querySelectorAll('.landmark.has-mark').length === 4", 10).await?;
        browser.press("Follow the markers").await?;
        browser.until(TRACKED, 60).await?;
        browser.screenshot("walker").await?;
        let said = browser.text().await?;
        browser.step("Clip").await?;
        let tracked = trial(&saved_session(browser).await?, 0)?;
        let right = READINGS.into_iter().map(|reading| right_places(&tracked, reading));
        let right: usize = right.sum::<Result<usize>>()?;
        let read: usize = READINGS.iter().map(|r| r.places.len()).sum();
        let result = format!("{right} of {read}");
        record("walker", &[Row::new("places that are right", result, "9 in 10")])?;
        // Chosen: nine in ten; a person would have to mark the others again.
        assert!(10 * right >= 9 * read, "right in {right} of {read} places");
        // Behind the weeds at the beginning, and behind the arm at the end, the hip is not visible.
        let hip = tracked.tracks.get(&Landmark::NearHip).ok_or("no hip")?;
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

/// The journeys of this file.
pub fn all() -> Vec<libtest_mimic::Trial> {
    journeys::trials!["workflow::walker": the_walker_is_tracked_where_nothing_hides_her_and_lost_landmarks_are_named]
}
