//! One trial: everything that an analysis needs.

use crate::body::Table;
use crate::gait::EventEdit;
use crate::landmark::{Landmark, MarkerSet};
use crate::measures::Spread;
use crate::signal::Cutoff;
use crate::space::{Point, Surface};
use std::collections::BTreeMap;

/// One trial, ready to be analysed. Mass, height, speed and cut-off have limits: see [`crate::limits`].
#[derive(Clone, Debug)]
pub struct Trial {
    /// Time of each frame on the corrected clock; strictly increasing, not necessarily even.
    pub times_s: Vec<f64>,
    /// Position of each marked landmark in each frame, x forward, y up; `None` if it is lost.
    pub points: BTreeMap<Landmark, Vec<Option<Point>>>,
    /// The marker set of the trial.
    pub marker_set: MarkerSet,
    /// Body mass.
    pub mass_kg: f64,
    /// Body height, if known.
    pub height_m: Option<f64>,
    /// Segment table.
    pub table: Table,
    /// Speed, if it was entered.
    pub speed_m_s: Option<f64>,
    /// Belt or ground.
    pub surface: Surface,
    /// Low-pass cut-off.
    pub cutoff: Cutoff,
    /// A person's edits to the detected events.
    pub event_edits: Vec<EventEdit>,
    /// SD of a marker's position along each axis, from the tracker (0 if unknown).
    pub marker_sd_m: f64,
    /// Relative SD of the scale (0 if unknown); 0.005 is half a per cent.
    pub scale_sd_ratio: f64,
    /// SD of the direction taken for the vertical (0 if unknown).
    pub vertical_sd_rad: f64,
}

impl Trial {
    /// The uncertainty of the measurement itself.
    #[must_use]
    pub fn spread(&self) -> Spread {
        Spread {
            marker_sd_m: self.marker_sd_m,
            scale_sd_ratio: self.scale_sd_ratio,
            ..Spread::default()
        }
    }
}
