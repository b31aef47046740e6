//! The real walker's hip, on a dress behind the swinging arm, marked at places within a pixel of each other.

#![allow(clippy::unwrap_used, reason = "a test ends by it")]

use document::session::{Certainty, MarkerMode};
use jobs::{FollowMarker, FollowPlan, FollowRun};
use mechanics::body::Landmark;
use mechanics::space::Pixel;
use media::{Orientation, Picture};
use std::path::Path;
use std::process::Command;
use tracking::image::GreyFrame;

const SIZE_PX: (usize, usize) = (854, 480);
/// Past the weeds, both feet on the pavement.
const MARKED: u32 = 51;
/// Read by eye on enlarged pictures, as in the journey of the walker.
const MARKS: [(Landmark, f64, f64); 4] = [
    (Landmark::NearShoulder, 318.0, 194.0),
    (Landmark::NearHip, 312.0, 284.0),
    (Landmark::NearKnee, 358.0, 373.0),
    (Landmark::NearAnkle, 367.0, 427.0),
];
/// The hip in other frames, and how far off it may be, as there.
const HIP: [(usize, f64, f64); 4] =
    [(45, 338.0, 281.0), (48, 321.0, 281.0), (54, 310.0, 282.0), (57, 317.0, 277.0)];
const MOST_PX: f64 = 14.0;
/// What is followed, from the marked frame to both sides.
const STRETCH: (u32, u32) = (45, 57);

/// The grey pictures of the clip; none where the clip or ffmpeg is absent.
fn pictures() -> Option<Vec<Vec<u8>>> {
    let clip = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../../shared/clips/walker.mp4");
    let raw = ["-f", "rawvideo", "-pix_fmt", "yuv420p", "-"];
    let made = Command::new("ffmpeg").args(["-v", "error", "-i"]).arg(&clip).args(raw).output();
    let Some(raw) = made.ok().filter(|m| clip.is_file() && m.status.success()) else {
        println!("NOT RUN: {} or ffmpeg is not there", clip.display());
        return None;
    };
    let luma = SIZE_PX.0 * SIZE_PX.1;
    Some(raw.stdout.chunks_exact(luma + luma / 2).map(|p| p[..luma].to_vec()).collect())
}

/// The hip in every frame of the stretch, with all marks put so far to the side.
fn hip(pictures: &[Vec<u8>], (dx, dy): (f64, f64)) -> Vec<Option<(Pixel, Certainty)>> {
    let (width, height) = SIZE_PX;
    let marker = |(landmark, x, y): (Landmark, f64, f64)| FollowMarker {
        landmark,
        mode: MarkerMode::Skin,
        keyframes: vec![(MARKED, Pixel { x_px: x + dx, y_px: y + dy })],
    };
    let markers = MARKS.into_iter().map(marker).collect();
    let plan = FollowPlan { first: STRETCH.0, last: STRETCH.1, markers, correction: None };
    let picture = Picture {
        coded_width_px: width as u32,
        coded_height_px: height as u32,
        square_width_px: width as u32,
        square_height_px: height as u32,
        orientation: Orientation::default(),
    };
    let mut run = FollowRun::new(plan, picture, pictures.len() as u32).unwrap();
    while let Some(frame) = run.wanted() {
        let luma = &pictures[frame as usize];
        run.take(GreyFrame::new(width, height, width, luma).unwrap()).unwrap();
    }
    let found = run.finish().1.remove(&Landmark::NearHip).unwrap();
    found.into_iter().map(|s| s.map(|s| (s.at, s.certainty))).collect()
}

#[test]
fn where_the_hip_is_off_it_is_in_doubt_or_hidden_wherever_within_a_pixel_it_was_marked() {
    let Some(pictures) = pictures() else { return };
    let (mut off, mut wrong) = ([0; HIP.len()], Vec::new());
    let around = [-0.6, 0.0, 0.6];
    for by in around.into_iter().flat_map(|dx| around.map(|dy| (dx, dy))) {
        let found = hip(&pictures, by);
        for (count, (frame, x, y)) in off.iter_mut().zip(HIP) {
            let Some((at, certainty)) = found[frame - STRETCH.0 as usize] else { continue };
            if (at.x_px - x).hypot(at.y_px - y) > MOST_PX {
                *count += 1;
                if matches!(certainty, Certainty::Seen | Certainty::Placed) {
                    wrong.push((by, frame, at));
                }
            }
        }
    }
    println!("of 9 places, more than {MOST_PX} px off in frames {:?}: {off:?}", HIP.map(|h| h.0));
    assert_eq!(wrong, []);
}
