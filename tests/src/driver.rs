//! A chromedriver of our own: started on a free port, ended with all that it started.
#![allow(clippy::panic, reason = "a driver that does not start fails the test that asked")]

use serde_json::Value;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::process::{Child, Command, Stdio};
use std::time::Duration;

/// The chromedriver to run: `CHROMEDRIVER`, else the one on the path.
fn program() -> String {
    std::env::var("CHROMEDRIVER").unwrap_or_else(|_| "chromedriver".to_owned())
}

/// One running chromedriver.
pub struct Driver {
    child: Child,
    port: u16,
}

impl Driver {
    /// Starts it and waits until it says which port it listens on.
    pub fn start() -> Driver {
        let program = program();
        let mut child = Command::new(&program)
            .arg("--port=0")
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .spawn()
            .unwrap_or_else(|e| panic!("{program} does not start ({e}); `cargo run --release -- test` installs it"));
        let mut lines = BufReader::new(child.stdout.take().expect("piped above"));
        let mut said = String::new();
        let port = loop {
            let mut line = String::new();
            assert!(lines.read_line(&mut line).expect("chromedriver speaks UTF-8") > 0, "chromedriver ended: {said}");
            if let Some((_, port)) = line.trim_end().trim_end_matches('.').rsplit_once("successfully on port ") {
                break port.parse().expect("a port");
            }
            said += &line;
        };
        // Its pipe is kept empty, or it would block.
        std::thread::spawn(move || std::io::copy(&mut lines, &mut std::io::sink()));
        Driver { child, port }
    }

    /// Where it listens.
    pub fn url(&self) -> String {
        format!("http://127.0.0.1:{}", self.port)
    }

    /// One WebDriver command; the `value` of its answer, or the answer of an error.
    pub fn send(&self, method: &str, path: &str, body: Option<&Value>) -> Result<Value, String> {
        let body = body.map(Value::to_string).unwrap_or_default();
        let answer = self.exchange(method, path, &body).map_err(|e| format!("{method} {path}: {e}"))?;
        let mut answer: Value = serde_json::from_slice(&answer).map_err(|e| format!("{method} {path}: {e}"))?;
        match answer["value"].take() {
            Value::Object(value) if value.contains_key("error") && value.contains_key("stacktrace") => {
                Err(format!("{method} {path}: {}", value["message"]))
            }
            value => Ok(value),
        }
    }

    fn exchange(&self, method: &str, path: &str, body: &str) -> std::io::Result<Vec<u8>> {
        let mut stream = TcpStream::connect(("127.0.0.1", self.port))?;
        stream.set_read_timeout(Some(Duration::from_secs(60)))?;
        write!(stream, "{method} {path} HTTP/1.1\r\nHost: 127.0.0.1:{}\r\nContent-Type: application/json\r\n", self.port)?;
        write!(stream, "Content-Length: {}\r\nConnection: close\r\n\r\n{body}", body.len())?;
        let mut answer = BufReader::new(stream);
        let mut length = 0;
        loop {
            let mut line = String::new();
            if answer.read_line(&mut line)? == 0 || line.trim().is_empty() {
                break;
            }
            if let Some((name, value)) = line.split_once(':')
                && name.eq_ignore_ascii_case("content-length")
            {
                length = value.trim().parse().unwrap_or(0);
            }
        }
        let mut bytes = vec![0; length];
        answer.read_exact(&mut bytes)?;
        Ok(bytes)
    }
}

impl Drop for Driver {
    fn drop(&mut self) {
        // By its own child handle; whoever opened a session has closed it before.
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}
