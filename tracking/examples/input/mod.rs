//! What the examples read: clips as YUV4MPEG2, places as CSV, and their command lines.

#![allow(dead_code, reason = "each example uses its part")]

pub mod y4m;

use lexopt::prelude::*;
use std::error::Error;
use tracking::image::ImagePoint;

/// What an example returns.
pub type Outcome<T> = Result<T, Box<dyn Error>>;

/// Frames that fit in memory.
///
/// Chosen: a gigabyte at 1280x720.
pub const MOST_FRAMES: usize = 1000;

/// The two files of a command line, a clip and a table.
///
/// # Errors
/// If there are not two, with the usage.
pub fn two_files(usage: &str) -> Outcome<[String; 2]> {
    let mut files = Vec::new();
    let mut parser = lexopt::Parser::from_env();
    while let Some(argument) = parser.next()? {
        match argument {
            Value(file) => files.push(file.string()?),
            other => return Err(format!("{}; usage: {usage}", other.unexpected()).into()),
        }
    }
    files.try_into().map_err(|_| format!("usage: {usage}").into())
}

/// A line of `frame,marker,x,y,...`.
pub struct Row {
    /// The frame, from zero.
    pub frame: usize,
    /// The marker's name.
    pub marker: String,
    /// Where it is.
    pub at: ImagePoint,
    /// Further columns.
    pub rest: Vec<String>,
}

/// The lines of a table with a heading, each of so many columns at least.
///
/// # Errors
/// If the file cannot be read or a line has too few columns or no numbers.
pub fn rows(path: &str, columns: usize) -> Outcome<Vec<Row>> {
    let mut reader =
        csv::ReaderBuilder::new().trim(csv::Trim::All).flexible(true).from_path(path)?;
    let mut rows = Vec::new();
    for record in reader.records() {
        let record = record?;
        let column = |k: usize| record.get(k).unwrap_or_default();
        if record.len() < columns {
            let have = record.len();
            return Err(format!("{path}: a line with {have} columns, {columns} needed").into());
        }
        rows.push(Row {
            frame: column(0).parse()?,
            marker: column(1).to_owned(),
            at: ImagePoint { x_px: column(2).parse()?, y_px: column(3).parse()? },
            rest: record.iter().skip(4).map(str::to_owned).collect(),
        });
    }
    Ok(rows)
}
