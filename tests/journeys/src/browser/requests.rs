//! The requests of a browser, and whether all went to the page's own address.

use super::network_log::LoggedRequest;
use super::{Browser, Engine};
use crate::error::Result;
use std::collections::BTreeSet;

impl Browser {
    /// Every request so far that could have left the device, of the page and of all workers.
    #[must_use]
    pub fn requests(&self) -> Vec<LoggedRequest> {
        self.devtools.log().requests.iter().filter(|a| a.is_of_network()).cloned().collect()
    }

    /// The kinds of pages and workers whose requests are logged now.
    #[must_use]
    pub fn targets(&self) -> BTreeSet<String> {
        self.devtools.log().targets.values().cloned().collect()
    }

    /// Fails unless every request so far is a GET to this address; answers how many there were.
    ///
    /// # Errors
    /// The requests that are not.
    pub fn check_only_gets_to(&self, origin: &str) -> Result<usize> {
        if self.engine != Engine::Chromium {
            println!("not run: only Chromium logs the requests of the page and its workers");
            return Ok(0);
        }
        let requests = self.requests();
        let bad: Vec<&LoggedRequest> = requests.iter().filter(|a| !a.is_get_to(origin)).collect();
        if requests.is_empty() {
            return Err("no request was logged at all: the log does not work".into());
        }
        if bad.is_empty() {
            Ok(requests.len())
        } else {
            Err(format!("requests elsewhere: {bad:?}").into())
        }
    }
}
