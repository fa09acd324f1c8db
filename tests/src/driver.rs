//! A driver of our own for one browser: started on a free port, ended with all that it started.
#![allow(clippy::panic, reason = "a driver that does not start fails the test that asked")]

use crate::engine::Engine;
use serde_json::Value;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::{TcpListener, TcpStream};
use std::process::{Child, Command, Stdio};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant};

/// How long a driver may take to listen.
const START: Duration = Duration::from_secs(30);

/// One running driver.
pub struct Driver {
    child: Child,
    port: u16,
    said: Arc<Mutex<Vec<String>>>,
}

impl Driver {
    /// Starts the driver of an engine, with an environment that the browser inherits, and waits until it listens.
    pub fn start(engine: Engine, environment: &[(&str, String)]) -> Driver {
        match engine {
            Engine::Chromium => Driver::that_says(engine, &["--port=0"], environment, "successfully on port "),
            // The second port is for a protocol that nobody here speaks; fixed, it would be taken by the first of two drivers.
            Engine::Firefox => Driver::that_says(engine, &["--port=0", "--websocket-port=0"], environment, "Listening on 127.0.0.1:"),
            Engine::WebKit => Driver::that_is_silent(engine, environment),
        }
    }

    /// One that chooses a port and says after `words` which.
    fn that_says(engine: Engine, arguments: &[&str], environment: &[(&str, String)], words: &str) -> Driver {
        let mut child = spawn(engine, arguments, environment);
        let mut lines = BufReader::new(child.stdout.take().expect("piped"));
        let mut heard = String::new();
        let port = loop {
            let mut line = String::new();
            assert!(lines.read_line(&mut line).expect("a driver speaks UTF-8") > 0, "the driver of {engine} ended: {heard}");
            if let Some((_, port)) = line.trim_end().trim_end_matches('.').rsplit_once(words) {
                break port.parse().expect("a port");
            }
            heard += &line;
        };
        let said = Arc::default();
        // The pipes are kept empty, or it would block.
        listen(lines, &said);
        listen(BufReader::new(child.stderr.take().expect("piped")), &said);
        Driver { child, port, said }
    }

    /// One that has to be told its port: any that is free. Should somebody take it in between, the driver ends, and gets another.
    fn that_is_silent(engine: Engine, environment: &[(&str, String)]) -> Driver {
        let end = Instant::now() + START;
        loop {
            let free = TcpListener::bind(("127.0.0.1", 0)).and_then(|socket| socket.local_addr()).expect("a free port");
            let mut child = spawn(engine, &[&format!("--port={}", free.port())], environment);
            let said = Arc::default();
            listen(BufReader::new(child.stdout.take().expect("piped")), &said);
            listen(BufReader::new(child.stderr.take().expect("piped")), &said);
            while child.try_wait().is_ok_and(|ended| ended.is_none()) {
                if TcpStream::connect(free).is_ok() {
                    return Driver { child, port: free.port(), said };
                }
                assert!(Instant::now() < end, "the driver of {engine} does not listen");
                std::thread::sleep(Duration::from_millis(20));
            }
            assert!(Instant::now() < end, "the driver of {engine} ends at once: {said:?}");
        }
    }

    /// Where it listens.
    pub fn url(&self) -> String {
        format!("http://127.0.0.1:{}", self.port)
    }

    /// The lines that it and the browser wrote since this was last asked.
    pub fn said(&self) -> Vec<String> {
        std::mem::take(&mut *self.said.lock().unwrap_or_else(PoisonError::into_inner))
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

fn spawn(engine: Engine, arguments: &[&str], environment: &[(&str, String)]) -> Child {
    let program = engine.driver();
    let mut command = Command::new(&program);
    command.args(arguments).envs(environment.iter().map(|(name, value)| (name, value)));
    let started = command.stdin(Stdio::null()).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn();
    started.unwrap_or_else(|e| panic!("{} does not start ({e}); `cargo run --release -- test` installs it", program.display()))
}

/// Keeps what is said, line by line, until the pipe ends.
fn listen(mut from: impl BufRead + Send + 'static, said: &Arc<Mutex<Vec<String>>>) {
    let said = Arc::clone(said);
    std::thread::spawn(move || {
        let mut line = Vec::new();
        while from.read_until(b'\n', &mut line).is_ok_and(|length| length > 0) {
            said.lock().unwrap_or_else(PoisonError::into_inner).push(String::from_utf8_lossy(&line).trim_end().to_owned());
            line.clear();
        }
    });
}

impl Drop for Driver {
    fn drop(&mut self) {
        // By its own child handle; whoever opened a session has closed it before.
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}
