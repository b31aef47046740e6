//! Rows of a saved CSV file by heading, as a spreadsheet reads them.

use crate::error::Result;
use std::collections::BTreeMap;

/// A row: cells by heading.
pub type Row = BTreeMap<String, String>;

/// All rows.
///
/// # Errors
/// When a row is not as long as the headings.
pub fn rows(text: &str) -> Result<Vec<Row>> {
    let rows = csv::Reader::from_reader(text.as_bytes()).into_deserialize();
    Ok(rows.collect::<std::result::Result<_, _>>()?)
}

#[cfg(test)]
mod tests {
    use super::rows;

    #[test]
    fn quoted_cells_hold_commas_quotes_and_line_ends() {
        let read = rows("a,b\r\n1,\"x, \"\"y\"\"\nz\"\r\n").unwrap_or_default();
        assert_eq!(read.len(), 1);
        assert_eq!(read.first().and_then(|r| r.get("b")).map(String::as_str), Some("x, \"y\"\nz"));
        assert!(rows("a,b\r\n1\r\n").is_err());
    }
}
