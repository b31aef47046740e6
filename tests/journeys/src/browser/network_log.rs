//! The requests of the page, its worker and its service worker, and whether any left the page's own address.

use serde_json::Value;

/// One request, also one that the policy refused.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct LoggedRequest {
    /// Who sent it: `page`, `worker` or `service_worker`.
    pub by: String,
    /// `GET`, `POST`, …; `refused` for what the policy stopped before it was a request; the event's name for a
    /// connection of another kind, such as `webSocketCreated`.
    pub method: String,
    /// The address.
    pub url: String,
    /// Whether the service worker answered it from its cache.
    pub from_cache: bool,
    /// Why the browser refused to send it; empty if it did not.
    pub refused: String,
    /// The browser's identifier of it.
    id: String,
}

impl LoggedRequest {
    /// Adds one event of the browser's network log to the list.
    pub(super) fn log(requests: &mut Vec<LoggedRequest>, by: &str, event: &Value) {
        let text =
            |path: &str| event.pointer(path).and_then(Value::as_str).unwrap_or_default().to_owned();
        let id = text("/params/requestId");
        let known = requests.iter().rposition(|a| a.id == id).and_then(|i| requests.get_mut(i));
        match text("/method").trim_start_matches("Network.") {
            "requestWillBeSent" => {
                let (method, url) = (text("/params/request/method"), text("/params/request/url"));
                // A service worker is logged on two sessions: the browser's and its page's.
                if known
                    .is_some_and(|k| (&k.by, &k.method, &k.url) == (&by.to_owned(), &method, &url))
                {
                    return;
                }
                requests.push(LoggedRequest {
                    by: by.to_owned(),
                    method,
                    url,
                    id,
                    ..LoggedRequest::default()
                });
            }
            kind @ ("webSocketCreated" | "webTransportCreated") => {
                let (method, url) = (kind.to_owned(), text("/params/url"));
                requests.push(LoggedRequest {
                    by: by.to_owned(),
                    method,
                    url,
                    id,
                    ..LoggedRequest::default()
                });
            }
            "responseReceived" => {
                let from_cache = event.pointer("/params/response/fromServiceWorker");
                if let (Some(one), Some(true)) = (known, from_cache.and_then(Value::as_bool)) {
                    one.from_cache = true;
                }
            }
            "Audits.issueAdded" => {
                let url =
                    text("/params/issue/details/contentSecurityPolicyIssueDetails/blockedURL");
                if !url.is_empty() {
                    let (method, refused) = ("refused".to_owned(), "csp".to_owned());
                    requests.push(LoggedRequest {
                        by: by.to_owned(),
                        method,
                        url,
                        refused,
                        ..LoggedRequest::default()
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
    pub(super) fn is_of_network(&self) -> bool {
        ["http:", "https:", "ws:", "wss:"].iter().any(|scheme| self.url.starts_with(scheme))
    }

    /// Whether it is a reading request to this address, which ends in a slash.
    pub(super) fn is_get_to(&self, origin: &str) -> bool {
        self.method == "GET" && self.url.starts_with(origin)
    }
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
    fn a_request_keeps_its_sender_who_answered_and_why_it_was_refused() {
        let mut requests = Vec::new();
        LoggedRequest::log(&mut requests, "page", &sent("1", "GET", "http://a/x"));
        LoggedRequest::log(&mut requests, "worker", &sent("2", "POST", "http://b/y"));
        let kept = json!({ "method": "Network.responseReceived",
            "params": { "requestId": "1", "response": { "fromServiceWorker": true } } });
        LoggedRequest::log(&mut requests, "page", &kept);
        let refused = json!({ "method": "Network.loadingFailed",
            "params": { "requestId": "2", "blockedReason": "csp" } });
        let stopped = json!({ "method": "Audits.issueAdded", "params": { "issue": { "details": {
            "contentSecurityPolicyIssueDetails": { "blockedURL": "http://b/w" } } } } });
        LoggedRequest::log(&mut requests, "worker", &refused);
        let line = json!({ "method": "Network.webSocketCreated",
            "params": { "requestId": "3", "url": "ws://a/z" } });
        LoggedRequest::log(&mut requests, "worker", &line);
        LoggedRequest::log(&mut requests, "worker", &stopped);
        let logged: Vec<(&str, bool, &str, bool)> = requests
            .iter()
            .map(|a| (a.by.as_str(), a.from_cache, a.refused.as_str(), a.is_get_to("http://a/")))
            .collect();
        assert_eq!(
            logged,
            [
                ("page", true, "", true),
                ("worker", false, "csp", false),
                ("worker", false, "", false),
                ("worker", false, "csp", false)
            ]
        );
    }
}
