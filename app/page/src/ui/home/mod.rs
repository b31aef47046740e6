//! The first page, the ways to open clips and sessions, and the guide to filming.

mod ask_for_clip;
mod clip_copy;
mod example;
mod file_button;
mod guide_screen;
mod home_screen;
mod open_clips;
mod open_session;
mod recent_work;
mod save_session;
mod take_over;

pub use ask_for_clip::AskForClip;
pub use clip_copy::ClipCopy;
pub use file_button::OpenClipsButton;
pub use guide_screen::GuideScreen;
pub use home_screen::HomeScreen;
pub use open_clips::open_as_new_trials;
pub use save_session::SaveSession;
pub use take_over::TakeOver;
