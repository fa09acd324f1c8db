//! What to look for: the page's sentences, notes and points are those of the library, and nothing is worked out while it is folded.

use donorack::Plan;
use donorack::rack_search::look_for;
use donorack_tests::browser::{Browser, Letters};
use serde_json::{Value, json};

const READY: &str = "document.documentElement.dataset.ready === 'yes'";
/// Clear of the strip at the foot of the screen; far from it nothing is worked out.
const NEAR: &str = "document.querySelector('#yard').scrollIntoView({ block: 'center', behavior: 'instant' })";
const READ: &str = "
    const all = (css) => [...document.querySelectorAll(`#yard-told ${css}`)].map((n) => n.textContent);
    return { labels: all('dt'), texts: all('.what'), whys: all('.why'), summary: all('figcaption'), notes: all('.note'),
        points: document.querySelectorAll('#yard-told .point').length };";

/// What the page must show of a plan, in "mm" or "inch".
fn wanted(plan: &Plan, units: &str) -> Value {
    let told = serde_json::to_value(look_for(plan)).unwrap();
    let texts = |all: &Value| all.as_array().unwrap().iter().map(|t| t[units].clone()).collect::<Vec<_>>();
    let lines = told["lines"].as_array().unwrap();
    let why = |l: &Value| texts(&l["more"]).iter().map(|t| t.as_str().unwrap().to_owned()).collect::<Vec<_>>().join(" ");
    json!({
        "labels": lines.iter().map(|l| l["label"].clone()).collect::<Vec<_>>(),
        "texts": lines.iter().map(|l| l["text"][units].clone()).collect::<Vec<_>>(),
        "whys": lines.iter().map(why).filter(|w| !w.is_empty()).collect::<Vec<_>>(),
        "summary": [told["summary"][units]],
        "notes": texts(&told["notes"]),
        "points": told["picture"]["racks"].as_array().map_or(0, Vec::len),
    })
}

fn example() -> Plan {
    let text = std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/../www/page/example.json")).unwrap();
    Plan::from_json(&text).unwrap()
}

#[tokio::test]
async fn what_to_look_for_is_what_the_library_says() {
    let phone = Browser::phone().await;
    phone.until(READY).await;
    phone.tap("[data-units=mm]").await;
    // With racks in the plan it is folded, and nothing is worked out.
    assert_eq!(
        phone.js("return [document.querySelector('#yard').open, document.querySelector('#yard-told').childElementCount]").await,
        json!([false, 0])
    );
    phone.turn_to("#yard").await;
    phone.js(NEAR).await;
    phone.tap("#yard > summary").await;
    phone.until("document.querySelector('#yard-told .plot')").await;
    assert_eq!(phone.js(READ).await, wanted(&example(), "mm"));
    phone.tap("[data-units=inch]").await;
    phone.js(NEAR).await;
    phone.until("/\\sin$/.test(document.querySelector('#yard-told [data-look-for=spacing] .what').textContent)").await;
    assert_eq!(phone.js(READ).await, wanted(&example(), "inch"));
    // One phone screen for the sentences, one for picture and caption; no text below 14 px; nothing sideways.
    for family in Letters::BOTH {
        phone.letters(family).await;
        phone.js(NEAR).await;
        phone.settled().await;
        let fits = phone.js("
        const screen = innerHeight - document.querySelector('#strip').offsetHeight - document.querySelector('#parts').offsetHeight;
        const tall = (css) => document.querySelector(css).getBoundingClientRect().height;
        const over = ['#yard-told dl', '#yard-told figure'].map((css) => Math.max(0, Math.ceil(tall(css) - screen)));
        const sizes = [...document.querySelectorAll('#yard-told :is(dt, dd, p, text, figcaption, li)')].map((n) => parseFloat(getComputedStyle(n).fontSize));
        return [...over, Math.min(...sizes) >= 14, document.documentElement.scrollWidth <= innerWidth];").await;
        assert_eq!(fits, json!([0, 0, true, true]), "{}: pixels too many; letters; width", family.name());
    }
    phone.js("document.querySelector('#yard').scrollIntoView({ block: 'center' })").await;
    phone.screenshot("yard-phone").await;
    assert_eq!(phone.complaints(), Vec::<String>::new());
}

#[tokio::test]
async fn an_empty_plan_asks_and_answers_from_the_car_alone() {
    let phone = Browser::phone().await;
    phone.until(READY).await;
    phone.tap("[data-units=mm]").await;
    phone.tap("[data-do=start]").await;
    phone.until("document.querySelector('#yard').open").await;
    phone.turn_to("#yard").await;
    phone.until("document.querySelector('#yard-told').dataset.status === 'needs'").await;
    for (field, text, side) in [("rod_end_spacing", "1280", ""), ("arm_fore_aft", "132", "behind"), ("arm_inboard", "18", "inboard")] {
        phone.write(&format!("[data-field='car.{field}']"), text).await;
        if !side.is_empty() {
            phone.js_with("[...document.querySelectorAll(`.field[data-path='${arguments[0]}'] button`)].find((b) => b.textContent.trim() === arguments[1]).click()", vec![json!(format!("car.{field}")), json!(side)]).await;
        }
    }
    phone.js("document.activeElement.blur()").await;
    phone.turn_to("#yard").await;
    phone.until("document.querySelector('#yard-told').dataset.status === 'ok'").await;
    let plan = json!({"donorack": 1, "car": {"rod_end_spacing": "1280 mm", "arm_fore_aft": "132 mm behind", "arm_inboard": "18 mm inboard"}, "racks": [{}]});
    assert_eq!(phone.js(READ).await, wanted(&Plan::from_json(&plan.to_string()).unwrap(), "mm"));
    assert_eq!(phone.complaints(), Vec::<String>::new());
}
