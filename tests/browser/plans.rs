//! Several plans in one browser: two tabs, storage that fails, a plan that comes back changed, the place after a reload.

use crate::hand::{Four, Hand, SUITS, field, linked, plan, whole};
use crate::shown;
use donorack::Plan;
use donorack_tests::browser::{Browser, Screen};
use serde_json::{Value, json};

/// What stands in a field.
pub async fn value(hand: &Hand, path: &str) -> String {
    let script = "return document.querySelector(arguments[0]).value";
    hand.browser.js_with(script, vec![json!(field(path))]).await.as_str().unwrap().to_owned()
}

/// What stands in the bar beneath the header.
pub async fn bar(hand: &Hand) -> String {
    hand.browser.text("#bar .lines").await
}

/// The record of the open plan as it is stored.
pub async fn stored(hand: &Hand) -> Value {
    hand.browser.js("return JSON.parse(localStorage.getItem(`donorack.plan.${localStorage.getItem('donorack.open')}`))").await
}

/// Names in the list of plans, the last changed first.
pub async fn listed(hand: &Hand) -> Value {
    hand.browser.js("return [...document.querySelectorAll('#plans-list [data-plan] .plan-name')].map((n) => n.textContent)").await
}

pub async fn address(hand: &Hand) -> String {
    whole(hand.browser.client.current_url().await.unwrap().as_str())
}

/// What the page said last to whoever does not see it.
pub async fn said(hand: &Hand) -> String {
    hand.browser.js("return document.querySelector('#say').textContent").await.as_str().unwrap().to_owned()
}

/// A plan of one's own with a name and these numbers, in millimetres.
pub async fn own(screen: Screen, name: &str, numbers: &[(&str, &str)]) -> Hand {
    let mut hand = Hand::on(screen).await;
    hand.tap("[data-units=mm]").await;
    hand.tap("[data-do=start]").await;
    for (path, text) in [("name", name)].iter().chain(numbers) {
        hand.write(path, text).await;
        hand.enter().await;
    }
    hand.browser.js("document.activeElement.blur()").await;
    hand
}

/// Types something else into a field.
pub async fn rewrite(hand: &mut Hand, path: &str, text: &str) {
    hand.enter_field(path).await;
    hand.browser.js("document.activeElement.select()").await;
    hand.type_on(text).await;
}

/// A page that meets a script of ours before its own.
pub async fn after(script: &str) -> Hand {
    let browser = Browser::open(Screen::Phone).await;
    browser.cdp("Page.addScriptToEvaluateOnNewDocument", json!({ "source": script }));
    let hand = Hand { browser, taps: 0, keys: 0 };
    hand.goto("").await;
    hand
}

#[tokio::test]
async fn plans_are_listed_opened_copied_named_and_removed_with_undo() {
    let mut hand = own(Screen::Phone, "Bread van", &[("car.wheelbase", "2540")]).await;
    hand.tap("[data-do=start]").await;
    hand.write("name", "Three-wheeler").await;
    rewrite(&mut hand, "car.wheelbase", "1900").await;
    hand.tap("#plans-open").await;
    assert_eq!(listed(&hand).await, json!(["Three-wheeler", "Bread van"]));
    hand.browser.screenshot("plans-list").await;
    // The other one is opened, and stays open after a reload.
    hand.tap("[data-plan]:nth-child(2) [data-plan-do=open]").await;
    assert_eq!((value(&hand, "name").await, value(&hand, "car.wheelbase").await), ("Bread van".into(), "2540".into()));
    hand.reload().await;
    assert_eq!(value(&hand, "name").await, "Bread van");
    // A copy is another plan, with another id in its link.
    let before = Plan::from_link(&address(&hand).await).unwrap();
    hand.tap("#plans-open").await;
    hand.tap("[data-plan-do=copy][aria-label='Copy: Bread van']").await;
    assert_eq!(listed(&hand).await, json!(["Bread van (copy)", "Three-wheeler", "Bread van"]));
    hand.tap("[data-plan]:first-child [data-plan-do=open]").await;
    let copy = Plan::from_link(&address(&hand).await).unwrap();
    assert!(copy.id.is_some() && before.id.is_some() && copy.id != before.id);
    assert_eq!((&copy.car, copy.name.as_str()), (&before.car, "Bread van (copy)"));
    // Named while another one is open; undo in that plan gives the name back.
    hand.tap("#plans-open").await;
    hand.tap("[data-plan-do=rename][aria-label='Rename: Three-wheeler']").await;
    hand.type_on("Trike\u{e007}").await;
    assert!(listed(&hand).await.as_array().unwrap().contains(&json!("Trike")), "{}", listed(&hand).await);
    hand.tap("[data-plan-do=open][data-focus]:has(.plan-name):not([aria-current])").await;
    assert_eq!(value(&hand, "name").await, "Trike");
    hand.tap("[data-do=undo]").await;
    assert_eq!(value(&hand, "name").await, "Three-wheeler");
    // Removed, brought back, across a reload; the open one is open again when it is chosen.
    hand.tap("#plans-open").await;
    hand.tap("[data-plan-do=remove][aria-label='Remove: Three-wheeler']").await;
    assert!(said(&hand).await.contains("Three-wheeler removed"), "{}", said(&hand).await);
    assert!(!listed(&hand).await.as_array().unwrap().contains(&json!("Three-wheeler")));
    assert_eq!(hand.browser.js("return document.activeElement.textContent").await, json!("Bring back"), "the way back has the focus");
    hand.browser.screenshot("plans-removed").await;
    hand.reload().await;
    assert_ne!(value(&hand, "name").await, "Three-wheeler");
    hand.tap("#plans-open").await;
    hand.tap("[data-plan-do=back]").await;
    hand.tap("[data-plan-do=open]:has(.plan-name):not([aria-current]), [data-plan]:first-child [data-plan-do=open]").await;
    hand.tap("#plans-open").await;
    hand.browser
        .js("[...document.querySelectorAll('[data-plan-do=open]')].find((n) => n.textContent.startsWith('Three-wheeler')).click()")
        .await;
    assert_eq!((value(&hand, "name").await, value(&hand, "car.wheelbase").await), ("Three-wheeler".into(), "1900".into()));
    // By keys alone: Escape closes the panel and gives the focus back.
    hand.browser.js("document.querySelector('#plans-open').focus()").await;
    hand.enter().await;
    assert_eq!(
        hand.browser.js("return [document.querySelector('#plans').open, document.activeElement.id]").await,
        json!([true, "plans-title"])
    );
    hand.type_on("\u{e00c}").await;
    assert_eq!(
        hand.browser.js("return [document.querySelector('#plans').open, document.activeElement.id]").await,
        json!([false, "plans-open"])
    );
    hand.content().await;
}

/// Another tab may have removed a plan that the list still shows: then it is copied as it was listed.
#[tokio::test]
async fn a_plan_that_was_removed_meanwhile_is_copied_as_it_was_listed() {
    let mut hand = own(Screen::Phone, "Bread van", &[("car.wheelbase", "2540")]).await;
    hand.tap("[data-do=start]").await;
    hand.write("name", "Three-wheeler").await;
    hand.tap("#plans-open").await;
    // A tab hears nothing of what it writes itself: so the list stays as it is.
    hand.browser
        .js("for (const key of Object.keys(localStorage)) if (key.startsWith('donorack.plan.') && JSON.parse(localStorage.getItem(key)).plan.name === 'Bread van') localStorage.removeItem(key)")
        .await;
    hand.tap("[data-plan-do=copy][aria-label='Copy: Bread van']").await;
    assert_eq!(listed(&hand).await, json!(["Bread van (copy)", "Three-wheeler"]));
    assert_eq!(said(&hand).await, "Bread van copied.");
    hand.content().await;
}

#[tokio::test]
async fn two_tabs_never_write_over_each_other() {
    let mut hand = own(Screen::Phone, "Bread van", &[("car.wheelbase", "2540")]).await;
    let home = address(&hand).await;
    let first = hand.browser.client.window().await.unwrap();
    let second = hand.browser.client.new_window(true).await.unwrap().handle;
    hand.browser.client.switch_to_window(second.clone()).await.unwrap();
    hand.goto(&home).await;
    assert_eq!(value(&hand, "car.wheelbase").await, "2540", "the same link in another tab is the same plan");
    rewrite(&mut hand, "car.wheelbase", "2600").await;
    // The first tab is told, and what is typed there is not written over the other's.
    hand.browser.client.switch_to_window(first.clone()).await.unwrap();
    hand.browser.until("document.querySelector('[data-do=tab-theirs]') !== null").await;
    assert!(bar(&hand).await.contains("Another tab has changed this plan"), "{}", bar(&hand).await);
    rewrite(&mut hand, "car.front_track", "1384").await;
    assert_eq!(stored(&hand).await["plan"]["car"], json!({ "wheelbase": "2600 mm" }));
    hand.browser.screenshot("plans-two-tabs").await;
    // Not even a reload of the tab loses it, or the choice.
    hand.reload().await;
    assert_eq!((value(&hand, "car.front_track").await, value(&hand, "car.wheelbase").await), ("1384".into(), "2540".into()));
    hand.tap("[data-do=tab-mine]").await;
    assert_eq!(stored(&hand).await["plan"]["car"], json!({ "wheelbase": "2540 mm", "front_track": "1384 mm" }));
    // One step back is what the other tab had, and back again.
    hand.tap("[data-do=undo]").await;
    assert_eq!(stored(&hand).await["plan"]["car"], json!({ "wheelbase": "2600 mm" }));
    // Now the second tab is the later one: it takes the other's, and its own is one step back.
    hand.browser.client.switch_to_window(second.clone()).await.unwrap();
    hand.browser.until("document.querySelector('[data-do=tab-both]') !== null").await;
    rewrite(&mut hand, "car.wheelbase", "2700").await;
    hand.tap("[data-do=tab-theirs]").await;
    assert_eq!(value(&hand, "car.wheelbase").await, "2600");
    hand.tap("[data-do=undo]").await;
    assert_eq!(value(&hand, "car.wheelbase").await, "2700");
    // Both: the first tab's becomes a plan beside it.
    hand.browser.client.switch_to_window(first.clone()).await.unwrap();
    hand.browser.until("document.querySelector('[data-do=tab-both]') !== null").await;
    hand.tap("[data-do=tab-both]").await;
    hand.tap("#plans-open").await;
    assert_eq!(listed(&hand).await, json!(["Bread van, from another tab", "Bread van"]));
    hand.tap("#plans-close").await;
    // A plan that another tab removes is not gone here until that is chosen.
    let shared = address(&hand).await;
    hand.browser.client.switch_to_window(second).await.unwrap();
    hand.arrive(&shared).await;
    hand.tap("#plans-open").await;
    hand.tap("[data-plan-do=remove][aria-label='Remove: Bread van, from another tab']").await;
    hand.browser.client.switch_to_window(first).await.unwrap();
    hand.browser.until("document.querySelector('[data-do=tab-mine]') !== null").await;
    assert!(bar(&hand).await.contains("removed"), "{}", bar(&hand).await);
    hand.tap("[data-do=tab-mine]").await;
    assert_eq!(value(&hand, "name").await, "Bread van, from another tab");
    hand.reload().await;
    assert_eq!(value(&hand, "name").await, "Bread van, from another tab");
    assert_eq!(hand.browser.complaints(), Vec::<String>::new());
}

const REFUSED: &str = "for (const name of ['getItem', 'setItem', 'removeItem']) Storage.prototype[name] = () => { throw new DOMException('no', 'SecurityError'); };";
const FULL: &str = "Storage.prototype.setItem = () => { throw new DOMException('full', 'QuotaExceededError'); };";
/// Texts that are no plan: broken off, and of a plan that this program cannot read.
const SPOILT: &str = r#"if (localStorage.getItem('donorack.open') === null) {
    localStorage.setItem('donorack.open', '00000000000a');
    localStorage.setItem('donorack.plan.00000000000a', '{"id": "00000');
    localStorage.setItem('donorack.plan.00000000000b', '{"id": "00000000000b", "plan": {"donorack": 1, "car": {"weelbase": 1}}}');
    for (const key of ['donorack.past.00000000000a', 'donorack.gone', 'donorack.place', 'donorack.units', 'donorack.look']) localStorage.setItem(key, '{{');
}"#;

/// A tab that heard nothing of the other finds out at its next keystroke, before it would write.
#[tokio::test]
async fn a_deaf_tab_looks_before_it_writes() {
    let mut hand = after("window.addEventListener('storage', (event) => event.stopImmediatePropagation());").await;
    hand.tap("[data-do=start]").await;
    hand.write("car.wheelbase", "100").await;
    // As another tab writes: another number, another stamp.
    let other = "const key = `donorack.plan.${localStorage.getItem('donorack.open')}`; const held = JSON.parse(localStorage.getItem(key));
        held.plan.car.wheelbase = '110 in'; held.rest = {}; held.stamp = 'another'; localStorage.setItem(key, JSON.stringify(held));";
    hand.browser.js(other).await;
    assert_eq!(bar(&hand).await, "");
    hand.type_on("5").await;
    assert!(bar(&hand).await.contains("Another tab has changed this plan"), "{}", bar(&hand).await);
    assert_eq!(stored(&hand).await["plan"]["car"]["wheelbase"], "110 in");
    assert_eq!(value(&hand, "car.wheelbase").await, "1005", "what was typed stands");
    hand.tap("[data-do=tab-theirs]").await;
    assert_eq!(value(&hand, "car.wheelbase").await, "110");
    hand.content().await;
}

/// Where there is no room left, the steps back of other plans give way to what is typed now.
#[tokio::test]
async fn steps_back_of_other_plans_make_room() {
    let mut hand = Hand::on(Screen::Phone).await;
    hand.tap("[data-do=start]").await;
    hand.write("car.wheelbase", "100").await;
    let fill = "for (let size = 1 << 22; size >= 1; size >>= 1) { try { for (let n = 0; ; n += 1) localStorage.setItem(`donorack.past.${size}.${n}`, 'x'.repeat(size)); } catch { } } return localStorage.length";
    assert!(hand.browser.js(fill).await.as_u64().unwrap() > 3);
    hand.type_on(".25").await;
    assert_eq!(stored(&hand).await["plan"]["car"]["wheelbase"], "100.25 in");
    assert_eq!(bar(&hand).await, "");
    hand.reload().await;
    assert_eq!(value(&hand, "car.wheelbase").await, "100.25");
}

#[tokio::test]
async fn storage_that_fails_is_said_and_the_plan_works() {
    for (script, word) in [(REFUSED, "keeps nothing"), (FULL, "no room left")] {
        let mut hand = after(script).await;
        hand.tap("[data-do=start]").await;
        hand.nine(&SUITS, false).await;
        hand.browser.js("document.activeElement.blur()").await;
        assert!(bar(&hand).await.contains(word), "{}", bar(&hand).await);
        shown::check(&hand.browser, &plan(&SUITS.file()), "inch").await;
        // The link holds all of it, and undo works as long as the page is there.
        assert_eq!(linked(&address(&hand).await), plan(&SUITS.file()));
        hand.tap("[data-do=undo]").await;
        assert_ne!(linked(&address(&hand).await), plan(&SUITS.file()));
        hand.tap("#plans-open").await;
        assert!(hand.browser.text("#plans-how").await.contains(word));
        hand.browser.screenshot(&format!("plans-{}", word.replace(' ', "-"))).await;
        hand.tap("#plans-close").await;
        // After a reload it comes back by its link alone.
        let link = address(&hand).await;
        hand.reload().await;
        assert_eq!(linked(&link), linked(&address(&hand).await));
        hand.content().await;
    }
    // Room again: the next keystroke is kept, and nothing is complained of any more.
    let mut hand = own(Screen::Phone, "Bread van", &[("car.wheelbase", "2540")]).await;
    hand.browser.js("window.put = Storage.prototype.setItem; Storage.prototype.setItem = () => { throw new DOMException('full', 'QuotaExceededError'); }").await;
    rewrite(&mut hand, "car.wheelbase", "2550").await;
    assert!(bar(&hand).await.contains("no room left"));
    assert_eq!(stored(&hand).await["plan"]["car"]["wheelbase"], "2540 mm");
    hand.browser.js("Storage.prototype.setItem = window.put").await;
    hand.type_on("5").await;
    assert_eq!(bar(&hand).await, "");
    assert_eq!(stored(&hand).await["plan"]["car"]["wheelbase"], "25505 mm");
}

#[tokio::test]
async fn what_is_spoilt_is_said_and_left_alone() {
    let mut hand = after(SPOILT).await;
    assert!(bar(&hand).await.contains("2 plans kept here can no longer be read"), "{}", bar(&hand).await);
    hand.tap("[data-do=start]").await;
    hand.write("car.wheelbase", "100").await;
    hand.enter().await;
    let kept = hand.browser.js("return ['a', 'b'].map((n) => localStorage.getItem(`donorack.plan.00000000000${n}`).slice(0, 13))").await;
    assert_eq!(kept, json!(["{\"id\": \"00000", "{\"id\": \"00000"]), "nothing is written over them");
    hand.reload().await;
    assert_eq!(value(&hand, "car.wheelbase").await, "100", "the new plan is kept beside them");
    hand.tap("#plans-open").await;
    assert_eq!(hand.browser.js("return document.querySelectorAll('.broken textarea').length").await, json!(2));
    hand.browser.screenshot("plans-spoilt").await;
    hand.tap(".broken [data-plan-do=remove]").await;
    hand.tap(".broken [data-plan-do=remove]").await;
    hand.tap("#plans-close").await;
    assert_eq!(bar(&hand).await, "");
    hand.content().await;
}

#[tokio::test]
async fn a_plan_that_comes_back_changed_lists_what_differs() {
    let mut hand =
        own(Screen::Phone, "Bread van", &[("car.wheelbase", "2540"), ("car.front_track", "1384"), ("racks.0.name", "Short one")]).await;
    let sent = address(&hand).await;
    // The friend changes a number, adds one and a rack, and sends it back.
    let mut friend = Hand { browser: Browser::open(Screen::Phone).await, taps: 0, keys: 0 };
    friend.goto(&sent).await;
    friend.tap("[data-do=keep]").await;
    rewrite(&mut friend, "car.wheelbase", "100").await;
    friend.tap("[data-unit='car.wheelbase']").await;
    friend.write("racks.0.travel_two_turns", "1 7/8").await;
    friend.tap("[data-do=add-rack]").await;
    let second = Four { inner_joint_spacing: "24", travel_two_turns: "4", travel: "5", bar_moves: "right" };
    friend.four(1, &second, false).await;
    let back = address(&friend).await;
    assert_eq!(Plan::from_link(&back).unwrap().id, Plan::from_link(&sent).unwrap().id, "it is known again");
    let theirs = linked(&back);
    // It lists the fields, and touches nothing.
    let before = hand.stored().await;
    hand.arrive(&format!("{back}.")).await;
    let rows = "return [...document.querySelectorAll('[data-differs]')].map((n) => [n.dataset.differs, n.querySelector('.mine').lastChild.textContent, n.querySelector('.theirs').lastChild.textContent])";
    let unit = if value(&friend, "car.wheelbase").await == "100" {
        friend.browser.text("[data-unit='car.wheelbase']").await
    } else {
        String::new()
    };
    let listed = hand.browser.js(rows).await;
    assert_eq!(
        listed,
        json!([
            ["car.wheelbase", "2540 mm", format!("100 {unit}")],
            ["racks.0.travel_two_turns", "nothing", "1 7/8 in"],
            ["added.1", "not there", "there"]
        ])
    );
    assert_eq!(value(&hand, "car.wheelbase").await, "2540");
    assert_eq!(hand.stored().await, before);
    assert!(said(&hand).await.contains("3 differences"), "{}", said(&hand).await);
    hand.browser.screenshot("plans-came-back").await;
    // One taken over, undone, taken again; a reload leaves the rest there.
    hand.tap("[data-take='car.wheelbase']").await;
    assert_eq!(stored(&hand).await["plan"]["car"]["wheelbase"], format!("100 {unit}"));
    assert_eq!(hand.browser.js(rows).await.as_array().unwrap().len(), 2);
    hand.tap("[data-do=undo]").await;
    assert_eq!(stored(&hand).await["plan"]["car"]["wheelbase"], "2540 mm");
    assert_eq!(hand.browser.js(rows).await.as_array().unwrap().len(), 3);
    hand.tap("[data-take='car.wheelbase']").await;
    hand.reload().await;
    assert_eq!(hand.browser.js(rows).await.as_array().unwrap().len(), 2);
    // Theirs to look at, and back; then all of it.
    hand.tap("[data-take=look]").await;
    assert!(bar(&hand).await.contains("friend’s plan"), "{}", bar(&hand).await);
    shown::check(&hand.browser, &theirs, "mm").await;
    hand.tap("[data-do=back]").await;
    hand.tap("[data-take=all]").await;
    let mine = linked(&address(&hand).await);
    assert_eq!((&mine.car, &mine.racks, &mine.limits), (&theirs.car, &theirs.racks, &theirs.limits));
    assert!(hand.browser.text("#beside").await.contains("Nothing differs any more"));
    hand.tap("[data-take=away]").await;
    hand.reload().await;
    assert!(!hand.browser.find("#beside").await.is_displayed().await.unwrap());
    // The same link again says nothing; a link without an id is a friend's, as before.
    hand.arrive(&back).await;
    assert!(!hand.browser.find("#beside").await.is_displayed().await.unwrap());
    assert_eq!(bar(&hand).await, "");
    hand.goto(&format!("#{}", theirs.to_link())).await;
    hand.browser.until("document.querySelector('[data-do=keep]') !== null").await;
    hand.content().await;
}

#[tokio::test]
async fn a_reload_leads_back_to_the_same_field_and_place() {
    let mut hand = own(Screen::Phone, "Bread van", &[("car.wheelbase", "2540")]).await;
    hand.tap("details[data-more=car] > summary").await;
    hand.write("car.rear_track", "13").await;
    let place = "const n = document.querySelector('[data-field=\"car.rear_track\"]'); return [document.activeElement === n, Math.round(n.getBoundingClientRect().top), scrollY > 300]";
    let before = hand.browser.js(place).await;
    assert_eq!((&before[0], &before[2]), (&json!(true), &json!(true)));
    for _ in 0..2 {
        hand.reload().await;
        let after = hand.browser.js(place).await;
        assert_eq!((&after[0], &after[2]), (&json!(true), &json!(true)), "{after}");
        assert!((after[1].as_i64().unwrap() - before[1].as_i64().unwrap()).abs() <= 2, "{before} {after}");
    }
    hand.type_on("60").await;
    assert_eq!(stored(&hand).await["plan"]["car"]["rear_track"], "1360 mm", "typing goes on");
    // Without a field, the place alone: far down, in another part.
    hand.browser.turn_to("#turning-title").await;
    hand.browser.turn_to("[data-more=car]").await;
    hand.browser.js("document.activeElement.blur(); document.querySelector('[data-path=\"car.rear_track\"]').scrollIntoView({ behavior: 'instant' })").await;
    let top = "return [Math.round(document.querySelector('[data-path=\"car.rear_track\"]').getBoundingClientRect().top), document.activeElement === document.body]";
    let before = hand.browser.js(top).await;
    hand.reload().await;
    let after = hand.browser.js(top).await;
    assert!((after[0].as_i64().unwrap() - before[0].as_i64().unwrap()).abs() <= 2 && after[1] == json!(true), "{before} {after}");
    hand.content().await;
}

#[tokio::test]
async fn an_installed_copy_that_is_empty_takes_a_link() {
    let standalone = "const media = window.matchMedia.bind(window); window.matchMedia = (query) => (query.includes('standalone') ? { matches: true, addEventListener() {} } : media(query));";
    let mut hand = after(standalone).await;
    assert!(bar(&hand).await.contains("apart from the browser"), "{}", bar(&hand).await);
    hand.browser.screenshot("plans-installed").await;
    hand.tap("[data-do=paste]").await;
    assert_eq!(hand.browser.js("return document.activeElement.id").await, json!("paste"));
    hand.type_on("not a link\u{e007}").await;
    assert!(hand.browser.text("#paste-problem").await.contains("damaged"), "{}", hand.browser.text("#paste-problem").await);
    let wanted = plan(&SUITS.file());
    hand.browser.js("document.activeElement.select()").await;
    hand.type_on(&format!("https://example.org/#{}, see?\u{e007}", wanted.to_link())).await;
    assert!(hand.browser.text("#paste-problem").await.contains("damaged"), "words after a link are not part of one");
    hand.browser.js("document.activeElement.select()").await;
    hand.type_on(&format!("https://example.org/#{}.\u{e007}", wanted.to_link())).await;
    hand.browser.until("!document.querySelector('#plans').open").await;
    shown::check(&hand.browser, &wanted, "inch").await;
    hand.tap("[data-do=keep]").await;
    hand.reload().await;
    shown::check(&hand.browser, &wanted, "inch").await;
    assert!(!bar(&hand).await.contains("apart from the browser"));
    // Once there are some numbers the browser is asked to keep them: not before, and once.
    hand.content().await;
}

#[tokio::test]
async fn the_browser_is_asked_to_keep_what_is_worth_it() {
    let script = "window.asked = 0; StorageManager.prototype.persisted = async () => false; StorageManager.prototype.persist = async () => { window.asked += 1; return true; };";
    let mut hand = after(script).await;
    hand.tap("[data-do=start]").await;
    hand.write("car.wheelbase", "100").await;
    hand.enter().await;
    assert_eq!(hand.browser.js("return window.asked").await, json!(0), "one number is not worth a question");
    for (path, text) in [("car.front_track", "54"), ("car.rod_end_spacing", "46"), ("racks.0.travel", "5")] {
        hand.write(path, text).await;
        hand.enter().await;
    }
    hand.browser.until("window.asked === 1").await;
    hand.write("racks.0.travel_two_turns", "1 7/8").await;
    assert_eq!(hand.browser.js("return window.asked").await, json!(1));
    hand.tap("#plans-open").await;
    assert!(hand.browser.text("#plans-how").await.contains("promised"));
}

/// What the ± cannot tell apart, what a figure rests on, and a limit turned off: shown as the core says.
#[tokio::test]
async fn differences_inputs_and_limits_are_the_cores() {
    let mut file = SUITS.file();
    let mut copy = file["racks"][0].clone();
    copy["name"] = json!("Twin");
    let mut other = file["racks"][0].clone();
    (other["name"], other["travel"]) = (json!("Short"), json!("3 in"));
    file["racks"] = json!([file["racks"][0], copy, other]);
    let wanted = plan(&file);
    let view = donorack::evaluate(&wanted);
    let mut hand = Hand { browser: Browser::open(Screen::Phone).await, taps: 0, keys: 0 };
    hand.goto(&format!("#{}", wanted.to_link())).await;
    let near = hand
        .browser
        .js("return [...document.querySelectorAll('#compare-table tbody tr')].map((row) => [row.querySelector('[data-sort]').dataset.sort,
        [...row.querySelectorAll('td')].map((n) => n.querySelector('.alike')?.textContent ?? '')])")
        .await;
    let name = |i: &usize| if *i == 0 { "Rack 1".to_owned() } else { wanted.racks[*i].name.clone() };
    let mut seen = 0;
    for row in near.as_array().unwrap() {
        let Some(alike) = view.alike.iter().find(|a| row[0] == a.key) else { continue };
        let told: Vec<String> = alike
            .racks
            .iter()
            .map(|others| match others.iter().map(name).collect::<Vec<_>>().as_slice() {
                [] => String::new(),
                [one] => format!("within ± of {one}"),
                [first, second] => format!("within ± of {first} and {second}"),
                more => panic!("{more:?}"),
            })
            .collect();
        assert_eq!(row[1], json!(told), "{}", alike.key);
        seen += 1;
    }
    assert_eq!(seen, view.alike.len());
    // Sorted by a question the columns stand as the core says, the best first; once more by the same as in the plan.
    let columns = "return [...document.querySelectorAll('#compare-table [data-choose]')].map((n) => Number(n.dataset.choose))";
    for alike in &view.alike {
        let sort = format!("[data-sort={}]", alike.key);
        hand.tap(&sort).await;
        assert_eq!(hand.browser.js(columns).await, json!(alike.order), "{}", alike.key);
        hand.tap(&sort).await;
        assert_eq!(hand.browser.js(columns).await, json!([0, 1, 2]), "{}", alike.key);
    }
    assert!(view.alike.iter().any(|alike| alike.order != [0, 1, 2]), "or nothing was sorted");
    // Every open figure: its inputs as the core lists them, carried ones marked.
    hand.browser.js("for (const part of document.querySelectorAll('#figures details')) part.open = true").await;
    hand.browser.until("[...document.querySelectorAll('[data-fact=circle_centre] [data-rests]')].length > 3").await;
    let rests = hand.browser.js("return Object.fromEntries([...document.querySelectorAll('#figures [data-fact]')].map((n) => [n.dataset.fact, [...n.querySelectorAll('[data-rests]')].map((one) => [one.dataset.rests, one.querySelector('b').textContent])]))").await;
    for name in ["turns", "circle_centre", "ratio_centre", "lock_inner", "arm_length"] {
        let told = donorack::explain(&wanted, wanted.chosen, name, 0).unwrap();
        let inputs: Vec<Value> = told.inputs.iter().map(|i| json!([i.name, i.typed])).collect();
        assert_eq!(rests[name], json!(inputs), "{name}");
        assert!(hand.browser.text(&format!("[data-fact={name}] .rests-on")).await.contains(told.source), "{name}");
    }
    hand.browser.js("document.querySelector('[data-fact=lock_inner]').scrollIntoView()").await;
    hand.browser.screenshot("plans-rests-on").await;
    // A limit turned off, seen and turned on again.
    hand.tap("[data-do=keep]").await;
    hand.tap("details[data-more=limits] > summary").await;
    hand.tap("[data-off='limits.lock_inner']").await;
    let mut off = file.clone();
    off["limits"] = json!({ "lock_inner": "off" });
    shown::check(&hand.browser, &plan(&off), "inch").await;
    assert!(hand.browser.text("#verdict").await.contains("lock (turned off by you)"), "{}", hand.browser.text("#verdict").await);
    assert!(hand.browser.text("[data-path='limits.lock_inner'] .limit-origin").await.contains("turned off by you"));
    hand.browser.screenshot("plans-limit-off").await;
    hand.reload().await;
    shown::check(&hand.browser, &plan(&off), "inch").await;
    hand.tap("[data-off='limits.lock_inner']").await;
    shown::check(&hand.browser, &wanted, "inch").await;
    hand.content().await;
}
