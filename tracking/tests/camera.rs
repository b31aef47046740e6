//! The camera's motion found in pictures that were moved, rotated and scaled by known amounts, with a runner in front.

#![allow(clippy::unwrap_used, reason = "a test may fail by a panic, also in its helpers")]

use tracking::camera::{Camera, Motion, Similarity};
use tracking::image::{GreyFrame, ImagePoint};

const SIZE: (usize, usize) = (640, 360);

/// A number from 0 to 255 for a whole place, well spread (the finalizer of SplitMix, Steele et al. 2014).
fn hash(x: i64, y: i64, seed: u64) -> f64 {
    let mut z = seed
        .wrapping_add((x as u64).wrapping_mul(0x9E37_79B9_7F4A_7C15))
        .wrapping_add((y as u64).wrapping_mul(0xC2B2_AE3D_27D4_EB4F));
    z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    ((z ^ (z >> 31)) >> 56) as f64
}

/// A wall with features of some nine pixels.
fn wall(p: ImagePoint, seed: u64) -> f64 {
    let (x, y) = (p.x_px / 9.0, p.y_px / 9.0);
    let (c, r) = (x.floor(), y.floor());
    let smooth = |u: f64| u * u * (3.0 - 2.0 * u);
    let (u, v) = (smooth(x - c), smooth(y - r));
    let at = |i: i64, j: i64| hash(c as i64 + i, r as i64 + j, seed);
    let line = |j| (1.0 - u) * at(0, j) + u * at(1, j);
    60.0 + 0.5 * ((1.0 - v) * line(0) + v * line(1))
}

/// A scene: the wall, the noise of the sensor and the lamp.
#[derive(Clone, Copy)]
struct Scene {
    /// The contrast of the wall's features.
    texture: fn(ImagePoint) -> f64,
    /// Standard deviation of the noise, in grey levels.
    noise: f64,
    /// Amplitude of the lamp's light, as a share of it.
    flicker: f64,
}

const EVERYWHERE: Scene = Scene { texture: |_| 1.0, noise: 1.2, flicker: 0.0 };
/// Pictures on a plain wall: ten in two rows.
const PICTURES: Scene = Scene {
    texture: |p| {
        let inside = |v: f64, every: f64, size: f64| (v + 0.5 * size).rem_euclid(every) < size;
        f64::from(inside(p.x_px - 64.0, 128.0, 60.0) && inside(p.y_px - 90.0, 180.0, 60.0))
    },
    ..EVERYWHERE
};
/// A plastered wall, whose texture is nearly hidden in the noise of a dark hall.
const FAINT: Scene = Scene { texture: |_| 0.17, ..EVERYWHERE };
const PLAIN: Scene = Scene { texture: |_| 0.0, ..EVERYWHERE };

/// The wall in this camera's view, a runner 80 px wide at a speed of his own, and noise.
fn film(scene: Scene, camera: &Similarity, number: u64) -> (Vec<u8>, Vec<ImagePoint>) {
    let back = camera.inverse();
    let runner_px = 260.0 + 4.0 * number as f64;
    // A lamp of 100 Hz at 60 frames in a second.
    let light = 1.0 + scene.flicker * (std::f64::consts::TAU * 100.0 / 60.0 * number as f64).sin();
    let pixel = |index: usize| {
        let (x, y) = ((index % SIZE.0) as f64, (index / SIZE.0) as f64);
        let on_runner = (x - runner_px).abs() < 40.0 && (80.0..330.0).contains(&y);
        let p = ImagePoint { x_px: x, y_px: y };
        let there = back.apply(p);
        let level = if on_runner {
            wall(p.moved(-runner_px, 0.0), 99)
        } else {
            120.0 + (scene.texture)(there) * (wall(there, 5) - 120.0)
        };
        // Three even numbers of a deviation of 255 / sqrt(12) each are nearly normal together.
        let even = |seed| hash(index as i64, number as i64, seed) - 127.5;
        let noise = scene.noise * (even(8) + even(17) + even(31)) / 127.5;
        (light * level + noise + 0.5).clamp(0.0, 255.0) as u8
    };
    let markers = [100.0, 200.0, 300.0].map(|y_px| ImagePoint { x_px: runner_px, y_px });
    ((0..SIZE.0 * SIZE.1).map(pixel).collect(), markers.to_vec())
}

fn follow(
    scene: Scene,
    path: impl Fn(u64) -> Similarity,
    frames: u64,
) -> Vec<(Similarity, Motion)> {
    let view = |bytes: &'static [u8]| GreyFrame::new(SIZE.0, SIZE.1, SIZE.0, bytes).unwrap();
    let keep = |bytes: Vec<u8>| -> &'static [u8] { Vec::leak(bytes) };
    let (first, markers) = film(scene, &path(0), 0);
    let mut camera = Camera::new(view(keep(first)), &markers);
    (1..frames)
        .map(|number| {
            let (bytes, markers) = film(scene, &path(number), number);
            (path(number), camera.step(view(keep(bytes)), &markers).unwrap())
        })
        .collect()
}

/// How far off the found camera puts the corners of a middle rectangle.
fn miss_px((truth, found): &(Similarity, Motion)) -> f64 {
    let corners = [(80.0, 60.0), (560.0, 60.0), (80.0, 300.0), (560.0, 300.0)];
    let miss = |(x_px, y_px)| {
        let p = ImagePoint { x_px, y_px };
        found.on_ground(truth.apply(p)).distance_px(p)
    };
    corners.map(miss).into_iter().fold(0.0, f64::max)
}

fn turned(rotation_rad: f64, scale: f64, shift: (f64, f64)) -> Similarity {
    let (sine, cosine) = rotation_rad.sin_cos();
    let (a, b) = (scale * cosine, scale * sine);
    let (mx, my) = (320.0, 180.0);
    Similarity {
        cosine_ratio: a,
        sine_ratio: b,
        x_px: mx + shift.0 - (a * mx - b * my),
        y_px: my + shift.1 - (b * mx + a * my),
    }
}

fn pan(n: u64) -> Similarity {
    turned(0.0, 1.0 + 0.000_5 * n as f64, (-7.3 * n as f64, 0.4 * n as f64))
}

fn hand(n: u64) -> Similarity {
    let t = n as f64;
    let shift = (5.0 * (0.8 * t).sin(), 3.0 * (1.1 * t).sin());
    turned(0.006 * (0.5 * t).sin(), 1.0 + 0.003 * (0.3 * t).sin(), shift)
}

#[test]
fn a_pan_is_followed_in_one_ground_frame() {
    for one in &follow(EVERYWHERE, pan, 12) {
        assert!(one.1.moving && one.1.residual_px.unwrap() < 0.3, "{one:?}");
        // Few steps add up, each of some thirty places of a tenth of a pixel.
        assert!(miss_px(one) < 0.3, "{} {one:?}", miss_px(one));
    }
}

#[test]
fn a_camera_in_a_shaking_hand_is_followed() {
    for one in &follow(EVERYWHERE, hand, 12) {
        assert!(one.1.moving, "{one:?}");
        assert!(miss_px(one) < 0.3, "{} {one:?}", miss_px(one));
    }
}

#[test]
fn a_pan_and_a_shaking_hand_are_followed_through_the_noise_of_a_dark_hall() {
    let dark = Scene { noise: 5.5, ..EVERYWHERE };
    for one in follow(dark, pan, 12).iter().chain(&follow(dark, hand, 12)) {
        assert!(one.1.moving, "{one:?}");
        assert!(miss_px(one) < 0.4, "{} {one:?}", miss_px(one));
    }
}

#[test]
fn a_pan_too_slow_to_show_from_frame_to_frame_shows_in_the_end() {
    let slow = |n: u64| turned(0.0, 1.0, (-0.06 * n as f64, 0.0));
    let found = follow(Scene { noise: 5.5, ..EVERYWHERE }, slow, 16);
    assert!(found.last().unwrap().1.moving);
    for one in &found {
        // As long as it is taken as still it is missed by its motion.
        assert!(miss_px(one) < if one.1.moving { 0.3 } else { 0.6 }, "{} {one:?}", miss_px(one));
    }
}

#[test]
fn a_still_camera_stays_still_whoever_runs_by() {
    for (_, motion) in follow(EVERYWHERE, |_| Similarity::STILL, 10) {
        assert!(!motion.moving, "{motion:?}");
        assert_eq!(motion.since_first, Similarity::STILL);
        assert!(motion.residual_px.unwrap() < 0.2);
    }
}

#[test]
fn a_still_camera_stays_still_whatever_its_noise() {
    for noise in [2.5, 5.5, 11.0] {
        for scene in [EVERYWHERE, PICTURES, FAINT].map(|scene| Scene { noise, ..scene }) {
            for (_, motion) in follow(scene, |_| Similarity::STILL, 10) {
                assert!(!motion.moving, "{noise} {motion:?}");
                assert_eq!(motion.since_first, Similarity::STILL);
                assert!(motion.residual_px.is_none_or(|r| r < 0.3), "{noise} {motion:?}");
            }
        }
    }
}

#[test]
fn noise_on_a_plain_wall_gives_no_features() {
    for noise in [2.5, 5.5, 11.0] {
        for (_, motion) in follow(Scene { noise, ..PLAIN }, |_| Similarity::STILL, 6) {
            assert_eq!((motion.residual_px, motion.agreeing, motion.moving), (None, 0, false));
            assert!(!motion.in_place);
        }
    }
}

#[test]
fn a_faint_wall_in_noise_stands_in_place_and_one_that_jumped_does_not() {
    let faint = Scene { noise: 5.5, ..FAINT };
    let still = follow(faint, |_| Similarity::STILL, 10);
    assert!(still.iter().any(|(_, motion)| motion.residual_px.is_none()));
    for (_, motion) in still {
        assert!(motion.in_place && !motion.moving, "{motion:?}");
    }
    // Further than is searched.
    for (_, motion) in follow(faint, |n| turned(0.0, 1.0, (150.0 * n.min(1) as f64, 0.0)), 4) {
        assert!(!motion.in_place && !motion.moving, "{motion:?}");
    }
}

#[test]
fn a_flickering_lamp_moves_nothing() {
    let lamp = Scene { flicker: 0.15, noise: 2.5, ..EVERYWHERE };
    for (_, motion) in follow(lamp, |_| Similarity::STILL, 10) {
        assert!(!motion.moving, "{motion:?}");
        assert!(motion.residual_px.unwrap() < 0.2, "{motion:?}");
    }
    for one in &follow(lamp, pan, 12) {
        assert!(one.1.moving && miss_px(one) < 0.3, "{} {one:?}", miss_px(one));
    }
}

#[test]
fn a_blank_wall_gives_no_motion() {
    let bytes = vec![128_u8; SIZE.0 * SIZE.1];
    let frame = GreyFrame::new(SIZE.0, SIZE.1, SIZE.0, &bytes).unwrap();
    let mut camera = Camera::new(frame, &[]);
    let motion = camera.step(frame, &[]).unwrap();
    assert_eq!((motion.residual_px, motion.agreeing, motion.moving), (None, 0, false));
    let small = GreyFrame::new(320, 180, 320, &bytes).unwrap();
    assert!(camera.step(small, &[]).is_err());
}
