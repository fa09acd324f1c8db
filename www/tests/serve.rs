//! The server as a browser meets it: bytes, types, nothing cached, a port that is free.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use donorack_www::serve::Patience;
use donorack_www::{Server, headers, serve, site};
use std::io::{Read, Write};
use std::net::{TcpListener, TcpStream};
use std::path::PathBuf;
use std::process::Command;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

/// A folder of this test's own.
fn folder(name: &str) -> PathBuf {
    let dir = std::env::temp_dir().join(format!("donorack-{name}-{}", std::process::id()));
    std::fs::create_dir_all(&dir).unwrap();
    dir
}

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
        for (name, value) in headers::ALWAYS {
            assert!(head.contains(&format!("{name}: {value}").to_ascii_lowercase()), "{head}");
        }
        let policy = format!("content-security-policy: {}", headers::policy());
        assert_eq!(head.contains(&policy), kind == "text/html", "{head}");
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

/// How long a connection is held by a server that waits 0.3 s for a request, 0.6 s for bytes to be taken and 3 s in all.
fn held(dir: &std::path::Path, act: impl Fn(&mut TcpStream)) -> Duration {
    let patience = Patience { request: Duration::from_millis(300), stall: Duration::from_millis(600), whole: Duration::from_secs(3) };
    let server = Server::with(TcpListener::bind(("127.0.0.1", 0)).unwrap(), dir, patience).unwrap();
    let mut stream = TcpStream::connect(server.address()).unwrap();
    stream.set_read_timeout(Some(Duration::from_secs(10))).unwrap();
    let start = Instant::now();
    act(&mut stream);
    start.elapsed()
}

/// Reads until the server closes the connection, which is an error or an end, not a time that ran out.
fn until_closed(stream: &mut TcpStream) -> Vec<u8> {
    let mut all = Vec::new();
    if let Err(e) = stream.read_to_end(&mut all) {
        assert!(!matches!(e.kind(), std::io::ErrorKind::WouldBlock | std::io::ErrorKind::TimedOut), "still open: {e}");
    }
    all
}

#[test]
fn nobody_holds_a_connection_without_end() {
    let dir = folder("patience");
    std::fs::write(dir.join("small"), "small").unwrap();
    std::fs::write(dir.join("large"), vec![0; 64 << 20]).unwrap();
    let short = Duration::from_millis(200)..Duration::from_secs(2);
    // Nothing is said, and a head comes letter by letter without end.
    assert!(short.contains(&held(&dir, |stream| drop(until_closed(stream)))));
    let drip = held(&dir, |stream| {
        write!(stream, "GET /small HTTP/1.1\r\nHost: localhost\r\n").unwrap();
        let end = Instant::now() + Duration::from_secs(8);
        while Instant::now() < end && write!(stream, "X: y\r\n").is_ok() {
            std::thread::sleep(Duration::from_millis(50));
        }
    });
    assert!(short.contains(&drip), "{drip:?}");
    // Answered, and then silent; what was asked for came.
    let idle = held(&dir, |stream| {
        write!(stream, "GET /small HTTP/1.1\r\nHost: localhost\r\n\r\n").unwrap();
        assert!(until_closed(stream).ends_with(b"small"));
    });
    assert!(short.contains(&idle), "{idle:?}");
    // A body that is promised and never comes.
    let body = held(&dir, |stream| {
        write!(stream, "POST /small HTTP/1.1\r\nHost: localhost\r\nContent-Length: 1000\r\n\r\n").unwrap();
        until_closed(stream);
    });
    assert!(body < Duration::from_secs(2), "{body:?}");
    // Asked for much, and never taken: the rest is gone when the reading begins.
    held(&dir, |stream| {
        write!(stream, "GET /large HTTP/1.1\r\nHost: localhost\r\n\r\n").unwrap();
        std::thread::sleep(Duration::from_millis(1800));
        assert!(until_closed(stream).len() < 64 << 20);
    });
    // A few bytes at a time for ever.
    let sips = held(&dir, |stream| {
        write!(stream, "GET /large HTTP/1.1\r\nHost: localhost\r\n\r\n").unwrap();
        let end = Instant::now() + Duration::from_secs(8);
        let mut sip = vec![0; 100_000];
        while Instant::now() < end && stream.read(&mut sip).is_ok_and(|n| n > 0) {
            std::thread::sleep(Duration::from_millis(50));
        }
    });
    assert!(sips < Duration::from_secs(7), "{sips:?}");
    let waits = Patience::default();
    assert!(waits.request <= Duration::from_secs(30) && waits.stall <= Duration::from_secs(60) && waits.whole <= Duration::from_secs(900));
    std::fs::remove_dir_all(&dir).unwrap();
}

#[test]
fn a_page_is_whole_at_every_moment_while_another_takes_its_place() {
    let dir = folder("replaced");
    let (place, done) = (dir.join("site"), AtomicBool::new(false));
    let page = |n: usize| {
        let fresh = dir.join(format!("fresh-{n}"));
        std::fs::create_dir_all(&fresh).unwrap();
        for name in ["index.html", "main.js"] {
            std::fs::write(fresh.join(name), format!("build {n}")).unwrap();
        }
        fresh
    };
    site::put(&page(0), &place).unwrap();
    let server = Server::local(&place).unwrap();
    std::thread::scope(|scope| {
        let asked = scope.spawn(|| {
            let mut count = 0;
            while !done.load(Ordering::Relaxed) {
                for path in ["/", "/main.js"] {
                    let (head, body) = get(&server, path);
                    assert!(head.starts_with("http/1.1 200") && body.starts_with("build "), "{head}");
                    count += 1;
                }
            }
            count
        });
        for n in 1..=300 {
            site::put(&page(n), &place).unwrap();
        }
        done.store(true, Ordering::Relaxed);
        assert!(asked.join().unwrap() > 20);
    });
    assert_eq!(get(&server, "/").1, "build 300");
    assert_eq!(std::fs::read_dir(&dir).unwrap().count(), 1, "nothing is left beside it");
    std::fs::remove_dir_all(&dir).unwrap();
}

#[test]
fn a_second_start_at_a_taken_address_leaves_the_page_alone() {
    let dir = folder("second");
    std::fs::create_dir_all(dir.join("site")).unwrap();
    std::fs::write(dir.join("site/index.html"), "served").unwrap();
    let held = TcpListener::bind(("127.0.0.1", 0)).unwrap();
    let address = held.local_addr().unwrap().to_string();
    let mut second = Command::new(env!("CARGO_BIN_EXE_donorack"));
    let said = second.args(["--listen", &address]).env("CARGO_TARGET_DIR", &dir).output().unwrap();
    assert_eq!(said.status.code(), Some(1));
    let sentence = String::from_utf8_lossy(&said.stderr);
    assert!(sentence.contains(&address) && sentence.trim().lines().count() == 1, "{sentence}");
    assert_eq!(std::fs::read_to_string(dir.join("site/index.html")).unwrap(), "served");
    assert_eq!(std::fs::read_dir(&dir).unwrap().count(), 1, "nothing was built");
    std::fs::remove_dir_all(&dir).unwrap();
}

#[test]
fn the_program_says_what_it_takes_and_what_it_is() {
    let run = |words: &[&str]| Command::new(env!("CARGO_BIN_EXE_donorack")).args(words).output().unwrap();
    let help = run(&["--help"]);
    assert!(help.status.success() && String::from_utf8_lossy(&help.stdout).contains("--listen"));
    assert_eq!(String::from_utf8_lossy(&run(&["--version"]).stdout).trim(), concat!("donorack ", env!("CARGO_PKG_VERSION")));
    let unknown = run(&["--lisen", "x"]);
    assert!(unknown.status.code() == Some(1) && unknown.stdout.is_empty() && String::from_utf8_lossy(&unknown.stderr).contains("usage"));
}
