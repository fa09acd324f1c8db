//! The parts of the page: one in front on a phone, two on a wide screen; how one gets from one to another, and what stays in view.

use crate::hand::{Hand, SUITS, linked, plan, whole};
use crate::plans::{address, own};
use donorack::PARTS;
use donorack_tests::browser::Screen;
use donorack_tests::engine::Engine;
use serde_json::{Value, json};

/// The parts that are laid out, and what of the others could be found.
const FRONT: &str = "return [...document.querySelectorAll('.part')].map((n) => [n.dataset.part, n.querySelector('h2').checkVisibility(), n.getAttribute('hidden')])";

async fn front(hand: &Hand) -> Vec<String> {
    let all: Vec<(String, bool, Option<String>)> = serde_json::from_value(hand.browser.js(FRONT).await).unwrap();
    assert_eq!(all.iter().map(|p| p.0.as_str()).collect::<Vec<_>>(), PARTS);
    // An element of that id would be where the browser jumps by itself at a part's address.
    assert_eq!(hand.browser.js(&format!("return {}.filter((part) => document.getElementById(part))", json!(PARTS))).await, json!([]));
    for (name, seen, hidden) in &all {
        assert_eq!(hidden.as_deref(), if *seen { None } else { Some("until-found") }, "{name}");
    }
    let links = "return [...document.querySelectorAll('#parts [aria-current=page]')].map((n) => n.dataset.partLink)";
    let shown: Vec<String> = all.into_iter().filter(|p| p.1).map(|p| p.0).collect();
    assert_eq!(hand.browser.js(links).await, json!(shown), "and the row says so");
    shown
}

/// The same in the row, in the list of all and on the page, in the same order; one in front, its heading with the focus.
#[tokio::test]
async fn one_part_at_a_time_on_a_phone() {
    for screen in [Screen::Phone, Screen::Narrow] {
        let mut own = Hand::on(screen).await;
        own.tap("[data-do=start]").await;
        let link = "return document.querySelector('#parts [data-part-link=points]')";
        assert_eq!(own.browser.js(link).await, Value::Null, "Points is there when asked for");
        let hand = Hand::on(screen).await;
        assert_ne!(hand.browser.js(link).await, Value::Null, "and where there are some");
        hand.part("points").await;
        // A heading may say more than the name: that one ends it.
        let names = "const all = (css) => [...document.querySelectorAll(css)].map((n) => n.textContent);
            const heads = all('.part h2'), row = all('#parts .name');
            return [heads.length === row.length && heads.every((head, n) => head.toLowerCase().endsWith(row[n].toLowerCase())), row, all('#jobs .name')]";
        let names = hand.browser.js(names).await;
        assert_eq!((&names[0], &names[1]), (&json!(true), &names[2]), "no heading, name or place in the order differs");
        for part in PARTS {
            hand.part(part).await;
            assert_eq!(front(&hand).await, [part]);
            let focus = "return [document.activeElement.tagName, document.activeElement.closest('.part').dataset.part]";
            if part != "side" {
                assert_eq!(hand.browser.js(focus).await, json!(["H2", part]));
            }
            let on = "const n = document.querySelector('.part:not([hidden]) .next'); return [n.checkVisibility(), n.textContent.startsWith('On to: '), n.querySelector('.sub').textContent.endsWith('.')]";
            assert_eq!(hand.browser.js(on).await, json!([true, true, true]), "{part} leads on");
        }
        hand.content().await;
    }
}

/// Neighbours are one tap apart, any two at most two.
#[tokio::test]
async fn no_part_is_further_than_two_taps() {
    for screen in [Screen::Phone, Screen::Narrow] {
        let hand = Hand::on(screen).await;
        hand.browser.js("document.documentElement.style.fontSize = '120%'").await;
        hand.part("points").await;
        for (i, from) in PARTS.iter().enumerate() {
            for (j, to) in PARTS.iter().enumerate() {
                hand.part(from).await;
                // Once the row has come to rest.
                hand.browser.settled().await;
                let taps = hand.browser.turn_to(&format!(".part[data-part={to}] h2")).await;
                assert_eq!(front(&hand).await, [*to]);
                let most = [0, 1, 2, 2, 2, 2, 2][i.abs_diff(j)];
                assert!(taps <= most, "{screen:?}: {taps} taps from {from} to {to}");
            }
        }
    }
}

/// However often one turned to another part, Back leaves the page; it closes what lies over it first.
#[tokio::test]
async fn back_leaves_the_page() {
    let mut hand = own(Screen::Phone, "Bread van", &[("car.wheelbase", "2540")]).await;
    hand.arrive(&address(&hand).await).await;
    let length = hand.browser.js("return history.length").await;
    for part in ["side", "car", "turning", "racks"] {
        hand.part(part).await;
        assert!(hand.browser.js("return location.hash").await.as_str().unwrap().starts_with(&format!("#{part}/")));
    }
    for (open, dialog) in [("#parts-all", "#jobs"), ("#plans-open", "#plans")] {
        hand.tap(open).await;
        let is_open = format!("return document.querySelector('{dialog}').matches(':modal')");
        assert_eq!(hand.browser.js(&is_open).await, json!(true));
        hand.type_on("\u{e00c}").await;
        assert_eq!(hand.browser.js(&is_open).await, json!(false), "what closes dialogs closes {dialog}");
    }
    assert_eq!(hand.browser.js("return history.length").await, length);
    hand.browser.client.back().await.unwrap();
    assert_eq!(hand.browser.client.current_url().await.unwrap().as_str(), "about:blank");
}

/// What follows the `#`: a part and a plan, a part alone, a plan alone; a part that this page does not know is passed over.
#[tokio::test]
async fn an_address_names_its_part() {
    let theirs = plan(&SUITS.file());
    let link = theirs.to_link();
    let hand = own(Screen::Phone, "Bread van", &[("car.wheelbase", "2540")]).await;
    let (kept, mine) = (hand.stored().await, linked(&address(&hand).await));
    for (fragment, part) in [
        (format!("turning/{link}"), "turning"),
        (link.clone(), "side"),
        (format!("no-such-part/{link}"), "side"),
        (format!("a/racks/{link}."), "side"),
    ] {
        hand.arrive(&format!("#{fragment}")).await;
        hand.browser.until("document.querySelector('[data-do=keep]') !== null").await;
        assert_eq!(front(&hand).await, [part], "{fragment}");
        assert_eq!(linked(&address(&hand).await), theirs);
        let links = "return [...document.querySelectorAll('#parts a, #jobs a, .next')].map((n) => n.href === `${location.origin}${location.pathname}#${n.dataset.partLink}/${arguments[0]}`)";
        let whole: Vec<bool> = serde_json::from_value(hand.browser.js_with(links, vec![json!(link)]).await).unwrap();
        assert!(whole.len() == 18 && whole.iter().all(|is| *is), "every link is a whole address");
        // It is an address like any other.
        hand.part("racks").await;
        hand.reload().await;
        assert_eq!(front(&hand).await, ["racks"]);
        assert_eq!(linked(&address(&hand).await), theirs);
    }
    for part in PARTS {
        hand.arrive(&format!("#{part}")).await;
        assert_eq!(front(&hand).await, [part], "the own plan at a part");
        assert_eq!(linked(&address(&hand).await), mine);
    }
    // In a page that is open already, too.
    hand.browser.js("location.hash = 'side'").await;
    hand.browser.until("!document.querySelector('[data-part=side]').hidden").await;
    assert_eq!(linked(&address(&hand).await), mine);
    assert_eq!(hand.stored().await, kept, "a part is no change of the plan");
    // No part named: where it was left.
    hand.part("racks").await;
    hand.browser.until("JSON.parse(localStorage.getItem('donorack.place'))?.parts?.chosen === 'racks'").await;
    hand.arrive("").await;
    assert_eq!(front(&hand).await, ["racks"]);
}

/// A link that is handed on has no part, and one that comes back at another part has no difference.
#[tokio::test]
async fn a_part_is_neither_shared_nor_a_difference() {
    let mut hand = own(Screen::Phone, "Bread van", &[("car.wheelbase", "2540")]).await;
    hand.browser.js("Object.defineProperty(navigator, 'share', { value: undefined, configurable: true });
        Object.defineProperty(navigator, 'clipboard', { value: { writeText: async (text) => { window.given = text; } }, configurable: true });").await;
    let undo = "return document.querySelector('#bar [data-do=undo]').getAttribute('aria-label')";
    let before = hand.browser.js(undo).await;
    for part in ["turning", "racks"] {
        hand.part(part).await;
        hand.tap("[data-do=share]").await;
        hand.browser.until("window.given !== undefined").await;
        let given = hand.browser.js("return window.given").await;
        let given = given.as_str().unwrap();
        assert_eq!((given, given.split_once('#').unwrap().1.contains('/')), (address(&hand).await.as_str(), false));
        assert_eq!(hand.browser.js(undo).await, before, "no step back");
    }
    let link = whole(&address(&hand).await);
    hand.arrive(&link.replace('#', "#turning/")).await;
    assert_eq!(front(&hand).await, ["turning"]);
    assert_eq!(hand.browser.js("return document.querySelectorAll('[data-differs]').length").await, json!(0));
    assert_eq!(hand.browser.js("return document.querySelector('#beside').hidden").await, json!(true));
}

/// Each part is found where it was left, one opened for the first time with its heading under the strip.
#[tokio::test]
async fn each_part_keeps_its_place() {
    let hand = Hand::on(Screen::Phone).await;
    let scroll = |to: u32| format!("scrollTo({{ top: {to}, behavior: 'instant' }}); return scrollY");
    hand.part("car").await;
    let car = hand.browser.js(&scroll(640)).await;
    hand.part("turning").await;
    let heading = "return document.querySelector('.part:not([hidden]) h2').getBoundingClientRect().top - document.querySelector('#strip').getBoundingClientRect().bottom";
    let under = hand.browser.js(heading).await.as_f64().unwrap();
    assert!((0.0..40.0).contains(&under), "the heading stands {under} under the strip");
    let turning = hand.browser.js(&scroll(1100)).await;
    assert_ne!(car, turning);
    for _ in 0..2 {
        hand.part("car").await;
        assert_eq!(hand.browser.js("return scrollY").await, car);
        hand.part("turning").await;
        assert_eq!(hand.browser.js("return scrollY").await, turning);
    }
    // A part that comes to the front moves the focus without scrolling.
    assert_eq!(hand.browser.js("return document.activeElement.id").await, json!("turning-title"));
}

/// The browser's own search finds what stands on other parts.
#[tokio::test]
async fn what_is_searched_for_comes_to_the_front() {
    let hand = Hand::on(Screen::Phone).await;
    for part in ["turning", "car", "racks", "side"] {
        hand.browser
            .js_with(
                "document.querySelector(`.part[data-part=${arguments[0]}]`).dispatchEvent(new Event('beforematch', { bubbles: true }))",
                vec![json!(part)],
            )
            .await;
        assert_eq!(front(&hand).await, [part]);
    }
    // By a fragment of text as well, which is such a search.
    let laid = "return document.querySelector('[data-part=turning] #figures').checkVisibility()";
    assert_eq!(hand.browser.js(laid).await, json!(false));
}

/// Two columns, each with its own part and its own list over it: what is chosen at the right leaves the left alone, and scrolls by itself.
#[tokio::test]
async fn two_columns_do_not_move_each_other() {
    let hand = Hand::on(Screen::Desk).await;
    assert_eq!(front(&hand).await, ["car", "side"]);
    let over = "const at = (css) => document.querySelector(css).getBoundingClientRect();
        const [typed, told] = document.querySelectorAll('#parts ul');
        return [Math.abs(typed.getBoundingClientRect().left - at('#car-title').left) < 14, Math.abs(told.getBoundingClientRect().left - at('#compare-title').left) < 14,
            at('#strip').bottom === innerHeight, at('#parts').top < at('#car-title').top]";
    assert_eq!(hand.browser.js(over).await, json!([true, true, true, true]), "each list over its own column, the strip beneath");
    hand.browser.screenshot("parts-desk").await;
    hand.browser.js("document.querySelector('#forms').scrollTo({ top: 300, behavior: 'instant' })").await;
    let left = "return [document.querySelector('#forms').scrollTop, document.querySelector('#car-title').getBoundingClientRect().top]";
    let before = hand.browser.js(left).await;
    assert_eq!(before[0], json!(300));
    hand.part("turning").await;
    assert_eq!(front(&hand).await, ["car", "turning"]);
    assert_eq!(hand.browser.js(left).await, before);
    hand.browser.js("scrollTo({ top: 500, behavior: 'instant' })").await;
    hand.part("racks").await;
    assert_eq!((front(&hand).await, hand.browser.js("return scrollY").await), (vec!["racks".to_owned(), "turning".to_owned()], json!(500)));
    hand.part("car").await;
    assert_eq!(hand.browser.js("return document.querySelector('#forms').scrollTop").await, json!(300), "each at its own place");
    // A field of the left column is brought into sight by its own scrolling.
    hand.browser.js("scrollTo({ top: 0, behavior: 'instant' }); document.querySelector('[data-field=\"car.rack_line_to\"]').focus()").await;
    hand.browser.settled().await;
    let seen = "const r = document.activeElement.getBoundingClientRect(); return [r.top > document.querySelector('#parts').getBoundingClientRect().bottom, r.bottom < document.querySelector('#strip').getBoundingClientRect().top]";
    assert_eq!(hand.browser.js(seen).await, json!([true, true]));
    // No head of a column is cut off.
    hand.part("side").await;
    for units in ["mm", "inch"] {
        hand.browser.js_with("document.querySelector(`[data-units=${arguments[0]}]`).click()", vec![json!(units)]).await;
        let cut = "const box = document.querySelector('#compare-table').getBoundingClientRect();
            return [...document.querySelectorAll('#compare-table .choose-head')].filter((n) => n.scrollWidth > n.clientWidth || n.getBoundingClientRect().right > box.right + 1).map((n) => n.textContent)";
        assert_eq!(hand.browser.js(cut).await, json!([]));
    }
    assert_eq!(hand.browser.complaints(), Vec::<String>::new());
}

/// The whole strip is one target, and leads to the reason, in whichever part that is: a finding, or the number that is missing.
#[tokio::test]
async fn the_strip_leads_to_the_reason() {
    let mut hand = Hand::on(Screen::Phone).await;
    hand.part("racks").await;
    hand.browser.js("document.querySelector('[data-choose=\"0\"]').click()").await;
    let target = "const r = document.querySelector('#strip').getBoundingClientRect();
        return [[r.left + 3, r.top + 3], [r.right - 3, r.bottom - 3], [r.left + r.width / 2, r.bottom - 12]].every(([x, y]) => document.elementFromPoint(x, y).closest('.worst'))";
    assert_eq!(hand.browser.js(target).await, json!(true));
    let high = hand.browser.js("return document.querySelector('#strip').getBoundingClientRect().height").await;
    assert!(high.as_f64().unwrap() >= 44.0, "{high}");
    hand.browser.tap("#strip .worst").await;
    assert_eq!(front(&hand).await, ["turning"]);
    let reason = "return [document.activeElement.dataset.finding !== undefined, document.activeElement.dataset.kind]";
    assert_eq!(hand.browser.js(reason).await, json!([true, "fail"]));
    // Of an empty plan it is the first number that is missing.
    hand.tap("[data-do=start]").await;
    hand.browser.js("document.activeElement.blur()").await;
    hand.part("turning").await;
    hand.tap("#strip .worst").await;
    assert_eq!((front(&hand).await, hand.focus().await), (vec!["car".to_owned()], "car.wheelbase".to_owned()));
    hand.content().await;
}

/// What cannot answer yet says so in one line, with one button to what is missing; the row says how each part stands, in letters and for the ear.
#[tokio::test]
async fn what_cannot_answer_says_what_it_waits_for() {
    let mut hand = Hand::on(Screen::Phone).await;
    hand.tap("[data-do=start]").await;
    for part in ["side", "turning"] {
        hand.part(part).await;
        let seen = "const part = document.querySelector('.part:not([hidden])');
            return [part.querySelectorAll('.lack p').length, [...part.querySelectorAll('button')].filter((n) => n.checkVisibility()).map((n) => n.textContent), part.querySelector('.scroll, #axle').checkVisibility()]";
        assert_eq!(hand.browser.js(seen).await, json!([1, ["Go to Car"], false]), "{part}");
        hand.browser.screenshot(&format!("parts-waits-{part}")).await;
        hand.tap(".part:not([hidden]) .lack button").await;
        assert_eq!((front(&hand).await, hand.focus().await), (vec!["car".to_owned()], "car.wheelbase".to_owned()));
    }
    let row = "return [...document.querySelectorAll('#parts a')].map((n) => n.textContent)";
    assert_eq!(
        hand.browser.js(row).await,
        json!([
            "Car?needs 5, needs more",
            "Racks1 rack",
            "Side by side?needs 9, needs more",
            "Turning?needs 9, needs more",
            "Bump steer?needs points, needs more",
            "Place?needs points, needs more"
        ])
    );
    // The first thing to do on Racks is under the thumb.
    hand.part("racks").await;
    let thumb = "const r = document.querySelector('#first-rack').getBoundingClientRect(); const hit = document.elementFromPoint(r.x + r.width / 2, r.y + r.height / 2);
        return [r.top > innerHeight / 2, r.bottom <= document.querySelector('#parts').getBoundingClientRect().top, hit.dataset.do]";
    assert_eq!(hand.browser.js(thumb).await, json!([true, true, "first-rack"]));
    hand.browser.screenshot("parts-empty-racks").await;
    hand.tap("#first-rack").await;
    assert_eq!(hand.focus().await, "racks.0.inner_joint_spacing", "the rack that is there is the first");
    assert!(!hand.browser.find("#first-rack").await.is_displayed().await.unwrap(), "nothing lies over what is typed");
    hand.content().await;
}

/// Neither the row nor the strip lies over what has the focus; while somebody types the row is gone and the strip is one line.
#[tokio::test]
async fn what_stays_in_view_covers_nothing_that_is_typed_into() {
    for (screen, wide, high) in [(Screen::Phone, 390, 844), (Screen::Narrow, 320, 568), (Screen::Phone, 844, 390)] {
        let mut hand = Hand::on(screen).await;
        if wide == 844 {
            hand.browser.cdp(
                "Emulation.setDeviceMetricsOverride",
                json!({ "width": wide, "height": high, "deviceScaleFactor": 3, "mobile": true }),
            );
        }
        hand.tap("[data-units=inch]").await;
        let tall = hand.browser.js("return document.querySelector('#strip').getBoundingClientRect().height").await;
        for part in ["car", "racks"] {
            hand.part(part).await;
            let all = "return [...document.querySelectorAll('.part:not([hidden]) :is([data-field], [data-side], summary, button:not([data-key]))')].filter((n) => n.checkVisibility() && !n.disabled).length";
            let count = hand.browser.js(all).await.as_u64().unwrap();
            assert!(count > 12, "{count}");
            for n in 0..count {
                let focus = "const n = [...document.querySelectorAll('.part:not([hidden]) :is([data-field], [data-side], summary, button:not([data-key]))')].filter((n) => n.checkVisibility() && !n.disabled)[arguments[0]];
                    n?.focus(); return new Promise((done) => setTimeout(() => {
                        const held = document.activeElement, r = held.getBoundingClientRect();
                        const over = (css) => { const s = document.querySelector(css).getBoundingClientRect(); return s.height > 0 && s.left < r.right - 1 && s.right > r.left + 1 && s.top < r.bottom - 1 && s.bottom > r.top + 1; };
                        done([held.matches('[data-field]'), over('#parts'), over('#strip'), held.outerHTML.slice(0, 80), document.querySelector('#strip').getBoundingClientRect().height, document.querySelector('#parts').checkVisibility()]);
                    }, 60))";
                let seen = hand.browser.js_with(focus, vec![json!(n)]).await;
                assert_eq!((&seen[1], &seen[2]), (&json!(false), &json!(false)), "{wide} × {high}: {seen}");
                if seen[0] == json!(true) {
                    assert_eq!(seen[5], json!(false), "the row makes room: {seen}");
                    assert!(wide == 844 || seen[4].as_f64() < tall.as_f64(), "and the strip is one line: {seen}");
                }
            }
            hand.browser.js("document.activeElement.blur()").await;
            hand.browser.until("document.querySelector('#parts').checkVisibility()").await;
        }
        hand.browser.screenshot(&format!("parts-{wide}x{high}")).await;
        hand.fits().await;
    }
}

/// What a button did is told above the row, with Undo: never over the strip, the plan's name or the units.
#[tokio::test]
async fn a_note_stands_above_the_row() {
    for (screen, part) in [(Screen::Phone, "racks"), (Screen::Narrow, "racks"), (Screen::Desk, "racks")] {
        let mut hand = Hand::on(screen).await;
        hand.part(part).await;
        hand.tap("[data-do=remove-rack][data-rack='1']").await;
        for top in [0, 9999] {
            hand.browser.js_with("scrollTo({ top: arguments[0], behavior: 'instant' })", vec![json!(top)]).await;
            let over = "const note = document.querySelector('#note').getBoundingClientRect();
                const over = ['#strip', '#plan-name', '.top .pair', '#parts'].filter((css) => { const r = document.querySelector(css).getBoundingClientRect(); return r.height && r.left < note.right && r.right > note.left && r.top < note.bottom && r.bottom > note.top; });
                return [over, note.height > 40, note.top > innerHeight / 2, document.querySelector('#note [data-do=undo]').checkVisibility()]";
            assert_eq!(hand.browser.js(over).await, json!([[], true, true, true]), "{screen:?}");
        }
        hand.browser.screenshot(&format!("parts-note-{screen:?}")).await;
    }
}

/// The yard's loop: car, racks, side by side, racks, side by side. The rack that is measured is the one of which the strip speaks, without a step of its own.
#[tokio::test]
async fn the_yards_way_is_short() {
    let mut hand = own(Screen::Phone, "Bread van", &[]).await;
    hand.browser.js("document.activeElement.blur()").await;
    let mut taps = 0;
    for part in ["car", "racks", "side", "racks", "side"] {
        taps += hand.browser.turn_to(&format!(".part[data-part={part}] h2")).await;
    }
    assert_eq!(taps, 4);
    hand.tap("[data-do=add-rack]").await;
    let strip = "return document.querySelector('#strip .clip b').textContent";
    assert_eq!(hand.browser.js(strip).await, json!("Rack 1"), "one that is added is not shown yet");
    hand.write("racks.1.travel", "146").await;
    assert_eq!(hand.browser.js(strip).await, json!("Rack 2"));
    hand.browser.js("document.activeElement.blur()").await;
    for undone in ["Total travel", "rack added"] {
        hand.tap("#bar [data-do=undo]").await;
        assert!(hand.browser.text("#say").await.contains(undone), "{undone}: {}", hand.browser.text("#say").await);
    }
    assert_eq!(hand.browser.js(strip).await, json!("Rack 1"));
    hand.content().await;
}

/// Where a browser knows no search in hidden parts they are hidden all the same.
#[tokio::test]
async fn parts_are_hidden_in_every_engine() {
    for engine in [Engine::Firefox, Engine::WebKit] {
        let hand = Hand::on_a(engine, Screen::Phone).await;
        for part in PARTS {
            hand.part(part).await;
            let seen = "return [...document.querySelectorAll('.part')].filter((n) => n.querySelector('h2').getClientRects().length && n.querySelector('h2').checkVisibility()).map((n) => n.dataset.part)";
            let wanted: Value = json!([part]);
            assert_eq!(hand.browser.js(seen).await, wanted, "{engine}");
        }
        hand.content().await;
    }
}
