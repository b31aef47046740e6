//! Flights: the fall of the centre of mass in them, and the frame rates that would explain a wrong fall.

use super::energy::GRAVITY_M_S2;
use super::motion::{SAMPLES, StrideMotion};
use crate::gait::Stride;
use crate::statistics::mean;
use nalgebra::{Matrix3, Vector3};

/// Rates at which cameras film. Chosen: the rates that cameras and phones commonly offer.
const FILMED_RATES_HZ: [f64; 9] = [24.0, 25.0, 30.0, 60.0, 100.0, 120.0, 200.0, 240.0, 480.0];

/// Height of the centre of mass at one time of a flight.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HeightSample {
    /// Time since the stride began.
    pub time_s: f64,
    /// Height of the lightly filtered centre of mass.
    pub height_m: f64,
}

/// Heights in one flight, in time order.
pub type Flight = Vec<HeightSample>;

/// Mean fall over the flights of a trial.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MeanFall {
    /// Mean downward acceleration.
    pub fall_m_s2: f64,
    /// Number of flights it rests on.
    pub flights: usize,
}

/// Rates at which a clip of this rate may have been filmed instead. Chosen: within a factor of 1.5 they are the same.
pub(crate) fn other_rates_hz(rate_hz: f64) -> impl Iterator<Item = f64> {
    let is_other = move |filmed: &f64| (filmed / rate_hz).max(rate_hz / filmed) > 1.5;
    FILMED_RATES_HZ.into_iter().filter(is_other)
}

/// Whether a fall is that of gravity.
///
/// Chosen: within 35 %, since a flight lasts about 90 ms and the far side may be mirrored; a wrong frame rate is off by a
/// factor of 4 and more.
pub(crate) fn is_free_fall(fall_m_s2: f64) -> bool {
    (0.65..=1.35).contains(&(fall_m_s2 / GRAVITY_M_S2))
}

/// Mean fall over the flights that are long enough: a parabola is fitted to each.
pub(crate) fn mean_fall(flights: &[Flight]) -> Option<MeanFall> {
    let falls: Vec<f64> = flights.iter().filter_map(|f| fall_m_s2(f)).collect();
    mean(&falls)
        .filter(|g| g.is_finite())
        .map(|fall_m_s2| MeanFall { fall_m_s2, flights: falls.len() })
}

/// Chosen: half of what separates 120 from 240 frames/s, a factor of 4 in the fall, would leave two candidates; this
/// is less, and more than a mirrored far side and short flights add.
const LIKELY_MISFIT: f64 = 0.5;

/// The filmed rate that would make this fall, given as a ratio to gravity, a free one; none if no rate fits well.
pub(crate) fn explaining_rate_hz(fall_ratio: f64, rate_hz: f64) -> Option<f64> {
    let of = |filmed_hz: f64| misfit(fall_ratio, filmed_hz / rate_hz);
    other_rates_hz(rate_hz)
        .min_by(|a, b| of(*a).total_cmp(&of(*b)))
        .filter(|filmed_hz| fall_ratio > 0.0 && of(*filmed_hz) < LIKELY_MISFIT)
}

/// Misfit of a fall to that of a clip slowed by this factor: acceleration is proportional to its square.
fn misfit(fall_ratio: f64, slowed: f64) -> f64 {
    (fall_ratio * slowed * slowed).ln().abs()
}

/// Downward acceleration of the least-squares parabola; none with fewer than five points.
fn fall_m_s2(flight: &[HeightSample]) -> Option<f64> {
    if flight.len() < 5 {
        return None;
    }
    let middle = flight.iter().map(|p| p.time_s).sum::<f64>() / flight.len() as f64;
    // Normal equations of y = c0 + c1 t + c2 t^2, with t from the middle so that they are well conditioned.
    let (mut squares, mut products) = (Matrix3::zeros(), Vector3::zeros());
    for HeightSample { time_s, height_m } in flight {
        let t = time_s - middle;
        let powers = Vector3::new(1.0, t, t * t);
        squares += powers * powers.transpose();
        products += powers * *height_m;
    }
    Some(-2.0 * (squares.try_inverse()? * products).z)
}

/// Heights of the centre of mass in the flights of the strides.
///
/// A stride has two flights: from toe-off to half its time and, as the legs alternate, the same half a stride later.
/// Chosen: a tenth at each end is dropped, since events are uncertain. `height_m` gives the height at a phase of a stride,
/// 0 to 1.
#[must_use]
pub fn flights(
    strides: &[StrideMotion],
    height_m: impl Fn(&Stride, f64) -> Option<f64>,
) -> Vec<Flight> {
    let mut flights = Vec::new();
    for stride in strides.iter().map(|s| &s.stride) {
        let contact = stride.contact_s() / stride.time_s();
        let trim = 0.1 * (0.5 - contact);
        for half in [0.0, 0.5] {
            let within = |phase: f64| phase >= half + contact + trim && phase <= half + 0.5 - trim;
            let phases = (0..SAMPLES).map(|i| i as f64 / (SAMPLES - 1) as f64);
            let sample = |phase: f64| {
                let height_m = height_m(stride, phase)?;
                Some(HeightSample { time_s: phase * stride.time_s(), height_m })
            };
            flights.push(phases.filter(|p| within(*p)).filter_map(sample).collect());
        }
    }
    flights
}
