//! The document: what is saved ([`session`]), and what is shown of it ([`results`]). Pure.
//!
//! Begin reading at [`session::Command`], the one way to change a session, and at [`results::analyse_trial`], the only
//! place where pixels become metres.
//!
//! # A command, and a step back
//! ```
//! use document::session::{Command, History, Session, apply};
//!
//! let history = History::new(Session::empty("example".into()));
//! let named = apply(history.present(), &Command::NameSession("Monday, belt".into()))?;
//! let history = history.push(named);
//! assert_eq!(history.present().name, "Monday, belt");
//!
//! let history = history.undo();
//! assert_eq!(history.present().name, "");
//! assert!(history.can_redo() && !history.can_undo());
//! # Ok::<(), document::session::Error>(())
//! ```

pub mod results;
pub mod session;
