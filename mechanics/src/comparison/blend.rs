//! The effect of heel lift alone: the near leg's swing blended step by step from the first trial's to the second's.

use super::analysed_trial::AnalysedTrial;
use crate::analysis::Motion;
use crate::body::BodyModel;
use crate::gait::Stride;
use crate::landmark::Landmark;
use crate::measures::energy::stride_work;
use crate::measures::motion::{BodyState, LandmarkStates, SAMPLES, StrideMotion};
use crate::measures::posture::posture;
use crate::measures::swing::leg_inertia_kg_m2;
use crate::signal::State;
use nalgebra::Vector2;

/// One step from the first swing to the second.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Blend {
    /// Weight of the second swing: 0 is the first trial's swing, 1 the second's.
    pub second_ratio: f64,
    /// Greatest height of the heel in swing.
    pub heel_lift_m: f64,
    /// Internal work of the near leg per stride.
    pub near_leg_j: f64,
    /// Internal work per stride, with all but this leg as in the first trial.
    pub internal_j: f64,
    /// Least moment of inertia of the leg about the hip.
    pub least_inertia_kg_m2: f64,
}

/// Number of steps. Chosen: enough for a smooth line, few enough for a table.
const STEPS: usize = 10;

/// Chosen: the foot leaves and meets the ground as in the first trial; over this fraction of the swing, at either end, the
/// path is ramped to the blended one.
const RAMP_RATIO: f64 = 0.2;

const BELOW_HIP: [Landmark; 4] =
    [Landmark::NearKnee, Landmark::NearAnkle, Landmark::NearHeel, Landmark::NearToe];

/// The first trial's mean stride with the near leg's swing blended into the second's, in steps of a tenth; none without
/// strides.
///
/// Knee, ankle, heel and toe relative to the hip, at the same phase p of the stride, are `a + r(p) k (b - a)`, with k from
/// 0 to 1 and r = 0 in contact, 1 in mid-swing and half a cosine between. The second movement is replayed at the first's
/// stride time, so that cadence plays no part. A mean stride takes a little less work than the strides that it averages.
#[must_use]
pub fn blend(first: AnalysedTrial<'_>, second: AnalysedTrial<'_>) -> Vec<Blend> {
    let (a, b) = (&first.analysis.motion, &second.analysis.motion);
    let (Some(from), Some(to)) = (mean_stride(a), mean_stride(b)) else { return Vec::new() };
    let step = |i: usize| blended(&a.model, &from, &to, i as f64 / STEPS as f64);
    (0..=STEPS).map(step).collect::<Option<_>>().unwrap_or_default()
}

/// The mean stride, from contact at 0 s; x relative to the mid-hip, heights as they are.
fn mean_stride(motion: &Motion) -> Option<StrideMotion> {
    let n = motion.near.len() as f64;
    let first = motion.near.first()?;
    let mean = |f: fn(&Stride) -> f64| motion.near.iter().map(|s| f(&s.stride)).sum::<f64>() / n;
    let stride = Stride {
        side: first.stride.side,
        start_s: 0.0,
        toe_off_s: mean(Stride::contact_s),
        end_s: mean(Stride::time_s),
    };
    let at = |i: usize| {
        let states: Option<Vec<&BodyState>> =
            motion.near.iter().map(|s| s.samples.get(i)).collect();
        let states = states?;
        let of = |l: Landmark| {
            let relative = states.iter().map(|s| Some(x_relative(*s.landmarks.get(l)?, s.mid_hip)));
            let relative = relative.collect::<Option<Vec<State>>>()?;
            Some((l, scaled(relative.into_iter().reduce(sum)?, [1.0 / n; 3])))
        };
        BodyState::new(&motion.model, Landmark::ALL.into_iter().filter_map(of).collect()).ok()
    };
    let samples = (0..SAMPLES).map(at).collect::<Option<Vec<BodyState>>>()?;
    Some(StrideMotion { stride, samples })
}

fn blended(
    model: &BodyModel,
    from: &StrideMotion,
    to: &StrideMotion,
    second_ratio: f64,
) -> Option<Blend> {
    let pace = to.stride.time_s() / from.stride.time_s();
    let at = |(i, (a, b)): (usize, (&BodyState, &BodyState))| {
        let (ramp, ramp_hz) = ramp(i, &from.stride);
        let mut landmarks: LandmarkStates = a.landmarks.clone();
        for landmark in BELOW_HIP {
            let [own, other] = [a, b].map(|s| {
                Some(difference(*s.landmarks.get(landmark)?, *s.landmarks.get(Landmark::NearHip)?))
            });
            let (own, other) = (own?, scaled(other?, [1.0, pace, pace * pace]));
            let apart = difference(other, own);
            let mut change = scaled(apart, [second_ratio * ramp; 3]);
            change.velocity_m_s += apart.position_m * (second_ratio * ramp_hz);
            landmarks.set(landmark, sum(*a.landmarks.get(landmark)?, change));
        }
        BodyState::new(model, landmarks).ok()
    };
    let pairs = from.samples.iter().zip(&to.samples).enumerate();
    let samples = pairs.map(at).collect::<Option<Vec<BodyState>>>()?;
    let stride = StrideMotion { stride: from.stride, samples };
    let work = stride_work(model, &stride);
    let least = stride.samples.iter().map(|s| leg_inertia_kg_m2(model, s)).reduce(f64::min);
    let [near_leg_j, ..] = work.by_limb_j;
    let blend = Blend {
        second_ratio,
        heel_lift_m: posture(&stride, model.whole_body).heel_lift_m?,
        near_leg_j: near_leg_j?,
        internal_j: work.internal_j,
        least_inertia_kg_m2: least?,
    };
    let all = [blend.heel_lift_m, blend.near_leg_j, blend.internal_j, blend.least_inertia_kg_m2];
    all.iter().all(|v| v.is_finite()).then_some(blend)
}

/// Weight of the blended path in a sample, 0 to 1, and its rate of change (1/s).
fn ramp(sample: usize, stride: &Stride) -> (f64, f64) {
    let time_s = sample as f64 / (SAMPLES - 1) as f64 * stride.time_s();
    let ramp_s = RAMP_RATIO * (stride.time_s() - stride.contact_s());
    let rise = |since_s: f64| {
        let part = (since_s / ramp_s).clamp(0.0, 1.0);
        let within = part > 0.0 && part < 1.0;
        let angle = std::f64::consts::PI * part;
        let speed_hz = if within { 0.5 * angle.sin() * std::f64::consts::PI / ramp_s } else { 0.0 };
        (0.5 - 0.5 * angle.cos(), speed_hz)
    };
    let (up, up_hz) = rise(time_s - stride.contact_s());
    let (down, down_hz) = rise(stride.time_s() - time_s);
    (up * down, up_hz * down - up * down_hz)
}

fn x_relative(mut state: State, to: State) -> State {
    state.position_m.x -= to.position_m.x;
    state
}

fn difference(a: State, b: State) -> State {
    sum(a, scaled(b, [-1.0; 3]))
}

fn sum(a: State, b: State) -> State {
    State {
        position_m: a.position_m + b.position_m,
        velocity_m_s: a.velocity_m_s + b.velocity_m_s,
        acceleration_m_s2: a.acceleration_m_s2 + b.acceleration_m_s2,
    }
}

/// Position, velocity and acceleration, each times its own factor.
fn scaled(state: State, [position, velocity, acceleration]: [f64; 3]) -> State {
    let times = |v: Vector2<f64>, factor: f64| v * factor;
    State {
        position_m: times(state.position_m, position),
        velocity_m_s: times(state.velocity_m_s, velocity),
        acceleration_m_s2: times(state.acceleration_m_s2, acceleration),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::analysis::{Analysis, analyse};
    use crate::landmark::MarkerSet;
    use crate::measures::Measure;
    use crate::synthetic::{lifted, trial};

    #[test]
    fn a_swing_blended_with_itself_does_not_change() {
        let trial = trial(400, 120.0, MarkerSet::NearSide);
        let analysis = analyse(&trial).unwrap();
        let analysed = AnalysedTrial { trial: &trial, analysis: &analysis };
        let steps = blend(analysed, analysed);
        assert_eq!(steps.len(), STEPS + 1);
        for step in &steps {
            assert!((step.near_leg_j - steps[0].near_leg_j).abs() < 1e-9);
            assert!((step.heel_lift_m - steps[0].heel_lift_m).abs() < 1e-9);
        }
        let mean_j = analysis.measures[&Measure::NearLegWork].mean_si;
        assert!((steps[0].near_leg_j / mean_j - 1.0).abs() < 0.01, "{}", steps[0].near_leg_j);
    }

    #[test]
    fn heel_lift_rises_and_inertia_falls_with_each_step_to_a_higher_heel() {
        let (low, high) = (trial(400, 120.0, MarkerSet::NearSide), lifted(400, 120.0));
        let (a, b) = (analyse(&low).unwrap(), analyse(&high).unwrap());
        let steps = blend(
            AnalysedTrial { trial: &low, analysis: &a },
            AnalysedTrial { trial: &high, analysis: &b },
        );
        let lift = |a: &Analysis| a.measures[&Measure::HeelLift].mean_si;
        assert!((steps[0].heel_lift_m - lift(&a)).abs() < 0.005);
        assert!((steps[STEPS].heel_lift_m - lift(&b)).abs() < 0.01);
        for (step, next) in steps.iter().zip(&steps[1..]) {
            assert!(next.heel_lift_m > step.heel_lift_m);
            assert!(next.least_inertia_kg_m2 < step.least_inertia_kg_m2);
        }
    }
}
