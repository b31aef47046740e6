//! The screens drawn as text, without a browser: names, roles and figures that every one of them must have.

use super::actions::Hands;
use super::app::screen;
use super::components::{Header, Notices};
use super::conductor::Conductor;
use super::store::{Action, Following, JobEvent, Look, Notice, Screen, Step, Store};
use document::results::Memo;
use document::session::{
    Certainty, ClipInfo, ClipRef, Command, Session, TrackSample, TrialCommand, TrialId, apply,
    example,
};
use jobs::JobId;
use mechanics::body::Landmark;
use mechanics::space::Pixel;
use std::collections::BTreeMap;
use std::rc::Rc;
use yew::prelude::*;

/// How far the work has come.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Work {
    /// Nothing was opened.
    None,
    /// Both clips of the example are marked, and in hand.
    Marked,
    /// They are being followed.
    Following,
    /// They were followed; the places are the true ones.
    Followed,
    /// As before, after a reload: no clip is in hand, and there is something to say.
    Reloaded,
}

#[derive(Clone, PartialEq, Properties)]
struct Props {
    screen: Screen,
    work: Work,
}

/// The page, with a conductor that asks nobody.
#[component]
fn Page(props: &Props) -> Html {
    let (work, looked_at) = (props.work, props.screen);
    let store = use_reducer(|| store_of(work, looked_at));
    let conductor = Conductor::without_worker(store.dispatcher(), Rc::clone(store.session()));
    let hands = Hands { dispatch: store.dispatcher(), conductor };
    let memo = use_mut_ref(Memo::new);
    html! {
        <ContextProvider<Hands> context={hands}>
            <Header session={Rc::clone(store.session())} screen={store.view.screen} trial={store.view.trial}
                steps_back_and_on={(true, false)} saved="Saved on this device" />
            <Notices notices={store.view.notices.clone()} />
            { screen(&store, &memo) }
        </ContextProvider<Hands>>
    }
}

fn store_of(work: Work, looked_at: Screen) -> Store {
    let session = if work == Work::None { Session::empty("a".into()) } else { session_of(work) };
    let store = Rc::new(Store::new(session));
    let job = |store: Rc<Store>, event| yew::Reducible::reduce(store, Action::Job(event));
    let look = |store: Rc<Store>, look| yew::Reducible::reduce(store, Action::Look(look));
    let mut store = look(store, Look::Screen(looked_at));
    if work == Work::Reloaded {
        let sentence = "“a.mp4” is another clip: choose “b.mp4”".to_owned();
        store = look(store, Look::Say(Notice { problem: true, sentence }));
    } else if work != Work::None {
        for id in [TrialId(1), TrialId(2)] {
            store = job(store, JobEvent::Opened(id, String::new(), String::new()));
        }
    }
    if work == Work::Following {
        let following = Following {
            job: JobId(1),
            trial: TrialId(1),
            done: 100,
            total: 600,
            frame: 100,
            left_s: Some(2.5),
            latest: BTreeMap::new(),
        };
        store = job(store, JobEvent::Following(following));
    }
    Store::clone(&store)
}

/// The example's session; once followed, every landmark is where the generator of the clips put it.
fn session_of(work: Work) -> Session {
    let names = example::clip_names().unwrap();
    let clips: Vec<ClipRef> = names.iter().map(|name| clip(name)).collect();
    let mut session = Rc::new(Session::empty("a".into()));
    for command in example::commands(&clips).unwrap() {
        session = Rc::new(apply(&session, &command).unwrap());
    }
    if work == Work::Followed || work == Work::Reloaded {
        for (id, name) in (1..).map(TrialId).zip(&names) {
            let keep = TrialCommand::KeepFollowed {
                first: 0,
                stretches: truth(name),
                camera: None,
                repeated: None,
            };
            session = Rc::new(apply(&session, &Command::ForTrial(id, keep)).unwrap());
        }
    }
    Session::clone(&session)
}

fn clip(name: &str) -> ClipRef {
    let info = ClipInfo {
        width_px: 1280,
        height_px: 720,
        codec: "H.264 (avc1.64002a)".into(),
        rotation_quarter_turns: 0,
        stamps_s: (0..600).map(|i| f64::from(i) / 120.0).collect(),
        filmed_rate_hz: None,
    };
    ClipRef {
        name: name.to_owned(),
        size_bytes: 1,
        fingerprint: String::new(),
        info: Rc::new(info),
    }
}

fn truth(clip: &str) -> BTreeMap<Landmark, Vec<Option<TrackSample>>> {
    let name = clip.trim_end_matches(".mp4");
    let path = format!("{}/../../demo-clips/clips/{name}.truth.json", env!("CARGO_MANIFEST_DIR"));
    let all: serde_json::Value =
        serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap();
    let numbers = |columns: &serde_json::Value, axis: &str| -> Vec<f64> {
        columns[axis].as_array().unwrap().iter().filter_map(serde_json::Value::as_f64).collect()
    };
    let way = |columns: &serde_json::Value| {
        let places = numbers(columns, "x_px").into_iter().zip(numbers(columns, "y_px"));
        let seen =
            |(x_px, y_px)| Some(TrackSample::new(Pixel { x_px, y_px }, Certainty::Seen, 0.0));
        places.map(seen).collect()
    };
    let landmarks = all["landmarks"].as_object().unwrap();
    landmarks
        .iter()
        .filter_map(|(l, columns)| {
            Some((serde_json::from_value(l.as_str().into()).ok()?, way(columns)))
        })
        .collect()
}

/// The page as text.
fn drawn(screen: Screen, work: Work) -> String {
    let runtime = tokio::runtime::Builder::new_current_thread().build().unwrap();
    let local = tokio::task::LocalSet::new();
    let page =
        yew::LocalServerRenderer::<Page>::with_props(Props { screen, work }).hydratable(false);
    local.block_on(&runtime, page.render())
}

/// Every screen in every state that it can be in.
fn all() -> Vec<(Screen, Work, String)> {
    let works = [Work::Marked, Work::Following, Work::Followed, Work::Reloaded];
    let steps = Step::ALL.iter().flat_map(|s| works.map(|w| (Screen::Step(*s), w)));
    let others = [Screen::Home, Screen::Guide]
        .into_iter()
        .flat_map(|s| [(s, Work::None), (s, Work::Marked)]);
    steps.chain(others).map(|(s, w)| (s, w, drawn(s, w))).collect()
}

/// The elements of a name: what stands in their opening tags, and what is inside of them.
fn elements<'a>(html: &'a str, name: &str) -> Vec<(&'a str, &'a str)> {
    let (open, close) = (format!("<{name}"), format!("</{name}>"));
    let ends = |rest: &str| rest.starts_with([' ', '>']);
    html.match_indices(&open)
        .filter(|(at, _)| ends(&html[at + open.len()..]))
        .map(|(at, _)| {
            let rest = &html[at + open.len()..];
            let (tag, inside) = rest.split_once('>').unwrap_or((rest, ""));
            (tag, inside.split(&close).next().unwrap_or_default())
        })
        .collect()
}

/// The words inside of an element.
fn words(inside: &str) -> String {
    let mut found = String::new();
    for piece in inside.split('<') {
        found.push_str(piece.split_once('>').map_or(piece, |(_, words)| words));
    }
    found.trim().to_owned()
}

#[test]
fn no_screen_in_any_state_shows_what_is_not_a_number() {
    for (screen, work, html) in all() {
        for bad in ["NaN", "inf ", ">inf<", "undefined", "None", "Some("] {
            assert!(!html.contains(bad), "{bad} on {screen:?}, {work:?}: {html}");
        }
        assert!(html.len() > 500, "{screen:?}, {work:?}: {html}");
    }
}

#[test]
fn every_button_has_a_name_and_every_field_a_label() {
    for (screen, work, html) in all() {
        let buttons = elements(&html, "button");
        assert!(buttons.len() >= 2, "{screen:?}, {work:?}");
        for (tag, inside) in buttons {
            let named = tag.contains("aria-label=\"") || !words(inside).is_empty();
            assert!(named, "a button without a name on {screen:?}, {work:?}: {tag} {inside}");
        }
        for (tag, _) in elements(&html, "input").into_iter().chain(elements(&html, "select")) {
            let id = tag.split("id=\"").nth(1).and_then(|t| t.split('"').next());
            let labelled = id.is_some_and(|id| html.contains(&format!("for=\"{id}\"")));
            let in_label = elements(&html, "label").iter().any(|(_, inside)| inside.contains(tag));
            assert!(
                labelled || in_label || tag.contains("aria-label=\""),
                "{screen:?}, {work:?}: {tag}"
            );
        }
    }
}

#[test]
fn every_chart_has_a_name_and_a_table_with_the_same_figures_behind_it() {
    for step in [Step::Ledger, Step::SideBySide] {
        let html = drawn(Screen::Step(step), Work::Followed);
        let charts = elements(&html, "figure");
        assert!(charts.len() >= 2, "{step:?}: {html}");
        for (_, inside) in charts {
            let svg = elements(inside, "svg");
            assert!(
                svg.iter()
                    .all(|(tag, _)| tag.contains("role=\"img\"") && tag.contains("aria-label=\"")),
                "{inside}"
            );
            let tables = elements(inside, "table");
            let rows = tables.first().map_or(0, |(_, t)| elements(t, "tr").len());
            assert!(rows >= 3, "{step:?}: a chart without a table: {inside}");
        }
    }
}

#[test]
fn every_screen_has_one_question_and_one_main_part() {
    for (screen, work, html) in all() {
        assert_eq!(elements(&html, "main").len(), 1, "{screen:?}, {work:?}");
        assert_eq!(elements(&html, "h1").len(), 1, "{screen:?}, {work:?}");
    }
}

#[test]
fn the_ledger_shows_the_total_with_its_unit_and_every_limb() {
    let html = drawn(Screen::Step(Step::Ledger), Work::Followed);
    let table = elements(&html, "table").into_iter().find(|(tag, _)| tag.contains("ledger"));
    let (_, table) = table.expect("a ledger");
    for limb in ["leg", "arm", "trunk"] {
        assert!(words(table).to_lowercase().contains(limb), "{limb}: {}", words(table));
    }
    // Source: the truth beside the example's first clip; 64.7 J by the same computation on true positions.
    let total = elements(table, "tfoot").first().map(|(_, t)| words(t)).unwrap_or_default();
    assert!(total.contains("64.") || total.contains("65"), "{total}");
    assert!(words(table).contains("J"), "{table}");
}

#[test]
fn what_is_under_way_is_told_with_its_count_and_can_be_stopped() {
    let html = drawn(Screen::Step(Step::Markers), Work::Following);
    assert!(html.contains("100 of 600 frames"), "{html}");
    let (tag, _) = elements(&html, "progress").into_iter().next().expect("a progress");
    assert!(tag.contains("aria-label=") && tag.contains("value=\"100\""), "{tag}");
    assert!(elements(&html, "button").iter().any(|(_, inside)| words(inside) == "Stop"));
}

#[test]
fn a_complaint_is_an_alert_and_a_missing_clip_is_asked_for_by_its_name() {
    let html = drawn(Screen::Step(Step::Clip), Work::Reloaded);
    assert!(html.contains("role=\"alert\"") && html.contains("choose “b.mp4”"), "{html}");
    assert!(html.contains("heels_low.mp4” is not open"), "{html}");
    assert!(
        elements(&html, "input").iter().any(|(tag, _)| tag.contains("Open heels_low.mp4 again"))
    );
}

#[test]
fn numbers_that_cannot_be_had_yet_are_answered_with_what_is_still_to_be_done() {
    for step in [Step::Ledger, Step::SideBySide] {
        let html = drawn(Screen::Step(step), Work::Marked);
        assert!(html.contains("Not yet"), "{step:?}: {html}");
        assert!(
            elements(&html, "button").iter().any(|(_, i)| words(i).starts_with("Go to ")),
            "{step:?}"
        );
    }
}
