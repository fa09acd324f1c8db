//! The page in Chromium, as a person has it: on a phone or on a desk, each with a profile of its own.
#![allow(clippy::panic, clippy::unwrap_used, reason = "a browser that does not answer fails the test that asked")]

use crate::driver::Driver;
use donorack_www::Server;
use fantoccini::elements::Element;
use fantoccini::{Client, ClientBuilder, Locator};
use serde_json::{Map, Value, json};
use std::path::{Path, PathBuf};
use std::sync::OnceLock;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::{Duration, Instant};

/// How long the page may take over something that it owes.
pub const PATIENCE: Duration = Duration::from_secs(15);

/// What the page is looked at on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Screen {
    /// 390 × 844 CSS pixels of 3 device pixels, touch.
    Phone,
    /// 320 × 568 CSS pixels of 2 device pixels, touch: the narrowest there is.
    Narrow,
    /// A window of 1280 × 800.
    Desk,
}

/// The folder that holds the built page: `DONORACK_SITE`, else built once for this program.
pub fn site() -> &'static Path {
    static SITE: OnceLock<PathBuf> = OnceLock::new();
    SITE.get_or_init(|| match std::env::var_os("DONORACK_SITE") {
        Some(dir) => dir.into(),
        None => donorack_www::rebuild("site-tests").expect("the page builds"),
    })
}

/// The page served for every test of this program, at a port of its own. Ends in a slash.
pub fn url() -> String {
    static SERVER: OnceLock<Server> = OnceLock::new();
    SERVER.get_or_init(|| Server::local(site()).expect("a free port")).url()
}

/// One browser with one tab and a fresh profile. Dropping it ends it and forgets the profile.
pub struct Browser {
    /// Everything that fantoccini can do.
    pub client: Client,
    session: String,
    driver: Driver,
    profile: PathBuf,
}

impl Browser {
    /// Opens a browser with nothing in it.
    pub async fn open(screen: Screen) -> Browser {
        static COUNT: AtomicUsize = AtomicUsize::new(0);
        let name = format!("donorack-{}-{}", std::process::id(), COUNT.fetch_add(1, Ordering::Relaxed));
        Browser::with(screen, std::env::temp_dir().join(name)).await
    }

    /// Ends this browser and opens one with the same profile, as on the next day.
    pub async fn again(mut self, screen: Screen) -> Browser {
        let profile = std::mem::take(&mut self.profile);
        drop(self);
        Browser::with(screen, profile).await
    }

    async fn with(screen: Screen, profile: PathBuf) -> Browser {
        let driver = Driver::start();
        let capabilities = capabilities(screen, &profile);
        let connector = hyper_util::client::legacy::connect::HttpConnector::new();
        let client = ClientBuilder::new(connector).capabilities(capabilities).connect(&driver.url()).await.expect("Chromium starts");
        let session = client.session_id().await.expect("chromedriver answers").expect("a session");
        Browser { client, session, driver, profile }
    }

    /// A phone, at the page.
    pub async fn phone() -> Browser {
        let browser = Browser::open(Screen::Phone).await;
        browser.goto("").await;
        browser
    }

    /// A desk, at the page.
    pub async fn desk() -> Browser {
        let browser = Browser::open(Screen::Desk).await;
        browser.goto("").await;
        browser
    }

    /// Opens an address: whole, or what follows the page's own (`""`, `"#…"`).
    pub async fn goto(&self, address: &str) {
        let whole = if address.starts_with("http") { address.to_owned() } else { url() + address };
        self.client.goto(&whole).await.unwrap_or_else(|e| panic!("{whole}: {e}"));
    }

    /// Loads the page again.
    pub async fn reload(&self) {
        self.client.refresh().await.expect("a page to load again");
    }

    /// The one element, waited for.
    pub async fn find(&self, css: &str) -> Element {
        let waiting = self.client.wait().at_most(PATIENCE).for_element(Locator::Css(css));
        waiting.await.unwrap_or_else(|e| panic!("{css}: {e}"))
    }

    /// What a person reads there.
    pub async fn text(&self, css: &str) -> String {
        self.find(css).await.text().await.unwrap_or_else(|e| panic!("{css}: {e}"))
    }

    /// Taps or clicks it, scrolled into view.
    pub async fn tap(&self, css: &str) {
        self.find(css).await.click().await.unwrap_or_else(|e| panic!("{css}: {e}"));
    }

    /// Types into a field key by key, in place of what stood there.
    pub async fn write(&self, css: &str, text: &str) {
        let field = self.find(css).await;
        field.click().await.unwrap_or_else(|e| panic!("{css}: {e}"));
        self.js("document.activeElement.select?.()").await;
        // U+E017 is the Delete key (WebDriver, section 17.4.2).
        field.send_keys(&format!("\u{e017}{text}")).await.unwrap_or_else(|e| panic!("{css}: {e}"));
    }

    /// Runs statements in the page; the answer is what they `return`, promises awaited.
    pub async fn js(&self, script: &str) -> Value {
        self.js_with(script, Vec::new()).await
    }

    /// As [`Browser::js`], with `arguments`.
    pub async fn js_with(&self, script: &str, arguments: Vec<Value>) -> Value {
        self.client.execute(script, arguments).await.unwrap_or_else(|e| panic!("{script}: {e}"))
    }

    /// Waits until an expression is true in the page. One that throws is not true yet.
    pub async fn until(&self, expression: &str) {
        let script = format!("try {{ return Boolean(await ({expression})); }} catch {{ return false; }}");
        let script = format!("return (async () => {{ {script} }})();");
        let end = Instant::now() + PATIENCE;
        while self.js(&script).await != json!(true) {
            assert!(Instant::now() < end, "never true: {expression}");
            tokio::time::sleep(Duration::from_millis(25)).await;
        }
    }

    /// What the browser complained of since it was last asked: errors, refused files, broken rules of the content policy.
    pub fn complaints(&self) -> Vec<String> {
        let log = self.send("/se/log", json!({ "type": "browser" }));
        let entries = log.as_array().expect("a list of log entries").iter();
        let severe = entries.filter(|entry| entry["level"] == "SEVERE");
        severe.map(|entry| entry["message"].as_str().unwrap_or_default().to_owned()).collect()
    }

    /// The addresses that were asked for since this was last asked, those in vain included; what the browser's own pages ask of it is left out.
    pub fn requests(&self) -> Vec<String> {
        let log = self.send("/se/log", json!({ "type": "performance" }));
        let entries = log.as_array().expect("a list of log entries").iter();
        let events = entries.filter_map(|entry| serde_json::from_str::<Value>(entry["message"].as_str()?).ok());
        let asked = events.filter(|event| event["message"]["method"] == "Network.requestWillBeSent");
        let addresses = asked.filter_map(|event| Some(event["message"]["params"]["request"]["url"].as_str()?.to_owned()));
        addresses.filter(|address| !address.starts_with("chrome://")).collect()
    }

    /// One command of the Chrome DevTools protocol.
    pub fn cdp(&self, command: &str, parameters: Value) -> Value {
        self.send("/goog/cdp/execute", json!({ "cmd": command, "params": parameters }))
    }

    /// What the tab shows, as PNG in device pixels; also kept as `target/screenshots/NAME.png`.
    pub async fn screenshot(&self, name: &str) -> Vec<u8> {
        let png = self.client.screenshot().await.expect("a screenshot");
        let dir = donorack_www::target().join("screenshots");
        std::fs::create_dir_all(&dir).expect("a folder for screenshots");
        std::fs::write(dir.join(format!("{name}.png")), &png).expect("a screenshot is kept");
        png
    }

    fn send(&self, command: &str, body: Value) -> Value {
        let path = format!("/session/{}{command}", self.session);
        self.driver.send("POST", &path, Some(&body)).unwrap_or_else(|e| panic!("{e}"))
    }
}

impl Drop for Browser {
    fn drop(&mut self) {
        // Closing the session ends the browser; the driver then ends with its own handle.
        let _ = self.driver.send("DELETE", &format!("/session/{}", self.session), None);
        let _ = std::fs::remove_dir_all(&self.profile);
    }
}

fn capabilities(screen: Screen, profile: &Path) -> Map<String, Value> {
    let mut options = json!({ "args": [
        "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--disable-dev-shm-usage", "--no-first-run",
        "--disable-background-networking", "--disable-component-update", "--disable-sync", "--window-size=1280,800",
        format!("--user-data-dir={}", profile.display()),
    ] });
    let metrics = |width: u32, height: u32, ratio: u32| json!({ "width": width, "height": height, "pixelRatio": ratio, "touch": true, "mobile": true });
    match screen {
        Screen::Phone => options["mobileEmulation"] = json!({ "deviceMetrics": metrics(390, 844, 3) }),
        Screen::Narrow => options["mobileEmulation"] = json!({ "deviceMetrics": metrics(320, 568, 2) }),
        Screen::Desk => {}
    }
    let mut wanted = Map::new();
    wanted.insert("browserName".to_owned(), json!("chrome"));
    wanted.insert("goog:chromeOptions".to_owned(), options);
    wanted.insert("goog:loggingPrefs".to_owned(), json!({ "browser": "ALL", "performance": "ALL" }));
    wanted
}
