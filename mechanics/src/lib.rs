//! Two-dimensional mechanics of running: positions in metres in, measures with their uncertainty out.
//!
//! Pure: no files, no clock, no browser, no randomness without a seed. SI units; x points forward, y up;
//! angles are in radians, counter-clockwise. Begin reading at [`analysis::analyse`]; internal work is in
//! [`measures::energy`], pixels become metres in [`calibration`].
//!
//! # From positions to internal work, and the difference of two trials
//! ```
//! use mechanics::analysis::{Cutoff, Surface, Trial, analyse};
//! use mechanics::body::{Joint, MarkerSet, Table};
//! use mechanics::comparison::{AnalysedTrial, compare};
//! use mechanics::measures::Measure;
//! use mechanics::space::Point;
//!
//! # /// A synthetic runner on a belt: hinged rods at 1.35 strides a second.
//! # fn position(joint: Joint, time_s: f64, knee_flexion_rad: f64) -> Point {
//! #     let phase = std::f64::consts::TAU * 1.35 * time_s;
//! #     let part = (1.35 * time_s).rem_euclid(1.0);
//! #     let bump = |at: f64, width: f64| (-((part - at) / width).powi(2)).exp();
//! #     let thigh = 0.15 + 0.45 * phase.cos();
//! #     let shank = thigh - 0.2 - 0.5 * bump(0.15, 0.09) - knee_flexion_rad * bump(0.69, 0.13);
//! #     let along = |(x_m, y_m): (f64, f64), angle_rad: f64, length_m: f64| {
//! #         (x_m + length_m * angle_rad.sin(), y_m - length_m * angle_rad.cos())
//! #     };
//! #     let hip = (0.0, 0.95 + 0.03 * (2.0 * phase).cos());
//! #     let knee = along(hip, thigh, 0.43);
//! #     let ankle = along(knee, shank, 0.43);
//! #     let (x_m, y_m) = match joint {
//! #         Joint::Hip => hip,
//! #         Joint::Knee => knee,
//! #         Joint::Ankle => ankle,
//! #         Joint::Heel => along(ankle, shank - 0.6, 0.08),
//! #         Joint::Toe => along(ankle, shank + 1.0, 0.14),
//! #         _ => (0.05, hip.1 + 0.5),
//! #     };
//! #     Point { x_m, y_m }
//! # }
//! // Positions of the marked landmarks, one a frame: here of a synthetic runner on a belt.
//! let run = |knee_flexion_rad: f64| {
//!     let times_s: Vec<f64> = (0..500).map(|frame| f64::from(frame) / 120.0).collect();
//!     let marker_set = MarkerSet::Legs;
//!     let points = marker_set.landmarks().iter().map(|landmark| {
//!         let at = |time_s: &f64| Some(position(landmark.joint(), *time_s, knee_flexion_rad));
//!         (*landmark, times_s.iter().map(at).collect())
//!     });
//!     Trial {
//!         points: points.collect(),
//!         times_s,
//!         marker_set,
//!         mass_kg: 62.0,
//!         height_m: None,
//!         table: Table::WinterDempster,
//!         speed_m_s: Some(2.8),
//!         surface: Surface::Belt,
//!         cutoff: Cutoff::Automatic,
//!         event_edits: Vec::new(),
//!         marker_sd_m: 0.001,
//!         scale_sd_ratio: 0.003,
//!         vertical_sd_rad: 0.0,
//!     }
//! };
//! let (first, second) = (run(1.4), run(1.8));
//! let (low, high) = (analyse(&first)?, analyse(&second)?);
//!
//! let work = &low.measures[&Measure::InternalWork];
//! assert_eq!(work.n, low.strides.len());
//! assert!(work.mean_si > 0.0, "{} J a stride", work.mean_si);
//!
//! let comparison = compare(
//!     AnalysedTrial { trial: &first, analysis: &low },
//!     AnalysedTrial { trial: &second, analysis: &high },
//!     1,
//! );
//! let heel_lift = &comparison.differences[&Measure::HeelLift];
//! assert!(heel_lift.seen && heel_lift.difference_si > 0.0);
//! # Ok::<(), mechanics::Error>(())
//! ```

// The synthetic runner of benches and tests names this crate from outside.
#[cfg(test)]
extern crate self as mechanics;

pub mod analysis;
pub mod body;
pub mod calibration;
pub mod comparison;
pub mod error;
pub mod gait;
mod landmark;
pub mod limits;
pub mod measures;
pub mod note;
pub mod signal;
pub mod source;
pub mod space;
pub mod statistics;

#[cfg(test)]
#[path = "../benches/synthetic/mod.rs"]
mod synthetic;

pub use error::Error;
pub use note::Note;
