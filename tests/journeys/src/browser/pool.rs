//! Browsers that wait for the next journey: starting one costs three seconds of a processor.
//!
//! Every journey has a server of its own and with it an origin of its own, so that nothing of an earlier
//! journey is stored where a later one can see it. The tab is new, and what the earlier origin stored is cleared.

use super::{Browser, Engine};
use crate::error::Result;
use std::sync::{Mutex, PoisonError, RwLock, RwLockReadGuard, RwLockWriteGuard};
use tokio::runtime::Runtime;

/// Chosen: after as many journeys a browser is started again, so that none grows without limit.
const JOURNEYS_A_BROWSER: u32 = 16;

static ROOM: RwLock<()> = RwLock::new(());
static IDLE: Mutex<Vec<Lease>> = Mutex::new(Vec::new());

/// Journeys run beside each other, as many as the harness has threads: each waits most of its time.
pub fn beside_others() -> RwLockReadGuard<'static, ()> {
    ROOM.read().unwrap_or_else(PoisonError::into_inner)
}

/// A journey that measures runs alone.
pub fn alone() -> RwLockWriteGuard<'static, ()> {
    ROOM.write().unwrap_or_else(PoisonError::into_inner)
}

/// A browser with the runtime that its connection lives in.
pub(super) struct Lease {
    pub runtime: Runtime,
    pub browser: Browser,
    listened: bool,
    journeys: u32,
}

impl Lease {
    /// A new browser; `listened` where its developer tools are connected.
    pub fn start(listened: bool, size: (u32, u32)) -> Result<Self> {
        let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build()?;
        let mut browser = runtime.block_on(Browser::start(size))?;
        if !listened {
            browser.devtools.close();
        }
        Ok(Self { runtime, browser, listened, journeys: 0 })
    }

    /// An idle browser, or a new one.
    pub fn take(listened: bool, size: (u32, u32)) -> Result<Self> {
        let idle = {
            let mut idle = IDLE.lock().unwrap_or_else(PoisonError::into_inner);
            let at = idle.iter().position(|lease| lease.listened == listened);
            at.map(|at| idle.swap_remove(at))
        };
        let Some(lease) = idle else { return Self::start(listened, size) };
        lease.runtime.block_on(lease.browser.client.set_window_size(size.0, size.1))?;
        Ok(lease)
    }

    /// Makes it as new for the next journey; a browser that cannot be is ended.
    pub fn give_back(mut self, origin: &str) -> Result<()> {
        self.journeys += 1;
        if self.browser.engine != Engine::Chromium || self.journeys >= JOURNEYS_A_BROWSER {
            return self.end();
        }
        if self.runtime.block_on(self.browser.reset(origin)).is_err() {
            return self.end();
        }
        IDLE.lock().unwrap_or_else(PoisonError::into_inner).push(self);
        Ok(())
    }

    /// Ends the browser.
    pub fn end(self) -> Result<()> {
        self.runtime.block_on(self.browser.end())
    }
}

/// Ends the browsers that nobody uses any more.
pub fn close_idle_browsers() {
    let idle = std::mem::take(&mut *IDLE.lock().unwrap_or_else(PoisonError::into_inner));
    for lease in idle {
        // One that does not answer is killed when it is dropped.
        let _ = lease.end();
    }
}
