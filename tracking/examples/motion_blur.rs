//! Measures how far stickers are blurred by their own motion: `motion_blur CLIP.y4m PLACES.csv` with `frame,marker,x,y` in
//! every frame.
//!
//! Prints `marker,frame,moves_px,smear_px,most_px` for the frames in which each moves most, `-` if it cannot be measured.

mod input;

use input::{MOST_FRAMES, Outcome, rows, two_files, y4m::Clip};
use std::collections::BTreeMap;
use tracking::image::ImagePoint;
use tracking::track::{MotionBlur, MotionExtremes};

fn main() -> Outcome<()> {
    let [clip, places] = two_files("motion_blur CLIP.y4m PLACES.csv")?;
    let mut clip = Clip::open(&clip)?;
    let frames = clip.first(MOST_FRAMES)?;
    let picture = |frame: usize| {
        let bytes = frames.get(frame).ok_or("the places go on beyond the clip")?;
        clip.grey(bytes)
    };
    println!("marker,frame,moves_px,smear_px,most_px");
    for (marker, places) in by_marker(&places, frames.len())? {
        let at = |frame: usize| places.get(frame).copied().flatten();
        let Some(extremes) = MotionExtremes::of(&places) else { continue };
        let mut blur = None;
        for frame in extremes.stillest {
            blur = blur.or(at(frame).and_then(|at| MotionBlur::of(picture(frame).ok()?, at)));
        }
        for moving in extremes.fastest {
            let (Some(blur), Some(at)) = (&blur, at(moving.index)) else { continue };
            let (frame, (dx, dy)) = (moving.index, moving.motion_px);
            let length = blur.length_px(picture(frame)?, at, moving.motion_px);
            let length = length.map_or("-".to_owned(), |length| format!("{length:.2}"));
            println!("{marker},{frame},{:.1},{length},{}", dx.hypot(dy), blur.most_px());
        }
    }
    Ok(())
}

/// By marker, its place in each frame.
fn by_marker(path: &str, frames: usize) -> Outcome<BTreeMap<String, Vec<Option<ImagePoint>>>> {
    let mut places: BTreeMap<String, Vec<Option<ImagePoint>>> = BTreeMap::new();
    for row in rows(path, 4)? {
        let of_marker = places.entry(row.marker).or_insert_with(|| vec![None; frames]);
        if let Some(slot) = of_marker.get_mut(row.frame) {
            *slot = Some(row.at);
        }
    }
    Ok(places)
}
