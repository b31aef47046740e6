//! From true pixels to numbers and sentences: nothing is lost or distorted on the way.

use crate::fixture::{Positions, example, input, measured, positions, read_cells, truth};
use document::results::chart::PixelRange;
use document::results::measure::row;
use document::results::report::{self, LIMBS};
use document::results::{ResultCache, TrialAnalysis, analyse_trial, chart, csv};
use document::session::Session;
use mechanics::analysis::{self, Analysis};
use mechanics::measures::Measure;
use mechanics::space::Point;

fn analysed(session: &Session, trial: usize) -> TrialAnalysis {
    analyse_trial(&input(session, trial)).unwrap()
}

/// The same analysis on true metres instead of calibrated pixels.
fn on_metres(analysed: &TrialAnalysis, metres: &Positions) -> Analysis {
    let point = |p: &mechanics::space::Pixel| Some(Point { x_m: p.x_px, y_m: p.y_px });
    let points = analysed.trial.points.keys();
    let points = points.map(|l| (*l, metres[l].iter().map(point).collect())).collect();
    analysis::analyse(&analysis::Trial { points, ..analysed.trial.clone() }).unwrap()
}

/// Asserts that all measures agree within a part, or a ten-thousandth of the SI unit.
fn assert_same(pixels: &Analysis, metres: &Analysis, part: f64) {
    for (measure, truth) in &metres.measures {
        let found = pixels.measures[measure].mean_si;
        let apart = (found - truth.mean_si).abs();
        assert!(
            apart <= part * truth.mean_si.abs() + 1e-4,
            "{measure:?}: {found} against {}",
            truth.mean_si
        );
    }
}

fn print(analysed: &TrialAnalysis) {
    println!("{}\n{}", report::headline(analysed), report::definition(analysed));
    for line in report::ledger(&[analysed]).lines {
        println!("  {:<16} {}", line.label, line.shown[0].sentence());
    }
    for group in report::measure_groups(&[analysed]) {
        println!(" {}", group.title);
        for line in group.lines {
            println!("  {:<40} {}", line.heading, line.shown[0].sentence());
        }
    }
    for note in report::footnotes(&[analysed]).iter().chain(&report::failed_checks(analysed)) {
        println!("  note: {note}");
    }
}

#[test]
fn the_example_s_true_pixels_give_the_numbers_of_its_true_metres() {
    let session = example();
    for (place, clip) in ["heels_low", "leg_folding"].into_iter().enumerate() {
        let analysed = analysed(&session, place);
        print(&analysed);
        // The pixels of the truth are rounded to a thousandth, the metres to a hundred-thousandth.
        assert_same(
            &analysed.analysis,
            &on_metres(&analysed, &positions(&truth(clip), "m")),
            0.005,
        );
    }
}

#[test]
fn cadence_is_that_of_the_true_contacts() {
    let session = example();
    for (place, clip) in ["heels_low", "leg_folding"].into_iter().enumerate() {
        let truth = truth(clip);
        let contacts_s: Vec<f64> = truth["events"]
            .as_array()
            .unwrap()
            .iter()
            .filter(|e| e["side"] == "near" && e["kind"] == "contact")
            .map(|e| e["time_s"].as_f64().unwrap())
            .collect();
        let strides = contacts_s.len() - 1;
        let true_hz = 2.0 * strides as f64 / (contacts_s[strides] - contacts_s[0]);
        let found_hz = analysed(&session, place).analysis.measures[&Measure::Cadence].mean_si;
        assert!((found_hz / true_hz - 1.0).abs() < 0.005, "{found_hz} against {true_hz}");
    }
}

#[test]
fn the_example_s_two_ways_differ_and_the_sentence_says_by_how_much() {
    let session = example();
    let pair = ResultCache::new().pair(&session).unwrap();
    let sentence = report::side_by_side_sentence(&pair);
    println!("{sentence}\n{}", report::fairness_summary(&pair.comparison).sentence);
    for line in report::difference_lines(&pair) {
        let interval = line.interval_95.unwrap_or_default();
        println!(
            "  {:<40} {:>8} {:>8} {:>8} {} ({} to {}) {}",
            line.heading,
            line.first.value,
            line.second.value,
            line.difference,
            line.unit.symbol(),
            interval.0,
            interval.1,
            line.verdict
        );
    }
    let lift = &pair.comparison.differences[&Measure::HeelLift];
    assert!(lift.seen && lift.difference_si > 0.0, "{lift:?}");
    let work = &pair.comparison.differences[&Measure::InternalWork];
    let sign = if work.difference_si < 0.0 { " less a stride" } else { " more a stride" };
    assert_eq!(sentence.contains(sign), work.seen, "{sentence}");
}

#[test]
fn the_ledger_adds_up_and_the_bars_are_those_of_the_ledger() {
    let session = example();
    let analysed = analysed(&session, 0);
    let mean = |m: Measure| analysed.analysis.measures[&m].mean_si;
    let sum: f64 = LIMBS.into_iter().map(mean).sum();
    assert!((sum - mean(Measure::InternalWork)).abs() < 1e-9 * sum);
    let bars = chart::energy_bars(&[&analysed], PixelRange { from_px: 0.0, to_px: 100.0 });
    for group in &bars.groups {
        let bar = &group.bars[0];
        let value = bars.axis.from_shown
            + bar.width_px / 100.0 * (bars.axis.to_shown - bars.axis.from_shown);
        assert!((value - mean(group.measure)).abs() < 1e-9, "{group:?}");
    }
    let stars: Vec<bool> = bars.groups.iter().map(|g| g.label.ends_with('*')).collect();
    assert_eq!(stars, [false, true, false, true, false]);
}

#[test]
fn every_number_that_depends_on_a_mirrored_far_side_is_marked_and_no_other() {
    let session = example();
    let analysed = analysed(&session, 0);
    let ledger = report::ledger(&[&analysed]);
    assert!(ledger.total.label == "In all †" && ledger.signs.contains('†'));
    let lines = report::measure_groups(&[&analysed]).into_iter().flat_map(|g| g.lines);
    let (mut with, mut without) = (0, 0);
    for line in lines {
        let notes = &analysed.analysis.measures[&line.measure].notes;
        let depends = notes.iter().any(|n| n.key == "far_side_mirrored");
        assert_eq!(line.heading.ends_with(['*', '†']), depends, "{}", line.heading);
        if depends { with += 1 } else { without += 1 }
    }
    assert!(with > 10 && without > 10, "{with} {without}");
}

#[test]
fn the_file_of_measures_contains_every_measure_in_the_unit_it_names() {
    let session = example();
    let analysed = analysed(&session, 0);
    let rows = read_cells(&csv::measures(&analysed));
    assert_eq!(rows.len(), 1 + analysed.analysis.measures.len());
    for (measure, estimate) in &analysed.analysis.measures {
        let row = row(*measure);
        let line = rows.iter().find(|r| r[0] == row.identifier).unwrap();
        assert_eq!(line.len(), rows[0].len());
        assert_eq!(line[2], row.unit.in_files());
        let mean: f64 = line[3].parse().unwrap();
        assert!((mean - row.unit.shown(estimate.mean_si)).abs() < 1e-6);
        assert_eq!(line[5], estimate.n.to_string());
    }
    let pair = ResultCache::new().pair(&session).unwrap();
    let two = read_cells(&csv::measures_of_two(&pair));
    assert!(two.len() > 20 && two.iter().all(|r| r.len() == two[0].len()));
}

#[test]
fn the_file_of_positions_contains_every_frame_in_metres() {
    let session = example();
    let rows = read_cells(&csv::positions(&session.trials[0]).unwrap());
    assert_eq!(rows.len(), 601);
    let column = |name: &str| rows[0].iter().position(|c| c == name).unwrap();
    let (hip_y, knee_y) = (column("near_hip_y_m"), column("near_knee_y_m"));
    let metres = positions(&truth("heels_low"), "m");
    let between = |landmark, frame: usize| -> f64 { metres[&landmark][frame].y_px };
    for frame in [0, 123, 599] {
        let number = |c: usize| -> f64 { rows[frame + 1][c].parse().unwrap() };
        let thigh_m = number(hip_y) - number(knee_y);
        let true_m = between(mechanics::body::Landmark::NearHip, frame)
            - between(mechanics::body::Landmark::NearKnee, frame);
        assert!((thigh_m - true_m).abs() < 2e-4, "{thigh_m} against {true_m}");
    }
}

#[test]
fn rendered_clips_of_measured_runners_give_the_numbers_of_their_metres() {
    for (clip, rate_hz, mass_kg) in [("runner_a", 120.0, 62.0), ("runner_b", 60.0, 70.0)] {
        let Some((session, metres)) = measured(clip, rate_hz, mass_kg) else {
            println!("not run: there is no ../shared/clips/{clip}");
            continue;
        };
        let analysed = analysed(&session, 0);
        print(&analysed);
        // The true pixels are rounded to a thousandth; a rolled camera is corrected by two dots a metre apart.
        assert_same(&analysed.analysis, &on_metres(&analysed, &metres), 0.005);
    }
}
