//! The difference of two means with its interval.

use super::Difference;
use crate::measures::{Estimate, Measure};
use crate::statistics::{Random, mean, student_quantile_975};
use Measure as M;

/// Chosen: enough that the ends of the interval move by less than a twentieth of its width with the seed.
const RESAMPLES: usize = 1000;
/// Chosen: neighbouring strides resemble each other; two at a time keep some of that.
const BLOCK: usize = 2;

/// Smallest worthwhile difference of knee flexion: 2/45 of a right angle.
const KNEE_FLEXION_RAD: f64 = std::f64::consts::FRAC_PI_2 / 22.5;

/// The smallest difference worth speaking of, same day, ten strides or more, same camera.
///
/// Source: judgement from the published reliabilities of Dingenen et al. 2018 (Phys Ther Sport 33:40-47),
/// Damsted et al. 2015 (IJSPT) and the reference data: cadence 1 %, contact 10 ms, knee flexion 4°,
/// heel lift 3 cm, least leg inertia 8 %, internal work 10 %.
fn smallest_worthwhile_si(measure: Measure, first_mean_si: f64) -> Option<f64> {
    let ratio = |r: f64| Some((r * first_mean_si).abs());
    match measure {
        M::Cadence | M::StrideTime => ratio(0.01),
        M::ContactTime => Some(0.010),
        M::PeakKneeFlexion => Some(KNEE_FLEXION_RAD),
        M::HeelLift => Some(0.03),
        M::LegInertiaMinimum => ratio(0.08),
        M::InternalWork
        | M::InternalPower
        | M::InternalPowerPerMass
        | M::InternalWorkPerDistance => ratio(0.10),
        _ => None,
    }
}

/// Second less first. The interval is the wider of Welch's and of a moving-block bootstrap's, widened by
/// 1.96 of the spread that the measurement adds; none when either has fewer than two strides.
#[must_use]
pub fn difference(
    measure: Measure,
    pair: (&Estimate, &Estimate),
    measurement_si: f64,
    seed: u64,
) -> Difference {
    let (first, second) = pair;
    let difference_si = second.mean_si - first.mean_si;
    let half_si = welch_half_si(first, second).map(|w| {
        w.max(bootstrap_half_si(&first.values_si, &second.values_si, seed))
            .hypot(1.96 * measurement_si)
    });
    let interval_95_si = half_si.map(|h| (difference_si - h, difference_si + h));
    Difference {
        difference_si,
        interval_95_si,
        seen: interval_95_si.is_some_and(|(low, high)| low > 0.0 || high < 0.0),
        smallest_worthwhile_si: smallest_worthwhile_si(measure, first.mean_si),
    }
}

/// Half of Welch's 95 % interval: `t sqrt(s1^2/n1 + s2^2/n2)` with Satterthwaite's degrees of freedom.
///
/// Source: Welch 1947, Biometrika 34:28-35.
#[must_use]
pub fn welch_half_si(first: &Estimate, second: &Estimate) -> Option<f64> {
    let part = |e: &Estimate| Some((e.sd_si?.powi(2) / e.n as f64, (e.n - 1) as f64));
    let ((a, na), (b, nb)) = (part(first)?, part(second)?);
    let square = a + b;
    if square <= 0.0 {
        return Some(0.0);
    }
    Some(student_quantile_975(freedom((a, na), (b, nb))) * square.sqrt())
}

/// Satterthwaite's degrees of freedom of the sum of two variances with their own.
///
/// Source: Satterthwaite 1946, Biometrics Bulletin 2:110-114.
#[must_use]
pub fn freedom((a, na): (f64, f64), (b, nb): (f64, f64)) -> f64 {
    (a + b) * (a + b) / (a * a / na + b * b / nb)
}

/// Half the distance between the 2.5 % and 97.5 % points of resampled differences, in circular blocks.
///
/// Source: Künsch 1989, Annals of Statistics 17:1217-1241 (moving blocks).
#[must_use]
pub fn bootstrap_half_si(first: &[f64], second: &[f64], seed: u64) -> f64 {
    let mut random = Random::new(seed);
    let mut draws: Vec<f64> = (0..RESAMPLES)
        .map(|_| resampled(second, &mut random) - resampled(first, &mut random))
        .collect();
    draws.sort_by(f64::total_cmp);
    let at = |part: f64| {
        draws.get(((draws.len() - 1) as f64 * part).round() as usize).copied().unwrap_or(0.0)
    };
    (at(0.975) - at(0.025)) / 2.0
}

fn resampled(values: &[f64], random: &mut Random) -> f64 {
    let mut drawn = Vec::with_capacity(values.len() + BLOCK);
    while drawn.len() < values.len() {
        let start = random.below(values.len());
        drawn.extend((0..BLOCK).filter_map(|i| values.get((start + i) % values.len())));
    }
    drawn.truncate(values.len());
    mean(&drawn).unwrap_or(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measures::Spread;
    use crate::measures::estimate;

    const NONE: f64 = 0.0;

    fn of(values: &[f64]) -> Estimate {
        estimate(M::InternalWork, values.to_vec(), &Spread::default(), Vec::new()).unwrap()
    }

    #[test]
    fn welchs_interval_is_that_of_a_worked_computation() {
        // Source: arithmetic by hand, a = 1..5, b = 2, 4, 6, 8: s2/n = 0.5 and 5/3, df = 2.1667^2 /
        // (0.25/4 + 2.7778/3) = 4.749, t(0.975, 4.749) = 2.614.
        let half =
            welch_half_si(&of(&[1.0, 2.0, 3.0, 4.0, 5.0]), &of(&[2.0, 4.0, 6.0, 8.0])).unwrap();
        assert!((half - 2.614 * 2.166_667_f64.sqrt()).abs() < 0.01, "{half}");
    }

    #[test]
    fn a_clear_difference_is_seen_and_a_scattered_one_is_not() {
        let (a, b) = (of(&[60.0, 61.0, 60.5, 60.2]), of(&[54.0, 54.5, 53.8, 54.2]));
        let d = difference(M::InternalWork, (&a, &b), NONE, 1);
        assert!(d.seen && d.interval_95_si.unwrap().1 < 0.0);
        let scattered = difference(
            M::InternalWork,
            (&of(&[50.0, 70.0, 60.0]), &of(&[55.0, 68.0, 59.0])),
            NONE,
            1,
        );
        assert!(!scattered.seen);
    }

    #[test]
    fn the_same_seed_gives_the_same_interval() {
        let (a, b) = (of(&[1.0, 3.0, 2.0, 5.0]), of(&[4.0, 2.0, 6.0]));
        assert_eq!(
            difference(M::InternalWork, (&a, &b), NONE, 9),
            difference(M::InternalWork, (&a, &b), NONE, 9)
        );
    }
}
