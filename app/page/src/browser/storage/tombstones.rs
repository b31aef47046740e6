//! Sessions deleted since the page began: a save that was still to come must not bring them back.

use std::cell::RefCell;
use std::collections::BTreeSet;

thread_local! {
    static BURIED: RefCell<BTreeSet<String>> = const { RefCell::new(BTreeSet::new()) };
}

/// From now on this session is not saved, whoever asks for it.
pub fn bury(id: &str) {
    BURIED.with_borrow_mut(|all| all.insert(id.to_owned()));
}

/// The session comes from a file that a person opened, so it may be saved again.
pub(super) fn unbury(id: &str) {
    BURIED.with_borrow_mut(|all| all.remove(id));
}

pub(super) fn is_buried(id: &str) -> bool {
    BURIED.with_borrow(|all| all.contains(id))
}
