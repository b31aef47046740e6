//! Trials for the tests: measured running from files beside the project, if they exist, and changes to trials.

#![allow(dead_code, reason = "each test file uses a part of it")]

use mechanics::analysis::{Analysis, Cutoff, Surface, Trial, analyse};
use mechanics::body::{MarkerSet, Table};
use mechanics::measures::Measure;
use mechanics::space::{Point, Side};
use random::Normal;
use std::collections::BTreeMap;
use std::path::PathBuf;

#[path = "../../examples/measure/positions.rs"]
pub mod positions;
pub mod random;
pub mod runner;

/// The text of a file of the shared folder; prints that the test is not run if the file does not exist.
pub fn shared(name: &str) -> Option<String> {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../shared").join(name);
    let text = std::fs::read_to_string(&path).ok();
    if text.is_none() {
        println!("NOT RUN: {} does not exist", path.display());
    }
    text
}

/// A trial on a belt at 2.5 m/s, without positions.
pub fn trial_of(times_s: Vec<f64>, marker_set: MarkerSet) -> Trial {
    Trial {
        times_s,
        points: BTreeMap::new(),
        marker_set,
        mass_kg: 62.0,
        height_m: None,
        table: Table::WinterDempster,
        speed_m_s: Some(2.5),
        surface: Surface::Belt,
        cutoff: Cutoff::Automatic,
        event_edits: Vec::new(),
        marker_sd_m: 0.0,
        scale_sd_ratio: 0.0,
        vertical_sd_rad: 0.0,
    }
}

/// A trial on a belt at 2.5 m/s from a file of positions.
pub fn trial(text: &str, marker_set: MarkerSet, mass_kg: f64) -> Trial {
    let positions = positions::read(text).unwrap();
    let points = positions.points;
    Trial { points, mass_kg, ..trial_of(positions.times_s, marker_set) }
}

/// The same trial without its far side.
pub fn near_only(mut trial: Trial) -> Trial {
    trial.points.retain(|l, _| l.side() != Some(Side::Far));
    trial
}

/// The same trial with white noise on every coordinate.
pub fn noisy(mut trial: Trial, sd_m: f64, seed: u64) -> Trial {
    let mut normal = Normal::seeded(seed);
    for point in trial.points.values_mut().flatten().flatten() {
        point.x_m += sd_m * normal.draw();
        point.y_m += sd_m * normal.draw();
    }
    trial
}

/// Every n-th frame of the trial.
pub fn thinned(mut trial: Trial, n: usize) -> Trial {
    trial.times_s = trial.times_s.into_iter().step_by(n).collect();
    for points in trial.points.values_mut() {
        *points = points.iter().copied().step_by(n).collect();
    }
    trial
}

/// The same movement filmed at another rate, by the cubic through the four frames around each instant.
pub fn at_rate(mut trial: Trial, rate_hz: f64) -> Trial {
    let (old_s, points) = (trial.times_s.clone(), &mut trial.points);
    let (first_s, step_s) = (old_s[0], old_s[1] - old_s[0]);
    let frames = ((old_s[old_s.len() - 1] - first_s) * rate_hz) as usize;
    let instant = |k: usize| first_s + k as f64 / rate_hz;
    for track in points.values_mut() {
        let at = |k: usize| {
            let index = (instant(k) - first_s) / step_s;
            let from = (index as usize).clamp(1, track.len() - 3) - 1;
            let u = index - from as f64;
            // Lagrange's polynomial on the nodes 0, 1, 2 and 3.
            let weights = [
                -(u - 1.0) * (u - 2.0) * (u - 3.0) / 6.0,
                u * (u - 2.0) * (u - 3.0) / 2.0,
                -u * (u - 1.0) * (u - 3.0) / 2.0,
                u * (u - 1.0) * (u - 2.0) / 6.0,
            ];
            let mut point = Point { x_m: 0.0, y_m: 0.0 };
            for (weight, known) in weights.iter().zip(&track[from..]) {
                point.x_m += weight * (*known)?.x_m;
                point.y_m += weight * (*known)?.y_m;
            }
            Some(point)
        };
        *track = (0..frames).map(at).collect();
    }
    trial.times_s = (0..frames).map(instant).collect();
    trial
}

/// The mean of a measure.
pub fn mean(analysis: &Analysis, measure: Measure) -> f64 {
    analysis.measures.get(&measure).unwrap_or_else(|| panic!("{measure:?} is missing")).mean_si
}

/// The analysis of a trial that must have one.
pub fn analysed(trial: &Trial) -> Analysis {
    analyse(trial).unwrap()
}
