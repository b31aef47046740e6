//! When the program itself falls: what was at hand is offered for saving, with a report that names nobody.

use super::loader;
use document::session::{Session, file};
use std::cell::RefCell;
use std::panic::PanicHookInfo;
use std::rc::Rc;

thread_local! {
    static PRESENT: RefCell<Option<Rc<Session>>> = const { RefCell::new(None) };
}

/// This session would be offered for saving.
pub fn remember(session: &Rc<Session>) {
    PRESENT.set(Some(Rc::clone(session)));
}

/// Shows the page of a fall: first without, then with the session, should writing it fail as well.
pub fn tell(panic: &PanicHookInfo<'_>) {
    let place = panic.location().map_or_else(|| "an unknown place".to_owned(), ToString::to_string);
    // Words made at run time may hold a name; those that stand in the program do not.
    let words = panic.payload().downcast_ref::<&str>().copied().unwrap_or_default();
    let report = format!("{place} {words}");
    loader::fell(report.trim(), None);
    let session = PRESENT.try_with(|p| p.try_borrow().ok().and_then(|p| p.clone())).ok().flatten();
    if let Some(session) = session.filter(|s| !s.trials.is_empty()) {
        loader::fell(report.trim(), Some((&file::file_name(&session), &file::write(&session))));
    }
}
