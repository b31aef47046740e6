//! Buffers of the appearance models.

use crate::point::{AffineScratch, FlowScratch, RigidScratch};

/// Buffers kept from call to call.
#[derive(Debug, Default)]
pub(in crate::track) struct AppearanceScratch {
    pub flow: FlowScratch,
    pub rigid: RigidScratch,
    pub affine: AffineScratch,
}
