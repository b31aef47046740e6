//! How much is heel lift? One leg's swing, led step by step from the first way to the second.

use super::Side;
use crate::analysis::Motion;
use crate::body::{BodyModel, Landmark};
use crate::gait::Stride;
use crate::measures::energy::stride_work;
use crate::measures::motion::{MOMENTS, Moment, Places, StrideMotion};
use crate::measures::posture::posture;
use crate::measures::swing::leg_inertia_kg_m2;
use crate::signal::State;
use nalgebra::Vector2;

/// One step of the way from the first swing to the second.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Blend {
    /// 0 is the first way's swing, 1 the second's.
    pub second_ratio: f64,
    /// Greatest height of the heel in it.
    pub heel_lift_m: f64,
    /// Internal work of the near leg in the stride.
    pub near_leg_j: f64,
    /// Internal work of the whole stride, with all but this leg as in the first way.
    pub internal_j: f64,
    /// Leg's least moment of inertia about the hip.
    pub least_inertia_kg_m2: f64,
}

/// Steps of a tenth. Chosen: enough for a smooth line, few enough for a table.
const STEPS: usize = 10;

/// Chosen: the foot leaves and meets the ground as in the first way; over this part of the swing, at
/// either end, the path is led over to the blended one.
const LED_OVER_RATIO: f64 = 0.2;

const BELOW_HIP: [Landmark; 4] =
    [Landmark::NearKnee, Landmark::NearAnkle, Landmark::NearHeel, Landmark::NearToe];

/// The first way's mean stride with the near leg's swing led to the second way's, in steps of a tenth;
/// none without strides.
///
/// Knee, ankle, heel and toe relative to the hip, at the same part of the stride, are
/// `a + r(p) k (b - a)`, with k from 0 to 1 and r = 0 in contact, 1 in mid-swing, and half a cosine between;
/// the second way is played at the first's stride time, so that cadence plays no part. A mean stride costs
/// a little less than the strides that it is the mean of.
#[must_use]
pub fn blend(first: Side<'_>, second: Side<'_>) -> Vec<Blend> {
    let (a, b) = (&first.analysis.motion, &second.analysis.motion);
    let (Some(from), Some(to)) = (mean_stride(a), mean_stride(b)) else { return Vec::new() };
    let step = |i: usize| blended(&a.model, (&from, &to), i as f64 / STEPS as f64);
    (0..=STEPS).map(step).collect::<Option<_>>().unwrap_or_default()
}

/// A stride from contact at 0 s, every landmark beside the middle of the hips at its own height.
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
        let moments: Option<Vec<&Moment>> = motion.near.iter().map(|s| s.moments.get(i)).collect();
        let moments = moments?;
        let of = |l: Landmark| {
            let states = moments.iter().map(|m| Some(beside(*m.landmarks.get(l)?, m.mid_hip)));
            let states = states.collect::<Option<Vec<State>>>()?;
            Some((l, scaled(states.into_iter().reduce(plus)?, [1.0 / n; 3])))
        };
        Moment::new(&motion.model, Landmark::ALL.into_iter().filter_map(of).collect()).ok()
    };
    let moments = (0..MOMENTS).map(at).collect::<Option<Vec<Moment>>>()?;
    Some(StrideMotion { stride, moments })
}

fn blended(
    model: &BodyModel,
    (from, to): (&StrideMotion, &StrideMotion),
    second_ratio: f64,
) -> Option<Blend> {
    let pace = to.stride.time_s() / from.stride.time_s();
    let at = |(i, (a, b)): (usize, (&Moment, &Moment))| {
        let (lead, lead_hz) = led_over(i, &from.stride);
        let mut places: Places = a.landmarks.clone();
        for landmark in BELOW_HIP {
            let [own, other] = [a, b].map(|m| {
                Some(relative(*m.landmarks.get(landmark)?, *m.landmarks.get(Landmark::NearHip)?))
            });
            let (own, other) = (own?, scaled(other?, [1.0, pace, pace * pace]));
            let apart = plus(other, scaled(own, [-1.0; 3]));
            let mut led = scaled(apart, [second_ratio * lead; 3]);
            led.velocity_m_s += apart.position_m * (second_ratio * lead_hz);
            places.set(landmark, plus(*a.landmarks.get(landmark)?, led));
        }
        Moment::new(model, places).ok()
    };
    let pairs = from.moments.iter().zip(&to.moments).enumerate();
    let moments = pairs.map(at).collect::<Option<Vec<Moment>>>()?;
    let stride = StrideMotion { stride: from.stride, moments };
    let work = stride_work(model, &stride);
    let least = stride.moments.iter().map(|m| leg_inertia_kg_m2(model, m)).reduce(f64::min);
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

/// How far the path is led over at a moment, and how fast that changes (1/s).
fn led_over(moment: usize, stride: &Stride) -> (f64, f64) {
    let time_s = moment as f64 / (MOMENTS - 1) as f64 * stride.time_s();
    let over_s = LED_OVER_RATIO * (stride.time_s() - stride.contact_s());
    let rise = |since_s: f64| {
        let part = (since_s / over_s).clamp(0.0, 1.0);
        let within = part > 0.0 && part < 1.0;
        let turn = std::f64::consts::PI * part;
        let speed_hz = if within { 0.5 * turn.sin() * std::f64::consts::PI / over_s } else { 0.0 };
        (0.5 - 0.5 * turn.cos(), speed_hz)
    };
    let (up, up_hz) = rise(time_s - stride.contact_s());
    let (down, down_hz) = rise(stride.time_s() - time_s);
    (up * down, up_hz * down - up * down_hz)
}

fn beside(mut state: State, to: State) -> State {
    state.position_m.x -= to.position_m.x;
    state
}

fn relative(state: State, to: State) -> State {
    plus(state, scaled(to, [-1.0; 3]))
}

fn plus(a: State, b: State) -> State {
    State {
        position_m: a.position_m + b.position_m,
        velocity_m_s: a.velocity_m_s + b.velocity_m_s,
        acceleration_m_s2: a.acceleration_m_s2 + b.acceleration_m_s2,
    }
}

/// Place, velocity and acceleration, each times its own factor.
fn scaled(state: State, [place, velocity, acceleration]: [f64; 3]) -> State {
    let times = |v: Vector2<f64>, factor: f64| v * factor;
    State {
        position_m: times(state.position_m, place),
        velocity_m_s: times(state.velocity_m_s, velocity),
        acceleration_m_s2: times(state.acceleration_m_s2, acceleration),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::analysis::analyse;
    use crate::body::MarkerSet;
    use crate::comparison::invented::{lifted, trial};

    #[test]
    fn a_way_led_to_itself_stays_as_it_is() {
        let trial = trial(400, 120.0, MarkerSet::NearSide);
        let analysis = analyse(&trial).unwrap();
        let side = Side { trial: &trial, analysis: &analysis };
        let steps = blend(side, side);
        assert_eq!(steps.len(), STEPS + 1);
        for step in &steps {
            assert!((step.near_leg_j - steps[0].near_leg_j).abs() < 1e-9);
            assert!((step.heel_lift_m - steps[0].heel_lift_m).abs() < 1e-9);
        }
        let mean_j = analysis.measures[&crate::measures::Measure::NearLegWork].mean_si;
        assert!((steps[0].near_leg_j / mean_j - 1.0).abs() < 0.01, "{}", steps[0].near_leg_j);
    }

    #[test]
    fn a_higher_heel_is_reached_step_by_step_and_folds_the_leg() {
        let (low, high) = (trial(400, 120.0, MarkerSet::NearSide), lifted(400, 120.0));
        let (a, b) = (analyse(&low).unwrap(), analyse(&high).unwrap());
        let steps = blend(Side { trial: &low, analysis: &a }, Side { trial: &high, analysis: &b });
        let lift =
            |a: &crate::analysis::Analysis| a.measures[&crate::measures::Measure::HeelLift].mean_si;
        assert!((steps[0].heel_lift_m - lift(&a)).abs() < 0.005);
        assert!((steps[STEPS].heel_lift_m - lift(&b)).abs() < 0.01);
        for (step, next) in steps.iter().zip(&steps[1..]) {
            assert!(next.heel_lift_m > step.heel_lift_m);
            assert!(next.least_inertia_kg_m2 < step.least_inertia_kg_m2);
        }
    }
}
