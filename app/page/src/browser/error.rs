//! Why the browser did not give what the page needs, apart from storage.

use thiserror::Error;

/// What the browser did not give. `ui/sentences` words it for a person.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum BrowserError {
    /// The browser refused to start the worker.
    #[error("worker not started")]
    WorkerNotStarted,
    /// A clip of the example could not be loaded.
    #[error("example clip {name} missing")]
    ExampleClipMissing {
        /// Its name.
        name: String,
    },
}
