//! Comma-separated files as a spreadsheet reads them, for holding what the page saves against numbers computed here.

use crate::browser::Result;
use std::collections::BTreeMap;

/// Rows by heading.
///
/// # Errors
/// When a row is not as long as the headings.
pub fn rows(text: &str) -> Result<Vec<BTreeMap<String, String>>> {
    let mut lines = cells(text).into_iter();
    let head = lines.next().ok_or("an empty file")?;
    let mut all = Vec::new();
    for line in lines {
        if line.len() != head.len() {
            return Err(
                format!("{} cells under {} headings: {line:?}", line.len(), head.len()).into()
            );
        }
        all.push(head.iter().cloned().zip(line).collect());
    }
    Ok(all)
}

/// All cells; quotes hold commas, line ends and doubled quotes (RFC 4180).
fn cells(text: &str) -> Vec<Vec<String>> {
    let (mut lines, mut line, mut cell, mut quoted) =
        (Vec::new(), Vec::new(), String::new(), false);
    let mut signs = text.chars().peekable();
    while let Some(sign) = signs.next() {
        match sign {
            '"' if quoted && signs.peek() == Some(&'"') => {
                signs.next();
                cell.push('"');
            }
            '"' => quoted = !quoted,
            ',' if !quoted => line.push(std::mem::take(&mut cell)),
            '\r' if !quoted => {}
            '\n' if !quoted => {
                line.push(std::mem::take(&mut cell));
                lines.push(std::mem::take(&mut line));
            }
            other => cell.push(other),
        }
    }
    lines
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
