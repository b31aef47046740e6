//! Grey pictures and what is read from them.

mod frame;

pub use frame::GreyFrame;
