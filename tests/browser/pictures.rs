//! The pictures in the README: made of the page as it is, and those in `docs` are still of this page.
//!
//! `DONORACK_PICTURES=1` writes `docs/phone.png` and `docs/desk.png` anew; otherwise they are only compared, and what was made lies in
//! `target/screenshots`.

use donorack_tests::browser::{Browser, Screen};
use donorack_tests::picture::Picture;
use serde_json::json;

/// The letters that the tests install, so that a picture does not depend on what else a machine has.
const LETTERS: &str = "Liberation Sans";
/// Squares in which pictures are compared, pixels of a picture.
const CELL: usize = 15;
/// How far apart the means of squares may lie on average, of 255, and what share of them by more than 25. Tried: letters hinted fully or
/// not at all, 0.3 and none; a wider margin above headings, out of sight on two of three screens, 6; rows less high, 3.6 and 5 %;
/// letters half a pixel larger, 16 and 20 %; the dark look, 190 and all.
const ALIKE: (f64, f64) = (1.2, 0.02);

/// The example in the light look, in these units and these letters.
async fn page(screen: Screen, units: &str) -> Browser {
    let browser = Browser::open(screen).await;
    // A chart's letters are named by the script that draws it.
    let letters = "const given = Object.getOwnPropertyDescriptor(CanvasRenderingContext2D.prototype, 'font');
        Object.defineProperty(CanvasRenderingContext2D.prototype, 'font', {
            get() { return given.get.call(this); },
            set(font) { given.set.call(this, font.replace('system-ui', '\"LETTERS\"')); },
        });";
    browser.cdp("Page.addScriptToEvaluateOnNewDocument", json!({ "source": letters.replace("LETTERS", LETTERS) }));
    if screen == Screen::Desk {
        // The window's own parts are no part of it, and it is sharp enough to be shown small.
        browser
            .cdp("Emulation.setDeviceMetricsOverride", json!({ "width": 1280, "height": 800, "deviceScaleFactor": 1.5, "mobile": false }));
        browser.cdp("Emulation.setScrollbarsHidden", json!({ "hidden": true }));
    }
    browser.goto("").await;
    browser.until("document.documentElement.dataset.ready === 'yes'").await;
    browser.until("document.getElementById('offline').dataset.state === 'ready'").await;
    browser.js_with("document.body.style.fontFamily = `'${arguments[0]}'`", vec![json!(LETTERS)]).await;
    assert_eq!(browser.js("return document.documentElement.dataset.look").await, json!("light"));
    let there = "const pen = document.createElement('canvas').getContext('2d');
        const wide = (font) => { pen.font = `16px ${font}`; return pen.measureText('illimitable').width; };
        return wide(`'${arguments[0]}', monospace`) !== wide('monospace');";
    assert_eq!(browser.js_with(there, vec![json!(LETTERS)]).await, json!(true), "{LETTERS} is installed");
    browser.js_with("document.querySelector(`[data-units=${arguments[0]}]`).click()", vec![json!(units)]).await;
    browser
}

/// One screen: scrolled until `top` begins a little below its upper edge, with everything of `shows` whole and in sight.
async fn screen(browser: &Browser, name: &str, top: Option<&str>, shows: &[&str]) -> Picture {
    if let Some(top) = top {
        browser.turn_to(top).await;
    }
    let scroll = "const strip = matchMedia('(min-width: 60rem)').matches ? 0 : document.querySelector('#strip').offsetHeight;
        const top = arguments[0] ? document.querySelector(arguments[0]).getBoundingClientRect().top + scrollY - strip - 12 : 0;
        scrollTo({ top, behavior: 'instant' });";
    browser.js_with(scroll, vec![json!(top)]).await;
    // The charts are drawn when they come near, in the frame after.
    browser
        .until("new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(() => requestAnimationFrame(() => done(true)))))")
        .await;
    let hidden = "return arguments[0].filter((css) => {
            const part = document.querySelector(css);
            const { left, right, top, bottom } = part.getBoundingClientRect();
            const hit = document.elementFromPoint((left + right) / 2, bottom - 3);
            return !(left >= 0 && right <= innerWidth && top >= 0 && bottom <= innerHeight && right > left && (part.contains(hit) || hit?.contains(part)));
        }).concat(document.scrollingElement.scrollWidth > innerWidth ? ['the page runs out sideways'] : [])";
    assert_eq!(browser.js_with(hidden, vec![json!(shows)]).await, json!([]), "{name}");
    Picture::from_png(&browser.screenshot(name).await)
}

/// Three screens of a phone: what the racks come to, the verdict with the axle that turns, the curve.
async fn phone(browser: &Browser) -> Picture {
    browser.turn_to("#compare-table").await;
    // The columns beside the questions begin with the rack that suits.
    browser.js("const table = document.getElementById('compare-table'); table.scrollLeft = document.querySelector('[data-choose=\"1\"]').closest('th').offsetLeft - table.querySelector('th').offsetWidth").await;
    let first = screen(browser, "picture-phone-1", Some("#compare"), &["[data-choose='1']", "#strip", "#parts"]).await;
    let second = screen(browser, "picture-phone-2", Some(".sheet:has(> #verdict)"), &["[data-verdict]", "#strip"]).await;
    let third = screen(browser, "picture-phone-3", Some(".sheet:has(#toe)"), &["#toe", "#toe-here", "#strip"]).await;
    let ink = inked(browser, &third).await;
    assert!(ink > 0.01, "the curve is drawn: {ink}");
    assert_eq!(browser.js("return document.getElementById('toe-dot').hidden").await, json!(false), "and marked");
    Picture::beside(&[first, second, third].map(|screen| screen.reduced(2)), 30)
}

/// What a desk shows first.
async fn desk(browser: &Browser) -> Picture {
    let racks = ["[data-choose='0']", "[data-choose='1']", "[data-choose='2']"];
    screen(browser, "picture-desk", None, &[&racks[..], &["#car-form svg", "#compare-table [data-result]", "#strip"]].concat()).await
}

/// How much of the chart, as it is seen, has the colour of the letters: the stroke of this rack.
async fn inked(browser: &Browser, seen: &Picture) -> f64 {
    let place = browser.js("const r = document.getElementById('toe').getBoundingClientRect(); return [r.left, r.top, r.right, r.bottom].map((n) => Math.round(n * devicePixelRatio))").await;
    let [left, top, right, bottom] = [0, 1, 2, 3].map(|n| usize::try_from(place[n].as_u64().unwrap()).unwrap());
    let ink = (top..bottom).flat_map(|y| (left..right).map(move |x| (x, y))).filter(|&(x, y)| seen.at(x, y)[..3] == [0x16, 0x23, 0x2b]);
    ink.count() as f64 / ((right - left) * (bottom - top)) as f64
}

/// Whether two pictures are of the same page, whatever drew the letters.
fn alike(one: &Picture, two: &Picture) -> Result<(), String> {
    if (one.width, one.height) != (two.width, two.height) {
        return Err(format!("{} × {} against {} × {} pixels", one.width, one.height, two.width, two.height));
    }
    let (mean, share) = one.apart(two, CELL);
    if mean > ALIKE.0 || share > ALIKE.1 {
        Err(format!("{mean:.2} apart, {:.1} % of the squares by more than 25", share * 100.0))
    } else {
        Ok(())
    }
}

/// The picture as it is kept in `docs`, written there first if that is asked for.
fn kept(name: &str, made: &Picture) -> Picture {
    let small = made.small_png();
    std::fs::write(donorack_www::target().join("screenshots").join(format!("{name}.png")), &small).unwrap();
    let path = donorack_www::workspace().join("docs").join(format!("{name}.png"));
    if std::env::var_os("DONORACK_PICTURES").is_some_and(|value| value == "1") {
        std::fs::write(&path, &small).unwrap();
    }
    let png = std::fs::read(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
    assert!(png.len() < 250_000, "{name}.png is a picture for a README: {} bytes", png.len());
    Picture::from_png(&png)
}

const STALE: &str = "the page has changed; DONORACK_PICTURES=1 writes the README's pictures anew, look at them";

#[tokio::test]
async fn a_phone_as_in_the_readme() {
    let browser = page(Screen::Sharp, "mm").await;
    let made = phone(&browser).await;
    assert_eq!(browser.complaints(), Vec::<String>::new());
    assert_eq!(alike(&made, &kept("phone", &made)), Ok(()), "{STALE}");
}

#[tokio::test]
async fn a_desk_as_in_the_readme() {
    let browser = page(Screen::Desk, "inch").await;
    let made = desk(&browser).await;
    assert_eq!(browser.complaints(), Vec::<String>::new());
    let kept = kept("desk", &made);
    assert_eq!(alike(&made, &kept), Ok(()), "{STALE}");
    // Heavier letters, as another system draws them, are the same page; another size of them, lower rows, the dark look are not.
    let styled = async |style: &str| {
        browser.js(&format!("const all = (css, part, value) => {{ for (const one of document.querySelectorAll(css)) one.style[part] = value; }}; {style}")).await;
        desk(&browser).await
    };
    let heavier = styled("all('body', 'webkitTextStroke', '0.15px')").await;
    assert_ne!(heavier.rgba, made.rgba);
    assert_eq!(alike(&heavier, &kept), Ok(()));
    let lower = styled("all('body', 'webkitTextStroke', ''); all('th, td', 'paddingBlock', '2px')").await;
    assert!(alike(&lower, &kept).is_err());
    let larger = styled("all('th, td', 'paddingBlock', ''); all('html', 'fontSize', '16.5px')").await;
    assert!(alike(&larger, &kept).is_err());
    let dark = styled("all('html', 'fontSize', ''); document.querySelector('[data-set-look=dark]').click()").await;
    assert!(alike(&dark, &kept).is_err());
}
