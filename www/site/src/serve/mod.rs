//! A small server of static files on the loopback address; it reads one folder and accepts no uploads.
//!
//! Each request has a connection and a thread of its own. Whole HTTP servers do not fit: they answer
//! malformed requests themselves, without the security headers that every response must carry.

mod request;
mod response;

pub use request::Request;

use crate::SiteError;
use std::net::{Ipv4Addr, SocketAddr, TcpListener, TcpStream};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, PoisonError};
use std::thread::{self, JoinHandle};

/// The default port. Chosen: fixed, because a browser keeps saved work by address and port.
pub const DEFAULT_PORT: u16 = 8417;

/// A running server; it stops on [`Server::stop`] or when dropped.
#[derive(Debug)]
pub struct Server {
    address: SocketAddr,
    shared: Arc<Shared>,
    acceptor: Option<JoinHandle<()>>,
}

/// State shared by the threads of the connections.
#[derive(Debug)]
struct Shared {
    folder: PathBuf,
    stopping: AtomicBool,
    log: Mutex<Vec<Request>>,
}

impl Server {
    /// Serves the folder on `127.0.0.1`; port 0 takes a free one.
    ///
    /// # Errors
    /// [`SiteError::NotBuilt`] if the folder has no `index.html`, [`SiteError::Port`] if the port is taken.
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
        let acceptor = thread::spawn({
            let shared = Arc::clone(&shared);
            move || accept(&listener, &shared)
        });
        Ok(Server { address, shared, acceptor: Some(acceptor) })
    }

    /// The address to open; it ends in a slash.
    pub fn url(&self) -> String {
        format!("http://{}/", self.address)
    }

    /// The port it listens on.
    pub fn port(&self) -> u16 {
        self.address.port()
    }

    /// Every request so far, in the order of arrival.
    pub fn requests(&self) -> Vec<Request> {
        self.shared.log.lock().unwrap_or_else(PoisonError::into_inner).clone()
    }

    /// Waits for ever, for a program that does nothing else.
    pub fn wait(mut self) {
        if let Some(acceptor) = self.acceptor.take() {
            // The thread ends only when the server stops, and `self` is the only handle.
            let _ = acceptor.join();
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
        if let Some(acceptor) = self.acceptor.take() {
            // A connection wakes the thread; if it cannot be made, the thread has ended already.
            let _ = TcpStream::connect(self.address);
            let _ = acceptor.join();
        }
    }
}

fn accept(listener: &TcpListener, shared: &Arc<Shared>) {
    for stream in listener.incoming() {
        if shared.stopping.load(Ordering::SeqCst) {
            return;
        }
        // The browser repeats a connection that failed before it began.
        let Ok(stream) = stream else { continue };
        let shared = Arc::clone(shared);
        thread::spawn(move || handle(stream, &shared));
    }
}

fn handle(mut stream: TcpStream, shared: &Shared) {
    // A failure to read or write means that the browser has gone.
    let Ok(request) = request::read(&mut stream) else { return };
    if let Some(request) = &request {
        shared.log.lock().unwrap_or_else(PoisonError::into_inner).push(request.clone());
    }
    let response = response::respond(&shared.folder, request.as_ref());
    if response.write(&mut stream).is_ok() {
        request::drain(&mut stream);
    }
}

#[cfg(test)]
mod tests;
