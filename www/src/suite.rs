//! Every test of the project, one step after the other.

use crate::site::WASM;
use crate::{Trouble, cargo, needs, rebuild, target, workspace};
use std::io::{BufRead, BufReader, Write};
use std::ops::AddAssign;
use std::process::{Command, Stdio};

/// How many tests passed and how many failed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Count {
    /// Tests that passed.
    pub passed: usize,
    /// Tests that failed, and steps that failed without a test that did.
    pub failed: usize,
}

impl AddAssign for Count {
    fn add_assign(&mut self, other: Count) {
        self.passed += other.passed;
        self.failed += other.failed;
    }
}

/// Installs what is missing, runs every step, and ends with the line `N passed, N failed`.
pub fn run() -> Result<Count, Trouble> {
    needs::install()?;
    let runner = target().join("debug").join("wasm-runner");
    let chromedriver = std::env::var_os("CHROMEDRIVER").unwrap_or_else(|| "chromedriver".into());
    let geckodriver = needs::geckodriver().ok_or("geckodriver was installed and is not there")?;

    let mut suite = Suite::default();
    suite.check("format", "fmt --all --check");
    suite.check("lints", "clippy --workspace --all-targets --all-features --locked -- -D warnings");
    suite.check("lints of the WebAssembly", &format!("clippy -p donorack --lib --test web --target {WASM} --locked -- -D warnings"));
    suite.script("lints of the page's scripts", "oxlint/bin/oxlint --config www/oxlint.json --deny-warnings www/page tests/page");
    suite.script(
        "format of the page's scripts",
        "prettier/bin/prettier.cjs --config www/prettier.json --check www/page/**/*.js tests/page/*.mjs !www/page/lib/**",
    );
    suite.script("types of the page's scripts", "typescript/bin/tsc --project www/tsconfig.json");
    suite.script("types of the service worker", "typescript/bin/tsc --project www/tsconfig.worker.json");
    suite.units("tests of the page's scripts", "tests/page/*.test.mjs");
    let mut site = None;
    suite.step("page", |_| {
        site = rebuild("site").inspect_err(|trouble| eprintln!("{trouble}")).ok();
        site.is_some()
    });
    // One selection of packages and features, so that everything is compiled once; it makes the runner too.
    suite.tests("native tests, and the page in three browsers", "test --workspace --all-features --no-fail-fast --locked", |command| {
        command.env("CHROMEDRIVER", &chromedriver).env("GECKODRIVER", &geckodriver).envs(site.map(|dir| ("DONORACK_SITE", dir)));
        // A test in a browser waits for frames, for pauses, for what does not come: more of them than cores keep the cores at work.
        let cores = std::thread::available_parallelism().map_or(1, usize::from);
        command.env("RUST_TEST_THREADS", (cores + cores.div_ceil(2)).to_string());
    });
    suite.tests("boundary in Chromium", &format!("test -p donorack --test web --target {WASM} --locked"), |command| {
        command.env("CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_RUNNER", &runner).env("CHROMEDRIVER", &chromedriver);
        // Seconds until its tests must have ended; 20 is short for a busy machine.
        command.env("WASM_BINDGEN_TEST_TIMEOUT", "120");
    });
    Ok(suite.close())
}

/// What the steps so far came to.
#[derive(Default)]
struct Suite {
    all: Count,
    lines: Vec<String>,
}

impl Suite {
    /// A cargo command that only has to succeed.
    fn check(&mut self, name: &str, words: &str) {
        self.step(name, |_| watch(cargo().args(words.split(' ')), &mut Count::default()));
    }

    /// A cargo command that has to run at least one test.
    fn tests(&mut self, name: &str, words: &str, prepare: impl FnOnce(&mut Command)) {
        let mut command = cargo();
        prepare(command.args(words.split(' ')));
        self.step(name, |count| watch(&mut command, count) && count.passed > 0);
    }

    /// A program from npm that only has to succeed.
    fn script(&mut self, name: &str, words: &str) {
        self.step(name, |_| watch(&mut script(words), &mut Count::default()));
    }

    /// Tests that node runs itself: at least one.
    fn units(&mut self, name: &str, files: &str) {
        let mut command = Command::new(needs::node());
        command.current_dir(workspace()).args(["--test", "--test-reporter=spec", files]);
        self.step(name, |count| watch(&mut command, count) && count.passed > 0);
    }

    fn step(&mut self, name: &str, run: impl FnOnce(&mut Count) -> bool) {
        say(&format!("\n== {name}"));
        let start = std::time::Instant::now();
        let mut count = Count::default();
        let good = run(&mut count);
        if !good && count.failed == 0 {
            count.failed = 1;
        }
        let Count { passed, failed } = count;
        let word = if failed > 0 { "FAILED" } else { "ok" };
        self.lines.push(format!("{word:<6} {name}: {passed} passed, {failed} failed, {} s", start.elapsed().as_secs()));
        self.all += count;
    }

    fn close(self) -> Count {
        say("");
        for line in &self.lines {
            say(line);
        }
        say(&format!("{} passed, {} failed", self.all.passed, self.all.failed));
        self.all
    }
}

/// A command of node's: a file among the packages from npm, and what it is told.
fn script(words: &str) -> Command {
    let mut words = words.split(' ');
    let mut command = Command::new(needs::node());
    command.current_dir(workspace()).args(words.next().map(needs::npm)).args(words);
    command
}

/// Says a line. A reader that has gone away is no reason to stop testing.
fn say(line: &str) {
    let _ = writeln!(std::io::stdout(), "{line}");
}

/// Runs a command, passes on what it says as it says it, adds up the closing lines. Tells whether it succeeded.
fn watch(command: &mut Command, count: &mut Count) -> bool {
    let mut child = match command.stdin(Stdio::null()).stdout(Stdio::piped()).spawn() {
        Ok(child) => child,
        Err(trouble) => {
            eprintln!("{command:?}: {trouble}");
            return false;
        }
    };
    if let Some(said) = child.stdout.take() {
        let mut said = BufReader::new(said);
        let mut line = Vec::new();
        while said.read_until(b'\n', &mut line).is_ok_and(|length| length > 0) {
            // A reader that has gone away is no reason to stop testing.
            let _ = std::io::stdout().write_all(&line);
            if let Some(closing) = closing(&String::from_utf8_lossy(&line)) {
                *count += closing;
            }
            line.clear();
        }
    }
    child.wait().is_ok_and(|status| status.success())
}

/// Reads a line with which a test program closes: Rust's `test result: ok. 3 passed; 0 failed; …`, or one of node's, `ℹ pass 3`.
/// What node passes over counts as failed.
pub fn closing(line: &str) -> Option<Count> {
    if let Some((word, figure)) = line.strip_prefix("ℹ ").and_then(|line| line.trim_end().split_once(' ')) {
        let figure = figure.parse().ok()?;
        return match word {
            "pass" => Some(Count { passed: figure, failed: 0 }),
            "fail" | "cancelled" | "skipped" | "todo" => Some(Count { passed: 0, failed: figure }),
            _ => None,
        };
    }
    let (_, figures) = line.trim().strip_prefix("test result: ")?.split_once(". ")?;
    let figure = |name: &str| figures.split(';').find_map(|part| part.trim().strip_suffix(name)?.trim().parse().ok());
    Some(Count { passed: figure("passed")?, failed: figure("failed")? })
}

#[cfg(test)]
mod tests {
    use super::{Count, closing};

    /// Lines as the test harness of Rust 1.95, wasm-bindgen-test 0.3.80 and node 22.23 printed them.
    #[test]
    fn closing_lines_are_read() {
        let native = "test result: FAILED. 3 passed; 1 failed; 0 ignored; 0 measured; 0 filtered out; finished in 38.96s\n";
        assert_eq!(closing(native), Some(Count { passed: 3, failed: 1 }));
        let wasm = "test result: ok. 1 passed; 0 failed; 0 ignored; 0 filtered out; finished in 0.01s";
        assert_eq!(closing(wasm), Some(Count { passed: 1, failed: 0 }));
        for (line, passed, failed) in
            [("ℹ pass 22\n", 22, 0), ("ℹ fail 3\n", 0, 3), ("ℹ cancelled 1", 0, 1), ("ℹ skipped 2", 0, 2), ("ℹ todo 0", 0, 0)]
        {
            assert_eq!(closing(line), Some(Count { passed, failed }), "{line}");
        }
        for other in [
            "ℹ tests 25",
            "ℹ duration_ms 470.232692",
            "  ℹ pass 1",
            "ℹ pass",
            "",
            "running 1 test",
            "test result: ",
            "test result: ok. many passed; 0 failed",
            "test a ... ok",
        ] {
            assert_eq!(closing(other), None, "{other}");
        }
    }
}
