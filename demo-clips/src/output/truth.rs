//! The ground truth of a clip: every landmark in every frame, and the contacts and toe-offs.

use super::clip::Clip;
use super::options::Options;
use crate::body::{MASS_KG, Point, Side};
use crate::motion::Motion;
use crate::picture::{Figure, HEIGHT, Landmark, PLUMB_M, SCALE_M, WIDTH};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// The ground truth of a clip. Pixel centres are whole numbers, y down; metres have y up from the
/// belt; every frame is described at the middle of its exposure.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Truth {
    /// Version of this layout.
    pub format: u32,
    /// The file of the clip.
    pub clip: String,
    /// The instruction to the runner.
    pub cue: String,
    /// Columns and rows of the picture.
    pub size: [usize; 2],
    /// Frames per second, in the file and in the world; frame i is taken at i / rate.
    pub rate_hz: f64,
    /// Number of frames.
    pub frames: usize,
    /// Exposure time.
    pub shutter_s: f64,
    /// Mass of the runner.
    pub mass_kg: f64,
    /// Height of the runner.
    pub height_m: f64,
    /// Speed of the belt.
    pub speed_m_s: f64,
    /// The direction in which the runner faces.
    pub direction: String,
    /// Rotation of the scene in the picture, clockwise.
    pub camera_roll_rad: f64,
    /// Pixels per metre.
    pub px_per_m: f64,
    /// Pixel of the origin of the metres.
    pub origin_px: [f64; 2],
    /// The board in the plane of motion.
    pub scale: Scale,
    /// Two points on the plumb line, high and low.
    pub plumb_px: [[f64; 2]; 2],
    /// Two points on the surface of the belt, behind and ahead.
    pub ground_px: [[f64; 2]; 2],
    /// For a moving camera, the transform from the first picture to each picture: the pixel `p` of a fixed
    /// point is `scale R(turn) p(0) + (x, y)`.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub camera_path: Vec<View>,
    /// Contacts and toe-offs in order of time.
    pub events: Vec<Event>,
    /// The landmarks by name.
    pub landmarks: BTreeMap<String, Column>,
}

/// Two marks and their distance.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Scale {
    /// The marks, low and high.
    pub points_px: [[f64; 2]; 2],
    /// Their distance.
    pub length_m: f64,
}

/// The transform from the first picture to another one.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[allow(missing_docs, reason = "the four numbers are explained at `camera_path`")]
pub struct View {
    pub x_px: f64,
    pub y_px: f64,
    pub turn_rad: f64,
    pub scale_ratio: f64,
}

/// A contact or a toe-off.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Event {
    /// `near` or `far`.
    pub side: String,
    /// `contact` or `toe_off`.
    pub kind: String,
    /// Time since the first frame.
    pub time_s: f64,
}

/// One landmark over all frames.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Column {
    /// Column of the picture, rounded to 0.001.
    pub x_px: Vec<f64>,
    /// Row of the picture, rounded to 0.001.
    pub y_px: Vec<f64>,
    /// Forward from the origin, rounded to 0.01 mm.
    pub x_m: Vec<f64>,
    /// Up from the belt, rounded to 0.01 mm.
    pub y_m: Vec<f64>,
    /// 1 if it is in the picture and nothing covers it, else 0.
    pub visible: Vec<u8>,
}

impl Truth {
    /// The ground truth of a clip.
    #[must_use]
    pub fn of(clip: &Clip, motion: &Motion, options: &Options) -> Self {
        let camera = &clip.path.at(0.0);
        let px = |point: Point| {
            let (x, y) = camera.to_px(point);
            [round(x, 1e3), round(y, 1e3)]
        };
        Self {
            format: 1,
            clip: format!("{}.mp4", clip.name),
            cue: clip.cue.clone(),
            size: [WIDTH, HEIGHT],
            rate_hz: options.rate_hz,
            frames: options.frames(),
            shutter_s: clip.shutter_s,
            mass_kg: MASS_KG,
            height_m: clip.height_m,
            speed_m_s: clip.style.speed_m_s,
            direction: "right".to_string(),
            camera_roll_rad: camera.roll_rad,
            px_per_m: camera.px_per_m,
            origin_px: px(Point::default()),
            scale: Scale { points_px: SCALE_M.map(px), length_m: 1.0 },
            plumb_px: PLUMB_M.map(px),
            ground_px: [Point::new(-0.9, 0.0), Point::new(0.9, 0.0)].map(px),
            camera_path: camera_path(clip, options),
            events: events(motion, options.length_s),
            landmarks: landmarks(clip, motion, options),
        }
    }
}

fn round(value: f64, steps_per_unit: f64) -> f64 {
    // Adding 0 turns -0 into 0.
    (value * steps_per_unit).round() / steps_per_unit + 0.0
}

fn camera_path(clip: &Clip, options: &Options) -> Vec<View> {
    if clip.path.is_still() {
        return Vec::new();
    }
    let one = |number: usize| {
        let similarity = clip.path.similarity(number as f64 / options.rate_hz);
        View {
            x_px: round(similarity.x_px, 1e4),
            y_px: round(similarity.y_px, 1e4),
            turn_rad: round(similarity.turn_rad, 1e8),
            scale_ratio: round(similarity.scale_ratio, 1e8),
        }
    };
    (0..options.frames()).map(one).collect()
}

fn events(motion: &Motion, length_s: f64) -> Vec<Event> {
    let mut events = Vec::new();
    for step in motion.schedule().steps() {
        let side = if step.side == Side::Near { "near" } else { "far" };
        for (kind, time_s) in [("contact", step.contact_s), ("toe_off", step.toe_off_s)] {
            if (0.0..length_s).contains(&time_s) {
                let time_s = round(time_s, 1e6);
                events.push(Event { side: side.to_string(), kind: kind.to_string(), time_s });
            }
        }
    }
    events.sort_by(|a, b| a.time_s.total_cmp(&b.time_s));
    events
}

fn landmarks(clip: &Clip, motion: &Motion, options: &Options) -> BTreeMap<String, Column> {
    let mut columns: BTreeMap<String, Column> = BTreeMap::new();
    for number in 0..options.frames() {
        let time_s = number as f64 / options.rate_hz;
        let figure = Figure::at(motion, time_s);
        let ahead_m = clip.course.ahead_m(clip.style.speed_m_s * time_s);
        let camera = clip.path.at(time_s).following(ahead_m);
        for landmark in &Landmark::ALL {
            let point = (landmark.position)(figure.skeleton());
            let (x, y) = camera.to_px(point);
            let in_picture = (0.0..WIDTH as f64).contains(&x) && (0.0..HEIGHT as f64).contains(&y);
            let column = columns.entry(landmark.name.to_string()).or_default();
            column.x_px.push(round(x, 1e3));
            column.y_px.push(round(y, 1e3));
            column.x_m.push(round(point.x_m + ahead_m, 1e5));
            column.y_m.push(round(point.y_m, 1e5));
            column.visible.push(u8::from(in_picture && figure.shows(landmark)));
        }
    }
    columns
}
