//! From a trial's positions to its measures: the one entrance.

mod assemble;
mod astray;
mod band;
mod prepare;
mod shapes;
mod slowed;
mod words;

use crate::body::{BodyModel, Landmark, MarkerSet, Table};
use crate::gait::{EventEdit, GaitEvent};
pub use crate::gait::{LeftOut, Stride};
pub use crate::measures::checks::Check;
use crate::measures::motion::StrideMotion;
use crate::measures::{Estimate, Measure, Spread};
pub use crate::signal::{Cutoff, Residuals};
pub use crate::space::Surface;
use crate::space::{Point, Side};
use crate::{Error, Note};
pub use astray::{Astray, AtStake, at_stake};
pub use slowed::{OtherRate, other_rate};
use std::collections::BTreeMap;
use std::sync::Arc;

/// One trial, ready to be analysed.
#[derive(Clone, Debug)]
pub struct Trial {
    /// Time of each frame on the corrected clock; strictly increasing, not necessarily even.
    pub times_s: Vec<f64>,
    /// Position of each marked landmark in each frame, x forward, y up; `None` where it is lost.
    pub points: BTreeMap<Landmark, Vec<Option<Point>>>,
    /// Which landmarks were meant to be marked.
    pub marker_set: MarkerSet,
    /// Body mass.
    pub mass_kg: f64,
    /// Body height, if known.
    pub height_m: Option<f64>,
    /// Segment table.
    pub table: Table,
    /// Entered speed, if known.
    pub speed_m_s: Option<f64>,
    /// Belt or ground.
    pub surface: Surface,
    /// Low-pass cut-off.
    pub cutoff: Cutoff,
    /// What a person changed about the events found.
    pub event_edits: Vec<EventEdit>,
    /// SD of a marker's position, from the tracker, metres (0 if unknown).
    pub marker_sd_m: f64,
    /// Relative SD of the scale (0 if unknown); 0.005 is half a per cent.
    pub scale_sd_ratio: f64,
    /// SD of the direction taken for upright (0 if unknown).
    pub vertical_sd_rad: f64,
}

impl Trial {
    /// What the measurement itself is unsure of.
    #[must_use]
    pub fn spread(&self) -> Spread {
        Spread {
            marker_sd_m: self.marker_sd_m,
            scale_sd_ratio: self.scale_sd_ratio,
            ..Spread::default()
        }
    }
}

/// A curve over one stride, 0 to 100 % in 101 points, mean and SD over strides; the SD of moments and powers has
/// in it what markers, scale and the upright direction add (root sum of squares, to first order).
#[derive(Clone, Debug, PartialEq)]
pub struct Curve {
    /// What is drawn.
    pub quantity: Quantity,
    /// 101 means in the SI unit of the quantity; none where one of the strides has no value, as moments have none
    /// while the foot is on the ground.
    pub mean_si: Vec<Option<f64>>,
    /// 101 standard deviations, 0 where there is no mean.
    pub sd_si: Vec<f64>,
}

/// What a curve shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Quantity {
    /// Knee flexion of the near leg. rad.
    KneeFlexion,
    /// Thigh to the vertical, forward positive. rad.
    ThighAngle,
    /// Heel above its contact level. m.
    HeelHeight,
    /// Near leg's moment of inertia about the hip. kg m2.
    LegInertia,
    /// Near leg's internal energy. J.
    LegEnergy,
    /// Effective length of the near leg about the hip, `sqrt(I / m)`. m.
    EffectiveLength,
    /// Net hip moment in swing, on the thigh; none while the foot is on the ground, and so for all that follow. N m.
    HipMoment,
    /// Net knee moment in swing, on the shank. N m.
    KneeMoment,
    /// Net ankle moment in swing, on the foot. N m.
    AnkleMoment,
    /// Power at the hip in swing; the whole body only, since it needs the trunk. W.
    HipPower,
    /// Power at the knee in swing. W.
    KneePower,
    /// Power at the ankle in swing. W.
    AnklePower,
}

impl Quantity {
    /// Whether it is a moment or a power at a joint, known in swing alone.
    #[must_use]
    pub fn is_of_a_joint_in_swing(self) -> bool {
        use Quantity as Q;
        !matches!(
            self,
            Q::KneeFlexion
                | Q::ThighAngle
                | Q::HeelHeight
                | Q::LegInertia
                | Q::LegEnergy
                | Q::EffectiveLength
        )
    }
}

/// The mean figure over a stride: each landmark relative to the mid-hip at 101 phases.
pub type Figure = BTreeMap<Landmark, Vec<Point>>;

/// Everything that is known of one trial.
#[derive(Clone, Debug)]
pub struct Analysis {
    /// Rate of the even grid.
    pub rate_hz: f64,
    /// The cut-off used for each landmark.
    pub cutoffs_hz: BTreeMap<Landmark, f64>,
    /// The curves from which they were chosen; none where they were given.
    pub residuals: BTreeMap<Landmark, Residuals>,
    /// All events, found and placed, in time order; with an unmarked far side the near side's only, then mirrored ones.
    pub events: Vec<GaitEvent>,
    /// The strides used (of the near leg; of both legs where both are marked).
    pub strides: Vec<Stride>,
    /// The strides left out.
    pub left_out: Vec<LeftOut>,
    /// The measures that could be computed.
    pub measures: BTreeMap<Measure, Estimate>,
    /// Times and lengths of gait of each leg that is marked, apart.
    pub legs: BTreeMap<Side, BTreeMap<Measure, Estimate>>,
    /// Curves of the near leg over a stride.
    pub curves: Vec<Curve>,
    /// The mean figure of a near stride, relative to the mid-hip (to the hip where one is marked).
    pub figure: Figure,
    /// The physical checks.
    pub checks: Vec<Check>,
    /// What holds for all numbers: definition, table, cut-off, transfer rule, mirrored far side.
    pub notes: Vec<Note>,
    /// The near strides, moment by moment, from which a comparison computes anew.
    pub motion: Arc<Motion>,
}

/// How the body moves in the strides used, with what is needed to compute from it again.
#[derive(Clone, Debug, PartialEq)]
pub struct Motion {
    /// The segments.
    pub model: BodyModel,
    /// The near strides.
    pub near: Vec<StrideMotion>,
    /// Whether the far side is the near one, half a stride later.
    pub mirrored: bool,
}

/// Analyses a trial.
///
/// Positions → even grid, short gaps filled → low-pass → events → strides → measures, curves, checks.
///
/// # Errors
/// When the mass, the times or the positions cannot make a trial; see [`Error`]. Too few strides are no
/// error: the analysis then has the events, the strides left out and no measures.
pub fn analyse(trial: &Trial) -> Result<Analysis, Error> {
    analyse_with(trial, &BTreeMap::new())
}

/// Analyses a trial with these cut-offs; a landmark that is not among them gets its own.
///
/// # Errors
/// As for [`analyse`]; also for a cut-off that cannot be one.
pub fn analyse_with(
    trial: &Trial,
    cutoffs_hz: &BTreeMap<Landmark, f64>,
) -> Result<Analysis, Error> {
    prepare::check(trial)?;
    if let Some(cutoff_hz) = cutoffs_hz.values().copied().find(|hz| !(1.0..=50.0).contains(hz)) {
        return Err(Error::Cutoff { cutoff_hz });
    }
    let prepared = prepare::Prepared::new(trial, cutoffs_hz)?;
    Ok(assemble::assemble(trial, prepared))
}
