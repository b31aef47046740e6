//! A listener that takes the place of a stopped server and shows whether anybody still asks it.

use crate::error::Result;
use std::io::{BufRead, BufReader};
use std::net::{Ipv4Addr, TcpListener};
use std::sync::{Arc, Mutex, PoisonError};
use std::thread;

/// Listens at a port and never answers; notes the request line of every request.
#[derive(Debug)]
pub struct SilentListener {
    port: u16,
    lines: Arc<Mutex<Vec<String>>>,
}

impl SilentListener {
    /// Listens at the port of a server that was stopped; at a free one for port 0.
    ///
    /// # Errors
    /// When the port is taken.
    pub fn at(port: u16) -> Result<Self> {
        let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, port))?;
        let port = listener.local_addr()?.port();
        let lines = Arc::new(Mutex::new(Vec::new()));
        let noted = Arc::clone(&lines);
        // The thread ends with the process.
        thread::spawn(move || {
            for stream in listener.incoming().map_while(std::result::Result::ok) {
                let noted = Arc::clone(&noted);
                thread::spawn(move || {
                    // A browser opens connections that it may not use; an empty one is no request.
                    let head: Vec<String> = BufReader::new(&stream)
                        .lines()
                        .map_while(std::result::Result::ok)
                        .take_while(|line| !line.trim().is_empty())
                        .collect();
                    let mut noted = noted.lock().unwrap_or_else(PoisonError::into_inner);
                    noted.extend(head.first().map(|line| {
                        if is_update_check(&head) {
                            UPDATE_CHECK.to_owned()
                        } else {
                            line.trim().to_owned()
                        }
                    }));
                });
            }
        });
        Ok(Self { port, lines })
    }

    /// Its port.
    #[must_use]
    pub fn port(&self) -> u16 {
        self.port
    }

    /// The requests so far, without the browser's own checks for a newer service worker.
    #[must_use]
    pub fn requests(&self) -> Vec<String> {
        self.all().into_iter().filter(|line| line != UPDATE_CHECK).collect()
    }

    /// How often the browser checked for a newer service worker of its own accord.
    #[must_use]
    pub fn update_checks(&self) -> usize {
        self.all().iter().filter(|line| *line == UPDATE_CHECK).count()
    }

    fn all(&self) -> Vec<String> {
        self.lines.lock().unwrap_or_else(PoisonError::into_inner).clone()
    }
}

const UPDATE_CHECK: &str = "the browser's own check for a newer service worker";

/// A browser requests the script of a service worker some time after a page was loaded, whatever the page does, and marks
/// that with a header; requests of the page itself are in the log of [`super::LoggedRequest`] too.
///
/// Source: W3C Service Workers, "Soft Update" and the header `Service-Worker`.
fn is_update_check(head: &[String]) -> bool {
    head.first().is_some_and(|line| line.starts_with("GET /sw.js "))
        && head.iter().any(|line| line.to_ascii_lowercase().trim() == "service-worker: script")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_a_marked_request_for_the_script_is_an_update_check() {
        let head = |lines: &[&str]| lines.iter().map(|l| (*l).to_owned()).collect::<Vec<_>>();
        assert!(is_update_check(&head(&[
            "GET /sw.js HTTP/1.1",
            "Host: x",
            "Service-Worker: script"
        ])));
        assert!(!is_update_check(&head(&["GET /sw.js HTTP/1.1", "Host: x"])));
        assert!(!is_update_check(&head(&["GET /sw.js?a HTTP/1.1", "Service-Worker: script"])));
        assert!(!is_update_check(&head(&["POST /sw.js HTTP/1.1", "Service-Worker: script"])));
    }
}
