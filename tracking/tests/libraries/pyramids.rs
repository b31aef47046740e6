//! The halvings of a region against separable filtering by a general image library.
//!
//! Source: Burt, P. J. & Adelson, E. H. (1983), The Laplacian pyramid as a compact image code: the kernel.

use crate::common::{Grey, View, bytes, pixel, region, texture};
use image::Luma;
use imageproc::filter::separable_filter_equal;
use tracking::image::{Plane, halve};

const KERNEL: [f32; 5] = [1.0 / 16.0, 4.0 / 16.0, 6.0 / 16.0, 4.0 / 16.0, 1.0 / 16.0];

/// Filtered both ways, then every second pixel of every second row.
fn filtered(picture: &Grey) -> Grey {
    let smooth = separable_filter_equal(picture, &KERNEL);
    let (width, height) = (picture.width().div_ceil(2), picture.height().div_ceil(2));
    Grey::from_fn(width, height, |x, y| *smooth.get_pixel(2 * x, 2 * y))
}

fn plane(picture: &Grey) -> Plane {
    let value = |x: usize, y: usize| picture.get_pixel(x as u32, y as u32).0[0];
    Plane::from_fn(picture.width() as usize, picture.height() as usize, value)
}

/// The largest difference of two pictures of one size.
fn apart(plane: &Plane, picture: &Grey) -> f32 {
    assert_eq!(plane.width_px(), picture.width() as usize);
    assert_eq!(plane.height_px(), picture.height() as usize);
    picture.enumerate_pixels().fold(0.0_f32, |most, (x, y, Luma([value]))| {
        most.max((plane.row(y as usize)[x as usize] - value).abs())
    })
}

#[test]
fn a_halving_is_a_separable_filter_and_every_second_pixel_up_to_the_rim() {
    for (width, height) in [(64, 48), (63, 47), (5, 4), (2, 9), (1, 1)] {
        let noise = texture((width, height), 0.4, (128.0, 50.0), 11);
        let picture = View::moved(0.0, 0.0).of(&noise, (width, height));
        let apart = apart(&halve(&plane(&picture)), &filtered(&picture));
        // Two orders of summing five products of single precision.
        assert!(apart < 1e-3, "{width}x{height}: {apart}");
    }
}

#[test]
fn the_scales_of_a_region_are_those_of_the_picture_it_was_cut_from() {
    let noise = texture((120, 100), 0.6, (128.0, 50.0), 12);
    let picture = bytes(&View::moved(0.0, 0.0).of(&noise, (120, 100)));
    // A region on both even and odd pixels, and one that reaches over the picture's corner.
    for (x, y) in [(60, 50), (61, 47), (8, 95)] {
        let half = 32;
        let region = region(&picture, pixel(f64::from(x), f64::from(y)), half as usize);
        let mut level = Grey::from_fn(2 * half, 2 * half, |i, j| {
            let inside = |v: i32, size: i32| v.clamp(0, size - 1) as u32;
            let (u, v) = (x - half as i32 + i as i32, y - half as i32 + j as i32);
            Luma([f32::from(picture.get_pixel(inside(u, 120), inside(v, 100)).0[0])])
        });
        assert_eq!(apart(region.level(0), &level), 0.0);
        for k in 1..tracking::image::LEVELS {
            level = filtered(&level);
            let apart = apart(region.level(k), &level);
            assert!(apart < 1e-3, "level {k} about ({x}, {y}): {apart}");
        }
    }
}
