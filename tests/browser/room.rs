//! No room left: a store filled to the last byte at each kind of writing. Nothing is lost, and no sentence promises what was not done.

use crate::hand::{Hand, linked};
use crate::most::many;
use crate::plans::{address, bar, listed, own, rewrite, said, stored, value};
use donorack_tests::browser::Screen;
use donorack_tests::engine::Engine;
use serde_json::{Value, json};

/// Fills the store with what is no business of the page's, to the last byte; how many characters are in it then.
const FILL: &str = "
    for (let size = 1 << 22; size >= 1; size >>= 1) {
        try { for (let n = 0; n < 64; n += 1) localStorage.setItem(`other.${size}.${n}.${Math.random()}`, 'x'.repeat(size)); } catch { }
    }
    // Keys have a length of their own: what is left is filled letter by letter.
    const last = Object.keys(localStorage).find((key) => key.startsWith('other.1.')) ?? Object.keys(localStorage).find((key) => key.startsWith('other.'));
    try { for (;;) localStorage.setItem(last, localStorage.getItem(last) + 'x'); } catch { }
    let full = false;
    try { localStorage.setItem('o', ''); localStorage.removeItem('o'); } catch { full = true; }
    return [full, Object.entries(localStorage).reduce((sum, [key, text]) => sum + key.length + text.length, 0)];";

/// Fills it and makes sure of it.
async fn fill(hand: &Hand) {
    let seen = hand.browser.js(FILL).await;
    assert!(seen[0] == json!(true) && seen[1].as_u64().unwrap() > 2_000_000, "{seen}");
}

/// Makes room again.
async fn clear(hand: &Hand) {
    hand.browser.js("for (const key of Object.keys(localStorage)) if (key.startsWith('other.')) localStorage.removeItem(key)").await;
}

/// Everything of the page's own but for the place on it, where a store is measured.
async fn kept(hand: &Hand, prefix: &str) -> Value {
    hand.browser
        .js_with(
            "return Object.fromEntries(Object.entries(localStorage).filter(([key]) => key.startsWith(arguments[0])))",
            vec![json!(prefix)],
        )
        .await
}

/// What each record says of its plan, by name.
async fn plans(hand: &Hand) -> Value {
    hand.browser.js("return Object.fromEntries(Object.entries(localStorage).filter(([key]) => key.startsWith('donorack.plan.')).map(([, text]) => JSON.parse(text)).map(({ plan, gone }) => [plan.name + (gone ? ' (gone)' : ''), plan.car]))").await
}

/// Opens a plan of the list by its name.
async fn open(hand: &mut Hand, name: &str) {
    hand.tap("#plans-open").await;
    hand.browser.js_with("[...document.querySelectorAll('[data-plan-do=open]')].find((n) => n.querySelector('.plan-name').textContent === arguments[0]).click()", vec![json!(name)]).await;
    hand.browser.until("!document.querySelector('#plans').open").await;
}

/// Each kind of writing, with the store filled to the last byte before it: what is shown is kept, or said not to be; the others stay as they are.
pub async fn every_kind_of_writing(engine: Engine) {
    let mut hand = Hand::on_a(engine, Screen::Phone).await;
    hand.tap("[data-units=mm]").await;
    for (name, wheelbase) in [("First", "2410"), ("Second", "2540"), ("Third", "2600")] {
        hand.tap("[data-do=start]").await;
        rewrite(&mut hand, "name", name).await;
        rewrite(&mut hand, "car.wheelbase", wheelbase).await;
        rewrite(&mut hand, "car.front_track", "1384").await;
        hand.browser.js("document.activeElement.blur()").await;
    }
    let mut writings = 0;
    let car = |wheelbase: &str, track: &str| json!({ "wheelbase": format!("{wheelbase} mm"), "front_track": format!("{track} mm") });
    let three = json!({ "First": car("2410", "1384"), "Second": car("2540", "1384"), "Third": car("2600", "1384") });
    assert_eq!(plans(&hand).await, three);

    // A key: the oldest steps of the other plans give way, and no plan.
    fill(&hand).await;
    let steps = kept(&hand, "donorack.step.").await.as_object().unwrap().len();
    rewrite(&mut hand, "car.front_track", "1390").await;
    hand.browser.js("document.activeElement.blur()").await;
    assert_eq!((bar(&hand).await.as_str(), plans(&hand).await["Third"].clone()), ("", car("2600", "1390")));
    let left = kept(&hand, "donorack.step.").await.as_object().unwrap().len();
    assert!(left <= steps, "{left} of {steps} steps: something gave way");
    // The newest step of the open plan is there, whatever gave way for it.
    hand.reload().await;
    hand.tap("[data-do=undo]").await;
    assert_eq!(value(&hand, "car.front_track").await, "1384");
    writings += 2;

    // Another plan is removed: that needs no room, and it can be brought back as was said.
    fill(&hand).await;
    hand.tap("#plans-open").await;
    hand.tap("[data-plan-do=remove][aria-label='Remove: First']").await;
    assert!(said(&hand).await.contains("It can be brought back"), "{}", said(&hand).await);
    hand.reload().await;
    fill(&hand).await;
    hand.tap("#plans-open").await;
    hand.tap("[data-plan-do=back]").await;
    assert_eq!(plans(&hand).await, three);
    writings += 2;

    // A copy has no room, where nothing is left that could give way: that is said, and none is half there.
    hand.browser
        .js("for (const key of Object.keys(localStorage)) if (key.startsWith('donorack.step.')) localStorage.removeItem(key)")
        .await;
    fill(&hand).await;
    let before = kept(&hand, "donorack.plan.").await;
    hand.tap("[data-plan-do=copy][aria-label='Copy: First']").await;
    assert!(said(&hand).await.contains("no room"), "{}", said(&hand).await);
    assert_eq!(kept(&hand, "donorack.plan.").await, before);
    // Nor has a longer name.
    hand.tap("[data-plan-do=rename][aria-label='Rename: First']").await;
    hand.type_on("First of all").await;
    assert!(hand.browser.text("#plans-how").await.contains("no room"), "{}", hand.browser.text("#plans-how").await);
    // Of the letters typed as many are there as have room: those of the name that it had.
    assert_eq!(plans(&hand).await, three);
    hand.tap("[data-plan-do=done]").await;
    hand.tap("#plans-close").await;
    writings += 2;

    // What is typed without any room is said not to be kept, stands in the link, and is there after a reload: with what was kept beside it.
    rewrite(&mut hand, "car.front_track", "1384 ± 2 mm").await;
    hand.browser.js("document.activeElement.blur()").await;
    assert!(bar(&hand).await.contains("no room left"), "{}", bar(&hand).await);
    assert_eq!(plans(&hand).await, three);
    let link = address(&hand).await;
    assert!(linked(&link).to_json().contains("1384 ± 2"), "{}", linked(&link).to_json());
    for _ in 0..2 {
        hand.reload().await;
        assert_eq!(value(&hand, "car.front_track").await, "1384 ± 2");
        assert_eq!(linked(&address(&hand).await), linked(&link));
        assert_eq!(plans(&hand).await, three);
        assert!(hand.browser.text("#beside").await.contains("What this browser kept is older"), "{}", hand.browser.text("#beside").await);
    }
    hand.browser.screenshot(&format!("room-beside-{engine}")).await;
    // Even a key that no button and no other field follows is in the address before the page goes.
    rewrite(&mut hand, "car.front_track", "1384 ± 3 mm").await;
    hand.browser.until("new Promise((done) => setTimeout(() => done(true), 600))").await;
    hand.reload().await;
    assert_eq!(value(&hand, "car.front_track").await, "1384 ± 3");
    // With room again the next change is kept, and the step back is what had been kept.
    clear(&hand).await;
    rewrite(&mut hand, "car.wheelbase", "2610").await;
    hand.browser.js("document.activeElement.blur()").await;
    assert_eq!(bar(&hand).await, "");
    assert_eq!(plans(&hand).await["Third"]["wheelbase"], "2610 mm");
    hand.tap("[data-take=away]").await;
    for wanted in ["1384 ± 3", "1384"] {
        hand.tap("[data-do=undo]").await;
        assert_eq!(value(&hand, "car.front_track").await, wanted);
    }
    writings += 3;

    // A new plan, and one opened: which is open may not be noted, and costs nothing.
    fill(&hand).await;
    open(&mut hand, "Second").await;
    assert_eq!(value(&hand, "car.wheelbase").await, "2540");
    hand.tap("[data-do=undo]").await;
    hand.tap("[data-units=inch]").await;
    hand.reload().await;
    assert_eq!(value(&hand, "name").await, "Second");
    clear(&hand).await;
    assert_eq!(plans(&hand).await["First"], three["First"]);
    assert_eq!(plans(&hand).await["Third"]["wheelbase"], "2600 mm");
    writings += 3;
    assert_eq!(hand.browser.complaints(), Vec::<String>::new());
    println!("{engine}: {writings} kinds of writing into a full store, nothing lost");
}

/// Steps back take little room: a hundred of a plan at every limit take less than three of it. One key writes one of them.
#[tokio::test]
async fn a_hundred_steps_back_take_little_room() {
    let mut hand = Hand::on(Screen::Phone).await;
    hand.goto(&format!("#{}", crate::hand::plan(&many(64, 200, 2000)).to_link())).await;
    hand.browser.until("document.querySelector('[data-do=keep]') !== null").await;
    hand.tap("[data-do=keep]").await;
    // A hundred and twenty changes: numbers, racks removed and moved.
    let change = "const unfold = (rack) => document.querySelector(`details.card[data-rack='${rack}'] summary`).click();
        const press = (what, rack) => { const css = `[data-do=${what}][data-rack='${rack}']`; if (!document.querySelector(css)) unfold(rack); document.querySelector(css).click(); };
        const find = (path) => document.querySelector(`[data-field=\"${path}\"]`);
        const type = (path, text) => { if (!find(path)) unfold(path.split('.')[1]); const n = find(path); n.value = text; n.dispatchEvent(new Event('input', { bubbles: true })); };
        window.written = [];
        const set = Storage.prototype.setItem;
        Storage.prototype.setItem = function (key, text) { if (this === localStorage && key.startsWith('donorack.step.')) window.written.push(text.length); return set.call(this, key, text); };
        for (let n = 0; n < 12; n += 1) for (const [path, text] of [['car.wheelbase', 2500 + n], ['car.front_track', 1300 + n], [`racks.${n}.travel`, 130 + n], ['car.rod_end_spacing', 1200 + n], [`racks.${n + 20}.note`, `note ${n}`]]) type(path, String(text));
        for (let n = 0; n < 5; n += 1) { press('remove-rack', 3); press('up-rack', 9); }
        Storage.prototype.setItem = set;
        return window.written;";
    hand.browser.js(change).await;
    hand.browser.js(change).await;
    let sizes = "const of = (prefix) => Object.entries(localStorage).filter(([key]) => key.startsWith(prefix)).map(([, text]) => text.length); return [of('donorack.plan.'), of('donorack.step.')]";
    let seen: [Vec<u64>; 2] = serde_json::from_value(hand.browser.js(sizes).await).unwrap();
    let (plan, steps) = (seen[0][0], seen[1].iter().sum::<u64>());
    println!("{} steps: {steps} characters beside a plan of {plan}", seen[1].len());
    assert_eq!(seen[1].len(), 100);
    assert!(steps < 3 * plan, "{steps} of {plan}");
    // All of them lead back, across a reload.
    hand.reload().await;
    let mut back = 0;
    while hand
        .browser
        .js("const undo = document.querySelector('#bar [data-do=undo]'); if (undo.disabled) return false; undo.click(); return true;")
        .await
        == json!(true)
    {
        back += 1;
        if back % 25 == 0 {
            hand.reload().await;
        }
    }
    assert_eq!(back, 100);
    hand.content().await;
}

/// Keeping both is a step that leads back to the choice, and nothing that was typed goes with it.
#[tokio::test]
async fn undo_after_keep_both_loses_nothing() {
    let mut hand = own(Screen::Phone, "Bread van", &[("car.wheelbase", "2540")]).await;
    let other = "const key = `donorack.plan.${localStorage.getItem('donorack.open')}`; const held = JSON.parse(localStorage.getItem(key));
        held.plan.car.wheelbase = '2600 mm'; held.rest = {}; held.stamp = 'another'; localStorage.setItem(key, JSON.stringify(held));";
    hand.browser.js(other).await;
    rewrite(&mut hand, "car.front_track", "1384").await;
    hand.tap("[data-do=tab-both]").await;
    assert_eq!(value(&hand, "name").await, "Bread van, from another tab");
    // The button stands in the note that speaks of it.
    for path in ["#note [data-do=undo]", "#bar [data-do=undo]"] {
        hand.browser.js_with("document.querySelector(arguments[0]).click()", vec![json!(path)]).await;
        for reload in [false, true] {
            if reload {
                hand.reload().await;
            }
            assert!(bar(&hand).await.contains("Another tab has changed this plan"), "{path} {reload}: {}", bar(&hand).await);
            assert_eq!(
                [value(&hand, "name").await, value(&hand, "car.front_track").await, value(&hand, "car.wheelbase").await],
                ["Bread van", "1384", "2540"]
            );
            assert_eq!(stored(&hand).await["plan"]["car"], json!({ "wheelbase": "2600 mm" }), "the other tab's is as it was");
        }
        hand.tap("[data-do=tab-both]").await;
    }
    hand.tap("#plans-open").await;
    assert_eq!(listed(&hand).await, json!(["Bread van, from another tab", "Bread van"]));
    hand.content().await;
}
