//! A sticker of the lightness of its background and of another colour.

use crate::clip::{Clip, SIZE_PX};
use crate::common::{FINE, Grey, View, bytes, frame, softened};
use image::{GrayImage, Luma};
use imageproc::drawing::draw_filled_circle_mut;
use tracking::image::ImagePoint;
use tracking::track::{MarkerStart, Mode, Sample, Tracker};

/// The blue difference of a picture with a yellow disc of 8 px radius about a place, one value for two by two pixels.
fn blue(at: ImagePoint) -> GrayImage {
    let (width, height) = (SIZE_PX.0 / 2, SIZE_PX.1 / 2);
    let mut fine = Grey::from_pixel(width * FINE, height * FINE, Luma([118.0]));
    // Its values stand over even columns and between two rows.
    let place = |v_px: f64, off_px: f64| (((v_px - off_px) / 2.0 + 0.5) * f64::from(FINE)) as i32;
    draw_filled_circle_mut(
        &mut fine,
        (place(at.x_px, 0.0), place(at.y_px, 0.5)),
        4 * FINE as i32,
        Luma([50.0]),
    );
    bytes(&View::moved(0.0, 0.0).of(&softened(&fine, 0.5), (width, height)))
}

/// Follows a yellow disc over a textured ground of its lightness.
fn follow(in_colour: bool) -> (Vec<Sample>, Vec<ImagePoint>) {
    let at = |k: usize| ImagePoint {
        x_px: 50.0 + 3.3 * k as f64,
        y_px: 60.0 + 14.0 * (0.25 * k as f64).sin(),
    };
    let truth: Vec<ImagePoint> = (0..30).map(at).collect();
    let ground =
        &Clip::along(Mode::Sticker, vec![ImagePoint { x_px: -90.0, y_px: -90.0 }]).frames[0];
    let red = vec![128; (SIZE_PX.0 / 2 * (SIZE_PX.1 / 2)) as usize];
    let mut tracker: Option<Tracker> = None;
    let mut samples = Vec::new();
    for at in &truth {
        let blue = blue(*at);
        let grey = frame(ground);
        let picture = if in_colour { grey.with_colour(&blue, &red).unwrap() } else { grey };
        let start = MarkerStart { at: truth[0], mode: Mode::Sticker };
        match &mut tracker {
            None => tracker = Some(Tracker::new(picture, &[start], &[]).unwrap()),
            Some(tracker) => {
                assert_eq!(tracker.needs_colour(), in_colour);
                samples.extend(tracker.step(picture).unwrap());
            }
        }
    }
    (samples, truth[1..].to_vec())
}

#[test]
fn a_yellow_sticker_on_skin_of_its_lightness_is_followed_in_colour_and_not_in_grey() {
    let misses = |in_colour: bool| -> Vec<f64> {
        let (samples, truth) = follow(in_colour);
        samples.iter().zip(&truth).map(|(s, t)| s.at.distance_px(*t)).collect()
    };
    let worst = |misses: &[f64]| misses.iter().copied().fold(0.0, f64::max);
    let (coloured, grey) = (misses(true), misses(false));
    println!("in colour worst {:.3} px, in grey {:.1} px", worst(&coloured), worst(&grey));
    // Half of the two pixels between chroma values.
    assert!(worst(&coloured) < 1.0, "{coloured:?}");
    assert!(worst(&grey) > 20.0, "{grey:?}");
}
