//! The only place that talks to the browser, apart from the components.

pub mod clock;
pub mod files;
pub mod frame_image;
pub mod loader;
pub mod monte_carlo;
pub mod opfs;
pub mod panic;
pub mod player;
pub mod storage;
pub mod worker_client;

/// A random name that nothing else has.
#[must_use]
pub fn random_name() -> String {
    let part = || (js_sys::Math::random() * f64::from(u32::MAX)) as u32;
    format!("{:08x}{:08x}{:08x}{:08x}", part(), part(), part(), part())
}
