//! The document turned into what is shown. Pure.

pub mod analyse;
pub mod chart;
pub mod csv;
pub mod doubt;
pub mod format;
pub mod measure;
pub mod report;
pub mod scene;
pub mod stamps;

mod memo;
mod missing;

pub use analyse::{Analysed, Lacking, TrialResult, analyse_trial, compare_trials, metres};
pub use memo::{Memo, Pair};
pub use missing::{Missing, Step, landmark_key, landmark_name};
