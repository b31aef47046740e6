//! What tracking must not depend on: the direction of time, the side, the light, and what is far away.

use crate::clip::{Clip, SIZE_PX};
use crate::common::{pixel, spread};
use image::{GrayImage, Luma};
use imageproc::noise::gaussian_noise;
use tracking::image::ImagePoint;
use tracking::track::{Mode, Sample};

const MODES: [Mode; 2] = [Mode::Sticker, Mode::Skin];

/// Distances of two tracks, frame by frame, after a change of the second's places.
fn apart(a: &[Sample], b: &[Sample], back: impl Fn(ImagePoint) -> ImagePoint) -> (f64, f64) {
    assert_eq!(a.len(), b.len());
    spread(a.iter().zip(b).map(|(a, b)| a.at.distance_px(back(b.at))).collect())
}

#[test]
fn reversed_time_gives_the_same_places() {
    for mode in MODES {
        let clip = Clip::swinging(mode);
        let forth = clip.follow();
        // Back from where the forward pass ended, not from the truth.
        let back = clip.clone().backwards().follow_from(forth[forth.len() - 1].at);
        let same: Vec<f64> = forth[..forth.len() - 1]
            .iter()
            .zip(back.iter().rev().skip(1))
            .map(|(f, b)| f.at.distance_px(b.at))
            .collect();
        let home = back[back.len() - 1].at.distance_px(clip.truth[0]);
        let (median, worst) = spread(same);
        println!(
            "{mode:?} back in time: median {median:.4} px, worst {worst:.4}, home {home:.4} px"
        );
        assert!(worst < 0.1 && home < 0.1, "{mode:?}: {worst} {home}");
    }
}

#[test]
fn the_same_clip_twice_gives_the_same_bits() {
    for mode in MODES {
        let clip = Clip::swinging(mode).with(|picture| gaussian_noise(picture, 0.0, 4.0, 91));
        let (one, two) = (clip.follow(), clip.clone().follow());
        for (a, b) in one.iter().zip(&two) {
            assert_eq!(a.at.x_px.to_bits(), b.at.x_px.to_bits());
            assert_eq!(a.at.y_px.to_bits(), b.at.y_px.to_bits());
            assert_eq!(a.p_wrong.to_bits(), b.p_wrong.to_bits());
            assert_eq!(a.state, b.state);
        }
    }
}

#[test]
fn far_pixels_do_not_change_a_bit_of_a_track() {
    // A marker that stays in the left 80 px; the search goes some 60 px beyond it at most.
    let path = |k: usize| pixel(45.0 + 14.0 * (0.3 * k as f64).sin(), 60.0 + 0.5 * k as f64);
    for mode in MODES {
        let clip = Clip::along(mode, (0..24).map(path).collect());
        let elsewhere = clip.clone().with(|picture| {
            let strange = gaussian_noise(picture, 40.0, 60.0, 92);
            GrayImage::from_fn(SIZE_PX.0, SIZE_PX.1, |x, y| {
                *(if x < 190 { picture } else { &strange }).get_pixel(x, y)
            })
        });
        assert_ne!(clip.frames, elsewhere.frames);
        assert_eq!(clip.follow(), elsewhere.follow(), "{mode:?}");
    }
}

#[test]
fn the_mirrored_clip_gives_the_mirrored_places() {
    for mode in MODES {
        let clip = Clip::swinging(mode);
        let mirrored = clip.clone().mirrored().follow();
        let back = |p: ImagePoint| pixel(f64::from(SIZE_PX.0) - 1.0 - p.x_px, p.y_px);
        let (median, worst) = apart(&clip.follow(), &mirrored, back);
        println!("{mode:?} mirrored: median {median:.5} px, worst {worst:.5} px");
        assert!(worst < 0.02, "{mode:?}: {median} {worst}");
    }
}

#[test]
fn a_border_about_the_picture_moves_every_place_by_its_width() {
    for mode in MODES {
        let clip = Clip::swinging(mode);
        let mut framed = clip.clone().with(|picture| {
            let mut wide =
                GrayImage::from_pixel(picture.width() + 33, picture.height() + 18, Luma([9]));
            image::imageops::replace(&mut wide, picture, 33, 18);
            wide
        });
        framed.truth.iter_mut().for_each(|at| *at = at.moved(33.0, 18.0));
        let (median, worst) = apart(&clip.follow(), &framed.follow(), |p| p.moved(-33.0, -18.0));
        println!("{mode:?} framed: median {median:.6} px, worst {worst:.6} px");
        // Numbers of double precision about another zero; the window itself never reaches the border.
        assert!(worst < 1e-3, "{mode:?}: {median} {worst}");
    }
}

#[test]
fn half_the_light_gives_the_same_places() {
    for mode in MODES {
        let clip = Clip::swinging(mode);
        let dim = clip.clone().with(|picture| {
            GrayImage::from_fn(picture.width(), picture.height(), |x, y| {
                Luma([(f32::from(picture.get_pixel(x, y).0[0]) * 0.5 + 30.0).round() as u8])
            })
        });
        let (median, worst) = apart(&clip.follow(), &dim.follow(), |p| p);
        println!("{mode:?} in half the light: median {median:.4} px, worst {worst:.4} px");
        assert!(worst < 0.05, "{mode:?}: {median} {worst}");
    }
}

#[test]
fn a_passing_cloud_does_not_move_the_places() {
    for mode in MODES {
        let clip = Clip::swinging(mode);
        let mut clouded = clip.clone();
        for (k, picture) in clouded.frames.iter_mut().enumerate() {
            let light = 1.0 - 0.3 * (0.25 * k as f32).sin().powi(2);
            picture.iter_mut().for_each(|v| *v = (f32::from(*v) * light).round() as u8);
        }
        let (median, worst) = apart(&clip.follow(), &clouded.follow(), |p| p);
        println!("{mode:?} under a cloud: median {median:.4} px, worst {worst:.4} px");
        assert!(worst < 0.1, "{mode:?}: {median} {worst}");
    }
}
