//! What the runner runs on.

use serde::{Deserialize, Serialize};

/// Where the runner runs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Surface {
    /// On a belt: the body stays, the ground moves.
    Belt,
    /// On the ground: the body moves.
    Ground,
}
