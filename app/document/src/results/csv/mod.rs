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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells_are_quoted_where_they_must_be_and_none_is_run_by_a_spreadsheet() {
        let mut writer = Writer::default();
        for words in ["plain", "a, b", "says \"so\"", "two\nlines", ""] {
            writer.words(words);
        }
        writer.end_row();
        for words in ["=1+1", "+1", "-1", "@x", "\t=1"] {
            writer.words(words);
        }
        writer.number(Some(-1.5), 2).number(Some(f64::NAN), 2).end_row();
        assert_eq!(
            writer.text,
            "plain,\"a, b\",\"says \"\"so\"\"\",\"two\nlines\",\r\n'=1+1,'+1,'-1,'@x,'\t=1,-1.50,\r\n"
        );
    }
}
