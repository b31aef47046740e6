//! The committed clips: the ground truth is what the generator computes, the films are complete, the two styles differ.

#![allow(clippy::unwrap_used, reason = "a test may fail by a panic, also in its helpers")]

use demo_clips::body::SegmentParameters;
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
        let without_landmarks =
            |truth: &Truth| Truth { landmarks: Default::default(), ..truth.clone() };
        assert_eq!(without_landmarks(&kept), without_landmarks(&fresh));
        assert!(kept.landmarks.keys().eq(fresh.landmarks.keys()));
        for (name, kept) in &kept.landmarks {
            let fresh = &fresh.landmarks[name];
            assert_eq!(kept.visible, fresh.visible, "{name}");
            // One unit of the last digit, because the sine may round differently on another machine.
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
fn all_near_landmarks_are_visible_at_first_and_the_arm_hides_the_hip_later() {
    for (clip, truth) in clips() {
        for (name, column) in &truth.landmarks {
            if name.starts_with("near") || name == "head" {
                assert_eq!(column.visible[0], 1, "{name} of {}", clip.name);
            }
        }
        let hip = &truth.landmarks["near_hip"].visible;
        let longest = hip.split(|&seen| seen == 1).map(<[u8]>::len).max().unwrap();
        // Hidden at every swing of the arm, but always for less than a tenth of a second.
        assert!((4..12).contains(&longest), "{}: hidden for {longest} frames", clip.name);
    }
}

/// The number of samples by the first sample size box of an MP4 file.
fn samples(bytes: &[u8]) -> u32 {
    let at = bytes.windows(4).position(|name| name == b"stsz").unwrap();
    u32::from_be_bytes(bytes[at + 12..at + 16].try_into().unwrap())
}

#[test]
fn the_films_are_small_and_seekable_and_have_every_frame() {
    for (clip, truth) in clips() {
        let bytes = fs::read(folder().join(&truth.clip)).unwrap();
        assert!(bytes.len() < 1_500_000, "{} has {} bytes", clip.name, bytes.len());
        assert_eq!(samples(&bytes) as usize, truth.frames);
        let position = |name: &[u8]| bytes.windows(4).position(|found| found == name).unwrap();
        assert!(position(b"moov") < position(b"mdat"), "the index comes before the frames");
        let at = position(b"stss");
        let keys = u32::from_be_bytes(bytes[at + 8..at + 12].try_into().unwrap());
        assert!(keys >= 10, "{keys} key frames in 600");
    }
}

#[test]
fn pixels_are_metres_through_scale_and_roll() {
    for (_, truth) in clips() {
        let [low, high] = truth.scale.points_px;
        let across = [high[0] - low[0], high[1] - low[1]];
        let length_px = across[0].hypot(across[1]);
        assert!((length_px / truth.scale.length_m - truth.px_per_m).abs() < 0.003);
        // Unit vectors up and forward in the picture, from the board alone.
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

/// A segment from one landmark to another.
struct Segment {
    parameters: SegmentParameters,
    from: String,
    to: String,
}

/// The segments of trunk, legs and arms.
fn limbs() -> Vec<Vec<Segment>> {
    let mut limbs: Vec<Vec<Segment>> = vec![vec![Segment {
        parameters: SegmentParameters::TRUNK_AND_HEAD,
        from: "near_hip".to_owned(),
        to: "near_shoulder".to_owned(),
    }]];
    for side in ["near", "far"] {
        let segment = |parameters, from: &str, to: &str| Segment {
            parameters,
            from: format!("{side}_{from}"),
            to: format!("{side}_{to}"),
        };
        limbs.push(vec![
            segment(SegmentParameters::THIGH, "hip", "knee"),
            segment(SegmentParameters::SHANK, "knee", "ankle"),
            segment(SegmentParameters::FOOT, "ankle", "toe"),
        ]);
        limbs.push(vec![
            segment(SegmentParameters::UPPER_ARM, "shoulder", "elbow"),
            segment(SegmentParameters::FOREARM_AND_HAND, "elbow", "wrist"),
        ]);
    }
    limbs
}

/// Internal work per stride from the ground truth alone: the positive increments of each limb's kinetic
/// energy relative to the centre of mass, by central differences of unfiltered positions.
fn internal_work_j(truth: &Truth) -> f64 {
    let position =
        |name: &str, i: usize| (truth.landmarks[name].x_m[i], truth.landmarks[name].y_m[i]);
    let limbs = limbs();
    let centre = |segment: &Segment, i: usize| {
        let (a, b) = (position(&segment.from, i), position(&segment.to, i));
        let f = segment.parameters.centre_fraction;
        (a.0 + f * (b.0 - a.0), a.1 + f * (b.1 - a.1))
    };
    let speed = |at: &dyn Fn(usize) -> (f64, f64), i: usize| {
        let (a, b) = (at(i - 1), at(i + 1));
        ((b.0 - a.0) * truth.rate_hz / 2.0, (b.1 - a.1) * truth.rate_hz / 2.0)
    };
    let body = |i: usize| {
        limbs.iter().flatten().fold((0.0, 0.0), |sum, segment| {
            let (c, m) = (centre(segment, i), segment.parameters.mass_fraction);
            (sum.0 + m * c.0, sum.1 + m * c.1)
        })
    };
    let energy_j = |limb: &[Segment], i: usize| -> f64 {
        let v0 = speed(&body, i);
        limb.iter()
            .map(|segment| {
                let v = speed(&|i| centre(segment, i), i);
                let along = |i: usize| {
                    let (a, b) = (position(&segment.from, i), position(&segment.to, i));
                    (b.0 - a.0, b.1 - a.1)
                };
                // Angular velocity times length: the velocity of one end relative to the other.
                let ends = speed(&along, i);
                let rotation = ends.0.hypot(ends.1) * segment.parameters.gyration_fraction;
                let translation = (v.0 - v0.0).powi(2) + (v.1 - v0.1).powi(2);
                let mass_kg = truth.mass_kg * segment.parameters.mass_fraction;
                0.5 * mass_kg * (translation + rotation * rotation)
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
fn the_two_styles_differ_clearly_in_internal_work() {
    let work: Vec<f64> = clips().iter().map(|(_, truth)| internal_work_j(truth)).collect();
    println!("internal work per stride: {:.2} J and {:.2} J", work[0], work[1]);
    assert!((0.75..0.92).contains(&(work[1] / work[0])), "{work:?}");
}
