//! The page in a browser, as a person has it: on a phone or on a desk, each with a profile of its own. Without another word it is Chromium.
#![allow(clippy::panic, clippy::unwrap_used, reason = "a browser that does not answer fails the test that asked")]

use crate::display::Display;
use crate::driver::Driver;
use crate::engine::{Engine, Wants, mini_browser};
use donorack_www::Server;
use fantoccini::elements::Element;
use fantoccini::{Client, ClientBuilder, Locator};
use serde_json::{Value, json};
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::OnceLock;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::{Duration, Instant};

/// How long the page may take over something that it owes.
pub const PATIENCE: Duration = Duration::from_secs(30);

/// What the page is looked at on. Of Firefox both phones are 500 CSS pixels wide, its narrowest.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Screen {
    /// 390 × 844 CSS pixels of 2 device pixels, touch.
    Phone,
    /// The same of 3 device pixels, as today's phones have, which take twice as long to draw: for what is looked at pixel by pixel.
    Sharp,
    /// 320 × 568 CSS pixels of 2 device pixels, touch: the narrowest there is.
    Narrow,
    /// A window of 1280 × 800.
    Desk,
}

/// Families of letters that the page is looked at in by name, where it matters: what `system-ui` is differs from one machine to another.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Letters {
    /// DejaVu Sans, a seventh wider than the next; on a machine with nothing else it is the system's own.
    Wide,
    /// Liberation Sans, of the widths of most systems' letters.
    Narrow,
}

impl Letters {
    /// Both.
    pub const BOTH: [Letters; 2] = [Letters::Wide, Letters::Narrow];

    /// The family's name.
    pub fn name(self) -> &'static str {
        match self {
            Letters::Wide => "DejaVu Sans",
            Letters::Narrow => "Liberation Sans",
        }
    }
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
    /// What it is.
    pub engine: Engine,
    session: String,
    // Ended in this order.
    driver: Driver,
    _display: Option<Display>,
    profile: Profile,
}

impl Browser {
    /// Opens a Chromium with nothing in it.
    pub async fn open(screen: Screen) -> Browser {
        Browser::open_in(Engine::Chromium, screen).await
    }

    /// Opens a browser with nothing in it.
    pub async fn open_in(engine: Engine, screen: Screen) -> Browser {
        Browser::that_wants(engine, screen, Wants::default()).await
    }

    /// The same in a system with wishes of its own.
    pub async fn that_wants(engine: Engine, screen: Screen, wants: Wants) -> Browser {
        Browser::with(engine, screen, wants, Profile::fresh()).await
    }

    /// Ends this browser and opens one with the same profile, as on the next day. Not in WebKit, which forgets everything when it is driven.
    pub async fn again(mut self, screen: Screen) -> Browser {
        assert_ne!(self.engine, Engine::WebKit, "a driven WebKit has no profile");
        let (engine, profile) = (self.engine, std::mem::take(&mut self.profile));
        drop(self);
        Browser::with(engine, screen, Wants::default(), profile).await
    }

    async fn with(engine: Engine, screen: Screen, wants: Wants, profile: Profile) -> Browser {
        let (width, height, ratio) = engine.size(screen);
        let mut environment = Vec::new();
        let mut display = None;
        if engine == Engine::WebKit {
            assert!(mini_browser().is_some(), "WebKitGTK's MiniBrowser is not there; `cargo run --release -- test` installs it");
            let screen = display.insert(Display::start(width * ratio, height * ratio));
            profile.gtk(wants);
            environment.extend([
                ("DISPLAY", screen.name().to_owned()),
                ("GDK_SCALE", ratio.to_string()),
                ("GDK_BACKEND", "x11".to_owned()),
            ]);
            environment.extend(["XDG_CONFIG_HOME", "XDG_DATA_HOME"].map(|name| (name, profile.0.display().to_string())));
            environment.extend([("LANG", "en_US.UTF-8".to_owned()), ("LANGUAGE", "en_US".to_owned()), ("NO_AT_BRIDGE", "1".to_owned())]);
        }
        let driver = Driver::start(engine, &environment);
        let capabilities = engine.capabilities(screen, &profile.0, wants);
        let connector = hyper_util::client::legacy::connect::HttpConnector::new();
        let started = ClientBuilder::new(connector).capabilities(capabilities).connect(&driver.url()).await;
        let client = started.unwrap_or_else(|e| panic!("{engine} does not start ({e}); `cargo run --release -- test` installs it"));
        let session = client.session_id().await.expect("the driver answers").expect("a session");
        let browser = Browser { client, engine, session, driver, _display: display, profile };
        browser.fit(width, height, wants).await;
        browser
    }

    /// Has the page's part of the window be of the size asked for, and the system want what it should, where that was not said at the start.
    async fn fit(&self, width: u32, height: u32, wants: Wants) {
        match self.engine {
            Engine::Chromium if wants != Wants::default() => {
                let features = [
                    ("prefers-color-scheme", wants.dark, "dark"),
                    ("prefers-reduced-motion", wants.still, "reduce"),
                    ("forced-colors", wants.forced, "active"),
                ];
                let features = features.iter().filter(|f| f.1).map(|f| json!({ "name": f.0, "value": f.2 }));
                self.cdp("Emulation.setEmulatedMedia", json!({ "features": features.collect::<Value>() }));
            }
            Engine::Chromium => {}
            Engine::Firefox => {
                let frame = self.js("return outerHeight - innerHeight").await.as_u64().and_then(|high| u32::try_from(high).ok());
                self.client.set_window_rect(0, 0, width, height + frame.expect("a height")).await.expect("a window that changes its size");
                self.until(&format!("innerWidth === {width} && innerHeight === {height}")).await;
            }
            // Its window fills the screen, which has that size, once the window manager has seen to it.
            Engine::WebKit => self.until(&format!("innerWidth === {width} && innerHeight === {height}")).await,
        }
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
        self.listen().await;
    }

    /// Has the page that is there set in one family of letters, whatever this machine's own is, until it is loaded again.
    pub async fn letters(&self, family: Letters) {
        let script = "document.body.style.setProperty('font-family', arguments[0], 'important');
            return document.fonts.load(`16px ${arguments[0]}`).then(() => document.fonts.check(`16px ${arguments[0]}`) && dispatchEvent(new Event('resize')));";
        assert_eq!(self.js_with(script, vec![json!(format!("{:?}", family.name()))]).await, json!(true));
        self.settled().await;
        let wide = self.js(WIDE).await.as_f64().expect("a width");
        assert_eq!(wide > 1.05, family == Letters::Wide, "{} is {wide} times as wide as Liberation Sans: is it installed?", family.name());
    }

    /// Opens the page in a frame of that size, and stays in it: in a document of the same server that has no rules against frames.
    pub async fn open_in_a_frame(&self, width: u32, height: u32) {
        self.goto("donorack.js").await;
        let frame = "const frame = document.createElement('iframe');
            Object.assign(frame.style, { position: 'fixed', top: 0, left: 0, border: 0, width: `${arguments[0]}px`, height: `${arguments[1]}px` });
            frame.src = arguments[2];
            document.body.replaceChildren(frame);
            return new Promise((done) => frame.addEventListener('load', () => done(true), { once: true }));";
        self.js_with(frame, vec![json!(width), json!(height), json!(url())]).await;
        self.client.enter_frame(0).await.expect("a frame");
        self.listen().await;
    }

    /// Loads the page again.
    pub async fn reload(&self) {
        self.client.refresh().await.expect("a page to load again");
        self.listen().await;
    }

    /// Where the driver cannot tell what went wrong, the page is listened to itself, from here on.
    async fn listen(&self) {
        if self.engine != Engine::Chromium {
            self.js(LISTEN).await;
        }
    }

    /// Unfolds everything that folds: first the cards of the racks, which get their fields by that.
    pub async fn unfold(&self) {
        let script = "const open = () => { for (const part of document.querySelectorAll('details')) part.open = true; };
            open();
            return new Promise((done) => setTimeout(() => { open(); done(true); }, 50));";
        self.js(script).await;
    }

    /// The one element, waited for.
    pub async fn find(&self, css: &str) -> Element {
        let waiting = self.client.wait().at_most(PATIENCE).for_element(Locator::Css(css));
        waiting.await.unwrap_or_else(|e| panic!("{css}: {e}"))
    }

    /// What a person reads there, on the part of the page where it is.
    pub async fn text(&self, css: &str) -> String {
        self.find(css).await;
        if self.js_with("return document.querySelector(arguments[0]).closest('.part[hidden]') !== null", vec![json!(css)]).await
            == json!(true)
        {
            self.turn_to(css).await;
        }
        self.find(css).await.text().await.unwrap_or_else(|e| panic!("{css}: {e}"))
    }

    /// Goes to where a thing is seen, as a person does: closes what lies over the page, opens the list that holds it, turns to its part by
    /// the row of parts, or by the list of all where the row does not show it. How many taps that took.
    pub async fn turn_to(&self, css: &str) -> usize {
        let mut taps = 0;
        // The next thing to tap, or nothing. A keyboard is put away first, by its own key.
        let way = "const node = document.querySelector(arguments[0]);
            const dialog = document.querySelector('dialog[open]');
            if (!node) return null;
            if (dialog && !dialog.contains(node)) return `#${dialog.id}-close`;
            if (node.closest('#jobs') && !dialog) return '#parts-all';
            const part = node.closest('.part[hidden]')?.dataset.part;
            if (!part && !node.closest('#parts')) return null;
            if (document.body.classList.contains('typing')) document.activeElement.blur();
            if (!part) return null;
            // A part that is only there when it is asked for: by the way there in Car.
            const inRow = document.querySelector(`#parts [data-part-link=${part}]`);
            if (!inRow) return '[data-part=car] [data-part-link=points]';
            const link = inRow.getBoundingClientRect();
            const row = document.querySelector('#parts-row').getBoundingClientRect();
            const hit = (x, y) => document.elementFromPoint(x, y)?.closest('[data-part-link]')?.dataset.partLink === part;
            const seen = [link.left + 4, link.right - 4].some((x) => x > row.left && hit(x, (link.top + link.bottom) / 2)) || hit((link.left + link.right) / 2, (link.top + link.bottom) / 2);
            return seen ? `#parts [data-part-link=${part}]` : document.querySelector('#jobs[open]') ? `#jobs [data-part-link=${part}]` : '#parts-all';";
        for _ in 0..4 {
            let next = self.js_with(way, vec![json!(css)]).await;
            let Some(next) = next.as_str() else { return taps };
            // The part may be half out of the row: it is hit where it is seen.
            self.js_with("document.querySelector(arguments[0]).click()", vec![json!(next)]).await;
            taps += 1;
            if next == "#parts-all" && !css.contains("#jobs") {
                let listed = "const part = document.querySelector(arguments[0]).closest('.part[hidden]')?.dataset.part; if (part) document.querySelector(`#jobs [data-part-link=${part}]`).click(); return Boolean(part);";
                taps += usize::from(self.js_with(listed, vec![json!(css)]).await == json!(true));
            }
        }
        panic!("no way to {css}");
    }

    /// Taps or clicks it, scrolled into view, on the part of the page where it is.
    pub async fn tap(&self, css: &str) {
        self.find(css).await;
        self.turn_to(css).await;
        // What lies under the strip or the row is scrolled from under it first.
        let clear = "const node = document.querySelector(arguments[0]), r = node.getBoundingClientRect();
            const hit = document.elementFromPoint(r.x + r.width / 2, r.y + r.height / 2);
            if (!(node.contains(hit) || hit?.contains(node)) || hit.closest('#strip, #parts') !== node.closest('#strip, #parts')) node.scrollIntoView({ block: 'center', behavior: 'instant' });";
        self.js_with(clear, vec![json!(css)]).await;
        self.find(css).await.click().await.unwrap_or_else(|e| panic!("{css}: {e}"));
    }

    /// Types into a field key by key, in place of what stood there.
    pub async fn write(&self, css: &str, text: &str) {
        self.tap(css).await;
        let field = self.find(css).await;
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

    /// Waits until the page has caught up with what was typed: what is out of sight follows in a pause, charts a frame later.
    pub async fn settled(&self) {
        self.until("new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(() => setTimeout(() => done(!document.querySelector('[aria-busy]'))))))").await;
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

    /// What was complained of since this was last asked: errors, refused files, broken rules of the content policy.
    ///
    /// Chromium tells everything. Of the two others' drivers neither does: Firefox writes a page's errors where its driver's words go, and
    /// in both the page is listened to since it was loaded; of what failed before that, files tell that they were refused.
    pub fn complaints(&self) -> Vec<String> {
        if self.engine != Engine::Chromium {
            let written = self.driver.said().into_iter().filter(|line| line.starts_with("JavaScript error: http"));
            let heard: Vec<String> = serde_json::from_value(self.run(HEARD)).expect("a list of texts");
            return written.chain(heard).collect();
        }
        let log = self.send("/se/log", json!({ "type": "browser" }));
        let entries = log.as_array().expect("a list of log entries").iter();
        let severe = entries.filter(|entry| entry["level"] == "SEVERE");
        severe.map(|entry| entry["message"].as_str().unwrap_or_default().to_owned()).collect()
    }

    /// The addresses that were asked for since this was last asked (in Firefox and WebKit: since the page was loaded), those in vain
    /// included; what the browser's own pages ask of it is left out.
    pub fn requests(&self) -> Vec<String> {
        if self.engine != Engine::Chromium {
            return serde_json::from_value(self.run(ASKED)).expect("a list of addresses");
        }
        let log = self.send("/se/log", json!({ "type": "performance" }));
        let entries = log.as_array().expect("a list of log entries").iter();
        let events = entries.filter_map(|entry| serde_json::from_str::<Value>(entry["message"].as_str()?).ok());
        let asked = events.filter(|event| event["message"]["method"] == "Network.requestWillBeSent");
        let addresses = asked.filter_map(|event| Some(event["message"]["params"]["request"]["url"].as_str()?.to_owned()));
        addresses.filter(|address| !address.starts_with("chrome://")).collect()
    }

    /// One command of the Chrome DevTools protocol, which Chromium alone speaks.
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

    /// As [`Browser::js`], without awaiting.
    fn run(&self, script: &str) -> Value {
        self.send("/execute/sync", json!({ "script": script, "args": [] }))
    }

    fn send(&self, command: &str, body: Value) -> Value {
        let path = format!("/session/{}{command}", self.session);
        self.driver.send("POST", &path, Some(&body)).unwrap_or_else(|e| panic!("{e}"))
    }
}

/// How much wider the page's letters are than Liberation Sans.
const WIDE: &str = "const pen = document.createElement('canvas').getContext('2d');
    const wide = (family) => { pen.font = `100px ${family}`; return pen.measureText('as far as it goes').width; };
    return wide(getComputedStyle(document.body).fontFamily) / wide('\"Liberation Sans\"');";
/// Keeps what goes wrong in a page that has been loaded.
const LISTEN: &str = "if (!window.heard) {
        const heard = window.heard = [];
        addEventListener('error', (event) => heard.push(event.message ?? `${event.target.src ?? event.target.href} was not had`), true);
        addEventListener('unhandledrejection', (event) => heard.push(String(event.reason)));
        document.addEventListener('securitypolicyviolation', (event) => heard.push(`Content Security Policy: ${event.violatedDirective} ${event.blockedURI}`));
    }";
/// What was kept, and the files that were refused.
const HEARD: &str =
    "const refused = performance.getEntriesByType('resource').filter((file) => file.responseStatus >= 400).map((file) => file.name);
    const heard = window.heard ?? [];
    const fresh = [...heard.splice(0), ...refused.slice(heard.refused ?? 0)];
    heard.refused = refused.length;
    return fresh;";
/// Every file asked for.
const ASKED: &str = "return performance.getEntriesByType('resource').map((file) => file.name);";

impl Drop for Browser {
    fn drop(&mut self) {
        // Closing the session ends the browser; the driver then ends with its own handle, and WebKit with its screen.
        let closed = self.driver.send("DELETE", &format!("/session/{}", self.session), None);
        // A Firefox whose driver lost it has to be ended by its own number.
        if let (Err(_), Some(firefox)) = (closed, self.client.capabilities().and_then(|told| told.get("moz:processID")?.as_u64())) {
            let _ = Command::new("kill").args(["-KILL", &firefox.to_string()]).status();
        }
    }
}

/// A folder for what a browser keeps, forgotten with it.
#[derive(Default)]
struct Profile(PathBuf);

impl Profile {
    fn fresh() -> Profile {
        static COUNT: AtomicUsize = AtomicUsize::new(0);
        let name = format!("donorack-{}-{}", std::process::id(), COUNT.fetch_add(1, Ordering::Relaxed));
        let dir = std::env::temp_dir().join(name);
        std::fs::create_dir_all(&dir).expect("a folder for a profile");
        Profile(dir)
    }

    /// Says in it what WebKit's system wants.
    fn gtk(&self, wants: Wants) {
        let settings = format!(
            "[Settings]\ngtk-theme-name={}\ngtk-enable-animations={}\n",
            if wants.dark { "Adwaita-dark" } else { "Adwaita" },
            u8::from(!wants.still)
        );
        let dir = self.0.join("gtk-3.0");
        std::fs::create_dir_all(&dir).and_then(|()| std::fs::write(dir.join("settings.ini"), settings)).expect("a folder for settings");
    }
}

impl Drop for Profile {
    fn drop(&mut self) {
        if self.0 != Path::new("") {
            let _ = std::fs::remove_dir_all(&self.0);
        }
    }
}
