//! Fields: a number, a text, one of a few answers.

mod choice;
mod element_id;
mod number;
mod read_number;
mod text;

pub use choice::{Answer, Choice};
pub use number::NumberField;
pub use text::TextField;
