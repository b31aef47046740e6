//! Times Lucas-Kanade there and back by itself: `flow_time CLIP.y4m MARKERS.csv` prints milliseconds a frame with and without
//! its regions.

mod input;

use input::{Outcome, rows, two_files, y4m::Clip};
use std::time::{Duration, Instant};
use tracking::image::{ImagePoint, Region};
use tracking::point::{FlowScratch, flow};

/// Half the side of a region: 96 pixels square.
const HALF_REGION_PX: usize = 48;
/// A window of 21 pixels.
const HALF_WINDOW_PX: usize = 10;
/// There and back may miss the start by this.
const CLOSURE_PX: f64 = 1.5;
/// Frames that are timed.
///
/// Chosen: enough for a steady mean, few enough to hold in memory.
const MOST_FRAMES: usize = 60;

fn main() -> Outcome<()> {
    let [clip, markers] = two_files("flow_time CLIP.y4m MARKERS.csv")?;
    let mut clip = Clip::open(&clip)?;
    let frames = clip.first(MOST_FRAMES)?;
    let mut at: Vec<ImagePoint> = rows(&markers, 4)?.iter().map(|row| row.at).collect();
    let mut scratch = FlowScratch::default();
    let (mut regions_time, mut flow_time) = (Duration::ZERO, Duration::ZERO);
    let mut steps = 0_u32;
    let mut before: Vec<Region> = Vec::new();
    for bytes in &frames {
        let frame = clip.grey(bytes)?;
        let begin = Instant::now();
        let regions: Vec<Region> =
            at.iter().map(|p| Region::around(frame, *p, HALF_REGION_PX)).collect();
        let cut = begin.elapsed();
        if !before.is_empty() {
            let begin = Instant::now();
            for ((from, to), place) in before.iter().zip(&regions).zip(&mut at) {
                let start = from.point(*place);
                let there = flow(start, to.point(*place), HALF_WINDOW_PX, &mut scratch);
                let Some(there) = there else { continue };
                let back = flow(to.point(there), start, HALF_WINDOW_PX, &mut scratch);
                if back.is_some_and(|b| b.distance_px(*place) < CLOSURE_PX) {
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
