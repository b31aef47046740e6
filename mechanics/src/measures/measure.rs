//! The names of the measures, and what an estimate of one carries.

use crate::Note;
use serde::{Deserialize, Serialize};

/// A measure of one trial. Values are in the SI unit that the doc names.
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
    /// Internal work when nothing is transferred: the upper bound. J.
    InternalWorkNoTransfer,
    /// Internal work when everything is transferred: the lower bound. J.
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
    /// Steps (two a stride) a second. Hz.
    Cadence,
    /// Contact to next contact of the same foot. s.
    StrideTime,
    /// Contact to toe-off. s.
    ContactTime,
    /// Toe-off to next contact of the same foot. s.
    SwingTime,
    /// Toe-off to the other foot's contact. s.
    FlightTime,
    /// Contact time by stride time. Pure number.
    DutyFactor,
    /// Speed times stride time. m.
    StrideLength,
    /// Contact of one foot to the next contact of the other; only where both are marked. s.
    StepTime,
    /// Speed times step time. m.
    StepLength,
    /// Speed of running: entered, or measured from the planted foot or the centre of mass. m/s.
    Speed,
    /// Plant foot's mean backward speed, to be compared with the entered belt speed. m/s.
    PlantFootSpeed,
    /// Greatest height of the heel in swing above its own contact level. m.
    HeelLift,
    /// Heel lift by leg length (hip to ankle plus ankle to sole). Pure number.
    HeelLiftFraction,
    /// Greatest knee flexion in swing, 0 = straight. rad.
    PeakKneeFlexion,
    /// Forward-most minus backward-most thigh angle. rad.
    ThighRange,
    /// Leg's greatest moment of inertia about the hip. kg m2.
    LegInertiaMaximum,
    /// Leg's least moment of inertia about the hip. kg m2.
    LegInertiaMinimum,
    /// Least effective length of the leg, sqrt(I/m). m.
    EffectiveLengthMinimum,
    /// Least height of the toe above its contact level in mid-swing. m.
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

/// What is known of one measure: its value stride by stride, and what that amounts to.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Estimate {
    /// One value a stride, in the SI unit of the measure.
    pub values_si: Vec<f64>,
    /// Their mean.
    pub mean_si: f64,
    /// Their standard deviation (n - 1); none with fewer than two strides.
    pub sd_si: Option<f64>,
    /// How many strides.
    pub n: usize,
    /// What scale and markers add to the SD of the mean however many strides there are, to first order.
    pub measured_sd_si: f64,
    /// 95 % interval of the mean: stride-to-stride spread and the measurement's own, combined.
    pub interval_95_si: Option<(f64, f64)>,
    /// What to know when reading it.
    pub notes: Vec<Note>,
}
