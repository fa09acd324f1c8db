//! What other versions of the program wrote: what a newer one did is passed on, what an older one passed on is read.

use super::*;

/// So many entries of a newer program are passed on, and no more, wherever they stand.
#[test]
fn what_is_newer_is_bounded() {
    let some = |n: u64| (1000..1000 + n).map(|key| (key, vec![0xf6])).collect::<Newer>();
    let spread = |n: u64| Plan {
        newer: some(n),
        car_newer: some(1000),
        racks: vec![Rack { newer: some(1000), ..Rack::default() }; 2],
        ..Plan::default()
    };
    let most = spread(1096);
    assert_eq!(Plan::from_link(&most.to_link()).as_ref(), Ok(&most));
    assert_eq!(Plan::from_json(&most.to_json()), Ok(most));
    let said = Plan::from_link(&spread(1097).to_link()).unwrap_err().to_string();
    assert_eq!(said, "This plan is too large: at most 4096 entries.");
}

#[test]
fn unknown_entries_survive_being_opened_and_shared_again() {
    // Unknown: 77 of the plan, 30 of the car, 40 of a rack, 31 of the limits; a map, a float, a text, a list.
    let cbor = "a6 0001 016178 03a2 01191dc2 181ea10102 0481a2 01193752 1828fb400921fb54442d18 05a1 181f6474657374 184d83010203";
    let link = link_of(&cbor.replace(' ', ""));
    let plan = Plan::from_link(&link).unwrap();
    assert_eq!(plan.unshown(), 4);
    assert_eq!((plan.newer.len(), plan.car_newer.len(), plan.limits_newer.len(), plan.racks[0].newer.len()), (1, 1, 1, 1));
    assert_eq!(plan.to_link(), link);
    let mut again = Plan::from_json(&plan.to_json()).unwrap();
    assert_eq!(again, plan);
    assert_eq!(again.to_link(), link);
    // Also when something known is changed meanwhile, and through a second opening.
    again.car.insert(Field::RearTrack, Entry::new("54 1/2", Unit::In, None));
    let next = Plan::from_link(&again.to_link()).unwrap();
    assert_eq!((next.newer.clone(), next.car_newer.clone()), (plan.newer.clone(), plan.car_newer.clone()));
    assert_eq!(next.unshown(), 4);
}

/// What a file holds of newer programs goes into a link and comes back, or is refused with its place.
#[test]
fn what_is_newer_in_a_file_comes_back_from_its_link() {
    let file = |format: &str, newer: &str| format!(r#"{{"donorack": 1{format}, "car": {{"wheelbase": 2500, "newer": {{{newer}}}}}}}"#);
    let kept = [
        "00",
        "17",
        "1818",
        "20",
        "3818",
        "40",
        "4161",
        "6161",
        "62c3bc",
        "80",
        "83010203",
        "a0",
        "a10102",
        "c000",
        "f4",
        "f6",
        "f820",
        "f93c00",
        "fb400921fb54442d18",
    ];
    for value in kept {
        for format in ["", r#", "link_format": 2"#] {
            let plan = Plan::from_json(&file(format, &format!(r#""200": "{value}""#))).unwrap_or_else(|e| panic!("{value}: {e}"));
            let back = Plan::from_link(&plan.to_link()).unwrap_or_else(|e| panic!("{value}: {e}"));
            assert_eq!(back.car_newer, plan.car_newer, "{value}");
            assert_eq!(Plan::from_json(&back.to_json()), Ok(back), "{value}");
        }
    }
    // Nothing, half an item, two items, an end without a beginning, reserved heads, no length, text that is none, long forms.
    let refused = [
        "",
        "0",
        "0x",
        "+0",
        "18",
        "1901",
        "4161 ",
        "0101",
        "ff",
        "1c",
        "1d",
        "1e",
        "fc",
        "f800",
        "f81f",
        "1f",
        "5f41ffff",
        "9fff",
        "bfff",
        "7f6161ff",
        "62c328",
        "61ff",
        "1800",
        "190017",
        "1a00000100",
        "1b0000000000000001",
        "580161",
        "780161",
        "980100",
        "b8010001",
        "9bffffffffffffffff",
        "bbffffffffffffffff",
        "5bffffffffffffffff61",
        "81",
        "a101",
        "c0",
        "8161ff",
    ];
    for value in refused {
        let said = Plan::from_json(&file("", &format!(r#""200": "{value}""#))).unwrap_err().to_string();
        assert!(said.contains(r#""200" in newer of car should be one item of CBOR"#), "{value}: {said}");
    }
    // Of a newer format: an entry that stands there already, or that is understood and has a name of its own here. CBOR 1904b2 is 1202,
    // a wheelbase in 1/64 in × 3 + 1, 400 · 3 + 2: the wheelbase of 4 mm; a text is none, nor is a list of three.
    let newer = r#", "link_format": 2"#;
    for (newer, key) in [
        (file(newer, r#""1": "83010203""#), r#""1" in newer of car"#),
        (file(newer, r#""2": "1904b2""#), r#""2" in newer of car"#),
        (format!(r#"{{"donorack": 1{newer}, "newer": {{"0": "02"}}}}"#), r#""0" in newer of the plan"#),
        (format!(r#"{{"donorack": 1{newer}, "newer": {{"1": "6161"}}}}"#), r#""1" in newer of the plan"#),
        (format!(r#"{{"donorack": 1{newer}, "racks": [{{}}, {{"newer": {{"128": "6161"}}}}]}}"#), r#""128" in newer of rack 2"#),
    ] {
        let said = Plan::from_json(&newer).unwrap_err().to_string();
        assert!(said.contains(key) && said.contains("should be something that only a newer Donorack understands"), "{newer}: {said}");
    }
    let plan = Plan::from_json(&file(newer, r#""2": "83010203", "77": "f6""#)).unwrap();
    assert_eq!(Plan::from_link(&plan.to_link()).unwrap().car_newer, plan.car_newer);
    // A link is asked for the same: what is unknown, in a long form.
    for cbor in ["a20001 184d 1800", "a20001 184d 9fff", "a20001 184d 61ff", "a20002 184d f800"] {
        assert_eq!(Plan::from_link(&link_of(&cbor.replace(' ', ""))), Err(LinkError::Damaged), "{cbor}");
    }
}

/// At every limit at once, with the letters that take most room: the plan is read again from the file and the link that it writes.
/// A measurement that an earlier version passed on raw, without knowing its key, is a measurement again where its key is known.
#[test]
fn what_an_earlier_version_passed_on_is_read() {
    let whole = Plan::from_json(EVERY_FIELD).unwrap();
    for spec in FIELDS {
        let entry = whole.entry(spec.field, 0).unwrap().clone();
        let mut plan = Plan { racks: vec![Rack::default()], ..Plan::default() };
        let (opens, json) = match spec.section {
            Section::Rack => ("a200010481a1", r#"{"donorack": 1, "racks": [{NEWER}]}"#),
            Section::Car => ("a3000103a1", r#"{"donorack": 1, "car": {NEWER}, "racks": [{}]}"#),
            Section::Limits => ("a300010481a005a1", r#"{"donorack": 1, "limits": {NEWER}, "racks": [{}]}"#),
        };
        let entries = match spec.section {
            Section::Car => &mut plan.car,
            Section::Limits => &mut plan.limits,
            Section::Rack => &mut plan.racks[0].entries,
        };
        entries.insert(spec.field, entry);
        let bytes = hex_of(&plan.to_link());
        let key = if spec.key < 24 { format!("{:02x}", spec.key) } else { format!("18{:02x}", spec.key) };
        // After the car follows an empty rack.
        let tail = if spec.section == Section::Car { "0481a0".len() } else { 0 };
        let raw = bytes.strip_prefix(opens).and_then(|b| b.strip_prefix(&key)).unwrap_or_else(|| panic!("{}: {bytes}", spec.name));
        let newer = format!(r#""newer": {{"{}": "{}"}}"#, spec.key, &raw[..raw.len() - tail]);
        assert_eq!(Plan::from_json(&json.replace("NEWER", &newer)).unwrap(), Plan::from_link(&plan.to_link()).unwrap(), "{}", spec.name);
    }
}

/// As many entries as a plan may have, and more, in no time: each is taken up once.
#[test]
fn a_plan_full_of_newer_entries_is_read_at_once() {
    let map = |keys: std::ops::Range<usize>| {
        let entries: String = keys.clone().map(|key| format!("19{key:04x}{}", "8401020343000102")).collect();
        format!("b9{:04x}{entries}", keys.len())
    };
    let all = map(1000..1000 + MOST_ENTRIES - 1);
    let start = std::time::Instant::now();
    let whole = all.replacen(&format!("b9{:04x}", MOST_ENTRIES - 1), &format!("b9{MOST_ENTRIES:04x}0001"), 1);
    let plan = Plan::from_link(&link_of(&whole)).unwrap();
    assert_eq!(plan.unshown(), MOST_ENTRIES - 1);
    assert_eq!(Plan::from_json(&plan.to_json()).as_ref(), Ok(&plan));
    // Some milliseconds; with the plan copied for every entry it took seconds.
    assert!(start.elapsed().as_secs_f64() < 1.0, "{:?}", start.elapsed());
    let racks = format!("a20001 0482{}{}", map(1000..3100), map(1000..3100)).replace(' ', "");
    let said = Plan::from_link(&link_of(&racks)).unwrap_err();
    assert_eq!(said, LinkError::Refused(PlanError::TooMuch { what: "entries", most: MOST_ENTRIES }));
}

#[test]
fn a_newer_format_is_passed_on() {
    // The name is a number there, the wheelbase a float, the bar's way an eighth choice, and there is a part 77.
    let rest = "0105 03a2 01f93c00 02190fce 0481a2 01193752 0507 184d f6".replace(' ', "");
    let link = link_of(&format!("a50002{rest}"));
    let plan = Plan::from_link(&link).unwrap();
    assert_eq!(plan.format, 2);
    assert_eq!(plan.unshown(), 4, "name, wheelbase, the bar's way, part 77");
    assert_eq!(plan.name, "");
    assert_eq!(*plan.entry(Field::TravelPerTurn, 0).unwrap(), Entry::new("47.2", Unit::Mm, None));
    assert!(plan.entry(Field::FrontTrack, 0).is_some() && plan.entry(Field::Wheelbase, 0).is_none());
    assert_eq!(plan.to_link(), link);
    let again = Plan::from_json(&plan.to_json()).unwrap();
    assert_eq!(again, plan);
    assert_eq!(again.to_link(), link);
    // The same of this format is damaged.
    assert_eq!(Plan::from_link(&link_of(&format!("a50001{rest}"))), Err(LinkError::Damaged));
}
