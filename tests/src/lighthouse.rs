//! Lighthouse (npm, pinned in `tests/package-lock.json` together with the node that it needs): its scores of a page on a phone.
//!
//! It starts a Chromium of its own and asks nothing of the network beside the page.
#![allow(clippy::panic, reason = "a judge that does not answer fails the test that asked")]

use donorack_www::needs;
use serde_json::Value;
use std::path::Path;
use std::process::{Child, Command, ExitStatus, Stdio};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::{Duration, Instant};

/// How long one run may take, on a machine that does much else.
const PATIENCE: Duration = Duration::from_secs(240);
/// Where Debian has Chromium.
const DEBIAN: &str = "/usr/bin/chromium";
/// As the other tests start it: for root, without a screen, and without calls of its own.
const CHROMIUM: &str = "--headless --no-sandbox --disable-gpu --disable-quic --disable-dev-shm-usage --no-first-run \
    --disable-background-networking --disable-component-update --disable-sync";

/// What one run found.
pub struct Report(Value);

impl Report {
    /// Loads the page on Lighthouse's phone and judges it by these categories ("accessibility", "best-practices", "performance").
    pub fn of(url: &str, categories: &[&str]) -> Report {
        static COUNT: AtomicUsize = AtomicUsize::new(0);
        let name = format!("donorack-lighthouse-{}-{}.json", std::process::id(), COUNT.fetch_add(1, Ordering::Relaxed));
        let out = std::env::temp_dir().join(name);
        let node = needs::node();
        let mut command = Command::new(&node);
        command.arg(needs::npm("lighthouse/cli/index.js")).arg(url);
        command.args(["--quiet", "--no-enable-error-reporting", "--form-factor=mobile", "--output=json"]);
        command.arg(format!("--only-categories={}", categories.join(",")));
        command.arg(format!("--chrome-flags={CHROMIUM}")).arg(format!("--output-path={}", out.display()));
        // Debian's browser, unless another is named; where there is neither, Lighthouse looks for one.
        if std::env::var_os("CHROME_PATH").is_none() && Path::new(DEBIAN).exists() {
            command.env("CHROME_PATH", DEBIAN);
        }
        command.stdin(Stdio::null()).stdout(Stdio::null());
        let start = command.spawn();
        let child = start.unwrap_or_else(|e| panic!("{}: {e}; `npm ci --prefix tests --ignore-scripts` installs it", node.display()));
        let status = wait(child);
        let text = std::fs::read_to_string(&out).unwrap_or_else(|e| panic!("Lighthouse wrote no report ({e}), {status}"));
        let _ = std::fs::remove_file(&out);
        let report: Value = serde_json::from_str(&text).expect("a report in JSON");
        assert!(status.success() && report["runtimeError"].is_null(), "{status}: {}", report["runtimeError"]);
        Report(report)
    }

    /// A category's score, 0 to 100 as Lighthouse shows it.
    pub fn score(&self, category: &str) -> u64 {
        let score = self.0["categories"][category]["score"].as_f64().unwrap_or_else(|| panic!("no score of {category}"));
        format!("{:.0}", score * 100.0).parse().expect("a whole number")
    }

    /// The audits of a category that say something of this page.
    pub fn judged(&self, category: &str) -> Vec<&str> {
        self.audits(category).filter(|(_, audit)| audit["score"].is_number()).map(|(id, _)| id).collect()
    }

    /// The audits of a category that count and are not fully passed: name, what it says, the first places.
    pub fn failing(&self, category: &str) -> Vec<String> {
        let short = self.audits(category).filter(|(_, audit)| audit["score"].as_f64().is_some_and(|score| score < 1.0));
        let place = |item: &Value| item["node"]["snippet"].as_str().map_or_else(|| item.to_string(), str::to_owned);
        let places = |audit: &Value| {
            let items = audit["details"]["items"].as_array();
            items.iter().flat_map(|items| items.iter().take(4)).map(place).collect::<Vec<_>>().join(" | ")
        };
        short.map(|(id, audit)| format!("{id}: {}: {}", audit["title"], places(audit))).collect()
    }

    /// What an audit measured, in its own unit.
    pub fn figure(&self, audit: &str) -> f64 {
        self.0["audits"][audit]["numericValue"].as_f64().unwrap_or_else(|| panic!("{audit} measured nothing"))
    }

    fn audits(&self, category: &str) -> impl Iterator<Item = (&str, &Value)> {
        let refs = self.0["categories"][category]["auditRefs"].as_array().unwrap_or_else(|| panic!("no category {category}"));
        let counted = refs.iter().filter(|of| of["weight"].as_f64().is_some_and(|weight| weight > 0.0));
        counted.filter_map(|of| of["id"].as_str()).map(|id| (id, &self.0["audits"][id]))
    }
}

/// Waits for the end. One that takes too long is interrupted, upon which it also ends its browser.
fn wait(mut child: Child) -> ExitStatus {
    let end = Instant::now() + PATIENCE;
    loop {
        if let Some(status) = child.try_wait().expect("a child of ours") {
            return status;
        }
        if Instant::now() > end {
            let _ = Command::new("kill").args(["-INT", &child.id().to_string()]).status();
            let status = child.wait().expect("a child of ours");
            panic!("Lighthouse took more than {} s: {status}", PATIENCE.as_secs());
        }
        std::thread::sleep(Duration::from_millis(100));
    }
}
