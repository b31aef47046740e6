//! What the project holds itself to, as code: the house rules that the tests run over the source tree, and
//! the journeys through the page in a real browser.

pub mod browser;
pub mod clip;
pub mod clips;
pub mod compare;
pub mod house;
pub mod injections;
pub mod table;
pub mod truth;
