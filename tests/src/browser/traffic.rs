//! What the page, its worker and its service worker asked for, and whether any of it left the page's own address.

use super::{Browser, Engine, Result};
use serde_json::Value;
use std::collections::BTreeSet;
use std::io::{BufRead, BufReader};
use std::net::{Ipv4Addr, TcpListener};
use std::sync::{Arc, Mutex, PoisonError};
use std::thread;

/// One request, also one that the policy refused.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Asked {
    /// Who asked: `page`, `worker` or `service_worker`.
    pub by: String,
    /// `GET`, `POST`, …; `refused` for what the policy stopped before it was a request; the kind of line for what is none,
    /// such as `webSocketCreated`.
    pub method: String,
    /// The address.
    pub url: String,
    /// Whether the service worker answered it from what is kept on the device.
    pub from_kept: bool,
    /// Why the browser refused to send it; empty where it did not.
    pub refused: String,
    /// The browser's own name for it.
    id: String,
}

impl Asked {
    /// Takes one event of the browser's network log into the list.
    pub(super) fn hear(asked: &mut Vec<Asked>, by: &str, event: &Value) {
        let text =
            |path: &str| event.pointer(path).and_then(Value::as_str).unwrap_or_default().to_owned();
        let id = text("/params/requestId");
        let known = asked.iter().rposition(|a| a.id == id).and_then(|i| asked.get_mut(i));
        match text("/method").trim_start_matches("Network.") {
            "requestWillBeSent" => {
                let (method, url) = (text("/params/request/method"), text("/params/request/url"));
                // A service worker is heard on two lines: the browser's and its page's.
                if known
                    .is_some_and(|k| (&k.by, &k.method, &k.url) == (&by.to_owned(), &method, &url))
                {
                    return;
                }
                asked.push(Asked { by: by.to_owned(), method, url, id, ..Asked::default() });
            }
            kind @ ("webSocketCreated" | "webTransportCreated") => {
                let (method, url) = (kind.to_owned(), text("/params/url"));
                asked.push(Asked { by: by.to_owned(), method, url, id, ..Asked::default() });
            }
            "responseReceived" => {
                let kept = event.pointer("/params/response/fromServiceWorker");
                if let (Some(one), Some(true)) = (known, kept.and_then(Value::as_bool)) {
                    one.from_kept = true;
                }
            }
            "Audits.issueAdded" => {
                let url =
                    text("/params/issue/details/contentSecurityPolicyIssueDetails/blockedURL");
                if !url.is_empty() {
                    let (method, refused) = ("refused".to_owned(), "csp".to_owned());
                    asked.push(Asked {
                        by: by.to_owned(),
                        method,
                        url,
                        refused,
                        ..Asked::default()
                    });
                }
            }
            "loadingFailed" => {
                if let Some(one) = known {
                    one.refused = text("/params/blockedReason");
                }
            }
            _ => {}
        }
    }

    /// Whether it is of a kind that can leave the device.
    fn is_of_network(&self) -> bool {
        ["http:", "https:", "ws:", "wss:"].iter().any(|scheme| self.url.starts_with(scheme))
    }

    /// Whether it is a reading request to this address, which ends in a slash.
    #[must_use]
    pub fn is_get_to(&self, origin: &str) -> bool {
        self.method == "GET" && self.url.starts_with(origin)
    }
}

impl Browser {
    /// Every request so far that could have left the device, of the page and of all workers.
    #[must_use]
    pub fn asked(&self) -> Vec<Asked> {
        self.devtools.seen().asked.iter().filter(|a| a.is_of_network()).cloned().collect()
    }

    /// The kinds of pages and workers that are listened to now.
    #[must_use]
    pub fn listened_to(&self) -> BTreeSet<String> {
        self.devtools.seen().targets.values().cloned().collect()
    }

    /// Fails unless every request so far is a GET to this address; answers how many there were.
    ///
    /// # Errors
    /// The requests that are not.
    pub fn only_gets_to(&self, origin: &str) -> Result<usize> {
        if self.engine != Engine::Chromium {
            println!("not run: only Chromium tells what the page and its workers asked for");
            return Ok(0);
        }
        let asked = self.asked();
        let bad: Vec<&Asked> = asked.iter().filter(|a| !a.is_get_to(origin)).collect();
        if asked.is_empty() {
            return Err("no request was seen at all: the log is not listening".into());
        }
        if bad.is_empty() {
            Ok(asked.len())
        } else {
            Err(format!("asked elsewhere: {bad:?}").into())
        }
    }
}

/// Stands where the server stood: answers nobody, and notes the first line of whoever comes.
#[derive(Debug)]
pub struct Deaf {
    port: u16,
    lines: Arc<Mutex<Vec<String>>>,
}

impl Deaf {
    /// Takes the place of a server that was stopped; port 0 takes a free one.
    ///
    /// # Errors
    /// When the port is taken.
    pub fn at(port: u16) -> Result<Self> {
        let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, port))?;
        let port = listener.local_addr()?.port();
        let lines = Arc::new(Mutex::new(Vec::new()));
        let noted = Arc::clone(&lines);
        // It ends with the tests' process.
        thread::spawn(move || {
            for stream in listener.incoming().map_while(std::result::Result::ok) {
                let noted = Arc::clone(&noted);
                thread::spawn(move || {
                    // A browser opens lines that it may not use; who hangs up without a word asked for nothing.
                    let head: Vec<String> = BufReader::new(&stream)
                        .lines()
                        .map_while(std::result::Result::ok)
                        .take_while(|line| !line.trim().is_empty())
                        .collect();
                    let mut noted = noted.lock().unwrap_or_else(PoisonError::into_inner);
                    noted.extend(head.first().map(|line| {
                        if is_own_look(&head) {
                            OWN_LOOK.to_owned()
                        } else {
                            line.trim().to_owned()
                        }
                    }));
                });
            }
        });
        Ok(Self { port, lines })
    }

    /// Where it stands.
    #[must_use]
    pub fn port(&self) -> u16 {
        self.port
    }

    /// What was asked of it so far, but for the browser's own looks for a newer service worker.
    #[must_use]
    pub fn heard(&self) -> Vec<String> {
        self.all().into_iter().filter(|line| line != OWN_LOOK).collect()
    }

    /// How often the browser looked for a newer service worker of its own accord.
    #[must_use]
    pub fn own_looks(&self) -> usize {
        self.all().iter().filter(|line| *line == OWN_LOOK).count()
    }

    fn all(&self) -> Vec<String> {
        self.lines.lock().unwrap_or_else(PoisonError::into_inner).clone()
    }
}

const OWN_LOOK: &str = "the browser's own look for a newer service worker";

/// A browser asks for the script of a service worker some time after a page was loaded, whatever the page does, and marks
/// that with a header; what a page asks for itself stands in the log of [`Asked`] besides.
///
/// Source: W3C Service Workers, "Soft Update" and the header `Service-Worker`.
fn is_own_look(head: &[String]) -> bool {
    head.first().is_some_and(|line| line.starts_with("GET /sw.js "))
        && head.iter().any(|line| line.to_ascii_lowercase().trim() == "service-worker: script")
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    fn sent(id: &str, method: &str, url: &str) -> Value {
        json!({ "method": "Network.requestWillBeSent",
            "params": { "requestId": id, "request": { "method": method, "url": url } } })
    }

    #[test]
    fn only_a_marked_request_for_the_script_is_the_browsers_own_look() {
        let head = |lines: &[&str]| lines.iter().map(|l| (*l).to_owned()).collect::<Vec<_>>();
        assert!(is_own_look(&head(&["GET /sw.js HTTP/1.1", "Host: x", "Service-Worker: script"])));
        assert!(!is_own_look(&head(&["GET /sw.js HTTP/1.1", "Host: x"])));
        assert!(!is_own_look(&head(&["GET /sw.js?a HTTP/1.1", "Service-Worker: script"])));
        assert!(!is_own_look(&head(&["POST /sw.js HTTP/1.1", "Service-Worker: script"])));
    }

    #[test]
    fn a_request_keeps_who_asked_who_answered_and_why_it_was_refused() {
        let mut asked = Vec::new();
        Asked::hear(&mut asked, "page", &sent("1", "GET", "http://a/x"));
        Asked::hear(&mut asked, "worker", &sent("2", "POST", "http://b/y"));
        let kept = json!({ "method": "Network.responseReceived",
            "params": { "requestId": "1", "response": { "fromServiceWorker": true } } });
        Asked::hear(&mut asked, "page", &kept);
        let refused = json!({ "method": "Network.loadingFailed",
            "params": { "requestId": "2", "blockedReason": "csp" } });
        let stopped = json!({ "method": "Audits.issueAdded", "params": { "issue": { "details": {
            "contentSecurityPolicyIssueDetails": { "blockedURL": "http://b/w" } } } } });
        Asked::hear(&mut asked, "worker", &refused);
        let line = json!({ "method": "Network.webSocketCreated",
            "params": { "requestId": "3", "url": "ws://a/z" } });
        Asked::hear(&mut asked, "worker", &line);
        Asked::hear(&mut asked, "worker", &stopped);
        let told: Vec<(&str, bool, &str, bool)> = asked
            .iter()
            .map(|a| (a.by.as_str(), a.from_kept, a.refused.as_str(), a.is_get_to("http://a/")))
            .collect();
        assert_eq!(
            told,
            [
                ("page", true, "", true),
                ("worker", false, "csp", false),
                ("worker", false, "", false),
                ("worker", false, "csp", false)
            ]
        );
    }
}
