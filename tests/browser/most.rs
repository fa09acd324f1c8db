//! A plan at every limit of the format, and a store filled to the last byte: nothing is lost, and nothing takes a pause.

use crate::hand::{Hand, SUITS, linked, plan};
use crate::plans::{address, listed, rewrite, said, value};
use donorack::{LONGEST_NAME, LONGEST_NOTE, MOST_RACKS, Plan, Rack};
use donorack_tests::browser::{Browser, Screen};
use serde_json::{Value, json};

/// After how long a page has stopped, in milliseconds, on whatever machine. How long it takes is measured by the bench `phone`.
const STOPPED: f64 = 10_000.0;

/// As many racks as a plan may have, every one measured, with names and notes of that many characters each.
pub fn many(racks: usize, name: usize, note: usize) -> Value {
    let mut file = SUITS.file();
    let rack = file["racks"][0].clone();
    file["name"] = json!("N".repeat(name));
    file["racks"] = (0..racks)
        .map(|i| {
            let mut one = rack.clone();
            one["name"] = json!(format!("{i:03}{}", "x".repeat(name - 3)));
            if note > 0 {
                one["note"] = json!("z".repeat(note));
            }
            one["travel"] = json!(format!("{} mm", 120 + i % 40));
            if i > 0 {
                one.as_object_mut().unwrap().remove("rack_line");
            }
            one
        })
        .collect();
    file
}

/// What the page's one thread has worked so far, in milliseconds of the processor: other work of the machine does not count.
fn worked(hand: &Hand) -> f64 {
    let metrics = hand.browser.cdp("Performance.getMetrics", json!({}));
    let task = metrics["metrics"].as_array().unwrap().iter().find(|m| m["name"] == "TaskDuration");
    task.unwrap()["value"].as_f64().unwrap() * 1000.0
}

/// Does something in the page and waits until it has been painted; what the page's thread worked for it, in milliseconds.
async fn takes(hand: &Hand, script: &str) -> f64 {
    hand.browser.cdp("Performance.enable", json!({ "timeDomain": "threadTicks" }));
    let before = worked(hand);
    let script = format!(
        "{script} return new Promise((done) => requestAnimationFrame(() => setTimeout(() => requestAnimationFrame(() => setTimeout(() => done(true))))));"
    );
    hand.browser.js(&script).await;
    let after = worked(hand);
    after - before
}

/// Keeps a plan of this file as one's own.
async fn kept(file: &Value) -> Hand {
    let mut hand = Hand::on(Screen::Phone).await;
    hand.goto(&format!("#{}", plan(file).to_link())).await;
    hand.browser.until("document.querySelector('[data-do=keep]') !== null").await;
    hand.tap("[data-do=keep]").await;
    hand.browser.settled().await;
    hand
}

/// What the core refuses is neither stored nor shown: names that are made are cut, and what would not go in has its buttons locked.
#[tokio::test]
async fn no_button_makes_a_plan_that_cannot_be_opened_again() {
    // Names that a copy's would be too long for, of letters that are two of JavaScript's each.
    let long = "𐓏".repeat(LONGEST_NAME - 6);
    let mut file = many(2, 10, 0);
    (file["name"], file["racks"][0]["name"]) = (json!(long), json!(long));
    let mut hand = kept(&file).await;
    hand.tap("[data-do=copy-rack][data-rack='0']").await;
    hand.tap("[data-do=copy-rack][data-rack='0']").await;
    hand.reload().await;
    let names = "return [...document.querySelectorAll('.rack-name')].map((n) => n.textContent)";
    let names: Vec<String> = serde_json::from_value(hand.browser.js(names).await).unwrap();
    let cut = |tail: &str| "𐓏".repeat(LONGEST_NAME - tail.chars().count()) + tail;
    assert_eq!(names[..3], [long.clone(), cut(" (copy 2)"), cut(" (copy)")]);
    hand.tap("#plans-open").await;
    for _ in 0..2 {
        hand.tap("#plans-list li:last-child [data-plan-do=copy]").await;
    }
    let all: Vec<String> = serde_json::from_value(listed(&hand).await).unwrap();
    assert_eq!(all, [cut(" (copy 2)"), cut(" (copy)"), long.clone()]);
    for n in 1..=3 {
        hand.tap(&format!("#plans-list li:nth-child({n}) [data-plan-do=open]")).await;
        assert_eq!(hand.browser.js("return document.querySelectorAll('details.card').length").await, json!(4));
        hand.tap("#plans-open").await;
    }
    assert_eq!(hand.browser.js("return document.querySelectorAll('.broken').length").await, json!(0));
    hand.tap("#plans-close").await;
    // What is typed is cut by letters as the format counts them, and that is said.
    rewrite(&mut hand, "name", &format!("{}yz", "x".repeat(LONGEST_NAME - 1))).await;
    assert_eq!(value(&hand, "name").await, "x".repeat(LONGEST_NAME - 1) + "y");
    assert!(said(&hand).await.contains("At most 200 characters"), "{}", said(&hand).await);
    let note = json!("ü".repeat(LONGEST_NOTE + 5));
    hand.browser.js_with("const n = document.querySelector('[data-field=\"racks.0.note\"]'); n.value = arguments[0]; n.dispatchEvent(new Event('input', { bubbles: true }))", vec![note]).await;
    assert_eq!(value(&hand, "racks.0.note").await, "ü".repeat(LONGEST_NOTE));
    hand.reload().await;
    assert_eq!(value(&hand, "racks.0.note").await, "ü".repeat(LONGEST_NOTE));
    hand.content().await;
}

/// The last rack that goes in, and none beyond it: the buttons know, and say so.
#[tokio::test]
async fn a_plan_that_is_full_takes_no_other_rack() {
    let mut hand = kept(&many(MOST_RACKS - 1, 12, 0)).await;
    let locked = "return [document.querySelector('[data-do=add-rack]').disabled, document.querySelector('[data-do=copy-rack]').disabled, document.querySelector('#racks-full').checkVisibility()]";
    assert_eq!(hand.browser.js(locked).await, json!([false, false, false]));
    hand.tap("[data-do=add-rack]").await;
    assert_eq!(hand.browser.js(locked).await, json!([true, true, true]));
    assert!(hand.browser.text("#racks-full").await.contains("at most 64 racks"));
    hand.browser.js("document.querySelector('#racks-full').scrollIntoView({ block: 'center' })").await;
    hand.browser.screenshot("most-racks").await;
    hand.reload().await;
    assert_eq!(hand.browser.js("return document.querySelectorAll('details.card').length").await, json!(MOST_RACKS));
    // The same plan comes back with another rack: it cannot be taken over, and the page says why.
    let mut theirs = Plan::from_link(&address(&hand).await).unwrap();
    theirs.racks.remove(0);
    theirs.racks.push(Rack { name: "Theirs".into(), ..Rack::default() });
    theirs.racks.push(Rack { name: "Theirs too".into(), ..Rack::default() });
    theirs.racks.remove(0);
    hand.arrive(&format!("#{}", theirs.to_link())).await;
    assert!(hand.browser.text("#beside").await.contains("No room for another rack"), "{}", hand.browser.text("#beside").await);
    assert_eq!(hand.browser.js("return document.querySelectorAll('details.card').length").await, json!(MOST_RACKS));
    hand.content().await;
}

/// Opened, edited, moved, taken over, copied, shared, reloaded: of a plan with as many racks as one may have nothing takes a pause, and nothing is lost.
#[tokio::test]
async fn a_plan_at_every_limit_of_the_format() {
    let file = many(MOST_RACKS, LONGEST_NAME, LONGEST_NOTE);
    let wanted = plan(&file);
    let hand = Hand { browser: Browser::open(Screen::Phone).await, taps: 0, keys: 0 };
    hand.goto("").await;
    // It comes by a link that is just short enough.
    let link = wanted.to_link();
    println!("{} characters in its link", link.len());
    assert!(link.len() < 200_000);
    let mut times = Vec::new();
    let mut time = |what: &'static str, ms: f64| times.push((what, ms));
    // The page is open already: what counts is the link alone, from when the address has it.
    hand.browser.js_with("window.theirs = arguments[0]", vec![json!(link)]).await;
    let opened = "let tasks = 0; location.hash = window.theirs;
        const seen = new Promise((done) => { const look = () => (document.querySelector('[data-do=keep]')?.checkVisibility() ? done() : setTimeout(look, 0, tasks += 1)); addEventListener('hashchange', look); });
        return seen.then(() => { window.tasks = tasks; }).then(() => new Promise(requestAnimationFrame));";
    time("opened", takes(&hand, opened).await);
    let between = hand.browser.js("return window.tasks").await;
    println!("{between} tasks in between");
    assert!(between.as_u64() >= Some(2), "while it is opened the page does something else: {between}");
    time("kept", takes(&hand, "document.querySelector('[data-do=keep]').click();").await);
    let first = linked(&format!("#{}", hand.browser.js("return location.hash.slice(1)").await.as_str().unwrap()));
    assert_eq!(first.racks, wanted.racks);
    let key = |path: &str, text: &str| {
        format!(
            "const n = document.querySelector('[data-field=\"{path}\"]'); n.focus(); n.value = '{text}'; n.dispatchEvent(new Event('input', {{ bubbles: true }}));"
        )
    };
    time("a key", takes(&hand, &key("car.wheelbase", "104")).await);
    time("another key", takes(&hand, &key("car.wheelbase", "104.5")).await);
    time("a card unfolded", takes(&hand, "document.querySelector('details.card[data-rack=\"40\"] summary').click();").await);
    time("a key in a rack", takes(&hand, &key("racks.40.travel", "131")).await);
    time("left", takes(&hand, "document.activeElement.blur();").await);
    // As a person has it: the card is open whose button is pressed.
    hand.browser.js("for (const n of [0, 1, 5, 63]) document.querySelector(`details.card[data-rack='${n}']`).open = true").await;
    time("moved", takes(&hand, "document.querySelector('[data-do=down-rack][data-rack=\"0\"]').click();").await);
    time("moved back", takes(&hand, "document.querySelector('[data-do=up-rack][data-rack=\"1\"]').click();").await);
    time("removed", takes(&hand, "document.querySelector('[data-do=remove-rack][data-rack=\"63\"]').click();").await);
    time("copied", takes(&hand, "document.querySelector('[data-do=copy-rack][data-rack=\"5\"]').click();").await);
    time("another shown", takes(&hand, "document.querySelector('[data-choose=\"30\"]').click();").await);
    for _ in 0..5 {
        time("undone", takes(&hand, "document.querySelector('[data-do=undo]').click();").await);
    }
    hand.browser.settled().await;
    let now = linked(&address(&hand).await);
    let same = now.racks.iter().zip(&wanted.racks).filter(|(a, b)| a == b).count();
    assert_eq!((now.racks.len(), same), (MOST_RACKS, MOST_RACKS - 1), "all but the one that was typed into, which is two steps back");
    for _ in 0..2 {
        time("undone", takes(&hand, "document.querySelector('[data-do=undo]').click();").await);
    }
    hand.reload().await;
    assert_eq!(linked(&address(&hand).await).racks, wanted.racks);
    // It comes back changed in every rack, and all of it is taken over.
    let mut theirs = Plan::from_link(&address(&hand).await).unwrap();
    for rack in &mut theirs.racks {
        rack.note = rack.note.replace('z', "y");
    }
    hand.arrive(&format!("#{}", theirs.to_link())).await;
    assert_eq!(hand.browser.js("return document.querySelectorAll('[data-differs]').length").await, json!(MOST_RACKS));
    time("taken over", takes(&hand, "document.querySelector('[data-take=all]').click();").await);
    assert_eq!(linked(&address(&hand).await).racks, theirs.racks);
    time("put away", takes(&hand, "document.querySelector('[data-take=away]').click();").await);
    time("the list of plans", takes(&hand, "document.querySelector('#plans-open').click();").await);
    time("a copy of it", takes(&hand, "document.querySelector('[data-plan-do=copy]').click();").await);
    time(
        "the copy opened",
        takes(&hand, "document.querySelector('#plans-list [data-plan]:first-child [data-plan-do=open]').click();").await,
    );
    assert_eq!(linked(&address(&hand).await).racks, theirs.racks);
    println!("{times:.0?}");
    for (what, ms) in times {
        assert!(ms < STOPPED, "{what}: {ms:.0} ms");
    }
    hand.content().await;
}

/// A link of tens of thousands of entries, thousands of them of the plan's own: refused with the reason, and at once.
#[tokio::test]
async fn a_link_of_too_many_entries_is_refused_at_once() {
    let some = |n: u64| (1000..1000 + n).map(|key| (key, vec![0x00])).collect::<donorack::Newer>();
    let mut large = plan(&many(40, 10, 0));
    large.newer = some(3900);
    large.racks.iter_mut().for_each(|rack| rack.newer = some(750));
    let link = large.to_link();
    println!("{} characters", link.len());
    assert!((170_000..200_000).contains(&link.len()), "{}", link.len());
    let hand = Hand::on(Screen::Phone).await;
    hand.browser.js_with("window.theirs = arguments[0]", vec![json!(link)]).await;
    let ms = takes(&hand, "location.hash = window.theirs; return new Promise((done) => addEventListener('hashchange', () => setTimeout(done))).then(() => new Promise(requestAnimationFrame));").await;
    println!("{ms:.0} ms");
    assert!(ms < STOPPED, "{ms:.0} ms");
    assert!(hand.browser.text("#bar .lines").await.contains("at most 4096 entries"), "{}", hand.browser.text("#bar .lines").await);
    hand.content().await;
}

/// A link of thousands of entries that a newer program wrote: as long as one may be. It opens, and a key in it is a key.
#[tokio::test]
async fn a_link_as_long_as_one_may_be_is_no_pause() {
    let mut large = plan(&SUITS.file());
    large.newer = (1000..1000 + 4000).map(|key| (key, [&[0x58, 31][..], &[7; 31]].concat())).collect();
    let link = large.to_link();
    println!("{} characters", link.len());
    assert!((180_000..200_000).contains(&link.len()), "{}", link.len());
    let hand = Hand::on(Screen::Phone).await;
    let script = "return (async ([link]) => { const core = await import(new URL('core.js', document.baseURI));
        const before = performance.now(); const plan = core.decodeLink(link); const read = performance.now(); core.evaluate(plan); return [read - before, performance.now() - read]; })(arguments);";
    let times = hand.browser.js_with(script, vec![json!(link)]).await;
    println!("read, evaluated: {times}");
    hand.goto(&format!("#{link}")).await;
    hand.browser.until("document.querySelector('[data-do=keep]') !== null").await;
    let mut all: Vec<f64> = serde_json::from_value(times).unwrap();
    all.push(takes(&hand, "document.querySelector('[data-do=keep]').click();").await);
    all.push(takes(&hand, "const n = document.querySelector('[data-field=\"car.wheelbase\"]'); n.focus(); n.value = '101'; n.dispatchEvent(new Event('input', { bubbles: true }));").await);
    all.push(takes(&hand, "document.querySelector('[data-do=undo]').click();").await);
    println!("{all:.0?}");
    assert!(all.iter().all(|ms| *ms < STOPPED), "{all:.0?}");
    hand.reload().await;
    assert_eq!(linked(&address(&hand).await).newer, large.newer);
    hand.content().await;
}

/// A plan that is too long for a link is said to be, to whoever would send it; nothing that cannot be opened is sent, and nothing is lost.
#[tokio::test]
async fn a_link_too_long_for_its_reader_is_not_sent() {
    let mut hand = kept(&many(MOST_RACKS, LONGEST_NAME, 1900)).await;
    hand.browser.js("window.given = []; Object.defineProperty(navigator, 'share', { value: undefined, configurable: true });
        Object.defineProperty(navigator, 'clipboard', { value: { writeText: async (text) => { window.given.push(text); } }, configurable: true });").await;
    hand.tap("[data-do=share]").await;
    hand.browser.until("window.given.length === 1").await;
    let note = json!("€".repeat(LONGEST_NOTE));
    hand.browser.js("for (const card of document.querySelectorAll('details.card')) card.open = true").await;
    for rack in 0..8 {
        hand.browser.js_with(&format!("const n = document.querySelector('[data-field=\"racks.{rack}.note\"]'); n.value = arguments[0]; n.dispatchEvent(new Event('input', {{ bubbles: true }}))"), vec![note.clone()]).await;
    }
    hand.tap("[data-units=mm]").await;
    hand.tap("[data-do=share]").await;
    assert!(said(&hand).await.contains("too long for a link"), "{}", said(&hand).await);
    assert_eq!(hand.browser.js("return window.given.length").await, json!(1));
    assert!(!address(&hand).await.contains('#'), "the address holds none that cannot be read");
    hand.browser.screenshot("most-too-long").await;
    hand.reload().await;
    assert_eq!(value(&hand, "racks.7.note").await, note, "what was unfolded still is");
    assert_eq!(hand.browser.js("return document.querySelectorAll('details.card').length").await, json!(MOST_RACKS));
    hand.content().await;
}
