//! Times Lucas-Kanade there and back by itself: `flow_time CLIP.y4m MARKERS.csv` prints milliseconds a frame with and without its regions.

mod y4m;

use std::error::Error;
use std::time::{Duration, Instant};
use tracking::image::{GreyFrame, ImagePoint, Region};
use tracking::point::{FlowScratch, flow};

/// Half the side of a region: 96 pixels square.
const HALF_REGION_PX: usize = 48;
/// A window of 21 pixels.
const HALF_WINDOW_PX: usize = 10;
/// Chosen: enough frames for a steady mean, few enough to hold in memory.
const MOST_FRAMES: usize = 60;

fn main() -> Result<(), Box<dyn Error>> {
    let mut words = std::env::args().skip(1);
    let (Some(clip), Some(markers)) = (words.next(), words.next()) else {
        return Err("usage: flow_time CLIP.y4m MARKERS.csv".into());
    };
    let (size, frames) = y4m::read(&clip, MOST_FRAMES)?;
    let points = places(&std::fs::read_to_string(markers)?);
    let mut scratch = FlowScratch::default();
    let (mut regions_time, mut flow_time) = (Duration::ZERO, Duration::ZERO);
    let mut steps = 0_u32;
    let mut at = points.clone();
    let mut before: Vec<Region> = Vec::new();
    for bytes in &frames {
        let frame = GreyFrame::new(size.0, size.1, size.0, bytes)?;
        let begin = Instant::now();
        let regions: Vec<Region> =
            at.iter().map(|p| Region::around(frame, *p, HALF_REGION_PX)).collect();
        let cut = begin.elapsed();
        if !before.is_empty() {
            let begin = Instant::now();
            for ((from, to), place) in before.iter().zip(&regions).zip(&mut at) {
                let there = flow(from.point(*place), to.point(*place), HALF_WINDOW_PX, &mut scratch);
                let Some(there) = there else { continue };
                let back = flow(to.point(there), from.point(*place), HALF_WINDOW_PX, &mut scratch);
                if back.is_some_and(|b| b.distance_px(*place) < 1.5) {
                    *place = there;
                }
            }
            flow_time += begin.elapsed();
            regions_time += cut;
            steps += 1;
        }
        before = at.iter().map(|p| Region::around(frame, *p, HALF_REGION_PX)).collect();
    }
    let ms = |time: Duration| time.as_secs_f64() * 1e3 / f64::from(steps.max(1));
    println!("{:.4} {:.4}", ms(regions_time + flow_time), ms(flow_time));
    Ok(())
}

/// The places in lines of `frame,marker,x,y,...`.
fn places(text: &str) -> Vec<ImagePoint> {
    let place = |line: &str| {
        let mut columns = line.split(',').skip(2).map(str::parse::<f64>);
        let (x_px, y_px) = (columns.next()?.ok()?, columns.next()?.ok()?);
        Some(ImagePoint { x_px, y_px })
    };
    text.lines().filter_map(place).collect()
}
