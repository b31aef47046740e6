//! Ids that link a label and its field.

use std::cell::Cell;

thread_local! {
    static LAST: Cell<u32> = const { Cell::new(0) };
}

/// An id that no other element of the page has.
pub fn unique_id(prefix: &str) -> String {
    let number = LAST.get() + 1;
    LAST.set(number);
    format!("{prefix}-{number}")
}
