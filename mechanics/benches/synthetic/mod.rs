//! A synthetic runner, for benches and tests.

#![allow(dead_code, reason = "each use needs a part of it")]

use mechanics::analysis::{Cutoff, Surface, Trial};
use mechanics::body::{Joint, MarkerSet, Table};
use mechanics::space::{Point, Side};

/// Position of a landmark: legs and arms swing as two hinged rods each, at 1.35 strides a second.
fn position(joint: Joint, side: Side, time_s: f64, fold_rad: f64) -> Point {
    let phase = std::f64::consts::TAU * 1.35 * time_s
        + if side == Side::Far { std::f64::consts::PI } else { 0.0 };
    let thigh = 0.15 + 0.45 * phase.cos();
    let part = (phase / std::f64::consts::TAU).rem_euclid(1.0);
    let bump = |at: f64, width: f64| (-((part - at) / width).powi(2)).exp();
    let knee = 0.2 + 0.5 * bump(0.15, 0.09) + fold_rad * bump(0.69, 0.13);
    let along = |from: (f64, f64), angle: f64, length: f64| {
        (from.0 + length * angle.sin(), from.1 - length * angle.cos())
    };
    let hip = (0.0, 0.95 + 0.03 * (2.0 * phase).cos());
    let knee_at = along(hip, thigh, 0.43);
    let ankle = along(knee_at, thigh - knee, 0.43);
    let shoulder = (0.05, hip.1 + 0.5);
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
        Joint::Head => (0.08, shoulder.1 + 0.25),
    };
    Point { x_m, y_m }
}

/// A synthetic runner on a belt.
#[must_use]
pub fn trial(frames: usize, rate_hz: f64, marker_set: MarkerSet) -> Trial {
    folding(frames, rate_hz, marker_set, 1.4)
}

/// The same runner, near side, with more knee flexion in swing.
#[must_use]
pub fn lifted(frames: usize, rate_hz: f64) -> Trial {
    folding(frames, rate_hz, MarkerSet::NearSide, 1.8)
}

fn folding(frames: usize, rate_hz: f64, marker_set: MarkerSet, fold_rad: f64) -> Trial {
    let times_s: Vec<f64> = (0..frames).map(|i| i as f64 / rate_hz).collect();
    let track = |l: &mechanics::body::Landmark| {
        let side = l.side().unwrap_or(Side::Near);
        (*l, times_s.iter().map(|t| Some(position(l.joint(), side, *t, fold_rad))).collect())
    };
    Trial {
        points: marker_set.landmarks().iter().map(track).collect(),
        times_s,
        marker_set,
        mass_kg: 62.0,
        height_m: Some(1.75),
        table: Table::WinterDempster,
        speed_m_s: Some(2.8),
        surface: Surface::Belt,
        cutoff: Cutoff::Automatic,
        event_edits: Vec::new(),
        marker_sd_m: 0.0006,
        scale_sd_ratio: 0.003,
        vertical_sd_rad: 0.0,
    }
}
