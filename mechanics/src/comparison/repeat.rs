//! The measurement done over and over with its errors drawn anew, to see how far a difference moves.

mod errors;
mod trial;

use super::Side;
use crate::measures::Measure;
use crate::statistics::{Random, sd};
use std::collections::BTreeMap;
use trial::Repeated;

/// What the measurement adds to the spread of each difference, in the SI unit of the measure.
pub type SpreadOfDifferences = BTreeMap<Measure, f64>;

/// A Monte Carlo simulation of a comparison that is done run by run, so that it can be given up at any
/// time and never holds up what else there is to do.
///
/// In each run the errors of both measurements that the spread of their strides cannot show are drawn anew
/// (`errors`), every measure of both is computed again, and the change of the difference is kept. Run k draws the same errors from the same seed however
/// the runs are spread over time.
///
/// Source: JCGM 101:2008 (propagation of distributions by a Monte Carlo method).
#[derive(Debug)]
pub struct Repeats {
    first: Repeated,
    second: Repeated,
    seed: u64,
    wanted: u32,
    done: u32,
    differences_si: BTreeMap<Measure, Vec<f64>>,
}

impl Repeats {
    /// Chosen: the SD of 500 draws is known to 3 %.
    pub const USUAL: u32 = 500;

    /// A simulation of so many runs, none of them done.
    #[must_use]
    pub fn new(first: Side<'_>, second: Side<'_>, seed: u64, wanted: u32) -> Self {
        Self {
            first: Repeated::new(first),
            second: Repeated::new(second),
            seed,
            wanted,
            done: 0,
            differences_si: BTreeMap::new(),
        }
    }

    /// How many runs are done.
    #[must_use]
    pub fn done(&self) -> u32 {
        self.done
    }

    /// How many there are to be.
    #[must_use]
    pub fn wanted(&self) -> u32 {
        self.wanted
    }

    /// Does one run; whether there are more to do.
    pub fn run(&mut self) -> bool {
        if self.done >= self.wanted {
            return false;
        }
        self.done += 1;
        let mut random = Random::new(self.seed ^ u64::from(self.done).wrapping_mul(0x9e37_79b9));
        let first = self.first.once(&mut random);
        let second = self.second.once(&mut random);
        for (measure, one_si) in first {
            if let Some(other_si) = second.get(&measure) {
                let moved_si = other_si - one_si;
                if moved_si.is_finite() {
                    self.differences_si.entry(measure).or_default().push(moved_si);
                }
            }
        }
        self.done < self.wanted
    }

    /// What the runs done so far say.
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
    use crate::body::MarkerSet;
    use crate::comparison::invented::trial;
    use crate::gait::EventKind;

    fn with(sizes: (f64, f64, f64)) -> (Trial, Analysis) {
        let mut trial = trial(400, 120.0, MarkerSet::NearSide);
        (trial.marker_sd_m, trial.scale_sd_ratio, trial.vertical_sd_rad) = sizes;
        let mut analysis = analyse(&trial).unwrap();
        analysis.events.iter_mut().for_each(|e| e.sd_s = 0.0);
        (trial, analysis)
    }

    fn repeated(of: &(Trial, Analysis), seed: u64, runs: u32) -> SpreadOfDifferences {
        let side = Side { trial: &of.0, analysis: &of.1 };
        let mut repeats = Repeats::new(side, side, seed, runs);
        while repeats.run() {}
        assert_eq!(repeats.done(), runs);
        repeats.spread()
    }

    #[test]
    fn a_wrong_scale_moves_energies_with_its_square_lengths_with_itself_and_times_not_at_all() {
        let of = with((0.0, 0.01, 0.0));
        let spread = repeated(&of, 3, 500);
        let of_mean = |m: Measure| spread[&m] / of.1.measures[&m].mean_si;
        // Exact to first order: two trials, each off by 1 %; the SD of 500 draws is known to 3 %.
        let both = 0.01 * 2.0_f64.sqrt();
        assert!((of_mean(Measure::InternalWork) / (2.0 * both) - 1.0).abs() < 0.1);
        assert!((of_mean(Measure::HeelLift) / both - 1.0).abs() < 0.1);
        assert!(of_mean(Measure::StrideTime).abs() < 1e-12);
    }

    #[test]
    fn a_leaning_plumb_line_turns_what_lies_ahead_and_leaves_angles_between_segments() {
        let of = with((0.0, 0.0, 0.01));
        let spread = repeated(&of, 4, 300);
        assert!(spread[&Measure::PeakKneeFlexion] < 1e-9);
        assert!(spread[&Measure::InternalWork] < 1e-9);
        // Exact to first order: the ankle at contact is 0.8 to 0.9 m below the hip; 1 cm/m, two trials.
        let ahead_m = spread[&Measure::LandingAheadOfHip];
        assert!(ahead_m > 0.009 && ahead_m < 0.015, "{ahead_m}");
    }

    #[test]
    fn markers_that_are_off_bend_the_knee_and_leave_what_is_measured_from_one_of_them() {
        let of = with((0.002, 0.0, 0.0));
        let spread = repeated(&of, 5, 500);
        // A heel that is off all the time is off in contact too.
        assert!(spread[&Measure::HeelLift] < 1e-9, "{}", spread[&Measure::HeelLift]);
        // Exact to first order: sqrt(4 + 2 cos b) 2 mm / 0.43 m and two trials; 500 draws know it to 3 %.
        let bend = of.1.measures[&Measure::PeakKneeFlexion].mean_si;
        let knee = (4.0 + 2.0 * bend.cos()).sqrt() * 0.002 / 0.43 * 2.0_f64.sqrt();
        assert!((spread[&Measure::PeakKneeFlexion] / knee - 1.0).abs() < 0.1, "{knee}");
    }

    #[test]
    fn events_move_contact_times_by_the_part_of_their_spread_that_lasts_and_stride_times_not() {
        let mut of = with((0.0, 0.0, 0.0));
        let all = of.1.events.iter_mut();
        all.for_each(|e| e.sd_s = if e.kind == EventKind::Contact { 0.006 } else { 0.008 });
        let spread = repeated(&of, 6, 500);
        // Exact: half of 6 and of 8 ms, together 5 ms; two trials.
        let contact_s = 0.005 * 2.0_f64.sqrt();
        assert!((spread[&Measure::ContactTime] / contact_s - 1.0).abs() < 0.1);
        assert!(spread[&Measure::StrideTime] < 1e-12);
    }

    #[test]
    fn the_same_seed_gives_the_same_spread_and_another_one_nearly_so() {
        let of = with((0.001, 0.005, 0.005));
        let (a, b, c) = (repeated(&of, 7, 200), repeated(&of, 7, 200), repeated(&of, 8, 200));
        assert_eq!(a, b);
        let (one, other) = (a[&Measure::InternalWork], c[&Measure::InternalWork]);
        assert!(one != other && (one / other - 1.0).abs() < 0.3);
    }
}
