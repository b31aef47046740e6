//! A landmark's filtered motion: position, velocity and acceleration at any time within its segments.

use super::derivative::{central_difference, second_difference};
use super::filter::{Biquad, default_padding, low_pass};
use super::grid::Grid;
use super::interpolate::cubic_weights;
use super::segment::TrackSegment;
use nalgebra::Vector2;

/// Position, velocity and acceleration of a point at one time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct State {
    /// Position. m.
    pub position_m: Vector2<f64>,
    /// Velocity. m/s.
    pub velocity_m_s: Vector2<f64>,
    /// Acceleration. m/s2.
    pub acceleration_m_s2: Vector2<f64>,
}

impl State {
    /// `self + (other - self) weight`, for position, velocity and acceleration alike.
    #[must_use]
    pub fn blend(self, other: State, weight: f64) -> State {
        State {
            position_m: self.position_m.lerp(&other.position_m, weight),
            velocity_m_s: self.velocity_m_s.lerp(&other.velocity_m_s, weight),
            acceleration_m_s2: self.acceleration_m_s2.lerp(&other.acceleration_m_s2, weight),
        }
    }
}

/// Chosen: the filter's reflected ends distort the derivatives of the outermost samples, so that three are dropped;
/// common practice drops three to five.
const UNUSED_END_SAMPLES: usize = 3;

/// The filtered motion of one landmark.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Track {
    segments: Vec<FilteredSegment>,
}

#[derive(Clone, Debug, PartialEq)]
struct FilteredSegment {
    first: usize,
    states: Vec<State>,
}

impl Track {
    /// Filters and differentiates each segment; the outermost samples are dropped.
    #[must_use]
    pub fn new(raw: &[TrackSegment], cutoff_hz: f64, grid: &Grid) -> Self {
        let filter = Biquad::zero_lag(cutoff_hz, grid.rate_hz);
        let padding = default_padding(cutoff_hz, grid.rate_hz);
        let smooth = |series: &[f64]| low_pass(series, &filter, padding);
        let segments = raw
            .iter()
            .filter(|raw| raw.len() > 2 * UNUSED_END_SAMPLES + 3)
            .map(|raw| FilteredSegment {
                first: raw.first + UNUSED_END_SAMPLES,
                states: states(&smooth(&raw.x_m), &smooth(&raw.y_m), grid.rate_hz),
            })
            .collect();
        Self { segments }
    }

    /// The state at a fractional grid index; none in gaps and at the ends.
    #[must_use]
    pub fn at(&self, index: f64) -> Option<State> {
        let segment = self.segments.iter().find(|s| {
            index >= s.first as f64 - 1e-9
                && index <= (s.first + s.states.len()) as f64 - 1.0 + 1e-9
        })?;
        let (left, weights) = cubic_weights(segment.states.len(), index - segment.first as f64)?;
        let four = segment.states.get(left..left + 4)?;
        let mut sum = State {
            position_m: Vector2::zeros(),
            velocity_m_s: Vector2::zeros(),
            acceleration_m_s2: Vector2::zeros(),
        };
        for (state, weight) in four.iter().zip(weights) {
            sum.position_m += state.position_m * weight;
            sum.velocity_m_s += state.velocity_m_s * weight;
            sum.acceleration_m_s2 += state.acceleration_m_s2 * weight;
        }
        Some(sum)
    }

    /// The state at a grid sample; none in gaps and at the ends.
    #[must_use]
    pub fn sample(&self, index: usize) -> Option<&State> {
        let segment = self.segments.iter().rev().find(|s| s.first <= index)?;
        segment.states.get(index - segment.first)
    }

    /// All states with their grid indices, in time order.
    pub fn states(&self) -> impl Iterator<Item = (usize, &State)> {
        self.segments
            .iter()
            .flat_map(|s| s.states.iter().enumerate().map(|(i, state)| (s.first + i, state)))
    }

    /// Whether the track has no state.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.segments.is_empty()
    }
}

fn states(x_m: &[f64], y_m: &[f64], rate_hz: f64) -> Vec<State> {
    let (vx, vy) = (central_difference(x_m, rate_hz), central_difference(y_m, rate_hz));
    let (ax, ay) = (second_difference(x_m, rate_hz), second_difference(y_m, rate_hz));
    let used = x_m.len() - 2 * UNUSED_END_SAMPLES;
    let inner = |series: &[f64], dropped: usize| -> Vec<f64> {
        series.iter().skip(UNUSED_END_SAMPLES - dropped).take(used).copied().collect()
    };
    let pair = |x: &[f64], y: &[f64], dropped: usize| -> Vec<Vector2<f64>> {
        inner(x, dropped)
            .into_iter()
            .zip(inner(y, dropped))
            .map(|(x, y)| Vector2::new(x, y))
            .collect()
    };
    let (positions, velocities, accelerations) =
        (pair(x_m, y_m, 0), pair(&vx, &vy, 1), pair(&ax, &ay, 1));
    positions
        .into_iter()
        .zip(velocities)
        .zip(accelerations)
        .map(|((position, velocity), acceleration)| State {
            position_m: position,
            velocity_m_s: velocity,
            acceleration_m_s2: acceleration,
        })
        .collect()
}
