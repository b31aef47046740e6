//! Template and patch fits on pictures that a general image library moved, rotated and darkened.
//!
//! Source: Baker, S. & Matthews, I. (2004), Lucas-Kanade 20 years on, Int. J. Comput. Vis. 56:221-255, for the
//! method of the fits; that it reaches 0.002 to 0.02 px was measured on ideal texture.

use crate::common::{FINE, Grey, View, bytes, frame, region, softened, spread, texture};
use image::{GrayImage, Luma};
use imageproc::drawing::draw_filled_circle_mut;
use tracking::image::ImagePoint;
use tracking::point::{
    AlignmentStart, Edge, Fitter, Patch, Pose, PosePrior, RigidScratch, Rotation, Template,
    find_blob,
};
use tracking::track::{Mode, propose_mode, snap_to_sticker};

const SIZE_PX: (u32, u32) = (120, 120);
const MIDDLE: ImagePoint = ImagePoint { x_px: 60.0, y_px: 60.0 };
const SHIFTS_PX: [(f64, f64); 5] =
    [(0.5, 0.5), (0.25, -0.4), (-0.75, 0.1), (1.3, -0.7), (-1.6, 1.4)];

/// Values between pixels are bilinear, and so smoother than those at pixels: this draws a fit by up to 0.02 px a
/// quarter of a pixel off, and by what stands at a small window's rim. Published and measured for such fits: 0.015
/// to 0.08 px.
const MEDIAN_PX: f64 = 0.025;
const WORST_PX: f64 = 0.06;

fn view(scene: &Grey, moved_px: (f64, f64), rotation_rad: f64) -> Grey {
    View { about: MIDDLE, moved_px, rotation_rad, scale_ratio: 1.0 }.of(scene, SIZE_PX)
}

/// Darkened and with less contrast, as by a shadow.
fn shaded(picture: &Grey) -> GrayImage {
    bytes(&Grey::from_fn(picture.width(), picture.height(), |x, y| {
        Luma([picture.get_pixel(x, y).0[0] * 0.7 + 20.0])
    }))
}

/// How far off the middle a template was settled from the nearest whole pixel, for all shifts.
fn misses(scene: &Grey, half_px: usize, seen: fn(&Grey) -> GrayImage) -> Vec<f64> {
    let from = bytes(&view(scene, (0.0, 0.0), 0.0));
    let template = Template::take(&region(&from, MIDDLE, 40), MIDDLE, half_px).unwrap();
    let fitter = Fitter::new(template).unwrap();
    let miss = |moved: (f64, f64)| {
        let to = region(&seen(&view(scene, moved, 0.0)), MIDDLE, 40);
        let guess = MIDDLE.moved(moved.0.round(), moved.1.round());
        let fit = fitter.settle(&to, guess, 3.0, &mut Vec::new()).unwrap();
        assert!(fit.correlation > 0.98, "{fit:?}");
        fit.at.distance_px(MIDDLE.moved(moved.0, moved.1))
    };
    SHIFTS_PX.into_iter().map(miss).collect()
}

#[test]
fn a_template_settles_on_a_warps_shift_to_hundredths_of_a_pixel_also_in_the_shade() {
    let scenes: Vec<Grey> =
        (51..55).map(|seed| texture(SIZE_PX, 2.0, (128.0, 35.0), seed)).collect();
    let plain = [(6, bytes as fn(&Grey) -> GrayImage), (6, shaded), (10, bytes), (10, shaded)];
    for (half_px, seen) in plain {
        let all = scenes.iter().flat_map(|s| misses(s, half_px, seen)).collect();
        let (median, worst) = spread(all);
        println!("template of {half_px} px half: median {median:.4} px, worst {worst:.4} px");
        assert!(median < MEDIAN_PX && worst < WORST_PX, "half {half_px}: {median} {worst}");
    }
}

/// A light disc with a darker middle, drawn about the middle of the picture.
fn sticker(radius_px: f32) -> Grey {
    let mut scene = texture(SIZE_PX, 2.0, (90.0, 8.0), 61);
    let fine = FINE as f32;
    let middle = ((MIDDLE.x_px as f32 * fine) as i32, (MIDDLE.y_px as f32 * fine) as i32);
    draw_filled_circle_mut(&mut scene, middle, (radius_px * fine) as i32, Luma([225.0]));
    draw_filled_circle_mut(&mut scene, middle, (radius_px * 0.3 * fine) as i32, Luma([170.0]));
    // A lens and a pixel both blur a little.
    softened(&scene, 0.5)
}

#[test]
fn a_drawn_sticker_is_settled_to_hundredths_of_a_pixel() {
    for radius_px in [4.0, 5.5] {
        let scene = sticker(radius_px);
        let (median, worst) = spread(misses(&scene, 6, bytes));
        println!("sticker of {radius_px} px: median {median:.4} px, worst {worst:.4} px");
        assert!(median < MEDIAN_PX && worst < WORST_PX, "{radius_px}: {median} {worst}");
    }
}

#[test]
fn a_drawn_sticker_is_proposed_as_one_with_its_centre_and_radius() {
    for radius_px in [4.0, 5.5, 7.0] {
        let scene = sticker(radius_px);
        for moved in SHIFTS_PX {
            let picture = bytes(&view(&scene, moved, 0.0));
            let (middle, click) = (MIDDLE.moved(moved.0, moved.1), MIDDLE.moved(1.0, -2.0));
            let found = snap_to_sticker(frame(&picture), click).unwrap();
            assert!(found.distance_px(middle) < 0.1, "{found:?} {middle:?}");
            assert_eq!(propose_mode(frame(&picture), click), Mode::Sticker);
            let blob = find_blob(&region(&picture, click, 30), click, 5, Edge::STRONG).unwrap();
            // Radii are tried by half pixels, and the outer edge is the strongest.
            assert!((f64::from(blob.radius_px) - f64::from(radius_px)).abs() < 0.75, "{blob:?}");
        }
    }
}

/// The error of a patch that was moved and rotated, in pixels and radians.
fn turned_miss(
    scene: &Grey,
    moved: (f64, f64),
    rotation_rad: f64,
    seen: fn(&Grey) -> GrayImage,
) -> (f64, f64) {
    let half_px = 10;
    let start = Pose { at: MIDDLE, rotation: Rotation::IDENTITY };
    let from = bytes(&view(scene, (0.0, 0.0), 0.0));
    let patch = Patch::take(&region(&from, MIDDLE, 40), start, half_px).unwrap();
    let to = region(&seen(&view(scene, moved, rotation_rad)), MIDDLE, 40);
    let side = 2 * half_px + 1;
    let even = vec![1.0 / (side * side) as f32; side * side];
    // So wide a prior pulls by less than a thousandth of a pixel.
    let prior = PosePrior { pose: start, place_px: 50.0, rotation_rad: 5.0 };
    let start = AlignmentStart { pose: start, prior, reach_px: 6.0 };
    let fit = patch.align(&to, &start, &even, &mut RigidScratch::default()).unwrap();
    assert!(fit.correlation > 0.98, "{fit:?}");
    let (sin, cos) = rotation_rad.sin_cos();
    let off = fit.pose.rotation.sin * cos - fit.pose.rotation.cos * sin;
    (fit.pose.at.distance_px(MIDDLE.moved(moved.0, moved.1)), off.abs())
}

#[test]
fn a_patch_is_found_moved_and_rotated_to_hundredths_of_a_pixel_and_thousandths_of_a_radian() {
    let turns = [(0.0, (0.5, 0.5)), (0.05, (0.3, -0.6)), (-0.15, (1.2, 0.4)), (0.25, (-0.8, 0.9))];
    for seen in [bytes as fn(&Grey) -> GrayImage, shaded] {
        let (mut places, mut angles) = (Vec::new(), Vec::new());
        for seed in 71..75 {
            let scene = texture(SIZE_PX, 2.5, (128.0, 35.0), seed);
            for (rotation_rad, moved) in turns {
                let (place, angle) = turned_miss(&scene, moved, rotation_rad, seen);
                places.push(place);
                angles.push(angle);
            }
        }
        let (places, angles) = (spread(places), spread(angles));
        println!("turned patch: place {places:.4?} px, turn {angles:.4?} rad (median, worst)");
        assert!(places.0 < 0.01 && places.1 < 0.02, "{places:?}");
        assert!(angles.0 < 0.001 && angles.1 < 0.002, "{angles:?}");
    }
}
