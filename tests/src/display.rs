//! An X server with a window manager, for a browser that has no mode without a screen.
#![allow(clippy::panic, reason = "a screen that does not start fails the test that asked")]

use std::io::{BufRead, BufReader};
use std::process::{Child, Command, Stdio};

/// One running Xvfb and the openbox on it. Dropping it ends both.
pub struct Display {
    server: Child,
    manager: Child,
    name: String,
}

impl Display {
    /// Starts a screen of that many device pixels, at a number that is free.
    pub fn start(width: u32, height: u32) -> Display {
        let size = format!("{width}x{height}x24");
        let mut server = Command::new("Xvfb");
        // It looks for a free number itself, listens, and then says which on the descriptor named.
        server.args(["-displayfd", "1", "-screen", "0", &size, "-nolisten", "tcp", "-noreset"]);
        let mut server = start(&mut server, Stdio::piped());
        let mut said = String::new();
        BufReader::new(server.stdout.take().expect("piped above")).read_line(&mut said).expect("Xvfb says its number");
        assert!(!said.trim().is_empty(), "Xvfb ended at once");
        let name = format!(":{}", said.trim());
        let manager = start(Command::new("openbox").args(["--sm-disable"]).env("DISPLAY", &name), Stdio::null());
        Display { server, manager, name }
    }

    /// What `DISPLAY` has to be.
    pub fn name(&self) -> &str {
        &self.name
    }
}

fn start(command: &mut Command, out: Stdio) -> Child {
    let started = command.stdin(Stdio::null()).stdout(out).stderr(Stdio::null()).spawn();
    started.unwrap_or_else(|e| panic!("{command:?} does not start ({e}); `cargo run --release -- test` installs it"))
}

impl Drop for Display {
    fn drop(&mut self) {
        for child in [&mut self.manager, &mut self.server] {
            let _ = child.kill();
            let _ = child.wait();
        }
    }
}
