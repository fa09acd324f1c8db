//! What this browser kept and something spoilt: the page starts, and it costs at most itself.

use crate::hand::{Hand, SUITS};
use crate::plans::{bar, own, rewrite, value};
use donorack_tests::browser::Screen;
use serde_json::{Value, json};

/// What becomes of the open plan's record, by name, and whether the plan is still there as it was. Of `r`, the record as an object, and
/// `t`, its text, a JavaScript expression makes the spoilt text.
const RECORDS: [(&str, &str, bool); 58] = [
    ("empty", "''", false),
    ("null", "'null'", false),
    ("number", "'5'", false),
    ("text", "'\"plan\"'", false),
    ("list", "'[]'", false),
    ("nothing in it", "'{}'", false),
    ("no JSON", "'{{'", false),
    ("broken off", "t.slice(0, t.length >> 1)", false),
    ("broken off at its end", "t.slice(0, -1)", false),
    ("twice", "t + t", false),
    ("huge", "'['.repeat(3100000)", false),
    ("deep", "t.replace('\"car\":{', '\"car\":' + '['.repeat(100000) + ']'.repeat(100000) + ',\"limits\":{')", false),
    ("id null", "{ ...r, id: null }", false),
    ("id number", "{ ...r, id: 5 }", false),
    ("id of another", "{ ...r, id: 'ffffffffffff' }", false),
    ("id of the language", "{ ...r, id: '__proto__' }", false),
    ("plan null", "{ ...r, plan: null }", false),
    ("plan number", "{ ...r, plan: 7 }", false),
    ("plan text", "{ ...r, plan: JSON.stringify(r.plan) }", false),
    ("plan list", "{ ...r, plan: [] }", false),
    ("plan empty", "{ ...r, plan: {} }", false),
    ("plan newer", "{ ...r, plan: { ...r.plan, donorack: 2 } }", false),
    ("plan with another id", "{ ...r, plan: { ...r.plan, id: 'eeeeeeeeeeee' } }", true),
    ("plan with a bad id", "{ ...r, plan: { ...r.plan, id: 5 } }", false),
    ("car null", "{ ...r, plan: { ...r.plan, car: null } }", false),
    ("car number", "{ ...r, plan: { ...r.plan, car: 5 } }", false),
    ("car of objects", "{ ...r, plan: { ...r.plan, car: { wheelbase: {} } } }", false),
    ("car unknown", "{ ...r, plan: { ...r.plan, car: { weelbase: 1 } } }", false),
    ("racks null", "{ ...r, plan: { ...r.plan, racks: null } }", false),
    ("racks object", "{ ...r, plan: { ...r.plan, racks: { length: 2 } } }", false),
    ("racks of null", "{ ...r, plan: { ...r.plan, racks: [null] } }", false),
    ("racks too many", "{ ...r, plan: { ...r.plan, racks: Array(65).fill({}) } }", false),
    ("racks without end", "{ ...r, plan: { ...r.plan, racks: Array(300000).fill({}) } }", false),
    ("name number", "{ ...r, plan: { ...r.plan, name: 5 } }", false),
    ("name too long", "{ ...r, plan: { ...r.plan, name: 'x'.repeat(201) } }", false),
    ("shown beyond", "{ ...r, plan: { ...r.plan, chosen: -1 } }", false),
    ("prototype in plan", "t.replace('\"plan\":{', '\"plan\":{\"__proto__\":{\"racks\":5},')", false),
    ("rest null", "{ ...r, rest: null }", true),
    ("rest number", "{ ...r, rest: 5 }", true),
    ("rest text", "{ ...r, rest: 'x' }", true),
    ("rest list", "{ ...r, rest: [1, null] }", true),
    ("rest of null", "{ ...r, rest: { car: null, limits: 5, racks: null } }", true),
    ("rest racks of null", "{ ...r, rest: { ...r.rest, racks: [null, 5, { travel: null }] } }", true),
    ("rest by path", "{ ...r, rest: { 'car.wheelbase': null, 'racks.0': 5, 'racks.99999.travel': {}, 'racks.0.travel': 5 } }", true),
    ("rest of numbers", "{ ...r, rest: { car: { wheelbase: { text: 5, unit: {}, side: null } } } }", true),
    ("rest of odd units", "{ ...r, rest: { car: { wheelbase: { text: '2540', unit: 'furlong', side: 'up' } } } }", true),
    ("prototype in rest", "t.replace('\"rest\":{', '\"rest\":{\"__proto__\":{\"a.b\":1},\"constructor\":5,')", true),
    ("asked null", "{ ...r, asked: null }", true),
    ("asked number", "{ ...r, asked: 5 }", true),
    ("asked nonsense", "{ ...r, asked: { spacing: 'constructor', travelBy: { 0: 'x' } } }", true),
    ("asked more nonsense", "{ ...r, asked: { spacing: {}, travelBy: [5, 'name', null, 'bar_moves'] } }", true),
    ("stamp object", "{ ...r, stamp: {} }", true),
    ("when text", "{ ...r, when: 'yesterday' }", true),
    ("when beyond", "{ ...r, when: 1e300 }", true),
    ("gone null", "{ ...r, gone: null }", true),
    ("gone text", "{ ...r, gone: 'x' }", true),
    ("format newer", "{ ...r, format: 99 }", false),
    ("format text", "{ ...r, format: '2' }", false),
];

/// What stands under the other keys; the plan is there as it was, whatever it is.
const OTHERS: [(&str, &str); 22] = [
    ("which is open, nonsense", "localStorage.setItem('donorack.open', '{}')"),
    ("which is open, none that there is", "localStorage.setItem('donorack.open', 'abcdefabcdef')"),
    ("which is open, of the language", "localStorage.setItem('donorack.open', '__proto__')"),
    ("steps null", "steps.forEach((key) => localStorage.setItem(key, 'null'))"),
    ("steps number", "steps.forEach((key) => localStorage.setItem(key, '5'))"),
    ("steps empty", "steps.forEach((key) => localStorage.setItem(key, '{}'))"),
    ("steps broken off", "steps.forEach((key) => localStorage.setItem(key, localStorage.getItem(key).slice(0, -3)))"),
    (
        "steps that lead nowhere",
        "steps.forEach((key) => localStorage.setItem(key, JSON.stringify({ what: 'x', delta: { o: { plan: { l: { 3: { m: [], p: 1, s: 2 } } } } }, next: 1 })))",
    ),
    (
        "steps that do not fit",
        "steps.slice(0, -1).forEach((key, n) => localStorage.setItem(key, JSON.stringify({ what: 'x', delta: { o: { plan: { m: 5 } } }, next: Number(steps[n + 1].split('.')[3]) })))",
    ),
    ("steps of nonsense", "steps.forEach((key) => localStorage.setItem(key, JSON.stringify({ what: 5, was: { id: 1 } })))"),
    ("steps with odd numbers", "steps.forEach((key, n) => { localStorage.setItem(`${key}e${n}.x`, localStorage.getItem(key)); })"),
    (
        "old steps",
        "localStorage.setItem(`donorack.past.${id}`, '[null, 5, {\"what\": \"x\"}, {\"what\": \"y\", \"was\": {\"id\": null}}]')",
    ),
    ("old steps, no list", "localStorage.setItem(`donorack.past.${id}`, '{\"length\": 3}')"),
    ("old removed", "localStorage.setItem('donorack.gone', '[null, 5, {}, {\"held\": null}, {\"held\": {\"id\": 5, \"plan\": {}}}]')"),
    ("old removed, no list", "localStorage.setItem('donorack.gone', '{{')"),
    ("place null", "for (const store of [localStorage, sessionStorage]) store.setItem('donorack.place', 'null')"),
    (
        "place nonsense",
        "for (const store of [localStorage, sessionStorage]) store.setItem('donorack.place', JSON.stringify({ id, field: {}, unfolded: {}, mark: 5 }))",
    ),
    (
        "place beyond",
        "for (const store of [localStorage, sessionStorage]) store.setItem('donorack.place', JSON.stringify({ id, field: '\"]', unfolded: [5, null], mark: { at: -1, top: {} } }))",
    ),
    ("units and look", "localStorage.setItem('donorack.units', '{}'); localStorage.setItem('donorack.look', '5')"),
    ("aside", "sessionStorage.setItem('donorack.aside', JSON.stringify({ id, plan: { donorack: 1, car: 5 }, rest: null }))"),
    ("beside", "sessionStorage.setItem('donorack.beside', JSON.stringify({ id, link: 'nonsense', kind: 'constructor' }))"),
    ("the address’s own", "history.replaceState({ plan: { id: 5 }, kept: false, stamp: {} }, '', location.href)"),
];

/// Puts everything back as it was, and spoils something.
const SPOIL: &str = "const [kept, script] = arguments;
    localStorage.clear();
    sessionStorage.clear();
    for (const [key, text] of Object.entries(kept)) localStorage.setItem(key, text);
    const id = localStorage.getItem('donorack.open');
    history.replaceState({ plan: id }, '', location.pathname);
    const key = `donorack.plan.${id}`;
    const steps = Object.keys(localStorage).filter((k) => k.startsWith(`donorack.step.${id}.`)).sort();
    const t = localStorage.getItem(key);
    const r = JSON.parse(t);
    if (steps.length < 3) throw new Error('too few steps to spoil');
    const made = new Function('r', 't', 'id', 'steps', script)(r, t, id, steps);
    if (made !== undefined) localStorage.setItem(key, typeof made === 'string' ? made : JSON.stringify(made));";

#[tokio::test]
async fn every_form_of_it_costs_at_most_itself() {
    let mut hand = own(Screen::Phone, "Good one", &[("car.wheelbase", "2410")]).await;
    hand.tap("[data-do=start]").await;
    for (path, text) in [("name", "Spoilt one"), ("car.wheelbase", "2540"), ("racks.0.travel", "138"), ("car.front_track", "1384")] {
        rewrite(&mut hand, path, text).await;
        hand.enter().await;
    }
    hand.browser.js("document.activeElement.blur()").await;
    let kept = hand.browser.js("return { ...localStorage }").await;
    let records = RECORDS.iter().map(|(name, spoil, there)| (*name, format!("return {spoil};"), *there, true));
    let others = OTHERS.iter().map(|(name, spoil)| (*name, format!("{spoil};"), true, false));
    let (mut forms, mut back) = (0, 0);
    for (name, spoil, there, record) in records.chain(others) {
        // What the page that is left writes on its way out is not in the way.
        hand.browser.goto("icon.svg").await;
        hand.browser.js_with(SPOIL, vec![kept.clone(), json!(spoil)]).await;
        hand.goto("").await;
        if name == "the address’s own" {
            hand.browser.js_with(SPOIL, vec![kept.clone(), json!(spoil)]).await;
            hand.reload().await;
        }
        let told = bar(&hand).await;
        assert_eq!(value(&hand, "car.wheelbase").await, "2540", "{name}: {told}");
        if there {
            assert_eq!((value(&hand, "car.front_track").await.as_str(), told.as_str()), ("1384", ""), "{name}");
            // It is kept again, in one piece.
            hand.browser.js("document.querySelector('[data-field=\"car.rear_track\"]').closest('details').open = true").await;
            rewrite(&mut hand, "car.rear_track", "1350").await;
            hand.reload().await;
            assert_eq!(value(&hand, "car.rear_track").await, "1350", "{name}");
        } else {
            // As it stood a step back, and what cannot be read is still there to be seen.
            assert!(record && told.contains("as it was a step back"), "{name}: {told}");
            assert_eq!([value(&hand, "racks.0.travel").await, value(&hand, "car.front_track").await], ["138", ""], "{name}");
            back += 1;
        }
        hand.tap("#plans-open").await;
        let seen = "return [[...document.querySelectorAll('#plans-list .plan-name')].map((n) => n.textContent).sort(), document.querySelectorAll('.broken').length]";
        let seen = hand.browser.js(seen).await;
        assert_eq!(seen[0], json!(["Good one", "Spoilt one"]), "{name}");
        // Of what fills the store by itself there is no second one.
        assert_eq!(seen[1], json!(usize::from(!there && name != "huge")), "{name}");
        hand.browser
            .js("[...document.querySelectorAll('[data-plan-do=open]')].find((n) => n.textContent.startsWith('Good one')).click()")
            .await;
        assert_eq!(value(&hand, "car.wheelbase").await, "2410", "{name}");
        // A bare picture names no icon, so the browser asks for one in vain.
        let complaints: Vec<_> = hand.browser.complaints().into_iter().filter(|line| !line.contains("favicon.ico")).collect();
        assert_eq!(complaints, Vec::<String>::new(), "{name}");
        forms += 1;
    }
    println!("{forms} forms of what is spoilt: the page starts, the other plan is there; in {back} the spoilt one opens a step back");
    assert!(forms >= 43);
}

/// Without a step back a record that cannot be read is said, left alone, and can be taken away.
#[tokio::test]
async fn what_no_step_leads_back_from_is_left_alone() {
    let mut hand = own(Screen::Phone, "Good one", &[("car.wheelbase", "2410")]).await;
    let spoilt = json!({ "id": "00000000000a", "plan": { "donorack": 1 }, "rest": {}, "format": 99 }).to_string();
    hand.browser
        .js_with(
            "localStorage.setItem('donorack.plan.00000000000a', arguments[0]); localStorage.setItem('donorack.open', '00000000000a')",
            vec![json!(spoilt)],
        )
        .await;
    hand.goto("").await;
    assert_eq!(value(&hand, "car.wheelbase").await, "2410");
    assert!(bar(&hand).await.contains("can no longer be read"), "{}", bar(&hand).await);
    hand.tap("#plans-open").await;
    hand.tap("[data-plan-do=earlier]").await;
    assert!(hand.browser.text("#plans-how").await.contains("No step back"));
    assert_eq!(hand.browser.js("return document.querySelector('.broken textarea').value").await, json!(spoilt));
    assert_eq!(hand.browser.js("return localStorage.getItem('donorack.plan.00000000000a')").await, json!(spoilt));
    hand.tap(".broken [data-plan-do=remove]").await;
    assert_eq!(hand.browser.js("return localStorage.getItem('donorack.plan.00000000000a')").await, Value::Null);
    hand.content().await;
}

/// What earlier versions kept is read: records without a format, all steps in one, all that was removed in one.
#[tokio::test]
async fn what_earlier_versions_kept_is_read() {
    let hand = Hand::on(Screen::Phone).await;
    let file = |id: &str, name: &str, wheelbase: &str| {
        let mut plan = SUITS.file();
        plan["id"] = json!(id);
        plan["name"] = json!(name);
        plan["car"]["wheelbase"] = json!(format!("{wheelbase} in"));
        json!({ "id": id, "plan": plan, "rest": { "car.wheelbase": { "text": wheelbase, "unit": "in", "side": "" } }, "asked": { "spacing": null, "travelBy": [null] }, "stamp": "a", "when": 1_700_000_000_000_u64 })
    };
    let (a, b) = ("00000000000a", "00000000000b");
    let past = json!([{ "what": "new plan", "born": true, "back": "example" }, { "what": "Wheelbase", "was": file(a, "Old", "98 1/2") }, { "what": "Wheelbase", "was": file(a, "Old", "99 0/2") }]);
    let gone = json!([{ "held": file(b, "Removed", "77"), "past": [{ "what": "Wheelbase", "was": file(b, "Removed", "76") }] }]);
    let keys = json!({ format!("donorack.plan.{a}"): file(a, "Old", "100").to_string(), format!("donorack.past.{a}"): past.to_string(), "donorack.gone": gone.to_string(), "donorack.open": a });
    hand.browser
        .js_with(
            "localStorage.clear(); for (const [key, text] of Object.entries(arguments[0])) localStorage.setItem(key, text)",
            vec![keys],
        )
        .await;
    let mut hand = hand;
    hand.goto("").await;
    assert_eq!(value(&hand, "car.wheelbase").await, "100");
    for wanted in ["99 0/2", "98 1/2"] {
        hand.tap("[data-do=undo]").await;
        assert_eq!(value(&hand, "car.wheelbase").await, wanted);
        hand.reload().await;
        assert_eq!(value(&hand, "car.wheelbase").await, wanted);
    }
    hand.tap("#plans-open").await;
    hand.tap("[data-plan-do=back]").await;
    hand.tap("#plans-close").await;
    hand.tap("#plans-open").await;
    hand.browser.js("[...document.querySelectorAll('[data-plan-do=open]')].find((n) => n.textContent.startsWith('Removed')).click()").await;
    assert_eq!(value(&hand, "car.wheelbase").await, "77");
    hand.tap("[data-do=undo]").await;
    assert_eq!(value(&hand, "car.wheelbase").await, "76");
    hand.content().await;
}
