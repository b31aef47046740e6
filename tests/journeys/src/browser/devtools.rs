//! A second connection to the browser's developer tools: sees every page and worker from its first request on.

use super::engine::OnlyChromium;
use super::network_log::LoggedRequest;
use crate::error::Result;
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::net::TcpStream;
use std::path::Path;
use std::sync::mpsc::{Receiver, Sender, channel};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::thread::{self, JoinHandle};
use std::time::{Duration, Instant};
use tungstenite::{Message, WebSocket};

/// Chosen: shorter than anything that a journey waits for.
const READ_TIMEOUT: Duration = Duration::from_millis(5);
/// Chosen: a worker that has not answered by then does not answer.
const TIMEOUT: Duration = Duration::from_secs(20);

/// What was seen so far.
#[derive(Debug, Default)]
pub(super) struct Log {
    /// Kind of each page and worker, by the session with it.
    pub targets: BTreeMap<String, String>,
    /// Every request of any of them, in command.
    pub requests: Vec<LoggedRequest>,
}

/// A command and where its answer goes.
struct Command {
    session: Option<String>,
    method: &'static str,
    params: Value,
    answer: Sender<Value>,
}

/// The connection; closed when dropped.
#[derive(Debug)]
pub struct DevTools {
    commands: Option<Sender<Command>>,
    log: Arc<Mutex<Log>>,
    thread: Option<JoinHandle<()>>,
}

impl DevTools {
    /// Connects to the browser with this profile.
    ///
    /// # Errors
    /// When the browser does not answer.
    pub fn open(profile: &Path) -> Result<Self> {
        let (port, path) = address(&profile.join("DevToolsActivePort"))?;
        let stream = TcpStream::connect(("127.0.0.1", port))?;
        let (socket, _) = tungstenite::client(format!("ws://127.0.0.1:{port}{path}"), stream)?;
        socket.get_ref().set_read_timeout(Some(READ_TIMEOUT))?;
        let (commands, received) = channel();
        let log = Arc::new(Mutex::new(Log::default()));
        let connection =
            Connection { socket, log: Arc::clone(&log), last_id: 0, waiting: BTreeMap::new() };
        let thread = thread::spawn(move || connection.run(&received));
        let this = Self { commands: Some(commands), log, thread: Some(thread) };
        this.ask(None, "Target.setAutoAttach", attach())?;
        Ok(this)
    }

    /// No connection, for a browser whose tools are not listened to.
    #[must_use]
    pub fn none() -> Self {
        Self { commands: None, log: Arc::default(), thread: None }
    }

    /// Closes the connection. The browser keeps a killed tab for as long as anybody listens to it.
    pub fn close(&mut self) {
        self.commands = None;
        if let Some(thread) = self.thread.take() {
            // It ends since its commands are dropped; one that panicked has nothing more to say.
            let _ = thread.join();
        }
    }

    pub(super) fn log(&self) -> MutexGuard<'_, Log> {
        self.log.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Forgets the requests so far.
    pub(super) fn forget_requests(&self) {
        self.log().requests.clear();
    }

    /// Asks the browser, or one of its pages or workers.
    fn ask(&self, session: Option<String>, method: &'static str, params: Value) -> Result<Value> {
        let (answer, answered) = channel();
        let command = Command { session, method, params, answer };
        self.commands.as_ref().ok_or(OnlyChromium(method))?.send(command)?;
        Ok(answered.recv_timeout(TIMEOUT).map_err(|_| format!("no answer to {method}"))?)
    }

    /// The value of an expression in the newest page or worker of a kind: `page`, `worker`, `service_worker`.
    ///
    /// # Errors
    /// When there is none of that kind, or the expression throws.
    pub fn evaluate(&self, kind: &str, expression: &str) -> Result<Value> {
        let of_kind = |(s, k): (&String, &String)| (k == kind).then(|| s.clone());
        let session = self.log().targets.iter().filter_map(of_kind).next_back();
        if self.commands.is_none() {
            return Err(OnlyChromium("expressions in its workers").into());
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

/// New pages and workers wait until their requests are logged.
fn attach() -> Value {
    json!({ "autoAttach": true, "waitForDebuggerOnStart": true, "flatten": true })
}

/// Port and path, which the browser writes into its profile once it listens.
fn address(file: &Path) -> Result<(u16, String)> {
    let began = Instant::now();
    while began.elapsed() < TIMEOUT {
        let text = std::fs::read_to_string(file).unwrap_or_default();
        if let Some((port, path)) = text.trim().split_once('\n') {
            return Ok((port.parse()?, path.to_owned()));
        }
        thread::sleep(Duration::from_millis(20));
    }
    Err(format!("the browser names no port in {}", file.display()).into())
}

struct Connection {
    socket: WebSocket<TcpStream>,
    log: Arc<Mutex<Log>>,
    last_id: u64,
    waiting: BTreeMap<u64, Sender<Value>>,
}

impl Connection {
    /// Listens until nobody can ask any more or the browser is gone.
    fn run(mut self, commands: &Receiver<Command>) {
        loop {
            match commands.try_recv() {
                Ok(command) => {
                    let id = self.send(command.session.as_deref(), command.method, &command.params);
                    self.waiting.insert(id, command.answer);
                }
                Err(std::sync::mpsc::TryRecvError::Disconnected) => return,
                Err(std::sync::mpsc::TryRecvError::Empty) => {}
            }
            match self.socket.read() {
                Ok(Message::Text(text)) => {
                    if let Ok(message) = serde_json::from_str(&text) {
                        self.receive(&message);
                    }
                }
                Ok(_) => {}
                Err(tungstenite::Error::Io(e)) if is_timeout(&e) => {}
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
        // The next reading notices that a browser is gone.
        let _ = self.socket.send(Message::text(message.to_string()));
        self.last_id
    }

    fn receive(&mut self, message: &Value) {
        if let Some(id) = message.get("id").and_then(Value::as_u64) {
            if let Some(answer) = self.waiting.remove(&id) {
                // Nobody waits any more if the journey has moved on.
                let _ = answer.send(message.clone());
            }
            return;
        }
        let text = |path: &str| message.pointer(path).and_then(Value::as_str).unwrap_or_default();
        match text("/method") {
            "Target.attachedToTarget" => {
                let (session, kind) = (text("/params/sessionId"), text("/params/targetInfo/type"));
                self.note(|log| log.targets.insert(session.to_owned(), kind.to_owned()));
                self.send(Some(session), "Network.enable", &json!({}));
                self.send(Some(session), "Audits.enable", &json!({}));
                self.send(Some(session), "Target.setAutoAttach", &attach());
                self.send(Some(session), "Runtime.runIfWaitingForDebugger", &json!({}));
            }
            "Target.detachedFromTarget" => {
                self.note(|log| log.targets.remove(text("/params/sessionId")));
            }
            method if method.starts_with("Network.") || method == "Audits.issueAdded" => {
                let session = text("/sessionId").to_owned();
                self.note(|log| {
                    let kind = log.targets.get(&session).cloned().unwrap_or_default();
                    LoggedRequest::log(&mut log.requests, &kind, message);
                });
            }
            _ => {}
        }
    }

    fn note<T>(&self, change: impl FnOnce(&mut Log) -> T) {
        change(&mut self.log.lock().unwrap_or_else(PoisonError::into_inner));
    }
}

fn is_timeout(error: &std::io::Error) -> bool {
    matches!(error.kind(), std::io::ErrorKind::WouldBlock | std::io::ErrorKind::TimedOut)
}
