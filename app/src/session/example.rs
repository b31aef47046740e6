//! stand-in
use super::{ClipRef, Command};
pub fn clip_names() -> Result<Vec<String>, String> {
    Ok(Vec::new())
}
pub fn commands(_: &[ClipRef]) -> Result<Vec<Command>, String> {
    Ok(Vec::new())
}
