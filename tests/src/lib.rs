//! What the project holds itself to, as code: the house rules that the tests run over the source tree.

pub mod house;
