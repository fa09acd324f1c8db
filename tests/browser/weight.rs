//! What the first visit costs: every file that the page asks for, compressed.

use donorack_tests::browser::{Browser, Screen, site};
use donorack_www::Server;
use flate2::Compression;
use flate2::write::GzEncoder;
use std::io::Write;

/// Bytes that a first visit may cost, `gzip -9` of every file fetched. Our own limit.
const LIMIT: usize = 420_000;
/// The WebAssembly's share of them, that a phone must compile before it can answer. Our own limit.
const WASM_LIMIT: usize = 300_000;

/// Size of `gzip -9` of some bytes.
fn compressed(bytes: &[u8]) -> usize {
    let mut gzip = GzEncoder::new(Vec::new(), Compression::best());
    gzip.write_all(bytes).expect("memory");
    gzip.finish().expect("memory").len()
}

#[tokio::test]
async fn first_visit_is_light() {
    let server = Server::local(site()).expect("a free port");
    let phone = Browser::open(Screen::Phone).await;
    phone.goto(&server.url()).await;
    // Two seconds without a new file: all there is.
    let mut files = server.served();
    let mut quiet = 0;
    while quiet < 8 {
        phone.until("new Promise((done) => setTimeout(() => done(true), 250))").await;
        let now = server.served();
        quiet = if now == files { quiet + 1 } else { 0 };
        files = now;
    }
    for needed in ["/", "/donorack.js", "/donorack_bg.wasm"] {
        assert!(files.contains(needed), "{needed} is part of the page: {files:?}");
    }
    let mut sum = 0;
    for path in &files {
        let name = if path == "/" { "index.html" } else { path.trim_start_matches('/') };
        let bytes = std::fs::read(site().join(name)).unwrap_or_else(|e| panic!("{name}: {e}"));
        let size = compressed(&bytes);
        println!("{size:>8} of {:>8}  {name}", bytes.len());
        if name.ends_with(".wasm") {
            assert!(size < WASM_LIMIT, "{name}: {size} bytes compressed, {WASM_LIMIT} allowed");
        }
        sum += size;
    }
    println!("{sum:>8}              in all");
    assert!(sum < LIMIT, "{sum} bytes compressed, {LIMIT} allowed");
}
