//! What lies behind a difference: other transfer rules, cadence, the heel, the repeats, cut-offs and legs.

use crate::fixture::{example, input};
use document::results::chart::{blend_curve, residual_curves};
use document::results::scene::Area;
use document::results::{ResultCache, TrialPair, report};
use mechanics::measures::Measure;
use std::rc::Rc;

const AREA: Area = Area { width_px: 400.0, height_px: 180.0 };

fn pair() -> Rc<TrialPair> {
    ResultCache::new().pair(&example()).unwrap()
}

fn with_differences(all: [(Measure, f64); 3]) -> TrialPair {
    let mut pair = pair().as_ref().clone();
    for (measure, difference_si) in all {
        let difference = pair.comparison.differences.get_mut(&measure).unwrap();
        difference.difference_si = difference_si;
        difference.interval_95_si = Some((difference_si - 1.0, difference_si + 1.0));
        difference.seen = difference_si.abs() > 1.0;
    }
    pair
}

fn bounds(within: f64, none: f64, full: f64) -> String {
    let pair = with_differences([
        (Measure::InternalWork, within),
        (Measure::InternalWorkNoTransfer, none),
        (Measure::InternalWorkFullTransfer, full),
    ]);
    report::bounds_sentence(&pair).unwrap()
}

#[test]
fn a_sign_that_depends_on_the_transfer_rule_is_reported() {
    let flips = bounds(-11.1, -12.0, 8.9);
    assert!(flips.contains("−12.0 J") && flips.contains("+8.9 J"), "{flips}");
    assert!(flips.contains("depends on this rule"), "{flips}");
    assert!(bounds(-11.1, -12.0, -9.0).contains("same by every rule"));
    assert!(bounds(-11.1, -12.0, -0.5).contains("Not every rule"));
    let nothing = bounds(-0.1, 0.2, -0.5);
    assert!(!nothing.contains("sign") && !nothing.contains("rule shows"), "{nothing}");
}

#[test]
fn both_trials_of_a_comparison_share_their_cut_offs_and_the_row_states_it() {
    let pair = pair();
    assert_eq!(pair.first.analysis.cutoffs_hz, pair.second.analysis.cutoffs_hz);
    let row = pair.comparison.fairness.iter().find(|f| f.key == "cutoff").unwrap();
    assert!(row.holds && row.found.contains("same in both"), "{}", row.found);
    assert!(report::definition_of_pair(&pair).contains("the higher of both"));
}

#[test]
fn the_steps_from_the_first_to_the_second_cost_add_up() {
    let pair = pair();
    let split = pair.comparison.split.unwrap();
    let work =
        |t: &document::results::TrialAnalysis| t.analysis.measures[&Measure::InternalWork].mean_si;
    let apart = work(&pair.second) - work(&pair.first);
    assert!((split.cadence_j + split.speed_j + split.shape_j - apart).abs() < 1e-9);
    let table = report::split_table(&pair).unwrap();
    assert!(table.rows.len() >= 3);
    assert!(table.rows.iter().all(|r| r.len() == table.headings.len()));
    // What is known of each part stands beside it.
    let (low, high) = split.shape_95_j.unwrap();
    assert!(low < split.shape_j && split.shape_j < high);
    let shown = table.rows.last().and_then(|row| row.last()).unwrap();
    assert!(shown.contains(&format!("{:.1}", low.abs())) && shown.contains(" to "), "{shown}");
}

#[test]
fn the_blend_runs_from_the_first_heel_lift_to_about_the_second() {
    let pair = pair();
    let steps = pair.blend();
    let lift =
        |t: &document::results::TrialAnalysis| t.analysis.measures[&Measure::HeelLift].mean_si;
    assert!((steps[0].heel_lift_m - lift(&pair.first)).abs() < 0.02);
    assert!((steps[10].heel_lift_m - lift(&pair.second)).abs() < 0.04);
    let chart = blend_curve(&steps, AREA).unwrap();
    assert_eq!(chart.table.rows.len(), steps.len());
    assert!(!chart.lines[0].line.contains("NaN"));
    assert!(report::blend_sentence(&steps).unwrap().contains("mechanical work"));
    assert!(blend_curve(&[], AREA).is_none() && report::blend_sentence(&[]).is_none());
}

#[test]
fn a_monte_carlo_repetition_changes_intervals_only_and_states_its_runs() {
    let pair = pair();
    let mut runs = pair.monte_carlo();
    for _ in 0..40 {
        assert!(runs.run_once());
    }
    let again = pair.with_spread(&runs.spread());
    for (measure, before) in &pair.comparison.differences {
        let after = &again.comparison.differences[measure];
        assert_eq!(before.difference_si, after.difference_si);
        assert!(after.interval_95_si.is_none_or(|(a, b)| a.is_finite() && b.is_finite()));
    }
    let work =
        |p: &TrialPair| p.comparison.differences[&Measure::InternalWork].interval_95_si.unwrap();
    assert_ne!(work(&pair), work(&again));
    let sentence = |state| report::spread_sentence(state);
    assert!(sentence(report::MonteCarloState::Running).contains("being repeated"));
    assert!(sentence(report::MonteCarloState::Done { runs: 500 }).contains("500 repeats"));
    assert!(sentence(report::MonteCarloState::Stopped).contains("has stopped: open"));
}

#[test]
fn every_marker_shows_the_choice_of_its_cut_off_and_checks_are_listed() {
    let mut cache = ResultCache::new();
    let session = example();
    let result = cache.trial(input(&session, 0));
    let done = result.as_ref().as_ref().unwrap();
    let charts = residual_curves(done, AREA);
    assert_eq!(charts.len(), done.analysis.cutoffs_hz.len());
    for chart in &charts {
        assert!(chart.toe_offs[0].x_px >= 0.0 && chart.toe_offs[0].x_px <= AREA.width_px);
    }
    let checks = report::checks(done);
    assert_eq!(checks.len(), done.analysis.checks.len());
    assert!(checks.iter().any(|c| c.name.contains("flight")));
    // The example shows its near side alone.
    assert!(report::legs_table(done).is_none());
}
