//! A landmark's filtered movement: place, velocity and acceleration at any time within its stretches.

use super::interpolate::around;
use super::{Biquad, Grid, Run, central_difference, low_pass, second_difference, usual_padding};
use nalgebra::Vector2;

/// How a place moves at one time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct State {
    /// Place. m.
    pub position_m: Vector2<f64>,
    /// Velocity. m/s.
    pub velocity_m_s: Vector2<f64>,
    /// Acceleration. m/s2.
    pub acceleration_m_s2: Vector2<f64>,
}

impl State {
    /// `self + (other - self) weight`, for place, velocity and acceleration alike.
    #[must_use]
    pub fn blend(self, other: State, weight: f64) -> State {
        State {
            position_m: self.position_m.lerp(&other.position_m, weight),
            velocity_m_s: self.velocity_m_s.lerp(&other.velocity_m_s, weight),
            acceleration_m_s2: self.acceleration_m_s2.lerp(&other.acceleration_m_s2, weight),
        }
    }
}

/// Chosen: the filter's mirrored ends bend the derivatives of the outermost samples; three are not used.
/// Source: reference practice of leaving out the first and last three to five samples.
const UNUSED_END_SAMPLES: usize = 3;

/// The filtered movement of one landmark.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Track {
    stretches: Vec<Stretch>,
}

#[derive(Clone, Debug, PartialEq)]
struct Stretch {
    first: usize,
    states: Vec<State>,
}

impl Track {
    /// Filters each stretch and differentiates it; the outermost samples are dropped.
    #[must_use]
    pub fn new(runs: &[Run], cutoff_hz: f64, grid: &Grid) -> Self {
        let filter = Biquad::zero_lag(cutoff_hz, grid.rate_hz);
        let padding = usual_padding(cutoff_hz, grid.rate_hz);
        let smooth = |series: &[f64]| low_pass(series, &filter, padding);
        let stretches = runs
            .iter()
            .filter(|run| run.len() > 2 * UNUSED_END_SAMPLES + 3)
            .map(|run| Stretch {
                first: run.first + UNUSED_END_SAMPLES,
                states: states(&smooth(&run.x_m), &smooth(&run.y_m), grid.rate_hz),
            })
            .collect();
        Self { stretches }
    }

    /// The state at a fractional index of the grid; none in gaps and at the ends.
    #[must_use]
    pub fn at(&self, index: f64) -> Option<State> {
        let stretch = self.stretches.iter().find(|s| {
            index >= s.first as f64 - 1e-9
                && index <= (s.first + s.states.len()) as f64 - 1.0 + 1e-9
        })?;
        let (left, weights) = around(stretch.states.len(), index - stretch.first as f64)?;
        let four = stretch.states.get(left..left + 4)?;
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

    /// The state at a sample of the grid; none in gaps and at the ends.
    #[must_use]
    pub fn sample(&self, index: usize) -> Option<&State> {
        let stretch = self.stretches.iter().rev().find(|s| s.first <= index)?;
        stretch.states.get(index - stretch.first)
    }

    /// Every state that there is, in order of time.
    pub fn states(&self) -> impl Iterator<Item = (usize, &State)> {
        self.stretches
            .iter()
            .flat_map(|s| s.states.iter().enumerate().map(|(i, state)| (s.first + i, state)))
    }

    /// Whether there is no state at all.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.stretches.is_empty()
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
