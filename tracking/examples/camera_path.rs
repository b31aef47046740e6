//! Finds how the camera moved: `camera_path CLIP.y4m PLACES.csv` with `frame,marker,x,y` of the runner in every frame.
//!
//! Prints `frame,cosine,sine,x,y,residual_px,agreeing,moving`, from the first frame to each; then the time.

mod input;

use input::{MOST_FRAMES, Outcome, rows, two_files, y4m::Clip};
use std::time::Instant;
use tracking::camera::Camera;
use tracking::image::ImagePoint;

fn main() -> Outcome<()> {
    let [clip, places] = two_files("camera_path CLIP.y4m PLACES.csv")?;
    let mut clip = Clip::open(&clip)?;
    let frames = clip.first(MOST_FRAMES)?;
    let runner = runner(&places, frames.len())?;
    println!("frame,cosine,sine,x,y,residual_px,agreeing,moving");
    let mut camera: Option<Camera> = None;
    let begin = Instant::now();
    for (number, (bytes, keep_out)) in frames.iter().zip(&runner).enumerate() {
        let frame = clip.grey(bytes)?;
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

/// By frame, the places of the runner's markers.
fn runner(path: &str, frames: usize) -> Outcome<Vec<Vec<ImagePoint>>> {
    let mut places = vec![Vec::new(); frames];
    for row in rows(path, 4)? {
        if let Some(slot) = places.get_mut(row.frame) {
            slot.push(row.at);
        }
    }
    Ok(places)
}
