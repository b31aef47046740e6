//! Whether the comparison is fair.

use crate::ui::sentences;
use document::results::report::{FairnessLine, FairnessSummary};
use yew::prelude::*;

/// The verdict and every condition.
pub fn fairness(fair: &FairnessSummary) -> Html {
    html! {
        <div class={classes!("fair", (!fair.is_fair).then_some("not-fair"))}>
            <p><b>{ &fair.sentence }</b></p>
            <ul>{ for fair.lines.iter().map(condition) }</ul>
        </div>
    }
}

fn condition(line: &FairnessLine) -> Html {
    html! {
        <li class={classes!((!line.holds).then_some("fails"))}><b>{ sentences::results::verdict(&line.name, line.holds) }</b>{ &line.found }{ " " }{ &line.what_to_do }</li>
    }
}
