//! Sessions deleted since the page began: a late save must not bring them back.

use std::cell::RefCell;
use std::collections::BTreeSet;

thread_local! {
    static TOMBSTONES: RefCell<BTreeSet<String>> = const { RefCell::new(BTreeSet::new()) };
}

/// Marks a session as deleted: it is not saved any more.
pub fn mark_deleted(id: &str) {
    TOMBSTONES.with_borrow_mut(|all| all.insert(id.to_owned()));
}

/// Removes the mark: a person opened the session from a file.
pub(super) fn unmark(id: &str) {
    TOMBSTONES.with_borrow_mut(|all| all.remove(id));
}

/// Whether a session is marked as deleted.
pub(super) fn is_deleted(id: &str) -> bool {
    TOMBSTONES.with_borrow(|all| all.contains(id))
}
