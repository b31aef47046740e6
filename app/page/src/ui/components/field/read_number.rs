//! Reads the number that was entered.

use crate::ui::sentences::field;

/// The numbers that a field accepts, in its unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Range {
    /// The least.
    pub min: f64,
    /// The greatest.
    pub max: f64,
}

/// The number in a text, with a decimal point or comma; `None` if the text is empty.
///
/// # Errors
/// A sentence for the field if the text is not a number of this range.
pub fn read_number(text: &str, range: Range) -> Result<Option<f64>, String> {
    let Range { min, max } = range;
    let text = text.trim().replace(',', ".");
    if text.is_empty() {
        return Ok(None);
    }
    match text.parse::<f64>() {
        Ok(value) if value.is_finite() && value >= min && value <= max => Ok(Some(value)),
        Ok(value) if value.is_finite() => Err(field::out_of_range(value, min, max)),
        _ => Err(field::not_a_number(&text, min, max)),
    }
}

#[cfg(test)]
mod tests {
    use super::{Range, read_number};

    const UNIT: Range = Range { min: 0.0, max: 1.0 };
    const MASS: Range = Range { min: 15.0, max: 300.0 };

    #[test]
    fn a_comma_is_read_as_a_decimal_point() {
        assert_eq!(read_number(" 62,5 ", MASS), Ok(Some(62.5)));
    }

    #[test]
    fn a_number_out_of_range_and_a_text_are_refused_with_a_sentence() {
        let refused = Err("0 is not possible here: enter 15 to 300.".into());
        assert_eq!(read_number("0", MASS), refused);
        assert!(read_number("NaN", UNIT).is_err_and(|e| e.contains("not a number")));
        assert!(read_number("inf", UNIT).is_err());
        assert_eq!(read_number("", UNIT), Ok(None));
    }
}
