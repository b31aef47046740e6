//! Over 400 invented trials, the stated 95 % intervals hold what unlimited strides without an error give.

use crate::common::runner::{Runner, fixed, measured};
use crate::common::{analysed, mean};
use mechanics::analysis::{Analysis, Trial};
use mechanics::body::MarkerSet;
use mechanics::comparison::{Repeats, Side, compare, compare_with};
use mechanics::measures::Measure as M;
use std::collections::BTreeMap;

const PAIRS: u64 = 200;
/// Repeats of each measurement; the SD of so many draws is known to 11 %.
const RUNS: u32 = 40;
/// Measures whose interval has no part for the rule of the events, which an invented runner does not have.
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
    // Not the ankle's: this runner's is stiff and does no work.
    M::KneeSwingPositiveWork,
    M::KneeSwingNegativeWork,
];

/// What the measurement of these trials is unsure of: 3 mm a marker for the whole trial, 0.5 % of scale.
fn unsure(trial: Trial) -> Trial {
    fixed(Trial { marker_sd_m: 0.003, scale_sd_ratio: 0.005, ..trial }, 8.0)
}

fn filmed(runner: Runner, seed: u64) -> (Trial, Analysis) {
    let trial = unsure(runner.filmed(13, MarkerSet::Legs, seed));
    let trial = measured(trial, 0.0005, seed.wrapping_mul(7919) + 1);
    let mut analysis = analysed(&trial);
    // The rules are off by the same in these trials and in the truth, so that their events have no error that lasts.
    analysis.events.iter_mut().for_each(|e| e.sd_s = 0.0);
    (trial, analysis)
}

/// Means over 600 strides without any error.
fn truth(runner: Runner) -> BTreeMap<M, f64> {
    let analysis = analysed(&fixed(runner.filmed(600, MarkerSet::Legs, 999), 8.0));
    MEASURES.into_iter().map(|m| (m, mean(&analysis, m))).collect()
}

fn holds(interval: Option<(f64, f64)>, truth: f64) -> bool {
    interval.is_some_and(|(low, high)| low <= truth && truth <= high)
}

/// Of how many cases the interval of each measure held the truth.
#[derive(Default)]
struct Counts {
    cases: u64,
    held: BTreeMap<String, u64>,
}

impl Counts {
    fn add(&mut self, what: String, held: bool) {
        *self.held.entry(what).or_default() += u64::from(held);
    }

    /// Prints each one's part of the cases, and fails where one is outside of 90 to 98 %.
    fn are_as_stated(&self) {
        let part = |held: u64| held as f64 / self.cases as f64;
        for (what, held) in &self.held {
            println!("{what}: {:.1} % of {}", 100.0 * part(*held), self.cases);
        }
        for (what, held) in &self.held {
            assert!((0.90..=0.98).contains(&part(*held)), "{what}: {}", part(*held));
        }
    }
}

type Truth = BTreeMap<M, f64>;

/// Cadence and shape from the true means; both run at one speed.
fn true_split_j([first, second]: &[Truth; 2]) -> [f64; 2] {
    let (work, time) = (M::InternalWork, M::StrideTime);
    let cadence_j = first[&work] * ((first[&time] / second[&time]).powi(2) - 1.0);
    [cadence_j, second[&work] - first[&work] - cadence_j]
}

/// Whether the intervals of a pair hold the true differences: to first order, and by repeats.
fn add_differences(
    counts: &mut Counts,
    [first, second]: [Side<'_>; 2],
    truths: &[Truth; 2],
    seed: u64,
) {
    let mut repeats = Repeats::new(first, second, seed, RUNS);
    while repeats.run() {}
    let plain = compare(first, second, seed);
    let repeated = compare_with(first, second, seed, &repeats.spread());
    counts.cases += 1;
    for measure in MEASURES {
        let true_si = truths[1][&measure] - truths[0][&measure];
        for (how, comparison) in [("first order", &plain), ("repeats", &repeated)] {
            let interval = comparison.differences[&measure].interval_95_si;
            counts.add(format!("difference, {how}, {measure:?}"), holds(interval, true_si));
        }
    }
    let (split, [cadence_j, shape_j]) = (plain.split.unwrap(), true_split_j(truths));
    counts.add("part of the cadence".into(), holds(split.cadence_95_j, cadence_j));
    counts.add("part of the shape".into(), holds(split.shape_95_j, shape_j));
}

#[test]
fn intervals_of_means_differences_and_parts_hold_the_truth_in_90_to_98_of_100_trials() {
    let quicker = Runner { stride_s: 0.70, bend_rad: 1.6, ..Runner::USUAL };
    let truths = [truth(Runner::USUAL), truth(quicker)];
    let (mut of_means, mut of_differences) = (Counts::default(), Counts::default());
    for seed in 0..PAIRS {
        let both = [filmed(Runner::USUAL, seed), filmed(quicker, 5000 + seed)];
        for ((_, analysis), truth) in both.iter().zip(&truths) {
            of_means.cases += 1;
            for measure in MEASURES {
                let interval = analysis.measures[&measure].interval_95_si;
                of_means.add(format!("mean, {measure:?}"), holds(interval, truth[&measure]));
            }
        }
        let sides = [&both[0], &both[1]].map(|(trial, analysis)| Side { trial, analysis });
        add_differences(&mut of_differences, sides, &truths, seed);
    }
    of_means.are_as_stated();
    of_differences.are_as_stated();
}
