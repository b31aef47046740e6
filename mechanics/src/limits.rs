//! What a runner's numbers may be: one table for number fields, checks and error messages.

use std::fmt;

/// The inclusive range of one quantity, in SI units.
///
/// Displayed for a sentence: `between 15 and 300 kg`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limit {
    /// Lowest value allowed.
    pub least_si: f64,
    /// Highest value allowed.
    pub most_si: f64,
    /// Symbol of the unit.
    pub unit: &'static str,
}

impl Limit {
    /// Whether the value lies in the range; not a number does not.
    #[must_use]
    pub fn contains(&self, value_si: f64) -> bool {
        (self.least_si..=self.most_si).contains(&value_si)
    }
}

impl fmt::Display for Limit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "between {} and {} {}", self.least_si, self.most_si, self.unit)
    }
}

/// Body mass. Chosen: wider than any runner, from a small child up, so that only slips are refused.
pub const MASS: Limit = Limit { least_si: 15.0, most_si: 300.0, unit: "kg" };

/// Body height. Chosen: wider than any runner, so that only slips are refused (centimetres for metres among
/// them); the widest range that was ever accepted, so that every saved session stays valid.
pub const HEIGHT: Limit = Limit { least_si: 0.5, most_si: 2.6, unit: "m" };

/// Running speed. Chosen: the fastest sprints stay below 13 m/s; below 0.1 m/s nobody runs, and work by distance
/// divides by the speed.
pub const SPEED: Limit = Limit { least_si: 0.1, most_si: 15.0, unit: "m/s" };

/// Low-pass cut-off. Chosen: below 1 Hz not even a stride passes; above 50 Hz nothing of a runner's movement is left.
pub const CUTOFF: Limit = Limit { least_si: 1.0, most_si: 50.0, unit: "Hz" };

/// Fewest frames of a trial. Chosen: fewer cannot hold a stride at any rate that cameras film at.
pub const LEAST_FRAMES: usize = 10;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_range_contains_its_ends_and_nothing_that_is_not_a_number() {
        assert!(MASS.contains(15.0) && MASS.contains(300.0) && !MASS.contains(14.999));
        assert!(!MASS.contains(f64::NAN) && !MASS.contains(f64::INFINITY));
    }

    #[test]
    fn a_range_is_shown_as_part_of_a_sentence() {
        assert_eq!(MASS.to_string(), "between 15 and 300 kg");
        assert_eq!(SPEED.to_string(), "between 0.1 and 15 m/s");
    }
}
