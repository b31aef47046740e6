//! The result of an analysis: measures, curves, the mean figure, events, strides, checks and notes.

use crate::body::BodyModel;
use crate::gait::{ExcludedStride, GaitEvent, Stride};
use crate::landmark::Landmark;
use crate::measures::checks::Check;
use crate::measures::motion::StrideMotion;
use crate::measures::{Estimate, Measure};
use crate::note::Note;
use crate::signal::Residuals;
use crate::space::{Point, Side};
use std::collections::BTreeMap;
use std::sync::Arc;

/// Mean and SD over strides of a quantity from 0 to 100 % of the stride, in 101 points. The SD of moments and powers
/// includes that of markers, scale and vertical (root sum of squares, to first order).
#[derive(Clone, Debug, PartialEq)]
pub struct Curve {
    /// The quantity.
    pub quantity: Quantity,
    /// 101 means in the SI unit of the quantity; none if a stride has no value there, as moments have none while the
    /// foot is on the ground.
    pub mean_si: Vec<Option<f64>>,
    /// 101 standard deviations; 0 without a mean.
    pub sd_si: Vec<f64>,
}

/// The quantity of a curve.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Quantity {
    /// Knee flexion of the near leg. rad.
    KneeFlexion,
    /// Angle of the thigh to the vertical, positive with the knee ahead of the hip. rad.
    ThighAngle,
    /// Height of the heel above its level in contact. m.
    HeelHeight,
    /// Moment of inertia of the near leg about the hip. kg m2.
    LegInertia,
    /// Internal energy of the near leg. J.
    LegEnergy,
    /// Effective length of the near leg about the hip, `sqrt(I / m)`. m.
    EffectiveLength,
    /// Net hip moment in swing, on the thigh; like the following, none while the foot is on the ground. N m.
    HipMoment,
    /// Net knee moment in swing, on the shank. N m.
    KneeMoment,
    /// Net ankle moment in swing, on the foot. N m.
    AnkleMoment,
    /// Power at the hip in swing; only of the whole body, since it needs the trunk. W.
    HipPower,
    /// Power at the knee in swing. W.
    KneePower,
    /// Power at the ankle in swing. W.
    AnklePower,
}

impl Quantity {
    /// Whether it is a moment or a power of a joint, known in swing only.
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

/// The mean stick figure over a stride: each landmark relative to the mid-hip in 101 samples.
pub type Figure = BTreeMap<Landmark, Vec<Point>>;

/// Everything that was computed from one trial.
#[derive(Clone, Debug)]
pub struct Analysis {
    /// Frame rate of the even grid.
    pub rate_hz: f64,
    /// Cut-off used for each landmark.
    pub cutoffs_hz: BTreeMap<Landmark, f64>,
    /// Residuals from which the cut-offs were chosen; none for those given.
    pub residuals: BTreeMap<Landmark, Residuals>,
    /// All events, detected and placed, in time order; those of an unmarked far side are mirrored.
    pub events: Vec<GaitEvent>,
    /// The strides used: of the near leg, or of both legs if both are marked.
    pub strides: Vec<Stride>,
    /// The strides that cannot be used, with reasons.
    pub excluded: Vec<ExcludedStride>,
    /// The measures that could be computed.
    pub measures: BTreeMap<Measure, Estimate>,
    /// Times and lengths of gait of each marked leg alone.
    pub legs: BTreeMap<Side, BTreeMap<Measure, Estimate>>,
    /// Curves of the near leg over a stride.
    pub curves: Vec<Curve>,
    /// The mean figure of a near stride, relative to the mid-hip (to the near hip if the far one is not marked).
    pub figure: Figure,
    /// The physical checks.
    pub checks: Vec<Check>,
    /// Caveats of all numbers: table, frame rate, speed, mirrored far side, few strides.
    pub notes: Vec<Note>,
    /// The body's motion in the near strides, from which a comparison computes again.
    pub motion: Arc<Motion>,
}

/// The body's motion in the strides used.
#[derive(Clone, Debug, PartialEq)]
pub struct Motion {
    /// The segments of the body.
    pub model: BodyModel,
    /// The near strides.
    pub near: Vec<StrideMotion>,
    /// Whether the far side is the near side half a stride later.
    pub mirrored: bool,
}
