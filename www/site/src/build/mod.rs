//! From the sources to a folder of static files.

mod assemble;
mod bundle;
mod command;
mod compile;
mod icon;
mod node;
mod sysroot;
mod template;
mod timing;
mod toolchain;
mod workspace;

pub use assemble::assemble;
pub use bundle::{Bundle, NAME_DIGITS};
pub use compile::{Module, Profile};
pub use node::build_for_node;
pub use timing::time_analysis;
pub use workspace::Workspace;

use crate::SiteError;
use std::path::Path;

/// Builds everything and puts it at `out`; an older site there is replaced only once the new one is complete.
///
/// # Errors
/// [`SiteError`] names the step and what to do; `out` is then unchanged.
pub fn build(workspace: &Workspace, profile: Profile, out: &Path) -> Result<Bundle, SiteError> {
    let toolchain = toolchain::find(workspace)?;
    let modules = compile::compile(workspace, &toolchain, profile)?;
    let bundle = assemble(workspace, &modules)?;
    bundle.write(out)?;
    Ok(bundle)
}
