//! Repeats the measurement of a pair behind the screen, a few milliseconds at a time.

use crate::browser::clock::{now_ms, pause};
use crate::results::Pair;
use crate::results::analyse::{repeats, with_spread};
use crate::ui::parts::Shared;
use std::cell::Cell;
use std::rc::Rc;
use wasm_bindgen_futures::spawn_local;
use yew::prelude::*;

/// Chosen: half of a frame at 60 pictures/s, so that what moves on the page goes on moving.
const SLICE_MS: f64 = 8.0;

/// How far the repeats are, and the pair with what they found.
#[derive(Clone, PartialEq)]
pub struct Repeated {
    /// Runs done and wanted.
    pub runs: (u32, u32),
    /// The pair, with the spread of the measurement once all runs are done.
    pub pair: Shared<Pair>,
}

/// Begins anew with each pair; given up when the pair changes or the screen is left.
#[hook]
pub fn use_repeats(pair: Option<Shared<Pair>>) -> Option<Repeated> {
    let found = use_state_eq(|| None::<(Shared<Pair>, Repeated)>);
    {
        let found = found.clone();
        use_effect_with(pair.clone(), move |pair| {
            let given_up = Rc::new(Cell::new(false));
            if let Some(pair) = pair.clone() {
                let given_up = Rc::clone(&given_up);
                spawn_local(async move {
                    repeat(&pair, &given_up, |now| found.set(Some((pair.clone(), now)))).await;
                });
            }
            move || given_up.set(true)
        });
    }
    let pair = pair?;
    // What was found of another pair is not of this one.
    let of_this = found.as_ref().filter(|(of, _)| *of == pair).map(|(_, now)| now.clone());
    Some(of_this.unwrap_or(Repeated { runs: (0, mechanics::comparison::Repeats::USUAL), pair }))
}

async fn repeat(pair: &Shared<Pair>, given_up: &Cell<bool>, mut tell: impl FnMut(Repeated)) {
    // The screen is drawn first.
    pause(50).await;
    if given_up.get() {
        return;
    }
    let mut runs = repeats(pair);
    loop {
        let began_ms = now_ms();
        let mut more = true;
        while more && now_ms() - began_ms < SLICE_MS {
            more = runs.run();
        }
        if !more {
            break;
        }
        pause(0).await;
        if given_up.get() {
            return;
        }
    }
    let with_spread = Rc::new(with_spread(pair, &runs.spread()));
    tell(Repeated { runs: (runs.done(), runs.wanted()), pair: Shared(with_spread) });
}
