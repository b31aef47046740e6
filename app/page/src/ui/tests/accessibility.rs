//! Names, roles and headings that every screen must have.

use super::html::{elements, text};
use super::page::{Rendered, Work, render, render_all};
use crate::ui::store::{Screen, Step};

#[test]
fn every_button_has_a_name() {
    for Rendered { screen, work, html } in render_all() {
        let buttons = elements(&html, "button");
        assert!(buttons.len() >= 2, "{screen:?}, {work:?}");
        for button in buttons {
            let (tag, content) = (button.attributes, button.content);
            let is_named = tag.contains("aria-label=\"") || !text(content).is_empty();
            assert!(is_named, "a button without a name on {screen:?}, {work:?}: {tag} {content}");
        }
    }
}

#[test]
fn every_field_has_a_label() {
    for Rendered { screen, work, html } in render_all() {
        for field in elements(&html, "input").into_iter().chain(elements(&html, "select")) {
            let tag = field.attributes;
            let id = tag.split("id=\"").nth(1).and_then(|t| t.split('"').next());
            let has_label = id.is_some_and(|id| html.contains(&format!("for=\"{id}\"")));
            let is_in_label = elements(&html, "label").iter().any(|l| l.content.contains(tag));
            assert!(
                has_label || is_in_label || tag.contains("aria-label=\""),
                "{screen:?}, {work:?}: {tag}"
            );
        }
    }
}

#[test]
fn every_chart_has_a_name_and_a_table_with_the_same_numbers() {
    for step in [Step::Ledger, Step::SideBySide] {
        let html = render(Screen::Step(step), Work::Tracked);
        let charts = elements(&html, "figure");
        assert!(charts.len() >= 2, "{step:?}: {html}");
        for chart in charts {
            let is_named =
                |tag: &str| tag.contains("role=\"img\"") && tag.contains("aria-label=\"");
            let drawings = elements(chart.content, "svg");
            assert!(drawings.iter().all(|d| is_named(d.attributes)), "{}", chart.content);
            let tables = elements(chart.content, "table");
            let rows = tables.first().map_or(0, |t| elements(t.content, "tr").len());
            assert!(rows >= 3, "{step:?}: a chart without a table: {}", chart.content);
        }
    }
}

#[test]
fn every_screen_has_one_question_and_one_main_part() {
    for Rendered { screen, work, html } in render_all() {
        assert_eq!(elements(&html, "main").len(), 1, "{screen:?}, {work:?}");
        assert_eq!(elements(&html, "h1").len(), 1, "{screen:?}, {work:?}");
    }
}
