//! Positions and measures as comma-separated files that a spreadsheet opens and never runs.

mod measures;
mod positions;

pub use measures::{measures, measures_of_two};
pub use positions::positions;

/// Builds a file row by row, after RFC 4180.
#[derive(Debug, Default)]
struct Writer {
    text: String,
    in_row: bool,
}

impl Writer {
    /// A cell of words. One that a spreadsheet would run begins with an apostrophe.
    fn words(&mut self, words: &str) -> &mut Self {
        let runs = words.starts_with(['=', '+', '-', '@', '\t', '\r', '\n']);
        let safe = if runs { format!("'{words}") } else { words.to_owned() };
        let quoted = safe.contains([',', '"', '\n', '\r']);
        self.cell(&if quoted { format!("\"{}\"", safe.replace('"', "\"\"")) } else { safe })
    }

    /// A cell with a number, or an empty one.
    fn number(&mut self, value: Option<f64>, decimals: usize) -> &mut Self {
        match value.filter(|v| v.is_finite()) {
            Some(value) => self.cell(&format!("{value:.decimals$}")),
            None => self.cell(""),
        }
    }

    fn cell(&mut self, text: &str) -> &mut Self {
        if self.in_row {
            self.text.push(',');
        }
        self.in_row = true;
        self.text.push_str(text);
        self
    }

    fn end_row(&mut self) {
        self.text.push_str("\r\n");
        self.in_row = false;
    }
}

/// Reads a file back into cells, for the tests here and beside.
#[cfg(test)]
pub(super) fn read(text: &str) -> Vec<Vec<String>> {
    let (mut rows, mut row, mut cell, mut quoted) = (Vec::new(), Vec::new(), String::new(), false);
    let mut letters = text.chars().peekable();
    while let Some(c) = letters.next() {
        match c {
            '"' if quoted && letters.peek() == Some(&'"') => cell.extend(letters.next()),
            '"' => quoted = !quoted,
            ',' if !quoted => row.push(std::mem::take(&mut cell)),
            '\r' if !quoted => {}
            '\n' if !quoted => {
                row.push(std::mem::take(&mut cell));
                rows.push(std::mem::take(&mut row));
            }
            other => cell.push(other),
        }
    }
    rows
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells_come_back_as_they_were_and_none_is_run_by_a_spreadsheet() {
        let cells = ["plain", "a, b", "says \"so\"", "two\nlines", ""];
        let runs = ["=1+1", "+1", "-1", "@x", "\t=1"];
        let mut writer = Writer::default();
        cells.iter().chain(&runs).for_each(|c| {
            writer.words(c);
        });
        writer.number(Some(-1.5), 2).number(Some(f64::NAN), 2).end_row();
        let rows = read(&writer.text);
        assert_eq!(rows.len(), 1);
        assert_eq!(rows[0][..5], cells);
        for (back, run) in rows[0][5..10].iter().zip(runs) {
            assert_eq!(*back, format!("'{run}"));
        }
        assert_eq!(rows[0][10..], ["-1.50", ""]);
    }
}
