//! Reads the head of an HTTP request and refuses what is not one.

use std::io::{self, Read};
use std::net::{Shutdown, TcpStream};
use std::time::Duration;

/// Chosen: browsers send about 1 KiB; what is longer is not a browser.
const LONGEST_HEAD: usize = 16 * 1024;
/// Chosen: a browser opens connections it may not use; they are not kept for long.
const PATIENCE: Duration = Duration::from_secs(10);

/// What was asked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Request {
    /// As sent: `GET`, `HEAD`, …
    pub method: String,
    /// As sent, with its query.
    pub path: String,
}

/// The request, or `None` if what came is not HTTP.
///
/// # Errors
/// The connection's own, also when nothing comes in time.
pub fn read(stream: &mut TcpStream) -> io::Result<Option<Request>> {
    stream.set_read_timeout(Some(PATIENCE))?;
    stream.set_write_timeout(Some(PATIENCE))?;
    let mut head = Vec::new();
    let mut piece = [0_u8; 2048];
    while !head.windows(4).any(|end| end == b"\r\n\r\n") {
        let count = stream.read(&mut piece)?;
        if count == 0 {
            return Err(io::ErrorKind::UnexpectedEof.into());
        }
        head.extend(piece.iter().take(count));
        if head.len() > LONGEST_HEAD {
            return Ok(None);
        }
    }
    Ok(parse(&head))
}

/// Reads what is still under way (a body nobody wanted), because closing before that would take
/// the answer back.
pub fn drain(stream: &mut TcpStream) {
    if stream.shutdown(Shutdown::Write).is_err() {
        return;
    }
    let mut piece = [0_u8; 2048];
    let mut left = 64 * 1024_usize;
    while let Ok(count) = stream.read(&mut piece) {
        left = left.saturating_sub(count);
        if count == 0 || left == 0 {
            return;
        }
    }
}

fn parse(head: &[u8]) -> Option<Request> {
    let line = head.split(|byte| *byte == b'\r').next()?;
    let line = std::str::from_utf8(line).ok()?;
    let mut words = line.split(' ');
    let (method, path, version) = (words.next()?, words.next()?, words.next()?);
    let is_method = !method.is_empty() && method.bytes().all(|byte| byte.is_ascii_uppercase());
    let is_http = version == "HTTP/1.1" || version == "HTTP/1.0";
    let known = is_method && is_http && path.starts_with('/') && words.next().is_none();
    known.then(|| Request { method: method.to_owned(), path: path.to_owned() })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_request_line_has_three_words() {
        let request = parse(b"GET /a?b HTTP/1.1\r\nHost: x\r\n\r\n").unwrap();
        assert_eq!((request.method.as_str(), request.path.as_str()), ("GET", "/a?b"));
        for wrong in [
            "",
            "GET",
            "GET /",
            "GET / HTTP/2",
            "get / HTTP/1.1",
            "GET a HTTP/1.1",
            "GET / HTTP/1.1 x",
            "\u{1} / HTTP/1.1",
        ] {
            assert_eq!(parse(format!("{wrong}\r\n\r\n").as_bytes()), None, "{wrong}");
        }
    }
}
