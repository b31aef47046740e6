//! The errors of one measurement: how they are drawn, and how they move a landmark.

use crate::analysis::Motion;
use crate::body::Landmark;
use crate::measures::motion::MOMENTS;
use crate::signal::{Grid, Run, State, Track};
use crate::statistics::Random;
use nalgebra::{Rotation2, Vector2};
use std::collections::BTreeMap;

/// Filtered white noise of SD 1 m before the filter, as a landmark's movement, long enough for many windows.
///
/// The filter is linear, so that the noise can be filtered by itself and added afterwards; a window that
/// begins at a drawn place of one long series stands for a series drawn anew.
#[derive(Clone, Debug)]
pub struct Noise {
    of_landmark: BTreeMap<Landmark, Track>,
    samples: usize,
}

/// Chosen: some hundred windows that do not overlap, for clips of few strides.
const SPARE_SAMPLES: usize = 8192;

impl Noise {
    /// Noise at the pace of a stride's moments. A frame's error has the power of `SD^2 / rate`, which at
    /// another rate of samples is the same with `SD sqrt(samples a second / rate)`.
    pub fn new(
        (motion, cutoffs_hz): (&Motion, &BTreeMap<Landmark, f64>),
        (rate_hz, stride_s): (f64, f64),
        random: &mut Random,
    ) -> Self {
        let moments_hz = (MOMENTS - 1) as f64 / stride_s;
        let samples = SPARE_SAMPLES + motion.near.len() * MOMENTS;
        let grid = Grid { start_s: 0.0, rate_hz: moments_hz, count: samples };
        let sd_m = (moments_hz / rate_hz).sqrt();
        let mut of = |(landmark, cutoff_hz): (&Landmark, &f64)| {
            let mut series = || (0..samples).map(|_| sd_m * random.normal()).collect::<Vec<f64>>();
            let run = Run { first: 0, x_m: series(), y_m: series() };
            let cutoff_hz = cutoff_hz.min(0.4 * moments_hz);
            (*landmark, Track::new(&[run], cutoff_hz, &grid))
        };
        Self { of_landmark: cutoffs_hz.iter().map(&mut of).collect(), samples }
    }

    /// A place to begin a window in.
    fn window(&self, length: usize, random: &mut Random) -> usize {
        let ends = 8;
        ends + random.below(self.samples.saturating_sub(length + 2 * ends))
    }
}

/// What is wrong with a marker throughout one run.
#[derive(Clone, Copy, Debug)]
struct MarkerError {
    off_m: Vector2<f64>,
    window: usize,
}

/// Everything that is wrong in one run.
pub struct Errors<'a> {
    noise: &'a Noise,
    frame_sd_m: f64,
    markers: [Option<MarkerError>; Landmark::ALL.len()],
    scale_ratio: f64,
    turned: Rotation2<f64>,
}

/// How uncertain a measurement is.
#[derive(Clone, Copy, Debug)]
pub struct Sizes {
    pub marker_sd_m: f64,
    pub scale_sd_ratio: f64,
    pub vertical_sd_rad: f64,
}

impl<'a> Errors<'a> {
    /// Draws scale, upright direction, and for each marker an error that lasts and one that changes from
    /// frame to frame, of the same SD: a follower that slid keeps its error, and the picture's noise is new
    /// in each frame.
    pub fn draw(noise: &'a Noise, length: usize, sizes: Sizes, random: &mut Random) -> Self {
        let mut markers = [None; Landmark::ALL.len()];
        for landmark in noise.of_landmark.keys() {
            let off_m = Vector2::new(random.normal(), random.normal()) * sizes.marker_sd_m;
            let window = noise.window(length, random);
            if let Some(place) = markers.get_mut(landmark.index()) {
                *place = Some(MarkerError { off_m, window });
            }
        }
        Self {
            noise,
            frame_sd_m: sizes.marker_sd_m,
            markers,
            scale_ratio: (1.0 + sizes.scale_sd_ratio * random.normal()).max(0.1),
            turned: Rotation2::new(sizes.vertical_sd_rad * random.normal()),
        }
    }

    /// By how much lengths are wrong.
    pub fn scale_ratio(&self) -> f64 {
        self.scale_ratio
    }

    /// The landmark as this run measures it, `late_s` later than thought, at the `at`-th moment of all.
    pub fn apply(&self, landmark: Landmark, state: &mut State, late_s: f64, at: usize) {
        state.position_m +=
            state.velocity_m_s * late_s + state.acceleration_m_s2 * (0.5 * late_s * late_s);
        state.velocity_m_s += state.acceleration_m_s2 * late_s;
        if let Some(error) = self.markers.get(landmark.index()).copied().flatten() {
            state.position_m += error.off_m;
            let noise = self.noise.of_landmark.get(&landmark);
            if let Some(noise) = noise.and_then(|track| track.sample(error.window + at)) {
                state.position_m += noise.position_m * self.frame_sd_m;
                state.velocity_m_s += noise.velocity_m_s * self.frame_sd_m;
                state.acceleration_m_s2 += noise.acceleration_m_s2 * self.frame_sd_m;
            }
        }
        for vector in [&mut state.position_m, &mut state.velocity_m_s, &mut state.acceleration_m_s2]
        {
            *vector = self.turned * (*vector * self.scale_ratio);
        }
    }
}
