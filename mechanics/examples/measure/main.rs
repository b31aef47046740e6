//! Measures a file of positions: `measure POSITIONS.csv --mass 62 [--height 1.81] [--table winter|female|male]
//! [--speed 2.5] [--cutoff 8] [--marker-set legs|near|both] [--ground]` writes every measure as JSON.

mod positions;

use mechanics::analysis::{Analysis, Cutoff, Surface, Trial, analyse};
use mechanics::body::{MarkerSet, Table};
use std::io::Write;
use std::process::ExitCode;

fn main() -> ExitCode {
    match measured(std::env::args().skip(1).collect()) {
        // Who stops reading has had enough.
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

/// What the command line asks for.
struct Request {
    file: String,
    trial: Trial,
}

fn measured(arguments: Vec<String>) -> Result<String, String> {
    let mut request = request(arguments)?;
    let file = request.file;
    let text = std::fs::read_to_string(&file).map_err(|why| format!("{file}: {why}"))?;
    let positions = positions::read(&text).map_err(|why| format!("{file}: {why}"))?;
    request.trial.times_s = positions.times_s;
    request.trial.points = positions.points;
    let analysis = analyse(&request.trial).map_err(|why| format!("{file}: {why}"))?;
    serde_json::to_string_pretty(&json(&analysis)).map_err(|why| why.to_string())
}

fn request(arguments: Vec<String>) -> Result<Request, String> {
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
    let mut arguments = arguments.into_iter();
    while let Some(argument) = arguments.next() {
        if argument == "--ground" {
            trial.surface = Surface::Ground;
            continue;
        }
        let Some(option) = argument.strip_prefix("--") else {
            file = Some(argument);
            continue;
        };
        let value =
            arguments.next().ok_or(format!("--{option} has no value: give one after it"))?;
        let number =
            || value.parse::<f64>().map_err(|_| format!("--{option} {value}: give a number"));
        match option {
            "mass" => trial.mass_kg = number()?,
            "height" => trial.height_m = Some(number()?),
            "speed" => trial.speed_m_s = Some(number()?),
            "cutoff" => trial.cutoff = Cutoff::Fixed { cutoff_hz: number()? },
            "table" => trial.table = table(&value)?,
            "marker-set" => trial.marker_set = marker_set(&value)?,
            _ => {
                return Err(format!(
                    "--{option} is not known: see the first lines of this program"
                ));
            }
        }
    }
    let file = file.ok_or("no file of positions: name one")?;
    Ok(Request { file, trial })
}

fn table(name: &str) -> Result<Table, String> {
    match name {
        "winter" => Ok(Table::WinterDempster),
        "female" => Ok(Table::DeLevaFemale),
        "male" => Ok(Table::DeLevaMale),
        _ => Err(format!("--table {name}: choose winter, female or male")),
    }
}

fn marker_set(name: &str) -> Result<MarkerSet, String> {
    match name {
        "legs" => Ok(MarkerSet::Legs),
        "near" => Ok(MarkerSet::NearSide),
        "both" => Ok(MarkerSet::BothSides),
        _ => Err(format!("--marker-set {name}: choose legs, near or both")),
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
        .map(|(landmark, hz)| (landmark.in_words().to_owned(), serde_json::json!(hz)))
        .collect();
    let checks: Vec<serde_json::Value> = analysis
        .checks
        .iter()
        .map(|c| serde_json::json!({ "check": c.key, "holds": c.holds, "found": c.found, "what_to_do": c.what_to_do }))
        .collect();
    let notes: Vec<&str> = analysis.notes.iter().map(|n| n.sentence.as_str()).collect();
    let left_out: Vec<serde_json::Value> = analysis
        .left_out
        .iter()
        .map(|l| serde_json::json!({ "start_s": l.start_s, "end_s": l.end_s, "reason": l.reason.sentence }))
        .collect();
    serde_json::json!({
        "rate_hz": analysis.rate_hz,
        "cutoffs_hz": cutoffs,
        "strides": analysis.strides.len(),
        "left_out": left_out,
        "measures": measures,
        "checks": checks,
        "notes": notes,
    })
}
