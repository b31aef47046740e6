//! Reads positions in metres from CSV text with the columns `t_s` and `R_hip_x,R_hip_y,...`.

use mechanics::body::{Joint, Landmark};
use mechanics::space::{Point, Side};
use std::collections::{BTreeMap, BTreeSet};
use thiserror::Error;

/// The positions in a file.
pub struct Positions {
    /// Time of each row.
    pub times_s: Vec<f64>,
    /// Position of each landmark in each row; none for an empty field.
    pub points: BTreeMap<Landmark, Vec<Option<Point>>>,
}

/// Why a file of positions cannot be read: where and what is wrong, then what to do.
#[derive(Debug, Error)]
pub enum PositionsError {
    #[error("the file is empty: write a line of column names first")]
    Empty,
    #[error("line 1, column {column}: the name is there twice: keep one of them")]
    DuplicateColumn { column: String },
    #[error("line 1, column t_s: it is missing: give the times in seconds this name")]
    NoTimes,
    #[error("line 1, columns of {landmark}: only one of _x and _y is there: give both, or neither")]
    HalfLandmark { landmark: Landmark },
    #[error(
        "line {line}, column {column}: the field is missing: give {columns} fields, empty ones between commas"
    )]
    MissingField { line: u64, column: String, columns: usize },
    #[error(
        "line {line}, column {column}: it has no name in line 1: give {columns} fields, or name the column"
    )]
    UnnamedField { line: u64, column: usize, columns: usize },
    #[error(
        "line {line}, column {column}: \"{field}\" is not a number: write metres with a point, or nothing"
    )]
    Number { line: u64, column: String, field: String },
    #[error("line {line}, column t_s: the time is missing: write it in seconds")]
    TimeMissing { line: u64 },
    #[error(
        "line {line}, column t_s: {time_s} s is not later than {before_s} s in the line before: put the lines in order of time"
    )]
    TimeOrder { line: u64, time_s: f64, before_s: f64 },
    #[error("the text is not CSV: {0}")]
    Csv(#[from] csv::Error),
}

/// One of the two coordinates.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Axis {
    X,
    Y,
}

/// What a column holds.
#[derive(Clone, Copy)]
enum Column {
    Time,
    Coordinate(Landmark, Axis),
    Other,
}

/// The positions in the text; R is the near side.
///
/// # Errors
/// The first thing that is wrong; see [`PositionsError`].
pub fn read(text: &str) -> Result<Positions, PositionsError> {
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .trim(csv::Trim::All)
        .from_reader(text.as_bytes());
    let mut rows = reader.records();
    let names = rows.next().ok_or(PositionsError::Empty)??;
    let columns = columns(&names)?;
    let mut times_s: Vec<f64> = Vec::new();
    let mut coordinates: BTreeMap<(Landmark, Axis), Vec<Option<f64>>> = BTreeMap::new();
    for row in rows {
        let row = row?;
        let line = line_of(&row, text);
        check_length(&names, &row, line)?;
        for ((field, name), column) in row.iter().zip(&names).zip(&columns) {
            let value = number(field).ok_or_else(|| PositionsError::Number {
                line,
                column: name.to_owned(),
                field: field.to_owned(),
            })?;
            match column {
                Column::Time => times_s.push(later(value, times_s.last().copied(), line)?),
                Column::Coordinate(landmark, axis) => {
                    coordinates.entry((*landmark, *axis)).or_default().push(value);
                }
                Column::Other => {}
            }
        }
    }
    Ok(Positions { times_s, points: points(&columns, coordinates)? })
}

/// The line on which a row stands. The reader's position lies before the empty lines that it skipped.
fn line_of(row: &csv::StringRecord, text: &str) -> u64 {
    let Some(position) = row.position() else { return 0 };
    let from = usize::try_from(position.byte()).unwrap_or(usize::MAX);
    let rest = text.as_bytes().get(from..).unwrap_or_default();
    let skipped = rest.iter().take_while(|b| matches!(b, b'\n' | b'\r')).filter(|b| **b == b'\n');
    position.line() + skipped.count() as u64
}

/// The meaning of each column.
fn columns(names: &csv::StringRecord) -> Result<Vec<Column>, PositionsError> {
    let mut seen = BTreeSet::new();
    if let Some(name) = names.iter().find(|name| !seen.insert(*name)) {
        return Err(PositionsError::DuplicateColumn { column: name.to_owned() });
    }
    let columns: Vec<Column> = names.iter().map(column).collect();
    if !columns.iter().any(|c| matches!(c, Column::Time)) {
        return Err(PositionsError::NoTimes);
    }
    Ok(columns)
}

/// Fails unless a row has one field per column.
fn check_length(
    names: &csv::StringRecord,
    row: &csv::StringRecord,
    line: u64,
) -> Result<(), PositionsError> {
    let columns = names.len();
    match names.get(row.len()) {
        Some(name) => Err(PositionsError::MissingField { line, column: name.to_owned(), columns }),
        None if row.len() > columns => {
            Err(PositionsError::UnnamedField { line, column: columns + 1, columns })
        }
        None => Ok(()),
    }
}

/// Both coordinates of each landmark, joined.
fn points(
    columns: &[Column],
    mut coordinates: BTreeMap<(Landmark, Axis), Vec<Option<f64>>>,
) -> Result<BTreeMap<Landmark, Vec<Option<Point>>>, PositionsError> {
    let axes: BTreeSet<(Landmark, Axis)> = columns
        .iter()
        .filter_map(|c| match c {
            Column::Coordinate(landmark, axis) => Some((*landmark, *axis)),
            _ => None,
        })
        .collect();
    let landmarks: BTreeSet<Landmark> = axes.iter().map(|(landmark, _)| *landmark).collect();
    let mut points = BTreeMap::new();
    for landmark in landmarks {
        if !(axes.contains(&(landmark, Axis::X)) && axes.contains(&(landmark, Axis::Y))) {
            return Err(PositionsError::HalfLandmark { landmark });
        }
        let x_m = coordinates.remove(&(landmark, Axis::X)).unwrap_or_default();
        let y_m = coordinates.remove(&(landmark, Axis::Y)).unwrap_or_default();
        let point = |(x, y): (Option<f64>, Option<f64>)| Some(Point { x_m: x?, y_m: y? });
        points.insert(landmark, x_m.into_iter().zip(y_m).map(point).collect());
    }
    Ok(points)
}

/// A time after the one before it.
fn later(time_s: Option<f64>, before_s: Option<f64>, line: u64) -> Result<f64, PositionsError> {
    let time_s = time_s.ok_or(PositionsError::TimeMissing { line })?;
    match before_s {
        Some(before_s) if time_s <= before_s => {
            Err(PositionsError::TimeOrder { line, time_s, before_s })
        }
        _ => Ok(time_s),
    }
}

/// The finite number in a field, `Some(None)` for an empty field, and `None` for anything else.
#[allow(clippy::option_option, reason = "an empty field is valid and has no number")]
fn number(field: &str) -> Option<Option<f64>> {
    if field.is_empty() {
        return Some(None);
    }
    field.parse::<f64>().ok().filter(|value| value.is_finite()).map(Some)
}

fn column(name: &str) -> Column {
    if name == "t_s" {
        return Column::Time;
    }
    let Some((landmark, axis)) = name.rsplit_once('_') else { return Column::Other };
    let (side, joint) = match landmark.split_once('_') {
        Some(("R", joint)) => (Side::Near, joint),
        Some(("L", joint)) => (Side::Far, joint),
        _ => (Side::Near, landmark),
    };
    let joint = match joint {
        "hip" => Joint::Hip,
        "knee" => Joint::Knee,
        "ankle" => Joint::Ankle,
        "heel" => Joint::Heel,
        "mt5" => Joint::Toe,
        "shoulder" => Joint::Shoulder,
        "elbow" => Joint::Elbow,
        "wrist" => Joint::Wrist,
        "head" => Joint::Head,
        _ => return Column::Other,
    };
    match axis {
        "x" => Column::Coordinate(Landmark::of(joint, side), Axis::X),
        "y" => Column::Coordinate(Landmark::of(joint, side), Axis::Y),
        _ => Column::Other,
    }
}
