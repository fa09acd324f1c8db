//! What a new user stumbled over: sides and Enter, units tapped by accident, what is shown and what is meant, names, little room.

use crate::hand::{Four, Hand, SUITS, field, linked, plan};
use crate::plans::{address, listed, own, rewrite, said, stored, value};
use crate::shown;
use donorack::{Mark, Plan};
use donorack_tests::browser::Screen;
use serde_json::{Value, json};

/// Which side a field shows.
async fn side(hand: &Hand, path: &str) -> Value {
    let script = "return document.querySelector(`[data-path='${arguments[0]}'] [aria-pressed=true]`)?.textContent ?? ''";
    hand.browser.js_with(script, vec![json!(path)]).await
}

/// Whatever Enter is pressed on, it chooses no side; and a number without one says so while it stands there, not only once it is left.
#[tokio::test]
async fn enter_chooses_no_side() {
    let mut hand = Hand::on(Screen::Phone).await;
    hand.tap("[data-do=start]").await;
    let under = async |hand: &Hand, path: &str| hand.browser.text(&format!("[data-path='{path}'] .under")).await;
    hand.write("car.arm_fore_aft", "5").await;
    assert_eq!(under(&hand, "car.arm_fore_aft").await, "Ahead or behind?", "at once");
    assert_eq!(hand.browser.text("[data-path='car.arm_fore_aft'] .problem").await, "", "and it is no reproach yet");
    hand.browser.screenshot("little-which-side").await;
    for _ in 0..4 {
        hand.enter().await;
        assert_eq!(side(&hand, "car.arm_fore_aft").await, "");
    }
    assert_eq!(
        hand.browser.js("return document.activeElement.getAttribute('role')").await,
        json!("group"),
        "the sides have the focus, none of them"
    );
    hand.side("car.arm_fore_aft", "behind").await;

    assert!(!under(&hand, "car.arm_fore_aft").await.contains("Ahead or behind"));
    // A choice without a number is reached by Enter too, and not made by it.
    hand.write("racks.0.travel", "5 3/4").await;
    for _ in 0..3 {
        hand.enter().await;
        assert_eq!(side(&hand, "racks.0.bar_moves").await, "");
    }
    hand.side("racks.0.bar_moves", "right").await;
    assert_eq!(side(&hand, "racks.0.bar_moves").await, "right");
    hand.content().await;
}

/// The key for the other unit writes the same measurement in it where that is exact; else it is asked, and nothing changes by itself.
#[tokio::test]
async fn a_unit_tapped_by_accident_changes_no_measurement() {
    let mut hand = Hand::on(Screen::Phone).await;
    hand.tap("[data-do=start]").await;
    let car = async |hand: &Hand, name: &str| stored(hand).await["plan"]["car"][name].clone();
    hand.write("car.wheelbase", "100 ± 1/8").await;
    hand.tap("[data-unit='car.wheelbase']").await;
    assert_eq!(car(&hand, "wheelbase").await, "2540 ± 3.175 mm");
    assert!(hand.browser.text("#say.told").await.contains("100 ± 1/8 in is 2540 ± 3.175 mm"), "{}", said(&hand).await);
    hand.tap("[data-unit='car.wheelbase']").await;
    assert_eq!(car(&hand, "wheelbase").await, "100 ± 1/8 in", "tapped once more it is what was typed");
    // The step back stands in the note.
    hand.tap("[data-unit='car.wheelbase']").await;
    hand.tap("#note [data-do=undo]").await;
    assert_eq!(car(&hand, "wheelbase").await, "100 ± 1/8 in");
    // Not exact in the other unit: it stays, and can be had as it stands.
    hand.tap("[data-unit='car.front_track']").await;
    hand.write("car.front_track", "1384").await;
    hand.tap("[data-unit='car.front_track']").await;
    assert_eq!(car(&hand, "front_track").await, "1384 mm");
    assert!(hand.browser.text("#say.told").await.contains("1384 mm is no exact number of inches"), "{}", said(&hand).await);
    hand.browser.screenshot("little-unit-asks").await;
    hand.tap("#note button").await;
    assert_eq!(car(&hand, "front_track").await, "1384 in");
    // Half a number is no measurement to change: its unit follows the key.
    rewrite(&mut hand, "car.front_track", "5 3/").await;
    hand.tap("[data-unit='car.front_track']").await;
    assert_eq!(car(&hand, "front_track").await, "5 3/ mm");
    hand.content().await;
}

/// What is unfolded goes with its rack, whatever becomes of the others.
#[tokio::test]
async fn a_rack_stays_unfolded_in_another_place() {
    let mut hand = Hand::on(Screen::Phone).await;
    hand.goto(&format!("#{}", plan(&crate::most::many(5, 12, 0)).to_link())).await;
    hand.browser.until("document.querySelector('[data-do=keep]') !== null").await;
    hand.tap("[data-do=keep]").await;
    let open = "return [...document.querySelectorAll('details.card')].filter((n) => n.open).map((n) => n.querySelector('.rack-name').textContent.slice(0, 3)).join()";
    assert_eq!(hand.browser.js(open).await, json!("000"), "the rack that is shown");
    hand.tap("details.card[data-rack='0'] summary").await;
    hand.tap("details.card[data-rack='1'] summary").await;
    hand.tap("details.card[data-rack='3'] summary").await;
    hand.tap("details[data-more='rack-3-fitted'] > summary").await;
    let steps = [
        ("[data-do=down-rack][data-rack='3']", "001,003"),
        ("[data-do=copy-rack][data-rack='1']", "001,001,003"),
        ("details.card[data-rack='2'] > summary", "001,003"),
        ("[data-do=remove-rack][data-rack='1']", "003"),
        ("[data-do=undo]", "003"),
    ];
    for (tapped, wanted) in steps {
        hand.tap(tapped).await;
        hand.browser.settled().await;
        assert_eq!(hand.browser.js(open).await, json!(wanted), "after {tapped}");
    }
    let more = "return [...document.querySelectorAll('details[data-more$=fitted]')].filter((n) => n.open).map((n) => n.closest('.card').querySelector('.rack-name').textContent.slice(0, 3)).join()";
    assert_eq!(hand.browser.js(more).await, json!("003"));
    hand.content().await;
}

/// What is shown below and what its builder means to do with a rack are two things, and a new rack takes neither.
#[tokio::test]
async fn shown_is_not_bought() {
    let mut hand = Hand::on(Screen::Phone).await;
    hand.tap("[data-do=start]").await;
    hand.nine(&SUITS, false).await;
    hand.tap("[data-do=add-rack]").await;
    let second = Four { inner_joint_spacing: "24 1/2", travel_two_turns: "3 3/4", travel: "6 1/8", bar_moves: "right" };
    hand.four(1, &second, false).await;
    let tags = "return [...document.querySelectorAll('details.card')].map((n) => [...n.querySelectorAll('.tag')].filter((t) => t.checkVisibility()).map((t) => t.textContent).join())";
    assert_eq!(hand.browser.js(tags).await, json!(["", "shown"]), "what is measured is shown");
    assert_eq!(
        hand.browser.js("return document.querySelector('details.card[data-rack=\"1\"]').open").await,
        json!(true),
        "its card is open"
    );
    hand.tap("[data-rack='1'] [data-mark=buy]").await;
    hand.tap("details.card[data-rack='0'] [data-mark=gone]").await;
    assert_eq!(hand.browser.js(tags).await, json!(["gone", "buy,shown"]));
    hand.browser.screenshot("little-marks").await;
    // A copy is not bought with it, and the one that was shown still is.
    hand.tap("[data-do=copy-rack][data-rack='1']").await;
    hand.tap("[data-do=add-rack]").await;
    assert_eq!(hand.browser.js(tags).await, json!(["gone", "buy,shown", "", ""]));
    hand.reload().await;
    assert_eq!(hand.browser.js(tags).await, json!(["gone", "buy,shown", "", ""]));
    // They go along in the link; tapped once more a mark is gone, and undone it is back.
    let marks = |plan: &Plan| plan.racks.iter().map(|r| r.mark).collect::<Vec<_>>();
    let link = address(&hand).await;
    assert_eq!(marks(&linked(&link)), [Some(Mark::Gone), Some(Mark::Buy), None, None]);
    hand.tap("details.card[data-rack='0'] [data-mark=gone]").await;
    assert_eq!(hand.browser.js(tags).await, json!(["", "buy,shown", "", ""]));
    hand.tap("[data-do=undo]").await;
    assert_eq!(hand.browser.js(tags).await, json!(["gone", "buy,shown", "", ""]));
    // A friend sees them and cannot change them; sent back changed, the mark is among what differs.
    let mut theirs = Plan::from_link(&link).unwrap();
    theirs.racks[1].mark = Some(Mark::Leave);
    hand.arrive(&format!("#{}", theirs.to_link())).await;
    let rows = "return [...document.querySelectorAll('[data-differs]')].map((n) => [n.dataset.differs, n.querySelector('.mine').lastChild.textContent, n.querySelector('.theirs').lastChild.textContent])";
    assert_eq!(hand.browser.js(rows).await, json!([["racks.1.mark", "buy", "leave"]]));
    hand.tap("[data-take='racks.1.mark']").await;
    assert_eq!(hand.browser.js(tags).await, json!(["gone", "leave,shown", "", ""]));
    theirs.id = None;
    hand.arrive(&format!("#{}", theirs.to_link())).await;
    // Side by side has them too.
    let heads = "return [...document.querySelectorAll('#compare-table .choose-head')].map((n) => [...n.querySelectorAll('.tag')].filter((t) => t.checkVisibility()).map((t) => t.textContent).join())";
    assert_eq!(hand.browser.js(heads).await, json!(["gone", "leave", "", ""]));
    hand.part("racks").await;
    assert_eq!(hand.browser.js(tags).await, json!(["gone", "leave,shown", "", ""]));
    assert!(!hand.browser.find("[data-mark=buy]").await.is_enabled().await.unwrap());
    // Where none is shown a new one is.
    hand.goto("").await;
    hand.tap("[data-do=start]").await;
    hand.tap("[data-do=remove-rack]").await;
    hand.tap("[data-do=add-rack]").await;
    assert_eq!(hand.browser.js(tags).await, json!(["shown"]));
    hand.content().await;
}

/// What speaks of Undo has its button beside it; what is locked says why when it is tapped; plans without a name are told apart by their car.
#[tokio::test]
async fn notes_have_their_buttons_and_plans_their_cars() {
    let mut hand = Hand::on(Screen::Phone).await;
    hand.tap("[data-units=mm]").await;
    let cards = "return document.querySelectorAll('details.card').length";
    assert_eq!(hand.browser.js(cards).await, json!(3));
    hand.tap("details.card[data-rack='1'] [data-do=remove-rack]").await;
    assert!(said(&hand).await.contains("Undo brings it back"));
    hand.browser.screenshot("little-note").await;
    hand.tap("#note [data-do=undo]").await;
    assert_eq!(hand.browser.js(cards).await, json!(3));
    // Two without a name, one of them without numbers.
    for (wheelbase, track) in [("2540", "1422"), ("2600", "1384")] {
        hand.tap("[data-do=start]").await;
        hand.write("car.wheelbase", wheelbase).await;
        hand.write("car.front_track", track).await;
        hand.browser.js("document.activeElement.blur()").await;
    }
    hand.tap("[data-do=add-rack]").await;
    hand.tap("[data-do=start]").await;
    hand.tap("#plans-open").await;
    let names = listed(&hand).await;
    assert_eq!(
        names.as_array().unwrap()[..3],
        [json!("Unnamed plan"), json!("Wheelbase 2600 mm, track 1384 mm, 2 racks"), json!("Wheelbase 2540 mm, track 1422 mm, 1 rack")]
    );
    hand.browser.screenshot("little-unnamed").await;
    hand.tap("[data-plan-do=remove][aria-label='Remove: Wheelbase 2600 mm, track 1384 mm, 2 racks']").await;
    assert!(said(&hand).await.contains("Wheelbase 2600 mm, track 1384 mm, 2 racks removed"), "{}", said(&hand).await);
    hand.tap("[data-plan-do=for-good]").await;
    assert_eq!(hand.browser.js("return document.querySelectorAll('[data-gone]').length").await, json!(0));
    hand.tap("#plans-close").await;
    // A friend's field, its sides and its unit say why they are locked.
    hand.goto(&format!("#{}", plan(&SUITS.file()).to_link())).await;
    hand.browser.until("document.querySelector('[data-do=keep]') !== null").await;
    for css in [
        "[data-field='car.wheelbase']",
        "[data-side='car.arm_fore_aft:ahead']",
        "[data-unit='car.front_track']",
        "#plan-name",
        "[data-field='racks.0.name']",
    ] {
        // The note of the tap before is out of the way.
        hand.browser.js("document.querySelector('#say').textContent = ''; document.querySelector('#note button')?.remove()").await;
        hand.browser.turn_to(css).await;
        // Once the field before has been brought into view, with its drawing.
        let at = "const frame = () => new Promise(requestAnimationFrame); return frame().then(frame).then(frame).then(() => { const n = document.querySelector(arguments[0]);
            n.scrollIntoView({ block: 'center', behavior: 'instant' }); const r = n.getBoundingClientRect(); return [Math.round(r.x + r.width / 2), Math.round(r.y + r.height / 2)]; })";
        let at: [i64; 2] = serde_json::from_value(hand.browser.js_with(at, vec![json!(css)]).await).unwrap();
        for kind in ["mousePressed", "mouseReleased"] {
            hand.browser
                .cdp("Input.dispatchMouseEvent", json!({ "type": kind, "x": at[0], "y": at[1], "button": "left", "clickCount": 1 }));
        }
        hand.browser.until("document.querySelector('#say').textContent.includes('friend’s plan, to look at')").await;
    }
    hand.browser.screenshot("little-locked").await;
    hand.tap("#note [data-do=keep]").await;
    rewrite(&mut hand, "car.wheelbase", "101").await;
    assert_eq!(value(&hand, "car.wheelbase").await, "101");
    hand.content().await;
}

/// Signs that turn the direction of writing, brackets that would end what sets them apart, letters without end: a name turns and moves nothing but itself.
#[tokio::test]
async fn a_name_stays_a_name() {
    for name in ["\u{202e}nalp ym\u{202e}", "\u{2069}\u{2069}\u{202e}abc\u{2066}", "שלום עולם", &"W".repeat(200)] {
        let mut file = SUITS.file();
        let mut other = file["racks"][0].clone();
        file["name"] = json!(name);
        file["racks"][0]["name"] = json!(name);
        other["name"] = json!("Other");
        other.as_object_mut().unwrap().remove("rack_line");
        file["racks"].as_array_mut().unwrap().push(other);
        let wanted = plan(&file);
        // Where there is least room; the longest on a usual phone too.
        let screens: &[Screen] = if name.len() == 200 { &[Screen::Narrow, Screen::Phone] } else { &[Screen::Narrow] };
        for &screen in screens {
            let mut hand = Hand::on(screen).await;
            hand.goto(&format!("#{}", wanted.to_link())).await;
            hand.browser.until("document.querySelector('[data-do=keep]') !== null").await;
            hand.fits().await;
            // Of the page's own words beside a name each stands where it would stand beside a plain one: they run from left to right.
            let order = "const rtl = [];
                const walk = (root) => {
                    for (const node of document.createTreeWalker(root, NodeFilter.SHOW_TEXT) && texts(root)) {
                        if (node.parentElement.closest('bdi, .rack-name, .n, .chip, .plan-name, b, input, textarea, .texts') || !/[A-Za-z]{3}/.test(node.data)) continue;
                        const word = /[A-Za-z]{3,}/.exec(node.data);
                        const at = (i) => { const range = document.createRange(); range.setStart(node, i); range.setEnd(node, i + 1); return range.getBoundingClientRect(); };
                        const [a, b] = [at(word.index), at(word.index + 1)];
                        if (a.width && Math.abs(a.top - b.top) < 2 && b.left < a.left) rtl.push(node.data.slice(0, 60));
                    }
                };
                const texts = (root) => { const all = []; const w = document.createTreeWalker(root, NodeFilter.SHOW_TEXT); while (w.nextNode()) all.push(w.currentNode); return all; };
                for (const css of ['#bar', '#say', '#turning-sub', '#strip', '#compare', '#beside', '#plans', '#rack-cards .under']) for (const root of document.querySelectorAll(css)) walk(root);
                return rtl;";
            assert_eq!(hand.browser.js(order).await, json!([]), "{name:?}");
            hand.browser.screenshot(&format!("little-name-{screen:?}-{}", name.chars().count())).await;
            hand.tap("[data-do=keep]").await;
            hand.tap("[data-do=copy-rack][data-rack='0']").await;
            assert_eq!(hand.browser.js(order).await, json!([]), "{name:?}");
            hand.tap("[data-do=remove-rack][data-rack='1']").await;
            assert_eq!(hand.browser.js(order).await, json!([]), "{name:?}");
            let note = "const r = (css) => document.querySelector(css).getBoundingClientRect(); const [n, b] = [r('#note'), r('#note button')]; return [n.left >= 0, n.right <= innerWidth, n.bottom <= innerHeight, b.right <= n.right, b.width >= 44]";
            assert_eq!(hand.browser.js(note).await, json!([true, true, true, true, true]), "{name:?}");
            hand.tap("#plans-open").await;
            hand.tap("[data-plan-do=copy]").await;
            assert_eq!(hand.browser.js(order).await, json!([]), "{name:?}");
            hand.fits().await;
            hand.tap("#plans-close").await;
            let mut back = Plan::from_link(&address(&hand).await).unwrap();
            back.racks[0].name += "x";
            back.name = "x".into();
            hand.arrive(&format!("#{}", back.to_link())).await;
            assert_eq!(hand.browser.js(order).await, json!([]), "{name:?}");
            hand.content().await;
        }
    }
}

/// Letters twice as large: header and strip are one line each. A phone on its side with its keyboard up: every key is seen, the strip makes room.
#[tokio::test]
async fn little_room_belongs_to_what_is_typed() {
    for screen in [Screen::Narrow, Screen::Phone] {
        let mut hand = Hand::on(screen).await;
        hand.tap("[data-units=inch]").await;
        hand.browser.js("document.documentElement.style.fontSize = '200%'; scrollTo(0, 0)").await;
        hand.browser.settled().await;
        let high = "return ['.top', '#strip'].map((css) => document.querySelector(css).getBoundingClientRect().height / 32)";
        let high: [f64; 2] = serde_json::from_value(hand.browser.js(high).await).unwrap();
        assert!(high[0] < 4.2 && high[1] < 3.6, "{screen:?}: header and strip {high:?} of a letter’s height");
        hand.browser.screenshot(&format!("little-large-{screen:?}")).await;
        // What is beyond the line is reached by keys and taps.
        hand.tap("[data-set-look=dark]").await;
        assert_eq!(hand.browser.js("return document.documentElement.dataset.look").await, json!("dark"));
        if screen == Screen::Phone {
            hand.content().await;
        }
    }
    let mut hand = own(Screen::Phone, "Bread van", &[]).await;
    hand.tap("[data-units=inch]").await;
    for (wide, high) in [(844, 200), (568, 190)] {
        hand.browser
            .cdp("Emulation.setDeviceMetricsOverride", json!({ "width": wide, "height": high, "deviceScaleFactor": 2, "mobile": true }));
        for path in ["car.wheelbase", "car.arm_fore_aft", "car.rack_line_from", "racks.0.inner_joint_spacing", "car.rod_end_spacing"] {
            hand.tap(&field(path)).await;
            hand.browser.until("document.querySelector('.keys')?.isConnected").await;
            let seen = "new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(() => {
                const inside = (n) => { const r = n.getBoundingClientRect(); return r.top >= 0 && r.bottom <= innerHeight && document.elementFromPoint(r.x + r.width / 2, r.y + r.height / 2)?.closest('button, input') === n; };
                done([...document.querySelectorAll('.keys button')].every(inside) && inside(document.activeElement));
            })))";
            hand.browser.until("new Promise((done) => setTimeout(() => done(true), 300))").await;
            hand.browser.screenshot(&format!("little-sideways-{wide}-{path}")).await;
            hand.browser.until(seen).await;
            assert!(hand.browser.js("return document.querySelectorAll('.keys button').length").await.as_u64().unwrap() > 16);
            assert!(!hand.browser.find("#strip").await.is_displayed().await.unwrap());
        }
    }
}

/// Figures that stand side by side are apart, in both units, on a phone and on the narrowest.
#[tokio::test]
async fn figures_never_run_together() {
    for screen in [Screen::Narrow, Screen::Phone] {
        let mut hand = Hand::on(screen).await;
        for units in ["inch", "mm"] {
            hand.tap(&format!("[data-units={units}]")).await;
            let mut file = SUITS.file();
            file["car"]["wheelbase"] = json!("8000 mm");
            for long in [false, true] {
                if long {
                    hand.goto(&format!("#{}", plan(&file).to_link())).await;
                    hand.browser.until("document.querySelector('[data-do=keep]') !== null").await;
                }
                hand.browser.settled().await;
                hand.part("turning").await;
                let gaps = "const rects = (css) => [...document.querySelectorAll(css)].map((n) => { const seen = [...n.querySelectorAll('b, small, .name, .short')].filter((e) => getComputedStyle(e).clipPath === 'none'); const all = seen.flatMap((e) => [...e.getClientRects()]).filter((r) => r.width > 1); return [Math.min(...all.map((r) => r.left)), Math.max(...all.map((r) => r.right))]; });
                    return ['#strip .fig', '#trio .big'].map((css) => rects(css).slice(1).map(([left], i) => Math.round(left - rects(css)[i][1])));";
                let gaps: [Vec<i64>; 2] = serde_json::from_value(hand.browser.js(gaps).await).unwrap();
                assert!(gaps.iter().all(|row| row.len() == 2 && row.iter().all(|gap| *gap >= 8)), "{screen:?} {units} {long}: {gaps:?}");
                hand.browser.js("document.querySelector('#trio').scrollIntoView({ block: 'center' })").await;
                hand.browser.screenshot(&format!("little-figures-{screen:?}-{units}-{long}")).await;
            }
            hand.goto("").await;
        }
        hand.content().await;
    }
}

/// A plan that lies at rest is shown as it was: nothing of the above has changed a figure.
#[tokio::test]
async fn a_marked_plan_has_the_same_figures() {
    let mut file = SUITS.file();
    file["racks"][0]["mark"] = json!("leave");
    let hand = Hand::on(Screen::Phone).await;
    hand.goto(&format!("#{}", plan(&file).to_link())).await;
    hand.browser.until("document.querySelector('[data-do=keep]') !== null").await;
    shown::check(&hand.browser, &plan(&SUITS.file()), "inch").await;
    hand.content().await;
}
