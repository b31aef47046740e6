//! Over 400 synthetic trials, the stated 95 % intervals contain the values of unlimited strides without errors.

use crate::common::runner::{Runner, fixed, measured};
use crate::common::{analysed, mean};
use mechanics::analysis::{Analysis, Trial};
use mechanics::body::MarkerSet;
use mechanics::comparison::{AnalysedTrial, MonteCarlo, compare, compare_with};
use mechanics::measures::Measure as M;
use std::collections::BTreeMap;

const PAIRS: u64 = 200;
/// Monte Carlo runs of each comparison; the SD of 40 draws is known to 11 %.
const RUNS: u32 = 40;
/// Measures whose interval has no part for the event rules, which are exact for a synthetic runner.
const MEASURES: [M; 14] = [
    M::InternalWork,
    M::InternalPower,
    M::InternalPowerPerMass,
    M::NearLegWork,
    M::ForwardSwingWork,
    M::StrideTime,
    M::Cadence,
    M::HeelLift,
    M::PeakKneeFlexion,
    M::ThighRange,
    M::LegInertiaMinimum,
    M::LegInertiaMaximum,
    // Not of the ankle: this runner's is stiff and does no work.
    M::KneeSwingPositiveWork,
    M::KneeSwingNegativeWork,
];

/// The trial with the SDs of these measurements: 3 mm a marker for the whole trial, 0.5 % of scale.
fn with_sds(trial: Trial) -> Trial {
    fixed(Trial { marker_sd_m: 0.003, scale_sd_ratio: 0.005, ..trial }, 8.0)
}

fn filmed(runner: Runner, seed: u64) -> (Trial, Analysis) {
    let trial = with_sds(runner.filmed(13, MarkerSet::Legs, seed));
    let trial = measured(trial, 0.0005, seed.wrapping_mul(7919) + 1);
    let mut analysis = analysed(&trial);
    // The event rules err alike in these trials and in the truth, so that the events have no lasting error.
    analysis.events.iter_mut().for_each(|e| e.sd_s = 0.0);
    (trial, analysis)
}

/// Means over 600 strides without errors.
fn truth(runner: Runner) -> BTreeMap<M, f64> {
    let analysis = analysed(&fixed(runner.filmed(600, MarkerSet::Legs, 999), 8.0));
    MEASURES.into_iter().map(|m| (m, mean(&analysis, m))).collect()
}

fn contains(interval: Option<(f64, f64)>, truth: f64) -> bool {
    interval.is_some_and(|(low, high)| low <= truth && truth <= high)
}

/// How many intervals contained the truth, by measure.
#[derive(Default)]
struct Counts {
    cases: u64,
    within: BTreeMap<String, u64>,
}

impl Counts {
    fn add(&mut self, what: String, within: bool) {
        *self.within.entry(what).or_default() += u64::from(within);
    }

    /// Prints each share of the cases, and fails if one lies outside 90 to 98 %.
    fn assert_as_stated(&self) {
        let share = |within: u64| within as f64 / self.cases as f64;
        for (what, within) in &self.within {
            println!("{what}: {:.1} % of {}", 100.0 * share(*within), self.cases);
        }
        for (what, within) in &self.within {
            assert!((0.90..=0.98).contains(&share(*within)), "{what}: {}", share(*within));
        }
    }
}

type Truth = BTreeMap<M, f64>;

/// The parts of cadence and shape from the true means; both trials have one speed.
fn true_split_j([first, second]: &[Truth; 2]) -> [f64; 2] {
    let (work, time) = (M::InternalWork, M::StrideTime);
    let cadence_j = first[&work] * ((first[&time] / second[&time]).powi(2) - 1.0);
    [cadence_j, second[&work] - first[&work] - cadence_j]
}

/// Counts whether the intervals of a pair contain the true differences: to first order, and by Monte Carlo.
fn add_differences(
    counts: &mut Counts,
    [first, second]: [AnalysedTrial<'_>; 2],
    truths: &[Truth; 2],
    seed: u64,
) {
    let mut simulation = MonteCarlo::new(first, second, seed, RUNS);
    while simulation.run_once() {}
    let first_order = compare(first, second, seed);
    let monte_carlo = compare_with(first, second, seed, &simulation.spread());
    counts.cases += 1;
    for measure in MEASURES {
        let true_si = truths[1][&measure] - truths[0][&measure];
        for (how, comparison) in [("first order", &first_order), ("Monte Carlo", &monte_carlo)] {
            let interval = comparison.differences[&measure].interval_95_si;
            counts.add(format!("difference, {how}, {measure:?}"), contains(interval, true_si));
        }
    }
    let (split, [cadence_j, shape_j]) = (first_order.split.unwrap(), true_split_j(truths));
    counts.add("part of the cadence".into(), contains(split.cadence_95_j, cadence_j));
    counts.add("part of the shape".into(), contains(split.shape_95_j, shape_j));
}

#[test]
fn intervals_of_means_differences_and_parts_contain_the_truth_in_90_to_98_percent_of_trials() {
    let quicker = Runner { stride_s: 0.70, bend_rad: 1.6, ..Runner::TYPICAL };
    let truths = [truth(Runner::TYPICAL), truth(quicker)];
    let (mut of_means, mut of_differences) = (Counts::default(), Counts::default());
    for seed in 0..PAIRS {
        let both = [filmed(Runner::TYPICAL, seed), filmed(quicker, 5000 + seed)];
        for ((_, analysis), truth) in both.iter().zip(&truths) {
            of_means.cases += 1;
            for measure in MEASURES {
                let interval = analysis.measures[&measure].interval_95_si;
                of_means.add(format!("mean, {measure:?}"), contains(interval, truth[&measure]));
            }
        }
        let sides = [&both[0], &both[1]].map(|(trial, analysis)| AnalysedTrial { trial, analysis });
        add_differences(&mut of_differences, sides, &truths, seed);
    }
    of_means.assert_as_stated();
    of_differences.assert_as_stated();
}
