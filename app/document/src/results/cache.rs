//! Results cached until their input changes.

use super::analyse::{TrialResult, analyse_trial};
use super::compare::TrialPair;
use super::input::AnalysisInput;
use crate::session::Session;
use std::rc::Rc;

/// Results that are kept. Chosen: two trials, each before and after an undo, twice.
const CAPACITY: usize = 8;

/// Caches the results of the trials and pairs asked for last.
#[derive(Debug, Default)]
pub struct ResultCache {
    trials: Vec<CachedTrial>,
    pairs: Vec<CachedPair>,
}

#[derive(Debug)]
struct CachedTrial {
    input: AnalysisInput,
    result: Rc<TrialResult>,
}

/// A comparison under the two results, by address, from which it was computed.
#[derive(Debug)]
struct CachedPair {
    first: Rc<TrialResult>,
    second: Rc<TrialResult>,
    pair: Rc<TrialPair>,
}

impl ResultCache {
    /// An empty cache.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// The result of a trial, computed only if no result of an equal input is cached.
    pub fn trial(&mut self, input: AnalysisInput) -> Rc<TrialResult> {
        let known = self.trials.iter().position(|t| t.input == input);
        let trial = match known {
            Some(place) => self.trials.remove(place),
            None => {
                let result = Rc::new(analyse_trial(&input));
                CachedTrial { input, result }
            }
        };
        let result = Rc::clone(&trial.result);
        push(&mut self.trials, trial);
        result
    }

    /// The comparison of the session's first two trials; none while one of them is incomplete.
    pub fn pair(&mut self, session: &Session) -> Option<Rc<TrialPair>> {
        let [first, second] = session.trials.get(..2)? else { return None };
        let input = |trial| AnalysisInput::new(trial, &session.runner, &session.options);
        let (first, second) = (self.trial(input(first)), self.trial(input(second)));
        let is_same =
            |p: &&CachedPair| Rc::ptr_eq(&p.first, &first) && Rc::ptr_eq(&p.second, &second);
        if let Some(known) = self.pairs.iter().find(is_same) {
            return Some(Rc::clone(&known.pair));
        }
        let pair = TrialPair::new((*first).as_ref().ok()?, (*second).as_ref().ok()?);
        let pair = Rc::new(pair);
        push(&mut self.pairs, CachedPair { first, second, pair: Rc::clone(&pair) });
        Some(pair)
    }
}

/// Adds the newest item and removes the oldest if there are too many.
fn push<T>(items: &mut Vec<T>, newest: T) {
    items.push(newest);
    if items.len() > CAPACITY {
        items.remove(0);
    }
}
