//! The truth beside a clip: where every landmark is in every frame, and when the feet land and leave.

use super::{Clip, Options};
use crate::body::{MASS_KG, Point, Side};
use crate::motion::Motion;
use crate::picture::{Figure, HEIGHT, Landmark, PLUMB_M, SCALE_M, WIDTH};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// Everything that is true of a clip. Pixel centres are whole numbers, y down; metres with y up
/// from the belt; every frame is described at the middle of its exposure.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Truth {
    /// Version of this layout.
    pub format: u32,
    /// The file that it describes.
    pub clip: String,
    /// What the runner was told to do.
    pub cue: String,
    /// Columns and rows of the picture.
    pub size: [usize; 2],
    /// Frames per second, in the file and in the world; frame i is taken at i / rate.
    pub rate_hz: f64,
    /// How many frames.
    pub frames: usize,
    /// How long the shutter is open.
    pub shutter_s: f64,
    /// Mass of the runner.
    pub mass_kg: f64,
    /// Height of the runner.
    pub height_m: f64,
    /// Speed of the belt.
    pub speed_m_s: f64,
    /// The way the runner faces.
    pub direction: String,
    /// Turn of the scene in the picture, clockwise.
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
    /// What each picture is of the first one where the camera moves, else nothing: the pixel `p` of a
    /// thing that stands still is `scale R(turn) p(0) + (x, y)`.
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

/// What a picture is of the first one.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[allow(missing_docs, reason = "the four numbers are explained at the path")]
pub struct View {
    pub x_px: f64,
    pub y_px: f64,
    pub turn_rad: f64,
    pub scale_ratio: f64,
}

/// A foot lands or leaves.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Event {
    /// `near` or `far`.
    pub side: String,
    /// `contact` or `toe_off`.
    pub kind: String,
    /// When, from the first frame.
    pub time_s: f64,
}

/// One landmark over all frames.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Column {
    /// Column of the picture, to a thousandth.
    pub x_px: Vec<f64>,
    /// Row of the picture, to a thousandth.
    pub y_px: Vec<f64>,
    /// Forward from the origin, to a hundredth of a millimetre.
    pub x_m: Vec<f64>,
    /// Up from the belt, to a hundredth of a millimetre.
    pub y_m: Vec<f64>,
    /// 1 where nothing lies in front of it and it is in the picture, else 0.
    pub visible: Vec<u8>,
}

impl Truth {
    /// The truth of a clip.
    #[must_use]
    pub fn of(clip: &Clip, motion: &Motion, options: &Options) -> Self {
        let camera = &clip.path.at(0.0);
        let px = |place: Point| {
            let (x, y) = camera.to_px(place);
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

fn round(value: f64, parts: f64) -> f64 {
    // Adding nothing turns a negative zero into a plain one.
    (value * parts).round() / parts + 0.0
}

fn camera_path(clip: &Clip, options: &Options) -> Vec<View> {
    if clip.path.is_still() {
        return Vec::new();
    }
    let one = |number: usize| {
        let [x, y, turn, scale] = clip.path.similarity(number as f64 / options.rate_hz);
        View {
            x_px: round(x, 1e4),
            y_px: round(y, 1e4),
            turn_rad: round(turn, 1e8),
            scale_ratio: round(scale, 1e8),
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
        let camera = clip.path.at(time_s).carrying(ahead_m);
        for landmark in &Landmark::ALL {
            let place = (landmark.place)(figure.skeleton());
            let (x, y) = camera.to_px(place);
            let inside = (0.0..WIDTH as f64).contains(&x) && (0.0..HEIGHT as f64).contains(&y);
            let column = columns.entry(landmark.name.to_string()).or_default();
            column.x_px.push(round(x, 1e3));
            column.y_px.push(round(y, 1e3));
            column.x_m.push(round(place.x_m + ahead_m, 1e5));
            column.y_m.push(round(place.y_m, 1e5));
            column.visible.push(u8::from(inside && figure.shows(landmark)));
        }
    }
    columns
}
