//! The example within its taps and its minute, its difference held against the truth, and its saved tables against what is computed here.

use crate::common::{demo, saved_session, trial, walk_the_example};
use checks::browser::{Result, journey, journey_alone};
use checks::compare::{Limits, both, hold};
use checks::table::rows;
use checks::truth::Truth;
use document::results::{AnalysisInput, ResultCache, TrialAnalysis, analyse_trial, measure};
use document::session::{Certainty, Trial};
use mechanics::measures::{Estimate, Measure};
use mechanics::space::Direction;
use std::collections::BTreeMap;
use std::time::Instant;

type Row = BTreeMap<String, String>;

/// Half of the last decimal that is written.
const ROUNDED: f64 = 0.6e-6;

fn number(row: &Row, column: &str) -> Result<Option<f64>> {
    let cell = row.get(column).ok_or_else(|| format!("no column {column}"))?;
    if cell.is_empty() { Ok(None) } else { Ok(Some(cell.parse()?)) }
}

/// How many of the unit in the file make one SI unit; written here again from what the units mean.
fn per_si(unit: &str) -> Result<f64> {
    Ok(match unit {
        "deg" => 180.0 / std::f64::consts::PI,
        "%" | "cm" => 100.0,
        "ms" => 1000.0,
        "steps/min" => 60.0,
        "J" | "W/kg" | "J/kg/m" | "kg m2" | "m" | "s" | "m/s" | "N m" | "W" | "" => 1.0,
        other => return Err(format!("what is the unit “{other}”?").into()),
    })
}

/// Holds mean, SD, n and interval of a row against an estimate; answers how many numbers were held.
fn held(row: &Row, before: &str, estimate: &Estimate) -> Result<usize> {
    let factor = per_si(row.get("unit").ok_or("no unit")?)?;
    let interval = estimate.interval_95_si;
    let wanted = [
        ("mean", Some(estimate.mean_si * factor)),
        ("sd", estimate.sd_si.map(|v| v * factor)),
        ("n", Some(estimate.n as f64)),
        ("low95", interval.map(|i| i.0 * factor)),
        ("high95", interval.map(|i| i.1 * factor)),
    ];
    for (column, wanted) in wanted {
        let found = number(row, &format!("{before}{column}"))?;
        let same = match (found, wanted) {
            (Some(a), Some(b)) => (a - b).abs() <= ROUNDED + b.abs() * 1e-9,
            (None, None) => true,
            _ => false,
        };
        if !same {
            let name = row.get("identifier").cloned().unwrap_or_default();
            return Err(
                format!("{name} {before}{column}: {found:?} in the file, {wanted:?} here").into()
            );
        }
    }
    Ok(wanted.len())
}

/// Every measure has its row, and every row its measure.
fn all_held(text: &str, trials: &[(&str, &TrialAnalysis)]) -> Result<usize> {
    let table = rows(text)?;
    let mut count = 0;
    for (before, trial) in trials {
        for (measure, estimate) in &trial.analysis.measures {
            let name = measure::row(*measure).identifier;
            let row = table.iter().find(|r| r.get("identifier").is_some_and(|i| i == name));
            count += held(row.ok_or_else(|| format!("no row {name}"))?, before, estimate)?;
        }
        let least = trial.analysis.measures.len();
        if table.len() < least {
            return Err(format!("{} rows for {least} measures", table.len()).into());
        }
    }
    Ok(count)
}

/// Positions in metres by plain trigonometry: along the run and up the plumb line.
fn positions_held(text: &str, trial: &Trial) -> Result<usize> {
    let scale = trial.calibration.scale.ok_or("no scale")?;
    let m_per_px =
        scale.length_m / (scale.to.x_px - scale.from.x_px).hypot(scale.to.y_px - scale.from.y_px);
    let forward = if trial.calibration.direction == Some(Direction::Left) { -1.0 } else { 1.0 };
    let plumb = trial.calibration.vertical.ok_or("no plumb line")?;
    let (x_px, y_px) = (plumb.to.x_px - plumb.from.x_px, plumb.to.y_px - plumb.from.y_px);
    let down = (x_px / x_px.hypot(y_px), y_px / x_px.hypot(y_px));
    let (table, mut count) = (rows(text)?, 0);
    assert_eq!(table.len(), trial.clip.info.stamps_s.len());
    let columns = [
        ("near_hip", mechanics::body::Landmark::NearHip),
        ("near_ankle", mechanics::body::Landmark::NearAnkle),
    ];
    let first = table.first().ok_or("no rows")?;
    for (key, landmark) in columns {
        let track = trial.tracks.get(&landmark).ok_or("no track")?;
        let origin = track.sample(0).ok_or("no first mark")?.at;
        let column = |axis: &str| format!("{key}_{axis}");
        for (frame, row) in table.iter().enumerate() {
            let sample = track.samples.get(frame).copied().flatten();
            let away = |axis: &str| -> Result<Option<f64>> {
                let start = number(first, &column(axis))?.ok_or("no start")?;
                Ok(number(row, &column(axis))?.map(|v| v - start))
            };
            let (x, y) = (away("x_m")?, away("y_m")?);
            let wanted = sample.map(|s| {
                let (x_px, y_px) = (s.at.x_px - origin.x_px, s.at.y_px - origin.y_px);
                let along_px = x_px * down.1 - y_px * down.0;
                let down_px = x_px * down.0 + y_px * down.1;
                (along_px * m_per_px * forward, -down_px * m_per_px)
            });
            // Two numbers, each rounded to a hundredth of a millimetre.
            let same = match (x.zip(y), wanted) {
                (Some(a), Some(b)) => (a.0 - b.0).abs() < 1.2e-5 && (a.1 - b.1).abs() < 1.2e-5,
                (None, None) => true,
                _ => false,
            };
            assert!(same, "{key} in frame {frame}: {x:?} {y:?}, wanted {wanted:?}");
            let word = row.get(&column("certainty")).map(String::as_str);
            assert_eq!(
                word == Some("seen"),
                sample.is_some_and(|s| s.certainty == Certainty::Seen)
            );
            count += 2;
        }
    }
    Ok(count)
}

#[test]
fn every_number_in_the_saved_tables_is_what_is_computed_here_from_the_saved_session() {
    journey(async |browser, server| {
        browser.open(&server.url()).await?;
        walk_the_example(browser).await?;
        let session = saved_session(browser).await?;
        // Side by side both share their cut-offs; alone each has its own.
        let pair = ResultCache::new().pair(&session).ok_or("no pair")?;
        browser.press("Save measures (CSV)").await?;
        let both = browser.saved("side-by-side-measures.csv").await?;
        let count = all_held(&both, &[("first_", &pair.first), ("second_", &pair.second)])?;
        for row in rows(&both)? {
            let name = row.get("identifier").cloned().unwrap_or_default();
            let means = number(&row, "first_mean")?.zip(number(&row, "second_mean")?);
            if let (Some(difference), Some((a, b))) = (number(&row, "difference")?, means) {
                assert!(
                    (difference - (b - a)).abs() < 3e-6,
                    "{name}: {difference}, means {a} and {b}"
                );
                let (low, high) =
                    (number(&row, "difference_low95")?, number(&row, "difference_high95")?);
                assert!(
                    low.zip(high).is_none_or(|(l, h)| l <= difference && difference <= h),
                    "{name}"
                );
            }
        }
        println!("{count} numbers of two trials are as computed here");
        browser.step("Ledger").await?;
        browser.wait("table.ledger", 10).await?;
        for trial in session.trials.iter().take(2) {
            let alone =
                analyse_trial(&AnalysisInput::new(trial, &session.runner, &session.options))
                    .map_err(|l| format!("{:?}", l.missing))?;
            let name = &trial.name;
            browser.press(name).await?;
            browser.press("Save measures (CSV)").await?;
            println!(
                "{} of “{name}”",
                all_held(&browser.saved("-measures.csv").await?, &[("", &alone)])?
            );
            browser.press("Save positions (CSV)").await?;
            let text = browser.saved("-positions.csv").await?;
            println!("{} positions", positions_held(&text, trial)?);
        }
        Ok(())
    });
}

#[test]
fn the_example_is_compared_within_five_taps_and_a_minute_and_covers_its_truth() {
    journey_alone(async |browser, server| {
        let began = Instant::now();
        browser.open(&server.url()).await?;
        println!("first screen after {:.2} s", began.elapsed().as_secs_f64());
        let taps = walk_the_example(browser).await?;
        let took_s = began.elapsed().as_secs_f64();
        println!("the example: {taps} taps, {took_s:.1} s");
        assert!(taps <= 5 && took_s < 60.0, "{taps} taps, {took_s} s");
        browser.shot("example-side-by-side").await?;
        let session = saved_session(browser).await?;
        let limits = Limits { work_ratio: 0.05, corrections: 2 };
        let mut true_work = Vec::new();
        for (index, name) in ["heels_low", "leg_folding"].into_iter().enumerate() {
            let truth = Truth::of_json(&demo(&format!("{name}.truth.json")))?;
            let trial = trial(&session, index)?;
            hold(name, &session, &trial, &truth, limits)?;
            let (_, ideal) = both(&session, &trial, &truth)?;
            true_work.push(
                ideal.analysis.measures.get(&Measure::InternalWork).ok_or("no work")?.mean_si,
            );
        }
        browser.press("Save measures (CSV)").await?;
        let csv = browser.saved(".csv").await?;
        difference_covers(&csv, true_work[1] - true_work[0])
    });
}

/// The row of internal work shows a difference of the true sign whose interval covers the true one.
fn difference_covers(text: &str, true_j: f64) -> Result<()> {
    let table = rows(text)?;
    let row = table.iter().find(|r| r.get("identifier").is_some_and(|i| i == "internal_work"));
    let row = row.ok_or("no internal work")?;
    let value = |column: &str| -> Result<f64> {
        Ok(number(row, column)?.ok_or_else(|| format!("no {column}"))?)
    };
    let (found, low, high) =
        (value("difference")?, value("difference_low95")?, value("difference_high95")?);
    println!("difference {found:.2} J, 95 % {low:.2} to {high:.2}, true {true_j:.2}");
    assert_eq!(found.signum(), true_j.signum());
    assert!(low <= true_j && true_j <= high);
    Ok(())
}
