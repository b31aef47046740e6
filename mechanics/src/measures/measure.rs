//! The measures by name, their values per stride and their estimates.

use crate::note::Note;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// A measure of one trial. Its values are in the SI unit at the end of its doc.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Measure {
    /// Internal work of the whole marked body per stride, transfer within limbs. J.
    InternalWork,
    /// Internal work by stride time. W.
    InternalPower,
    /// Internal power by body mass. W/kg.
    InternalPowerPerMass,
    /// Internal work by body mass and distance. J/(kg m).
    InternalWorkPerDistance,
    /// Internal work without any transfer of energy: the upper bound. J.
    InternalWorkNoTransfer,
    /// Internal work with transfer between all segments: the lower bound. J.
    InternalWorkFullTransfer,
    /// Internal work of the near leg per stride. J.
    NearLegWork,
    /// Internal work of the far leg per stride. J.
    FarLegWork,
    /// Internal work of the near arm per stride. J.
    NearArmWork,
    /// Internal work of the far arm per stride. J.
    FarArmWork,
    /// Internal work of the trunk with the head per stride. J.
    TrunkWork,
    /// Near leg's internal work while the leg swings forward relative to the body. J.
    ForwardSwingWork,
    /// Near leg's internal work while the leg swings backward relative to the body. J.
    BackwardSwingWork,
    /// The part of the limbs' internal work that is translational. J.
    TranslationalWork,
    /// The part of the limbs' internal work that is rotational. J.
    RotationalWork,
    /// External work of the centre of mass per stride; an estimate. J.
    ExternalWork,
    /// Steps per second, two a stride. Hz.
    Cadence,
    /// Contact to next contact of the same foot. s.
    StrideTime,
    /// Contact to toe-off. s.
    ContactTime,
    /// Toe-off to next contact of the same foot. s.
    SwingTime,
    /// Toe-off to the other foot's contact. s.
    FlightTime,
    /// Contact time as a fraction of stride time. Pure number.
    DutyFactor,
    /// Speed times stride time. m.
    StrideLength,
    /// Contact of one foot to the next contact of the other; only if both are marked. s.
    StepTime,
    /// Speed times step time. m.
    StepLength,
    /// Speed of running: entered, or measured from the planted foot or the centre of mass. m/s.
    Speed,
    /// Mean backward speed of the planted foot, to compare with the entered belt speed. m/s.
    PlantFootSpeed,
    /// Greatest height of the heel in swing above its level in contact. m.
    HeelLift,
    /// Heel lift as a fraction of leg length (hip to ankle plus ankle to sole). Pure number.
    HeelLiftFraction,
    /// Greatest knee flexion in swing; 0 is straight. rad.
    PeakKneeFlexion,
    /// Forward-most minus backward-most thigh angle. rad.
    ThighRange,
    /// Leg's greatest moment of inertia about the hip. kg m2.
    LegInertiaMaximum,
    /// Leg's least moment of inertia about the hip. kg m2.
    LegInertiaMinimum,
    /// Least effective length of the leg, sqrt(I/m). m.
    EffectiveLengthMinimum,
    /// Least height of the toe in mid-swing above its level in contact. m.
    ToeClearance,
    /// Ankle ahead of the hip at contact. m.
    LandingAheadOfHip,
    /// Ankle ahead of the centre of mass at contact. m.
    LandingAheadOfCentreOfMass,
    /// Highest minus lowest centre of mass in a stride. m.
    CentreOfMassRise,
    /// Positive work at the hip in swing. J.
    HipSwingPositiveWork,
    /// Negative work at the hip in swing (a negative number). J.
    HipSwingNegativeWork,
    /// Positive work at the knee in swing. J.
    KneeSwingPositiveWork,
    /// Negative work at the knee in swing (a negative number). J.
    KneeSwingNegativeWork,
    /// Positive work at the ankle in swing. J.
    AnkleSwingPositiveWork,
    /// Negative work at the ankle in swing (a negative number). J.
    AnkleSwingNegativeWork,
}

impl Measure {
    /// The symbol of the SI unit of its values; 1 for a pure number.
    #[must_use]
    pub fn unit(self) -> &'static str {
        use Measure as M;
        match self {
            M::InternalPower => "W",
            M::InternalPowerPerMass => "W/kg",
            M::InternalWorkPerDistance => "J/(kg m)",
            M::Cadence => "Hz",
            M::StrideTime | M::StepTime | M::ContactTime | M::SwingTime | M::FlightTime => "s",
            M::DutyFactor | M::HeelLiftFraction => "1",
            M::Speed | M::PlantFootSpeed => "m/s",
            M::PeakKneeFlexion | M::ThighRange => "rad",
            M::LegInertiaMaximum | M::LegInertiaMinimum => "kg m2",
            M::StrideLength
            | M::StepLength
            | M::HeelLift
            | M::EffectiveLengthMinimum
            | M::ToeClearance
            | M::LandingAheadOfHip
            | M::LandingAheadOfCentreOfMass
            | M::CentreOfMassRise => "m",
            _ => "J",
        }
    }
}

/// The values of each measure, one per stride.
pub type PerStride = BTreeMap<Measure, Vec<f64>>;

/// One measure of a trial: its value for each stride, their mean and its uncertainty.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Estimate {
    /// One value per stride, in the SI unit of the measure.
    pub values_si: Vec<f64>,
    /// Their mean.
    pub mean_si: f64,
    /// Their standard deviation (n - 1); none with fewer than two strides.
    pub sd_si: Option<f64>,
    /// Number of strides.
    pub n: usize,
    /// SD of the mean due to scale and markers, to first order; the number of strides does not reduce it.
    pub measured_sd_si: f64,
    /// 95 % interval of the mean: the spread between strides and that of the measurement, combined.
    pub interval_95_si: Option<(f64, f64)>,
    /// Its caveats.
    pub notes: Vec<Note>,
}
