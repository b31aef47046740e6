//! The server as a browser and as a stranger meets it, over real connections.

use super::*;
use crate::policy;
use std::fs;
use std::io::{Read, Write};

struct Home(PathBuf);

impl Home {
    /// A site of four files, with a secret beside it that is not part of it.
    fn new(name: &str) -> Home {
        let home = std::env::temp_dir().join(format!("site-serve-{name}-{}", std::process::id()));
        fs::create_dir_all(home.join("site/clips")).unwrap();
        fs::write(home.join("secret.txt"), "secret").unwrap();
        fs::write(home.join("site/index.html"), "<p>hello").unwrap();
        fs::write(home.join("site/worker-0123456789abcdef.js"), "1;").unwrap();
        fs::write(home.join("site/clips/a-0123456789abcdef.mp4"), "mp4").unwrap();
        fs::write(home.join("site/.hidden"), "hidden").unwrap();
        Home(home)
    }

    fn server(&self) -> Server {
        Server::start(&self.0.join("site"), 0).unwrap()
    }
}

impl Drop for Home {
    fn drop(&mut self) {
        fs::remove_dir_all(&self.0).unwrap();
    }
}

fn ask(server: &Server, request: &str) -> String {
    let mut stream = TcpStream::connect(server.address).unwrap();
    stream.write_all(request.as_bytes()).unwrap();
    let mut answer = String::new();
    stream.read_to_string(&mut answer).unwrap();
    answer
}

fn get(server: &Server, path: &str) -> String {
    ask(server, &format!("GET {path} HTTP/1.1\r\nHost: x\r\n\r\n"))
}

#[test]
fn every_answer_carries_every_protecting_header() {
    let home = Home::new("headers");
    let server = home.server();
    let answers = [
        get(&server, "/"),
        get(&server, "/worker-0123456789abcdef.js"),
        get(&server, "/missing"),
        ask(&server, "POST / HTTP/1.1\r\n\r\n"),
        ask(&server, "nonsense\r\n\r\n"),
    ];
    for answer in answers {
        for (name, value) in policy::headers() {
            assert!(answer.contains(&format!("\r\n{name}: {value}\r\n")), "{name} in {answer}");
        }
    }
}

#[test]
fn the_bare_address_is_the_page_with_or_without_a_query() {
    let home = Home::new("page");
    let server = home.server();
    for path in ["/", "/?a=1", "/index.html"] {
        let answer = get(&server, path);
        assert!(
            answer.starts_with("HTTP/1.1 200 OK\r\nContent-Type: text/html; charset=utf-8\r\n"),
            "{answer}"
        );
        assert!(
            answer.contains("\r\nCache-Control: no-cache\r\n")
                && answer.ends_with("\r\n\r\n<p>hello"),
            "{answer}"
        );
    }
}

#[test]
fn a_file_named_by_content_is_kept_for_ever() {
    let home = Home::new("immutable");
    let answer = get(&home.server(), "/clips/a-0123456789abcdef.mp4");
    assert!(
        answer.contains("\r\nCache-Control: public, max-age=31536000, immutable\r\n"),
        "{answer}"
    );
    assert!(answer.contains("\r\nContent-Type: video/mp4\r\n"), "{answer}");
}

#[test]
fn no_spelling_of_a_path_leads_outside_the_site() {
    let home = Home::new("outside");
    let server = home.server();
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
        "/index.html\0",
    ] {
        let answer = get(&server, path);
        assert!(answer.starts_with("HTTP/1.1 404 "), "{path}: {answer}");
        assert!(!answer.contains("secret") && !answer.contains("hidden"), "{path}: {answer}");
    }
}

#[test]
fn nothing_is_taken_in() {
    let home = Home::new("methods");
    let server = home.server();
    for method in ["POST", "PUT", "DELETE", "PATCH", "OPTIONS", "TRACE", "CONNECT"] {
        let answer =
            ask(&server, &format!("{method} / HTTP/1.1\r\nContent-Length: 5\r\n\r\nhello"));
        assert!(answer.starts_with("HTTP/1.1 405 "), "{method}: {answer}");
        assert!(answer.contains("\r\nAllow: GET, HEAD\r\n"), "{method}: {answer}");
    }
}

#[test]
fn head_says_the_length_and_sends_nothing() {
    let home = Home::new("head");
    let answer = ask(&home.server(), "HEAD / HTTP/1.1\r\n\r\n");
    assert!(
        answer.contains("\r\nContent-Length: 8\r\n") && answer.ends_with("\r\n\r\n"),
        "{answer}"
    );
}

#[test]
fn a_head_without_end_is_refused() {
    let home = Home::new("endless");
    let long = format!("GET / HTTP/1.1\r\nX: {}\r\n\r\n", "x".repeat(20_000));
    assert!(ask(&home.server(), &long).starts_with("HTTP/1.1 400 "));
}

#[test]
fn the_log_names_every_request_in_order() {
    let home = Home::new("log");
    let server = home.server();
    get(&server, "/?a");
    ask(&server, "POST /b HTTP/1.1\r\n\r\n");
    let log: Vec<(String, String)> =
        server.requests().into_iter().map(|asked| (asked.method, asked.path)).collect();
    let expected =
        [("GET", "/?a"), ("POST", "/b")].map(|(method, path)| (method.to_owned(), path.to_owned()));
    assert_eq!(log, expected);
}

#[test]
fn a_stopped_server_frees_its_port_at_once() {
    let home = Home::new("stop");
    let server = home.server();
    let port = server.port();
    get(&server, "/");
    server.stop();
    assert!(TcpStream::connect((Ipv4Addr::LOCALHOST, port)).is_err());
    let again = Server::start(&home.0.join("site"), port).unwrap();
    assert!(get(&again, "/").ends_with("<p>hello"));
}

#[test]
fn a_folder_without_a_page_is_not_served() {
    let home = Home::new("empty");
    let refused = Server::start(&home.0.join("site/clips"), 0);
    assert!(matches!(refused, Err(SiteError::NotBuilt(_))));
}
