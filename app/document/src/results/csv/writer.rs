//! Comma-separated text, safe to open in a spreadsheet.

/// Builds a file row by row, after RFC 4180.
#[derive(Debug, Default)]
pub(super) struct Writer {
    pub(super) text: String,
    in_row: bool,
}

impl Writer {
    /// A cell of text. One that a spreadsheet would execute begins with an apostrophe.
    pub(super) fn text(&mut self, text: &str) -> &mut Self {
        let is_formula = text.starts_with(['=', '+', '-', '@', '\t', '\r', '\n']);
        let safe = if is_formula { format!("'{text}") } else { text.to_owned() };
        let quoted = safe.contains([',', '"', '\n', '\r']);
        self.cell(&if quoted { format!("\"{}\"", safe.replace('"', "\"\"")) } else { safe })
    }

    /// A cell with a number, or an empty one.
    pub(super) fn number(&mut self, value: Option<f64>, decimals: usize) -> &mut Self {
        match value.filter(|v| v.is_finite()) {
            Some(value) => self.cell(&format!("{value:.decimals$}")),
            None => self.cell(""),
        }
    }

    /// A cell of text that needs no quotes.
    pub(super) fn cell(&mut self, text: &str) -> &mut Self {
        if self.in_row {
            self.text.push(',');
        }
        self.in_row = true;
        self.text.push_str(text);
        self
    }

    /// Ends the row.
    pub(super) fn end_row(&mut self) {
        self.text.push_str("\r\n");
        self.in_row = false;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells_are_quoted_if_they_must_be_and_none_is_executed_by_a_spreadsheet() {
        let mut writer = Writer::default();
        for text in ["plain", "a, b", "says \"so\"", "two\nlines", ""] {
            writer.text(text);
        }
        writer.end_row();
        for text in ["=1+1", "+1", "-1", "@x", "\t=1"] {
            writer.text(text);
        }
        writer.number(Some(-1.5), 2).number(Some(f64::NAN), 2).end_row();
        assert_eq!(
            writer.text,
            "plain,\"a, b\",\"says \"\"so\"\"\",\"two\nlines\",\r\n'=1+1,'+1,'-1,'@x,'\t=1,-1.50,\r\n"
        );
    }
}
