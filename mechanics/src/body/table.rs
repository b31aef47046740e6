//! The choice of segment table.

use serde::{Deserialize, Serialize};

/// The published table that gives the masses, centres and radii of gyration of the segments.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Table {
    /// Winter 2009, Table 4.1, after Dempster 1955.
    WinterDempster,
    /// de Leva 1996, women.
    DeLevaFemale,
    /// de Leva 1996, men.
    DeLevaMale,
}
