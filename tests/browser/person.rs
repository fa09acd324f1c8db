//! A person's way on a phone, from the empty page: nine numbers typed for each verdict that there is, everything shown compared.

use crate::hand::{BACKWARDS, CLOSE, FAILS, Four, Hand, Nine, SUITS, field, plan};
use crate::shown;
use donorack::Plan;
use donorack_tests::browser::Screen;
use donorack_tests::engine::Engine;
use serde_json::{Value, json};
use std::process::Command;

/// What `evaluate` prints for a plan's file or a link.
fn printed(source: &str) -> Value {
    let mut cargo = Command::new(env!("CARGO"));
    let out = cargo
        .current_dir(donorack_www::workspace())
        .args(["run", "--quiet", "--locked", "--bin", "evaluate", "--", source])
        .output()
        .unwrap();
    assert_eq!(out.status.code(), Some(0), "{}", String::from_utf8_lossy(&out.stderr));
    serde_json::from_slice(&out.stdout).unwrap()
}

/// What stands in the list of all figures for one of them.
async fn figure(hand: &Hand, hook: &str) -> String {
    let shown = shown::read(&hand.browser).await;
    let found = shown["figures"].as_array().unwrap().iter().find(|f| f[0] == hook);
    found.unwrap_or_else(|| panic!("{hook}"))[1].as_str().unwrap().to_owned()
}

/// Types nine numbers into the empty page and compares everything, in inches and after the switch in millimetres.
async fn typed(nine: &Nine, kind: &str, with_keys: bool) -> Hand {
    typed_on_a(Engine::Chromium, nine, kind, with_keys).await
}

/// The same in a browser of any kind.
pub async fn typed_on_a(engine: Engine, nine: &Nine, kind: &str, with_keys: bool) -> Hand {
    let mut hand = Hand::on_a(engine, Screen::Phone).await;
    hand.tap("[data-do=start]").await;
    assert_eq!(hand.focus().await, "car.wheelbase", "the empty page waits for the first number");
    hand.nine(nine, with_keys).await;
    println!("{kind}: {} taps and {} keys from the example to the first verdict", hand.taps, hand.keys);
    // As many as when the page was one long sheet; with the page's own keys more of them are taps.
    assert!(with_keys || hand.taps <= 5, "{} taps", hand.taps);
    let wanted = plan(&nine.file());
    assert_eq!(serde_json::to_value(donorack::evaluate(&wanted)).unwrap()["racks"][0]["verdict"]["kind"], kind);
    let inch = shown::check(&hand.browser, &wanted, "inch").await;
    hand.browser.screenshot(&format!("person-{kind}-inch-{engine}")).await;
    hand.tap("[data-units=mm]").await;
    let mm = shown::check(&hand.browser, &wanted, "mm").await;
    println!("{kind}: {inch} texts compared in inches, {mm} in millimetres");
    hand
}

#[tokio::test]
async fn a_rack_that_suits_by_the_pages_own_keys() {
    let mut hand = typed(&SUITS, "suits", true).await;
    hand.browser.screenshot("person-suits-verdict").await;
    // What is seen, not only what stands in the document.
    let sentence = hand.browser.text("[data-verdict]").await;
    assert!(sentence.starts_with("Suits from above"), "{sentence}");
    // The command line says the same of the same file, and of the address that the page has come to.
    let file = donorack_www::target().join("person-suits.json");
    std::fs::write(&file, SUITS.file().to_string()).unwrap();
    let of_file = printed(file.to_str().unwrap());
    // What a driver reads off the page has plain spaces for those that do not break.
    let said = of_file["racks"][0]["verdict"]["sentence"]["mm"].as_str().unwrap().replace('\u{a0}', " ");
    assert_eq!(said, sentence);
    let figures = shown::read(&hand.browser).await["figures"].clone();
    for r in of_file["racks"][0]["results"].as_array().unwrap() {
        let side = r["side"].as_str().unwrap();
        let hook = format!("0.{}{}{side}", r["name"].as_str().unwrap(), if side.is_empty() { "" } else { "." });
        assert!(figures.as_array().unwrap().contains(&json!([hook, r["text"]["mm"]])), "{hook} {} in {figures}", r["text"]["mm"]);
    }
    let address = hand.browser.client.current_url().await.unwrap().to_string();
    let of_link = printed(&address);
    assert_eq!(of_link["racks"], of_file["racks"]);
    let fragment = address.split_once('#').unwrap().1;
    assert!(fragment.len() < 120 && fragment.ends_with(|c: char| c.is_ascii_alphanumeric()), "{fragment}");
    // The drawing's two other positions.
    for (name, share) in [("straight", 0.0), ("right", -1.0)] {
        hand.tap(&format!("[data-lock={name}]")).await;
        let seen = donorack::axle(&plan(&SUITS.file()), 0, share).unwrap();
        // The drawing may take its time to get there.
        hand.browser.until(&format!("document.querySelector('#axle-caption').textContent === {}", json!(seen.caption.mm))).await;
        let angles: Vec<&str> = seen.wheels.iter().map(|w| w.text.as_str()).collect();
        assert_eq!(shown::read(&hand.browser).await["axle"][1], json!(angles));
    }
    hand.content().await;
}

#[tokio::test]
async fn a_rack_that_runs_out_of_travel_and_a_second_one_beside_it() {
    let mut hand = typed(&FAILS, "fails", false).await;
    hand.tap("[data-units=inch]").await;
    let before = (hand.taps, hand.keys);
    hand.tap("[data-do=add-rack]").await;
    assert_eq!(hand.focus().await, "racks.1.inner_joint_spacing", "a further rack waits for its first number");
    let second = Four { inner_joint_spacing: "24 1/2", travel_two_turns: "3 3/4", travel: "6 1/8", bar_moves: "right" };
    hand.four(1, &second, false).await;
    println!("second rack: {} taps and {} keys to its verdict", hand.taps - before.0, hand.keys - before.1);
    assert_eq!(hand.taps - before.0, 2);
    let mut file = FAILS.file();
    file["racks"].as_array_mut().unwrap().push(second.file());
    let both = plan(&file);
    shown::check(&hand.browser, &Plan { chosen: 1, ..both.clone() }, "inch").await;
    hand.browser.screenshot("person-second-rack").await;
    // The one that was measured is shown, and still is when that is asked for.
    hand.tap("[data-choose='1']").await;
    shown::check(&hand.browser, &Plan { chosen: 1, ..both.clone() }, "inch").await;
    hand.browser.screenshot("person-side-by-side").await;
    // The first rack shown again feeds everything below.
    hand.tap("[data-choose='0']").await;
    shown::check(&hand.browser, &Plan { chosen: 0, ..both.clone() }, "inch").await;
    hand.tap("[data-units=mm]").await;
    shown::check(&hand.browser, &Plan { chosen: 0, ..both.clone() }, "mm").await;
    // Sorting moves columns and changes no figure.
    hand.tap("[data-sort=turns]").await;
    shown::check(&hand.browser, &Plan { chosen: 0, ..both }, "mm").await;
    hand.content().await;
}

#[tokio::test]
async fn a_rack_that_steers_backwards_in_other_spellings() {
    let mut hand = typed(&BACKWARDS, "backwards", false).await;
    // Turned the other way it is another plan.
    hand.side("racks.0.bar_moves", "left").await;
    let turned = Nine { rack: Four { bar_moves: "left", ..BACKWARDS.rack }, ..BACKWARDS };
    shown::check(&hand.browser, &plan(&turned.file()), "mm").await;
    hand.content().await;
}

#[tokio::test]
async fn a_rack_too_close_to_call() {
    let hand = typed(&CLOSE, "close", true).await;
    hand.browser.turn_to("#findings").await;
    hand.browser.js("document.querySelector('#findings').scrollIntoView()").await;
    hand.browser.screenshot("person-close-findings").await;
    hand.content().await;
}

/// Before the nine numbers are all there the page says what is missing, and shows everything that follows already.
#[tokio::test]
async fn each_number_makes_it_sharper() {
    let mut hand = Hand::on(Screen::Phone).await;
    hand.tap("[data-do=start]").await;
    let mut file = json!({ "donorack": 1, "car": {}, "racks": [{}] });
    let all = SUITS.file();
    shown::check(&hand.browser, &plan(&file), "inch").await;
    hand.browser.screenshot("person-empty").await;
    // From the rack to the car: turns come first, then a ratio.
    for (name, text) in [("travel_two_turns", SUITS.rack.travel_two_turns), ("travel", SUITS.rack.travel)] {
        hand.write(&format!("racks.0.{name}"), text).await;
        hand.enter().await;
        file["racks"][0][name] = all["racks"][0][name].clone();
        shown::check(&hand.browser, &plan(&file), "inch").await;
    }
    assert_eq!(figure(&hand, "0.turns_bare").await, "3.12 turns ± 0.06 turns");
    for (name, (text, side)) in [("arm_fore_aft", SUITS.arm_fore_aft), ("arm_inboard", SUITS.arm_inboard)] {
        hand.write(&format!("car.{name}"), text).await;
        hand.side(&format!("car.{name}"), side).await;
        file["car"][name] = all["car"][name].clone();
        shown::check(&hand.browser, &plan(&file), "inch").await;
    }
    let first = figure(&hand, "0.ratio_first").await;
    assert!(first.contains('±'), "{first}");
    hand.content().await;
}

/// Inches at first for en-US, millimetres for everybody else; the switch rewrites no number.
#[tokio::test]
async fn a_first_visit_reads_as_its_country_does() {
    for (language, units, unit, number) in [("en-US", "inch", "in", "98"), ("de-DE", "mm", "mm", "2489"), ("en-GB", "mm", "mm", "2489")] {
        let mut hand = Hand { browser: donorack_tests::browser::Browser::open(Screen::Phone).await, taps: 0, keys: 0 };
        let agent = hand.browser.js("return navigator.userAgent").await;
        hand.browser.cdp("Emulation.setUserAgentOverride", json!({ "userAgent": agent, "acceptLanguage": language }));
        hand.goto("").await;
        assert_eq!(hand.browser.js("return navigator.language").await, json!(language));
        assert_eq!(hand.browser.js("return document.querySelector('[data-units][aria-pressed=true]').dataset.units").await, json!(units));
        hand.tap("[data-do=start]").await;
        assert_eq!(hand.browser.text("[data-unit='car.wheelbase']").await, unit);
        hand.write("car.wheelbase", number).await;
        hand.enter().await;
        let other = if units == "mm" { "inch" } else { "mm" };
        hand.tap(&format!("[data-units={other}]")).await;
        let file = json!({ "donorack": 1, "car": { "wheelbase": format!("{number} {unit}") }, "racks": [{}] });
        shown::check(&hand.browser, &plan(&file), other).await;
        assert_eq!(hand.browser.text("[data-unit='car.wheelbase']").await, unit, "the number keeps the unit it was typed in");
        assert_eq!(
            hand.browser.js_with("return document.querySelector(arguments[0]).value", vec![json!(field("car.wheelbase"))]).await,
            json!(number)
        );
    }
}
