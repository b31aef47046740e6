//! Measures a file of positions: `measure POSITIONS.csv --mass 62 [--height 1.81] [--table winter|female|male]
//! [--speed 2.5] [--cutoff 8] [--marker-set legs|near|both] [--ground]` prints every measure as JSON.

mod positions;

use lexopt::ValueExt;
use mechanics::analysis::{Analysis, Cutoff, Surface, Trial, analyse};
use mechanics::body::{MarkerSet, Table};
use positions::PositionsError;
use std::io::Write;
use std::path::PathBuf;
use std::process::ExitCode;
use thiserror::Error;

/// Why nothing was measured: what is wrong, then what to do.
#[derive(Debug, Error)]
enum MeasureError {
    #[error("{0}: see the first lines of this program")]
    Arguments(#[from] lexopt::Error),
    #[error("--table {0}: choose winter, female or male")]
    Table(String),
    #[error("--marker-set {0}: choose legs, near or both")]
    MarkerSet(String),
    #[error("no file of positions: name one")]
    NoFile,
    #[error("{}: {why}", .file.display())]
    File { file: PathBuf, why: std::io::Error },
    #[error("{}: {why}", .file.display())]
    Positions { file: PathBuf, why: PositionsError },
    #[error("{}: {why}", .file.display())]
    Analysis { file: PathBuf, why: mechanics::Error },
    #[error("the measures cannot be written as JSON: {0}")]
    Json(#[from] serde_json::Error),
}

fn main() -> ExitCode {
    match measure(lexopt::Parser::from_env()) {
        // A closed pipe is the reader's choice; there is nothing to report.
        Ok(json) => match writeln!(std::io::stdout(), "{json}") {
            Ok(()) => ExitCode::SUCCESS,
            Err(_) => ExitCode::FAILURE,
        },
        Err(why) => {
            eprintln!("{why}");
            ExitCode::FAILURE
        }
    }
}

/// The request on the command line.
struct Request {
    file: PathBuf,
    trial: Trial,
}

fn measure(arguments: lexopt::Parser) -> Result<String, MeasureError> {
    let Request { file, mut trial } = request(arguments)?;
    let text = match std::fs::read_to_string(&file) {
        Ok(text) => text,
        Err(why) => return Err(MeasureError::File { file, why }),
    };
    let positions = match positions::read(&text) {
        Ok(positions) => positions,
        Err(why) => return Err(MeasureError::Positions { file, why }),
    };
    trial.times_s = positions.times_s;
    trial.points = positions.points;
    match analyse(&trial) {
        Ok(analysis) => Ok(serde_json::to_string_pretty(&json(&analysis))?),
        Err(why) => Err(MeasureError::Analysis { file, why }),
    }
}

fn request(mut arguments: lexopt::Parser) -> Result<Request, MeasureError> {
    use lexopt::Arg::{Long, Value};
    let mut file = None;
    let mut trial = Trial {
        times_s: Vec::new(),
        points: Default::default(),
        marker_set: MarkerSet::NearSide,
        mass_kg: f64::NAN,
        height_m: None,
        table: Table::WinterDempster,
        speed_m_s: None,
        surface: Surface::Belt,
        cutoff: Cutoff::Automatic,
        event_edits: Vec::new(),
        marker_sd_m: 0.0,
        scale_sd_ratio: 0.0,
        vertical_sd_rad: 0.0,
    };
    while let Some(argument) = arguments.next()? {
        match argument {
            Long("ground") => trial.surface = Surface::Ground,
            Long("mass") => trial.mass_kg = arguments.value()?.parse()?,
            Long("height") => trial.height_m = Some(arguments.value()?.parse()?),
            Long("speed") => trial.speed_m_s = Some(arguments.value()?.parse()?),
            Long("cutoff") => {
                trial.cutoff = Cutoff::Fixed { cutoff_hz: arguments.value()?.parse()? };
            }
            Long("table") => trial.table = table(arguments.value()?.string()?)?,
            Long("marker-set") => trial.marker_set = marker_set(arguments.value()?.string()?)?,
            Value(path) => file = Some(PathBuf::from(path)),
            unknown => return Err(unknown.unexpected().into()),
        }
    }
    Ok(Request { file: file.ok_or(MeasureError::NoFile)?, trial })
}

fn table(name: String) -> Result<Table, MeasureError> {
    match name.as_str() {
        "winter" => Ok(Table::WinterDempster),
        "female" => Ok(Table::DeLevaFemale),
        "male" => Ok(Table::DeLevaMale),
        _ => Err(MeasureError::Table(name)),
    }
}

fn marker_set(name: String) -> Result<MarkerSet, MeasureError> {
    match name.as_str() {
        "legs" => Ok(MarkerSet::Legs),
        "near" => Ok(MarkerSet::NearSide),
        "both" => Ok(MarkerSet::BothSides),
        _ => Err(MeasureError::MarkerSet(name)),
    }
}

fn json(analysis: &Analysis) -> serde_json::Value {
    let measures: serde_json::Map<String, serde_json::Value> = analysis
        .measures
        .iter()
        .filter_map(|(measure, estimate)| {
            let name = serde_json::to_value(measure).ok()?.as_str()?.to_owned();
            let notes: Vec<&str> = estimate.notes.iter().map(|n| n.sentence.as_str()).collect();
            let value = serde_json::json!({
                "unit": measure.unit(),
                "mean": estimate.mean_si,
                "sd": estimate.sd_si,
                "n": estimate.n,
                "interval_95": estimate.interval_95_si,
                "notes": notes,
            });
            Some((name, value))
        })
        .collect();
    let cutoffs: serde_json::Map<String, serde_json::Value> = analysis
        .cutoffs_hz
        .iter()
        .map(|(landmark, hz)| (landmark.to_string(), serde_json::json!(hz)))
        .collect();
    let checks: Vec<serde_json::Value> = analysis
        .checks
        .iter()
        .map(|c| serde_json::json!({ "check": c.key, "holds": c.holds, "found": c.found, "what_to_do": c.what_to_do }))
        .collect();
    let notes: Vec<&str> = analysis.notes.iter().map(|n| n.sentence.as_str()).collect();
    let excluded: Vec<serde_json::Value> = analysis
        .excluded
        .iter()
        .map(|s| serde_json::json!({ "start_s": s.start_s, "end_s": s.end_s, "reason": s.reason.sentence }))
        .collect();
    serde_json::json!({
        "rate_hz": analysis.rate_hz,
        "cutoffs_hz": cutoffs,
        "strides": analysis.strides.len(),
        "excluded": excluded,
        "measures": measures,
        "checks": checks,
        "notes": notes,
    })
}
