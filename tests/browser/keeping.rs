//! Nothing typed is lost, and nothing half typed is taken for a number.

use crate::hand::{Four, Hand, SUITS, field, plan};
use crate::shown;
use donorack_tests::browser::{Browser, Screen};
use serde_json::{Value, json};

/// What stands in a field.
async fn value(hand: &Hand, path: &str) -> String {
    let script = "return document.querySelector(arguments[0]).value";
    hand.browser.js_with(script, vec![json!(field(path))]).await.as_str().unwrap().to_owned()
}

/// The sentence beside a field, if one is seen.
async fn problem(hand: &Hand, path: &str) -> String {
    hand.browser.text(&format!("[data-path=\"{path}\"] .problem")).await
}

/// Every figure on the page.
async fn figures(hand: &Hand) -> Value {
    let seen = shown::read(&hand.browser).await;
    json!([seen["figures"], seen["compare"], seen["trio"], seen["strip"], seen["verdict"]])
}

/// Whether the figures are marked as those from before, as a person sees it.
async fn marked_old(hand: &Hand) -> bool {
    hand.browser.js("return document.body.classList.contains('old')").await == json!(true)
        && hand.browser.text("#strip .clip").await.contains("before you typed")
}

#[tokio::test]
async fn everything_typed_is_there_after_a_reload() {
    let mut hand = Hand::on(Screen::Phone).await;
    hand.tap("[data-do=start]").await;
    let texts = [
        ("car.wheelbase", "8' 8 1/2\""),
        ("car.front_track", "142.5 cm"),
        ("car.rack_line_from", "3/4 ± 1/16"),
        ("racks.0.inner_joint_spacing", "5 3/"),
        ("racks.0.travel_two_turns", "1,234"),
        ("racks.0.travel", "about a hand"),
        ("racks.0.note", "Zeile 1\nZeile 2"),
        ("name", "  Käfer  "),
    ];
    for (path, text) in texts {
        hand.write(path, text).await;
    }
    // The other spacing, a side before its number, another unit for one field.
    hand.tap("[data-which='car.axis_spacing_at_ground']").await;
    hand.write("car.axis_spacing_at_ground", "49½").await;
    hand.side("car.arm_inboard", "inboard").await;
    hand.tap("[data-unit='car.wheelbase']").await;
    let texts = texts.map(|(path, text)| (path, if path == "car.wheelbase" { "2654.3" } else { text }));
    // The last field is left half typed, with the cursor in it.
    hand.write("car.arm_fore_aft", "5 3/").await;
    let before = shown::read(&hand.browser).await["fields"].clone();
    assert_eq!(problem(&hand, "car.arm_fore_aft").await, "", "no reproach while typing");
    hand.reload().await;
    for (path, text) in texts.into_iter().chain([("car.arm_fore_aft", "5 3/"), ("car.axis_spacing_at_ground", "49½")]) {
        assert_eq!(value(&hand, path).await, text, "{path}");
    }
    let kept = |fields: &Value| -> Vec<Value> {
        let fields = fields.as_array().unwrap().iter();
        // What is asked of the one that is being typed into gives way to what is wrong with it.
        fields
            .map(|f| {
                json!([f["path"], f["text"], f["unit"], f["side"], if f["text"] == "5 3/" { "" } else { f["under"].as_str().unwrap() }])
            })
            .collect()
    };
    assert_eq!(kept(&shown::read(&hand.browser).await["fields"]), kept(&before));
    for path in ["car.arm_fore_aft", "racks.0.inner_joint_spacing", "racks.0.travel_two_turns", "racks.0.travel"] {
        let said = problem(&hand, path).await;
        assert!(said.len() > 20 && said.ends_with('.'), "{path}: {said}");
    }
    assert_eq!(problem(&hand, "racks.0.travel_two_turns").await, "Is that 1.234 or 1234? Write it without the comma.");
    hand.browser.js("document.querySelector('[data-path=\"racks.0.travel\"]').scrollIntoView({ block: 'center' })").await;
    hand.browser.screenshot("keeping-unclear").await;
    let file = json!({ "donorack": 1, "name": "  Käfer  ", "car": { "wheelbase": "2654.3 mm", "front_track": "142.5 cm",
        "axis_spacing_at_ground": "49½ in", "arm_fore_aft": "5 3/ in", "rack_line_from": "3/4 ± 1/16 in" },
        "racks": [{ "note": "Zeile 1\nZeile 2", "inner_joint_spacing": "5 3/ in", "travel_two_turns": "1,234 in", "travel": "about a hand in" }] });
    let view = serde_json::to_value(donorack::evaluate_shown(&plan(&file))).unwrap();
    let shown = shown::read(&hand.browser).await;
    assert_eq!(shown["verdict"][0][2], view["racks"][0]["verdict"]["sentence"]["inch"]);
    hand.content().await;
}

#[tokio::test]
async fn a_removed_rack_comes_back() {
    let mut hand = Hand::on(Screen::Phone).await;
    hand.tap("[data-do=start]").await;
    hand.ten(&SUITS, false).await;
    hand.tap("[data-do=add-rack]").await;
    let second = Four { inner_joint_spacing: "24 1/2", travel_two_turns: "3 3/4", travel: "6 1/8", bar_moves: "left" };
    hand.four(1, &second, false).await;
    hand.write("racks.1.name", "Zweiter").await;
    let mut file = SUITS.file();
    file["racks"].as_array_mut().unwrap().push(second.file());
    file["racks"][1]["name"] = json!("Zweiter");
    // What was measured last is shown.
    file["chosen"] = json!(1);
    let both = plan(&file);
    let mut alone = file.clone();
    alone["racks"].as_array_mut().unwrap().remove(0);
    alone["chosen"] = json!(0);
    let alone = plan(&alone);
    for reload in [false, true] {
        hand.tap("details.card[data-rack='0'] summary").await;
        if !hand.browser.find("[data-do=remove-rack][data-rack='0']").await.is_displayed().await.unwrap() {
            hand.tap("details.card[data-rack='0'] summary").await;
        }
        hand.tap("[data-do=remove-rack][data-rack='0']").await;
        shown::check(&hand.browser, &alone, "inch").await;
        assert!(hand.browser.js("return document.querySelector('#say').textContent").await.as_str().unwrap().contains("Undo"));
        if reload {
            hand.reload().await;
            shown::check(&hand.browser, &alone, "inch").await;
        }
        hand.tap("[data-do=undo]").await;
        shown::check(&hand.browser, &both, "inch").await;
    }
    hand.reload().await;
    shown::check(&hand.browser, &both, "inch").await;
    hand.content().await;
}

/// While a field is half typed the last good figures stand, marked; once it is left, what is not a number is missing.
#[tokio::test]
async fn half_typed_is_no_number() {
    let mut hand = Hand::on(Screen::Phone).await;
    hand.tap("[data-do=start]").await;
    hand.ten(&SUITS, false).await;
    let (all, path) = (plan(&SUITS.file()), "racks.0.travel");
    let good = figures(&hand).await;
    hand.enter_field(path).await;
    hand.browser.js("const { activeElement: field } = document; field.setSelectionRange(field.value.length, field.value.length)").await;
    for left in ["5 3/", "5 3"] {
        hand.backspace().await;
        assert_eq!(value(&hand, path).await, left);
        assert!(marked_old(&hand).await, "{left:?}");
        assert_eq!((figures(&hand).await, problem(&hand, path).await), (good.clone(), String::new()), "{left:?}");
    }
    hand.browser.screenshot("keeping-half-typed").await;
    hand.backspace().await;
    // "5" is a number: its own figures at once.
    let mut file = SUITS.file();
    file["racks"][0]["travel"] = json!("5 in");
    hand.backspace().await;
    assert!(!marked_old(&hand).await);
    shown::check(&hand.browser, &plan(&file), "inch").await;
    // Nothing at all is half typed too, as long as the cursor is there. What is shown is from before anything was typed, not from the "5".
    hand.backspace().await;
    assert!(marked_old(&hand).await);
    assert_eq!(figures(&hand).await, good);
    for text in ["5 3/", "77777", "1,234", ""] {
        hand.browser.js("document.activeElement.select()").await;
        if text.is_empty() {
            hand.backspace().await
        } else {
            hand.write(path, text).await
        }
        hand.enter().await;
        assert!(!marked_old(&hand).await, "{text:?}");
        file["racks"][0]["travel"] = json!(format!("{text} in"));
        if text.is_empty() {
            file["racks"][0].as_object_mut().unwrap().remove("travel");
        } else {
            assert!(problem(&hand, path).await.ends_with('.'), "{text:?}");
        }
        // Every figure that leans on it is gone, with the reason; the rest stands.
        shown::check(&hand.browser, &plan(&file), "inch").await;
        let trio = shown::read(&hand.browser).await["trio"].clone();
        assert_eq!((&trio[1], trio[0][1] == "–"), (&json!([null, "–"]), false), "{text:?}");
        if text == "77777" {
            hand.browser.js("document.querySelector('[data-path=\"racks.0.travel\"]').scrollIntoView({ block: 'center' })").await;
            hand.browser.screenshot("keeping-out-of-range").await;
        }
        hand.enter_field(path).await;
    }
    hand.write(path, SUITS.rack.travel).await;
    shown::check(&hand.browser, &all, "inch").await;
    hand.content().await;
}

/// The first edit of the example makes a plan of one's own; the example stays one tap away, as it was.
#[tokio::test]
async fn the_example_is_left_as_it_was() {
    let example = std::fs::read_to_string(donorack_tests::browser::site().join("example.json")).unwrap();
    let mut file: Value = serde_json::from_str(&example).unwrap();
    let wanted = plan(&file);
    let mut hand = Hand::on(Screen::Phone).await;
    shown::check(&hand.browser, &wanted, "inch").await;
    hand.browser.screenshot("keeping-example").await;
    hand.tap("[data-units=mm]").await;
    let texts = shown::check(&hand.browser, &wanted, "mm").await;
    println!("example: {texts} texts compared");
    hand.enter_field("car.arm_inboard").await;
    hand.browser.js("document.activeElement.select()").await;
    hand.write("car.arm_inboard", "21").await;
    file["car"]["arm_inboard"] = json!("21 mm inboard");
    file["invented"] = json!(false);
    shown::check(&hand.browser, &plan(&file), "mm").await;
    hand.enter().await;
    hand.reload().await;
    shown::check(&hand.browser, &plan(&file), "mm").await;
    hand.tap("[data-do=example]").await;
    shown::check(&hand.browser, &wanted, "mm").await;
    hand.tap("[data-do=mine]").await;
    shown::check(&hand.browser, &plan(&file), "mm").await;
    hand.tap("[data-do=undo]").await;
    shown::check(&hand.browser, &wanted, "mm").await;
    hand.content().await;
}

/// Every part unfolded, long words, sentences beside fields: the page is as wide as the screen and no wider.
#[tokio::test]
async fn nothing_is_wider_than_the_screen() {
    for screen in [Screen::Narrow, Screen::Phone] {
        let mut hand = Hand::on(screen).await;
        hand.fits().await;
        hand.tap("[data-do=start]").await;
        hand.fits().await;
        hand.ten(&SUITS, false).await;
        let word = "Donaudampfschifffahrtsgesellschaftskapitän".repeat(3);
        hand.tap("[data-do=add-rack]").await;
        for (path, text) in
            [("name", word.as_str()), ("racks.1.name", &word), ("racks.1.note", &word), ("racks.1.travel", "12345678901234567890123456789")]
        {
            hand.write(path, text).await;
            hand.fits().await;
        }
        hand.browser.js("document.activeElement.blur()").await;
        hand.browser.js("for (const part of document.querySelectorAll('details')) part.open = true").await;
        hand.browser.until("new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(() => done(true))))").await;
        hand.fits().await;
        hand.browser.screenshot(&format!("keeping-wide-{screen:?}")).await;
        hand.tap("[data-choose='0']").await;
        for field in ["car.kingpin_inclination", "car.arm_fore_aft", "racks.1.rod_length", "limits.circle_max"] {
            hand.enter_field(field).await;
            hand.fits().await;
        }
        hand.content().await;
    }
}

/// What the other tests rely on can go wrong, and is then noticed.
#[tokio::test]
async fn a_wide_page_and_a_foreign_request_are_noticed() {
    let phone = Browser::open(Screen::Phone).await;
    phone.goto("").await;
    phone.requests();
    phone.client.goto("data:text/html,<img src=\"http://127.0.0.1:9/elsewhere.png\">").await.unwrap();
    assert!(phone.requests().contains(&"http://127.0.0.1:9/elsewhere.png".to_owned()));
    let hand = Hand { browser: phone, taps: 0, keys: 0 };
    hand.goto("").await;
    assert_eq!(hand.wide().await, Ok(()));
    let widen = "const box = document.createElement('div'); box.id = 'too-wide'; box.style.width = '500px'; document.querySelector('main').append(box)";
    hand.browser.js(widen).await;
    assert!(hand.wide().await.unwrap_err().to_string().contains("too-wide"));
}

/// The strip answers at every key; what is out of sight follows in a pause, or as soon as it comes into sight. Nothing moves for it.
#[tokio::test]
async fn what_is_out_of_sight_follows_in_a_pause() {
    let mut hand = Hand::on(Screen::Phone).await;
    hand.write("car.wheelbase", "").await;
    let sizes = "return ['compare', 'turn-round'].map((id) => document.getElementById(id).getBoundingClientRect().height)";
    let before = hand.browser.js(sizes).await;
    // A key that takes no time: within one task nothing can follow yet.
    let key = "
        const field = document.querySelector('[data-field=\"car.wheelbase\"]');
        const busy = () => ['compare', 'turn-round'].filter((id) => document.getElementById(id).ariaBusy === 'true');
        const circle = (css) => document.querySelector(css).textContent;
        const both = () => [circle('#strip .circle .value'), circle('[data-trio=circle_centre] .big')];
        const was = both();
        field.value = arguments[0];
        field.dispatchEvent(new Event('input', { bubbles: true }));
        return [was, both(), busy()];";
    let seen = hand.browser.js_with(key, vec![json!("2590")]).await;
    let (was, now) = (&seen[0], &seen[1]);
    assert_eq!(was[0], was[1]);
    assert_ne!(now[0], was[0], "the strip answers at once");
    assert_eq!((&now[1], &seen[2]), (&was[1], &json!(["compare", "turn-round"])));
    let hidden = "return !document.getElementById('trio').checkVisibility({ contentVisibilityAuto: true })";
    assert_eq!(hand.browser.js(hidden).await, json!(true), "what is out of sight is not laid out");
    hand.browser.settled().await;
    let both = "['#strip .circle .value', '[data-trio=circle_centre] .big'].map((css) => document.querySelector(css).textContent)";
    assert_eq!(hand.browser.js(&format!("return {both}")).await, json!([now[0], now[0]]));
    assert_eq!(hand.browser.js(sizes).await, before, "as long as no text runs longer");
    // In sight it follows at every key.
    hand.browser.turn_to("#trio").await;
    hand.browser.js("document.getElementById('trio').scrollIntoView({ block: 'center' })").await;
    hand.browser.until("document.getElementById('trio').checkVisibility({ contentVisibilityAuto: true })").await;
    let seen = hand.browser.js_with(key, vec![json!("2900")]).await;
    assert_eq!((&seen[1][0], &seen[2]), (&seen[1][1], &json!(["compare"])), "and the part that is not in front waits");
    hand.content().await;
}

/// Enter in the plan's name ends it; a copy has a name of its own; a field may keep the focus while its rack goes.
#[tokio::test]
async fn names_end_copies_differ_and_a_rack_may_go() {
    let mut hand = Hand::on(Screen::Phone).await;
    hand.tap("#plan-name").await;
    hand.browser.js("document.activeElement.setSelectionRange(99, 99)").await;
    hand.type_on(" 2").await;
    hand.enter().await;
    assert_eq!(hand.browser.js("return document.activeElement === document.body").await, json!(true));
    assert_eq!(value(&hand, "name").await, "Bread van 2");
    for _ in 0..2 {
        hand.tap("[data-do=copy-rack][data-rack='1']").await;
    }
    let names = "return [...document.querySelectorAll('.rack-name')].map((n) => n.textContent)";
    let copies = json!(["Hatchback rack", "Saloon rack", "Saloon rack (copy 2)", "Saloon rack (copy)", "Light-van rack"]);
    assert_eq!(hand.browser.js(names).await, copies);
    hand.tap("[data-do=add-rack]").await;
    assert_eq!(hand.focus().await, "racks.5.inner_joint_spacing");
    // Pressed without taking the focus, as some phones do.
    hand.browser.js("document.querySelector('[data-do=undo]').click()").await;
    assert_eq!(hand.browser.js(names).await, copies);
    assert_eq!(hand.browser.text("#say.told").await, "Undone: rack added.");
    hand.content().await;
}
