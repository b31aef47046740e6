//! A synthetic runner whose strides differ, all of whose parameters are known.

use mechanics::analysis::{Cutoff, Surface, Trial};
use mechanics::body::{Joint, Landmark, MarkerSet, Table};
use mechanics::space::{Point, Side};
use std::f64::consts::{PI, TAU};

use super::random::Normal;

/// Parameters of the runner. Both sides move alike, half a stride apart.
#[derive(Clone, Copy, Debug)]
pub struct Runner {
    /// Mean time of a stride.
    pub stride_s: f64,
    /// SD of the stride time over strides.
    pub stride_sd_s: f64,
    /// Mean knee flexion in swing, in addition to 0.2 rad.
    pub bend_rad: f64,
    /// SD of the flexion over strides.
    pub bend_sd_rad: f64,
    /// Mean amplitude of the thigh's swing.
    pub thigh_rad: f64,
    /// SD of the amplitude over strides.
    pub thigh_sd_rad: f64,
}

/// Frame rate of the synthetic trials.
pub const RATE_HZ: f64 = 120.0;

/// Source: 0.245 and 0.246 of the height, here 1.68 m (Drillis and Contini 1966, in Winter 2009, Fig. 4.1).
const THIGH_M: f64 = 0.245 * 1.68;
const SHANK_M: f64 = 0.246 * 1.68;

impl Runner {
    /// A typical runner at 2.8 m/s, with the spread between strides of measured runners.
    pub const TYPICAL: Runner = Runner {
        stride_s: 0.74,
        stride_sd_s: 0.008,
        bend_rad: 1.4,
        bend_sd_rad: 0.035,
        thigh_rad: 0.45,
        thigh_sd_rad: 0.012,
    };

    /// The same runner with equal strides.
    pub fn even(self) -> Runner {
        Runner { stride_sd_s: 0.0, bend_sd_rad: 0.0, thigh_sd_rad: 0.0, ..self }
    }

    /// The runner filmed over this many strides, every landmark of the set marked without error.
    pub fn filmed(self, strides: usize, set: MarkerSet, seed: u64) -> Trial {
        let mut normal = Normal::seeded(seed);
        let mut draw = |mean: f64, sd: f64| -> Vec<f64> {
            (0..strides + 3).map(|_| mean + sd * normal.draw()).collect()
        };
        let stride_times_s = draw(self.stride_s, self.stride_sd_s);
        let (bends, thighs) =
            (draw(self.bend_rad, self.bend_sd_rad), draw(self.thigh_rad, self.thigh_sd_rad));
        let frames = (strides as f64 * self.stride_s * RATE_HZ) as usize;
        let times_s: Vec<f64> = (0..frames).map(|i| i as f64 / RATE_HZ).collect();
        let cycles: Vec<f64> = times_s.iter().map(|t| cycle(&stride_times_s, *t)).collect();
        let positions = |l: &Landmark| -> Vec<Option<Point>> {
            let side = l.side().unwrap_or(Side::Near);
            let at = |c: &f64| {
                let (bend_rad, swing_rad) = (smooth(&bends, *c), smooth(&thighs, *c));
                position(l.joint(), side, *c, Pose { bend_rad, swing_rad })
            };
            cycles.iter().map(|c| Some(at(c))).collect()
        };
        Trial {
            points: set.landmarks().iter().map(|l| (*l, positions(l))).collect(),
            ..super::trial_of(times_s, set)
        }
    }
}

/// Number of strides done by a time; a whole number at each contact.
fn cycle(stride_times_s: &[f64], time_s: f64) -> f64 {
    let mut start_s = 0.0;
    for (i, stride_s) in stride_times_s.iter().enumerate() {
        if time_s < start_s + stride_s {
            return i as f64 + (time_s - start_s) / stride_s;
        }
        start_s += stride_s;
    }
    stride_times_s.len() as f64
}

/// A value per stride as a function of time that changes smoothly after each contact.
fn smooth(values: &[f64], cycle: f64) -> f64 {
    let here = (cycle.floor() as usize).min(values.len() - 2);
    let part = cycle - here as f64;
    // Half a cosine over the first quarter of the stride, when neither flexion nor swing is large.
    let weight = if part < 0.25 { 0.5 - 0.5 * (4.0 * PI * part).cos() } else { 1.0 };
    let before = values[here.saturating_sub(1)];
    before + (values[here] - before) * weight
}

/// Knee flexion in swing and amplitude of the thigh's swing in one stride.
struct Pose {
    bend_rad: f64,
    swing_rad: f64,
}

/// Position of a landmark after this many strides; the far side is half a stride later.
fn position(joint: Joint, side: Side, cycle: f64, pose: Pose) -> Point {
    let part = (cycle + if side == Side::Far { 0.5 } else { 0.0 }).rem_euclid(1.0);
    let phase = TAU * part;
    let thigh = 0.15 + pose.swing_rad * (phase + 0.4).cos();
    let bump = |at: f64, sharp: f64| (sharp * ((TAU * (part - at)).cos() - 1.0)).exp();
    let knee = 0.2 + 0.4 * bump(0.15, 4.0) + pose.bend_rad * bump(0.68, 1.6);
    let along = |from: (f64, f64), angle: f64, length: f64| {
        (from.0 + length * angle.sin(), from.1 - length * angle.cos())
    };
    let hip = (0.02 * (2.0 * phase).sin(), 0.95 + 0.03 * (2.0 * phase).cos());
    let knee_at = along(hip, thigh, THIGH_M);
    let ankle = along(knee_at, thigh - knee, SHANK_M);
    let shoulder = (0.05 + hip.0, hip.1 + 0.5);
    let elbow = along(shoulder, -0.5 * phase.cos(), 0.3);
    let (x_m, y_m) = match joint {
        Joint::Hip => hip,
        Joint::Knee => knee_at,
        Joint::Ankle => ankle,
        Joint::Heel => along(ankle, thigh - knee - 0.6, 0.08),
        Joint::Toe => along(ankle, thigh - knee + 1.0, 0.14),
        Joint::Shoulder | Joint::Neck => shoulder,
        Joint::Elbow => elbow,
        Joint::Wrist => along(elbow, 1.3 - 0.5 * phase.cos(), 0.26),
        Joint::Head => (0.08 + hip.0, shoulder.1 + 0.25),
    };
    Point { x_m, y_m }
}

/// A trial with the errors of a measurement: a constant error of every marker, white noise, a wrong scale.
pub fn measured(mut trial: Trial, noise_m: f64, seed: u64) -> Trial {
    let mut normal = Normal::seeded(seed);
    let scale = 1.0 + trial.scale_sd_ratio * normal.draw();
    for points in trial.points.values_mut() {
        let off = (trial.marker_sd_m * normal.draw(), trial.marker_sd_m * normal.draw());
        for point in points.iter_mut().flatten() {
            point.x_m = scale * (point.x_m + off.0 + noise_m * normal.draw());
            point.y_m = scale * (point.y_m + off.1 + noise_m * normal.draw());
        }
    }
    trial
}

/// The trial with Winter's table and a fixed cut-off.
pub fn fixed(trial: Trial, cutoff_hz: f64) -> Trial {
    Trial {
        cutoff: Cutoff::Fixed { cutoff_hz },
        table: Table::WinterDempster,
        surface: Surface::Belt,
        ..trial
    }
}
