//! What the physics gives for nothing: checks of scale, frame rate, tracking and speed.

use super::energy::GRAVITY_M_S2;
use super::motion::{MOMENTS, StrideMotion};
use crate::body::Landmark;
use crate::gait::Stride;
use crate::statistics::{mean, sd};
use nalgebra::{Matrix3, Vector3};

/// Rates at which cameras film. Common practice, no source.
const FILMED_RATES_HZ: [f64; 9] = [24.0, 25.0, 30.0, 60.0, 100.0, 120.0, 200.0, 240.0, 480.0];

/// A check that the physics gives for nothing.
#[derive(Clone, Debug, PartialEq)]
pub struct Check {
    /// Stable name: `free_fall`, `segment_length_near_shank`, `plant_foot_speed`, `momentum`.
    pub key: String,
    /// Whether it holds.
    pub holds: bool,
    /// What was found, in plain words with numbers and units.
    pub found: String,
    /// What to do when it does not hold; empty when it holds.
    pub what_to_do: String,
}

fn check(key: &str, holds: bool, found: String, what_to_do: &str) -> Check {
    let what_to_do = if holds { String::new() } else { what_to_do.to_owned() };
    Check { key: key.to_owned(), holds, found, what_to_do }
}

/// Rates at which a clip that has this one may have been filmed instead.
pub(crate) fn other_rates_hz(rate_hz: f64) -> impl Iterator<Item = f64> {
    let is_other = move |filmed: &f64| (filmed / rate_hz).max(rate_hz / filmed) > 1.5;
    FILMED_RATES_HZ.into_iter().filter(is_other)
}

/// Chosen: within 35 % counts as g, since one flight lasts some 90 ms and the far side may be mirrored; a wrong
/// frame rate is off by a factor of 4 and more.
pub(crate) fn is_free_fall(fall_m_s2: f64) -> bool {
    (0.65..=1.35).contains(&(fall_m_s2 / GRAVITY_M_S2))
}

/// With what the centre of mass falls in flight, the mean over those that are long enough, and how many they are.
///
/// `heights` are (time in s, height in m) of the lightly filtered centre in each flight; a parabola is fitted to each.
pub(crate) fn mean_fall_m_s2(flights: &[Vec<(f64, f64)>]) -> Option<(f64, usize)> {
    let falls: Vec<f64> = flights.iter().filter_map(|f| fall_m_s2(f)).collect();
    mean(&falls).filter(|g| g.is_finite()).map(|fall| (fall, falls.len()))
}

/// In flight the centre of mass falls with g: `flights` as [`flight_heights`] gives them.
#[must_use]
pub fn free_fall(flights: &[Vec<(f64, f64)>], rate_hz: f64) -> Option<Check> {
    let (fall, count) = mean_fall_m_s2(flights)?;
    let ratio = fall / GRAVITY_M_S2;
    let holds = is_free_fall(fall);
    let found = format!(
        "In flight the centre of mass falls with {fall:.1} m/s² ({GRAVITY_M_S2} is expected, {count} flights)."
    );
    let other_rate = other_rates_hz(rate_hz)
        .min_by(|a, b| misfit(ratio, *a / rate_hz).total_cmp(&misfit(ratio, *b / rate_hz)))
        .filter(|filmed| ratio > 0.0 && misfit(ratio, filmed / rate_hz) < LIKELY_MISFIT);
    let what = match other_rate {
        Some(filmed_hz) => format!(
            "This fits a clip that was filmed at {filmed_hz:.0} frames/s and is stamped at {rate_hz:.0}: enter the filmed rate in the step Scale; else check the scale."
        ),
        None if ratio > 0.0 => format!(
            "If the filmed rate is right, lengths come out {:.0} % too {}: check the ends and the length of the scale in the step Scale, and that it stood where the runner runs; if they are right, check the marks of hip and shoulder.",
            100.0 * (ratio - 1.0).abs(),
            if ratio > 1.0 { "long" } else { "short" }
        ),
        None => "It does not fall at all: check the contacts and toe-offs in the step Strides, then the marks of hip and shoulder.".to_owned(),
    };
    Some(check("free_fall", holds, found, &what))
}

/// Chosen: half of what parts 120 from 240 frames/s, a factor of 4 in the fall, would leave two answers; this
/// is less, and more than the mirrored far side and short flights add.
const LIKELY_MISFIT: f64 = 0.5;

/// How far a fall is from that of a film slowed by this factor: acceleration goes with its square.
fn misfit(ratio: f64, slowed: f64) -> f64 {
    (ratio * slowed * slowed).ln().abs()
}

/// Downward acceleration of the least-squares parabola; none with fewer than five points.
fn fall_m_s2(points: &[(f64, f64)]) -> Option<f64> {
    if points.len() < 5 {
        return None;
    }
    let middle = points.iter().map(|p| p.0).sum::<f64>() / points.len() as f64;
    // Normal equations of y = c0 + c1 t + c2 t^2, with t from the middle so that they are well posed.
    let (mut squares, mut products) = (Matrix3::zeros(), Vector3::zeros());
    for (time_s, height_m) in points {
        let t = time_s - middle;
        let powers = Vector3::new(1.0, t, t * t);
        squares += powers * powers.transpose();
        products += powers * *height_m;
    }
    Some(-2.0 * (squares.try_inverse()? * products).z)
}

/// Chosen: skin over the greater trochanter and the knee moves by some centimetres; more than this part
/// of a segment's length is a lost mark or a runner who does not go square to the camera.
const LENGTH_SPREAD_RATIO: f64 = 0.06;

/// The segments of the near side keep their lengths.
#[must_use]
pub fn segment_lengths(strides: &[StrideMotion]) -> Vec<Check> {
    const SEGMENTS: [(&str, &str, Landmark, Landmark); 4] = [
        ("segment_length_near_thigh", "thigh", Landmark::NearHip, Landmark::NearKnee),
        ("segment_length_near_shank", "shank", Landmark::NearKnee, Landmark::NearAnkle),
        ("segment_length_near_upper_arm", "upper arm", Landmark::NearShoulder, Landmark::NearElbow),
        ("segment_length_near_forearm", "forearm", Landmark::NearElbow, Landmark::NearWrist),
    ];
    let of = |(key, name, from, to): &(&str, &str, Landmark, Landmark)| {
        let moments = strides.iter().flat_map(|s| &s.moments);
        let lengths: Vec<f64> =
            moments.filter_map(|m| Some((m.place(*to)? - m.place(*from)?).norm())).collect();
        let (mean_m, sd_m) = (mean(&lengths)?, sd(&lengths)?);
        let found = format!(
            "The near {name} is {:.1} cm long and varies by {:.1} % (SD).",
            mean_m * 100.0,
            sd_m / mean_m * 100.0
        );
        let what = format!(
            "Look at the marks at both ends of the {name}, and whether the runner goes square to the camera."
        );
        Some(check(key, sd_m <= LENGTH_SPREAD_RATIO * mean_m, found, &what))
    };
    SEGMENTS.iter().filter_map(of).collect()
}

/// The planted foot goes backward with the belt.
#[must_use]
pub fn plant_foot_speed(plant_m_s: &[f64], entered_m_s: Option<f64>) -> Option<Check> {
    let (found_m_s, entered_m_s) = (mean(plant_m_s)?, entered_m_s?);
    // Chosen: belts' displays and the scale are good to a few per cent; more is a wrong entry.
    let holds = (found_m_s / entered_m_s - 1.0).abs() <= 0.05;
    let found = format!(
        "The planted foot moves with {found_m_s:.2} m/s; {entered_m_s:.2} m/s was entered."
    );
    Some(check(
        "plant_foot_speed",
        holds,
        found,
        "Check the entered speed, the scale and the filmed rate in the step Scale.",
    ))
}

/// Over a whole stride the mean vertical acceleration is zero.
#[must_use]
pub fn momentum(strides: &[StrideMotion]) -> Option<Check> {
    let mean_m_s2 = |s: &StrideMotion| {
        let v = |i: usize| s.moments.get(i).map(|m| m.centre.velocity_m_s.y);
        Some((v(MOMENTS - 1)? - v(0)?) / s.stride.time_s())
    };
    let all: Vec<f64> = strides.iter().filter_map(mean_m_s2).collect();
    let mean_m_s2 = mean(&all)?;
    let found = format!(
        "Over a stride the mean vertical acceleration is {mean_m_s2:.2} m/s² (zero is expected)."
    );
    // Chosen: a twentieth of g, five times what clean clips show.
    Some(check(
        "momentum",
        mean_m_s2.abs() <= 0.05 * GRAVITY_M_S2,
        found,
        "Check the contacts in the step Strides.",
    ))
}

/// Heights of the centre of mass in the flights of the strides: (time in s, height in m).
///
/// A stride has two flights, from toe-off to half its time and, as the legs alternate, the same half a
/// stride later; a tenth at each end is left out. `height_m` gives the height at a part of a stride.
#[must_use]
pub fn flight_heights(
    strides: &[StrideMotion],
    height_m: impl Fn(&Stride, f64) -> Option<f64>,
) -> Vec<Vec<(f64, f64)>> {
    let mut flights = Vec::new();
    for stride in strides.iter().map(|s| &s.stride) {
        let contact = stride.contact_s() / stride.time_s();
        let trim = 0.1 * (0.5 - contact);
        for half in [0.0, 0.5] {
            let within = |phase: f64| phase >= half + contact + trim && phase <= half + 0.5 - trim;
            let phases = (0..MOMENTS).map(|i| i as f64 / (MOMENTS - 1) as f64);
            let point = |phase: f64| Some((phase * stride.time_s(), height_m(stride, phase)?));
            flights.push(phases.filter(|p| within(*p)).filter_map(point).collect());
        }
    }
    flights
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A flight of 90 ms with this fall, as heights.
    fn flight(fall_m_s2: f64) -> Vec<Vec<(f64, f64)>> {
        let times = (0..12).map(|i| f64::from(i) * 0.008);
        vec![times.map(|t| (t, 1.0 + 0.4 * t - 0.5 * fall_m_s2 * t * t)).collect()]
    }

    #[test]
    fn a_body_that_falls_with_g_holds_and_one_that_falls_otherwise_tells_the_likely_error() {
        assert!(free_fall(&flight(9.81), 120.0).unwrap().holds);
        let slow = free_fall(&flight(9.81 / 16.0), 30.0).unwrap();
        assert!(!slow.holds && slow.what_to_do.contains("filmed at 120 frames/s"), "{slow:?}");
        let fast = free_fall(&flight(9.81 * 16.0), 240.0).unwrap();
        assert!(!fast.holds && fast.what_to_do.contains("filmed at 60 frames/s"), "{fast:?}");
        let long = free_fall(&flight(9.81 * 1.5), 120.0).unwrap();
        assert!(!long.holds && long.what_to_do.contains("50 % too long"), "{long:?}");
        let never = free_fall(&flight(-2.0), 120.0).unwrap();
        assert!(!never.holds && never.what_to_do.contains("does not fall"), "{never:?}");
    }
}
