//! The entries of a coach: runner, scale, plumb line and the marks on the first frame.

use super::truth::Truth;
use crate::body::{HEIGHT_M, MASS_KG};
use crate::picture::Landmark;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// The session of the example. All pixels are whole or half, as placed by hand.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Example {
    /// Name of the session.
    pub session: String,
    /// Name of the runner, invented.
    pub runner: String,
    /// Where it was filmed, invented.
    pub place: String,
    /// Mass of the runner.
    pub mass_kg: f64,
    /// Height of the runner.
    pub height_m: f64,
    /// The segment table, by the name that the app uses.
    pub table: String,
    /// Speed of the belt.
    pub speed_m_s: f64,
    /// One trial per clip.
    pub trials: Vec<Trial>,
}

/// The set-up of one clip.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Trial {
    /// File of the clip.
    pub clip: String,
    /// Name of the trial: the instruction to the runner.
    pub cue: String,
    /// The two end marks of the board.
    pub scale_px: [[f64; 2]; 2],
    /// Their distance.
    pub length_m: f64,
    /// Two points on the plumb line, high and low.
    pub vertical_px: [[f64; 2]; 2],
    /// The direction in which the runner faces.
    pub direction: String,
    /// The set of marked landmarks, by the name that the app uses.
    pub marker_set: String,
    /// The marks on the first frame.
    pub marks_px: BTreeMap<String, [f64; 2]>,
}

impl Example {
    /// The entries for clips with some ground truth.
    #[must_use]
    pub fn from(truths: &[Truth]) -> Self {
        Self {
            session: "Example: Mirel Tovane, two ways of running".to_string(),
            runner: "Mirel Tovane (invented)".to_string(),
            place: "Lindmoor hall (invented)".to_string(),
            mass_kg: MASS_KG,
            height_m: HEIGHT_M,
            table: "winter_dempster".to_string(),
            speed_m_s: truths.first().map_or(0.0, |truth| truth.speed_m_s),
            trials: truths.iter().map(trial).collect(),
        }
    }
}

fn trial(truth: &Truth) -> Trial {
    let mut marks_px = BTreeMap::new();
    for landmark in Landmark::ALL.iter().take(Landmark::STICKERS) {
        let column = truth.landmarks.get(landmark.name);
        let first = column.and_then(|c| c.x_px.first().zip(c.y_px.first()));
        if let Some((&x, &y)) = first {
            marks_px.insert(landmark.name.to_string(), half([x, y]));
        }
    }
    Trial {
        clip: truth.clip.clone(),
        cue: truth.cue.clone(),
        scale_px: truth.scale.points_px.map(half),
        length_m: truth.scale.length_m,
        vertical_px: truth.plumb_px.map(half),
        direction: truth.direction.clone(),
        marker_set: "near_side".to_string(),
        marks_px,
    }
}

fn half(point: [f64; 2]) -> [f64; 2] {
    point.map(|value| (2.0 * value).round() / 2.0)
}
