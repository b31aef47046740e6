//! A panic of the page: shows a screen that offers to save the session, with a report that holds nothing entered.

use super::loader::{self, SavedSession};
use document::session::{Session, file};
use std::cell::RefCell;
use std::panic::PanicHookInfo;
use std::rc::Rc;

thread_local! {
    static PRESENT: RefCell<Option<Rc<Session>>> = const { RefCell::new(None) };
}

/// Remembers the session to offer for saving.
pub fn remember(session: &Rc<Session>) {
    PRESENT.set(Some(Rc::clone(session)));
}

/// Shows the panic screen: first without, then with the session, in case writing it panics too.
pub fn report(panic: &PanicHookInfo<'_>) {
    let place = panic.location().map_or_else(|| "an unknown place".to_owned(), ToString::to_string);
    // A message made at run time may hold a name; one that stands in the program cannot.
    let message = panic.payload().downcast_ref::<&str>().copied().unwrap_or_default();
    let report = format!("{place} {message}");
    loader::show_panic(report.trim(), None);
    let session = PRESENT.try_with(|p| p.try_borrow().ok().and_then(|p| p.clone())).ok().flatten();
    if let Some(session) = session.filter(|s| !s.trials.is_empty()) {
        let saved = SavedSession { name: file::file_name(&session), text: file::write(&session) };
        loader::show_panic(report.trim(), Some(saved));
    }
}
