//! Components that several screens share.

mod body_drawing;
mod chart;
mod energy_charts;
mod field;
mod header;
mod ink;
mod missing_list;
mod notices;
mod paper_choice;
mod result_notes;
mod result_tables;
mod shared;
mod step_screen;
mod table;
mod trial_choice;
mod update;

pub use body_drawing::BodyDrawing;
pub use chart::CurvesView;
pub use energy_charts::{CHART_AREA, energy_bars_view, stride_curves};
pub use field::{Answer, Choice, NumberField, TextField};
pub use header::Header;
pub use ink::ink_class;
pub use missing_list::MissingList;
pub use notices::Notices;
pub use result_notes::{cautions, footnotes};
pub use result_tables::{ledger_table, measure_tables};
pub use shared::Shared;
pub use step_screen::StepScreen;
pub use table::TableView;
pub use update::Update;
