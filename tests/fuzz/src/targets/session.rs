//! Session files, and the CSV files that are made of them.

use crate::seeds;
use crate::target::{Target, anywhere};
use document::results::{AnalysisInput, ResultCache, TrialResult, csv};
use document::session::file;

/// A session file.
pub const SESSION: Target =
    Target { name: "session", seeds: seeds::sessions, fields: anywhere, dictionary: JSON, run };

/// The CSV files of a session, for a spreadsheet that runs formulas.
pub const CSV: Target = Target {
    name: "csv",
    seeds: seeds::sessions,
    fields: anywhere,
    dictionary: CELLS,
    run: run_csv,
};

pub(super) const JSON: &[&[u8]] = &[
    b"1e999",
    b"-1e308",
    b"-0",
    b"4294967296",
    b"18446744073709551616",
    b"null",
    b"[]",
    b"{}",
    b"\"\"",
    b"[[[[[[[[",
    b"{\"a\":{\"a\":{\"a\":",
    b"\\u0000",
    b"\\ud800",
    b"\xef\xbb\xbf",
    b"\"certainty\":\"zzzz\"",
    b"\"format\":2",
    b"true",
];

const CELLS: &[&[u8]] = &[
    b"=1+1",
    b"+1",
    b"-1",
    b"@x",
    b"\\t=1",
    b"\\r\\n=1",
    b"\\\"",
    b",",
    b"a,=1",
    b"\\\"=1",
    b";=1",
    b"|",
    b"\\u2028",
];

fn read(bytes: &[u8]) -> Option<file::Read> {
    file::read("a.stride.json", std::str::from_utf8(bytes).ok()?).ok()
}

fn run(bytes: &[u8]) {
    let Some(read) = read(bytes) else { return };
    let again = file::read("b", &file::write(&read.session)).unwrap();
    assert_eq!(again.session, read.session, "a session differs once it is written and read");
}

fn run_csv(bytes: &[u8]) {
    let Some(read) = read(bytes) else { return };
    let session = read.session;
    let mut cache = ResultCache::new();
    let mut files = Vec::new();
    for trial in &session.trials {
        files.extend(csv::positions(trial));
        let input = AnalysisInput::new(trial, &session.runner, &session.options);
        if let TrialResult::Ok(analysed) = &*cache.trial(input) {
            files.push(csv::measures(analysed));
        }
    }
    files.extend(cache.pair(&session).map(|pair| csv::measures_of_two(&pair)));
    files.iter().for_each(|file| assert_harmless(file));
}

/// Panics for a cell that a spreadsheet would run as a formula. A number with a sign is none. All rows are equally long.
fn assert_harmless(file: &str) {
    for row in ::csv::ReaderBuilder::new().has_headers(false).from_reader(file.as_bytes()).records()
    {
        for cell in &row.unwrap() {
            let is_formula = cell.starts_with(['=', '+', '-', '@', '\t', '\r', '\n']);
            assert!(!is_formula || cell.parse::<f64>().is_ok(), "a spreadsheet runs {cell:?}");
        }
    }
}

#[cfg(test)]
mod tests {
    use super::assert_harmless;

    #[test]
    fn numbers_with_a_sign_are_harmless() {
        assert_harmless("name,value\r\n\"a, b\",-1.5\r\n");
    }

    #[test]
    #[should_panic(expected = "a spreadsheet runs")]
    fn a_formula_in_a_quoted_cell_is_found() {
        assert_harmless("name,value\r\n\"=1+1\",2\r\n");
    }

    #[test]
    #[should_panic(expected = "UnequalLengths")]
    fn a_row_of_another_length_is_found() {
        assert_harmless("name,value\r\na\r\n");
    }
}
