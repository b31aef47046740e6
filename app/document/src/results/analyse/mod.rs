//! A trial of the session analysed: the only place where pixels become metres.

mod plane;
mod prepare;
mod scale_check;
mod trial;

pub use plane::{metres, metres_per_pixel};
pub use trial::{Incomplete, TrialAnalysis, TrialResult, analyse_trial};
