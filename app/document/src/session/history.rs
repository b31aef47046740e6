//! Undo and redo over whole sessions.

use super::model::Session;
use std::rc::Rc;

/// The present session, the steps before it and the steps undone.
#[derive(Clone, Debug, PartialEq)]
pub struct History {
    past: Vec<Rc<Session>>,
    present: Rc<Session>,
    future: Vec<Rc<Session>>,
}

impl History {
    /// Number of steps that can be undone. Chosen: a session of two trials is about 1 MB and steps share what they
    /// did not change, so a hundred steps cost little.
    pub const DEPTH: usize = 100;

    /// A history that begins with this session.
    #[must_use]
    pub fn new(present: Session) -> Self {
        Self { past: Vec::new(), present: Rc::new(present), future: Vec::new() }
    }

    /// The present session.
    #[must_use]
    pub fn present(&self) -> &Rc<Session> {
        &self.present
    }

    /// Whether there is a step to undo.
    #[must_use]
    pub fn can_undo(&self) -> bool {
        !self.past.is_empty()
    }

    /// Whether there is a step to redo.
    #[must_use]
    pub fn can_redo(&self) -> bool {
        !self.future.is_empty()
    }

    /// Makes `next` the present session; undone steps are forgotten.
    #[must_use]
    pub fn push(mut self, next: Session) -> Self {
        self.past.push(std::mem::replace(&mut self.present, Rc::new(next)));
        if self.past.len() > Self::DEPTH {
            self.past.remove(0);
        }
        self.future.clear();
        self
    }

    /// Undoes one step, if there is one.
    #[must_use]
    pub fn undo(mut self) -> Self {
        if let Some(before) = self.past.pop() {
            self.future.push(std::mem::replace(&mut self.present, before));
        }
        self
    }

    /// Redoes one step, if there is one.
    #[must_use]
    pub fn redo(mut self) -> Self {
        if let Some(after) = self.future.pop() {
            self.past.push(std::mem::replace(&mut self.present, after));
        }
        self
    }
}
