//! Where the work begins, how clips come in, and how to film them.

mod clips;
mod example;
mod file_button;
mod guide_screen;
mod home_screen;
mod take_over;

pub use clips::{AskForClip, KeepOnDevice, open_as_new_trials};
pub use file_button::FileButton;
pub use guide_screen::GuideScreen;
pub use home_screen::{HomeScreen, SaveSession};
pub use take_over::TakeOver;
