//! The whole way from a session to what is shown, on the true positions of clips.

mod chain;
mod fixture;
mod hostile;
mod sentences;
mod small;
