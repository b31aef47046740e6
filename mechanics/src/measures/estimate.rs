//! From one value a stride to a mean with its spread and its interval.

use super::{Estimate, Measure};
use crate::Note;
use crate::statistics::{mean, sd, student_quantile_975};
use Measure as M;
use std::collections::BTreeMap;

/// How a measure grows with the scale: with its first power (lengths, speeds), its second (energies and
/// inertias), or not at all.
fn power_of_scale(measure: Measure) -> f64 {
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

/// What the measurement itself is unsure of, whatever the number of strides.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Spread {
    /// SD of a marker's position.
    pub marker_sd_m: f64,
    /// Relative SD of the scale.
    pub scale_sd_ratio: f64,
    /// SD of the works of the joints in swing, where the leg was computed again with each thing made wrong.
    pub of_works_j: BTreeMap<Measure, f64>,
}

/// Chosen: thigh and shank of grown people are 0.37 to 0.44 m long (de Leva 1996, Table 4); the spread of
/// a spread need not be known better.
const SEGMENT_M: f64 = 0.4;

/// Chosen: contacts and toe-offs found by rule differ from a force plate by a constant of a runner's own,
/// some 3 and 4 ms between the runners that the rules were held against.
const RULE_SD_S: f64 = 0.005;

/// Usual time of a stride, for the spread of ratios of times only. Source: 1.28 to 1.41 Hz at 2.5 to 2.7 m/s.
const STRIDE_S: f64 = 0.74;

/// Chosen: the part of the limbs' energy that is rotational, a tenth to a fifth of it in running.
const ROTATIONAL_FRACTION: f64 = 0.15;

/// Spread of one value that a constant error of every marker's place adds, to first order.
///
/// What is the difference of one marker's places in one trial is free of it: heel lift, toe clearance, rise.
/// A length between two markers: `sqrt(2) s`. A knee bent by b: `sqrt(1 + 1 + (2 + 2 cos b)) s / l`, from hip,
/// ankle and the knee itself. A range R of a thigh: `2 sin(R / 2) sqrt(2) s / l`. An inertia
/// goes with the square of a two-segment length L = 2 l: `2 sqrt(2) s / L` of itself. Velocities
/// are free of it, and so is translational energy; rotational energy goes with the square of l.
fn marker_sd_si(measure: Measure, mean_si: f64, marker_sd_m: f64) -> f64 {
    let of_length_m = std::f64::consts::SQRT_2 * marker_sd_m;
    let of_segment_ratio = of_length_m / SEGMENT_M;
    match (measure, power_of_scale(measure)) {
        (M::HeelLift | M::ToeClearance | M::CentreOfMassRise, _) => 0.0,
        (M::PeakKneeFlexion, _) => (4.0 + 2.0 * mean_si.cos()).sqrt() * marker_sd_m / SEGMENT_M,
        (M::ThighRange, _) => 2.0 * (mean_si / 2.0).sin().abs() * of_segment_ratio,
        (M::HeelLiftFraction, _) => mean_si.abs() * of_segment_ratio / 2.0,
        (M::Speed | M::PlantFootSpeed | M::StrideLength | M::StepLength, _) => 0.0,
        (M::LegInertiaMaximum | M::LegInertiaMinimum, _) => mean_si.abs() * of_segment_ratio,
        (M::RotationalWork, _) => mean_si.abs() * 2.0 * of_segment_ratio,
        (M::TranslationalWork | M::ExternalWork, _) => 0.0,
        (_, power) if power > 1.5 => mean_si.abs() * ROTATIONAL_FRACTION * 2.0 * of_segment_ratio,
        (_, power) if power > 0.5 => of_length_m,
        _ => 0.0,
    }
}

/// Spread of one value that the measurement itself adds and that no number of strides takes away: that of
/// the scale, times the power with which it enters, and that of the markers (root sum of squares); for works of
/// joints what was found for them.
#[must_use]
pub fn systematic_sd_si(measure: Measure, mean_si: f64, spread: &Spread) -> f64 {
    if let Some(sd_j) = spread.of_works_j.get(&measure) {
        return *sd_j;
    }
    let of_scale = power_of_scale(measure) * spread.scale_sd_ratio * mean_si;
    of_scale.hypot(marker_sd_si(measure, mean_si, spread.marker_sd_m))
}

/// Spread of a time between two events that the rules add; in a comparison of one runner it cancels.
fn rule_sd_si(measure: Measure) -> f64 {
    match measure {
        M::ContactTime | M::SwingTime | M::FlightTime => RULE_SD_S,
        M::DutyFactor => RULE_SD_S / STRIDE_S,
        _ => 0.0,
    }
}

/// The estimate of a measure from its finite values; none where there is no value.
///
/// The interval is `mean ± t sd / sqrt(n)`, with Student's t for n - 1, widened by 1.96 of what the scale,
/// the markers and the event rules add (root sum of squares). Marker noise that differs from frame to
/// frame differs from stride to stride and so is part of sd.
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
    fn the_interval_is_students() {
        // Source: exact arithmetic; t(0.975, 4) = 2.776 (Abramowitz and Stegun 1964, Table 26.10).
        let e =
            estimate(M::StrideTime, vec![1.0, 2.0, 3.0, 4.0, 5.0], &Spread::default(), Vec::new())
                .unwrap();
        let (low, high) = e.interval_95_si.unwrap();
        let half = 2.776 * 2.5_f64.sqrt() / 5.0_f64.sqrt();
        assert!((low - (3.0 - half)).abs() < 2e-3 && (high - (3.0 + half)).abs() < 2e-3);
    }

    #[test]
    fn an_energy_takes_twice_the_spread_of_the_scale_and_a_time_none() {
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
    fn what_is_no_number_is_no_value() {
        assert!(estimate(M::Speed, vec![f64::NAN], &Spread::default(), Vec::new()).is_none());
        let one =
            estimate(M::Speed, vec![f64::INFINITY, 2.5], &Spread::default(), Vec::new()).unwrap();
        assert_eq!((one.n, one.sd_si), (1, None));
    }

    #[test]
    fn a_marker_widens_lengths_angles_and_energies_by_first_order_propagation() {
        // Exact: s = 4 mm: length sqrt(2) s, straight knee sqrt(6) s / 0.4 m and one bent square 2 s / 0.4 m,
        // inertia 2 sqrt(2) s / 0.8 m of itself, energy 0.15 of twice that; one marker's own rise nothing.
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
