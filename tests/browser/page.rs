//! The page starts: the core runs, nothing is complained of, the screen is the one asked for.

use donorack_tests::browser::{Browser, Screen, site};
use donorack_tests::picture::Picture;
use donorack_www::{Server, site::copy};
use serde_json::json;

/// The same module as the page's, so it answers only when the page itself has started it.
const VERSION: &str = "import(new URL('donorack.js', document.baseURI)).then((core) => core.version())";

#[tokio::test]
async fn starts_on_a_phone() {
    let phone = Browser::open(Screen::Sharp).await;
    phone.goto("").await;
    phone.until(VERSION).await;
    assert_eq!(phone.js(&format!("return {VERSION}")).await, json!(env!("CARGO_PKG_VERSION")));
    assert_eq!(phone.js("return [innerWidth, innerHeight, devicePixelRatio]").await, json!([390, 844, 3]));
    let picture = Picture::from_png(&phone.screenshot("start-phone").await);
    assert_eq!((picture.width, picture.height), (390 * 3, 844 * 3));
    assert_eq!(phone.complaints(), Vec::<String>::new());
}

#[tokio::test]
async fn starts_on_a_desk() {
    let desk = Browser::desk().await;
    desk.until(VERSION).await;
    assert_eq!(desk.js("return innerWidth").await, json!(1280));
    desk.screenshot("start-desk").await;
    assert_eq!(desk.complaints(), Vec::<String>::new());
}

/// The two checks above can fail: an untouched module has no core, and a complaint is heard.
#[tokio::test]
async fn what_goes_wrong_is_noticed() {
    let desk = Browser::open(Screen::Desk).await;
    desk.goto("donorack.js").await;
    assert_eq!(desk.js(&format!("return {VERSION}.then(() => 'runs', () => 'does not')")).await, json!("does not"));
    assert!(desk.complaints().join("").contains("favicon.ico"), "a bare script names no icon, so the browser asks for one in vain");
    desk.goto("").await;
    assert_eq!(desk.complaints(), Vec::<String>::new());
    desk.js("document.body.append(Object.assign(document.createElement('img'), { src: 'no-such-file.png' }))").await;
    desk.js("document.body.append(Object.assign(document.createElement('script'), { textContent: 'true' }))").await;
    desk.js("setTimeout(() => { throw new Error('on purpose'); })").await;
    desk.until("new Promise((done) => setTimeout(() => done(true), 300))").await;
    let heard = desk.complaints().join("\n");
    for part in ["no-such-file.png", "Content Security Policy", "on purpose"] {
        assert!(heard.contains(part), "{part} in: {heard}");
    }
}

/// The folder may be put anywhere on a host: nothing in it is looked for above it.
#[tokio::test]
async fn starts_under_any_path() {
    let root = std::env::temp_dir().join(format!("donorack-deep-{}", std::process::id()));
    copy(site(), &root.join("some/where/deep")).unwrap();
    let server = Server::local(&root).unwrap();
    let phone = Browser::open(Screen::Phone).await;
    phone.goto(&format!("{}some/where/deep/", server.url())).await;
    phone.until(VERSION).await;
    assert_eq!(phone.complaints(), Vec::<String>::new());
    let served = server.served();
    assert!(served.iter().all(|path| path.starts_with("/some/where/deep/")), "{served:?}");
    assert!(served.contains("/some/where/deep/donorack_bg.wasm"), "{served:?}");
    std::fs::remove_dir_all(&root).unwrap();
}
