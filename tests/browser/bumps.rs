//! The suspension's points and bump steer: typed number by number, what it says, what mends it, taken back, handed on.

use crate::hand::{Hand, linked, plan};
use crate::looks::axe;
use donorack::{Plan, Session, evaluate};
use donorack_tests::browser::Screen;
use serde_json::{Value, json};

/// Every number of the left side that no other reading gives, in the order in which the page asks: its field, the text in inches, its word.
/// All figures are invented.
const NUMBERS: [(&str, &str, &str); 19] = [
    ("lower_ball_z", "8 3/8", ""),
    ("upper_ball_z", "18 1/2", ""),
    ("wheel_centre_z", "12 5/8", ""),
    ("lower_front_z", "8 13/16", ""),
    ("lower_rear_z", "8 7/16", ""),
    ("upper_front_z", "16 15/16", ""),
    ("upper_rear_z", "16 7/16", ""),
    ("lower_ball_x", "5/16", "ahead"),
    ("lower_ball_y", "26 7/16", ""),
    ("upper_ball_x", "3/8", "behind"),
    ("upper_ball_y", "24 13/16", ""),
    ("lower_front_x", "6 1/2", "ahead"),
    ("lower_front_y", "13", ""),
    ("lower_rear_x", "5 7/8", "behind"),
    ("lower_rear_y", "13", ""),
    ("upper_front_x", "4 5/16", "ahead"),
    ("upper_front_y", "15 3/4", ""),
    ("upper_rear_x", "4 3/4", "behind"),
    ("upper_rear_y", "15 3/4", ""),
];
const LINES: [&str; 3] = ["line_across", "line_along", "level"];

/// The car and its rack before the suspension was measured.
fn before() -> Value {
    json!({ "donorack": 1,
        "car": { "wheelbase": "100 in", "front_track": "56 in", "rod_end_spacing": "50 3/8 in", "arm_fore_aft": "5 3/16 in behind",
            "arm_inboard": "11/16 in inboard", "rod_end_height": "11 13/16 in" },
        "racks": [{ "inner_joint_spacing": "27 3/4 in", "travel_two_turns": "3 3/4 in", "travel": "5 1/4 in", "bar_moves": "right",
            "rack_line": "1/2 in behind", "height": "1/4 in below", "offset": "0 in" }] })
}

/// The same with as many of the numbers, as a plan's file has them, and the ± of the lines with the last.
fn with(numbers: usize) -> Value {
    let mut file = before();
    file["car"]["suspension"] = json!("double wishbone");
    for (name, text, word) in &NUMBERS[..numbers] {
        file["car"][name] = json!(format!("{text} in {word}").trim_end());
    }
    if numbers == NUMBERS.len() {
        for line in LINES {
            file["car"][line] = json!("0 ± 1/32 in");
        }
    }
    file
}

/// A plan of one's own, opened as a link and kept, in inches.
async fn opened(file: &Value, screen: Screen) -> Hand {
    let mut hand = Hand::on(screen).await;
    hand.arrive(&format!("#{}", plan(file).to_link())).await;
    hand.tap("[data-do=keep]").await;
    hand.tap("[data-units=inch]").await;
    hand
}

/// What stands beside a part's name in the row.
async fn in_row(hand: &Hand, part: &str) -> Value {
    let script = "const link = document.querySelector(`#parts [data-part-link=${arguments[0]}]`);
        return link && [link.querySelector('.mark')?.textContent ?? '', link.querySelector('.word').textContent]";
    hand.browser.js_with(script, vec![json!(part)]).await
}

/// What the core says of a part: its mark, its word, its sentence.
fn state(of: &Plan, part: &str) -> (Value, String) {
    let view = serde_json::to_value(evaluate(of)).unwrap();
    let state = view["parts"].as_array().unwrap().iter().find(|p| p["part"] == part).unwrap().clone();
    let mark = match state["kind"].as_str() {
        Some("pass") => "✓",
        Some("close") => "~",
        Some("fail") => "✕",
        Some("missing") => "?",
        _ => "",
    };
    (json!([mark, state["word"]["inch"]]), state["says"]["inch"].as_str().unwrap().to_owned())
}

/// Everything that Bump steer says, held against the core's answers for the plan of a file.
async fn same_figures(hand: &Hand, of: &Plan) {
    hand.part("bump").await;
    let view = serde_json::to_value(evaluate(of)).unwrap();
    let rack = &view["racks"][0];
    let found = rack["findings"].as_array().unwrap().iter().find(|f| f["name"] == "bump_steer").unwrap();
    hand.browser.until(&format!("document.querySelector('#bump-says')?.textContent === {}", found["title"]["inch"])).await;
    assert_eq!(in_row(hand, "bump").await, state(of, "bump").0);
    let mut session = Session::new(of.clone());
    let bumps = session.over_bumps(0, 0.0);
    let here = session.corner(0, 0, 30.0, 0.0).unwrap().text.inch;
    hand.browser.until(&format!("document.querySelector('#over-bumps-here').textContent === {}", json!(here))).await;
    let seen = hand
        .browser
        .js("return [document.querySelector('#over-bumps-summary').textContent,
        [...document.querySelectorAll('#bump-table tbody tr')].map((row) => [...row.cells].map((cell) => cell.textContent)),
        document.querySelector('#bump-mend')?.textContent.trim() ?? '', document.querySelector('#strip .worst .clip').textContent]")
        .await;
    let table: Vec<Vec<&str>> = bumps.wheels[0].table.iter().map(|row| row.iter().map(|text| text.inch.as_str()).collect()).collect();
    assert_eq!((&seen[0], &seen[1]), (&json!(bumps.wheels[0].summary.inch), &json!(table)));
    let button = found["cures"].as_array().unwrap().iter().find_map(|c| c["set"]["button"]["inch"].as_str()).unwrap_or("");
    assert_eq!(seen[2], button);
    let head = if found["kind"] == "fail" { &found["title"]["inch"] } else { &rack["verdict"]["head"]["inch"] };
    assert!(seen[3].as_str().unwrap().ends_with(head.as_str().unwrap()), "{} for {head}", seen[3]);
}

#[tokio::test]
async fn a_corner_typed_as_points_in_inches_and_the_rack_lowered() {
    let mut hand = opened(&before(), Screen::Phone).await;
    assert_eq!(in_row(&hand, "points").await, Value::Null, "Points is not there unasked");
    assert_eq!(in_row(&hand, "bump").await, json!(["?", "needs points"]));
    hand.part("bump").await;
    assert_eq!(hand.browser.js("return document.querySelector('[data-part=bump] .lack').checkVisibility()").await, json!(true));
    // The way there is in Car.
    hand.tap("[data-part=car] [data-part-link=points]").await;
    hand.side("car.suspension", "double wishbone").await;
    hand.enter_field("car.lower_ball_z").await;
    for (k, (name, text, word)) in NUMBERS.iter().enumerate() {
        let path = format!("car.{name}");
        hand.browser.until(&format!("document.activeElement?.dataset.field === '{path}'")).await;
        hand.type_on(text).await;
        hand.enter().await;
        if !word.is_empty() {
            // Enter goes to the two words, and a second one chooses neither.
            let sides = format!("document.activeElement?.dataset.sides === '{path}'");
            hand.browser.until(&sides).await;
            hand.enter().await;
            hand.browser.until(&sides).await;
            assert_eq!(
                hand.browser
                    .js_with(
                        "return document.querySelectorAll(`[data-sides='${arguments[0]}'] [aria-pressed=true]`).length",
                        vec![json!(path)]
                    )
                    .await,
                json!(0)
            );
            hand.side(&path, word).await;
        }
        let known = plan(&with_lines(k + 1));
        let wanted = state(&known, "points");
        let row = format!("document.querySelector('#parts [data-part-link=points] .word').textContent === {}", wanted.0[1]);
        hand.browser.until(&row).await;
        if [1, 7].contains(&k) {
            // What can be answered already, and what for.
            let said = Session::new(known).points(0).text;
            hand.browser.until(&format!("document.querySelector('#points-said').textContent === {}", json!(said))).await;
            hand.browser.screenshot(&format!("bumps-points-{k}")).await;
        }
    }
    // The last number leads on to what they were typed for.
    hand.browser.until("!document.querySelector('[data-part=bump]').hidden").await;
    for line in LINES {
        hand.write(&format!("car.{line}"), "1/32").await;
    }
    hand.browser.js("document.activeElement.blur()").await;
    let typed = plan(&with(NUMBERS.len()));
    assert_eq!(linked(hand.browser.client.current_url().await.unwrap().as_ref()), typed, "the address holds what was typed");
    assert_eq!(in_row(&hand, "points").await, json!(["✓", ""]));
    same_figures(&hand, &typed).await;
    hand.browser.screenshot("bumps-high").await;

    // Set lower by the button: the plan of the remedy, and the core's answers for it.
    let view = serde_json::to_value(evaluate(&typed)).unwrap();
    let found = view["racks"][0]["findings"].as_array().unwrap().iter().find(|f| f["name"] == "bump_steer").unwrap();
    assert_eq!(found["kind"], "fail");
    let mut file = with(NUMBERS.len());
    file["racks"][0]["height"] = found["cures"][0]["set"]["typed"]["inch"].clone();
    let lowered = plan(&file);
    hand.tap("#bump-mend").await;
    same_figures(&hand, &lowered).await;
    assert_eq!(linked(hand.browser.client.current_url().await.unwrap().as_ref()), lowered);
    let says = hand.browser.text("#bump-says").await;
    assert!(says.contains("over bumps") && evaluate(&lowered).racks[0].verdict.sentence.inch.starts_with("Fits"), "{says}");
    hand.browser.screenshot("bumps-lowered").await;
    // Put back, set again, undone: three ways between the two.
    hand.tap("#bump-back").await;
    same_figures(&hand, &typed).await;
    hand.tap("#bump-mend").await;
    same_figures(&hand, &lowered).await;
    hand.tap("#bar [data-do=undo]").await;
    same_figures(&hand, &typed).await;
    hand.tap("#bump-mend").await;
    hand.content().await;

    // The link, opened elsewhere.
    let address = hand.browser.client.current_url().await.unwrap().to_string();
    let mut other = Hand::on(Screen::Desk).await;
    other.arrive(&address).await;
    other.tap("[data-units=inch]").await;
    same_figures(&other, &lowered).await;
    other.browser.screenshot("bumps-desk").await;
    assert_eq!(other.browser.complaints(), Vec::<String>::new());
}

/// [`with`], without the ± of the lines, which are typed last.
fn with_lines(numbers: usize) -> Value {
    let mut file = with(numbers);
    for line in LINES {
        file["car"].as_object_mut().unwrap().remove(line);
    }
    file
}

/// Slider, steps and typed number are one value, and the picture is of it; at another steer both wheels differ.
#[tokio::test]
async fn the_wheel_goes_up_and_down() {
    let file = with(NUMBERS.len());
    let mut hand = opened(&file, Screen::Phone).await;
    hand.tap("[data-units=mm]").await;
    hand.part("bump").await;
    let mut session = Session::new(plan(&file));
    let mut shows = async |hand: &Hand, side: usize, travel: f64, share: f64| {
        let text = session.corner(0, side, travel, share).unwrap().text.mm;
        hand.browser.until(&format!("document.querySelector('#over-bumps-here').textContent === {}", json!(text))).await;
        let slider = hand.browser.js("return Number(document.querySelector('#bump-travel').value) / 20").await.as_f64().unwrap();
        assert!((slider - travel).abs() < 0.06, "{slider} for {travel}");
        assert_eq!(hand.browser.js("return document.querySelector('#bump-typed').value").await, json!(format!("{}", travel.abs())));
    };
    shows(&hand, 0, 30.0, 0.0).await;
    hand.tap("[data-bump-step=up]").await;
    shows(&hand, 0, 35.0, 0.0).await;
    for _ in 0..2 {
        hand.tap("[data-bump-step=down]").await;
    }
    shows(&hand, 0, 25.0, 0.0).await;
    hand.tap("[data-way=down]").await;
    shows(&hand, 0, -25.0, 0.0).await;
    hand.browser.write("#bump-typed", "1 in").await;
    hand.enter().await;
    hand.browser.js("document.activeElement.blur()").await;
    shows(&hand, 0, -25.4, 0.0).await;
    hand.browser.js("const range = document.querySelector('#bump-travel'); range.value = 800; range.dispatchEvent(new Event('input', { bubbles: true }))").await;
    shows(&hand, 0, 40.0, 0.0).await;
    // What cannot be read says how to mend it, and the corner stays.
    hand.browser.write("#bump-typed", "far").await;
    hand.enter().await;
    hand.browser.until("document.querySelector('#bump-problem').textContent !== ''").await;
    hand.browser.write("#bump-typed", "40").await;
    hand.enter().await;
    hand.browser.js("document.activeElement.blur()").await;
    hand.browser.until("document.querySelector('#bump-problem').textContent === ''").await;
    hand.tap("[data-wheel='1']").await;
    shows(&hand, 1, 40.0, 0.0).await;
    hand.tap("[data-steer='1']").await;
    shows(&hand, 1, 40.0, 1.0).await;
    let summary = session_summary(&file, 1, 1.0);
    hand.browser.until(&format!("document.querySelector('#over-bumps-summary').textContent === {}", json!(summary))).await;
    hand.browser.screenshot("bumps-steered").await;
    hand.content().await;
}

fn session_summary(file: &Value, side: usize, share: f64) -> String {
    Session::new(plan(file)).over_bumps(0, share).wheels[side].summary.mm.clone()
}

/// A point that makes no suspension is named, with a way to it.
#[tokio::test]
async fn an_odd_point_is_named() {
    let mut file = with(NUMBERS.len());
    // Inches, read as millimetres.
    file["car"]["lower_ball_z"] = json!("8.4 mm");
    let mut hand = opened(&file, Screen::Phone).await;
    let odd = Session::new(plan(&file)).points(0).odd[0].clone();
    assert!(odd.title.inch.contains("inches"), "{odd:?}");
    assert_eq!(in_row(&hand, "points").await, json!(["?", "look again"]));
    hand.part("points").await;
    hand.browser.until(&format!("document.querySelector('.odd .title').textContent === {}", json!(odd.title.inch))).await;
    hand.tap(".odd button").await;
    hand.browser.until("document.activeElement?.dataset.field === 'car.lower_ball_z'").await;
    hand.content().await;
}

/// The parts without a barrier in every look, targets large enough, nothing wider than the screen.
#[tokio::test]
async fn the_parts_are_accessible_in_every_look() {
    for (screen, numbers) in [(Screen::Phone, NUMBERS.len()), (Screen::Phone, 9), (Screen::Narrow, NUMBERS.len())] {
        let hand = opened(&with(numbers), screen).await;
        for look in ["light", "dark", "sun"] {
            hand.browser.js_with("document.querySelector(`[data-set-look=${arguments[0]}]`).click()", vec![json!(look)]).await;
            for part in ["points", "bump", "place"] {
                hand.part(part).await;
                hand.browser.settled().await;
                hand.browser.unfold().await;
                assert_eq!(axe(&hand.browser, look).await, Vec::<String>::new(), "{part} {look} {screen:?} {numbers}");
                hand.fits().await;
                let small = "return [...document.querySelectorAll('.part:not([hidden]) :is(button, input, a, summary)')].filter((n) => n.checkVisibility() && n.getBoundingClientRect().height < 43.5).map((n) => n.outerHTML.slice(0, 90))";
                assert_eq!(hand.browser.js(small).await, json!([]), "{part} {look}: too small");
                hand.browser.screenshot(&format!("bumps-{part}-{look}-{screen:?}-{numbers}")).await;
            }
        }
        assert!(hand.browser.complaints().is_empty());
    }
}
