//! Small parts that several screens use.

mod body_drawing;
mod charts;
mod field;
mod header;
mod missing_list;
mod notices;
mod panel;
mod shared;
mod update;

pub use body_drawing::{BodyDrawing, name_of, place_of};
pub use charts::{BarsView, CurvesView, TableView};
pub use field::{Choice, NumberField, TextField};
pub use header::Header;
pub use missing_list::MissingList;
pub use notices::Notices;
pub use panel::{StepScreen, TrialName, ink_of};
pub use shared::Shared;
pub use update::Update;
