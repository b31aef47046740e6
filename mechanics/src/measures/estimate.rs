//! From one value a stride to a mean with its spread and its interval.

use super::{Estimate, Measure};
use crate::Note;
use crate::statistics::{mean, sd, student_quantile_975};
use Measure as M;

/// How a measure grows with the scale: with its first power (lengths, speeds), its second (energies and
/// inertias), or not at all.
fn power_of_scale(measure: Measure) -> f64 {
    match measure {
        M::Cadence
        | M::StrideTime
        | M::ContactTime
        | M::SwingTime
        | M::FlightTime
        | M::DutyFactor => 0.0,
        M::HeelLiftFraction | M::PeakKneeFlexion | M::ThighRange => 0.0,
        M::StrideLength | M::Speed | M::PlantFootSpeed | M::HeelLift | M::ToeClearance => 1.0,
        M::EffectiveLengthMinimum
        | M::LandingAheadOfHip
        | M::LandingAheadOfCentreOfMass
        | M::CentreOfMassRise => 1.0,
        _ => 2.0,
    }
}

/// Spread of one value that the measurement itself adds and that no number of strides takes away: the
/// scale's, times the power with which it enters.
#[must_use]
pub fn systematic_sd_si(measure: Measure, mean_si: f64, scale_sd_ratio: f64) -> f64 {
    (power_of_scale(measure) * scale_sd_ratio * mean_si).abs()
}

/// The estimate of a measure from its finite values; none where there is no value.
///
/// The interval is `mean ± t sd / sqrt(n)`, with Student's t for n - 1, widened by 1.96 of the scale's
/// own spread (root sum of squares). Marker noise differs from stride to stride and so is part of sd.
#[must_use]
pub fn estimate(
    measure: Measure,
    values_si: Vec<f64>,
    scale_sd_ratio: f64,
    notes: Vec<Note>,
) -> Option<Estimate> {
    let values_si: Vec<f64> = values_si.into_iter().filter(|v| v.is_finite()).collect();
    let mean_si = mean(&values_si)?;
    let sd_si = sd(&values_si);
    let n = values_si.len();
    let interval_95_si = sd_si.map(|sd_si| {
        let of_mean = student_quantile_975((n - 1) as f64) * sd_si / (n as f64).sqrt();
        let half = of_mean.hypot(1.96 * systematic_sd_si(measure, mean_si, scale_sd_ratio));
        (mean_si - half, mean_si + half)
    });
    Some(Estimate { values_si, mean_si, sd_si, n, interval_95_si, notes })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_interval_is_students() {
        // Source: exact arithmetic; t(0.975, 4) = 2.776 (Abramowitz and Stegun 1964, Table 26.10).
        let e = estimate(M::StrideTime, vec![1.0, 2.0, 3.0, 4.0, 5.0], 0.0, Vec::new()).unwrap();
        let (low, high) = e.interval_95_si.unwrap();
        let half = 2.776 * 2.5_f64.sqrt() / 5.0_f64.sqrt();
        assert!((low - (3.0 - half)).abs() < 2e-3 && (high - (3.0 + half)).abs() < 2e-3);
    }

    #[test]
    fn an_energy_takes_twice_the_spread_of_the_scale_and_a_time_none() {
        let values = vec![50.0, 50.0, 50.0];
        let energy = estimate(M::InternalWork, values.clone(), 0.01, Vec::new())
            .unwrap()
            .interval_95_si
            .unwrap();
        assert!((energy.1 - 50.0 - 1.96).abs() < 1e-9);
        let time =
            estimate(M::StrideTime, values, 0.01, Vec::new()).unwrap().interval_95_si.unwrap();
        assert!((time.1 - 50.0).abs() < 1e-9);
    }

    #[test]
    fn what_is_no_number_is_no_value() {
        assert!(estimate(M::Speed, vec![f64::NAN], 0.0, Vec::new()).is_none());
        let one = estimate(M::Speed, vec![f64::INFINITY, 2.5], 0.0, Vec::new()).unwrap();
        assert_eq!((one.n, one.sd_si), (1, None));
    }
}
