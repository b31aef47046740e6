//! The measurement of a pair repeated behind the screen, in a worker.

use crate::browser::clock::pause;
use crate::browser::monte_carlo::{RepeatsLink, Repetition};
use crate::ui::components::Shared;
use document::results::Pair;
use document::results::analyse::with_spread;
use document::results::report::Repeating;
use document::session::Session;
use std::cell::RefCell;
use std::rc::Rc;
use wasm_bindgen_futures::spawn_local;
use yew::prelude::*;

/// How far the repeats are, and the pair with what they found.
#[derive(Clone, PartialEq)]
pub struct Repeated {
    /// Under way, done or stopped.
    pub repeating: Repeating,
    /// The pair, with the spread of the measurement once all runs are done.
    pub pair: Shared<Pair>,
}

/// What keeps one repetition alive.
enum Hold {
    Waiting,
    Running(#[expect(dead_code, reason = "dropped to end the worker")] Option<RepeatsLink>),
    /// Done or given up.
    Over,
}

/// Begins anew with each pair; given up when the pair changes or the screen is left.
#[hook]
pub fn use_repeats(pair: Option<Shared<Pair>>, session: &Rc<Session>) -> Option<Repeated> {
    let found = use_state_eq(|| None::<(Shared<Pair>, Repeated)>);
    {
        let (found, session) = (found.clone(), Rc::clone(session));
        use_effect_with(pair.clone(), move |pair| {
            let hold = Rc::new(RefCell::new(Hold::Waiting));
            if let Some(pair) = pair.clone() {
                let hold = Rc::clone(&hold);
                spawn_local(async move {
                    // The screen is drawn first.
                    pause(50).await;
                    if matches!(*hold.borrow(), Hold::Waiting) {
                        let done = Rc::clone(&hold);
                        let tell = move |now| {
                            found.set(Some((pair.clone(), told(&pair, now))));
                            // The worker is ended after it was heard, not in the midst of it.
                            let done = Rc::clone(&done);
                            spawn_local(async move { drop(done.replace(Hold::Over)) });
                        };
                        let link = RepeatsLink::start(&session, tell.clone());
                        let refused = link.is_none();
                        hold.replace(Hold::Running(link));
                        if refused {
                            tell(None);
                        }
                    }
                });
            }
            move || drop(hold.replace(Hold::Over))
        });
    }
    let pair = pair?;
    // What was found of another pair is not of this one.
    let of_this = found.as_ref().filter(|(of, _)| *of == pair).map(|(_, now)| now.clone());
    Some(of_this.unwrap_or(Repeated { repeating: Repeating::UnderWay, pair }))
}

fn told(pair: &Shared<Pair>, found: Option<Repetition>) -> Repeated {
    match found {
        None => Repeated { repeating: Repeating::Stopped, pair: pair.clone() },
        Some(Repetition { runs, spread }) => Repeated {
            repeating: Repeating::Done { runs },
            pair: Shared(Rc::new(with_spread(pair, &spread))),
        },
    }
}
