//! Results kept until what they are made of changes.

use super::analyse::{Analysed, TrialResult, alike, analyse_trial, compare_trials};
use crate::session::{Calibration, ClipInfo, Cutoff, Options, Runner, Session, Track, Trial};
use mechanics::body::{Landmark, MarkerSet, Table};
use mechanics::comparison::Comparison;
use mechanics::gait::EventEdit;
use std::collections::BTreeMap;
use std::rc::Rc;

/// Two trials and what their comparison says.
#[derive(Clone, Debug)]
pub struct Pair {
    /// The first way.
    pub first: Analysed,
    /// The second way.
    pub second: Analysed,
    /// Second against first.
    pub comparison: Comparison,
}

/// Keeps the results of the trials and pairs asked for last.
#[derive(Debug, Default)]
pub struct Memo {
    trials: Vec<(Key, Rc<TrialResult>)>,
    pairs: Vec<(PairKey, Rc<Pair>)>,
}

/// The two results, by address, that a pair was made of.
type PairKey = (Rc<TrialResult>, Rc<TrialResult>);

/// How many results are kept. Chosen: two trials, each before and after an undo, twice.
const KEPT: usize = 8;

impl Memo {
    /// A memo that knows nothing yet.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// The result of a trial, computed only when something it depends on has changed.
    pub fn trial(&mut self, trial: &Trial, runner: &Runner, options: &Options) -> Rc<TrialResult> {
        let key = Key::of(trial, runner, options);
        if let Some(place) = self.trials.iter().position(|(known, _)| known.same_as(&key)) {
            let found = self.trials.remove(place);
            let result = found.1.clone();
            self.trials.push(found);
            return result;
        }
        let result = Rc::new(analyse_trial(trial, runner, options));
        self.trials.push((key, result.clone()));
        if self.trials.len() > KEPT {
            self.trials.remove(0);
        }
        result
    }

    /// The comparison of the session's first two trials; none while one of them lacks something.
    pub fn pair(&mut self, session: &Session) -> Option<Rc<Pair>> {
        let (first, second) = (session.trials.first()?, session.trials.get(1)?);
        let first = self.trial(first, &session.runner, &session.options);
        let second = self.trial(second, &session.runner, &session.options);
        let same = |(a, b): &PairKey| Rc::ptr_eq(a, &first) && Rc::ptr_eq(b, &second);
        if let Some((_, pair)) = self.pairs.iter().find(|(key, _)| same(key)) {
            return Some(pair.clone());
        }
        let pair =
            Rc::new(make_pair(first.as_ref().as_ref().ok()?, second.as_ref().as_ref().ok()?));
        self.pairs.push(((first, second), pair.clone()));
        if self.pairs.len() > KEPT {
            self.pairs.remove(0);
        }
        Some(pair)
    }
}

fn make_pair(first: &Analysed, second: &Analysed) -> Pair {
    let (first, second) = alike(first, second);
    let comparison = compare_trials(&first, &second);
    Pair { first, second, comparison }
}

/// All that a result depends on; names, cues and shoes are not among it.
#[derive(Clone, Debug)]
struct Key {
    info: Rc<ClipInfo>,
    tracks: BTreeMap<Landmark, Rc<Track>>,
    event_edits: Vec<EventEdit>,
    calibration: Calibration,
    numbers: Numbers,
}

/// The part of a key that is compared value by value.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Numbers {
    mass_kg: Option<f64>,
    height_m: Option<f64>,
    speed_m_s: Option<f64>,
    on_belt: bool,
    table: Table,
    cutoff: Cutoff,
    marker_set: MarkerSet,
}

impl Key {
    fn of(trial: &Trial, runner: &Runner, options: &Options) -> Self {
        Self {
            info: trial.clip.info.clone(),
            tracks: trial.tracks.clone(),
            event_edits: trial.event_edits.clone(),
            calibration: trial.calibration,
            numbers: Numbers {
                mass_kg: runner.mass_kg,
                height_m: runner.height_m,
                speed_m_s: trial.conditions.speed_m_s,
                on_belt: trial.conditions.on_belt,
                table: runner.table,
                cutoff: options.cutoff,
                marker_set: trial.marker_set,
            },
        }
    }

    fn same_as(&self, other: &Self) -> bool {
        self.numbers == other.numbers
            && self.calibration == other.calibration
            && self.event_edits == other.event_edits
            && same(&self.info, &other.info)
            && self.tracks.len() == other.tracks.len()
            && self.tracks.iter().zip(&other.tracks).all(|((a, x), (b, y))| a == b && same(x, y))
    }
}

/// By address first, which is nearly always enough; by value after a reload.
fn same<T: PartialEq>(one: &Rc<T>, other: &Rc<T>) -> bool {
    Rc::ptr_eq(one, other) || one == other
}
