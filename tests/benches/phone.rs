//! What a slow phone feels like: the axle under the slider, a key until its result is on the screen, a plan with many racks, a start
//! without signal.
//!
//! `cargo bench -p donorack-tests --features browser --bench phone`, in Chromium at 390 × 844 @3. The slowdown is Chromium's own
//! (DevTools, `Emulation.setCPUThrottlingRate`): it holds up the page's main thread, not the threads that fill pixels or run the worker.

use donorack_tests::browser::{Browser, Screen, site};
use donorack_tests::samples::Samples;
use donorack_www::Server;
use serde_json::{Value, json};
use std::time::Duration;

const READY: &str = "document.documentElement.dataset.ready === 'yes'";

/// Turns the steering wheel by the slider, an event before every frame as a finger makes them. A frame's work: from its first callback
/// to the first task after it, which is everything the main thread does for it (script, style, layout, paint). Also from frame to frame.
const WHEEL: &str = "
    return (async ([count]) => {
        const range = document.getElementById('turn');
        const caption = document.getElementById('axle-caption');
        document.getElementById('axle').scrollIntoView({ block: 'center', behavior: 'instant' });
        const { port1, port2 } = new MessageChannel();
        const task = () => new Promise((done) => { port1.onmessage = done; port2.postMessage(0); });
        const frame = () => new Promise((done) => requestAnimationFrame(async (due) => {
            const start = performance.now();
            await task();
            done([performance.now() - start, due]);
        }));
        const times = [];
        const seen = new Set();
        let last = 0;
        for (let n = -20; n < count; n++) {
            const drawn = frame();
            range.value = String(Math.round(950 * Math.sin(n / 17)));
            range.dispatchEvent(new Event('input', { bubbles: true }));
            const [work, due] = await drawn;
            if (n >= 0) times.push([work, due - last]);
            if (n >= 0) seen.add(caption.textContent);
            last = due;
        }
        return { times, seen: seen.size };
    })(arguments);";

/// Listens for keys. Of each: what the browser itself says (Event Timing: from the key to the picture handed over, in steps of 8 ms, from
/// 16 on), whether the turning circle in the strip is another one already in that picture, and when the next task has its turn: after
/// the frame and whatever the browser had queued by then, such as looking whether it could fill in a form.
const LISTEN: &str = "
    const figure = () => document.querySelectorAll('#strip .value')[2].textContent;
    const { port1, port2 } = new MessageChannel();
    const task = () => new Promise((done) => { port1.onmessage = done; port2.postMessage(0); });
    window.keys = { seen: 0, free: [], painted: [] };
    document.addEventListener('keydown', ({ timeStamp }) => {
        const before = figure();
        requestAnimationFrame(async () => {
            if (figure() !== before) window.keys.seen += 1;
            await task();
            window.keys.free.push(performance.now() - timeStamp);
        });
    }, true);
    new PerformanceObserver((list) => {
        for (const { name, duration } of list.getEntries()) if (name === 'keydown') window.keys.painted.push(duration);
    }).observe({ type: 'event', durationThreshold: 16 });";

/// Milliseconds that the page takes for a piece of work that is always the same.
async fn spin(browser: &Browser) -> f64 {
    let script = "const times = [];
        for (let n = 0; n < 9; n++) {
            const start = performance.now();
            for (let k = 0, x = 1; k < 5e5; k++) x = (x * 16807) % 2147483647;
            times.push(performance.now() - start);
        }
        return times.sort((a, b) => a - b)[4];";
    browser.js(script).await.as_f64().expect("a time")
}

/// How much slower the page is than it was; it must be slower at all. What holds it up needs the machine itself: on a busy one the page
/// is held up less than was asked for, and the figures are too good.
async fn slowed(browser: &Browser, rate: u32, fast: f64) -> f64 {
    let times = spin(browser).await / fast;
    assert!(rate == 1 || times > 1.5, "{rate} times slower: {times}");
    times
}

/// Slows the page down, from now on.
fn slow(browser: &Browser, rate: u32) {
    browser.cdp("Emulation.setCPUThrottlingRate", json!({ "rate": rate }));
}

async fn wheel(phone: &Browser, rate: u32, fast: f64) {
    slow(phone, rate);
    println!("{rate}×: measured {:.1}×", slowed(phone, rate, fast).await);
    phone.turn_to("#axle").await;
    let turned = phone.js_with(WHEEL, vec![json!(180)]).await;
    assert!(turned["seen"].as_u64() > Some(100), "the axle moves: {}", turned["seen"]);
    Samples::of(&turned["times"], |t| t[0].as_f64()).say(&format!("axle under the slider, {rate}×: work of a frame"));
    Samples::of(&turned["times"], |t| t[1].as_f64()).say(&format!("axle under the slider, {rate}×: from frame to frame"));
}

async fn keys(phone: &Browser, rate: u32, fast: f64) {
    slow(phone, rate);
    println!("{rate}×: measured {:.1}×", slowed(phone, rate, fast).await);
    phone.turn_to("[data-field='car.wheelbase']").await;
    phone.js("document.querySelector('[data-field=\"car.wheelbase\"]').scrollIntoView({ block: 'center', behavior: 'instant' }); window.keys.seen = window.keys.free.length = window.keys.painted.length = 0").await;
    let count = 35;
    // Nothing is asked of the page while it works: that would be work for it, too.
    let leave = Duration::from_millis(60 + 40 * u64::from(rate));
    for n in 0..count {
        // Hundreds of millimetres of the wheelbase, 3 to 7: no two alike in a row.
        phone.js("const field = document.querySelector('[data-field=\"car.wheelbase\"]'); field.focus({ preventScroll: true }); field.setSelectionRange(1, 2)").await;
        let digit = char::from(b'3' + n % 5).to_string();
        let code = format!("Digit{digit}");
        phone.cdp("Input.dispatchKeyEvent", json!({ "type": "keyDown", "key": digit, "text": digit, "code": code }));
        tokio::time::sleep(leave).await;
        phone.cdp("Input.dispatchKeyEvent", json!({ "type": "keyUp", "key": digit, "code": code }));
        phone.until(&format!("window.keys.free.length === {}", n + 1)).await;
    }
    let keys = phone.js("return new Promise((done) => setTimeout(() => done(window.keys), 200))").await;
    assert_eq!(keys["seen"], json!(count), "a key's result is in the first picture after it");
    // The first make the example one's own, and warm up.
    let late = |list: &Value| json!(list.as_array().map_or(&[][..], |all| &all[all.len().min(5)..]));
    let painted = late(&keys["painted"]);
    // Event Timing leaves out what took less than 16 ms: on a page as fast as that there is nothing to say.
    if rate > 1 || painted.as_array().is_some_and(|all| all.len() > usize::from(count) / 2) {
        let painted = Samples::of(&painted, Value::as_f64);
        painted.say(&format!("a key, {rate}×: until its result is painted, by Event Timing"));
        if rate == 10 {
            painted.judge(100.0);
        }
    }
    Samples::of(&late(&keys["free"]), Value::as_f64).say(&format!("a key, {rate}×: until the page can do something else"));
}

/// From the start of the navigation until the page can be worked with, and until something is seen, with the server gone.
async fn start_without_signal(phone: &Browser, url: &str, rate: u32, fast: f64) {
    slow(phone, rate);
    let (mut usable, mut painted, mut times) = (Vec::new(), Vec::new(), Vec::new());
    for _ in 0..9 {
        phone.goto("about:blank").await;
        phone.goto(url).await;
        phone.until(&format!("{READY} && performance.getEntriesByName('first-contentful-paint').length === 1")).await;
        let seen = phone.js("return [window.usable, performance.getEntriesByName('first-contentful-paint')[0].startTime]").await;
        usable.push(seen[0].as_f64().expect("a time"));
        painted.push(seen[1].as_f64().expect("a time"));
        // A page loaded anew is as slow as the one before.
        times.push(slowed(phone, rate, fast).await);
    }
    println!("{rate}×: measured {:.1}×", times.into_iter().collect::<Samples>().median());
    let usable: Samples = usable.into_iter().collect();
    usable.say(&format!("start without signal, {rate}×: until it can be used"));
    if rate == 4 {
        usable.judge(1000.0);
    }
    painted.into_iter().collect::<Samples>().say(&format!("start without signal, {rate}×: until something is seen"));
}

/// A plan whose racks are those of the example over and over, each with another travel and without a rack line.
fn many(racks: usize) -> Value {
    let mut plan: Value = serde_json::from_str(include_str!("../../www/page/example.json")).expect("the example is JSON");
    let all = plan["racks"].as_array().expect("racks").clone();
    let one = |i: usize| {
        let mut rack = all[i % all.len()].clone();
        rack["name"] = json!(format!("Rack number {i}"));
        rack["travel"] = json!(format!("{} mm", 120 + i % 40));
        rack
    };
    plan["racks"] = (0..racks).map(one).collect();
    plan["invented"] = json!(false);
    plan
}

/// What the page's one thread works for something, in milliseconds, from the call until it has been painted.
const WORKS: &str = "
    const { port1, port2 } = new MessageChannel();
    const task = () => new Promise((done) => { port1.onmessage = done; port2.postMessage(0); });
    window.works = async (what) => {
        const start = performance.now();
        await what();
        await new Promise((done) => requestAnimationFrame(done));
        await task();
        return performance.now() - start;
    };";

/// A plan with as many racks as one may have: opened by its link, a key in the car, a rack moved, a rack removed.
async fn full_plan(phone: &Browser, url: &str, rate: u32) {
    let link = donorack::Plan::from_json(&many(donorack::MOST_RACKS).to_string()).expect("a plan").to_link();
    let (mut opened, mut moved, mut removed) = (Vec::new(), Vec::new(), Vec::new());
    for _ in 0..5 {
        slow(phone, 1);
        phone.goto("about:blank").await;
        phone.goto(url).await;
        phone.until(READY).await;
        phone.js(WORKS).await;
        slow(phone, rate);
        let time = |value: Value| value.as_f64().expect("a time");
        let open = "return window.works(() => new Promise((done) => { addEventListener('hashchange', () => setTimeout(done), { once: true }); location.hash = arguments[0]; }))";
        opened.push(time(phone.js_with(open, vec![json!(link)]).await));
        phone.js("document.querySelector('[data-do=keep]').click(); return new Promise((done) => setTimeout(done, 1500))").await;
        let press = |what: &str, rack: usize| {
            format!("return window.works(() => document.querySelector('[data-do={what}][data-rack=\"{rack}\"]').click())")
        };
        phone.js("for (const n of [0, 63]) document.querySelector(`details.card[data-rack='${n}'] summary`).click()").await;
        moved.push(time(phone.js(&press("down-rack", 0)).await));
        removed.push(time(phone.js(&press("remove-rack", 63)).await));
    }
    for (what, times) in [("opened", opened), ("one moved", moved), ("one removed", removed)] {
        times.into_iter().collect::<Samples>().say(&format!("64 racks, {rate}×: {what}, until painted"));
    }
}

/// A key in the car with ever more racks: what the page works until its result is painted.
async fn keys_with(phone: &Browser, url: &str, racks: usize) {
    let link = donorack::Plan::from_json(&many(racks).to_string()).expect("a plan").to_link();
    slow(phone, 1);
    phone.goto("about:blank").await;
    phone.goto(&format!("{url}#{link}")).await;
    phone.until(READY).await;
    phone.js(WORKS).await;
    phone.js("document.querySelector('[data-do=keep]')?.click(); return new Promise((done) => setTimeout(done, 1000))").await;
    phone.turn_to("[data-field='car.wheelbase']").await;
    let mut times = Vec::new();
    for n in 0..25 {
        let key = "const n = document.querySelector('[data-field=\"car.wheelbase\"]'); n.focus({ preventScroll: true }); n.value = text;
            const time = await window.works(() => n.dispatchEvent(new Event('input', { bubbles: true }))); await new Promise((done) => setTimeout(done, 400)); return time;";
        let script = format!("return (async ([text]) => {{ {key} }})(arguments)");
        times.push(phone.js_with(&script, vec![json!((2500 + n).to_string())]).await.as_f64().expect("a time"));
    }
    times.drain(..5);
    times.into_iter().collect::<Samples>().say(&format!("a key in the car with {racks} racks: until painted"));
}

#[tokio::main(flavor = "current_thread")]
async fn main() {
    let server = Server::local(site()).expect("a free port");
    let url = server.url();
    let phone = Browser::open(Screen::Sharp).await;
    let watch =
        "new MutationObserver(() => { if (document.documentElement?.dataset.ready === 'yes') window.usable ??= performance.now(); })
        .observe(document, { attributes: true, subtree: true, attributeFilter: ['data-ready'] });";
    phone.cdp("Page.addScriptToEvaluateOnNewDocument", json!({ "source": watch }));
    phone.goto(&url).await;
    phone.until(READY).await;
    phone.until("document.getElementById('offline').dataset.state === 'ready'").await;
    let fast = spin(&phone).await;
    for rate in [1, 6] {
        wheel(&phone, rate, fast).await;
    }
    phone.js(LISTEN).await;
    for rate in [1, 10] {
        keys(&phone, rate, fast).await;
    }
    for racks in [3, 10, 30] {
        keys_with(&phone, &url, racks).await;
    }
    for rate in [1, 4] {
        full_plan(&phone, &url, rate).await;
    }
    drop(server);
    for rate in [1, 4] {
        start_without_signal(&phone, &url, rate, fast).await;
    }
}
