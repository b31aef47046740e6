//! Decides the response to a request; every response carries the security headers.

use super::request::Request;
use crate::policy;
use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// A whole response.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Response {
    status: Status,
    content_type: &'static str,
    cache_control: &'static str,
    content_length: usize,
    body: Vec<u8>,
}

/// The statuses that this server sends.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Status {
    Ok,
    BadRequest,
    NotFound,
    MethodNotAllowed,
}

impl Status {
    fn line(self) -> &'static str {
        match self {
            Status::Ok => "200 OK",
            Status::BadRequest => "400 Bad Request",
            Status::NotFound => "404 Not Found",
            Status::MethodNotAllowed => "405 Method Not Allowed",
        }
    }
}

/// The response to a request; `None` stands for bytes that are no request.
pub fn respond(folder: &Path, request: Option<&Request>) -> Response {
    let Some(request) = request else {
        return Response::text(Status::BadRequest, "This is not a request that a browser sends.\n");
    };
    if request.method != "GET" && request.method != "HEAD" {
        return Response::text(
            Status::MethodNotAllowed,
            "Files can be read here; nothing can be sent.\n",
        );
    }
    let found = locate(folder, &request.path)
        .and_then(|path| fs::read(&path).ok().map(|body| (path, body)));
    let mut response = match found {
        Some((path, body)) => Response::file(&path, body),
        None => Response::text(Status::NotFound, "There is no such file here.\n"),
    };
    if request.method == "HEAD" {
        response.body.clear();
    }
    response
}

impl Response {
    fn text(status: Status, text: &str) -> Response {
        Response {
            status,
            content_type: "text/plain; charset=utf-8",
            cache_control: "no-store",
            content_length: text.len(),
            body: text.as_bytes().to_vec(),
        }
    }

    fn file(path: &Path, body: Vec<u8>) -> Response {
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        let cache_control = if is_named_by_content(&name) {
            "public, max-age=31536000, immutable"
        } else {
            "no-cache"
        };
        Response {
            status: Status::Ok,
            content_type: content_type(&name),
            cache_control,
            content_length: body.len(),
            body,
        }
    }

    /// Sends it, with the header that ends the connection.
    ///
    /// # Errors
    /// Those of the connection.
    pub fn write(&self, to: &mut impl Write) -> io::Result<()> {
        let mut head = format!(
            "HTTP/1.1 {}\r\nContent-Type: {}\r\nContent-Length: {}\r\nCache-Control: {}\r\nConnection: close\r\n",
            self.status.line(),
            self.content_type,
            self.content_length,
            self.cache_control
        );
        if self.status == Status::MethodNotAllowed {
            head.push_str("Allow: GET, HEAD\r\n");
        }
        for (name, value) in policy::headers() {
            head.push_str(&format!("{name}: {value}\r\n"));
        }
        head.push_str("\r\n");
        to.write_all(head.as_bytes())?;
        to.write_all(&self.body)?;
        to.flush()
    }
}

/// The file at a path, or `None`. Only plain names are accepted, so that no spelling leads outside the folder.
fn locate(folder: &Path, path: &str) -> Option<PathBuf> {
    let path = path.split(['?', '#']).next()?.strip_prefix('/')?;
    if path.is_empty() {
        return Some(folder.join("index.html"));
    }
    let mut file = folder.to_path_buf();
    for name in path.split('/') {
        let plain = name.bytes().all(|byte| byte.is_ascii_alphanumeric() || b"._-".contains(&byte));
        if name.is_empty() || name.starts_with('.') || !plain {
            return None;
        }
        file.push(name);
    }
    file.is_file().then_some(file)
}

/// Whether a name ends in a content hash, before the extension.
fn is_named_by_content(name: &str) -> bool {
    let stem = name.rsplit_once('.').map_or(name, |(stem, _)| stem);
    stem.rsplit_once('-').is_some_and(|(_, digits)| {
        digits.len() == crate::build::NAME_DIGITS
            && digits.bytes().all(|byte| byte.is_ascii_hexdigit())
    })
}

fn content_type(name: &str) -> &'static str {
    match name.rsplit_once('.').map_or("", |(_, extension)| extension) {
        "html" => "text/html; charset=utf-8",
        "js" => "text/javascript; charset=utf-8",
        "css" => "text/css; charset=utf-8",
        "wasm" => "application/wasm",
        "webmanifest" => "application/manifest+json",
        "svg" => "image/svg+xml",
        "png" => "image/png",
        "mp4" => "video/mp4",
        _ => "text/plain; charset=utf-8",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_with_a_content_hash_may_be_cached_for_ever() {
        assert!(is_named_by_content("page-0123456789abcdef.wasm"));
        assert!(!is_named_by_content("sw.js"));
        assert!(!is_named_by_content("page-bindings.js"));
        assert!(!is_named_by_content("page-0123456789abcdeg.js"));
    }

    #[test]
    fn the_extension_decides_the_content_type() {
        assert_eq!(content_type("a.wasm"), "application/wasm");
        assert_eq!(content_type("a.js"), "text/javascript; charset=utf-8");
        assert_eq!(content_type("a.mp4"), "video/mp4");
        assert_eq!(content_type("SHA256SUMS"), "text/plain; charset=utf-8");
    }
}
