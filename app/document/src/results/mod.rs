//! The document turned into what is shown. Pure.
//!
//! # How a number comes to be shown
//! A trial is analysed only when it is complete; until then its result lists what is missing.
//! ```
//! use document::results::{AnalysisInput, ResultCache, WorkStep};
//! use document::session::{ClipInfo, ClipRef, Command, Session, apply};
//! # let info = ClipInfo {
//! #     width_px: 1280,
//! #     height_px: 720,
//! #     codec: "H.264".into(),
//! #     rotation_quarter_turns: 0,
//! #     stamps_s: (0..240).map(|frame| f64::from(frame) / 120.0).collect(),
//! #     filmed_rate_hz: None,
//! # };
//! # let clip =
//! #     ClipRef { name: "a.mp4".into(), size_bytes: 1, fingerprint: String::new(), info: info.into() };
//! let empty = Session::empty("example".into());
//! let add = Command::AddTrial { id: empty.next_trial_id(), name: "easy".into(), clip };
//! let session = apply(&empty, &add)?;
//!
//! let mut cache = ResultCache::new();
//! let input = AnalysisInput::new(&session.trials[0], &session.runner, &session.options);
//! let result = cache.trial(input);
//! let incomplete = result.as_ref().as_ref().unwrap_err();
//! assert_eq!(incomplete.missing[0].step(), WorkStep::Scale);
//! assert_eq!(
//!     incomplete.missing[0].sentence,
//!     "no scale yet: mark two points a known distance apart"
//! );
//! # Ok::<(), document::session::Error>(())
//! ```
//!
//! An estimate is shown in its own unit, with the digits that its uncertainty allows.
//! ```
//! use document::results::measure::row;
//! use mechanics::measures::{Estimate, Measure};
//!
//! let work = Estimate {
//!     values_si: vec![60.1, 61.7],
//!     mean_si: 60.92,
//!     sd_si: Some(0.84),
//!     n: 2,
//!     measured_sd_si: 0.2,
//!     interval_95_si: Some((59.9, 61.9)),
//!     notes: Vec::new(),
//! };
//! let shown = row(Measure::InternalWork).shown(Some(&work));
//! assert_eq!(shown.sentence(), "60.9 ± 0.8 J (n 2)");
//! ```

pub mod analyse;
mod cache;
pub mod chart;
mod compare;
pub mod csv;
pub mod doubt;
pub mod format;
mod input;
mod landmark;
pub mod measure;
mod prerequisites;
pub mod report;
pub mod scene;
mod table;
pub mod timestamps;

pub use analyse::{Incomplete, TrialAnalysis, TrialResult, analyse_trial, metres};
pub use cache::ResultCache;
pub use compare::TrialPair;
pub use input::{AnalysisInput, PointerFirst};
pub use landmark::landmark_name;
pub use prerequisites::{Missing, Requirement, WorkStep};
pub use table::{TextTable, ordinal};
