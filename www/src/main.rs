//! `donorack` builds the page and serves it; `donorack build DIR` writes it; `donorack test` runs every test.

use donorack_www::{Server, Trouble, build, rebuild, serve, suite};
use std::ffi::OsString;
use std::io::Write;
use std::path::Path;
use std::process::ExitCode;

const USAGE: &str = "usage: donorack [--listen HOST[:PORT]] | donorack build DIR | donorack test | donorack --help | donorack --version";

fn main() -> ExitCode {
    let words: Vec<OsString> = std::env::args_os().skip(1).collect();
    // A folder may have any name; everything else is text.
    let text: Vec<&str> = words.iter().map(|word| word.to_str().unwrap_or_default()).collect();
    let done = match text[..] {
        [] => show("127.0.0.1"),
        ["--listen", address] if !address.is_empty() => show(address),
        ["build", _] => write(Path::new(&words[1])),
        ["--help" | "-h"] => Ok(say(USAGE)),
        ["--version" | "-V"] => Ok(say(concat!("donorack ", env!("CARGO_PKG_VERSION")))),
        ["test"] => suite::run().map(|count| if count.failed == 0 { ExitCode::SUCCESS } else { ExitCode::FAILURE }),
        _ => Err(USAGE.into()),
    };
    match done {
        Ok(code) => code,
        Err(trouble) => {
            let _ = writeln!(std::io::stderr(), "{trouble}");
            ExitCode::FAILURE
        }
    }
}

/// Says a line. A reader who has gone away is no trouble.
fn say(line: &str) -> ExitCode {
    let _ = writeln!(std::io::stdout(), "{line}");
    ExitCode::SUCCESS
}

/// Builds the page and serves it until the program is ended. An address that cannot be had is said before anything is built.
fn show(address: &str) -> Result<ExitCode, Trouble> {
    let listener = serve::listen(address)?;
    let dir = rebuild("site")?;
    let server = Server::start(listener, &dir)?;
    say(&format!("Donorack: {}", server.url()));
    if !server.address().ip().is_loopback() {
        for other in serve::reachable(server.address()) {
            say(&format!("On the same network: http://{other}/"));
        }
    }
    loop {
        std::thread::park();
    }
}

/// Builds the page into a folder of the user's.
fn write(dir: &Path) -> Result<ExitCode, Trouble> {
    build(dir)?;
    Ok(say(&format!("The page is in {}: put that folder on any static host.", dir.display())))
}
