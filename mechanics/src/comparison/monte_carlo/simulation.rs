//! The simulation, run by run.

use super::trial::SimulatedTrial;
use crate::comparison::analysed_trial::AnalysedTrial;
use crate::measures::Measure;
use crate::statistics::{Random, sd};
use std::collections::BTreeMap;

/// SD of each difference due to the measurement, in the SI unit of the measure.
pub type SpreadOfDifferences = BTreeMap<Measure, f64>;

/// A Monte Carlo simulation of a comparison, done run by run, so that it can stop at any time and never blocks its
/// caller for long.
///
/// Each run draws those errors of both measurements that the spread of their strides cannot show (`errors`), computes
/// every measure of both trials again and keeps the differences. Run k always draws the same errors from the same seed.
///
/// Source: JCGM 101:2008 (propagation of distributions by a Monte Carlo method).
#[derive(Debug)]
pub struct MonteCarlo {
    first: SimulatedTrial,
    second: SimulatedTrial,
    seed: u64,
    runs: u32,
    runs_done: u32,
    differences_si: BTreeMap<Measure, Vec<f64>>,
}

impl MonteCarlo {
    /// Default number of runs. Chosen: the SD of 500 draws is known to 3 %.
    pub const DEFAULT_RUNS: u32 = 500;

    /// A simulation of this many runs, none of them done.
    #[must_use]
    pub fn new(first: AnalysedTrial<'_>, second: AnalysedTrial<'_>, seed: u64, runs: u32) -> Self {
        Self {
            first: SimulatedTrial::new(first),
            second: SimulatedTrial::new(second),
            seed,
            runs,
            runs_done: 0,
            differences_si: BTreeMap::new(),
        }
    }

    /// Number of runs done.
    #[must_use]
    pub fn runs_done(&self) -> u32 {
        self.runs_done
    }

    /// Number of runs in all.
    #[must_use]
    pub fn runs(&self) -> u32 {
        self.runs
    }

    /// Does one run and returns whether more are left.
    pub fn run_once(&mut self) -> bool {
        if self.runs_done >= self.runs {
            return false;
        }
        self.runs_done += 1;
        let mut random =
            Random::new(self.seed ^ u64::from(self.runs_done).wrapping_mul(0x9e37_79b9));
        let first = self.first.draw_means(&mut random);
        let second = self.second.draw_means(&mut random);
        for (measure, one_si) in first {
            if let Some(other_si) = second.get(&measure) {
                let difference_si = other_si - one_si;
                if difference_si.is_finite() {
                    self.differences_si.entry(measure).or_default().push(difference_si);
                }
            }
        }
        self.runs_done < self.runs
    }

    /// The SDs over the runs done so far.
    #[must_use]
    pub fn spread(&self) -> SpreadOfDifferences {
        let known = |(m, v): (&Measure, &Vec<f64>)| Some((*m, sd(v).filter(|s| s.is_finite())?));
        self.differences_si.iter().filter_map(known).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::analysis::{Analysis, Trial, analyse};
    use crate::gait::EventKind;
    use crate::landmark::MarkerSet;
    use crate::synthetic::trial;

    /// A synthetic trial with its analysis.
    struct Synthetic {
        trial: Trial,
        analysis: Analysis,
    }

    impl Synthetic {
        fn analysed(&self) -> AnalysedTrial<'_> {
            AnalysedTrial { trial: &self.trial, analysis: &self.analysis }
        }
    }

    /// A trial with these SDs and without errors of its events.
    fn with_sds(marker_sd_m: f64, scale_sd_ratio: f64, vertical_sd_rad: f64) -> Synthetic {
        let trial = trial(400, 120.0, MarkerSet::NearSide);
        let trial = Trial { marker_sd_m, scale_sd_ratio, vertical_sd_rad, ..trial };
        let mut analysis = analyse(&trial).unwrap();
        analysis.events.iter_mut().for_each(|e| e.sd_s = 0.0);
        Synthetic { trial, analysis }
    }

    /// The spread of the difference of a trial from itself.
    fn simulated(analysed: AnalysedTrial<'_>, seed: u64, runs: u32) -> SpreadOfDifferences {
        let mut simulation = MonteCarlo::new(analysed, analysed, seed, runs);
        while simulation.run_once() {}
        assert_eq!(simulation.runs_done(), runs);
        simulation.spread()
    }

    #[test]
    fn the_scale_adds_twice_its_sd_to_energies_its_sd_to_lengths_and_nothing_to_times() {
        let of = with_sds(0.0, 0.01, 0.0);
        let spread = simulated(of.analysed(), 3, 500);
        let of_mean = |m: Measure| spread[&m] / of.analysis.measures[&m].mean_si;
        // Exact to first order: two trials, each off by 1 %; the SD of 500 draws is known to 3 %.
        let both = 0.01 * 2.0_f64.sqrt();
        assert!((of_mean(Measure::InternalWork) / (2.0 * both) - 1.0).abs() < 0.1);
        assert!((of_mean(Measure::HeelLift) / both - 1.0).abs() < 0.1);
        assert!(of_mean(Measure::StrideTime).abs() < 1e-12);
    }

    #[test]
    fn a_leaning_plumb_line_changes_distances_ahead_and_no_angle_between_segments() {
        let of = with_sds(0.0, 0.0, 0.01);
        let spread = simulated(of.analysed(), 4, 300);
        assert!(spread[&Measure::PeakKneeFlexion] < 1e-9);
        assert!(spread[&Measure::InternalWork] < 1e-9);
        // Exact to first order: the ankle at contact is 0.8 to 0.9 m below the hip; 1 cm/m, two trials.
        let ahead_m = spread[&Measure::LandingAheadOfHip];
        assert!(ahead_m > 0.009 && ahead_m < 0.015, "{ahead_m}");
    }

    #[test]
    fn displaced_markers_change_the_knee_angle_and_no_difference_of_one_marker() {
        let of = with_sds(0.002, 0.0, 0.0);
        let spread = simulated(of.analysed(), 5, 500);
        // The heel has the same error in contact.
        assert!(spread[&Measure::HeelLift] < 1e-9, "{}", spread[&Measure::HeelLift]);
        // Exact to first order: sqrt(4 + 2 cos b) 2 mm / 0.43 m and two trials; 500 draws know it to 3 %.
        let bend = of.analysis.measures[&Measure::PeakKneeFlexion].mean_si;
        let knee = (4.0 + 2.0 * bend.cos()).sqrt() * 0.002 / 0.43 * 2.0_f64.sqrt();
        assert!((spread[&Measure::PeakKneeFlexion] / knee - 1.0).abs() < 0.1, "{knee}");
    }

    #[test]
    fn lasting_event_errors_change_contact_times_and_not_stride_times() {
        let mut of = with_sds(0.0, 0.0, 0.0);
        let all = of.analysis.events.iter_mut();
        all.for_each(|e| e.sd_s = if e.kind == EventKind::Contact { 0.006 } else { 0.008 });
        let spread = simulated(of.analysed(), 6, 500);
        // Exact: half of 6 and of 8 ms, together 5 ms; two trials.
        let contact_s = 0.005 * 2.0_f64.sqrt();
        assert!((spread[&Measure::ContactTime] / contact_s - 1.0).abs() < 0.1);
        assert!(spread[&Measure::StrideTime] < 1e-12);
    }

    #[test]
    fn the_same_seed_gives_the_same_spread_and_another_seed_a_similar_one() {
        let of = with_sds(0.001, 0.005, 0.005);
        let with_seed = |seed| simulated(of.analysed(), seed, 200);
        let (a, b, c) = (with_seed(7), with_seed(7), with_seed(8));
        assert_eq!(a, b);
        let (one, other) = (a[&Measure::InternalWork], c[&Measure::InternalWork]);
        assert!(one != other && (one / other - 1.0).abs() < 0.3);
    }
}
