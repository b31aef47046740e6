//! Reads the number that was entered.

/// The numbers that a field accepts, in its unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Range {
    /// The least.
    pub min_shown: f64,
    /// The greatest.
    pub max_shown: f64,
}

/// Why an entry is refused.
#[derive(Clone, Debug, PartialEq)]
pub enum NumberError {
    /// The number is outside of the range.
    OutOfRange {
        /// The number.
        value_shown: f64,
    },
    /// The text is no number.
    NotANumber {
        /// The text, with a decimal point.
        text: String,
    },
}

/// The number in a text, with a decimal point or comma; `None` if the text is empty.
///
/// # Errors
/// If the text is not a number of this range.
pub fn read_number(text: &str, range: Range) -> Result<Option<f64>, NumberError> {
    let text = text.trim().replace(',', ".");
    if text.is_empty() {
        return Ok(None);
    }
    match text.parse::<f64>() {
        Ok(value) if value.is_finite() && value >= range.min_shown && value <= range.max_shown => {
            Ok(Some(value))
        }
        Ok(value_shown) if value_shown.is_finite() => Err(NumberError::OutOfRange { value_shown }),
        _ => Err(NumberError::NotANumber { text }),
    }
}

#[cfg(test)]
mod tests {
    use super::{NumberError, Range, read_number};

    const UNIT: Range = Range { min_shown: 0.0, max_shown: 1.0 };
    const MASS: Range = Range { min_shown: 15.0, max_shown: 300.0 };

    #[test]
    fn a_comma_is_read_as_a_decimal_point() {
        assert_eq!(read_number(" 62,5 ", MASS), Ok(Some(62.5)));
    }

    #[test]
    fn a_number_out_of_range_and_a_text_are_refused() {
        let not_a_number = |text: &str| Err(NumberError::NotANumber { text: text.to_owned() });
        assert_eq!(read_number("0", MASS), Err(NumberError::OutOfRange { value_shown: 0.0 }));
        assert_eq!(read_number("NaN", UNIT), not_a_number("NaN"));
        assert_eq!(read_number("inf", UNIT), not_a_number("inf"));
        assert_eq!(read_number("", UNIT), Ok(None));
    }
}
