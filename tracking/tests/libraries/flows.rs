//! Lucas-Kanade against the warp of the picture and against another library's Lucas-Kanade.
//!
//! Source: Bouguet, J.-Y. (2001), Pyramidal implementation of the affine Lucas Kanade feature tracker, Intel:
//! the method of both. What it reaches on ideal texture, 0.005 to 0.03 px, was measured with OpenCV's.

use crate::common::{Grey, View, bytes, pixel, region, spread, texture};
use image::GrayImage;
use optical_flow_lk::{TrackParams, TrackStatus, build_pyramid, calc_optical_flow_ex};
use tracking::image::ImagePoint;
use tracking::point::{FlowScratch, flow};

const SIZE_PX: (u32, u32) = (160, 160);
/// Half of the usual window of 21 pixels.
const HALF_PX: usize = 10;
const SHIFTS_PX: [(f64, f64); 6] =
    [(0.0, 0.0), (0.5, 0.5), (0.25, -0.4), (1.3, -0.7), (-2.6, 3.4), (5.5, -4.75)];

fn scene(grain_px: f32, seed: u64) -> Grey {
    texture(SIZE_PX, grain_px, (128.0, 35.0), seed)
}

/// Twenty-five places whose windows stay inside whatever the shift.
fn places() -> Vec<ImagePoint> {
    (0..25)
        .map(|k| pixel(f64::from(40 + 20 * (k % 5)) + 0.3, f64::from(40 + 20 * (k / 5))))
        .collect()
}

/// The flow of every place, guessed not to move.
fn flows(from: &GrayImage, to: &GrayImage) -> Vec<ImagePoint> {
    let mut scratch = FlowScratch::default();
    let places = places().into_iter();
    let found = places.map(|at| {
        let (here, there) = (region(from, at, 40), region(to, at, 40));
        flow(here.point(at), there.point(at), HALF_PX, &mut scratch).unwrap()
    });
    found.collect()
}

/// How far from the truth each place was found, for all shifts.
fn misses(scene: &Grey) -> Vec<f64> {
    let from = bytes(&View::moved(0.0, 0.0).of(scene, SIZE_PX));
    let mut misses = Vec::new();
    for (dx, dy) in SHIFTS_PX {
        let to = bytes(&View::moved(dx, dy).of(scene, SIZE_PX));
        let found = flows(&from, &to).into_iter().zip(places());
        misses.extend(found.map(|(at, was)| at.distance_px(was.moved(dx, dy))));
    }
    misses
}

#[test]
fn flow_finds_a_warps_shift_to_hundredths_of_a_pixel() {
    for (grain_px, seed) in [(1.5, 1), (2.5, 2)] {
        let (median, worst) = spread(misses(&scene(grain_px, seed)));
        println!("flow, grain {grain_px} px: median {median:.4} px, worst {worst:.4} px");
        assert!(median < 0.02 && worst < 0.05, "grain {grain_px}: {median} {worst}");
    }
}

#[test]
fn flow_of_a_picture_to_itself_is_no_flow() {
    let picture = bytes(&View::moved(0.0, 0.0).of(&scene(1.5, 3), SIZE_PX));
    for (at, was) in flows(&picture, &picture).into_iter().zip(places()) {
        assert!(at.distance_px(was) < 1e-6, "{at:?} {was:?}");
    }
}

#[test]
fn flow_finds_the_middle_of_a_window_that_turns_and_grows_a_little() {
    let scene = scene(2.0, 4);
    let from = bytes(&View::moved(0.0, 0.0).of(&scene, SIZE_PX));
    let mut misses = Vec::new();
    for about in places().into_iter().step_by(3) {
        for (rotation_rad, scale_ratio) in [(0.04, 1.0), (0.0, 1.03), (-0.03, 0.98)] {
            let view = View { about, moved_px: (1.4, -0.8), rotation_rad, scale_ratio };
            let to = bytes(&view.of(&scene, SIZE_PX));
            let (here, there) = (region(&from, about, 40), region(&to, about, 40));
            let found =
                flow(here.point(about), there.point(about), HALF_PX, &mut FlowScratch::default())
                    .unwrap();
            misses.push(found.distance_px(about.moved(1.4, -0.8)));
        }
    }
    let (median, worst) = spread(misses);
    println!(
        "flow, turned by 0.04 rad or grown by 3 %: median {median:.4} px, worst {worst:.4} px"
    );
    // Such a turn moves the rim of the window by 0.4 px; the sum over the window must leave most of it out.
    assert!(median < 0.1 && worst < 0.4, "{median} {worst}");
}

#[test]
fn flow_there_and_back_again_closes() {
    let scene = scene(1.5, 5);
    let from = bytes(&View::moved(0.0, 0.0).of(&scene, SIZE_PX));
    let to = bytes(&View::moved(3.35, -2.6).of(&scene, SIZE_PX));
    let mut scratch = FlowScratch::default();
    for at in places() {
        let (here, there) = (region(&from, at, 40), region(&to, at, 40));
        let forth = flow(here.point(at), there.point(at), HALF_PX, &mut scratch).unwrap();
        let back = flow(there.point(forth), here.point(at), HALF_PX, &mut scratch).unwrap();
        assert!(back.distance_px(at) < 0.05, "{at:?} {back:?}");
    }
}

/// Another library's flow of every place, with three levels and the same window.
fn others(from: &GrayImage, to: &GrayImage) -> Vec<ImagePoint> {
    let params = TrackParams { window_size: 21, max_iterations: 30, min_eigen_threshold: 1e-3 };
    let points: Vec<(f32, f32)> = places().iter().map(|p| (p.x_px as f32, p.y_px as f32)).collect();
    let (from, to) = (build_pyramid(from, 3), build_pyramid(to, 3));
    let found = calc_optical_flow_ex(&from, &to, &points, None, params);
    assert!(found.iter().all(|f| f.status == TrackStatus::Tracked), "{found:?}");
    found.iter().map(|f| pixel(f64::from(f.pos.0), f64::from(f.pos.1))).collect()
}

#[test]
fn flow_agrees_with_another_library_wherever_that_finds_the_truth() {
    let (mut apart, mut compared, mut all) = (Vec::new(), 0, 0);
    for (grain_px, seed) in [(1.5, 6), (2.5, 7)] {
        let scene = scene(grain_px, seed);
        let from = bytes(&View::moved(0.0, 0.0).of(&scene, SIZE_PX));
        for (dx, dy) in SHIFTS_PX {
            let to = bytes(&View::moved(dx, dy).of(&scene, SIZE_PX));
            let both = flows(&from, &to).into_iter().zip(others(&from, &to));
            for ((ours, theirs), was) in both.zip(places()) {
                let truth = was.moved(dx, dy);
                assert!(ours.distance_px(truth) < 0.05, "{ours:?} {truth:?}");
                all += 1;
                if theirs.distance_px(truth) < 1.0 {
                    compared += 1;
                    apart.push(ours.distance_px(theirs));
                }
            }
        }
    }
    let (median, worst) = spread(apart);
    println!("flow against optical-flow-lk: median {median:.4} px, worst {worst:.4} px apart");
    println!("optical-flow-lk is off by more than a pixel in {} of {all}", all - compared);
    // Its gradients are smoothed across (Scharr's), ours are not, and it stops at steps of 0.01 px.
    assert!(median < 0.002 && worst < 0.02, "{median} {worst}");
    // Its window at a quarter of the size reaches over the edge of so small a picture.
    assert!(compared * 100 >= all * 97, "{compared} of {all}");
}

#[test]
fn flow_agrees_with_another_library_in_noise() {
    let scene = scene(1.5, 8);
    let noisy = |view: View, seed: u64| {
        let picture = bytes(&view.of(&scene, SIZE_PX));
        imageproc::noise::gaussian_noise(&picture, 0.0, 5.0, seed)
    };
    let from = noisy(View::moved(0.0, 0.0), 1);
    let to = noisy(View::moved(1.3, -0.7), 2);
    let (ours, theirs) = (flows(&from, &to), others(&from, &to));
    let truth: Vec<ImagePoint> = places().iter().map(|p| p.moved(1.3, -0.7)).collect();
    let away = |v: &[ImagePoint], w: &[ImagePoint]| {
        spread(v.iter().zip(w).map(|(a, b)| a.distance_px(*b)).collect())
    };
    let (apart, our, their) = (away(&ours, &theirs), away(&ours, &truth), away(&theirs, &truth));
    println!(
        "noise 5 of 255: apart {apart:.4?}, ours off {our:.4?}, optical-flow-lk off {their:.4?}"
    );
    assert!(apart.0 < 0.005 && apart.1 < 0.02, "{apart:?}");
    // Ours must not be worse than what the noise does to theirs by more than a hundredth.
    assert!(our.0 < their.0 + 0.01, "{our:?} {their:?}");
}
