//! What must hold of the committed clips: the truth is what the generator computes, the films are there, the two ways differ.

#![allow(clippy::unwrap_used, reason = "a test may fail by a panic, also in its helpers")]

use demo_clips::body::Share;
use demo_clips::output::{Clip, Example, Options, Truth};
use std::fs;
use std::path::PathBuf;

fn folder() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("clips")
}

fn committed(clip: &Clip) -> Truth {
    let text = fs::read_to_string(folder().join(format!("{}.truth.json", clip.name))).unwrap();
    assert!(text.len() < 1_000_000, "{} has {} bytes", clip.name, text.len());
    serde_json::from_str(&text).unwrap()
}

fn clips() -> Vec<(Clip, Truth)> {
    let clips = Clip::both(&Options::default());
    clips.into_iter().map(|clip| (clip.clone(), committed(&clip))).collect()
}

#[test]
fn the_committed_truth_is_what_the_generator_computes() {
    for (clip, kept) in clips() {
        let options = Options::default();
        let fresh = Truth::of(&clip, &clip.motion(&options), &options);
        let plain = |truth: &Truth| Truth { landmarks: Default::default(), ..truth.clone() };
        assert_eq!(plain(&kept), plain(&fresh));
        assert!(kept.landmarks.keys().eq(fresh.landmarks.keys()));
        for (name, kept) in &kept.landmarks {
            let fresh = &fresh.landmarks[name];
            assert_eq!(kept.visible, fresh.visible, "{name}");
            // One unit of the last digit, since the sine of another machine may round otherwise.
            for (a, b, step) in [
                (&kept.x_px, &fresh.x_px, 1.1e-3),
                (&kept.y_px, &fresh.y_px, 1.1e-3),
                (&kept.x_m, &fresh.x_m, 1.1e-5),
                (&kept.y_m, &fresh.y_m, 1.1e-5),
            ] {
                assert_eq!((a.len(), b.len()), (600, 600));
                assert!(a.iter().zip(b).all(|(a, b)| (a - b).abs() < step), "{name}");
            }
        }
    }
}

#[test]
fn the_committed_example_is_what_the_truth_gives() {
    let truths: Vec<Truth> = clips().into_iter().map(|(_, truth)| truth).collect();
    let text = fs::read_to_string(folder().join("example.json")).unwrap();
    let kept: Example = serde_json::from_str(&text).unwrap();
    assert_eq!(kept, Example::from(&truths));
    for trial in &kept.trials {
        assert_eq!(trial.marks_px.len(), 9, "all near landmarks are marked in {}", trial.clip);
    }
}

#[test]
fn all_near_landmarks_show_in_the_first_frame_and_the_arm_hides_the_hip_later() {
    for (clip, truth) in clips() {
        for (name, column) in &truth.landmarks {
            if name.starts_with("near") || name == "head" {
                assert_eq!(column.visible[0], 1, "{name} of {}", clip.name);
            }
        }
        let hip = &truth.landmarks["near_hip"].visible;
        let longest = hip.split(|&seen| seen == 1).map(<[u8]>::len).max().unwrap();
        // Hidden on every swing of the arm, but never for a tenth of a second.
        assert!((4..12).contains(&longest), "{}: hidden for {longest} frames", clip.name);
    }
}

/// The samples that the sample size box of an MP4 file counts, the first one found.
fn samples(bytes: &[u8]) -> u32 {
    let at = bytes.windows(4).position(|name| name == b"stsz").unwrap();
    u32::from_be_bytes(bytes[at + 12..at + 16].try_into().unwrap())
}

#[test]
fn the_films_are_small_seekable_and_have_every_frame() {
    for (clip, truth) in clips() {
        let bytes = fs::read(folder().join(&truth.clip)).unwrap();
        assert!(bytes.len() < 1_500_000, "{} has {} bytes", clip.name, bytes.len());
        assert_eq!(samples(&bytes) as usize, truth.frames);
        let place = |name: &[u8]| bytes.windows(4).position(|found| found == name).unwrap();
        assert!(place(b"moov") < place(b"mdat"), "the index stands before the pictures");
        let at = place(b"stss");
        let keys = u32::from_be_bytes(bytes[at + 8..at + 12].try_into().unwrap());
        assert!(keys >= 10, "{keys} key frames in 600");
    }
}

#[test]
fn the_pixels_are_the_metres_through_scale_and_roll() {
    for (_, truth) in clips() {
        let [low, high] = truth.scale.points_px;
        let across = [high[0] - low[0], high[1] - low[1]];
        let length_px = across[0].hypot(across[1]);
        assert!((length_px / truth.scale.length_m - truth.px_per_m).abs() < 0.003);
        // Unit vectors of up and forward in the picture, from the board alone.
        let up = across.map(|c| c / length_px);
        let forward = [-up[1], up[0]];
        for column in truth.landmarks.values() {
            for i in (0..600).step_by(37) {
                let off =
                    [column.x_px[i] - truth.origin_px[0], column.y_px[i] - truth.origin_px[1]];
                let along = |axis: [f64; 2]| (off[0] * axis[0] + off[1] * axis[1]) / truth.px_per_m;
                assert!((along(forward) - column.x_m[i]).abs() < 5e-5);
                assert!((along(up) - column.y_m[i]).abs() < 5e-5);
            }
        }
    }
}

/// Internal work per stride from the truth alone: positive increments of each limb's kinetic
/// energy relative to the centre of mass, by plain central differences of unfiltered positions.
fn internal_work_j(truth: &Truth) -> f64 {
    let place = |name: &str, i: usize| (truth.landmarks[name].x_m[i], truth.landmarks[name].y_m[i]);
    let mut limbs: Vec<Vec<(Share, String, String)>> =
        vec![vec![(Share::TRUNK_AND_HEAD, "near_hip".into(), "near_shoulder".into())]];
    for side in ["near", "far"] {
        let segment =
            |share, from: &str, to: &str| (share, format!("{side}_{from}"), format!("{side}_{to}"));
        limbs.push(vec![
            segment(Share::THIGH, "hip", "knee"),
            segment(Share::SHANK, "knee", "ankle"),
            segment(Share::FOOT, "ankle", "toe"),
        ]);
        limbs.push(vec![
            segment(Share::UPPER_ARM, "shoulder", "elbow"),
            segment(Share::FOREARM_AND_HAND, "elbow", "wrist"),
        ]);
    }
    let centre = |(share, from, to): &(Share, String, String), i: usize| {
        let (a, b, f) = (place(from, i), place(to, i), share.centre_fraction);
        (a.0 + f * (b.0 - a.0), a.1 + f * (b.1 - a.1))
    };
    let speed = |at: &dyn Fn(usize) -> (f64, f64), i: usize| {
        let (a, b) = (at(i - 1), at(i + 1));
        ((b.0 - a.0) * truth.rate_hz / 2.0, (b.1 - a.1) * truth.rate_hz / 2.0)
    };
    let body = |i: usize| {
        limbs.iter().flatten().fold((0.0, 0.0), |sum, segment| {
            let (c, m) = (centre(segment, i), segment.0.mass_fraction);
            (sum.0 + m * c.0, sum.1 + m * c.1)
        })
    };
    let energy_j = |limb: &[(Share, String, String)], i: usize| -> f64 {
        let v0 = speed(&body, i);
        limb.iter()
            .map(|segment| {
                let (share, from, to) = segment;
                let v = speed(&|i| centre(segment, i), i);
                // Turning speed times length: the velocity of one end relative to the other.
                let ends = speed(
                    &|i| (place(to, i).0 - place(from, i).0, place(to, i).1 - place(from, i).1),
                    i,
                );
                let turning = ends.0.hypot(ends.1) * share.gyration_fraction;
                let sliding = (v.0 - v0.0).powi(2) + (v.1 - v0.1).powi(2);
                0.5 * truth.mass_kg * share.mass_fraction * (sliding + turning * turning)
            })
            .sum()
    };
    let contacts: Vec<usize> = truth
        .events
        .iter()
        .filter(|event| event.side == "near" && event.kind == "contact")
        .map(|event| (event.time_s * truth.rate_hz).round() as usize)
        .collect();
    let (first, last) = (contacts[0], *contacts.last().unwrap());
    let rises = limbs.iter().map(|limb| {
        (first..last).map(|i| (energy_j(limb, i + 1) - energy_j(limb, i)).max(0.0)).sum::<f64>()
    });
    rises.sum::<f64>() / (contacts.len() - 1) as f64
}

#[test]
fn the_two_ways_cost_clearly_different_internal_work() {
    let work: Vec<f64> = clips().iter().map(|(_, truth)| internal_work_j(truth)).collect();
    println!("internal work per stride: {:.2} J and {:.2} J", work[0], work[1]);
    assert!((0.75..0.92).contains(&(work[1] / work[0])), "{work:?}");
}
