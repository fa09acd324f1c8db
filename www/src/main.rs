//! `donorack` builds the page and serves it; `donorack build DIR` writes it; `donorack test` runs every test.

use donorack_www::{Server, Trouble, build, rebuild, serve, suite};
use std::path::Path;
use std::process::ExitCode;

const USAGE: &str = "usage: donorack [--listen HOST[:PORT]] | donorack build DIR | donorack test";

fn main() -> ExitCode {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let done = match words[..] {
        [] => show("127.0.0.1"),
        ["--listen", address] => show(address),
        ["build", dir] => write(Path::new(dir)),
        ["test"] => suite::run().map(|count| if count.failed == 0 { ExitCode::SUCCESS } else { ExitCode::FAILURE }),
        _ => Err(USAGE.into()),
    };
    match done {
        Ok(code) => code,
        Err(trouble) => {
            eprintln!("{trouble}");
            ExitCode::FAILURE
        }
    }
}

/// Builds the page and serves it until the program is ended.
fn show(address: &str) -> Result<ExitCode, Trouble> {
    let dir = rebuild("site")?;
    let listener = serve::listen(address)?;
    let server = Server::start(listener, &dir)?;
    println!("Donorack: {}", server.url());
    if !server.address().ip().is_loopback() {
        for other in serve::reachable(server.address()) {
            println!("On the same network: http://{other}/");
        }
    }
    loop {
        std::thread::park();
    }
}

/// Builds the page into a folder of the user's.
fn write(dir: &Path) -> Result<ExitCode, Trouble> {
    build(dir)?;
    println!("The page is in {}: put that folder on any static host.", dir.display());
    Ok(ExitCode::SUCCESS)
}
