//! The server as a browser meets it: bytes, types, nothing cached, a port that is free.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use donorack_www::{Server, serve};
use std::io::{Read, Write};
use std::net::TcpStream;

/// The head and the body of an answer, as they came over the wire.
fn get(server: &Server, path: &str) -> (String, String) {
    ask(server, path, "")
}

/// The same with further lines in the head of the request.
fn ask(server: &Server, path: &str, lines: &str) -> (String, String) {
    let mut stream = TcpStream::connect(server.address()).unwrap();
    write!(stream, "GET {path} HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n{lines}\r\n").unwrap();
    let mut answer = String::new();
    stream.read_to_string(&mut answer).unwrap();
    let (head, body) = answer.split_once("\r\n\r\n").unwrap();
    (head.to_ascii_lowercase(), body.to_owned())
}

#[test]
fn files_have_their_types_and_are_not_cached() {
    let dir = std::env::temp_dir().join(format!("donorack-serve-{}", std::process::id()));
    std::fs::create_dir_all(dir.join("deep")).unwrap();
    // Types: the IANA registry of media types; a module script needs JavaScript's, `instantiateStreaming` needs `application/wasm`.
    let files = [
        ("index.html", "text/html"),
        ("main.js", "text/javascript"),
        ("look.css", "text/css"),
        ("plan.json", "application/json"),
        ("icon.svg", "image/svg+xml"),
        ("core.wasm", "application/wasm"),
        ("deep/page.html", "text/html"),
    ];
    for (name, _) in files {
        std::fs::write(dir.join(name), name).unwrap();
    }
    let server = Server::local(&dir).unwrap();
    for (name, kind) in files {
        let (head, body) = get(&server, &format!("/{name}"));
        assert!(head.starts_with("http/1.1 200"), "{head}");
        assert!(head.contains(&format!("content-type: {kind}")), "{head}");
        assert!(head.contains("cache-control: no-store"), "{head}");
        assert_eq!(body, name);
    }
    assert_eq!(get(&server, "/").1, "index.html");
    // Compressed only for whoever can read that.
    std::fs::write(dir.join("look.css.gz"), "short").unwrap();
    assert_eq!(get(&server, "/look.css").1, "look.css");
    let (head, body) = ask(&server, "/look.css", "Accept-Encoding: gzip\r\n");
    assert!(head.contains("content-encoding: gzip") && head.contains("content-type: text/css") && body == "short", "{head}");
    for absent in ["/absent.js", "/../Cargo.toml", "/%2e%2e/Cargo.toml"] {
        assert!(get(&server, absent).0.starts_with("http/1.1 404"), "{absent}");
    }
    assert!(server.served().contains("/main.js"));
    assert!(!server.served().contains("/absent.js"));
    std::fs::remove_dir_all(&dir).unwrap();
}

#[test]
fn a_dropped_server_answers_no_more() {
    let server = Server::local(&std::env::temp_dir()).unwrap();
    let address = server.address();
    drop(server);
    let end = std::time::Instant::now() + std::time::Duration::from_secs(5);
    while TcpStream::connect(address).is_ok() {
        assert!(std::time::Instant::now() < end, "still there");
        std::thread::sleep(std::time::Duration::from_millis(20));
    }
}

#[test]
fn a_taken_port_gives_the_next() {
    let first = serve::listen("127.0.0.1").unwrap().local_addr().unwrap();
    let held = serve::listen("127.0.0.1").unwrap();
    let second = serve::listen("127.0.0.1").unwrap();
    assert!(first.port() >= serve::PORT);
    assert!(second.local_addr().unwrap().port() > held.local_addr().unwrap().port());
    let exact = held.local_addr().unwrap().to_string();
    assert!(serve::listen(&exact).unwrap_err().to_string().contains(&exact), "a port asked for by number is not swapped for another");
}

#[test]
fn an_open_address_names_real_ones() {
    for other in serve::reachable("0.0.0.0:8420".parse().unwrap()) {
        assert!(!other.ip().is_unspecified());
        assert_eq!(other.port(), 8420);
    }
    let own = "192.0.2.7:80".parse().unwrap();
    assert_eq!(serve::reachable(own), [own]);
}
