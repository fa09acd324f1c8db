//! How long the page takes in Chromium on a phone's screen: a plan evaluated, a key struck.
//!
//! `cargo bench -p donorack-tests --features browser`. `DONORACK_SITE` names a page that is already built.

use donorack_tests::browser::Browser;
use donorack_tests::samples::Samples;
use serde_json::{Value, json};

/// Everything that can be measured on a car and three racks, and every limit set.
const COMPLETE: &str = include_str!("../../crate/benches/complete.json");
/// The plan that the page opens with.
const EXAMPLE: &str = include_str!("../../www/page/example.json");

/// Milliseconds of one evaluation from nothing, results as objects included. Four in a row: the clock of a page has steps of 0.1 ms.
const EVALUATE: &str = "
    return (async ([plan]) => {
        const core = await import(new URL('donorack.js', document.baseURI));
        await core.default();
        const times = [];
        for (let n = 0; n < 60; n++) {
            const start = performance.now();
            for (let k = 0; k < 4; k++) {
                const session = new core.Session();
                session.open(plan);
                session.evaluate();
                session.free();
            }
            if (n >= 10) times.push((performance.now() - start) / 4);
        }
        return times;
    })(arguments);";

/// Milliseconds from a key in a field until script and layout are done, and of the chart's frame after it, with the chart in sight.
const KEYS: &str = "
    return (async ([path]) => {
        const frame = () => new Promise(requestAnimationFrame);
        const field = document.querySelector(`[data-field=\"${path}\"]`);
        const value = () => document.querySelector('[data-result*=\"circle_centre\"]').textContent;
        const seen = new Set();
        const times = [];
        for (let n = 0; n < 70; n++) {
            field.focus({ preventScroll: true });
            field.select();
            for (let k = 0; k < 3; k++) await frame();
            // The page scrolls to the field that has the focus: back to the chart.
            document.getElementById('toe').scrollIntoView({ block: 'center', behavior: 'instant' });
            for (let k = 0; k < 3; k++) await frame();
            let first, last;
            requestAnimationFrame(() => { first = performance.now(); });
            const start = performance.now();
            document.execCommand('insertText', false, String(2500 + 7 * n));
            document.body.offsetHeight;
            const done = performance.now();
            await new Promise((end) => requestAnimationFrame(() => { document.body.offsetHeight; last = performance.now(); end(); }));
            seen.add(value());
            if (n >= 10) times.push([done - start, last - first]);
        }
        return { times, seen: seen.size };
    })(arguments);";

#[tokio::main(flavor = "current_thread")]
async fn main() {
    let phone = Browser::phone().await;
    phone.until("document.documentElement.dataset.ready === 'yes'").await;
    for (what, plan) in [("three complete racks: evaluate, results as objects", COMPLETE), ("the page's example: the same", EXAMPLE)] {
        let times = phone.js_with(EVALUATE, vec![json!(plan)]).await;
        Samples::of(&times, Value::as_f64).say(what);
    }
    let keys = phone.js_with(KEYS, vec![json!("car.wheelbase")]).await;
    assert!(keys["seen"].as_u64() > Some(20), "the keys change what is shown: {}", keys["seen"]);
    let times = &keys["times"];
    Samples::of(times, |t| t[0].as_f64()).say("a key in the example: until script and layout are done");
    let chart = Samples::of(times, |t| t[1].as_f64());
    assert!(chart.median() > 0.2, "the chart is in sight and drawn");
    chart.say("the chart drawn in the frame after it");
    Samples::of(times, |t| Some(t[0].as_f64()? + t[1].as_f64()?)).say("both");
}
