//! The page without signal: a start with the server gone, a new version beside what is typed, two copies on one host, a core that stops.

use donorack::Plan;
use donorack_tests::browser::{Browser, PATIENCE, Screen, site};
use donorack_www::seal::{files, seal};
use donorack_www::{Server, site::copy};
use serde_json::{Value, json};
use std::net::{SocketAddr, TcpListener, TcpStream};
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

/// The page has started.
const READY: &str = "document.documentElement.dataset.ready === 'yes'";
/// It says that it works offline, and a person sees that.
pub const KEPT: &str =
    "document.getElementById('offline').dataset.state === 'ready' && document.getElementById('offline').innerText === 'Works offline'";
/// It says that there is a new version.
const NEWER: &str = "document.getElementById('offline').innerText.includes('A new version is ready.')";
/// What somebody types who has not finished.
pub const HALF: &str = "54 5/";
/// The field that it is typed into.
const FIELD: &str = "[data-field='car.front_track']";

/// A copy of the page's files in a folder of its own, at `path` below what is served.
pub fn folder(name: &str, path: &str) -> PathBuf {
    let root = donorack_www::target().join("offline").join(name);
    if root.exists() {
        std::fs::remove_dir_all(&root).unwrap();
    }
    copy(site(), &root.join(path)).unwrap();
    root
}

/// Makes the files of `dir` another build: the core gives another version, the page has another heading.
fn another(dir: &Path) {
    let exchange = |name: &str, from: &str, to: &str| {
        let old = std::fs::read(dir.join(name)).unwrap();
        let at = old.windows(from.len()).position(|part| part == from.as_bytes()).unwrap_or_else(|| panic!("no {from} in {name}"));
        std::fs::write(dir.join(name), [&old[..at], to.as_bytes(), &old[at + from.len()..]].concat()).unwrap();
    };
    exchange("donorack_bg.wasm", env!("CARGO_PKG_VERSION"), OTHER);
    // As the build leaves it: texts stand in backquotes.
    exchange("words.js", "`Car`", "`Other car`");
    seal(dir, &files(dir).unwrap()).unwrap();
}

/// As long as the version that is.
const OTHER: &str = "9.9.9";

/// The name of the build in a folder.
fn build(dir: &Path) -> String {
    let page = std::fs::read_to_string(dir.join("index.html")).unwrap();
    page.split_once("data-build=\"").unwrap().1.split_once('"').unwrap().0.to_owned()
}

/// Ends a server and waits until nobody answers there.
pub fn stop(server: Server) {
    let address = server.address();
    drop(server);
    let end = Instant::now() + PATIENCE;
    while TcpStream::connect(address).is_ok() {
        assert!(Instant::now() < end, "the server is still there");
        std::thread::sleep(Duration::from_millis(20));
    }
}

/// Serves again where a server was.
fn serve_again(dir: &Path, address: SocketAddr) -> Server {
    Server::start(TcpListener::bind(address).unwrap(), dir).unwrap()
}

/// Opens an address; whether the page starts there.
pub async fn starts(browser: &Browser, url: &str) -> bool {
    if browser.client.goto("about:blank").await.is_err() || browser.client.goto(url).await.is_err() {
        return false;
    }
    // WebKit calls a page of its own, which says that nobody answered, a success.
    if browser.js("return document.querySelector('#main') === null").await == json!(true) {
        return false;
    }
    browser.until(READY).await;
    true
}

/// Heading, version of the core that runs, and name of the build: what shows which build the page is.
async fn shown(browser: &Browser) -> Value {
    let core = "import(new URL('donorack.js', document.baseURI)).then((core) => core.version())";
    browser.js(&format!("return {core}.then((version) => [document.getElementById('car-title').textContent, version, document.documentElement.dataset.build])")).await
}

/// Every file as the page gets it, by its hash, against the list of a build's worker: the names of those that are not that build's.
pub async fn foreign(browser: &Browser, dir: &Path) -> Value {
    let worker = std::fs::read_to_string(dir.join("sw.js")).unwrap();
    let list = worker.split_once("const FILES = ").unwrap().1.split_once("];").unwrap().0.trim_end().trim_end_matches(',');
    let list: Vec<(String, String)> = serde_json::from_str(&format!("{list}]")).unwrap();
    assert!(list.len() > 15 && list.iter().any(|(name, _)| name == "donorack_bg.wasm") && list.iter().any(|(name, _)| name == "./"));
    let script = "return (async () => { const wrong = [];
        for (const [name, hash] of arguments[0]) {
            const bytes = await fetch(name).then((answer) => answer.arrayBuffer(), () => new ArrayBuffer(0));
            const digest = new Uint8Array(await crypto.subtle.digest('SHA-256', bytes));
            if (`sha256-${btoa(String.fromCharCode(...digest))}` !== hash) wrong.push(name);
        }
        return wrong; })();";
    browser.js_with(script, vec![json!(list)]).await
}

/// Scrolls something to the middle, where nothing lies over it, and taps it.
async fn tap(browser: &Browser, css: &str) {
    in_view(browser, css).await;
    browser.tap(css).await;
}

async fn in_view(browser: &Browser, css: &str) {
    browser.find(css).await;
    browser
        .js_with("document.querySelector(arguments[0]).scrollIntoView({ block: 'center', behavior: 'instant' })", vec![json!(css)])
        .await;
}

/// Types half a measurement into the empty page.
pub async fn half_typed(browser: &Browser) {
    tap(browser, "[data-do=start]").await;
    for (field, text) in [("[data-field='car.wheelbase']", "100"), (FIELD, HALF)] {
        in_view(browser, field).await;
        browser.write(field, text).await;
    }
    browser.js("window.same = 'page'").await;
}

/// What the half-typed field holds.
pub async fn half(browser: &Browser) -> Value {
    browser.js_with("return document.querySelector(arguments[0]).value", vec![json!(FIELD)]).await
}

/// Asks the server for a newer worker, as browsers do at every visit, and waits for what becomes of it: "installed", "redundant", "none".
async fn ask_for_newer(browser: &Browser) -> Value {
    let script = "return navigator.serviceWorker.getRegistration().then(async (held) => {
        await held.update();
        const worker = held.installing ?? held.waiting;
        if (!worker) return 'none';
        while (worker.state === 'installing') await new Promise((done) => worker.addEventListener('statechange', done, { once: true }));
        return worker.state;
    });";
    browser.js(script).await
}

/// Visits, types, and comes back when the server is gone: at once and with the browser started anew. Whether the page started each time.
async fn comes_back(name: &str, worker: bool) -> (bool, bool) {
    let dir = folder(name, "");
    if !worker {
        std::fs::remove_file(dir.join("sw.js")).unwrap();
    }
    let server = Server::local(&dir).unwrap();
    let url = server.url();
    let phone = Browser::open(Screen::Phone).await;
    assert!(starts(&phone, &url).await);
    if worker {
        phone.until(KEPT).await;
        assert_eq!(phone.complaints(), Vec::<String>::new());
    } else {
        // As long as the other takes, and more.
        tokio::time::sleep(Duration::from_secs(5)).await;
        assert_eq!(phone.js("return document.getElementById('offline').innerText").await, json!(""), "nothing is promised");
    }
    half_typed(&phone).await;
    stop(server);
    let first = starts(&phone, &url).await;
    if first {
        assert_eq!(half(&phone).await, json!(HALF));
        assert_eq!(foreign(&phone, &dir).await, json!([]));
        phone.until(KEPT).await;
        phone.screenshot("offline-phone").await;
    }
    let phone = phone.again(Screen::Phone).await;
    let second = starts(&phone, &url).await;
    if second {
        assert_eq!(half(&phone).await, json!(HALF));
        // Not only a picture of it: it works things out.
        tap(&phone, "[data-do=example]").await;
        phone.until("document.querySelector('[data-verdict]').textContent.length > 20").await;
        phone.until(KEPT).await;
    }
    (first, second)
}

#[tokio::test]
async fn starts_with_the_server_gone() {
    assert_eq!(comes_back("gone", true).await, (true, true));
}

/// The check above can fail: the same without the worker.
#[tokio::test]
async fn without_its_worker_it_does_not() {
    assert_eq!(comes_back("no-worker", false).await, (false, false));
}

#[tokio::test]
async fn a_new_version_waits_for_a_tap() {
    let (old, new) = (folder("old", ""), folder("new", ""));
    another(&new);
    let served = folder("update", "");
    let server = Server::local(&served).unwrap();
    let url = server.url();
    let phone = Browser::open(Screen::Phone).await;
    assert!(starts(&phone, &url).await);
    phone.until(KEPT).await;
    half_typed(&phone).await;
    copy(&new, &served).unwrap();
    assert_eq!(ask_for_newer(&phone).await, json!("installed"));
    phone.until(NEWER).await;
    // Nothing happens by itself; what is asked for meanwhile is the old build's, though the server has the new one.
    tokio::time::sleep(Duration::from_secs(2)).await;
    assert_eq!(phone.js("return window.same").await, json!("page"));
    assert_eq!(phone.js("return document.activeElement.dataset.field").await, json!("car.front_track"));
    assert_eq!(half(&phone).await, json!(HALF));
    assert_eq!(foreign(&phone, &old).await, json!([]));
    // Loading the page again is no tap either.
    phone.reload().await;
    phone.until(READY).await;
    assert_eq!(shown(&phone).await, json!(["Car", env!("CARGO_PKG_VERSION"), build(&old)]));
    assert_eq!(half(&phone).await, json!(HALF));
    phone.until(NEWER).await;
    phone.js("scrollTo(0, 0)").await;
    phone.screenshot("offline-newer-phone").await;
    // One more key, and the tap straight after it; the server has gone meanwhile.
    phone.find(FIELD).await.send_keys("1").await.unwrap();
    stop(server);
    tap(&phone, "#offline button").await;
    phone.until(&format!("document.documentElement.dataset.build === '{}' && {READY}", build(&new))).await;
    phone.until(KEPT).await;
    assert_eq!(shown(&phone).await, json!(["Other car", OTHER, build(&new)]));
    assert_eq!(half(&phone).await, json!(format!("{HALF}1")));
    assert_eq!(
        phone.js_with("return document.querySelector(arguments[0]).value", vec![json!("[data-field='car.wheelbase']")]).await,
        json!("100")
    );
    assert_eq!(foreign(&phone, &new).await, json!([]));
    assert_eq!(phone.js("return caches.keys().then((names) => names.length)").await, json!(1), "the old build is gone");
}

/// A server in the middle of being brought up to date has some files of each build: none of the new ones is taken.
#[tokio::test]
async fn half_a_new_version_is_none() {
    let served = folder("half", "");
    let whole = build(&served);
    let server = Server::local(&served).unwrap();
    let phone = Browser::open(Screen::Phone).await;
    assert!(starts(&phone, &server.url()).await);
    phone.until(KEPT).await;
    let new = folder("half-new", "");
    another(&new);
    for name in ["sw.js", "index.html", "words.js"] {
        std::fs::copy(new.join(name), served.join(name)).unwrap();
    }
    assert_eq!(ask_for_newer(&phone).await, json!("redundant"));
    assert!(starts(&phone, &server.url()).await);
    phone.until(KEPT).await;
    assert_eq!(shown(&phone).await, json!(["Car", env!("CARGO_PKG_VERSION"), whole]));
    assert_eq!(phone.js("return caches.keys().then((names) => names.length)").await, json!(1));
    // The rest comes, and with it the new version.
    copy(&new, &served).unwrap();
    assert_eq!(ask_for_newer(&phone).await, json!("installed"));
    phone.until(NEWER).await;
}

/// Two tabs: the one that was not tapped keeps its page, is told, and gets no core of another build.
#[tokio::test]
async fn another_tab_is_not_taken_along() {
    let served = folder("tabs", "");
    let server = Server::local(&served).unwrap();
    let desk = Browser::open(Screen::Desk).await;
    assert!(starts(&desk, &server.url()).await);
    desk.until(KEPT).await;
    let first = desk.client.window().await.unwrap();
    let old = build(&served);
    let second = desk.client.new_window(true).await.unwrap().handle;
    desk.client.switch_to_window(second).await.unwrap();
    assert!(starts(&desk, &server.url()).await);
    another(&served);
    assert_eq!(ask_for_newer(&desk).await, json!("installed"));
    desk.until(NEWER).await;
    tap(&desk, "#offline button").await;
    desk.until(&format!("document.documentElement.dataset.build === '{}' && {READY}", build(&served))).await;
    desk.client.switch_to_window(first).await.unwrap();
    desk.until(NEWER).await;
    assert_eq!(desk.js("return document.documentElement.dataset.build").await, json!(old));
    let core = desk
        .js_with(
            "return fetch(`donorack_bg.wasm?start=1&build=${arguments[0]}`).then((answer) => answer.status, () => 'none')",
            vec![json!(old)],
        )
        .await;
    assert_eq!(core, json!("none"));
    tap(&desk, "#offline button").await;
    desk.until(&format!("document.documentElement.dataset.build === '{}' && {READY}", build(&served))).await;
}

/// Two copies under one host, each with its own caches; neither takes the other's away, and each starts without a server.
#[tokio::test]
async fn two_copies_on_one_host() {
    let root = folder("host", "yard/one");
    copy(site(), &root.join("yard/two words")).unwrap();
    let server = Server::local(&root).unwrap();
    let (one, two) = (format!("{}yard/one/", server.url()), format!("{}yard/two%20words/", server.url()));
    let desk = Browser::open(Screen::Desk).await;
    for url in [&one, &two] {
        assert!(starts(&desk, url).await);
        desk.until(KEPT).await;
    }
    another(&root.join("yard/two words"));
    assert_eq!(ask_for_newer(&desk).await, json!("installed"));
    desk.until(NEWER).await;
    tap(&desk, "#offline button").await;
    desk.until(&format!("document.documentElement.dataset.build === '{}' && {READY}", build(&root.join("yard/two words")))).await;
    desk.until(KEPT).await;
    assert_eq!(
        desk.js("return caches.keys().then((names) => names.map((name) => name.split(' ')[1]).sort())").await,
        json!(["/yard/one/", "/yard/two%20words/"])
    );
    stop(server);
    for (url, version) in [(&one, env!("CARGO_PKG_VERSION")), (&two, OTHER)] {
        assert!(starts(&desk, &format!("{url}index.html?from=elsewhere")).await);
        assert_eq!(shown(&desk).await[1], json!(version));
    }
}

/// Over plain http to another address than one's own a browser offers no worker: the page works and promises nothing.
#[tokio::test]
async fn plain_http_in_the_local_network() {
    let server = Server::start(TcpListener::bind("0.0.0.0:0").unwrap(), site()).unwrap();
    let phone = Browser::open(Screen::Phone).await;
    assert!(starts(&phone, &format!("http://0.0.0.0:{}/", server.address().port())).await);
    assert_eq!(phone.js("return [isSecureContext, 'serviceWorker' in navigator]").await, json!([false, false]));
    tokio::time::sleep(Duration::from_secs(1)).await;
    assert_eq!(phone.js("return document.getElementById('offline').innerText").await, json!(""));
    assert_eq!(phone.complaints(), Vec::<String>::new());
}

/// What the browser offers to install: everything named is there and has the size that is said.
#[tokio::test]
async fn it_can_be_installed() {
    let desk = Browser::desk().await;
    desk.until(READY).await;
    let found = desk.cdp("Page.getAppManifest", json!({}));
    assert_eq!(found["errors"], json!([]), "{found}");
    assert!(found["url"].as_str().unwrap().ends_with("/manifest.webmanifest"), "{found}");
    let errors = desk.cdp("Page.getInstallabilityErrors", json!({}))["installabilityErrors"].clone();
    // A window without a profile of its own is the one thing that may be wrong here, and it is the test's.
    assert!(errors.as_array().unwrap().iter().all(|error| error["errorId"] == "in-incognito"), "{errors}");
    let manifest: Value = serde_json::from_str(found["data"].as_str().unwrap()).unwrap();
    for name in ["start_url", "scope"] {
        assert_eq!(manifest[name], json!("./"), "relative, for any path of a host");
    }
    let icons = manifest["icons"].as_array().unwrap();
    for (kind, purpose, size) in [("image/png", "any", 192), ("image/png", "maskable", 192)] {
        let icon =
            icons.iter().find(|icon| icon["type"] == kind && icon["purpose"] == purpose && icon["sizes"] == format!("{size}x{size}"));
        let name = icon.unwrap_or_else(|| panic!("no {purpose} icon of {size}"))["src"].as_str().unwrap();
        let png = std::fs::read(site().join(name)).unwrap();
        // PNG (ISO/IEC 15948), 11.2.2: width and height are the first two numbers of the header.
        let number = |at: usize| u32::from_be_bytes(png[at..at + 4].try_into().unwrap());
        assert_eq!((number(16), number(20)), (size, size), "{name}");
    }
    assert!(icons.iter().any(|icon| icon["type"] == "image/svg+xml"));
}

/// Ruins the memory of the core that runs, so that its next call stops: glue that is started a second time hands out its exports.
async fn ruin(browser: &Browser, starts: u32) {
    let name = if starts == 0 { String::new() } else { format!("?start={starts}&build=${{document.documentElement.dataset.build}}") };
    let script = format!(
        "return import(new URL(`donorack.js{name}`, document.baseURI)).then((core) => core.default())
        .then((core) => {{ new Uint8Array(core.memory.buffer).fill(255); }});"
    );
    // The next key is to meet it, not what follows in a pause.
    browser.settled().await;
    browser.js(&script).await;
}

/// What the bar says of a core that stopped.
fn says(sentence: &str) -> String {
    format!("document.getElementById('bar').innerText.includes('{sentence}')")
}

#[tokio::test]
async fn a_core_that_stops_is_replaced() {
    let phone = Browser::phone().await;
    phone.until(READY).await;
    half_typed(&phone).await;
    let under = "document.querySelector(\".field[data-path='car.front_track'] .under\").textContent.match(/= 13(79|80)/)";
    ruin(&phone, 0).await;
    phone.find(FIELD).await.send_keys("16 in").await.unwrap();
    phone.until(&says("The calculation stopped and was started again. What you typed is kept.")).await;
    assert_eq!(half(&phone).await, json!(format!("{HALF}16 in")));
    assert_eq!(phone.js("return window.same").await, json!("page"), "the page was not loaded again");
    // It works things out again: the other unit beneath, by the core.
    phone.until(under).await;
    assert_eq!(phone.complaints(), Vec::<String>::new());
    phone.reload().await;
    phone.until(READY).await;
    assert!(half(&phone).await.as_str().is_some_and(|text| text.starts_with(&format!("{HALF}16"))), "it was stored");
    phone.until(under).await;
    // What is done next takes the sentence away.
    ruin(&phone, 0).await;
    tap(&phone, "[data-units=inch]").await;
    phone.until(&says("started again")).await;
    tap(&phone, "[data-units=mm]").await;
    phone.until(&format!("!{}", says("started again"))).await;
}

/// Twice, the second time out of reach: the page says that, keeps what is typed, and the next key tries again.
#[tokio::test]
async fn a_core_that_is_out_of_reach_is_said_to_be() {
    let dir = folder("out-of-reach", "");
    std::fs::remove_file(dir.join("sw.js")).unwrap();
    let server = Server::local(&dir).unwrap();
    let (url, address) = (server.url(), server.address());
    let phone = Browser::open(Screen::Phone).await;
    assert!(starts(&phone, &url).await);
    half_typed(&phone).await;
    phone.until("performance.getEntriesByType('resource').some((file) => file.name.includes('start=1'))").await;
    stop(server);
    ruin(&phone, 0).await;
    phone.find(FIELD).await.send_keys("1").await.unwrap();
    phone.until(&says("was started again")).await;
    ruin(&phone, 1).await;
    phone.find(FIELD).await.send_keys("6").await.unwrap();
    phone.until(&says("could not be started again. What you typed is kept")).await;
    assert_eq!(half(&phone).await, json!(format!("{HALF}16")));
    let server = serve_again(&dir, address);
    tokio::time::sleep(Duration::from_secs(2)).await;
    phone.find(FIELD).await.send_keys(" in").await.unwrap();
    phone.until(&format!("!{}", says("could not be started"))).await;
    phone.until("document.querySelector(\".field[data-path='car.front_track'] .under\").textContent.match(/= 13(79|80)/)").await;
    phone.reload().await;
    phone.until(READY).await;
    assert!(half(&phone).await.as_str().is_some_and(|text| text.starts_with(&format!("{HALF}16"))), "it was stored");
    stop(server);
}

/// Nothing is asked of another host in a whole visit; one that is would be seen.
#[tokio::test]
async fn no_request_leaves_the_site() {
    let desk = Browser::desk().await;
    desk.until(KEPT).await;
    for press in [
        "[data-set-look=dark]",
        "[data-set-look=sun]",
        "[data-units=inch]",
        "[data-lock=right]",
        "[data-do=start]",
        "[data-do=add-rack]",
        "[data-do=share]",
    ] {
        tap(&desk, press).await;
    }
    desk.reload().await;
    desk.until(READY).await;
    let own = donorack_tests::browser::url();
    let elsewhere = |asked: Vec<String>| {
        asked.into_iter().filter(|address| !address.starts_with(&own) && !address.starts_with("data:")).collect::<Vec<_>>()
    };
    let asked = desk.requests();
    assert!(asked.iter().any(|address| address.ends_with("donorack_bg.wasm")), "{asked:?}");
    assert_eq!(elsewhere(asked), Vec::<String>::new());
    // From where no policy holds, one goes out and is seen; from the page the policy stops it.
    assert_eq!(desk.js("return fetch('http://192.0.2.1/').then(() => 'went', () => 'stopped')").await, json!("stopped"));
    assert!(desk.complaints().join("").contains("Content Security Policy"));
    desk.goto("words.js").await;
    desk.js("fetch('http://127.0.0.1:9/planted').catch(() => {})").await;
    assert_eq!(elsewhere(desk.requests()), ["http://127.0.0.1:9/planted"]);
}

/// Before the core has come, the page is there: header, heading, a word that it loads.
#[tokio::test]
async fn something_is_seen_before_the_core() {
    let dir = folder("no-core", "");
    std::fs::remove_file(dir.join("donorack_bg.wasm")).unwrap();
    std::fs::remove_file(dir.join("start.js")).unwrap();
    let server = Server::local(&dir).unwrap();
    let phone = Browser::open(Screen::Phone).await;
    phone.goto(&server.url()).await;
    assert_eq!(phone.text(".brand").await, "donorack");
    assert_eq!(phone.text("#first h2").await, "Which steering rack suits the car");
    assert!(phone.text("#first").await.contains("Loading the calculation"));
    phone.screenshot("offline-first-paint").await;
    // With the page's own script and without the core it says so, and promises nothing.
    copy(site(), &dir).unwrap();
    std::fs::remove_file(dir.join("donorack_bg.wasm")).unwrap();
    phone.goto(&server.url()).await;
    phone.until("document.getElementById('bar').innerText.includes('could not be loaded')").await;
    assert_eq!(phone.js("return document.getElementById('first')").await, Value::Null);
}

/// A query behind the page's address says nothing to the page and goes no further, whatever it is called.
#[tokio::test]
async fn a_query_in_the_address_changes_nothing_and_is_not_passed_on() {
    let server = Server::local(site()).unwrap();
    let phone = Browser::open(Screen::Phone).await;
    let link = Plan::from_json(r#"{"donorack": 1, "name": "Milk float", "car": {"wheelbase": "2500 mm"}}"#).unwrap().to_link();
    // The first time from the network, then from what the worker keeps.
    for kept in [false, true] {
        for query in ["?build=x", "?build=", "?start=2&build=0123456789ab", "?utm_source=forum"] {
            let url = format!("{}{query}#{link}", server.url());
            assert!(starts(&phone, &url).await, "{query}, kept: {kept}");
            let seen = phone.js("return [location.search, document.getElementById('plan-name').value]").await;
            assert_eq!(seen, json!(["", "Milk float"]), "{query}");
            // What sharing hands on; a copy of one's own has it in the address too.
            let shared = "return new Promise((done) => { navigator.share = undefined; Object.defineProperty(navigator, 'clipboard', { configurable: true, value: { writeText: async (text) => done(text) } }); document.querySelector('[data-do=share]').click(); });";
            let shared = phone.js(shared).await;
            let shared = shared.as_str().unwrap();
            assert!(!shared.contains('?') && shared.starts_with(&format!("{}#", server.url())), "{shared}");
        }
        if !kept {
            phone.until(KEPT).await;
        }
    }
    drop(server);
    let again = phone.js("return `${location.origin}/?build=y`").await;
    assert!(starts(&phone, again.as_str().unwrap()).await, "without signal");
}

/// A first visit on which one file does not come, or comes as the page of a network that wants a sign-in: the page says what to do. It
/// waits for it in no script, so it does not matter which of them it was.
#[tokio::test]
async fn what_does_not_come_is_said() {
    let dir = folder("missing", "");
    let server = Server::local(&dir).unwrap();
    let phone = Browser::open(Screen::Phone).await;
    let said = "const late = document.querySelector('.late'); const failed = document.querySelector('#bar [role=alert]');
        for (const animation of document.getAnimations()) animation.finish();
        return [late?.checkVisibility({ visibilityProperty: true }) ? late.textContent : '', failed?.textContent ?? ''].join(' ').trim()";
    let names: Vec<String> = files(&dir)
        .unwrap()
        .into_iter()
        .filter(|name| name.ends_with(".js") || name.ends_with(".wasm") || name.ends_with(".json"))
        .collect();
    assert!(names.len() > 25, "{names:?}");
    let mut seen = 0;
    for name in names.iter().filter(|name| *name != "sw.js") {
        let whole = std::fs::read(dir.join(name)).unwrap();
        for page in [None, Some("<!doctype html><title>Sign in</title><p>Welcome to our network.</p>")] {
            match page {
                None => std::fs::remove_file(dir.join(name)).unwrap(),
                Some(page) => std::fs::write(dir.join(name), page).unwrap(),
            }
            phone.client.goto(&server.url()).await.unwrap();
            phone.until("document.readyState === 'complete'").await;
            if name == "look.js" {
                // The look alone is missing: everything else works.
                phone.until(READY).await;
                // Nothing that this visit kept is in the way of the next.
                phone
                    .js("return navigator.serviceWorker.getRegistrations().then((all) => Promise.all(all.map((one) => one.unregister())))")
                    .await;
            } else {
                let mut told = String::new();
                for _ in 0..20 {
                    told = phone.js(said).await.as_str().unwrap().to_owned();
                    if !told.is_empty() {
                        break;
                    }
                    phone.until("new Promise((done) => setTimeout(() => done(true), 100))").await;
                }
                assert!(told.contains("Load the page again"), "{name}, {page:?}: {told:?}");
                assert_eq!(phone.js("return document.documentElement.dataset.ready ?? ''").await, json!(""), "{name}");
                seen += 1;
            }
        }
        std::fs::write(dir.join(name), whole).unwrap();
    }
    println!("{seen} first visits without a file, or with another in its place: each says what to do");
    // By itself it comes after some seconds, not sooner; and on a whole page never.
    std::fs::remove_file(dir.join("widgets/dom.js")).unwrap();
    phone.client.goto(&server.url()).await.unwrap();
    let seen = "getComputedStyle(document.querySelector('.late')).visibility === 'visible'";
    assert_eq!(phone.js(&format!("return {seen}")).await, json!(false));
    phone.until(seen).await;
    phone.screenshot("offline-late").await;
    copy(site(), &dir).unwrap();
    phone.client.goto(&server.url()).await.unwrap();
    phone.until(READY).await;
    assert_eq!(phone.js("return document.querySelector('.late') === null").await, json!(true));
}
