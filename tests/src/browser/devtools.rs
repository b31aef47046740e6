//! A line of its own to the browser's developer tools: sees every page and worker from its first request on.

use super::Result;
use super::engine::OnlyChromium;
use super::traffic::Asked;
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::net::TcpStream;
use std::path::Path;
use std::sync::mpsc::{Receiver, Sender, channel};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::thread::{self, JoinHandle};
use std::time::{Duration, Instant};
use tungstenite::{Message, WebSocket};

/// Chosen: shorter than anything a journey waits for.
const LISTEN_FOR: Duration = Duration::from_millis(5);
/// Chosen: a worker that does not answer a question by then does not answer.
const PATIENCE: Duration = Duration::from_secs(20);

/// What was seen so far.
#[derive(Debug, Default)]
pub(super) struct Seen {
    /// Kind of each page and worker, by the name of the line to it.
    pub targets: BTreeMap<String, String>,
    /// Every request of any of them, in order.
    pub asked: Vec<Asked>,
}

/// A question and where its answer goes.
struct Order {
    session: Option<String>,
    method: &'static str,
    params: Value,
    answer: Sender<Value>,
}

/// The line; closed when dropped.
#[derive(Debug)]
pub struct DevTools {
    orders: Option<Sender<Order>>,
    seen: Arc<Mutex<Seen>>,
    thread: Option<JoinHandle<()>>,
}

impl DevTools {
    /// Opens the line that a browser with this profile names in it.
    ///
    /// # Errors
    /// When the browser does not answer.
    pub fn open(profile: &Path) -> Result<Self> {
        let (port, path) = address(&profile.join("DevToolsActivePort"))?;
        let stream = TcpStream::connect(("127.0.0.1", port))?;
        let (socket, _) = tungstenite::client(format!("ws://127.0.0.1:{port}{path}"), stream)?;
        socket.get_ref().set_read_timeout(Some(LISTEN_FOR))?;
        let (orders, given) = channel();
        let seen = Arc::new(Mutex::new(Seen::default()));
        let line = Line { socket, seen: Arc::clone(&seen), last_id: 0, waiting: BTreeMap::new() };
        let thread = thread::spawn(move || line.run(&given));
        let this = Self { orders: Some(orders), seen, thread: Some(thread) };
        this.ask(None, "Target.setAutoAttach", attach())?;
        Ok(this)
    }

    /// No line, to a browser whose tools are not listened to.
    #[must_use]
    pub fn none() -> Self {
        Self { orders: None, seen: Arc::default(), thread: None }
    }

    /// Closes the line. A tab that is killed while anybody listens to it is held by the browser, and never goes.
    pub fn close(&mut self) {
        self.orders = None;
        if let Some(thread) = self.thread.take() {
            // It ends by the dropped orders; one that fell has nothing more to say.
            let _ = thread.join();
        }
    }

    pub(super) fn seen(&self) -> MutexGuard<'_, Seen> {
        self.seen.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Asks the browser, or one of its pages or workers.
    fn ask(&self, session: Option<String>, method: &'static str, params: Value) -> Result<Value> {
        let (answer, answered) = channel();
        let order = Order { session, method, params, answer };
        self.orders.as_ref().ok_or(OnlyChromium(method))?.send(order)?;
        Ok(answered.recv_timeout(PATIENCE).map_err(|_| format!("no answer to {method}"))?)
    }

    /// What an expression comes to in the newest page or worker of a kind: `page`, `worker`, `service_worker`.
    ///
    /// # Errors
    /// When there is none of that kind, or the expression throws.
    pub fn evaluate(&self, kind: &str, expression: &str) -> Result<Value> {
        let of_kind = |(s, k): (&String, &String)| (k == kind).then(|| s.clone());
        let session = self.seen().targets.iter().filter_map(of_kind).next_back();
        if self.orders.is_none() {
            return Err(OnlyChromium("what its workers say").into());
        }
        let session = session.ok_or_else(|| format!("there is no {kind}"))?;
        let params =
            json!({ "expression": expression, "awaitPromise": true, "returnByValue": true });
        let answer = self.ask(Some(session), "Runtime.evaluate", params)?;
        match answer.pointer("/result/exceptionDetails") {
            Some(thrown) => Err(format!("{expression} in a {kind}: {thrown}").into()),
            None => Ok(answer.pointer("/result/result/value").cloned().unwrap_or_default()),
        }
    }
}

impl Drop for DevTools {
    fn drop(&mut self) {
        self.close();
    }
}

/// New pages and workers wait until they are listened to.
fn attach() -> Value {
    json!({ "autoAttach": true, "waitForDebuggerOnStart": true, "flatten": true })
}

/// Port and path, which the browser writes into its profile once it listens.
fn address(file: &Path) -> Result<(u16, String)> {
    let began = Instant::now();
    while began.elapsed() < PATIENCE {
        let text = std::fs::read_to_string(file).unwrap_or_default();
        if let Some((port, path)) = text.trim().split_once('\n') {
            return Ok((port.parse()?, path.to_owned()));
        }
        thread::sleep(Duration::from_millis(20));
    }
    Err(format!("the browser names no port in {}", file.display()).into())
}

struct Line {
    socket: WebSocket<TcpStream>,
    seen: Arc<Mutex<Seen>>,
    last_id: u64,
    waiting: BTreeMap<u64, Sender<Value>>,
}

impl Line {
    /// Listens until nobody can ask any more or the browser is gone.
    fn run(mut self, orders: &Receiver<Order>) {
        loop {
            match orders.try_recv() {
                Ok(order) => {
                    let id = self.send(order.session.as_deref(), order.method, &order.params);
                    self.waiting.insert(id, order.answer);
                }
                Err(std::sync::mpsc::TryRecvError::Disconnected) => return,
                Err(std::sync::mpsc::TryRecvError::Empty) => {}
            }
            match self.socket.read() {
                Ok(Message::Text(text)) => {
                    if let Ok(message) = serde_json::from_str(&text) {
                        self.hear(&message);
                    }
                }
                Ok(_) => {}
                Err(tungstenite::Error::Io(e)) if is_silence(&e) => {}
                Err(_) => return,
            }
        }
    }

    fn send(&mut self, session: Option<&str>, method: &str, params: &Value) -> u64 {
        self.last_id += 1;
        let mut message = json!({ "id": self.last_id, "method": method, "params": params });
        if let (Some(session), Some(message)) = (session, message.as_object_mut()) {
            message.insert("sessionId".to_owned(), session.into());
        }
        // A browser that is gone is noticed by the next reading.
        let _ = self.socket.send(Message::text(message.to_string()));
        self.last_id
    }

    fn hear(&mut self, message: &Value) {
        if let Some(id) = message.get("id").and_then(Value::as_u64) {
            if let Some(answer) = self.waiting.remove(&id) {
                // Nobody waits any more when the journey has moved on.
                let _ = answer.send(message.clone());
            }
            return;
        }
        let text = |path: &str| message.pointer(path).and_then(Value::as_str).unwrap_or_default();
        match text("/method") {
            "Target.attachedToTarget" => {
                let (session, kind) = (text("/params/sessionId"), text("/params/targetInfo/type"));
                self.note(|seen| seen.targets.insert(session.to_owned(), kind.to_owned()));
                self.send(Some(session), "Network.enable", &json!({}));
                self.send(Some(session), "Audits.enable", &json!({}));
                self.send(Some(session), "Target.setAutoAttach", &attach());
                self.send(Some(session), "Runtime.runIfWaitingForDebugger", &json!({}));
            }
            "Target.detachedFromTarget" => {
                self.note(|seen| seen.targets.remove(text("/params/sessionId")));
            }
            method if method.starts_with("Network.") || method == "Audits.issueAdded" => {
                let session = text("/sessionId").to_owned();
                self.note(|seen| {
                    let kind = seen.targets.get(&session).cloned().unwrap_or_default();
                    Asked::hear(&mut seen.asked, &kind, message);
                });
            }
            _ => {}
        }
    }

    fn note<T>(&self, change: impl FnOnce(&mut Seen) -> T) {
        change(&mut self.seen.lock().unwrap_or_else(PoisonError::into_inner));
    }
}

fn is_silence(error: &std::io::Error) -> bool {
    matches!(error.kind(), std::io::ErrorKind::WouldBlock | std::io::ErrorKind::TimedOut)
}
