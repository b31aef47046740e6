//! A computed thing handed down: compared by pointer, since a new one is made only when its causes change.

use std::ops::Deref;
use std::rc::Rc;

/// Shared by pointer, equal by pointer.
#[derive(Debug)]
pub struct Shared<T>(pub Rc<T>);

impl<T> Clone for Shared<T> {
    fn clone(&self) -> Self {
        Self(Rc::clone(&self.0))
    }
}

impl<T> PartialEq for Shared<T> {
    fn eq(&self, other: &Self) -> bool {
        Rc::ptr_eq(&self.0, &other.0)
    }
}

impl<T> Deref for Shared<T> {
    type Target = T;

    fn deref(&self) -> &T {
        &self.0
    }
}
