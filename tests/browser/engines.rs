//! The same page in every engine: one suite of checks, run in Chromium, in Firefox and in WebKit.
//!
//! Each check is the one that the other modules make in Chromium alone, where there is one. Firefox is looked at 500 pixels wide, its
//! narrowest; WebKit and Chromium on a phone.

use crate::hand::{Hand, SUITS, field, linked, plan, whole};
use crate::motion::{self, core, share, slide, stands};
use crate::room::every_kind_of_writing;
use crate::{chart, looks, offline, person, shown, vectors};
use donorack::{AxleDrawing, PARTS, Plan};
use donorack_tests::browser::{Browser, Screen};
use donorack_tests::engine::{Engine, Wants};
use donorack_tests::picture::Picture;
use donorack_www::Server;
use fantoccini::actions::{InputSource, KeyAction, KeyActions};
use serde_json::{Value, json};

// WebDriver's keys (section 17.4.2).
const TAB: char = '\u{e004}';
const ENTER: char = '\u{e007}';
const RIGHT: &str = "\u{e014}";
const HOME: &str = "\u{e011}";
const END: &str = "\u{e010}";

/// The example as the library has it.
fn example() -> Plan {
    Plan::from_json(include_str!("../../www/page/example.json")).unwrap()
}

/// The example opens: verdict, figures, nothing complained of, nothing too wide; what is wrong would be heard.
async fn the_example_opens(engine: Engine) {
    let mut hand = Hand::on_a(engine, Screen::Phone).await;
    hand.browser.until("document.querySelector('[data-verdict]') !== null").await;
    assert_eq!(hand.browser.js("return document.querySelector('[data-verdict]').dataset.kind").await, json!("fails"));
    for units in ["mm", "inch"] {
        hand.tap(&format!("[data-units={units}]")).await;
        let texts = shown::check(&hand.browser, &example(), units).await;
        println!("{engine}: {texts} texts of the example are the library's, {units}");
        hand.fits().await;
    }
    hand.content().await;
    // Everything within the content policy, and a breach of it, a file that is not there and an error are complained of.
    hand.browser.js("document.body.append(Object.assign(document.createElement('img'), { src: 'no-such-file.png' }))").await;
    hand.browser.js("document.body.append(Object.assign(document.createElement('script'), { textContent: 'true' }))").await;
    hand.browser.js("setTimeout(() => { throw new Error('on purpose'); })").await;
    let mut heard = String::new();
    let parts = ["no-such-file.png", "Content Security Policy", "on purpose"];
    for _ in 0..200 {
        heard += &hand.browser.complaints().join("\n");
        if parts.iter().all(|part| heard.contains(part)) {
            return;
        }
        hand.browser.until("new Promise((done) => setTimeout(() => done(true), 50))").await;
    }
    panic!("not all of {parts:?} in: {heard}");
}

/// axe finds nothing; in Chromium in every look.
async fn everybody_can_use_it(engine: Engine) {
    let hand = Hand::on_a(engine, Screen::Phone).await;
    let judged = if engine == Engine::Chromium { &looks::LOOKS[..] } else { &looks::LOOKS[..1] };
    looks::judge_in(&hand.browser, &format!("example-{engine}"), judged).await;
}

/// At 320 pixels nothing runs out sideways, in any look, with everything unfolded.
///
/// The window of Firefox is never narrower than 500 pixels, that of WebKit's small browser than 334: there the page stands in a frame.
async fn the_narrowest_phone(engine: Engine) {
    let screen = if engine == Engine::Chromium { Screen::Narrow } else { Screen::Phone };
    let mut hand = Hand::on_a(engine, screen).await;
    if engine != Engine::Chromium {
        hand.browser.open_in_a_frame(320, 568).await;
        hand.browser.until(motion::READY).await;
    }
    assert_eq!(hand.browser.js("return [innerWidth, innerHeight]").await, json!([320, 568]));
    for empty in [false, true] {
        if empty {
            hand.tap("[data-do=start]").await;
        }
        hand.browser.unfold().await;
        for look in looks::LOOKS {
            looks::set_look(&hand.browser, look).await;
            for part in PARTS {
                hand.part(part).await;
                hand.fits().await;
            }
        }
        hand.browser.screenshot(&format!("narrow-{engine}-{empty}")).await;
    }
    hand.content().await;
    // The check can fail.
    hand.browser.js("document.querySelector('#plan-name').style.minWidth = '340px'").await;
    assert!(hand.wide().await.is_err());
}

/// The independent solver's linkages, and whole plans against the native library: numbers, texts and all.
async fn the_core_computes_the_same(engine: Engine) {
    let hand = Hand::on_a(engine, Screen::Phone).await;
    vectors::linkages(&hand).await;
    let evaluate = "return (async ([plan]) => {
        const core = await import(new URL('donorack.js', document.baseURI));
        await core.default();
        const session = new core.Session();
        session.open(plan);
        return JSON.stringify(session.evaluate());
    })(arguments);";
    let mut leaves = 0;
    for file in [include_str!("../data/links/three-racks.json"), include_str!("../data/every-field.json")] {
        let native = serde_json::to_value(donorack::evaluate_shown(&Plan::from_json(file).unwrap())).unwrap();
        let seen = hand.browser.js_with(evaluate, vec![json!(file)]).await;
        leaves += same("", &serde_json::from_str(seen.as_str().unwrap()).unwrap(), &native);
    }
    assert!(leaves > 2000, "{leaves}");
    println!("{engine}: {leaves} numbers and texts of two plans are the native library's");
    hand.content().await;
}

/// Whether two values are the same, and how many leaves they have. Sines and cosines come from two libraries, which may differ in the
/// last digit of a double; a curve's steps multiply that, to 1e-9 of the number, or of 1 where it is smaller.
fn same(place: &str, seen: &Value, wanted: &Value) -> usize {
    match (seen, wanted) {
        (Value::Array(a), Value::Array(b)) if a.len() == b.len() => {
            a.iter().zip(b).enumerate().map(|(n, (a, b))| same(&format!("{place}[{n}]"), a, b)).sum()
        }
        (Value::Object(a), Value::Object(b)) if a.len() == b.len() => {
            b.iter().map(|(name, b)| same(&format!("{place}.{name}"), a.get(name).unwrap_or(&Value::Null), b)).sum()
        }
        (Value::Number(a), Value::Number(b)) => {
            let [a, b] = [a, b].map(|n| n.as_f64().unwrap());
            assert!((a - b).abs() <= 1e-9 * b.abs().max(1.0), "{place}: {a}, not {b}");
            1
        }
        _ => {
            assert_eq!(seen, wanted, "{place}");
            1
        }
    }
}

/// Nine numbers typed into the empty page; a step back; a reload; the link in somebody else's browser.
async fn ten_numbers_and_their_link(engine: Engine) {
    let mut hand = person::typed_on_a(engine, &SUITS, "suits", true).await;
    let wanted = plan(&SUITS.file());
    // A step back, and all the way to where it was.
    hand.side("racks.0.bar_moves", "left").await;
    assert_eq!(hand.browser.js("return document.querySelector('[data-verdict]').dataset.kind").await, json!("backwards"));
    hand.tap("[data-do=undo]").await;
    shown::check(&hand.browser, &wanted, "mm").await;
    // A reload keeps everything, half a number too, which one more step back takes away again.
    hand.write("car.wheelbase", &format!("{END} 3/")).await;
    let half = shown::read(&hand.browser).await["fields"].clone();
    hand.reload().await;
    let texts =
        |fields: &Value| fields.as_array().unwrap().iter().map(|f| json!([f["path"], f["text"], f["unit"], f["side"]])).collect::<Value>();
    assert_eq!(texts(&shown::read(&hand.browser).await["fields"]), texts(&half));
    assert!(texts(&half).to_string().contains("104 1/2 3/"), "{half}");
    hand.tap("[data-do=undo]").await;
    shown::check(&hand.browser, &wanted, "mm").await;
    let link = whole(hand.browser.client.current_url().await.unwrap().as_str());
    assert_eq!(linked(&link), wanted);
    // The button hands on the same address.
    hand.browser.js("Object.defineProperty(navigator, 'share', { value: undefined, configurable: true });
        Object.defineProperty(navigator, 'clipboard', { value: { writeText: async (text) => { window.given = text; } }, configurable: true });").await;
    hand.tap("[data-do=share]").await;
    hand.browser.until("window.given !== undefined").await;
    assert_eq!(hand.browser.js("return window.given").await, json!(link));
    hand.content().await;
    drop(hand);

    // A friend with a plan of their own.
    let mut friend = Hand::on_a(engine, Screen::Phone).await;
    friend.tap("[data-units=mm]").await;
    friend.tap("[data-do=start]").await;
    friend.write("car.wheelbase", "2410").await;
    friend.write("car.front_track", "54 5/").await;
    friend.browser.js("document.activeElement.blur()").await;
    let own = |hand: Value| hand["fields"].as_array().unwrap().iter().map(|f| json!([f["path"], f["text"], f["unit"]])).collect::<Value>();
    let (before, kept) = (own(shown::read(&friend.browser).await), friend.stored().await);
    friend.goto(&link).await;
    friend.browser.until("document.querySelector('[data-do=keep]') !== null").await;
    let texts = shown::check(&friend.browser, &wanted, "mm").await;
    println!("{engine}: {texts} texts are the same in the second profile");
    friend.browser.screenshot(&format!("friend-{engine}")).await;
    assert_eq!(friend.stored().await, kept);
    friend.tap("[data-do=back]").await;
    assert_eq!((own(shown::read(&friend.browser).await), friend.stored().await), (before.clone(), kept));
    friend.reload().await;
    assert_eq!(own(shown::read(&friend.browser).await), before);
    friend.content().await;
}

/// Where the six joints are on the screen must be where the core has them: the steering axes give the scale.
async fn drawn_to_scale(browser: &Browser, at: &AxleDrawing) {
    let seen = browser
        .js("return [...document.querySelectorAll('#axle .joint')].map((n) => n.getBoundingClientRect()).map((r) => [r.x + r.width / 2, r.y + r.height / 2])")
        .await;
    let seen: Vec<[f64; 2]> = serde_json::from_value(seen).unwrap();
    let wanted: Vec<[f64; 2]> = at.wheels.iter().flat_map(|w| [w.axis, w.rod_end, w.inner]).collect();
    assert_eq!(seen.len(), 6);
    let scale = (seen[3][0] - seen[0][0]) / (wanted[0][1] - wanted[3][1]);
    assert!(scale > 0.05, "{seen:?}");
    for (seen_at, wanted_at) in seen.iter().zip(&wanted) {
        let [x, y] = [seen[0][0] + (wanted[0][1] - wanted_at[1]) * scale, seen[0][1] + (wanted[0][0] - wanted_at[0]) * scale];
        // A browser may put a box to its nearest device pixel.
        assert!((seen_at[0] - x).hypot(seen_at[1] - y) < 0.5, "{seen_at:?}, not {:?}", [x, y]);
    }
}

/// The slider turns the axle as the core says, and ends where the core says, by hand and by key.
async fn the_slider_turns_the_axle(engine: Engine) {
    let browser = Browser::open_in(engine, Screen::Phone).await;
    browser.goto("").await;
    browser.until(motion::READY).await;
    let axle = core(1);
    browser.turn_to("#axle").await;
    browser.js("document.querySelector('#axle').scrollIntoView()").await;
    for value in [-1000, -420, 0, 1000] {
        slide(&browser, value).await;
        let at = axle.at(share(value)).unwrap();
        stands(&browser, &at).await;
        drawn_to_scale(&browser, &at).await;
        browser.screenshot(&format!("slider-{engine}-{value}")).await;
    }
    let range = browser.find("#turn").await;
    browser.js("document.querySelector('#turn').focus()").await;
    for (keys, share) in [(HOME, 1.0), (END, -1.0), (RIGHT, -1.0)] {
        range.send_keys(keys).await.unwrap();
        let at = axle.at(share).unwrap();
        stands(&browser, &at).await;
        drawn_to_scale(&browser, &at).await;
    }
    assert!(browser.text("#axle-caption").await.contains(axle.ends()[1].reason), "the end gives its reason");
    motion::marks(&browser).await;
    assert_eq!(browser.complaints(), [""; 0]);
}

/// Starts again with the server gone; and without the worker it does not.
async fn starts_without_a_server(engine: Engine) {
    for kept in [true, false] {
        let dir = offline::folder(&format!("{engine}-{kept}"), "");
        let server = Server::local(&dir).unwrap();
        let url = server.url();
        let browser = Browser::open_in(engine, Screen::Phone).await;
        browser.goto(&url).await;
        let listen = "window.said = new Set(); const line = document.getElementById('offline');
            new MutationObserver(() => window.said.add(line.innerText)).observe(line, { childList: true, attributes: true });";
        browser.js(listen).await;
        browser.until(offline::KEPT).await;
        let newer = "return [...window.said].filter((text) => text.includes('new version'))";
        assert_eq!(browser.js(newer).await, json!([]), "nothing is newer than the first of all");
        offline::half_typed(&browser).await;
        if !kept {
            // The control: the same way, but the worker and what it keeps are taken away.
            let gone = "return (async () => {
                const all = await navigator.serviceWorker.getRegistrations();
                const done = await Promise.all(all.map((held) => held.unregister()));
                for (const name of await caches.keys()) await caches.delete(name);
                return done;
            })();";
            assert_eq!(browser.js(gone).await, json!([true]));
        }
        offline::stop(server);
        assert_eq!(offline::starts(&browser, &url).await, kept, "with the worker: {kept}");
        if !kept {
            continue;
        }
        assert_eq!(offline::half(&browser).await, json!(offline::HALF));
        assert_eq!(offline::foreign(&browser, &dir).await, json!([]));
        // Not only a picture of it: it works things out.
        looks::tap(&browser, "[data-do=example]").await;
        browser.until("document.querySelector('[data-verdict]').textContent.length > 20").await;
        browser.until(offline::KEPT).await;
        browser.screenshot(&format!("offline-{engine}")).await;
    }
}

/// Presses one key, wherever the focus is.
async fn press(browser: &Browser, key: char) {
    let keys = KeyActions::new("keys".to_owned()).then(KeyAction::Down { value: key }).then(KeyAction::Up { value: key });
    browser.client.perform_actions(keys).await.unwrap_or_else(|e| panic!("{key:?}: {e}"));
}

/// Goes on with Tab until the focus is there, and seen to be.
async fn tab_to(browser: &Browser, css: &str) {
    for _ in 0..60 {
        press(browser, TAB).await;
        // A window that has just been given the focus may take a moment to show it.
        browser.until("[document.activeElement, document.activeElement.closest('.box')].some((n) => n && (n === document.body || getComputedStyle(n).outlineStyle !== 'none'))").await;
        if browser.js_with("return document.activeElement.matches(arguments[0])", vec![json!(css)]).await == json!(true) {
            return;
        }
    }
    panic!("Tab does not reach {css}");
}

/// Without a mouse or a finger: start, nine numbers' first three, a side, another unit.
async fn keys_alone(engine: Engine) {
    let hand = Hand::on_a(engine, Screen::Phone).await;
    let browser = &hand.browser;
    let value = async |path: &str| browser.js_with("return document.querySelector(arguments[0]).value", vec![json!(field(path))]).await;
    tab_to(browser, "[data-do=start]").await;
    press(browser, ENTER).await;
    browser.until("document.activeElement.dataset.field === 'car.wheelbase'").await;
    for key in "104 1/2".chars() {
        press(browser, key).await;
    }
    press(browser, ENTER).await;
    browser.until("document.activeElement.dataset.field === 'car.front_track'").await;
    for key in "56 1/8".chars() {
        press(browser, key).await;
    }
    assert_eq!([value("car.wheelbase").await, value("car.front_track").await], [json!("104 1/2"), json!("56 1/8")]);
    tab_to(browser, "[data-side='car.arm_fore_aft:behind']").await;
    press(browser, ' ').await;
    // The first choice of a side walks on to its number.
    browser.until("document.activeElement.dataset.field === 'car.arm_fore_aft'").await;
    press(browser, '5').await;
    let file = json!({ "donorack": 1, "car": { "wheelbase": "104 1/2 in", "front_track": "56 1/8 in", "arm_fore_aft": "5 in behind" }, "racks": [{}] });
    shown::check(browser, &plan(&file), "inch").await;
    hand.content().await;
}

/// Both charts, in each look: their strokes where root finding has them, and the page's own sharp and in the look's colours.
async fn both_charts_in_every_look(engine: Engine) {
    let browser = Browser::open_in(engine, Screen::Sharp).await;
    browser.goto("").await;
    browser.until(motion::READY).await;
    chart::strokes_lie_on_their_curves(&browser).await;
    chart::own_charts_are_sharp(&browser).await;
    assert_eq!(browser.complaints(), Vec::<String>::new());
}

/// What the system wants holds from the first moment: dark, nothing that moves, its own colours where an engine has such a thing.
async fn the_system_has_its_way(engine: Engine) {
    let forced = engine != Engine::WebKit;
    for wants in [Wants { dark: true, still: true, forced: false }, Wants { dark: true, still: true, forced: true }] {
        if wants.forced && !forced {
            continue;
        }
        let browser = Browser::that_wants(engine, Screen::Phone, wants).await;
        browser.goto("").await;
        browser.until(motion::READY).await;
        let asked = "return ['(prefers-color-scheme: dark)', '(prefers-reduced-motion: reduce)', '(forced-colors: active)'].map((query) => matchMedia(query).matches)";
        assert_eq!(browser.js(asked).await, json!([true, true, wants.forced]));
        assert_eq!(browser.js("return document.documentElement.dataset.look").await, json!("dark"));
        let name = if wants.forced { "forced" } else { "dark" };
        browser.screenshot(&format!("wants-{engine}-{name}")).await;
        let mut letters = 0;
        for part in PARTS {
            browser.turn_to(&format!(".part[data-part={part}] h2")).await;
            browser.screenshot(&format!("wants-{engine}-{name}-{part}")).await;
            let seen: Value = serde_json::from_value(browser.js(USABLE).await).unwrap();
            assert_eq!(seen["pale"], json!([]), "{part}: letters stand out from what is behind them");
            letters += seen["letters"].as_u64().unwrap();
            assert_eq!(seen["bare"], json!([]), "{part}: what can be pressed or filled has an edge");
            assert!(seen["drawn"].as_f64().unwrap() > 120.0, "the drawing stands out: {seen}");
            assert_eq!(seen["moving"], json!(0), "nothing moves");
        }
        assert!(letters > 200, "{letters}");
        slider_is_seen(&browser, &format!("wants-{engine}-{name}-slider")).await;
        assert_eq!(browser.complaints(), [""; 0]);
    }
}

/// The slider, which stands at its left end, has a knob there, and a rail to its right, both unlike the ground beside them.
async fn slider_is_seen(browser: &Browser, name: &str) {
    browser.turn_to("#turn").await;
    let place = "const r = document.querySelector('#turn'); r.scrollIntoView({ block: 'center', behavior: 'instant' });
        const frame = () => new Promise(requestAnimationFrame);
        return frame().then(frame).then(() => {
            const { x, y, width, height } = r.getBoundingClientRect();
            return [x, y, width, height].map((v) => v * devicePixelRatio);
        });";
    let [x, y, width, height]: [f64; 4] = serde_json::from_value(browser.js(place).await).unwrap();
    let picture = Picture::from_png(&browser.screenshot(name).await);
    let at = |across: f64, down: f64| picture.at((x + across) as usize, (y + down) as usize);
    let apart = |a: [u8; 4], b: [u8; 4]| a.iter().zip(b).map(|(a, b)| a.abs_diff(b)).max().unwrap();
    // The knob is two thirds as wide as the slider is high.
    let (knob, rail, ground) = (at(height / 3.0, height / 2.0), at(width * 0.75, height / 2.0), at(width * 0.75, height * 0.1));
    assert!(apart(knob, ground) > 60 && apart(rail, ground) > 60 && apart(knob, rail) > 30, "{knob:?} {rail:?} {ground:?}");
}

/// Of everything that is shown: letters hardly lighter or darker than their ground; buttons and fields without an edge of their own or of
/// the box they stand in; what moves; how far the drawing's tyres stand out.
const USABLE: &str = "
    const rgb = (colour) => (colour.match(/[\\d.]+/g) ?? [0, 0, 0, 0]).map(Number);
    const clear = (colour) => colour === 'transparent' || (rgb(colour).length > 3 && rgb(colour)[3] === 0);
    const linear = (v) => (v / 255 <= 0.04045 ? v / 255 / 12.92 : ((v / 255 + 0.055) / 1.055) ** 2.4);
    const light = (colour) => { const [r, g, b] = rgb(colour); return 0.2126 * linear(r) + 0.7152 * linear(g) + 0.0722 * linear(b); };
    const ground = (n) => {
        if (!n) return 'rgb(255, 255, 255)';
        const { backgroundColor } = getComputedStyle(n);
        if (clear(backgroundColor)) return ground(n.parentElement);
        const [r, g, b, a = 1] = rgb(backgroundColor);
        const [under, share] = [rgb(ground(a < 1 ? n.parentElement : null)), (over, under) => over * a + under * (1 - a)];
        return `rgb(${share(r, under[0])}, ${share(g, under[1])}, ${share(b, under[2])})`;
    };
    const contrast = (a, b) => { const [x, y] = [light(a), light(b)].sort((p, q) => q - p); return (x + 0.05) / (y + 0.05); };
    const seen = (n) => n.checkVisibility({ visibilityProperty: true }) && !n.closest('.sr, svg') && n.getBoundingClientRect().width > 1;
    const texts = [...document.querySelectorAll('body *')].filter((n) => seen(n) && !n.matches(':disabled') && [...n.childNodes].some((c) => c.nodeType === 3 && c.data.trim()));
    const pale = texts.filter((n) => contrast(getComputedStyle(n).color, ground(n)) < 4.5).map((n) => n.outerHTML.slice(0, 100));
    const lined = (s) => ['Top', 'Bottom'].some((side) => s[`border${side}Style`] !== 'none' && parseFloat(s[`border${side}Width`]) > 0 && !clear(s[`border${side}Color`]));
    const edged = (n) => lined(getComputedStyle(n)) || lined(getComputedStyle(n, '::before'));
    const held = (n) => n !== document.body && (edged(n) || (n.parentElement.closest('.box, .pair, .scroll, .field, .strip, .parts') && held(n.parentElement)));
    const bare = [...document.querySelectorAll('button, input:not([type=range]), textarea')].filter((n) => seen(n) && !held(n)).map((n) => n.outerHTML.slice(0, 100));
    const first = (colour) => Math.max(...rgb(colour).slice(0, 3));
    const moving = [...document.querySelectorAll('body *')].filter((n) => getComputedStyle(n).transitionDuration !== '0s' || getComputedStyle(n).animationName !== 'none').length;
    const drawn = first(getComputedStyle(document.querySelector('#axle .tyre')).stroke) - first(ground(document.querySelector('#axle')));
    return { pale: pale.slice(0, 5), letters: texts.length, bare: bare.slice(0, 5), drawn, moving };";

macro_rules! in_engine {
    ($name:ident, $engine:expr, $($check:ident),*) => {
        mod $name {
            use donorack_tests::engine::Engine;
            $(#[tokio::test]
            async fn $check() {
                super::$check($engine).await;
            })*
        }
    };
}

macro_rules! in_every_engine {
    ($($check:ident),*) => {
        in_engine!(firefox, Engine::Firefox, $($check),*);
        in_engine!(webkit, Engine::WebKit, $($check),*);
        in_engine!(chromium, Engine::Chromium, $($check),*);
    };
}

in_every_engine!(
    the_example_opens,
    everybody_can_use_it,
    the_narrowest_phone,
    the_core_computes_the_same,
    ten_numbers_and_their_link,
    the_slider_turns_the_axle,
    starts_without_a_server,
    keys_alone,
    both_charts_in_every_look,
    every_kind_of_writing,
    the_system_has_its_way
);
