//! From one value per stride to a mean with its SD and its interval.

use super::measure::{Estimate, Measure, Measure as M};
use crate::note::Note;
use crate::statistics::{mean, sd, student_quantile_975};
use std::collections::BTreeMap;

/// The power of the scale that a measure is proportional to: 1 for lengths and speeds, 2 for energies and inertias,
/// 0 for times and angles.
fn scale_exponent(measure: Measure) -> f64 {
    match measure {
        M::Cadence
        | M::StrideTime
        | M::StepTime
        | M::ContactTime
        | M::SwingTime
        | M::FlightTime
        | M::DutyFactor => 0.0,
        M::HeelLiftFraction | M::PeakKneeFlexion | M::ThighRange => 0.0,
        M::StrideLength | M::StepLength | M::Speed | M::PlantFootSpeed => 1.0,
        M::HeelLift | M::ToeClearance => 1.0,
        M::EffectiveLengthMinimum
        | M::LandingAheadOfHip
        | M::LandingAheadOfCentreOfMass
        | M::CentreOfMassRise => 1.0,
        _ => 2.0,
    }
}

/// Uncertainty of the measurement itself, which the number of strides does not reduce.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Spread {
    /// SD of a marker's position.
    pub marker_sd_m: f64,
    /// Relative SD of the scale.
    pub scale_sd_ratio: f64,
    /// SD of the works of the joints in swing, from the leg computed again under each perturbation.
    pub joint_works_j: BTreeMap<Measure, f64>,
}

/// Chosen: thigh and shank of adults are 0.37 to 0.44 m long (de Leva 1996, Table 4); an SD need not be known better.
const SEGMENT_M: f64 = 0.4;

/// Chosen: detected contacts and toe-offs differ from a force plate by a constant of each runner, about 3 and 4 ms
/// between the runners that the rules were compared with.
const RULE_SD_S: f64 = 0.005;

/// Typical time of a stride, for the SD of the duty factor only. Chosen: measured runners take 1.28 to 1.41 strides a second
/// at 2.5 to 2.7 m/s.
const STRIDE_S: f64 = 0.74;

/// Rotational part of the limbs' energy. Chosen: a tenth to a fifth of it is rotational in running.
const ROTATIONAL_FRACTION: f64 = 0.15;

/// SD of one value due to a constant error of every marker's position, to first order.
///
/// With s the SD of a marker along each axis and l the length of a segment:
/// - a difference between positions of one marker (heel lift, toe clearance, rise), a velocity and translational
///   energy: 0;
/// - a length between two markers: `sqrt(2) s`;
/// - the angle of a knee bent by b: `sqrt(1 + 1 + (2 + 2 cos b)) s / l`, from hip, ankle and the knee itself;
/// - a range R of the thigh's angle: `2 sin(R / 2) sqrt(2) s / l`;
/// - an inertia, proportional to the square of a two-segment length L = 2 l: `2 sqrt(2) s / L` of its value;
/// - rotational energy, proportional to the square of l: `2 sqrt(2) s / l` of its value.
fn marker_sd_si(measure: Measure, mean_si: f64, marker_sd_m: f64) -> f64 {
    let of_length_m = std::f64::consts::SQRT_2 * marker_sd_m;
    let of_segment_ratio = of_length_m / SEGMENT_M;
    match (measure, scale_exponent(measure)) {
        (M::HeelLift | M::ToeClearance | M::CentreOfMassRise, _) => 0.0,
        (M::PeakKneeFlexion, _) => (4.0 + 2.0 * mean_si.cos()).sqrt() * marker_sd_m / SEGMENT_M,
        (M::ThighRange, _) => 2.0 * (mean_si / 2.0).sin().abs() * of_segment_ratio,
        (M::HeelLiftFraction, _) => mean_si.abs() * of_segment_ratio / 2.0,
        (M::Speed | M::PlantFootSpeed | M::StrideLength | M::StepLength, _) => 0.0,
        (M::LegInertiaMaximum | M::LegInertiaMinimum, _) => mean_si.abs() * of_segment_ratio,
        (M::RotationalWork, _) => mean_si.abs() * 2.0 * of_segment_ratio,
        (M::TranslationalWork | M::ExternalWork, _) => 0.0,
        (_, exponent) if exponent > 1.5 => {
            mean_si.abs() * ROTATIONAL_FRACTION * 2.0 * of_segment_ratio
        }
        (_, exponent) if exponent > 0.5 => of_length_m,
        _ => 0.0,
    }
}

/// SD of a mean due to the measurement itself: the SD of the scale times its exponent in the measure, and that of the
/// markers (root sum of squares); for works of joints the SD computed for them. The number of strides does not reduce
/// it.
#[must_use]
pub fn systematic_sd_si(measure: Measure, mean_si: f64, spread: &Spread) -> f64 {
    if let Some(sd_j) = spread.joint_works_j.get(&measure) {
        return *sd_j;
    }
    let of_scale = scale_exponent(measure) * spread.scale_sd_ratio * mean_si;
    of_scale.hypot(marker_sd_si(measure, mean_si, spread.marker_sd_m))
}

/// SD of a time between two events due to the detection rules; it cancels when a runner is compared with himself.
fn rule_sd_si(measure: Measure) -> f64 {
    match measure {
        M::ContactTime | M::SwingTime | M::FlightTime => RULE_SD_S,
        M::DutyFactor => RULE_SD_S / STRIDE_S,
        _ => 0.0,
    }
}

/// The estimate of a measure from its finite values; none without a value.
///
/// The interval is `mean ± t sd / sqrt(n)`, with Student's t for n - 1, widened by 1.96 SD of scale, markers and event
/// rules (root sum of squares). Marker noise that differs between frames differs between strides too, and so is part of
/// sd.
#[must_use]
pub fn estimate(
    measure: Measure,
    values_si: Vec<f64>,
    spread: &Spread,
    notes: Vec<Note>,
) -> Option<Estimate> {
    let values_si: Vec<f64> = values_si.into_iter().filter(|v| v.is_finite()).collect();
    let mean_si = mean(&values_si)?;
    let sd_si = sd(&values_si);
    let n = values_si.len();
    let measured_sd_si = systematic_sd_si(measure, mean_si, spread);
    let interval_95_si = sd_si.map(|sd_si| {
        let of_mean = student_quantile_975((n - 1) as f64) * sd_si / (n as f64).sqrt();
        let half = of_mean.hypot(1.96 * measured_sd_si.hypot(rule_sd_si(measure)));
        (mean_si - half, mean_si + half)
    });
    Some(Estimate { values_si, mean_si, sd_si, n, measured_sd_si, interval_95_si, notes })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_interval_is_that_of_students_t() {
        // Source: exact arithmetic; t(0.975, 4) = 2.776 (Abramowitz and Stegun 1964, Table 26.10).
        let e =
            estimate(M::StrideTime, vec![1.0, 2.0, 3.0, 4.0, 5.0], &Spread::default(), Vec::new())
                .unwrap();
        let (low, high) = e.interval_95_si.unwrap();
        let half = 2.776 * 2.5_f64.sqrt() / 5.0_f64.sqrt();
        assert!((low - (3.0 - half)).abs() < 2e-3 && (high - (3.0 + half)).abs() < 2e-3);
    }

    #[test]
    fn an_energy_has_twice_the_relative_sd_of_the_scale_and_a_time_none() {
        let values = vec![50.0, 50.0, 50.0];
        let spread = Spread { scale_sd_ratio: 0.01, ..Spread::default() };
        let energy = estimate(M::InternalWork, values.clone(), &spread, Vec::new())
            .unwrap()
            .interval_95_si
            .unwrap();
        assert!((energy.1 - 50.0 - 1.96).abs() < 1e-9);
        let time =
            estimate(M::StrideTime, values, &spread, Vec::new()).unwrap().interval_95_si.unwrap();
        assert!((time.1 - 50.0).abs() < 1e-9);
    }

    #[test]
    fn values_that_are_not_finite_are_dropped() {
        assert!(estimate(M::Speed, vec![f64::NAN], &Spread::default(), Vec::new()).is_none());
        let one =
            estimate(M::Speed, vec![f64::INFINITY, 2.5], &Spread::default(), Vec::new()).unwrap();
        assert_eq!((one.n, one.sd_si), (1, None));
    }

    #[test]
    fn a_marker_widens_lengths_angles_and_energies_by_first_order_propagation() {
        // Exact: s = 4 mm: length sqrt(2) s, straight knee sqrt(6) s / 0.4 m and one bent square 2 s / 0.4 m,
        // inertia 2 sqrt(2) s / 0.8 m of its value, energy 0.15 of twice that; a rise of one marker 0.
        let spread = Spread { marker_sd_m: 0.004, ..Spread::default() };
        let sd = |m, mean_si| systematic_sd_si(m, mean_si, &spread);
        assert!((sd(M::LandingAheadOfHip, 0.3) - 0.005_656_854).abs() < 1e-8);
        assert!((sd(M::PeakKneeFlexion, 0.0) - 0.024_494_897).abs() < 1e-8);
        assert!((sd(M::PeakKneeFlexion, std::f64::consts::FRAC_PI_2) - 0.02).abs() < 1e-12);
        assert!((sd(M::LegInertiaMinimum, 60.0) - 0.848_528_137).abs() < 1e-8);
        assert!((sd(M::InternalWork, 60.0) - 0.254_558_441).abs() < 1e-8);
        assert_eq!(sd(M::HeelLift, 0.3), 0.0);
        assert_eq!(sd(M::Cadence, 2.6), 0.0);
    }
}
