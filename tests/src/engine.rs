//! The three engines that the page runs in: how each is started on which screen, and what its system may be made to want.

use crate::browser::Screen;
use serde_json::{Map, Value, json};
use std::fmt;
use std::path::{Path, PathBuf};

/// What lays out and runs the page.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Engine {
    /// Chromium through chromedriver.
    Chromium,
    /// Firefox ESR through geckodriver. Its window is never narrower than 500 CSS pixels.
    Firefox,
    /// WebKitGTK's small browser through WebKitWebDriver, on an X server of its own, which is as large as the screen asked for.
    WebKit,
}

/// WebKitGTK's small browser, where Debian puts it: on no path, in a folder named after the machine's kind.
pub(crate) fn mini_browser() -> Option<PathBuf> {
    let kinds = std::fs::read_dir("/usr/lib").ok()?.filter_map(Result::ok);
    kinds.map(|kind| kind.path().join("webkit2gtk-4.1/MiniBrowser")).find(|program| program.is_file())
}

/// What the system that the browser runs in asks of pages.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Wants {
    /// Dark colours.
    pub dark: bool,
    /// Nothing that moves.
    pub still: bool,
    /// Its own few colours and no others. WebKit has no such thing.
    pub forced: bool,
}

impl fmt::Display for Engine {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Engine::Chromium => "chromium",
            Engine::Firefox => "firefox",
            Engine::WebKit => "webkit",
        })
    }
}

impl Engine {
    /// The program that drives it: named by a variable of the environment, in the folder of the project's own tools, or on the path.
    pub(crate) fn driver(self) -> PathBuf {
        let (variable, name) = match self {
            Engine::Chromium => ("CHROMEDRIVER", "chromedriver"),
            Engine::Firefox => ("GECKODRIVER", "geckodriver"),
            Engine::WebKit => ("WEBKITDRIVER", "WebKitWebDriver"),
        };
        let own = donorack_www::target().join("tools/bin").join(name);
        std::env::var_os(variable).map_or_else(|| if own.exists() { own } else { name.into() }, PathBuf::from)
    }

    /// CSS pixels across and down, and device pixels for each of them.
    pub(crate) fn size(self, screen: Screen) -> (u32, u32, u32) {
        match (screen, self) {
            // Firefox as narrow as it goes.
            (Screen::Phone | Screen::Narrow, Engine::Firefox) => (500, 844, 2),
            (Screen::Sharp, Engine::Firefox) => (500, 844, 3),
            (Screen::Sharp, _) => (390, 844, 3),
            (Screen::Phone, _) => (390, 844, 2),
            (Screen::Narrow, _) => (320, 568, 2),
            (Screen::Desk, _) => (1280, 800, 1),
        }
    }

    /// What a session is asked for. `profile` is a folder of its own.
    pub(crate) fn capabilities(self, screen: Screen, profile: &Path, wants: Wants) -> Map<String, Value> {
        let wanted = match self {
            Engine::Chromium => chromium(screen, profile),
            Engine::Firefox => firefox(self.size(screen).2, profile, screen != Screen::Desk, wants),
            Engine::WebKit => {
                json!({ "webkitgtk:browserOptions": { "binary": mini_browser(), "args": ["--automation", "--full-screen"] } })
            }
        };
        wanted.as_object().cloned().unwrap_or_default()
    }
}

fn chromium(screen: Screen, profile: &Path) -> Value {
    let mut options = json!({ "args": [
        "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--disable-dev-shm-usage", "--no-first-run",
        "--disable-background-networking", "--disable-component-update", "--disable-sync", "--window-size=1280,800",
        format!("--user-data-dir={}", profile.display()),
    ] });
    if screen != Screen::Desk {
        let (width, height, ratio) = Engine::Chromium.size(screen);
        options["mobileEmulation"] =
            json!({ "deviceMetrics": { "width": width, "height": height, "pixelRatio": ratio, "touch": true, "mobile": true } });
    }
    json!({ "browserName": "chrome", "goog:chromeOptions": options, "goog:loggingPrefs": { "browser": "ALL", "performance": "ALL" } })
}

fn firefox(ratio: u32, profile: &Path, phone: bool, wants: Wants) -> Value {
    let mut prefs = json!({
        "layout.css.devPixelsPerPx": ratio.to_string(),
        // Errors of a page on the standard error, where `complaints` reads them.
        "browser.dom.window.dump.enabled": true,
        "layout.css.prefers-color-scheme.content-override": if wants.dark { 0 } else { 1 },
        "ui.prefersReducedMotion": i32::from(wants.still),
        "intl.accept_languages": "en-US",
        // It looks for news of its own otherwise, in vain and for seconds.
        "app.normandy.enabled": false, "browser.backup.enabled": false, "messaging-system.rsexperimentloader.enabled": false,
        "network.captive-portal-service.enabled": false, "network.connectivity-service.enabled": false,
    });
    if phone {
        // A phone's bars of scrolling lie over the page and take no width of it.
        prefs["ui.useOverlayScrollbars"] = json!(1);
    }
    if wants.forced {
        prefs["browser.display.document_color_use"] = json!(2);
        prefs["browser.display.use_system_colors"] = json!(false);
        let (ground, letters) = if wants.dark { ("#101010", "#f0f0f0") } else { ("#ffffff", "#000000") };
        prefs["browser.display.background_color"] = json!(ground);
        prefs["browser.display.foreground_color"] = json!(letters);
    }
    json!({ "browserName": "firefox", "moz:firefoxOptions": { "args": ["-headless", "-profile", profile], "prefs": prefs } })
}
