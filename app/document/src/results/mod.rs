//! The document turned into what is shown. Pure.

pub mod analyse;
pub mod chart;
pub mod csv;
pub mod doubt;
pub mod format;
pub mod measure;
pub mod report;
pub mod scene;
pub mod timestamps;

mod cache;
mod prerequisites;

pub use analyse::{Analysed, Lacking, TrialResult, analyse_trial, compare_trials, metres};
pub use cache::{Memo, Pair};
pub use prerequisites::{Missing, Step, landmark_key, landmark_name};
