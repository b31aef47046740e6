//! The server as a browser and an attacker meet it, over real connections.

use super::*;
use crate::policy;
use std::fs;
use std::io::{Read, Write};

struct TempSite(PathBuf);

impl TempSite {
    /// A site of four files and, beside it, a secret that is not part of it.
    fn new(name: &str) -> TempSite {
        let root = std::env::temp_dir().join(format!("site-serve-{name}-{}", std::process::id()));
        fs::create_dir_all(root.join("site/clips")).unwrap();
        fs::write(root.join("secret.txt"), "secret").unwrap();
        fs::write(root.join("site/index.html"), "<p>hello").unwrap();
        fs::write(root.join("site/worker-0123456789abcdef.js"), "1;").unwrap();
        fs::write(root.join("site/clips/a-0123456789abcdef.mp4"), "mp4").unwrap();
        fs::write(root.join("site/.hidden"), "hidden").unwrap();
        TempSite(root)
    }

    fn server(&self) -> Server {
        Server::start(&self.0.join("site"), 0).unwrap()
    }
}

impl Drop for TempSite {
    fn drop(&mut self) {
        fs::remove_dir_all(&self.0).unwrap();
    }
}

fn send(server: &Server, request: &str) -> String {
    let mut stream = TcpStream::connect(server.address).unwrap();
    stream.write_all(request.as_bytes()).unwrap();
    let mut response = String::new();
    stream.read_to_string(&mut response).unwrap();
    response
}

fn get(server: &Server, path: &str) -> String {
    send(server, &format!("GET {path} HTTP/1.1\r\nHost: x\r\n\r\n"))
}

#[test]
fn every_response_carries_every_security_header() {
    let site = TempSite::new("headers");
    let server = site.server();
    let responses = [
        get(&server, "/"),
        get(&server, "/worker-0123456789abcdef.js"),
        get(&server, "/missing"),
        send(&server, "POST / HTTP/1.1\r\n\r\n"),
        send(&server, "nonsense\r\n\r\n"),
    ];
    for response in responses {
        for (name, value) in policy::headers() {
            assert!(response.contains(&format!("\r\n{name}: {value}\r\n")), "{name} in {response}");
        }
    }
}

#[test]
fn the_root_is_the_page_with_or_without_a_query() {
    let site = TempSite::new("page");
    let server = site.server();
    for path in ["/", "/?a=1", "/index.html"] {
        let response = get(&server, path);
        assert!(
            response.starts_with("HTTP/1.1 200 OK\r\nContent-Type: text/html; charset=utf-8\r\n"),
            "{response}"
        );
        assert!(
            response.contains("\r\nCache-Control: no-cache\r\n")
                && response.ends_with("\r\n\r\n<p>hello"),
            "{response}"
        );
    }
}

#[test]
fn a_file_named_by_content_is_cached_for_ever() {
    let site = TempSite::new("immutable");
    let response = get(&site.server(), "/clips/a-0123456789abcdef.mp4");
    assert!(
        response.contains("\r\nCache-Control: public, max-age=31536000, immutable\r\n"),
        "{response}"
    );
    assert!(response.contains("\r\nContent-Type: video/mp4\r\n"), "{response}");
}

#[test]
fn no_spelling_of_a_path_leads_outside_the_site() {
    let site = TempSite::new("outside");
    let server = site.server();
    for path in [
        "/../secret.txt",
        "/clips/../../secret.txt",
        "/%2e%2e/secret.txt",
        "/..%2fsecret.txt",
        "/..\\secret.txt",
        "//etc/passwd",
        "/clips//a-0123456789abcdef.mp4",
        "/.hidden",
        "/clips",
        "/clips/",
    ] {
        let response = get(&server, path);
        assert!(response.starts_with("HTTP/1.1 404 "), "{path}: {response}");
        assert!(!response.contains("secret") && !response.contains("hidden"), "{path}: {response}");
    }
}

#[test]
fn an_address_that_http_does_not_allow_is_a_bad_request() {
    let site = TempSite::new("malformed");
    let server = site.server();
    for path in ["/index.html\0", "index.html", "http://x/", "*", "/a b"] {
        let response = get(&server, path);
        assert!(response.starts_with("HTTP/1.1 400 "), "{path:?}: {response}");
    }
}

#[test]
fn a_range_gets_the_whole_file() {
    let site = TempSite::new("range");
    let request =
        "GET /clips/a-0123456789abcdef.mp4 HTTP/1.1\r\nHost: x\r\nRange: bytes=1-2\r\n\r\n";
    let response = send(&site.server(), request);
    assert!(response.starts_with("HTTP/1.1 200 ") && response.ends_with("\r\n\r\nmp4"));
}

#[test]
fn methods_that_write_are_refused() {
    let site = TempSite::new("methods");
    let server = site.server();
    for method in ["POST", "PUT", "DELETE", "PATCH", "OPTIONS", "TRACE", "CONNECT"] {
        let response =
            send(&server, &format!("{method} / HTTP/1.1\r\nContent-Length: 5\r\n\r\nhello"));
        assert!(response.starts_with("HTTP/1.1 405 "), "{method}: {response}");
        assert!(response.contains("\r\nAllow: GET, HEAD\r\n"), "{method}: {response}");
    }
}

#[test]
fn head_sends_the_length_and_no_body() {
    let site = TempSite::new("head");
    let response = send(&site.server(), "HEAD / HTTP/1.1\r\n\r\n");
    assert!(
        response.contains("\r\nContent-Length: 8\r\n") && response.ends_with("\r\n\r\n"),
        "{response}"
    );
}

#[test]
fn a_head_that_is_too_long_is_refused() {
    let site = TempSite::new("endless");
    let long = format!("GET / HTTP/1.1\r\nX: {}\r\n\r\n", "x".repeat(20_000));
    assert!(send(&site.server(), &long).starts_with("HTTP/1.1 400 "));
}

#[test]
fn the_log_has_every_request_in_order() {
    let site = TempSite::new("log");
    let server = site.server();
    get(&server, "/?a");
    send(&server, "POST /b HTTP/1.1\r\n\r\n");
    let log: Vec<(String, String)> =
        server.requests().into_iter().map(|request| (request.method, request.path)).collect();
    let expected =
        [("GET", "/?a"), ("POST", "/b")].map(|(method, path)| (method.to_owned(), path.to_owned()));
    assert_eq!(log, expected);
}

#[test]
fn a_stopped_server_frees_its_port_at_once() {
    let site = TempSite::new("stop");
    let server = site.server();
    let port = server.port();
    get(&server, "/");
    server.stop();
    assert!(TcpStream::connect((Ipv4Addr::LOCALHOST, port)).is_err());
    let again = Server::start(&site.0.join("site"), port).unwrap();
    assert!(get(&again, "/").ends_with("<p>hello"));
}

#[test]
fn a_folder_without_a_page_is_not_served() {
    let site = TempSite::new("empty");
    let refused = Server::start(&site.0.join("site/clips"), 0);
    assert!(matches!(refused, Err(SiteError::NotBuilt(_))));
}
