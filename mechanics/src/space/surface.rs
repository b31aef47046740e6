//! The surface that the runner runs on.

use serde::{Deserialize, Serialize};

/// The surface that the runner runs on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Surface {
    /// A treadmill's belt: the body stays, the belt moves.
    Belt,
    /// The ground: the body moves.
    Ground,
}
