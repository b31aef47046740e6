//! Decides what a request gets, always with the headers that protect.

use super::request::Request;
use crate::policy;
use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// An answer, complete.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Reply {
    status: &'static str,
    kind: &'static str,
    cache: &'static str,
    length: usize,
    body: Vec<u8>,
}

/// What the request gets; `None` is one that was not understood.
pub fn reply(folder: &Path, request: Option<&Request>) -> Reply {
    let Some(request) = request else {
        return Reply::sentence("400 Bad Request", "This is not a request that a browser sends.\n");
    };
    if request.method != "GET" && request.method != "HEAD" {
        return Reply::sentence(
            "405 Method Not Allowed",
            "Files are read here and nothing is taken in.\n",
        );
    }
    let found = locate(folder, &request.path)
        .and_then(|path| fs::read(&path).ok().map(|body| (path, body)));
    let mut reply = match found {
        Some((path, body)) => Reply::file(&path, body),
        None => Reply::sentence("404 Not Found", "There is no such file here.\n"),
    };
    if request.method == "HEAD" {
        reply.body.clear();
    }
    reply
}

impl Reply {
    fn sentence(status: &'static str, text: &str) -> Reply {
        Reply {
            status,
            kind: "text/plain; charset=utf-8",
            cache: "no-store",
            length: text.len(),
            body: text.as_bytes().to_vec(),
        }
    }

    fn file(path: &Path, body: Vec<u8>) -> Reply {
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        let cache = if is_named_by_content(&name) {
            "public, max-age=31536000, immutable"
        } else {
            "no-cache"
        };
        Reply { status: "200 OK", kind: kind(&name), cache, length: body.len(), body }
    }

    /// Sends it and says that the connection ends with it.
    ///
    /// # Errors
    /// The connection's own.
    pub fn write(&self, to: &mut impl Write) -> io::Result<()> {
        let mut head = format!(
            "HTTP/1.1 {}\r\nContent-Type: {}\r\nContent-Length: {}\r\nCache-Control: {}\r\nConnection: close\r\n",
            self.status, self.kind, self.length, self.cache
        );
        if self.status.starts_with("405") {
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

/// The file of a path, or nothing. Only plain names are known, so that no spelling leads outside.
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

/// Whether a name ends in the digits of its content, before the extension.
fn is_named_by_content(name: &str) -> bool {
    let stem = name.rsplit_once('.').map_or(name, |(stem, _)| stem);
    stem.rsplit_once('-').is_some_and(|(_, digits)| {
        digits.len() == crate::build::NAME_DIGITS
            && digits.bytes().all(|byte| byte.is_ascii_hexdigit())
    })
}

fn kind(name: &str) -> &'static str {
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
    fn a_name_with_the_digits_of_its_content_may_be_kept_for_ever() {
        assert!(is_named_by_content("page-0123456789abcdef.wasm"));
        assert!(!is_named_by_content("sw.js"));
        assert!(!is_named_by_content("page-bindings.js"));
        assert!(!is_named_by_content("page-0123456789abcdeg.js"));
    }

    #[test]
    fn each_file_says_what_it_is() {
        assert_eq!(kind("a.wasm"), "application/wasm");
        assert_eq!(kind("a.js"), "text/javascript; charset=utf-8");
        assert_eq!(kind("a.mp4"), "video/mp4");
        assert_eq!(kind("SHA256SUMS"), "text/plain; charset=utf-8");
    }
}
