//! The root: the store, the conductor, and the screen that is looked at.

use super::actions::Hands;
use super::autosave::{use_autosave, words};
use super::components::{Header, Notices, Shared, Update};
use super::conductor::Conductor;
use super::home::{GuideScreen, HomeScreen, TakeOver, open_as_new_trials};
use super::steps::{
    ClipStep, LedgerStep, MarkersStep, ScaleStep, SideBySideStep, StepProps, StridesStep,
};
use super::store::{Action, Screen, Step, Store};
use crate::browser::storage::locks;
use crate::browser::{panic, random_name};
use document::results::{Memo, Missing, Pair, TrialResult};
use document::session::{SaveState, Session};
use std::cell::RefCell;
use std::rc::Rc;
use yew::prelude::*;

/// The page.
#[component]
pub fn App() -> Html {
    let store = use_reducer(|| Store::new(Session::empty(random_name())));
    let conductor = {
        let (dispatch, session) = (store.dispatcher(), Rc::clone(store.session()));
        use_memo((), move |()| Conductor::new(dispatch, session))
    };
    conductor.now_at(Rc::clone(store.session()));
    use_lost(&conductor, &store);
    let hands = Hands { dispatch: store.dispatcher(), conductor: Conductor::clone(&conductor) };
    let only_shown = store.view.only_shown.is_some();
    let saved = use_autosave(store.session(), only_shown);
    let all_saved = matches!(saved, SaveState::Saved);
    let saved = if only_shown { "Only shown".to_owned() } else { words(&saved) };
    let memo = use_mut_ref(Memo::new);
    use_top(store.view.screen);

    let drag_over = Callback::from(|event: DragEvent| event.prevent_default());
    let drop = {
        let hands = hands.clone();
        Callback::from(move |event: DragEvent| {
            event.prevent_default();
            let files = event.data_transfer().and_then(|d| d.files());
            let files = files
                .map(|list| (0..list.length()).filter_map(|i| list.get(i)).collect::<Vec<_>>());
            if let Some(files) = files.filter(|f| !f.is_empty()) {
                open_as_new_trials(&hands, files);
            }
        })
    };
    let keys = {
        let hands = hands.clone();
        Callback::from(move |event: KeyboardEvent| {
            if (event.ctrl_key() || event.meta_key())
                && event.key().eq_ignore_ascii_case("z")
                && !in_a_field(&event)
            {
                event.prevent_default();
                hands.dispatch.dispatch(if event.shift_key() {
                    Action::Redo
                } else {
                    Action::Undo
                });
            }
        })
    };
    html! {
        <ContextProvider<Hands> context={hands}>
            <div class="page" ondragover={drag_over} ondrop={drop} onkeydown={keys}>
                <Header session={Rc::clone(store.session())} screen={store.view.screen} trial={store.view.trial}
                    steps_back_and_on={(store.history.can_undo(), store.history.can_redo())} {saved} />
                <Update saved={all_saved} />
                if only_shown && locks::is_elsewhere(&store.session().id) {
                    <TakeOver id={store.session().id.clone()} />
                }
                <Notices notices={store.view.notices.clone()} />
                { screen(&store, &memo) }
            </div>
        </ContextProvider<Hands>>
    }
}

/// A screen begins at its top, however far down the one before was read.
#[hook]
fn use_top(screen: Screen) {
    use_effect_with(screen, |_| {
        if let Some(window) = web_sys::window() {
            window.scroll_to_with_x_and_y(0.0, 0.0);
        }
    });
}

/// What must not be lost with a fall, or to another tab: one that takes the session over has it to
/// itself, and here it is only shown from then on.
#[hook]
fn use_lost(conductor: &Conductor, store: &UseReducerHandle<Store>) {
    panic::remember(store.session());
    let (conductor, dispatch) = (conductor.clone(), store.dispatcher());
    use_effect_with((), move |()| {
        locks::on_lost(move |id| {
            if conductor.session().id == id {
                let reason = "Another tab has taken this session over: here it is only shown.";
                dispatch.dispatch(Action::OnlyShow(reason.to_owned()));
            }
        });
    });
}

/// Undo in a field belongs to the field.
fn in_a_field(event: &KeyboardEvent) -> bool {
    use wasm_bindgen::JsCast;
    event.target().is_some_and(|t| {
        t.dyn_ref::<web_sys::HtmlInputElement>().is_some_and(|i| i.type_() == "text")
            || t.dyn_ref::<web_sys::HtmlTextAreaElement>().is_some()
    })
}

/// The screen that is looked at.
pub(super) fn screen(store: &Store, memo: &Rc<RefCell<Memo>>) -> Html {
    let Screen::Step(step) = store.view.screen else {
        return match store.view.screen {
            Screen::Guide => html! { <GuideScreen /> },
            _ => {
                html! { <HomeScreen session={Rc::clone(store.session())} opening={store.jobs.opening.clone()} /> }
            }
        };
    };
    let session = store.session();
    if step == Step::SideBySide {
        return side_by_side(session, memo);
    }
    let Some(trial) = store.trial() else {
        return html! { <HomeScreen session={Rc::clone(session)} opening={store.jobs.opening.clone()} /> };
    };
    let props = StepProps {
        session: Rc::clone(session),
        trial: Rc::clone(trial),
        view: store.view.clone(),
        jobs: store.jobs.clone(),
    };
    let result = || Shared(memo.borrow_mut().trial(trial, &session.runner, &session.options));
    match step {
        Step::Clip => html! { <ClipStep ..props /> },
        Step::Scale => html! { <ScaleStep key={trial.id.0} ..props /> },
        Step::Markers => html! { <MarkersStep key={trial.id.0} step={props} result={result()} /> },
        Step::Strides => html! { <StridesStep key={trial.id.0} step={props} result={result()} /> },
        Step::Ledger | Step::SideBySide => html! { <LedgerStep step={props} result={result()} /> },
    }
}

fn side_by_side(session: &Rc<Session>, memo: &Rc<RefCell<Memo>>) -> Html {
    let pair: Option<Rc<Pair>> = memo.borrow_mut().pair(session);
    let missing: Vec<(String, Vec<Missing>)> = (session.trials.iter().take(2))
        .filter_map(|t| match &*memo.borrow_mut().trial(t, &session.runner, &session.options) {
            TrialResult::Err(lacking) => Some((t.name.clone(), lacking.missing.clone())),
            TrialResult::Ok(_) => None,
        })
        .collect();
    html! { <SideBySideStep session={Rc::clone(session)} pair={pair.map(Shared)} {missing} /> }
}
