//! What is wrong with the entry of a field, and what it accepts.

/// A number outside of its range.
#[must_use]
pub fn out_of_range(value: f64, min: f64, max: f64) -> String {
    format!("{value} is not possible here: enter {min} to {max}.")
}

/// A text that is no number.
#[must_use]
pub fn not_a_number(text: &str, min: f64, max: f64) -> String {
    format!("“{text}” is not a number: enter {min} to {max}.")
}
