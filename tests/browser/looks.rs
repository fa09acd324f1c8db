//! The three looks: which one there is, that drawings follow, and that everybody can read and work each of them.
//!
//! Accessibility is judged by axe-core (npm, pinned in `tests/package-lock.json`) by its rules for WCAG 2.0 to 2.2, levels A and AA, and
//! its best practice; in sunlight also by its rule for the enhanced contrast of 7:1 (WCAG 2.2, 1.4.6).

use donorack::PARTS;
use donorack_tests::browser::{Browser, Screen};
use donorack_tests::picture::Picture;
use serde_json::{Value, json};

const READY: &str = "document.documentElement.dataset.ready === 'yes'";
pub const LOOKS: [&str; 3] = ["light", "dark", "sun"];

/// A page that has started.
async fn page(screen: Screen) -> Browser {
    let browser = Browser::open(screen).await;
    browser.goto("").await;
    browser.until(READY).await;
    browser
}

pub async fn look(browser: &Browser) -> Value {
    browser.js("return document.documentElement.dataset.look").await
}

/// Has the browser say that its system wants this.
fn system(browser: &Browser, wants: &[(&str, &str)]) {
    let features: Vec<Value> = wants.iter().map(|(name, value)| json!({ "name": name, "value": value })).collect();
    browser.cdp("Emulation.setEmulatedMedia", json!({ "features": features }));
}

pub async fn tap(browser: &Browser, css: &str) {
    browser.find(css).await;
    browser
        .js_with("document.querySelector(arguments[0]).scrollIntoView({ block: 'center', behavior: 'instant' })", vec![json!(css)])
        .await;
    browser.tap(css).await;
}

/// What axe finds wrong, a line each.
pub async fn axe(browser: &Browser, look: &str) -> Vec<String> {
    rules(browser, look, json!({ "type": "tag", "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"] }), 15)
        .await
}

/// The same of what a look changes, its colours: everything else is in one look as in the others.
async fn colours(browser: &Browser, look: &str) -> Vec<String> {
    let wanted = if look == "sun" { json!(["color-contrast", "color-contrast-enhanced"]) } else { json!(["color-contrast"]) };
    rules(browser, look, json!({ "type": "rule", "values": wanted }), 0).await
}

async fn rules(browser: &Browser, look: &str, only: Value, least: u64) -> Vec<String> {
    let path = donorack_www::workspace().join("tests/node_modules/axe-core/axe.min.js");
    let source = std::fs::read_to_string(&path).unwrap_or_else(|e| panic!("{}: {e}; `npm ci --prefix tests` installs it", path.display()));
    if browser.js("return !window.axe").await == json!(true) {
        browser.js(&format!("{source}; window.axe = axe;")).await;
    }
    // Of what is in order one node a rule is told: telling all takes as long as finding what is not.
    let script = "return axe.run({ exclude: [] }, {
            resultTypes: ['violations'],
            runOnly: arguments[1],
            rules: arguments[1].type === 'rule' ? {} : { 'color-contrast-enhanced': { enabled: arguments[0] === 'sun' }, 'target-size': { enabled: true } },
        }).then((found) => [found.passes.length, found.violations.flatMap((rule) => rule.nodes.map((node) =>
            `${rule.id}: ${node.target.join(' ')}: ${[...node.any, ...node.all, ...node.none].map((check) => check.message).join('; ')}`))]);";
    let found = browser.js_with(script, vec![json!(look), only]).await;
    assert!(found[0].as_u64().unwrap() > least, "axe looked at the page: {found}");
    serde_json::from_value(found[1].clone()).unwrap()
}

/// Everything that folds is open.
async fn unfold(browser: &Browser) {
    browser.unfold().await;
    browser.js("document.activeElement.blur?.(); scrollTo(0, 0)").await;
}

/// Has the page have a look.
pub async fn set_look(browser: &Browser, name: &str) {
    if look(browser).await != json!(name) {
        tap(browser, &format!("[data-set-look={name}]")).await;
    }
    browser.js("document.getElementById('jobs').close()").await;
    assert_eq!(look(browser).await, json!(name));
}

/// Judges a state of the page: by every rule in one look, by its colours in the others.
async fn judge(browser: &Browser, state: &str) {
    judge_in(browser, state, &LOOKS).await;
}

/// The same in some looks alone, the first by every rule: colours are those of the look whatever the screen and the engine.
pub async fn judge_in(browser: &Browser, state: &str, looks: &[&str]) {
    let mut wrong = Vec::new();
    for &name in looks {
        set_look(browser, name).await;
        unfold(browser).await;
        for part in PARTS.into_iter().chain(["all"]) {
            if part == "all" {
                browser.js("document.getElementById('parts-all').click()").await;
            } else {
                browser.turn_to(&format!(".part[data-part={part}] h2")).await;
            }
            browser.screenshot(&format!("look-{state}-{name}-{part}")).await;
            let found = if name == looks[0] { axe(browser, name).await } else { colours(browser, name).await };
            wrong.extend(found.into_iter().map(|line| format!("{state}, {name}, {part}: {line}")));
        }
        browser.js("document.getElementById('jobs').close()").await;
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert_eq!(browser.complaints(), Vec::<String>::new());
}

// The example on a phone is judged in all three engines (`engines`).

#[tokio::test]
async fn the_example_on_the_narrowest_phone() {
    judge_in(&page(Screen::Narrow).await, "example-narrow", &["sun"]).await;
}

#[tokio::test]
async fn the_example_on_a_desk() {
    judge_in(&page(Screen::Desk).await, "example-desk", &["dark"]).await;
}

#[tokio::test]
async fn an_empty_plan() {
    let phone = page(Screen::Phone).await;
    tap(&phone, "[data-do=start]").await;
    judge(&phone, "empty-phone").await;
}

#[tokio::test]
async fn errors_shown() {
    let phone = page(Screen::Phone).await;
    tap(&phone, "[data-do=start]").await;
    for (field, text) in [("car.wheelbase", "a hundred"), ("car.front_track", "1,234"), ("racks.0.inner_joint_spacing", "9 km")] {
        let css = format!("[data-field='{field}']");
        phone.turn_to(&css).await;
        phone.js_with("document.querySelector(arguments[0]).focus()", vec![json!(css)]).await;
        phone.client.active_element().await.unwrap().send_keys(text).await.unwrap();
        assert_eq!(phone.js_with("return document.querySelector(arguments[0]).value", vec![json!(css)]).await, json!(text));
    }
    phone.js("document.activeElement.blur()").await;
    phone.until("[...document.querySelectorAll('.problem')].filter((problem) => !problem.hidden).length >= 3").await;
    judge(&phone, "errors-phone").await;
}

#[tokio::test]
async fn a_friends_plan() {
    let link = std::fs::read_to_string(donorack_www::workspace().join("tests/data/links/three-racks.link")).unwrap();
    let phone = Browser::open(Screen::Phone).await;
    phone.goto(&format!("#{}", link.trim().trim_start_matches('#'))).await;
    phone.until(READY).await;
    phone.until("document.getElementById('bar').classList.contains('friend')").await;
    judge(&phone, "friend-phone").await;
}

/// While a field has the focus, its drawing is lit and the keys stand beneath it.
#[tokio::test]
async fn a_field_with_the_focus() {
    let phone = page(Screen::Phone).await;
    for name in LOOKS {
        if look(&phone).await != json!(name) {
            tap(&phone, &format!("[data-set-look={name}]")).await;
        }
        phone.js("document.getElementById('jobs').close()").await;
        tap(&phone, "[data-field='car.arm_fore_aft']").await;
        phone.screenshot(&format!("look-focus-phone-{name}")).await;
        assert_eq!(axe(&phone, name).await, Vec::<String>::new(), "{name}");
    }
}

/// The judge can find something: pale letters, letters that pass 4.5:1 and not the 7:1 of sunlight, a button without a name.
#[tokio::test]
async fn planted_faults_are_found() {
    let desk = page(Screen::Desk).await;
    if look(&desk).await != json!("light") {
        tap(&desk, "[data-set-look=light]").await;
    }
    desk.js("document.getElementById('jobs').close()").await;
    assert_eq!(axe(&desk, "light").await, Vec::<String>::new());
    // A style sheet's rule set by script is no inline style; the policy has nothing against it.
    let ink = |colour: &str| format!("document.documentElement.style.setProperty('--ink-2', '{colour}')");
    desk.js(&ink("#b0b8bd")).await;
    for found in [axe(&desk, "light").await, colours(&desk, "light").await] {
        assert!(found.iter().any(|line| line.starts_with("color-contrast:")), "{found:?}");
    }
    desk.js(&ink("#6a6a6a")).await;
    assert_eq!(axe(&desk, "light").await, Vec::<String>::new(), "4.5:1 is enough for it here");
    for found in [axe(&desk, "sun").await, colours(&desk, "sun").await] {
        assert!(found.iter().any(|line| line.starts_with("color-contrast-enhanced:")), "and not in sunlight: {found:?}");
    }
    desk.js("document.documentElement.style.removeProperty('--ink-2')").await;
    desk.js("document.querySelector('[data-do=share]').textContent = ''").await;
    assert!(axe(&desk, "light").await.iter().any(|line| line.starts_with("button-name:")));
}

#[tokio::test]
async fn the_look_follows_the_system_until_one_is_set() {
    let desk = page(Screen::Desk).await;
    desk.js("window.heard = []; document.addEventListener('lookchange', (event) => window.heard.push(event.detail))").await;
    for (wants, is) in [
        (&[("prefers-color-scheme", "dark")][..], "dark"),
        (&[("prefers-color-scheme", "light")], "light"),
        (&[("prefers-color-scheme", "dark"), ("prefers-contrast", "more")], "sun"),
        (&[("prefers-color-scheme", "dark"), ("prefers-contrast", "more"), ("forced-colors", "active")], "dark"),
        (&[("prefers-color-scheme", "light")], "light"),
    ] {
        system(&desk, wants);
        desk.until(&format!("document.documentElement.dataset.look === '{is}'")).await;
    }
    assert_eq!(desk.js("return window.heard.slice(-5)").await, json!(["dark", "light", "sun", "dark", "light"]));
    let pressed = "return [...document.querySelectorAll('[data-set-look]')].filter((button) => button.ariaPressed === 'true').map((button) => button.dataset.setLook)";
    assert_eq!(desk.js(pressed).await, json!([]));
    desk.tap("[data-set-look=sun]").await;
    assert_eq!(desk.js(pressed).await, json!(["sun"]));
    system(&desk, &[("prefers-color-scheme", "dark")]);
    desk.reload().await;
    // Before anything is painted: the script that sets it comes before the first style sheet and before the core.
    assert_eq!(look(&desk).await, json!("sun"));
    desk.until(READY).await;
    assert_eq!(desk.js(pressed).await, json!(["sun"]));
    desk.tap("[data-set-look=sun]").await;
    desk.until("document.documentElement.dataset.look === 'dark'").await;
    assert_eq!(desk.js(pressed).await, json!([]));
}

/// The chart is drawn anew in the colours of each look: its ground is the sheet's.
#[tokio::test]
async fn canvases_follow_the_look() {
    let desk = page(Screen::Desk).await;
    desk.turn_to("#toe").await;
    desk.js("document.getElementById('toe').scrollIntoView({ block: 'center' })").await;
    for name in LOOKS {
        desk.js_with("document.querySelector(`[data-set-look=${arguments[0]}]`).click()", vec![json!(name)]).await;
        assert_eq!(look(&desk).await, json!(name));
        desk.until("new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(() => done(true))))").await;
        let corner = desk
            .js("const r = document.getElementById('toe').getBoundingClientRect(); return [Math.round(r.left) + 2, Math.round(r.top) + 2]")
            .await;
        let picture = Picture::from_png(&desk.screenshot(&format!("look-chart-{name}")).await);
        let [x, y] = [0, 1].map(|i| usize::try_from(corner[i].as_u64().unwrap()).unwrap());
        let sheet = desk.js("return getComputedStyle(document.documentElement).getPropertyValue('--sheet').trim()").await;
        let [r, g, b, _] = picture.at(x, y);
        assert_eq!(json!(format!("#{r:02x}{g:02x}{b:02x}")), sheet, "{name}");
    }
}

/// Letters twice as large, 320 px wide, a phone on its side, a desk's page at 200 %: nothing runs out of the page sideways, in any look.
#[tokio::test]
async fn nothing_runs_out_sideways() {
    let sizes = [(Screen::Narrow, 320, 568, 1), (Screen::Phone, 390, 844, 2), (Screen::Phone, 844, 390, 1), (Screen::Desk, 640, 400, 1)];
    for (screen, wide, high, letters) in sizes {
        let browser = page(screen).await;
        if letters == 2 {
            // What a browser's own setting for the size of letters does: the root's size.
            browser.js("document.documentElement.style.fontSize = '200%'").await;
        }
        if [844, 640].contains(&wide) {
            // Turned; and a window of 1280 px zoomed to 200 %, which is one of 640 px with pixels twice as fine.
            let metrics =
                json!({ "width": wide, "height": high, "deviceScaleFactor": if wide == 844 { 3 } else { 2 }, "mobile": wide == 844 });
            browser.cdp("Emulation.setDeviceMetricsOverride", metrics);
        }
        unfold(&browser).await;
        for name in LOOKS {
            browser.js_with("if (document.documentElement.dataset.look !== arguments[0]) document.querySelector(`[data-set-look=${arguments[0]}]`).click()", vec![json!(name)]).await;
            // With large letters the header’s one line moves sideways within itself.
            let script = "const line = document.querySelector('.top .in'); const within = arguments[1] === 2 && line.getBoundingClientRect().right <= arguments[0] ? '.top .in > *, ' : '';
                return [document.scrollingElement.scrollWidth <= arguments[0], [...document.querySelectorAll('body *')].filter((part) => part.checkVisibility()
                && !part.ownerSVGElement && !part.closest(`${within}.scroll, .sr, .canvas, #parts-row`) && part.getBoundingClientRect().right > arguments[0] + 1).map((part) => part.outerHTML.slice(0, 90)).slice(0, 4)]";
            for part in PARTS {
                browser.turn_to(&format!(".part[data-part={part}] h2")).await;
                let seen = browser.js_with(script, vec![json!(wide), json!(letters)]).await;
                browser.screenshot(&format!("look-{wide}x{high}-{letters}-{name}-{part}")).await;
                assert_eq!(seen, json!([true, []]), "{wide} px, letters × {letters}, {name}, {part}");
            }
        }
    }
}

/// At 1280 px the page uses the width: inputs to the left, pictures to the right.
#[tokio::test]
async fn a_desk_is_used() {
    let desk = page(Screen::Desk).await;
    let spans = desk.js("return ['forms', 'answers'].map((id) => document.getElementById(id).getBoundingClientRect()).map((r) => [Math.round(r.left), Math.round(r.right)])").await;
    let at = |part: usize, end: usize| spans[part][end].as_u64().unwrap();
    assert!(at(0, 1) < at(1, 0) && at(1, 1) > 1200 && at(0, 0) < 80, "{spans}");
}

/// Forced colours leave drawings their own strokes: on the system's dark ground they are the dark look's. Nothing moves where motion is unwanted.
#[tokio::test]
async fn forced_colours_and_reduced_motion() {
    let desk = page(Screen::Desk).await;
    system(&desk, &[("prefers-color-scheme", "dark"), ("forced-colors", "active"), ("prefers-reduced-motion", "reduce")]);
    desk.until("document.documentElement.dataset.look === 'dark'").await;
    desk.turn_to("#axle").await;
    desk.js("document.getElementById('axle').scrollIntoView({ block: 'center' })").await;
    desk.screenshot("look-forced-desk").await;
    let seen = desk.js("const style = (css) => getComputedStyle(document.querySelector(css)); const light = (colour) => Math.max(...colour.match(/\\d+/g).slice(0, 3).map(Number));
        return [light(style('#axle .tyre').stroke) - light(style('body').backgroundColor), getComputedStyle(document.querySelector('.mark')).borderTopStyle,
            [...document.querySelectorAll('body *')].filter((part) => getComputedStyle(part).transitionDuration !== '0s' || getComputedStyle(part).animationName !== 'none').length]").await;
    assert!(seen[0].as_f64().unwrap() > 120.0, "the drawing stands out: {seen}");
    assert_eq!(seen[1], json!("solid"), "a mark without its colour still has a shape");
    assert_eq!(seen[2], json!(0), "nothing moves");
}
