//! Over 400 invented trials, the stated 95 % intervals hold what unlimited strides without an error give.

use crate::common::runner::{Runner, fixed, measured};
use crate::common::{analysed, mean};
use mechanics::analysis::{Analysis, Trial};
use mechanics::body::MarkerSet;
use mechanics::comparison::{Side, compare};
use mechanics::measures::Measure as M;
use std::collections::BTreeMap;

const PAIRS: u64 = 200;
/// Measures whose interval has no part for the rule of the events, which an invented runner does not have.
const MEASURES: [M; 12] = [
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
];

/// What the measurement of these trials is unsure of: 3 mm a marker for the whole trial, 0.5 % of scale.
fn unsure(trial: Trial) -> Trial {
    fixed(Trial { marker_sd_m: 0.003, scale_sd_ratio: 0.005, ..trial }, 8.0)
}

fn filmed(runner: Runner, seed: u64) -> (Trial, Analysis) {
    let trial = unsure(runner.filmed(13, MarkerSet::Legs, seed));
    let trial = measured(trial, 0.0005, seed.wrapping_mul(7919) + 1);
    let analysis = analysed(&trial);
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
    held: BTreeMap<M, u64>,
}

impl Counts {
    fn add(&mut self, measure: M, held: bool) {
        *self.held.entry(measure).or_default() += u64::from(held);
    }

    /// Prints each measure's part of the cases, and fails where one is outside of 90 to 98 %.
    fn are_as_stated(&self, what: &str) {
        let part = |held: u64| held as f64 / self.cases as f64;
        for (measure, held) in &self.held {
            println!("{what} {measure:?}: {:.1} % of {}", 100.0 * part(*held), self.cases);
        }
        for (measure, held) in &self.held {
            assert!((0.90..=0.98).contains(&part(*held)), "{what} {measure:?}: {}", part(*held));
        }
    }
}

#[test]
fn intervals_of_means_and_of_differences_hold_the_truth_in_90_to_98_of_100_trials() {
    let quicker = Runner { stride_s: 0.70, bend_rad: 1.6, ..Runner::USUAL };
    let truths = [truth(Runner::USUAL), truth(quicker)];
    let (mut of_means, mut of_differences) = (Counts::default(), Counts::default());
    for seed in 0..PAIRS {
        let both = [filmed(Runner::USUAL, seed), filmed(quicker, 5000 + seed)];
        for ((_, analysis), truth) in both.iter().zip(&truths) {
            of_means.cases += 1;
            for (measure, true_si) in truth {
                let interval = analysis.measures[measure].interval_95_si;
                of_means.add(*measure, holds(interval, *true_si));
            }
        }
        of_differences.cases += 1;
        let [first, second] =
            [&both[0], &both[1]].map(|(trial, analysis)| Side { trial, analysis });
        let compared = compare(first, second, seed);
        for measure in MEASURES {
            let interval = compared.differences[&measure].interval_95_si;
            let true_si = truths[1][&measure] - truths[0][&measure];
            of_differences.add(measure, holds(interval, true_si));
        }
    }
    of_means.are_as_stated("mean");
    of_differences.are_as_stated("difference");
}
