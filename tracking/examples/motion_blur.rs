//! Tells how far stickers are drawn out by their own motion: `smear CLIP.y4m PLACES.csv` with `frame,marker,x,y` in every frame.
//!
//! Out come `marker,frame,moves_px,blur_px,most_px` for the moments in which each moves most, `-` where it cannot be told.

mod y4m;

use std::collections::BTreeMap;
use std::error::Error;
use tracking::image::{GreyFrame, ImagePoint};
use tracking::track::{MotionBlur, MotionExtremes};

/// Chosen: what fits in memory: a gigabyte at 1280x720.
const MOST_FRAMES: usize = 1000;

fn main() -> Result<(), Box<dyn Error>> {
    let mut words = std::env::args().skip(1);
    let (Some(clip), Some(places)) = (words.next(), words.next()) else {
        return Err("usage: smear CLIP.y4m PLACES.csv".into());
    };
    let (size, frames) = y4m::read(&clip, MOST_FRAMES)?;
    let picture = |frame: usize| {
        let bytes = frames.get(frame).ok_or("the places go on beyond the clip")?;
        Ok::<_, Box<dyn Error>>(GreyFrame::new(size.0, size.1, size.0, bytes)?)
    };
    println!("marker,frame,moves_px,blur_px,most_px");
    for (marker, places) in read_places(&std::fs::read_to_string(places)?, frames.len()) {
        let at = |frame: usize| places.get(frame).copied().flatten();
        let Some(moments) = MotionExtremes::of(&places) else { continue };
        let mut smear = None;
        for frame in moments.stillest {
            smear = smear.or(at(frame).and_then(|at| MotionBlur::of(picture(frame).ok()?, at)));
        }
        for (frame, motion) in moments.fastest_px {
            let (Some(smear), Some(at)) = (&smear, at(frame)) else { continue };
            let told = smear.length_px(picture(frame)?, at, motion);
            let told = told.map_or("-".to_owned(), |length| format!("{length:.2}"));
            println!("{marker},{frame},{:.1},{told},{}", motion.0.hypot(motion.1), smear.most_px());
        }
    }
    Ok(())
}

fn read_places(text: &str, frames: usize) -> BTreeMap<String, Vec<Option<ImagePoint>>> {
    let mut places: BTreeMap<String, Vec<Option<ImagePoint>>> = BTreeMap::new();
    for line in text.lines() {
        let columns: Vec<&str> = line.split(',').collect();
        let [frame, marker, x, y, ..] = columns[..] else { continue };
        if let (Ok(frame), Ok(x_px), Ok(y_px)) = (frame.parse::<usize>(), x.parse(), y.parse()) {
            let of_marker = places.entry(marker.to_owned()).or_insert_with(|| vec![None; frames]);
            if let Some(slot) = of_marker.get_mut(frame) {
                *slot = Some(ImagePoint { x_px, y_px });
            }
        }
    }
    places
}
