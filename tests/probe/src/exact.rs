//! The tracks of the drawn clip, forward, backward and blended, with every number as its bits.

use crate::drawn::{FRAMES, HEIGHT_PX, MARKERS, STICKERS, WIDTH_PX};
use crate::drawn::{colour, panned, picture, place, yellow};
use std::fmt::Write;
use tracking::Error;
use tracking::camera::Camera;
use tracking::image::{GreyFrame, ImagePoint, Region};
use tracking::point::{AffineFitter, AffineScratch, Template};
use tracking::track::{Limb, MarkerStart, Mode, Sample, State, Tracker, blend};

/// The limbs: each sticker with the cloth below it, and both pieces of cloth.
const LIMBS: [Limb; 3] = [Limb::between(0, 2), Limb::between(1, 3), Limb::between(2, 3)];

/// Where a marker truly is.
#[must_use]
pub fn truth(marker: usize, frame: usize) -> ImagePoint {
    let (x, y) = place(marker, frame);
    ImagePoint { x_px: x as f64 / 16.0, y_px: y as f64 / 16.0 }
}

/// One pass from where the markers truly are in its first frame; a row of samples a frame.
///
/// # Errors
/// None with the drawn clip.
pub fn pass(pictures: &[Vec<u8>], order: &[usize]) -> Result<Vec<Vec<Sample>>, Error> {
    let Some((first, rest)) = order.split_first() else { return Ok(Vec::new()) };
    let frame = |k: usize| {
        let bytes = pictures.get(k).map_or(&[][..], Vec::as_slice);
        GreyFrame::new(WIDTH_PX, HEIGHT_PX, WIDTH_PX, bytes)
    };
    let mode = |m: usize| if m < STICKERS { Mode::Sticker } else { Mode::Skin };
    let starts: Vec<MarkerStart> =
        (0..MARKERS).map(|m| MarkerStart { at: truth(m, *first), mode: mode(m) }).collect();
    let mut tracker = Tracker::new(frame(*first)?, &starts, &LIMBS)?;
    let placed = |s: &MarkerStart| Sample { at: s.at, state: State::Placed, p_wrong: 0.0 };
    let mut rows = vec![starts.iter().map(placed).collect()];
    for k in rest {
        rows.push(tracker.step(frame(*k)?)?);
    }
    Ok(rows)
}

/// The yellow disc followed from its place in the first frame; a sample a frame.
///
/// # Errors
/// None with the drawn clip.
pub fn coloured(pictures: &[Vec<u8>]) -> Result<Vec<Sample>, Error> {
    let (x, y) = yellow(0);
    let at = ImagePoint { x_px: x as f64 / 16.0, y_px: y as f64 / 16.0 };
    let mut tracker: Option<Tracker> = None;
    let mut samples = Vec::new();
    for (k, bytes) in pictures.iter().enumerate() {
        let (blue, red) = colour(k);
        let frame = GreyFrame::new(WIDTH_PX, HEIGHT_PX, WIDTH_PX, bytes)?;
        let frame = frame.with_colour(&blue, &red)?;
        match &mut tracker {
            Some(tracker) => samples.extend(tracker.step(frame)?),
            None => {
                let start = MarkerStart { at, mode: Mode::Sticker };
                tracker = Some(Tracker::new(frame, &[start], &[])?);
            }
        }
    }
    Ok(samples)
}

/// `pass,frame,marker,x,y,state,p_wrong`, numbers as the bits of their double precision; then the camera's motion.
///
/// # Errors
/// None with the drawn clip.
pub fn followed() -> Result<String, Error> {
    let pictures: Vec<Vec<u8>> = (0..FRAMES).map(picture).collect();
    let there: Vec<usize> = (0..FRAMES).collect();
    let back: Vec<usize> = there.iter().rev().copied().collect();
    let forward = pass(&pictures, &there)?;
    let mut backward = pass(&pictures, &back)?;
    backward.reverse();
    let mut text = "pass,frame,marker,x,y,state,p_wrong\n".to_owned();
    for marker in 0..MARKERS {
        let of = |rows: &[Vec<Sample>]| -> Vec<Sample> {
            rows.iter().filter_map(|row| row.get(marker).copied()).collect()
        };
        let (f, b) = (of(&forward), of(&backward));
        let both = blend(&f, &b);
        for (name, samples) in [("forward", f), ("backward", b), ("blend", both)] {
            samples.iter().enumerate().for_each(|(k, s)| line(&mut text, (name, k, marker), s));
        }
    }
    for (k, s) in coloured(&pictures)?.iter().enumerate() {
        line(&mut text, ("colour", k, 0), s);
    }
    slanted(&pictures, &mut text)?;
    camera(&mut text)?;
    Ok(text)
}

fn line(text: &mut String, (pass, frame, marker): (&str, usize, usize), s: &Sample) {
    let state = format!("{:?}", s.state).to_lowercase();
    let [x, y, p] = [s.at.x_px, s.at.y_px, s.p_wrong].map(f64::to_bits);
    // Writing to a string does not fail.
    let _ = writeln!(text, "{pass},{frame},{marker},{x:016x},{y:016x},{state},{p:016x}");
}

/// The place and the axes of the first sticker in each picture, by an affine fit from its true place.
fn slanted(pictures: &[Vec<u8>], text: &mut String) -> Result<(), Error> {
    let mut fitter: Option<AffineFitter> = None;
    for (k, bytes) in pictures.iter().enumerate() {
        let frame = GreyFrame::new(WIDTH_PX, HEIGHT_PX, WIDTH_PX, bytes)?;
        let at = truth(0, k);
        let region = Region::around(frame, at, 24);
        let Some(fitter) = &fitter else {
            fitter = Template::take(&region, at, 8).and_then(AffineFitter::new);
            continue;
        };
        if let Some(fit) = fitter.settle(&region, at, 2.0, &mut AffineScratch::default()) {
            let bits =
                [fit.at.x_px, fit.at.y_px, fit.axes_px.m11, fit.axes_px.m12, fit.axes_px.m21];
            let [x, y, a, b, c] = bits.map(f64::to_bits);
            let _ = writeln!(text, "slanted,{k},{x:016x},{y:016x},{a:016x},{b:016x},{c:016x}");
        }
    }
    Ok(())
}

/// The motion that is found of a camera that pans to the right, a little slower in every frame.
fn camera(text: &mut String) -> Result<(), Error> {
    let mut camera: Option<Camera> = None;
    for k in 0..FRAMES {
        let right_px = (k * (80 - k) / 20) as i64;
        let bytes = panned(k, right_px);
        let frame = GreyFrame::new(WIDTH_PX, HEIGHT_PX, WIDTH_PX, &bytes)?;
        let runner: Vec<ImagePoint> =
            (0..MARKERS).map(|m| truth(m, k).moved(-right_px as f64, 0.0)).collect();
        let Some(camera) = &mut camera else {
            camera = Some(Camera::new(frame, &runner));
            continue;
        };
        let s = camera.step(frame, &runner)?.since_first;
        let bits = [s.cosine_ratio, s.sine_ratio, s.x_px, s.y_px].map(f64::to_bits);
        let [a, b, x, y] = bits;
        let _ = writeln!(text, "camera,{k},{a:016x},{b:016x},{x:016x},{y:016x}");
    }
    Ok(())
}
