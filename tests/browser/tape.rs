//! Where the tape goes: a drawing and steps for every measurement, keys at the caret, the walk through the nine, all above a keyboard.

use donorack::{FIELDS, Method, Section, Spec};
use donorack_tests::browser::{Browser, Letters, Screen};
use serde_json::{Value, json};

/// Where a row's field stands on the page: those of the car, and those of the first rack.
fn path(row: &Spec) -> String {
    match row.section {
        Section::Car => format!("car.{}", row.name),
        Section::Rack => format!("racks.0.{}", row.name),
        Section::Limits => format!("limits.{}", row.name),
    }
}

/// A fresh page with everything unfolded.
async fn unfolded(screen: Screen) -> Browser {
    let browser = Browser::open(screen).await;
    browser.goto("").await;
    browser.until("document.documentElement.dataset.ready === 'yes'").await;
    browser.unfold().await;
    browser
}

/// Gives a field the focus, and tells what stands in it then.
const LOOK: &str = "
    const field = document.querySelector(`.field[data-path='${path}']`);
    (field.querySelector('input') ?? field.querySelector('button')).focus();
    await new Promise((done) => setTimeout(done, 200));
    const panel = field.querySelector('.tape-panel');
    if (!panel) return { panels: document.querySelectorAll('.tape-panel[data-tape]').length };
    const svg = panel.querySelector('svg');
    const probe = document.body.appendChild(document.createElement('i'));
    probe.style.setProperty('color', 'var(--tape)');
    const yellow = getComputedStyle(probe).color;
    probe.remove();
    const lit = [...svg.querySelectorAll('.tape .band, .band')].map((band) => getComputedStyle(band).fill === yellow && band.getBBox().width > 4);
    const boxes = [...svg.querySelectorAll('text')].map((text) => { const b = text.getBBox(); return [text.textContent, b.x, b.y, b.x + b.width, b.y + b.height]; });
    const [w, h] = [svg.viewBox.baseVal.width, svg.viewBox.baseVal.height];
    const cut = boxes.filter(([, l, t, r, b]) => l < 0 || t < -4 || r > w || b > h + 4).map(([text]) => text);
    const clash = boxes.flatMap((a, i) => boxes.slice(i + 1).filter((b) => a[1] < b[3] && b[1] < a[3] && a[2] + 4 < b[4] && b[2] + 4 < a[4]).map((b) => `${a[0]} / ${b[0]}`));
    return {
        panels: document.querySelectorAll('.tape-panel[data-tape]').length, role: svg.getAttribute('role'), name: svg.getAttribute('aria-label'), label: field.querySelector('.label').textContent,
        steps: [...panel.querySelectorAll('ol li')].map((step) => step.textContent), usual: field.querySelector('.usual').textContent, lit, cut, clash, drawing: svg.innerHTML,
    };";

async fn look(browser: &Browser, path: &str) -> Value {
    browser.turn_to(&format!(".field[data-path='{path}']")).await;
    browser.js_with(&format!("const path = arguments[0]; return (async () => {{ {LOOK} }})()"), vec![json!(path)]).await
}

#[tokio::test]
async fn every_measurement_has_a_drawing_that_lights_with_its_field() {
    let phone = unfolded(Screen::Phone).await;
    for family in Letters::BOTH {
        phone.letters(family).await;
        drawings_of_every_measurement(&phone).await;
    }
    // Without the focus nothing is lit.
    look(&phone, "car.wheelbase").await;
    phone.js("document.activeElement.blur()").await;
    phone.until("getComputedStyle(document.querySelector('.field .band')).fill === 'none'").await;
    assert_eq!(phone.complaints(), Vec::<String>::new());
}

/// The measurements that the tape's drawings show; the points of the suspension have drawings of their own, in their own part, and what is in
/// the way of rack and rod stands beside the map, which draws it.
fn drawn() -> impl Iterator<Item = &'static Spec> {
    let beside_the_map = |name: &str| {
        ["sump_", "crossmember_", "frame_", "rail_"].iter().any(|of| name.starts_with(of))
            || ["housing_diameter", "rod_thickness", "hole_room", "tyre_diameter"].contains(&name)
    };
    FIELDS.iter().filter(move |row| !row.field.is_suspension() && !beside_the_map(row.name))
}

async fn drawings_of_every_measurement(phone: &Browser) {
    let mut drawings = Vec::new();
    for row in drawn() {
        let path = path(row);
        let seen = look(phone, &path).await;
        if row.section == Section::Limits {
            assert_eq!(seen, json!({ "panels": 0 }), "{path} is asked for, not measured");
            continue;
        }
        assert_eq!((&seen["panels"], &seen["role"]), (&json!(1), &json!("img")), "{path}");
        let label = seen["label"].as_str().unwrap();
        assert!(seen["name"].as_str().unwrap().contains(label), "{path}: {}", seen["name"]);
        let steps = seen["steps"].as_array().unwrap();
        assert!(
            (2..=3).contains(&steps.len()) && steps.iter().all(|s| (10..=60).contains(&s.as_str().unwrap().chars().count())),
            "{path}: {steps:?}"
        );
        assert_eq!(
            seen["usual"].as_str().unwrap().starts_with("usually ±"),
            row.scale.method != Method::Exact,
            "{path}: {}",
            seen["usual"]
        );
        let lit = seen["lit"].as_array().unwrap();
        assert!(!lit.is_empty() && lit.iter().all(|l| l == &json!(true)), "{path}: {lit:?}");
        assert_eq!((&seen["cut"], &seen["clash"]), (&json!([]), &json!([])), "{path}: words outside the frame, or over each other");
        let drawing = seen["drawing"].as_str().unwrap().to_owned();
        assert!(!drawings.contains(&drawing), "{path} has another's drawing");
        drawings.push(drawing);
    }
    assert_eq!(drawings.len(), drawn().filter(|row| row.section != Section::Limits).count());
}

/// Which way a drawing shows something: a sign, in the drawing's own coordinates (right and down positive).
async fn sign(browser: &Browser, expression: &str) -> i64 {
    let script = format!(
        "const all = (css) => [...document.querySelectorAll('.field .tape-drawing ' + css)]; const one = (css) => all(css)[0];
        const run = (css) => {{ const p = one(css), a = p.getPointAtLength(0), b = p.getPointAtLength(p.getTotalLength()); return [b.x - a.x, b.y - a.y]; }};
        const at = (css) => {{ const b = one(css).getBBox(); return [b.x + b.width / 2, b.y + b.height / 2]; }}; return Math.sign({expression});"
    );
    browser.js(&script).await.as_i64().unwrap()
}

#[tokio::test]
async fn the_drawing_follows_the_answer() {
    let desk = unfolded(Screen::Desk).await;
    let cases = [
        ("car.arm_fore_aft", "run('.arm')[1]", [("ahead", -1), ("behind", 1)]),
        ("car.arm_inboard", "run('.arm')[0]", [("outboard", -1), ("inboard", 1)]),
        ("racks.0.rack_line", "at('.housing')[1] - all('.joint')[1].cy.baseVal.value", [("ahead", -1), ("behind", 1)]),
        ("racks.0.height", "at('.housing')[1] - all('.joint')[0].cy.baseVal.value", [("above", -1), ("below", 1)]),
        ("racks.0.offset", "at('.housing')[0] - 170", [("left", -1), ("right", 1)]),
        ("racks.0.bar_moves", "at('.band')[0] - 170", [("left", -1), ("right", 1)]),
        ("car.scrub_radius", "at('.chalk')[0] - 264", [("inboard", -1), ("outboard", 1)]),
    ];
    for (path, expression, ways) in cases {
        look(&desk, path).await;
        // Twice round: a first choice walks on to a number or a field that is missing.
        for (side, wanted) in ways.iter().chain(&ways) {
            desk.js_with("document.querySelector(`[data-side='${arguments[0]}']`).click()", vec![json!(format!("{path}:{side}"))]).await;
            look(&desk, path).await;
            assert_eq!(sign(&desk, expression).await, *wanted, "{path} {side}");
        }
    }
    // The rack's drawing knows where the arm is.
    desk.js("document.querySelector(`[data-side='car.arm_fore_aft:ahead']`).click()").await;
    look(&desk, "racks.0.rack_line").await;
    assert_eq!(sign(&desk, "run('.arm')[1]").await, -1);
    assert_eq!(desk.complaints(), Vec::<String>::new());
}

/// What has the focus: a field, or one of its sides.
const FOCUS: &str =
    "const { field, side, sides } = document.activeElement?.dataset ?? {}; return field ?? side ?? (sides ? `${sides}:` : '')";

async fn keys(browser: &Browser, text: &str) {
    browser.client.active_element().await.expect("something has the focus").send_keys(text).await.expect("keys");
}

/// The key that goes on to the first of two sides, from where Enter leads: U+E004, Tab (WebDriver, section 17.4.2).
const TAB: &str = "\u{e004}";

/// The nine numbers with the room for a rack, which may stay empty, and where Enter leads from each: to the two sides, of which it chooses none. A space chooses the one that has the focus.
const WALK: [(&str, &str); 16] = [
    ("car.wheelbase", "100"),
    ("car.front_track", "56"),
    ("car.rod_end_spacing", "50"),
    ("car.arm_fore_aft", "5"),
    ("car.arm_fore_aft:", TAB),
    ("car.arm_fore_aft:ahead", " "),
    ("car.arm_inboard", "1"),
    ("car.arm_inboard:", TAB),
    ("car.arm_inboard:inboard", " "),
    ("car.rack_line_from", ""),
    ("car.rack_line_to", ""),
    ("racks.0.inner_joint_spacing", "24"),
    ("racks.0.travel_two_turns", "4"),
    ("racks.0.travel", "6"),
    ("racks.0.bar_moves:", TAB),
    ("racks.0.bar_moves:left", " "),
];

#[tokio::test]
async fn enter_walks_the_ten_in_order() {
    let phone = Browser::phone().await;
    phone.tap("[data-do=start]").await;
    // U+E007 is Enter (WebDriver, section 17.4.2).
    for (focus, typed) in WALK {
        assert_eq!(phone.js(FOCUS).await, json!(focus));
        keys(&phone, typed).await;
        if ![" ", TAB].contains(&typed) {
            assert_eq!(phone.js("return document.activeElement.enterKeyHint").await, json!("next"), "{focus}");
            keys(&phone, "\u{e007}").await;
        }
    }
    let kind = phone.js("return document.querySelector('[data-verdict]').dataset.kind").await;
    assert!(["suits", "close", "fails"].contains(&kind.as_str().unwrap()), "nine numbers give a verdict: {kind}");
    // A number that is nothing has no side; one whose side is chosen is left at once.
    for (text, next) in [("0", "car.arm_inboard"), ("5", "car.arm_inboard")] {
        phone.write("[data-field='car.arm_fore_aft']", text).await;
        keys(&phone, "\u{e007}").await;
        assert_eq!(phone.js(FOCUS).await, json!(next));
    }
    // A side that is chosen first leads to its number.
    phone.tap("[data-do=start]").await;
    phone.js("document.querySelector(`[data-side='car.arm_inboard:outboard']`).scrollIntoView({ block: 'center' })").await;
    phone.tap("[data-side='car.arm_inboard:outboard']").await;
    assert_eq!(phone.js(FOCUS).await, json!("car.arm_inboard"));
    assert_eq!(phone.complaints(), Vec::<String>::new());
}

/// Puts a text and a selection into the focused field, presses a key, and tells the text and where the caret is.
const PRESS: &str = "
    const [text, from, to, key] = arguments, input = document.activeElement;
    input.value = text; input.dispatchEvent(new Event('input', { bubbles: true })); input.setSelectionRange(from, to);
    const button = document.querySelector(`.keys [data-key='${key}']`);
    button.click();
    return [input.value, input.selectionStart, document.activeElement === input];";

#[tokio::test]
async fn keys_write_what_they_say_at_the_caret() {
    let phone = Browser::phone().await;
    phone.tap("[data-units=inch]").await;
    phone.tap("[data-do=start]").await;
    let cases = [
        ("", 0, 0, "7/16", "7/16", 4),
        ("5", 1, 1, "3/16", "5 3/16", 6),
        ("5 3/16", 6, 6, "1/2", "5 1/2", 5),
        ("5-3/16", 6, 6, "1/2", "5 1/2", 5),
        ("5 ± 1/16", 1, 1, "3/16", "5 3/16 ± 1/16", 6),
        ("5 ± ", 4, 4, "1/16", "5 ± 1/16", 8),
        ("56", 1, 1, "1/2", "5 1/2 6", 5),
        ("5", 0, 1, "3/16", "3/16", 4),
        ("5", 0, 1, "±", "5 ± ", 4),
        ("5 ± 1/16", 8, 8, "±", "5 ± 1/16", 8),
        ("4", 1, 1, "′", "4′ ", 3),
        ("4′ 6", 4, 4, "1/2", "4′ 6 1/2", 8),
        ("4′ 6 1/2", 8, 8, "″", "4′ 6 1/2″", 9),
        ("46", 1, 1, "′", "4′ 6", 3),
    ];
    for (text, from, to, key, wanted, caret) in cases {
        let seen = phone.js_with(PRESS, vec![json!(text), json!(from), json!(to), json!(key)]).await;
        assert_eq!(seen, json!([wanted, caret, true]), "{text:?} {from}..{to} {key}");
    }
    // The core reads them: 8 ft 6 1/2 in = 102.5 × 25.4 mm = 2603.5 mm.
    phone.js_with(PRESS, vec![json!("8′ 6"), json!(4), json!(4), json!("1/2")]).await;
    assert!(phone.text(".field[data-path='car.wheelbase'] .under").await.contains("2603.5 mm"));
    // Letters for what no key says; the field keeps the focus and its text.
    let letters = "const input = document.activeElement, key = document.querySelector('.keys [data-key=abc]'); key.click();
        return [document.activeElement === input, input.inputMode, input.value, key.textContent];";
    assert_eq!(phone.js(letters).await, json!([true, "text", "8′ 6 1/2", "123"]));
    assert_eq!(phone.js(letters).await, json!([true, "decimal", "8′ 6 1/2", "abc"]));
    assert_eq!(phone.complaints(), Vec::<String>::new());
}

/// A keyboard that covers the lower part of the page, as a phone's does: only the visual viewport knows of it.
const KEYBOARD: &str = "
    const shape = new EventTarget(); let high = null;
    Object.assign(shape, { offsetTop: 0, offsetLeft: 0, scale: 1, width: innerWidth });
    Object.defineProperty(shape, 'height', { get: () => high ?? innerHeight });
    Object.defineProperty(window, 'visualViewport', { value: shape });
    window.keyboard = (seen) => { high = seen; shape.dispatchEvent(new Event('resize')); };";

#[tokio::test]
async fn field_drawing_and_keys_are_seen_together_above_the_keyboard() {
    let phone = Browser::open(Screen::Phone).await;
    phone.cdp("Page.addScriptToEvaluateOnNewDocument", json!({ "source": KEYBOARD }));
    phone.goto("").await;
    phone.tap("[data-units=inch]").await;
    phone.tap("[data-do=start]").await;
    // 844 less a bar of the browser's and a keyboard of some 300.
    const SEEN: i64 = 480;
    phone.js_with("keyboard(arguments[0])", vec![json!(SEEN)]).await;
    for (focus, typed) in WALK {
        assert_eq!(phone.js(FOCUS).await, json!(focus));
        let script = "await new Promise((done) => setTimeout(done, 120));
            const field = document.activeElement.closest('.field'), keys = document.querySelector('.keys'), rect = (node) => node.getBoundingClientRect();
            return { top: rect(field.querySelector('.tape-panel svg')).top, number: rect(document.activeElement).bottom, bottom: rect(keys ?? field).bottom, below: keys ? rect(keys).top - rect(field).bottom : 0 };";
        let seen = phone.js(&format!("return (async () => {{ {script} }})()")).await;
        let of = |name: &str| seen[name].as_f64().unwrap();
        assert!(of("top") >= 0.0 && of("number") < of("bottom") + 1.0 && of("bottom") <= SEEN as f64, "{focus}: {seen}");
        assert!((0.0..20.0).contains(&of("below")), "{focus}: keys directly under the field: {seen}");
        if focus == "car.arm_inboard" {
            phone.screenshot("tape-keyboard").await;
        }
        keys(&phone, typed).await;
        if ![" ", TAB].contains(&typed) {
            keys(&phone, "\u{e007}").await;
        }
    }
    assert_eq!(phone.complaints(), Vec::<String>::new());
}

/// The drawing goes from field to field without moving the field that is pointed at.
#[tokio::test]
async fn nothing_moves_from_under_the_finger() {
    for screen in [Screen::Phone, Screen::Desk] {
        let browser = unfolded(screen).await;
        let measured: Vec<String> = drawn().filter(|row| row.section != Section::Limits).map(path).collect();
        // Down the page, and back in leaps.
        let leaps = (0..measured.len()).map(|i| (i * 23 + 35) % measured.len());
        for i in (0..measured.len()).chain(leaps) {
            let script = "const field = document.querySelector(`.field[data-path='${arguments[0]}']`), target = field.querySelector('input') ?? field.querySelector('button');
                target.scrollIntoView({ block: 'center', behavior: 'instant' });
                const before = target.getBoundingClientRect().top;
                target.focus({ preventScroll: true });
                return [target.getBoundingClientRect().top - before, field.querySelectorAll('.tape-panel').length];";
            browser.turn_to(&format!(".field[data-path='{}']", measured[i])).await;
            let seen = browser.js_with(script, vec![json!(measured[i])]).await;
            assert!(seen[0].as_f64().unwrap().abs() <= 1.0 && seen[1] == json!(1), "{}: {seen}", measured[i]);
        }
    }
}
