//! The Monte Carlo of the measurement: a worker repeats it for a pair while the screen is shown.

use crate::browser::clock::pause;
use crate::browser::monte_carlo::{RepeatsLink, Repetition};
use crate::ui::components::Shared;
use document::results::TrialPair;
use document::results::report::MonteCarloState;
use document::session::Session;
use std::cell::RefCell;
use std::rc::Rc;
use wasm_bindgen_futures::spawn_local;
use yew::prelude::*;

/// Chosen: enough for the screen to be drawn first.
const START_AFTER_MS: i32 = 50;

/// A pair, with the spread of the measurement once that is known.
#[derive(Clone, PartialEq)]
pub struct WithSpread {
    /// Whether the repeats are under way, done or stopped.
    pub repeating: MonteCarloState,
    /// The pair.
    pub pair: Shared<TrialPair>,
}

/// The life of one run.
enum Run {
    Waiting,
    Running(#[expect(dead_code, reason = "dropped to end the worker")] Option<RepeatsLink>),
    /// Done or given up.
    Ended,
}

/// A run of a pair with its result.
#[derive(Clone, PartialEq)]
struct Found {
    /// The pair as it was given.
    plain: Shared<TrialPair>,
    with_spread: WithSpread,
}

/// Runs once for each pair; ends when the pair changes or the screen closes.
#[hook]
pub fn use_monte_carlo(
    pair: Option<Shared<TrialPair>>,
    session: &Rc<Session>,
) -> Option<WithSpread> {
    let found = use_state_eq(|| None::<Found>);
    {
        let (found, session) = (found.clone(), Rc::clone(session));
        use_effect_with(pair.clone(), move |pair| {
            let run = Rc::new(RefCell::new(Run::Waiting));
            if let Some(plain) = pair.clone() {
                let on_result = move |repetition| {
                    let with_spread = combine(&plain, repetition);
                    found.set(Some(Found { plain: plain.clone(), with_spread }));
                };
                spawn_local(start(session, Rc::clone(&run), on_result));
            }
            move || drop(run.replace(Run::Ended))
        });
    }
    let pair = pair?;
    // The result of another pair does not count.
    let of_this = found.as_ref().filter(|f| f.plain == pair).map(|f| f.with_spread.clone());
    Some(of_this.unwrap_or(WithSpread { repeating: MonteCarloState::Running, pair }))
}

/// Starts a run unless it was given up meanwhile.
async fn start(
    session: Rc<Session>,
    run: Rc<RefCell<Run>>,
    on_result: impl Fn(Option<Repetition>) + Clone + 'static,
) {
    pause(START_AFTER_MS).await;
    if !matches!(*run.borrow(), Run::Waiting) {
        return;
    }
    let this = Rc::clone(&run);
    let on_end = move |repetition| {
        on_result(repetition);
        // The worker is dropped after its message was handled, not while.
        let this = Rc::clone(&this);
        spawn_local(async move { drop(this.replace(Run::Ended)) });
    };
    let link = RepeatsLink::start(&session, on_end.clone());
    let is_refused = link.is_none();
    run.replace(Run::Running(link));
    if is_refused {
        on_end(None);
    }
}

fn combine(pair: &Shared<TrialPair>, repetition: Option<Repetition>) -> WithSpread {
    match repetition {
        None => WithSpread { repeating: MonteCarloState::Stopped, pair: pair.clone() },
        Some(Repetition { runs, spread }) => WithSpread {
            repeating: MonteCarloState::Done { runs },
            pair: Shared(Rc::new(pair.with_spread(&spread))),
        },
    }
}
