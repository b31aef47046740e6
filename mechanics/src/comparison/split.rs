//! Splits a difference in internal work into the parts of cadence, speed and the shape of the movement.

use super::analysed_trial::AnalysedTrial;
use super::interval::{Variance, satterthwaite};
use crate::measures::Measure;
use crate::measures::estimate::systematic_sd_si;
use crate::statistics::{mean, student_quantile_975};

/// The difference in internal work per stride in three parts that sum to the whole exactly.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Split {
    /// The part due to the change of stride time. J.
    pub cadence_j: f64,
    /// The part due to the change of speed. J.
    pub speed_j: f64,
    /// The part due to the change of the movement's shape. J.
    pub shape_j: f64,
    /// 95 % interval of the cadence's part: SD between strides and, to first order, of scale and markers. J.
    pub cadence_95_j: Option<(f64, f64)>,
    /// 95 % interval of the speed's part. J.
    pub speed_95_j: Option<(f64, f64)>,
    /// 95 % interval of the shape's part. J.
    pub shape_95_j: Option<(f64, f64)>,
}

/// The means of one trial that the split is made of.
#[derive(Clone, Copy, Debug)]
struct Means {
    work_j: f64,
    time_s: f64,
    speed_m_s: Option<f64>,
}

/// Parts of cadence, speed and shape; they sum to the difference of the two works.
type Parts = [f64; 3];

/// Splits the difference in internal work per stride into parts that sum to it exactly.
///
/// The first movement replayed at the second's stride time takes `W (T1/T2)^2`, since kinetic energy is proportional to
/// `1/T^2`; at the second's speed and that stride time, its reach is proportional to the speed and its energy to
/// `(v2/v1)^2`. The rest is due to the shape of the movement. Without both speeds, or with equal ones, the part of the
/// speed is zero.
#[must_use]
pub fn split(first: AnalysedTrial<'_>, second: AnalysedTrial<'_>) -> Option<Split> {
    let (one, other) = (Values::of(first), Values::of(second));
    let (a, b) = (one.means()?, other.means()?);
    let whole = parts(a, b);
    let of_first = one.jackknife_variances(|means| parts(means, b));
    let of_second = other.jackknife_variances(|means| parts(a, means));
    let p = measurement_variances(first, a, |means| parts(means, b));
    let q = measurement_variances(second, b, |means| parts(a, means));
    let interval = |part: usize| {
        let (x, y) = (of_first?[part], of_second?[part]);
        let strides = if x + y > 0.0 {
            let x_of = Variance { variance_si: x, degrees_of_freedom: one.fewest_strides()? - 1.0 };
            let y_of =
                Variance { variance_si: y, degrees_of_freedom: other.fewest_strides()? - 1.0 };
            student_quantile_975(satterthwaite(x_of, y_of)) * (x + y).sqrt()
        } else {
            0.0
        };
        let half = strides.hypot(1.96 * (p[part] + q[part]).sqrt());
        half.is_finite().then_some((whole[part] - half, whole[part] + half))
    };
    let [cadence_j, speed_j, shape_j] = whole;
    let [cadence_95_j, speed_95_j, shape_95_j] = [0, 1, 2].map(interval);
    Some(Split { cadence_j, speed_j, shape_j, cadence_95_j, speed_95_j, shape_95_j })
}

fn parts(first: Means, second: Means) -> Parts {
    let speed_ratio = first.speed_m_s.zip(second.speed_m_s).map_or(1.0, |(v1, v2)| v2 / v1);
    let at_second_time_j = first.work_j * (first.time_s / second.time_s).powi(2);
    let cadence_j = at_second_time_j - first.work_j;
    let speed_j = at_second_time_j * (speed_ratio * speed_ratio - 1.0);
    [cadence_j, speed_j, second.work_j - first.work_j - cadence_j - speed_j]
}

/// The values of the strides: work, time, speed.
struct Values<'a>([&'a [f64]; 3]);

impl<'a> Values<'a> {
    fn of(side: AnalysedTrial<'a>) -> Self {
        let of =
            |m: Measure| side.analysis.measures.get(&m).map_or(&[][..], |e| e.values_si.as_slice());
        Self([of(Measure::InternalWork), of(Measure::StrideTime), of(Measure::Speed)])
    }

    fn means(&self) -> Option<Means> {
        means_of(self.0.map(mean))
    }

    /// Fewest strides that a mean rests on; none below two.
    fn fewest_strides(&self) -> Option<f64> {
        let [work, time, _] = self.0.map(<[f64]>::len);
        let least = work.min(time);
        (least > 1).then_some(least as f64)
    }

    /// Jackknife variance of each part: `(n - 1)/n sum (P_i - mean P)^2`, with P_i computed without stride i. Work, time
    /// and speed leave out the same stride if they are known of the same strides, otherwise one after another.
    ///
    /// Source: Tukey 1958, Annals of Mathematical Statistics 29:614; Miller 1974, Biometrika 61:1-15.
    fn jackknife_variances(&self, parts: impl Fn(Means) -> Parts) -> Option<Parts> {
        self.fewest_strides()?;
        let counts = self.0.map(<[f64]>::len);
        let alike = counts.iter().all(|n| *n == counts[0] || *n == 0);
        let groups: &[[bool; 3]] = if alike {
            &[[true; 3]]
        } else {
            &[[true, false, false], [false, true, false], [false, false, true]]
        };
        let mut variance = [0.0; 3];
        for group in groups {
            let n = (0..3).filter(|k| group[*k]).map(|k| counts[k]).max().unwrap_or(0);
            if n < 2 {
                continue;
            }
            let without = |i: usize| {
                let mean_without = |k: usize| match (mean(self.0[k]), self.0[k].get(i)) {
                    (Some(all), Some(one)) if group[k] => Some(all + (all - one) / (n - 1) as f64),
                    (all, _) => all,
                };
                means_of([mean_without(0), mean_without(1), mean_without(2)]).map(&parts)
            };
            let all = (0..n).map(without).collect::<Option<Vec<Parts>>>()?;
            for (k, sum) in variance.iter_mut().enumerate() {
                let of_part: Vec<f64> = all.iter().map(|p| p[k]).collect();
                let middle = mean(&of_part)?;
                let squares: f64 = of_part.iter().map(|p| (p - middle).powi(2)).sum();
                *sum += (n - 1) as f64 / n as f64 * squares;
            }
        }
        Some(variance)
    }
}

fn means_of([work_j, time_s, speed_m_s]: [Option<f64>; 3]) -> Option<Means> {
    let known = |v: Option<f64>| v.filter(|v| v.is_finite() && *v > 0.0);
    Some(Means { work_j: known(work_j)?, time_s: known(time_s)?, speed_m_s: known(speed_m_s) })
}

/// Variance of each part due to the measurement of one trial, to first order: its markers and its scale. Work is
/// proportional to the square of the scale, a speed that was not entered to the scale.
fn measurement_variances(
    side: AnalysedTrial<'_>,
    means: Means,
    parts: impl Fn(Means) -> Parts,
) -> Parts {
    let whole = parts(means);
    let scale = side.trial.scale_sd_ratio;
    let all_j = systematic_sd_si(Measure::InternalWork, means.work_j, &side.trial.spread());
    let of_markers_j = (all_j.powi(2) - (2.0 * scale * means.work_j).powi(2)).max(0.0).sqrt();
    let speed_ratio = if side.trial.speed_m_s.is_some() { 1.0 } else { 1.0 + scale };
    let of_scale = parts(Means {
        work_j: means.work_j * (1.0 + 2.0 * scale),
        speed_m_s: means.speed_m_s.map(|v| v * speed_ratio),
        ..means
    });
    let of_markers = parts(Means { work_j: means.work_j + of_markers_j, ..means });
    let square = |k: usize| (of_scale[k] - whole[k]).powi(2) + (of_markers[k] - whole[k]).powi(2);
    [square(0), square(1), square(2)]
}
