//! The example: two taps, a minute at most, and a difference that covers the true one.

use crate::common::{demo, saved_session, trial, walk_the_example};
use checks::browser::{Result, journey};
use checks::compare::{Limits, both, hold};
use checks::truth::Truth;
use mechanics::measures::Measure;
use std::time::Instant;

#[test]
fn the_example_is_compared_within_five_taps_and_a_minute_and_covers_its_truth() {
    journey(async |browser, server| {
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
fn difference_covers(csv: &str, true_j: f64) -> Result<()> {
    let cells = |line: &str| -> Vec<String> {
        line.split(',').map(|c| c.trim_matches('"').to_owned()).collect()
    };
    let head = cells(csv.lines().next().ok_or("an empty file")?);
    let row = csv
        .lines()
        .map(cells)
        .find(|r| r.first().is_some_and(|c| c == "internal_work"))
        .ok_or("no internal work")?;
    let value = |column: &str| -> Result<f64> {
        let index = head
            .iter()
            .position(|h| h == column)
            .ok_or(format!("no column {column} in {head:?}"))?;
        Ok(row.get(index).ok_or("a short row")?.parse()?)
    };
    let (found, low, high) =
        (value("difference")?, value("difference_low95")?, value("difference_high95")?);
    println!("difference {found:.2} J, 95 % {low:.2} to {high:.2}, true {true_j:.2}");
    assert_eq!(found.signum(), true_j.signum());
    assert!(low <= true_j && true_j <= high);
    Ok(())
}
