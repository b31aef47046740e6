//! Whether the comparison is fair.

use crate::ui::sentences;
use document::results::report::{Fair, FairLine};
use yew::prelude::*;

/// The verdict and every condition.
pub fn fairness(fair: &Fair) -> Html {
    html! {
        <div class={classes!("fair", (!fair.is_fair).then_some("not-fair"))}>
            <p><b>{ &fair.sentence }</b></p>
            <ul>{ for fair.lines.iter().map(condition) }</ul>
        </div>
    }
}

fn condition(line: &FairLine) -> Html {
    html! {
        <li class={classes!((!line.holds).then_some("fails"))}><b>{ sentences::results::verdict(&line.name, line.holds) }</b>{ &line.found }{ " " }{ &line.what_to_do }</li>
    }
}
