//! A small server of static files on the loopback address: reading only, and nobody else's files.

mod reply;
mod request;

pub use request::Request;

use crate::SiteError;
use std::net::{Ipv4Addr, SocketAddr, TcpListener, TcpStream};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, PoisonError};
use std::thread::{self, JoinHandle};

/// The port unless told otherwise. Chosen: fixed, because a browser keeps saved work by address and port.
pub const DEFAULT_PORT: u16 = 8417;

/// A running server; it stops when told to or dropped.
#[derive(Debug)]
pub struct Server {
    address: SocketAddr,
    shared: Arc<Shared>,
    accepting: Option<JoinHandle<()>>,
}

/// What the threads of the connections share.
#[derive(Debug)]
struct Shared {
    folder: PathBuf,
    stopping: AtomicBool,
    log: Mutex<Vec<Request>>,
}

impl Server {
    /// Starts to serve the folder on `127.0.0.1`; port 0 takes a free one.
    ///
    /// # Errors
    /// [`SiteError::NotBuilt`] without an `index.html` there, [`SiteError::Port`] if the port is taken.
    pub fn start(folder: &Path, port: u16) -> Result<Server, SiteError> {
        if !folder.join("index.html").is_file() {
            return Err(SiteError::NotBuilt(folder.to_path_buf()));
        }
        let port_error = |source| SiteError::Port { port, source };
        let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, port)).map_err(port_error)?;
        let address = listener.local_addr().map_err(port_error)?;
        let shared = Arc::new(Shared {
            folder: folder.to_path_buf(),
            stopping: AtomicBool::new(false),
            log: Mutex::new(Vec::new()),
        });
        let accepting = thread::spawn({
            let shared = Arc::clone(&shared);
            move || accept(&listener, &shared)
        });
        Ok(Server { address, shared, accepting: Some(accepting) })
    }

    /// The address to open, with a slash at its end.
    pub fn url(&self) -> String {
        format!("http://{}/", self.address)
    }

    /// Where it listens.
    pub fn port(&self) -> u16 {
        self.address.port()
    }

    /// Every request so far, in order of arrival.
    pub fn requests(&self) -> Vec<Request> {
        self.shared.log.lock().unwrap_or_else(PoisonError::into_inner).clone()
    }

    /// Waits for ever, for the program that does nothing else.
    pub fn wait(mut self) {
        if let Some(accepting) = self.accepting.take() {
            // It ends only by stopping, which nobody does here.
            let _ = accepting.join();
        }
    }

    /// Stops listening; the port is free when this returns.
    pub fn stop(self) {
        drop(self);
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        self.shared.stopping.store(true, Ordering::SeqCst);
        if let Some(accepting) = self.accepting.take() {
            // Wakes the thread from waiting for a connection; if that fails it is gone already.
            let _ = TcpStream::connect(self.address);
            let _ = accepting.join();
        }
    }
}

fn accept(listener: &TcpListener, shared: &Arc<Shared>) {
    for stream in listener.incoming() {
        if shared.stopping.load(Ordering::SeqCst) {
            return;
        }
        // A connection that failed before it began is the browser's to repeat.
        let Ok(stream) = stream else { continue };
        let shared = Arc::clone(shared);
        thread::spawn(move || answer(stream, &shared));
    }
}

fn answer(mut stream: TcpStream, shared: &Shared) {
    // Failure to read or write means that the browser has gone; there is nobody to tell.
    let Ok(request) = request::read(&mut stream) else { return };
    if let Some(request) = &request {
        shared.log.lock().unwrap_or_else(PoisonError::into_inner).push(request.clone());
    }
    let reply = reply::reply(&shared.folder, request.as_ref());
    if reply.write(&mut stream).is_ok() {
        request::drain(&mut stream);
    }
}

#[cfg(test)]
mod tests;
