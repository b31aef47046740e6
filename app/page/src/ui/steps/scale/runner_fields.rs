//! The runner: name, mass, height and segment table.

use crate::ui::actions::use_actions;
use crate::ui::components::{NumberField, TextField};
use document::session::{Command, Runner};
use mechanics::body::Table;
use mechanics::limits::{HEIGHT, MASS};
use web_sys::HtmlSelectElement;
use yew::prelude::*;

/// A segment table to choose.
struct TableOption {
    table: Table,
    value: &'static str,
    name: &'static str,
}

const TABLES: [TableOption; 3] = [
    TableOption {
        table: Table::WinterDempster,
        value: "winter",
        name: "Winter 2009, after Dempster 1955: between the marks on the skin",
    },
    TableOption {
        table: Table::DeLevaFemale,
        value: "leva-f",
        name: "de Leva 1996, women: between joint centres",
    },
    TableOption {
        table: Table::DeLevaMale,
        value: "leva-m",
        name: "de Leva 1996, men: between joint centres",
    },
];

#[derive(Properties, PartialEq)]
pub struct RunnerFieldsProps {
    /// The runner.
    pub runner: Runner,
}

/// The fields.
#[component]
pub fn RunnerFields(props: &RunnerFieldsProps) -> Html {
    let actions = use_actions();
    let runner = &props.runner;
    let set_number = |change: fn(&mut Runner, Option<f64>)| {
        let (actions, before) = (actions.clone(), runner.clone());
        Callback::from(move |value| {
            let mut runner = before.clone();
            change(&mut runner, value);
            actions.apply(Command::SetRunner(runner));
        })
    };
    let set_label = {
        let (actions, before) = (actions.clone(), runner.clone());
        Callback::from(move |label| {
            actions.apply(Command::SetRunner(Runner { label, ..before.clone() }));
        })
    };
    let set_table = {
        let (actions, before) = (actions.clone(), runner.clone());
        Callback::from(move |event: Event| {
            let value = event.target_dyn_into::<HtmlSelectElement>().map(|s| s.value());
            if let Some(option) = TABLES.iter().find(|t| Some(t.value) == value.as_deref()) {
                let runner = Runner { table: option.table, ..before.clone() };
                actions.apply(Command::SetRunner(runner));
            }
        })
    };
    html! {
        <>
            <TextField label="Name or code" value={runner.label.clone()} on_change={set_label} />
            <div class="row fields">
                <NumberField label="Body mass (kg)" value_shown={runner.mass_kg} min_shown={MASS.least_si} max_shown={MASS.most_si} on_change={set_number(|r, v| r.mass_kg = v)} />
                <NumberField label="Body height (m)" value_shown={runner.height_m} min_shown={HEIGHT.least_si} max_shown={HEIGHT.most_si} on_change={set_number(|r, v| r.height_m = v)} />
            </div>
            <div class="field">
                <label for="segment-table">{ "Segment table" }</label>
                <select id="segment-table" onchange={set_table}>
                    { for TABLES.iter().map(|t| html! { <option value={t.value} selected={t.table == runner.table}>{ t.name }</option> }) }
                </select>
            </div>
        </>
    }
}
