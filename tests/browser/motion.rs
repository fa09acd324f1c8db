//! The moving axle in the page: slider, steps, keys and typed angles against the core's own positions, the marks on the charts.

use donorack::{Axle, AxleDrawing, Plan};
use donorack_tests::browser::{Browser, Screen};
use serde_json::{Value, json};

pub const READY: &str = "document.documentElement.dataset.ready === 'yes' && document.querySelector('#axle .angle')";
// WebDriver's keys (section 17.4.2).
const LEFT: &str = "\u{e012}";
const RIGHT: &str = "\u{e014}";
const HOME: &str = "\u{e011}";
const END: &str = "\u{e010}";
const TAB: &str = "\u{e004}";

/// The example's rack of that index, in the core.
pub fn core(rack: usize) -> Axle {
    Axle::new(&Plan::from_json(include_str!("../../www/page/example.json")).unwrap(), rack).unwrap()
}

async fn page(screen: Screen) -> Browser {
    let browser = Browser::open(screen).await;
    browser.goto("").await;
    browser.until(READY).await;
    browser.turn_to("#axle").await;
    browser
}

/// Waits for the drawing to say what the core says there, then compares everything that is written about it.
pub async fn stands(browser: &Browser, at: &AxleDrawing) {
    let units = browser.js("return document.querySelector('[data-units][aria-pressed=true]').dataset.units").await;
    let text = |t: &donorack::Text| if units == "inch" { t.inch.clone() } else { t.mm.clone() };
    browser.until(&format!("document.querySelector('#axle-caption').textContent === {}", json!(text(&at.caption)))).await;
    let seen = browser
        .js("const text = (css) => document.querySelector(css).textContent;
            const angles = [...document.querySelectorAll('#axle .angle')].map((n) => n.textContent);
            return [angles, text('#axle .tight'), document.querySelector('#turn').getAttribute('aria-valuetext'), text('#toe-here'), text('#ratio-here'), text('#meeting')];")
        .await;
    let angles: Vec<&str> = at.wheels.iter().map(|w| w.text.as_str()).collect();
    let [caption, toe, ratio, meeting] = [&at.caption, &at.toe_out_text, &at.ratio_text, &at.meeting].map(text);
    assert_eq!(seen, json!([angles, at.tight_text, caption, toe, ratio, meeting]));
}

pub async fn slide(browser: &Browser, value: i32) {
    let script =
        "const r = document.querySelector('#turn'); r.value = arguments[0]; r.dispatchEvent(new Event('input', { bubbles: true }))";
    browser.js_with(script, vec![json!(value.to_string())]).await;
}

/// A share of the travel at which a slider with the left side at −1000 stands.
pub fn share(value: i32) -> f64 {
    -f64::from(value) / 1000.0
}

#[tokio::test]
async fn the_slider_turns_the_axle_as_the_core_does() {
    let browser = page(Screen::Phone).await;
    let axle = core(1);
    stands(&browser, &axle.at(1.0).unwrap()).await;
    for value in [-1000, -420, 0, 333, 1000] {
        slide(&browser, value).await;
        stands(&browser, &axle.at(share(value)).unwrap()).await;
    }
    // The drawing is moved, not made again.
    browser.js("document.querySelector('#axle svg').dataset.kept = 'yes'").await;
    slide(&browser, -100).await;
    stands(&browser, &axle.at(share(-100)).unwrap()).await;
    assert_eq!(browser.js("return document.querySelector('#axle svg').dataset.kept").await, "yes");
    let ends = browser.js("return [...document.querySelectorAll('#ends li')].map((n) => n.textContent)").await;
    let wanted = axle.ends();
    assert!(ends == json!([wanted[0].text.mm, wanted[1].text.mm]) || ends == json!([wanted[0].text.inch, wanted[1].text.inch]), "{ends}");
    assert!(wanted[0].text.mm.contains("rack’s own end"), "{wanted:?}");
    browser.js("document.querySelector('#axle').scrollIntoView()").await;
    browser.screenshot("motion-phone").await;
    assert_eq!(browser.complaints(), [""; 0]);
}

#[tokio::test]
async fn steps_keys_and_typed_angles() {
    let browser = page(Screen::Desk).await;
    let axle = core(1);
    let range = browser.find("#turn").await;
    browser.js("document.querySelector('#turn').focus()").await;
    let mut at = 1.0;
    for (key, by) in [(RIGHT, -1.0), (RIGHT, -1.0), (LEFT, 1.0), (RIGHT, -1.0)] {
        range.send_keys(key).await.unwrap();
        at = axle.stepped(at, by);
        stands(&browser, &axle.at(at).unwrap()).await;
    }
    for (key, share) in [(END, -1.0), (HOME, 1.0)] {
        range.send_keys(key).await.unwrap();
        stands(&browser, &axle.at(share).unwrap()).await;
    }
    browser.js("document.querySelector('[data-step=right]').click()").await;
    stands(&browser, &axle.at(axle.stepped(1.0, -1.0)).unwrap()).await;

    let at = |degrees: f64| axle.at(axle.share(degrees).unwrap()).unwrap();
    browser.js("document.querySelector('#turn-typed').scrollIntoView({ block: 'center' })").await;
    browser.write("#turn-typed", "90").await;
    stands(&browser, &at(90.0)).await;
    browser.js("document.querySelector('[data-turn=right]').click()").await;
    stands(&browser, &at(-90.0)).await;
    browser.write("#turn-typed", "3/4 turns").await;
    stands(&browser, &at(-270.0)).await;
    // Past the end: the end, and its reason. The text is kept.
    browser.write("#turn-typed", &format!("900{TAB}")).await;
    stands(&browser, &axle.at(-1.0).unwrap()).await;
    browser.until("document.querySelector('#turn-problem').textContent.includes('past the end')").await;
    let problem = browser.text("#turn-problem").await;
    assert!(problem.contains(axle.ends()[1].reason), "{problem}");
    assert_eq!(browser.js("return document.querySelector('#turn-typed').value").await, "900");
    // What may mean two things is asked about.
    browser.write("#turn-typed", &format!("1,234{TAB}")).await;
    browser.until("document.querySelector('#turn-problem').textContent.includes('1.234')").await;
    // The slider takes over.
    slide(&browser, 0).await;
    stands(&browser, &axle.at(0.0).unwrap()).await;
    browser.until("document.querySelector('#turn-typed').value === '0' && document.querySelector('#turn-problem').hidden").await;
    assert_eq!(browser.complaints(), [""; 0]);
}

#[tokio::test]
async fn a_rack_that_steers_backwards_is_seen_to() {
    let browser = page(Screen::Phone).await;
    let drawn = "return ['.goes.wrong', '.goes.wanted'].map((css) => [...document.querySelectorAll(`#axle ${css}`)].some((n) => getComputedStyle(n).display !== 'none'))";
    assert_eq!(browser.js(drawn).await, json!([false, false]));
    browser.js("document.querySelector('[data-pick=\"2\"]').click()").await;
    let at = core(2).at(1.0).unwrap();
    assert_eq!((at.turned, at.bar, at.inner), ("left", "left", "right"));
    stands(&browser, &at).await;
    assert_eq!(browser.js(drawn).await, json!([true, true]));
    assert!(browser.text("#axle-caption").await.contains("it steers backwards"));
    browser.js("document.querySelector('#axle').scrollIntoView()").await;
    browser.screenshot("motion-backwards").await;
}

/// Under each mark lies the curve's own stroke; ten CSS pixels above it there is none.
const UNDER: &str = "return ['toe', 'ratio'].map((id) => {
    const canvas = document.querySelector(`#${id}`), dot = document.querySelector(`#${id}-dot`);
    const k = canvas.width / canvas.clientWidth, box = canvas.getBoundingClientRect(), at = dot.getBoundingClientRect();
    const [x, y] = [at.x + at.width / 2 - box.x, at.y + at.height / 2 - box.y];
    const pixel = (dy) => [...canvas.getContext('2d').getImageData(Math.round(x * k), Math.round((y + dy) * k), 1, 1).data].slice(0, 3);
    return [dot.hidden, pixel(0), pixel(-10)];
});";

fn on_the_stroke(seen: &Value) -> bool {
    let ink = |pixel: &Value| pixel.as_array().unwrap().iter().zip([0x16, 0x23, 0x2b]).all(|(v, c)| (v.as_i64().unwrap() - c).abs() < 12);
    seen.as_array().unwrap().iter().all(|chart| chart[0] == false && ink(&chart[1]) && !ink(&chart[2]))
}

#[tokio::test]
async fn the_marks_lie_on_their_curves() {
    let browser = page(Screen::Phone).await;
    marks(&browser).await;
    browser.screenshot("motion-charts").await;
    // Another width and sharpness draw them again, and the marks go along.
    browser.cdp("Emulation.setDeviceMetricsOverride", json!({ "width": 700, "height": 390, "deviceScaleFactor": 2, "mobile": true }));
    for id in ["toe", "ratio"] {
        browser.until(&format!("((c) => c.clientWidth > 500 && c.width === 2 * c.clientWidth)(document.querySelector('#{id}'))")).await;
    }
    let seen = browser.js(UNDER).await;
    assert!(on_the_stroke(&seen), "turned: {seen}");
}

/// Moves the example's marks along both charts, in the light look.
pub async fn marks(browser: &Browser) {
    browser.turn_to("#toe").await;
    browser.js("document.querySelector('#toe').scrollIntoView()").await;
    browser.until("!document.querySelector('#toe-dot').hidden && !document.querySelector('#ratio-dot').hidden").await;
    for value in [-990, -700, 300, 980] {
        slide(browser, value).await;
        stands(browser, &core(1).at(share(value)).unwrap()).await;
        let seen = browser.js(UNDER).await;
        assert!(on_the_stroke(&seen), "{value}: {seen}");
    }
}
