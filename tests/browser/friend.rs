//! A link in somebody else's browser: the same figures, to look at first, and nothing of theirs is touched.

use crate::hand::{FAILS, Four, Hand, Nine, SUITS, linked, plan, whole};
use crate::shown;
use donorack::Plan;
use donorack_tests::browser::{Browser, Screen};
use serde_json::{Value, json};

/// A name that would do harm if anything took it for markup.
const NAME: &str = r#"Müller's <b>Röck</b> & "Co" <img src=x onerror="document.body.dataset.hit=1">"#;
const RACK: &str = r#"Großer <i onclick='x'>Träger</i> &amp; Söhne</summary><script>document.body.dataset.hit=2</script>"#;
const NOTE: &str = "Reihe 12, „drittes“ Tor; 40 € </textarea><u>hm</u>";

/// The names stand wherever a name stands, letter by letter, and nothing came of their markup.
async fn names_are_only_names(browser: &Browser) {
    let seen = browser
        .js("const text = (css) => [...document.querySelectorAll(css)].map((n) => n.value ?? n.textContent);
            return { names: text('.rack-name, [data-field=\"racks.0.name\"], #compare-table .n, #strip .clip b'), note: text('[data-field=\"racks.0.note\"]'),
                sub: text('#turning-sub')[0], plan: text('#plan-name')[0], hit: document.body.dataset.hit ?? null,
                odd: document.querySelectorAll('img, i, u, main b b, script:not([src])').length };")
        .await;
    let names = seen["names"].as_array().unwrap();
    assert!(names.len() == 4 && names.iter().all(|name| name == RACK), "{names:?}");
    assert_eq!((&seen["plan"], &seen["note"]), (&json!(NAME), &json!([NOTE])));
    assert!(seen["sub"].as_str().unwrap().contains(RACK), "{}", seen["sub"]);
    assert_eq!((&seen["hit"], &seen["odd"]), (&Value::Null, &json!(0)));
}

/// Address of the page now.
async fn address(hand: &Hand) -> String {
    whole(hand.browser.client.current_url().await.unwrap().as_str())
}

/// What stands in the bar beneath the header.
async fn bar(hand: &Hand) -> String {
    hand.browser.text("#bar .lines").await
}

/// Every text in a field, with its unit and side.
async fn fields(hand: &Hand) -> Value {
    let all = shown::read(&hand.browser).await["fields"].clone();
    let short = |f: &Value| json!([f["path"], f["text"], f["unit"], f["side"], f["problem"]]);
    all.as_array().unwrap().iter().map(short).collect()
}

/// Somebody with a plan of their own, one number of it unclear, who reads millimetres.
async fn reader() -> (Hand, Value) {
    let mut reader = Hand::on(Screen::Phone).await;
    reader.tap("[data-units=mm]").await;
    reader.tap("[data-do=start]").await;
    for (path, text) in [("car.wheelbase", "2410"), ("car.front_track", "1,234"), ("racks.0.travel", "13,8 cm"), ("name", "Mein Käfer")] {
        reader.write(path, text).await;
        reader.enter().await;
    }
    let own = fields(&reader).await;
    (reader, own)
}

#[tokio::test]
async fn a_link_shows_the_same_and_leaves_the_own_plan_alone() {
    // Somebody types a plan with two racks and names.
    let mut sender = Hand::on(Screen::Phone).await;
    sender.tap("[data-do=start]").await;
    sender.nine(&FAILS, false).await;
    for (path, text) in [("racks.0.name", RACK), ("racks.0.note", NOTE), ("name", NAME)] {
        sender.write(path, text).await;
    }
    sender.browser.js("document.activeElement.blur()").await;
    let mut file = FAILS.file();
    file["name"] = json!(NAME);
    file["racks"][0]["name"] = json!(RACK);
    file["racks"][0]["note"] = json!(NOTE);
    let wanted = plan(&file);
    names_are_only_names(&sender.browser).await;
    shown::check(&sender.browser, &wanted, "inch").await;
    sender.reload().await;
    names_are_only_names(&sender.browser).await;
    shown::check(&sender.browser, &wanted, "inch").await;
    sender.browser.screenshot("friend-names").await;
    let link = address(&sender).await;
    assert_eq!(linked(&link), wanted, "the address holds the plan");
    sender.content().await;

    // A friend with a plan of their own follows the link from a page that is already open.
    let (mut reader, own) = reader().await;
    let kept = reader.stored().await;
    let home = address(&reader).await;
    reader.goto(&link).await;
    reader.browser.until("document.querySelector('[data-do=keep]') !== null").await;
    assert!(bar(&reader).await.contains(NAME), "{}", bar(&reader).await);
    let same = shown::check(&reader.browser, &wanted, "mm").await;
    println!("{same} texts are the same in the second profile");
    names_are_only_names(&reader.browser).await;
    reader.browser.screenshot("friend-looks").await;
    // Nothing can be typed, nothing chosen, nothing removed.
    reader.enter_field("car.wheelbase").await;
    reader.type_on("77").await;
    for button in ["[data-side=\"racks.0.bar_moves:left\"]", "[data-do=remove-rack]", "[data-unit=\"car.wheelbase\"]"] {
        assert!(!reader.browser.find(button).await.is_enabled().await.unwrap(), "{button}");
    }
    reader.tap("[data-units=inch]").await;
    shown::check(&reader.browser, &wanted, "inch").await;
    reader.tap("[data-units=mm]").await;
    assert_eq!(reader.stored().await, kept);
    assert_eq!(address(&reader).await, link);
    // A reload still looks at the friend's plan.
    reader.reload().await;
    shown::check(&reader.browser, &wanted, "mm").await;
    assert_eq!(reader.stored().await, kept);
    // Back to mine: as it was, and after a reload too.
    reader.tap("[data-do=back]").await;
    assert_eq!((fields(&reader).await, address(&reader).await), (own.clone(), home.clone()));
    reader.reload().await;
    assert_eq!((fields(&reader).await, address(&reader).await), (own.clone(), home.clone()));
    assert_eq!(reader.stored().await, kept);
    // The same link from elsewhere, with a full stop that a chat added; now a copy is kept.
    reader.arrive(&format!("{link}.")).await;
    shown::check(&reader.browser, &wanted, "mm").await;
    assert_eq!(reader.stored().await, kept);
    reader.tap("[data-do=keep]").await;
    shown::check(&reader.browser, &wanted, "mm").await;
    names_are_only_names(&reader.browser).await;
    assert_eq!(linked(&address(&reader).await), wanted);
    reader.side("racks.0.bar_moves", "left").await;
    let turned = Nine { rack: Four { bar_moves: "left", ..FAILS.rack }, ..FAILS }.file();
    file["racks"][0]["bar_moves"] = turned["racks"][0]["bar_moves"].clone();
    shown::check(&reader.browser, &plan(&file), "mm").await;
    reader.reload().await;
    shown::check(&reader.browser, &plan(&file), "mm").await;
    // Two steps back is the plan from before.
    reader.tap("[data-do=undo]").await;
    shown::check(&reader.browser, &wanted, "mm").await;
    reader.tap("[data-do=undo]").await;
    assert_eq!(fields(&reader).await, own);
    reader.content().await;
}

/// Somebody without a plan sees the friend's, and after it the example.
#[tokio::test]
async fn a_link_in_an_empty_profile() {
    let wanted = plan(&SUITS.file());
    let mut hand = Hand { browser: Browser::open(Screen::Narrow).await, taps: 0, keys: 0 };
    hand.goto(&format!("#{}", wanted.to_link())).await;
    shown::check(&hand.browser, &wanted, "inch").await;
    hand.browser.screenshot("friend-narrow").await;
    assert!(hand.stored().await.as_object().unwrap().keys().all(|key| key == "donorack.units"), "{}", hand.stored().await);
    hand.tap("[data-do=back]").await;
    assert!(bar(&hand).await.contains("example"), "{}", bar(&hand).await);
    hand.content().await;
}

/// What is damaged stays in the address, is said in a sentence and overwrites nothing.
#[tokio::test]
async fn a_damaged_link_harms_nothing() {
    let (mut hand, own) = reader().await;
    let (kept, home) = (hand.stored().await, address(&hand).await);
    let link = plan(&SUITS.file()).to_link();
    let other = if link.as_bytes()[20] == b'A' { "B" } else { "A" };
    let mut flipped = link.clone();
    flipped.replace_range(20..21, other);
    for (n, bad) in
        [flipped, link[..link.len() - 7].to_owned(), "hello".to_owned(), format!("{}%20{}", &link[..30], &link[30..])].iter().enumerate()
    {
        assert!(Plan::from_link(bad).is_err(), "{bad}");
        if n % 2 == 0 {
            hand.goto(&format!("#{bad}")).await
        } else {
            hand.arrive(&format!("{}#{bad}", donorack_tests::browser::url())).await
        }
        hand.browser.until("document.querySelector('[data-do=drop]') !== null").await;
        let said = bar(&hand).await;
        assert!(said.contains(&Plan::from_link(bad).unwrap_err().to_string()) && said.contains("untouched"), "{said}");
        assert!(address(&hand).await.ends_with(&format!("#{bad}")), "{}", address(&hand).await);
        assert_eq!((fields(&hand).await, hand.stored().await), (own.clone(), kept.clone()));
        if n == 0 {
            hand.browser.screenshot("friend-damaged").await;
        }
        hand.fits().await;
    }
    // Typing goes on in the own plan; the address is still the broken one, until it is let go.
    hand.write("racks.0.travel_two_turns", "46").await;
    hand.enter().await;
    assert!(address(&hand).await.contains("%20"), "{}", address(&hand).await);
    hand.tap("[data-do=undo]").await;
    hand.tap("[data-do=drop]").await;
    assert_eq!((fields(&hand).await, address(&hand).await), (own, home));
    hand.content().await;
}

/// What a newer program wrote is counted, and is still there when it is shared again.
#[tokio::test]
async fn what_a_newer_program_wrote_is_passed_on() {
    let mut file = SUITS.file();
    file["newer"] = json!({ "77": "83010203" });
    file["car"]["newer"] = json!({ "30": "a10102" });
    file["racks"][0]["newer"] = json!({ "40": "fb400921fb54442d18" });
    let wanted = plan(&file);
    let link = wanted.to_link();
    let mut hand = Hand::on(Screen::Phone).await;
    hand.goto(&format!("#{link}")).await;
    hand.browser.until("document.querySelector('[data-do=keep]') !== null").await;
    assert!(bar(&hand).await.contains("3 entries from a newer Donorack not shown"), "{}", bar(&hand).await);
    hand.browser.screenshot("friend-newer").await;
    shown::check(&hand.browser, &wanted, "inch").await;
    hand.tap("[data-do=keep]").await;
    assert!(bar(&hand).await.contains("3 entries"), "{}", bar(&hand).await);
    assert!(address(&hand).await.ends_with(&format!("#{link}")), "shared again it is the same link");
    hand.side("racks.0.bar_moves", "left").await;
    hand.reload().await;
    assert!(bar(&hand).await.contains("3 entries"), "{}", bar(&hand).await);
    let again = linked(&address(&hand).await);
    assert_eq!((&again.newer, &again.car_newer, &again.racks[0].newer), (&wanted.newer, &wanted.car_newer, &wanted.racks[0].newer));
    hand.content().await;
}

/// The button hands the address on: to the clipboard, else as a text to copy.
#[tokio::test]
async fn the_share_button_gives_the_address() {
    let mut hand = Hand::on(Screen::Phone).await;
    hand.tap("[data-do=start]").await;
    hand.nine(&SUITS, false).await;
    // A clipboard that takes what it is given, as one with permission does.
    hand.browser.js("Object.defineProperty(navigator, 'share', { value: undefined, configurable: true });
        Object.defineProperty(navigator, 'clipboard', { value: { writeText: async (text) => { window.given = text; } }, configurable: true });").await;
    hand.tap("[data-do=share]").await;
    hand.browser.until("window.given !== undefined").await;
    assert_eq!(hand.browser.js("return window.given").await, json!(address(&hand).await));
    assert_eq!(hand.browser.text("#say.told").await, "Link copied.", "seen, not only announced");
    // Neither way, as over plain http in a local network.
    hand.browser.js("Object.defineProperty(navigator, 'clipboard', { value: undefined })").await;
    hand.tap("[data-do=share]").await;
    let by_hand = hand.browser.find("[data-share=address]").await;
    assert_eq!(by_hand.prop("value").await.unwrap(), Some(address(&hand).await));
    let selected =
        "const { value, selectionStart, selectionEnd } = document.activeElement; return value.slice(selectionStart, selectionEnd)";
    assert_eq!(hand.browser.js(selected).await, json!(address(&hand).await), "ready to be copied");
    assert!(hand.browser.text("#by-hand").await.contains("only be opened in this network"));
    hand.browser.screenshot("friend-by-hand").await;
    assert_eq!(linked(&address(&hand).await), plan(&SUITS.file()));
    // What stands there to be copied follows the plan.
    let was = by_hand.prop("value").await.unwrap();
    hand.side("racks.0.bar_moves", "left").await;
    assert_ne!(was, Some(address(&hand).await));
    assert_eq!(by_hand.prop("value").await.unwrap(), Some(address(&hand).await));
    hand.content().await;
}
