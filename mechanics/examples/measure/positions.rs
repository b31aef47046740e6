//! Reads positions in metres from CSV text: `t_s` and `R_hip_x,R_hip_y,...` columns.

use mechanics::body::{Joint, Landmark};
use mechanics::space::{Point, Side};
use std::collections::BTreeMap;

/// What a file of positions holds.
pub struct Positions {
    /// Time of each row.
    pub times_s: Vec<f64>,
    /// Place of each landmark in each row; an empty field is a lost one.
    pub points: BTreeMap<Landmark, Vec<Option<Point>>>,
}

/// The two coordinates of one landmark, row by row.
type Halves = (Vec<Option<f64>>, Vec<Option<f64>>);

/// Where each number of a row goes.
enum Column {
    Time,
    X(Landmark),
    Y(Landmark),
    Ignored,
}

/// The positions in the text; R is the near side.
///
/// # Errors
/// A sentence with line, column and reason.
pub fn read(text: &str) -> Result<Positions, String> {
    let mut lines = text.lines().enumerate().filter(|(_, line)| !line.trim().is_empty());
    let (_, header) =
        lines.next().ok_or("the file is empty: write a line of column names first")?;
    let names: Vec<&str> = header.split(',').map(str::trim).collect();
    for (place, name) in names.iter().enumerate() {
        if names.iter().take(place).any(|other| other == name) {
            return Err(format!(
                "line 1, column {name}: the name is there twice: keep one of them"
            ));
        }
    }
    let columns: Vec<Column> = names.iter().map(|name| column(name)).collect();
    if !columns.iter().any(|c| matches!(c, Column::Time)) {
        return Err("line 1, column t_s: it is not there: name the times in seconds so".into());
    }
    let mut times_s = Vec::new();
    let mut halves: BTreeMap<Landmark, Halves> = BTreeMap::new();
    for (index, line) in lines {
        let fields: Vec<&str> = line.split(',').collect();
        if fields.len() != names.len() {
            let place = match names.get(fields.len()) {
                Some(name) => format!("column {name}: nothing is there"),
                None => format!("column {}: it has no name in line 1", names.len() + 1),
            };
            return Err(format!(
                "line {}, {place}: {} fields for {} columns; give one field, or none between commas, for each",
                index + 1,
                fields.len(),
                names.len()
            ));
        }
        for ((field, name), column) in fields.iter().zip(&names).zip(&columns) {
            let number =
                number(field).map_err(|why| format!("line {}, column {name}: {why}", index + 1))?;
            match column {
                Column::Time => {
                    let time_s = later(number, times_s.last())
                        .map_err(|why| format!("line {}, column {name}: {why}", index + 1))?;
                    times_s.push(time_s);
                }
                Column::X(landmark) => halves.entry(*landmark).or_default().0.push(number),
                Column::Y(landmark) => halves.entry(*landmark).or_default().1.push(number),
                Column::Ignored => {}
            }
        }
    }
    let join = |(landmark, (x, y)): (Landmark, Halves)| {
        if x.len() != y.len() {
            let words = landmark.in_words();
            return Err(format!(
                "line 1, columns of {words}: only one of _x and _y is there: give both, or neither"
            ));
        }
        let place = |(x, y): (Option<f64>, Option<f64>)| Some(Point { x_m: x?, y_m: y? });
        Ok((landmark, x.into_iter().zip(y).map(place).collect()))
    };
    let points = halves.into_iter().map(join).collect::<Result<_, String>>()?;
    Ok(Positions { times_s, points })
}

/// A time after the one before it.
fn later(time_s: Option<f64>, before_s: Option<&f64>) -> Result<f64, String> {
    let time_s = time_s.ok_or("the time is missing: write it in seconds")?;
    match before_s {
        Some(before_s) if time_s <= *before_s => Err(format!(
            "{time_s} s is not later than {before_s} s in the line before: put the lines in order of time"
        )),
        _ => Ok(time_s),
    }
}

fn number(field: &str) -> Result<Option<f64>, String> {
    let field = field.trim();
    if field.is_empty() {
        return Ok(None);
    }
    match field.parse::<f64>() {
        Ok(value) if value.is_finite() => Ok(Some(value)),
        _ => Err(format!("\"{field}\" is no number: write metres with a point, or nothing")),
    }
}

fn column(name: &str) -> Column {
    if name == "t_s" {
        return Column::Time;
    }
    let Some((place, axis)) = name.rsplit_once('_') else { return Column::Ignored };
    let (side, joint) = match place.split_once('_') {
        Some(("R", joint)) => (Side::Near, joint),
        Some(("L", joint)) => (Side::Far, joint),
        _ => (Side::Near, place),
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
        _ => return Column::Ignored,
    };
    match axis {
        "x" => Column::X(Landmark::of(joint, side)),
        "y" => Column::Y(Landmark::of(joint, side)),
        _ => Column::Ignored,
    }
}
