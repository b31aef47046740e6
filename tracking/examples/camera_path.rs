//! Tells how the camera moved: `camera_path CLIP.y4m PLACES.csv` with `frame,marker,x,y` of the runner in every frame.
//!
//! Out come `frame,cosine,sine,x,y,residual_px,agreeing,moving`, from the first frame to each; then the time.

mod y4m;

use std::error::Error;
use std::time::Instant;
use tracking::camera::Camera;
use tracking::image::{GreyFrame, ImagePoint};

/// Chosen: what fits in memory: a gigabyte at 1280x720.
const MOST_FRAMES: usize = 1000;

fn main() -> Result<(), Box<dyn Error>> {
    let mut words = std::env::args().skip(1);
    let (Some(clip), Some(places)) = (words.next(), words.next()) else {
        return Err("usage: camera_path CLIP.y4m PLACES.csv".into());
    };
    let (size, frames) = y4m::read(&clip, MOST_FRAMES)?;
    let runner = read_places(&std::fs::read_to_string(places)?, frames.len());
    println!("frame,cosine,sine,x,y,residual_px,agreeing,moving");
    let mut camera: Option<Camera> = None;
    let begin = Instant::now();
    for (number, (bytes, keep_out)) in frames.iter().zip(&runner).enumerate() {
        let frame = GreyFrame::new(size.0, size.1, size.0, bytes)?;
        let Some(camera) = &mut camera else {
            camera = Some(Camera::new(frame, keep_out));
            continue;
        };
        let motion = camera.step(frame, keep_out)?;
        let s = motion.since_first;
        let residual = motion.residual_px.map_or("-".to_owned(), |r| format!("{r:.3}"));
        let (a, b, x, y) = (s.cosine_ratio, s.sine_ratio, s.x_px, s.y_px);
        let moving = u8::from(motion.moving);
        println!("{number},{a:.7},{b:.7},{x:.3},{y:.3},{residual},{},{moving}", motion.agreeing);
    }
    let ms = begin.elapsed().as_secs_f64() * 1e3 / frames.len().max(1) as f64;
    eprintln!("{ms:.3} ms a frame");
    Ok(())
}

fn read_places(text: &str, frames: usize) -> Vec<Vec<ImagePoint>> {
    let mut places = vec![Vec::new(); frames];
    for line in text.lines() {
        let columns: Vec<&str> = line.split(',').collect();
        let [frame, _, x, y, ..] = columns[..] else { continue };
        let parsed = (frame.parse::<usize>(), x.parse(), y.parse());
        if let (Ok(frame), Ok(x_px), Ok(y_px)) = parsed
            && let Some(slot) = places.get_mut(frame)
        {
            slot.push(ImagePoint { x_px, y_px });
        }
    }
    places
}
