//! Reads the head of one HTTP request; `httparse` parses it.

use std::io::{self, Read};
use std::net::{Shutdown, TcpStream};
use std::time::Duration;

/// Chosen: 16 times the 1 KiB that browsers send.
const MAX_HEAD_BYTES: usize = 16 * 1024;
/// Chosen: the limit that hyper has too; browsers send about 20.
const MAX_HEADERS: usize = 100;
/// Chosen: browsers open connections that they may not use; 10 s is long for a request on one machine.
const TIMEOUT: Duration = Duration::from_secs(10);
/// Chosen: no browser sends a body here; more than this is not waited for.
const MAX_DRAINED_BYTES: usize = 64 * 1024;

/// The request line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Request {
    /// As sent: `GET`, `HEAD`, …
    pub method: String,
    /// As sent, with its query.
    pub path: String,
}

/// The request, or `None` if the bytes are not a request that this server understands.
///
/// # Errors
/// Those of the connection, a timeout among them.
pub fn read(stream: &mut TcpStream) -> io::Result<Option<Request>> {
    stream.set_read_timeout(Some(TIMEOUT))?;
    stream.set_write_timeout(Some(TIMEOUT))?;
    let mut head = Vec::new();
    let mut chunk = [0_u8; 2048];
    loop {
        let count = stream.read(&mut chunk)?;
        if count == 0 {
            return Err(io::ErrorKind::UnexpectedEof.into());
        }
        head.extend(chunk.iter().take(count));
        match parse(&head) {
            Parsed::Partial if head.len() <= MAX_HEAD_BYTES => {}
            Parsed::Complete(request) => return Ok(Some(request)),
            Parsed::Partial | Parsed::Malformed => return Ok(None),
        }
    }
}

/// Reads what the client still sends: closing earlier would reset the connection and lose the response.
pub fn drain(stream: &mut TcpStream) {
    if stream.shutdown(Shutdown::Write).is_err() {
        return;
    }
    let mut chunk = [0_u8; 2048];
    let mut left = MAX_DRAINED_BYTES;
    while let Ok(count) = stream.read(&mut chunk) {
        left = left.saturating_sub(count);
        if count == 0 || left == 0 {
            return;
        }
    }
}

/// What the bytes so far amount to.
#[derive(Clone, Debug, PartialEq, Eq)]
enum Parsed {
    Complete(Request),
    Partial,
    Malformed,
}

fn parse(head: &[u8]) -> Parsed {
    let mut headers = [httparse::EMPTY_HEADER; MAX_HEADERS];
    let mut request = httparse::Request::new(&mut headers);
    match request.parse(head) {
        Ok(httparse::Status::Partial) => return Parsed::Partial,
        Ok(httparse::Status::Complete(_)) => {}
        Err(_) => return Parsed::Malformed,
    }
    let (Some(method), Some(path)) = (request.method, request.path) else {
        return Parsed::Malformed;
    };
    // A full address is for proxies, `*` for whole servers; browsers send neither here.
    if !path.starts_with('/') || !method.bytes().all(|byte| byte.is_ascii_uppercase()) {
        return Parsed::Malformed;
    }
    Parsed::Complete(Request { method: method.to_owned(), path: path.to_owned() })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_request_line_is_a_method_a_path_and_a_version() {
        let expected = Request { method: "GET".to_owned(), path: "/a?b".to_owned() };
        let head = b"GET /a?b HTTP/1.1\r\nHost: x\r\n\r\n";
        assert_eq!(parse(head), Parsed::Complete(expected));
        for wrong in [
            "",
            "GET",
            "GET /",
            "GET / HTTP/2",
            "get / HTTP/1.1",
            "GET a HTTP/1.1",
            "GET http://x/ HTTP/1.1",
            "GET / HTTP/1.1 x",
            "\u{1} / HTTP/1.1",
            "GET /\0 HTTP/1.1",
        ] {
            let complete =
                matches!(parse(format!("{wrong}\r\n\r\n").as_bytes()), Parsed::Complete(_));
            assert!(!complete, "{wrong}");
        }
    }

    #[test]
    fn a_head_is_partial_until_its_empty_line() {
        let head = b"GET / HTTP/1.1\r\nHost: x\r\n\r\n";
        for end in 0..head.len() {
            assert_eq!(parse(&head[..end]), Parsed::Partial, "{end} bytes");
        }
    }
}
