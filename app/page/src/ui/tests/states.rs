//! What the screens show while there is no number, during the work, and after it.

use super::html::{elements, text};
use super::page::{Rendered, Work, render, render_all};
use crate::ui::store::{Screen, Step};

#[test]
fn no_screen_shows_a_value_that_is_not_a_number() {
    for Rendered { screen, work, html } in render_all() {
        for bad in ["NaN", "inf ", ">inf<", "undefined", "None", "Some("] {
            assert!(!html.contains(bad), "{bad} on {screen:?}, {work:?}: {html}");
        }
        assert!(html.len() > 500, "{screen:?}, {work:?}: {html}");
    }
}

#[test]
fn the_ledger_shows_every_limb_and_the_total_with_its_unit() {
    let html = render(Screen::Step(Step::Ledger), Work::Tracked);
    let mut tables = elements(&html, "table").into_iter();
    let ledger = tables.find(|t| t.attributes.contains("ledger")).expect("a ledger").content;
    for limb in ["leg", "arm", "trunk"] {
        assert!(text(ledger).to_lowercase().contains(limb), "{limb}: {}", text(ledger));
    }
    // Source: the truth beside the example's first clip; 64.7 J by the same computation on true positions.
    let total = elements(ledger, "tfoot").first().map(|t| text(t.content)).unwrap_or_default();
    assert!(total.contains("64.") || total.contains("65"), "{total}");
    assert!(text(ledger).contains("J"), "{ledger}");
}

#[test]
fn tracking_shows_its_progress_and_can_be_stopped() {
    let html = render(Screen::Step(Step::Markers), Work::Tracking);
    assert!(html.contains("100 of 600 frames, about 3 s left"), "{html}");
    let tag = elements(&html, "progress").first().expect("a progress").attributes;
    assert!(tag.contains("aria-label=") && tag.contains("value=\"100\""), "{tag}");
    assert!(elements(&html, "button").iter().any(|b| text(b.content) == "Stop"));
}

#[test]
fn a_problem_is_an_alert_and_a_missing_clip_is_asked_for_by_its_name() {
    let html = render(Screen::Step(Step::Clip), Work::Reloaded);
    assert!(html.contains("role=\"alert\"") && html.contains("choose “b.mp4”"), "{html}");
    assert!(html.contains("heels_low.mp4” is not open"), "{html}");
    let mut fields = elements(&html, "input").into_iter();
    assert!(fields.any(|f| f.attributes.contains("Open heels_low.mp4 again")));
}

#[test]
fn a_screen_without_numbers_leads_to_the_steps_that_are_missing() {
    for step in [Step::Ledger, Step::SideBySide] {
        let html = render(Screen::Step(step), Work::Marked);
        assert!(html.contains("Not yet"), "{step:?}: {html}");
        let mut buttons = elements(&html, "button").into_iter();
        assert!(buttons.any(|b| text(b.content).starts_with("Go to ")), "{step:?}");
    }
}
