//! From the sources to a folder of static files.

mod assemble;
mod bundle;
mod compile;
mod icon;
mod node;
mod place;
mod sysroot;
mod timed;
mod toolchain;

pub use assemble::assemble;
pub use bundle::{Bundle, NAME_DIGITS};
pub use compile::{Haste, Module};
pub use node::build_for_node;
pub use place::Place;
pub use timed::time;

use crate::SiteError;
use std::path::Path;

/// Builds everything and puts it at `out`, replacing what was there only once all of it is ready.
///
/// # Errors
/// [`SiteError`] names the step and what to do; `out` is then as it was.
pub fn build(place: &Place, haste: Haste, out: &Path) -> Result<Bundle, SiteError> {
    let rust = toolchain::find(place)?;
    let modules = compile::compile(place, &rust, haste)?;
    let bundle = assemble(place, &modules)?;
    bundle.write(out)?;
    Ok(bundle)
}
