//! Checks of scale, frame rate, tracking and speed by physics alone.

use super::energy::GRAVITY_M_S2;
use super::flight::{Flight, explaining_rate_hz, is_free_fall, mean_fall};
use super::motion::{SAMPLES, StrideMotion};
use crate::landmark::Landmark;
use crate::statistics::{mean, sd};

/// The result of one physical check.
#[derive(Clone, Debug, PartialEq)]
pub struct Check {
    /// Stable name: `free_fall`, `segment_length_near_shank`, `plant_foot_speed`, `momentum`.
    pub key: String,
    /// Whether it holds.
    pub holds: bool,
    /// The finding in words, with numbers and units.
    pub found: String,
    /// What to do if it does not hold; empty if it holds.
    pub what_to_do: String,
}

fn check(key: &str, holds: bool, found: String, what_to_do: &str) -> Check {
    let what_to_do = if holds { String::new() } else { what_to_do.to_owned() };
    Check { key: key.to_owned(), holds, found, what_to_do }
}

/// In flight the centre of mass falls with g.
#[must_use]
pub fn free_fall(flights: &[Flight], rate_hz: f64) -> Option<Check> {
    let mean_fall = mean_fall(flights)?;
    let (fall, count) = (mean_fall.fall_m_s2, mean_fall.flights);
    let ratio = fall / GRAVITY_M_S2;
    let found = format!(
        "In flight the centre of mass falls with {fall:.1} m/s² ({GRAVITY_M_S2} is expected, {count} flights)."
    );
    let what_to_do = match explaining_rate_hz(ratio, rate_hz) {
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
    Some(check("free_fall", is_free_fall(fall), found, &what_to_do))
}

/// Chosen: skin over the greater trochanter and the knee moves by some centimetres; a larger fraction of a segment's
/// length means a lost mark or a runner who does not move square to the camera.
const LENGTH_SD_RATIO: f64 = 0.06;

/// A segment whose length is checked.
struct CheckedSegment {
    key: &'static str,
    name: &'static str,
    from: Landmark,
    to: Landmark,
}

const CHECKED_SEGMENTS: [CheckedSegment; 4] = [
    CheckedSegment {
        key: "segment_length_near_thigh",
        name: "thigh",
        from: Landmark::NearHip,
        to: Landmark::NearKnee,
    },
    CheckedSegment {
        key: "segment_length_near_shank",
        name: "shank",
        from: Landmark::NearKnee,
        to: Landmark::NearAnkle,
    },
    CheckedSegment {
        key: "segment_length_near_upper_arm",
        name: "upper arm",
        from: Landmark::NearShoulder,
        to: Landmark::NearElbow,
    },
    CheckedSegment {
        key: "segment_length_near_forearm",
        name: "forearm",
        from: Landmark::NearElbow,
        to: Landmark::NearWrist,
    },
];

/// The segments of the near side keep their lengths.
#[must_use]
pub fn segment_lengths(strides: &[StrideMotion]) -> Vec<Check> {
    let of = |segment: &CheckedSegment| {
        let CheckedSegment { key, name, from, to } = segment;
        let samples = strides.iter().flat_map(|s| &s.samples);
        let lengths: Vec<f64> = samples
            .filter_map(|s| Some((s.position_m(*to)? - s.position_m(*from)?).norm()))
            .collect();
        let (mean_m, sd_m) = (mean(&lengths)?, sd(&lengths)?);
        let found = format!(
            "The near {name} is {:.1} cm long and varies by {:.1} % (SD).",
            mean_m * 100.0,
            sd_m / mean_m * 100.0
        );
        let what_to_do = format!(
            "Look at the marks at both ends of the {name}, and whether the runner goes square to the camera."
        );
        Some(check(key, sd_m <= LENGTH_SD_RATIO * mean_m, found, &what_to_do))
    };
    CHECKED_SEGMENTS.iter().filter_map(of).collect()
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
    let what_to_do = "Check the entered speed, the scale and the filmed rate in the step Scale.";
    Some(check("plant_foot_speed", holds, found, what_to_do))
}

/// Over a whole stride the mean vertical acceleration is zero.
#[must_use]
pub fn momentum(strides: &[StrideMotion]) -> Option<Check> {
    let mean_m_s2 = |s: &StrideMotion| {
        let v = |i: usize| s.samples.get(i).map(|m| m.centre.velocity_m_s.y);
        Some((v(SAMPLES - 1)? - v(0)?) / s.stride.time_s())
    };
    let all: Vec<f64> = strides.iter().filter_map(mean_m_s2).collect();
    let mean_m_s2 = mean(&all)?;
    let found = format!(
        "Over a stride the mean vertical acceleration is {mean_m_s2:.2} m/s² (zero is expected)."
    );
    // Chosen: a twentieth of g, five times what clean clips show.
    let holds = mean_m_s2.abs() <= 0.05 * GRAVITY_M_S2;
    Some(check("momentum", holds, found, "Check the contacts in the step Strides."))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measures::flight::HeightSample;

    /// A flight of 90 ms with this fall.
    fn flight(fall_m_s2: f64) -> Vec<Flight> {
        let times = (0..12).map(|i| f64::from(i) * 0.008);
        let sample =
            |t| HeightSample { time_s: t, height_m: 1.0 + 0.4 * t - 0.5 * fall_m_s2 * t * t };
        vec![times.map(sample).collect()]
    }

    #[test]
    fn a_fall_with_g_holds_and_another_fall_names_the_likely_error() {
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
