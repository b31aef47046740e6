//! From a trial's positions to its measures. Begin at [`analyse`].

mod analyse;
mod assemble;
mod curves;
mod flight_height;
mod notes;
mod prepare;
mod result;
mod sensitivity;
mod slow_motion;
mod trial;
mod uncertainty;
mod validate;

pub use crate::gait::{ExcludedStride, Stride};
pub use crate::measures::checks::Check;
pub use crate::signal::{Cutoff, Residuals};
pub use crate::space::Surface;
pub use analyse::{analyse, analyse_with};
pub use result::{Analysis, Curve, Figure, Motion, Quantity};
pub use sensitivity::{Displacement, Sensitivity, sensitivity};
pub use slow_motion::{SlowMotion, detect_slow_motion};
pub use trial::Trial;
