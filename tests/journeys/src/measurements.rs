//! Measured tables in `tests/MEASUREMENTS.md`, each between markers that name it and the command that writes it.

use crate::options::{options, project_root};
use std::fmt::Write;
use std::io;
use std::path::PathBuf;
use std::process::Command;
use std::sync::{Mutex, PoisonError};

/// One row of a table: what was measured, the result, and what was wanted.
#[derive(Clone, Debug)]
pub struct Row {
    /// What was measured.
    pub what: String,
    /// The result with its unit.
    pub result: String,
    /// The limit; a dash when there is none.
    pub wanted: String,
}

impl Row {
    /// A row of these words.
    pub fn new(
        what: impl Into<String>,
        result: impl Into<String>,
        wanted: impl Into<String>,
    ) -> Self {
        Self { what: what.into(), result: result.into(), wanted: wanted.into() }
    }
}

/// Where the tables are.
fn file() -> PathBuf {
    project_root().join("tests/MEASUREMENTS.md")
}

/// Prints the rows; with `--record` they also replace the table of this name.
///
/// # Errors
/// When there is no such table, or the file cannot be written.
pub fn record(name: &str, rows: &[Row]) -> io::Result<()> {
    for row in rows {
        println!("{name}: {}: {} (wanted {})", row.what, row.result, row.wanted);
    }
    if !options().record {
        return Ok(());
    }
    static WRITING: Mutex<()> = Mutex::new(());
    let _writing = WRITING.lock().unwrap_or_else(PoisonError::into_inner);
    let text = std::fs::read_to_string(file())?;
    let missing = || io::Error::other(format!("tests/MEASUREMENTS.md has no table “{name}”"));
    std::fs::write(file(), replaced(&text, name, &table(rows)).ok_or_else(missing)?)
}

/// The rows as a table, with the day and the machine's processors above.
fn table(rows: &[Row]) -> String {
    let date = Command::new("date").args(["-u", "+%Y-%m-%d"]).output();
    let date = date.map(|d| String::from_utf8_lossy(&d.stdout).trim().to_owned());
    let processors = std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
    let mut text = format!(
        "{}, {:?}, {processors} processors\n\n| what | measured | wanted |\n|---|---|---|\n",
        date.unwrap_or_default(),
        options().engine
    );
    for row in rows {
        // Writing to a string does not fail.
        let _ = writeln!(text, "| {} | {} | {} |", row.what, row.result, row.wanted);
    }
    text
}

/// The text with the table of this name replaced; none when it has no such table.
fn replaced(text: &str, name: &str, table: &str) -> Option<String> {
    let begin = text.find(&format!("<!-- table: {name} ("))?;
    let (before, rest) = text.split_at(begin);
    let (marker, rest) = rest.split_once("-->\n")?;
    let (_, after) = rest.split_once("<!-- end -->")?;
    Some(format!("{before}{marker}-->\n{table}<!-- end -->{after}"))
}

#[cfg(test)]
mod tests {
    use super::replaced;

    #[test]
    fn only_the_table_of_the_name_is_replaced() {
        let text = "a\n<!-- table: x (run) -->\nold\n<!-- end -->\nb\n<!-- table: y (run) -->\nkept\n<!-- end -->\n";
        let new = replaced(text, "x", "new\n").unwrap();
        assert_eq!(new, text.replace("old", "new"));
        assert!(replaced(text, "z", "new").is_none());
    }
}
