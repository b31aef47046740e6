//! Renders the page on a given screen, in a given state of the work.

use super::sessions::{marked, tracked};
use crate::ui::actions::Actions;
use crate::ui::app::screen;
use crate::ui::components::{Header, Notices};
use crate::ui::conductor::Conductor;
use crate::ui::store::{Action, Following, JobEvent, Notice, Screen, Step, Store, ViewChange};
use document::results::ResultCache;
use document::session::{Session, TrialId};
use jobs::JobId;
use std::collections::BTreeMap;
use std::rc::Rc;
use yew::prelude::*;

/// The state of the work.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Work {
    /// No clip was opened.
    Empty,
    /// Both clips of the example are open and marked.
    Marked,
    /// They are being tracked.
    Tracking,
    /// They were tracked, every marker at its true position.
    Tracked,
    /// The same after a reload: no clip is open, and there is a notice.
    Reloaded,
}

/// A rendered screen.
pub struct Rendered {
    /// The screen.
    pub screen: Screen,
    /// The state of the work.
    pub work: Work,
    /// The page as text.
    pub html: String,
}

#[derive(Clone, PartialEq, Properties)]
struct PageProps {
    screen: Screen,
    work: Work,
}

/// The page, with a conductor that has no worker.
#[component]
fn Page(props: &PageProps) -> Html {
    let (work, current) = (props.work, props.screen);
    let store = use_reducer(|| store_of(work, current));
    let conductor = Conductor::without_worker(store.dispatcher(), Rc::clone(store.session()));
    let actions = Actions { dispatch: store.dispatcher(), conductor };
    let results = use_mut_ref(ResultCache::new);
    html! {
        <ContextProvider<Actions> context={actions}>
            <Header session={Rc::clone(store.session())} screen={store.view.screen} trial={store.view.trial}
                can_undo=true can_redo=false saved="Saved on this device" />
            <Notices notices={store.view.notices.clone()} />
            { screen(&store, &results) }
        </ContextProvider<Actions>>
    }
}

fn store_of(work: Work, current: Screen) -> Store {
    let session = match work {
        Work::Empty => Session::empty("a".into()),
        Work::Marked | Work::Tracking => marked(),
        Work::Tracked | Work::Reloaded => tracked(),
    };
    let mut actions = vec![Action::View(ViewChange::Screen(current))];
    if work == Work::Reloaded {
        let sentence = "“a.mp4” is another clip: choose “b.mp4”".to_owned();
        let notice = Notice { problem: true, sentence };
        actions.push(Action::View(ViewChange::Say(notice)));
    } else if work != Work::Empty {
        for id in [TrialId(1), TrialId(2)] {
            actions.push(Action::Job(JobEvent::Opened(id, String::new(), String::new())));
        }
    }
    if work == Work::Tracking {
        let following = Following {
            job: JobId(1),
            trial: TrialId(1),
            done: 100,
            total: 600,
            frame: 100,
            left_s: Some(2.5),
            latest: BTreeMap::new(),
        };
        actions.push(Action::Job(JobEvent::Following(following)));
    }
    let store = actions.into_iter().fold(Rc::new(Store::new(session)), Reducible::reduce);
    Store::clone(&store)
}

/// Renders a screen.
pub fn render(screen: Screen, work: Work) -> String {
    let runtime = tokio::runtime::Builder::new_current_thread().build().unwrap();
    let local = tokio::task::LocalSet::new();
    let page =
        yew::LocalServerRenderer::<Page>::with_props(PageProps { screen, work }).hydratable(false);
    local.block_on(&runtime, page.render())
}

/// Renders every screen in every state that it can be in.
pub fn render_all() -> Vec<Rendered> {
    let works = [Work::Marked, Work::Tracking, Work::Tracked, Work::Reloaded];
    let steps = Step::ALL.iter().flat_map(|step| works.map(|work| (Screen::Step(*step), work)));
    let others = [Screen::Home, Screen::Guide]
        .into_iter()
        .flat_map(|screen| [(screen, Work::Empty), (screen, Work::Marked)]);
    let rendered = |(screen, work)| Rendered { screen, work, html: render(screen, work) };
    steps.chain(others).map(rendered).collect()
}
