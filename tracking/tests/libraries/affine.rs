//! The affine fit on pictures that a general image library warped.
//!
//! Source: Baker, S. & Matthews, I. (2004), Lucas-Kanade 20 years on, Int. J. Comput. Vis. 56:221-255, for the method;
//! that it reaches 0.002 to 0.02 px was measured on ideal texture.

use crate::common::{FINE, Grey, bytes, region, spread, texture};
use crate::plain::value;
use imageproc::geometric_transformations::{Border, Interpolation, Projection, warp_into};
use nalgebra::{Matrix2, Vector2};
use tracking::image::{ImagePoint, Region};
use tracking::point::{AffineFit, AffineFitter, AffineScratch, Template};

const SIZE_PX: (u32, u32) = (120, 120);
const MIDDLE: ImagePoint = ImagePoint { x_px: 60.0, y_px: 60.0 };
const HALF_PX: usize = 8;
/// The axes, column by column, and the shift of the middle.
const CHANGES: [([f64; 4], (f64, f64)); 6] = [
    ([1.0, 0.0, 0.0, 1.0], (0.4, -0.3)),
    ([1.12, 0.0, 0.0, 1.0], (0.2, 0.5)),
    ([0.85, 0.0, 0.0, 1.08], (-0.6, 0.1)),
    ([1.0, 0.12, 0.0, 1.0], (0.3, 0.3)),
    ([0.98, 0.2, -0.2, 0.98], (-0.5, -0.4)),
    ([1.1, -0.08, 0.15, 0.9], (0.7, -0.2)),
];

/// The scene with such axes about the middle.
fn seen(scene: &Grey, axes: [f64; 4], (dx, dy): (f64, f64)) -> Region {
    let [a, b, c, d] = axes.map(|v| v as f32);
    let (x, y, fine) = (MIDDLE.x_px as f32, MIDDLE.y_px as f32, FINE as f32);
    let slant = Projection::from_matrix([a, c, 0.0, b, d, 0.0, 0.0, 0.0, 1.0]).unwrap();
    let projection = Projection::translate(x + dx as f32, y + dy as f32)
        * slant
        * Projection::scale(1.0 / fine, 1.0 / fine)
        * Projection::translate(-x * fine, -y * fine);
    let mut out = Grey::new(SIZE_PX.0, SIZE_PX.1);
    warp_into(scene, projection, Interpolation::Bicubic, Border::Replicate, &mut out);
    region(&bytes(&out), MIDDLE, 40)
}

fn template(scene: &Grey) -> Template {
    Template::take(&seen(scene, CHANGES[0].0, (0.0, 0.0)), MIDDLE, HALF_PX).unwrap()
}

fn settled(scene: &Grey, there: &Region) -> AffineFit {
    let fitter = AffineFitter::new(template(scene)).unwrap();
    fitter.settle(there, MIDDLE, 3.0, &mut AffineScratch::default()).unwrap()
}

#[test]
fn a_template_is_found_under_an_affine_change_to_hundredths_of_a_pixel() {
    let (mut places, mut axes) = (Vec::new(), Vec::new());
    for seed in 91..95 {
        let scene = texture(SIZE_PX, 2.5, (128.0, 35.0), seed);
        for (change, moved) in CHANGES {
            let fit = settled(&scene, &seen(&scene, change, moved));
            assert!(fit.correlation > 0.99, "{fit:?}");
            places.push(fit.at.distance_px(MIDDLE.moved(moved.0, moved.1)));
            axes.push((fit.axes_px - Matrix2::from_column_slice(&change)).norm());
        }
    }
    let (places, axes) = (spread(places), spread(axes));
    println!("slanted template: place {places:.4?} px, axes {axes:.4?} (median, worst)");
    // As for a template that is only moved: bilinear values between pixels are smoother than those at pixels.
    assert!(places.0 < 0.025 && places.1 < 0.06, "{places:?}");
    // At the rim, eight pixels out, a quarter of a pixel.
    assert!(axes.0 < 0.01 && axes.1 < 0.03, "{axes:?}");
}

/// Correlation of the template with the picture at a place along such axes, by its definition in double precision.
fn plain(template: &Template, region: &Region, at: ImagePoint, axes: Matrix2<f64>) -> f64 {
    let side = 2 * HALF_PX + 1;
    let own = |k: usize| k as f64 - HALF_PX as f64;
    let (x, y) = region.local(at, 0);
    let inside: Vec<usize> = (0..side * side).filter(|k| template.weight()[*k] > 0.0).collect();
    let there = inside.iter().map(|k| {
        let way = axes * Vector2::new(own(k % side), own(k / side));
        value(region.level(0), f64::from(x) + way.x, f64::from(y) + way.y)
    });
    let there: Vec<f64> = there.collect();
    let mean = there.iter().sum::<f64>() / there.len() as f64;
    let square: f64 = there.iter().map(|v| (v - mean) * (v - mean)).sum();
    let unit = inside.iter().map(|k| f64::from(template.unit()[*k]));
    unit.zip(&there).map(|(t, v)| t * (v - mean)).sum::<f64>() / square.sqrt()
}

#[test]
fn it_settles_at_the_highest_correlation_in_all_six_numbers() {
    let scene = texture(SIZE_PX, 2.5, (128.0, 35.0), 97);
    let template = template(&scene);
    for (change, moved) in CHANGES {
        let there = seen(&scene, change, moved);
        let fit = settled(&scene, &there);
        let best = plain(&template, &there, fit.at, fit.axes_px);
        // Sums of some two hundred products in single precision.
        assert!((f64::from(fit.correlation) - best).abs() < 2e-4, "{fit:?} {best}");
        // Further than bilinear values bias a fit.
        for step in [-0.1, 0.1] {
            let ways = [fit.at.moved(step, 0.0), fit.at.moved(0.0, step)];
            assert!(ways.iter().all(|at| plain(&template, &there, *at, fit.axes_px) < best));
            for k in 0..4 {
                let mut axes = fit.axes_px;
                axes[k] += step / 4.0;
                assert!(plain(&template, &there, fit.at, axes) < best, "{k} {step} {fit:?}");
            }
        }
    }
}

#[test]
fn a_far_place_and_a_straight_edge_are_refused() {
    let scene = texture(SIZE_PX, 2.5, (128.0, 35.0), 98);
    let fitter = AffineFitter::new(template(&scene)).unwrap();
    let mut scratch = AffineScratch::default();
    let far = seen(&scene, CHANGES[0].0, (2.0, 0.0));
    assert_eq!(fitter.settle(&far, MIDDLE, 1.0, &mut scratch), None);
    assert_eq!(fitter.settle(&far, MIDDLE.moved(34.0, 0.0), 1.0, &mut scratch), None);
    // A straight edge determines three of the six numbers at most.
    let side = 2 * HALF_PX + 1;
    let edge: Vec<f32> =
        (0..side * side).map(|k| if k % side < HALF_PX { 20.0 } else { 90.0 }).collect();
    assert!(AffineFitter::new(Template::of_window(&edge, HALF_PX).unwrap()).is_none());
}
