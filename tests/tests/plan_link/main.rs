//! The plan in its two encodings, through the public interface only.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may stop where it fails")]

mod newer;

use donorack::{
    Entries, Entry, FIELDS, Field, LONGEST_LINK, LONGEST_NAME, LONGEST_NOTE, LinkError, MOST_ENTRIES, MOST_RACKS, Mark, Newer, Plan,
    PlanError, Quantity, Rack, Section, Side, Unclear, Unit,
};
use proptest::prelude::*;

const EVERY_FIELD: &str = include_str!("../../data/every-field.json");

/// Three of the golden plans with their links (`data/links`): neither may ever change.
const GOLDEN: [(&str, &str); 3] = [
    (include_str!("../../data/links/ten-mm.json"), include_str!("../../data/links/ten-mm.link")),
    (include_str!("../../data/links/ten-inch.json"), include_str!("../../data/links/ten-inch.link")),
    (include_str!("../../data/links/three-racks.json"), include_str!("../../data/links/three-racks.link")),
];

fn sections(plan: &Plan) -> impl Iterator<Item = &Entries> {
    [&plan.car, &plan.limits].into_iter().chain(plan.racks.iter().map(|r| &r.entries))
}

/// Same in everything but spelling: every value, unit, ± and side exactly, and what cannot be read letter by letter.
fn same_meaning(a: &Plan, b: &Plan) {
    assert_eq!(a.racks.len(), b.racks.len());
    for (x, y) in sections(a).zip(sections(b)) {
        assert_eq!(x.keys().collect::<Vec<_>>(), y.keys().collect::<Vec<_>>());
        for (field, entry) in x {
            let other = &y[field];
            let (read, read_other) = (entry.read(&field.spec().scale), other.read(&field.spec().scale));
            assert_eq!(read, read_other, "{field:?} {entry:?} {other:?}");
            assert_eq!(entry.side, other.side, "{field:?} {entry:?} {other:?}");
            if read.is_err() && entry.text != other.text {
                // Understood as a number, but out of range or without its side: the spelling may be ours.
                assert!(entry.text.contains(|c: char| c.is_ascii_digit() || "½¼¾⅛⅞".contains(c)), "{field:?} {entry:?} {other:?}");
            }
        }
    }
    let bare = |plan: &Plan| {
        let mut plan = plan.clone();
        (plan.car, plan.limits) = Default::default();
        plan.racks.iter_mut().for_each(|r| r.entries.clear());
        plan
    };
    assert_eq!(bare(a), bare(b));
}

#[test]
fn the_example_has_every_field_and_every_field_is_read() {
    let plan = Plan::from_json(EVERY_FIELD).unwrap();
    for spec in FIELDS {
        let entry = plan.entry(spec.field, 0).unwrap_or_else(|| panic!("{} is missing", spec.name));
        entry.read(&spec.scale).unwrap_or_else(|e| panic!("{}: {e}", spec.name));
        assert!(EVERY_FIELD.contains(&format!("{:?}", spec.name)));
    }
    same_meaning(&plan, &Plan::from_json(&plan.to_json()).unwrap());
    same_meaning(&plan, &Plan::from_link(&plan.to_link()).unwrap());
}

#[test]
fn golden_links_stay_as_they_are() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("data/links");
    let files = std::fs::read_dir(folder).unwrap().map(|file| file.unwrap().path());
    let links: Vec<_> = files.filter(|file| file.extension().is_some_and(|e| e == "link")).collect();
    assert!(links.len() >= 24, "{} links", links.len());
    for file in links {
        let read = |extension| std::fs::read_to_string(file.with_extension(extension)).unwrap();
        let (plan, link) = (Plan::from_json(&read("json")).unwrap(), read("link"));
        let link = link.trim_end();
        assert_eq!(plan.to_link(), link, "{file:?}");
        let opened = Plan::from_link(link).unwrap();
        same_meaning(&opened, &plan);
        assert_eq!(opened.to_link(), link);
        // Through the file and on.
        assert_eq!(Plan::from_json(&opened.to_json()).unwrap().to_link(), link);
        assert!(link.bytes().all(|b| b.is_ascii_alphanumeric() || b == b'-' || b == b'_'));
        assert!(link.ends_with(|c: char| c.is_ascii_alphanumeric()));
    }
    for ten in [GOLDEN[0].1, GOLDEN[1].1] {
        assert!(ten.trim_end().len() < 120, "{}", ten.len());
    }
    let ten = Plan::from_json(GOLDEN[0].0).unwrap();
    assert_eq!((ten.car.len() + ten.racks[0].entries.len(), ten.racks.len()), (10, 1));
}

/// All points of both sides, with their ±, fit into a link that a chat program takes.
#[test]
fn a_full_set_of_points_is_a_short_link() {
    let mut plan = Plan::from_json(EVERY_FIELD).unwrap();
    plan.racks.clear();
    plan.limits.clear();
    plan.car.retain(|field, _| donorack::Joint::of(*field).is_some());
    assert_eq!(plan.car.len(), 60);
    let both = plan.to_link().len();
    plan.car.retain(|field, _| field.spec().key < 90);
    assert!(both < 700 && plan.to_link().len() < 400, "both sides {both}, one side {}", plan.to_link().len());
}

/// A plan that is known again by its id: the link grows by eleven characters at most and stays under 120.
#[test]
fn an_id_travels() {
    for (json, link) in GOLDEN {
        let plan = Plan { id: Some(0x03f9_c2a1_b77e), ..Plan::from_json(json).unwrap() };
        let opened = Plan::from_link(&plan.to_link()).unwrap();
        assert_eq!(opened.id, plan.id);
        assert_eq!(opened.to_link(), plan.to_link());
        assert!(plan.to_link().len() <= link.trim_end().len() + 11, "{}", plan.to_link());
        assert!(plan.to_json().contains(r#""id": "03f9c2a1b77e""#));
        assert_eq!(Plan::from_json(&plan.to_json()), Ok(plan.clone()));
        assert_eq!(Plan { id: None, ..opened }.to_link(), link.trim_end(), "nothing else changes");
    }
    let ten = Plan { id: Some(0xffff_ffff_ffff), ..Plan::from_json(GOLDEN[0].0).unwrap() };
    assert!(ten.to_link().len() < 120);
    for wrong in [r#""""#, r#""3f9c2a1b77e""#, r#""03F9C2A1B77E""#, r#""+3f9c2a1b77e""#, r#""003f9c2a1b77e""#, "7", "null"] {
        let said = Plan::from_json(&format!(r#"{{"donorack": 1, "id": {wrong}}}"#)).unwrap_err().to_string();
        assert!(said.contains(r#""id" in the plan should be"#), "{wrong}: {said}");
    }
    // Seven bytes, five bytes, a number: no id of this format.
    for cbor in ["a20001074700000000000000", "a2000107450000000000", "a200010705"] {
        assert_eq!(Plan::from_link(&link_of(cbor)), Err(LinkError::Damaged), "{cbor}");
    }
    assert_eq!(Plan::from_link(&link_of("a200010746000000000102")).unwrap().id, Some(0x102));
}

/// What the builder means to do with a rack goes along in file and link, in one spelling; a plan without any mark has the link it had.
#[test]
fn a_mark_travels() {
    for (json, link) in GOLDEN {
        let plain = Plan::from_json(json).unwrap();
        for (n, mark) in Mark::ALL.into_iter().enumerate() {
            let mut plan = plain.clone();
            plan.racks[0].mark = Some(mark);
            assert!(plan.to_json().contains(&format!(r#""mark": "{}""#, ["buy", "leave", "gone"][n])));
            assert_eq!(Plan::from_json(&plan.to_json()), Ok(plan.clone()));
            let opened = Plan::from_link(&plan.to_link()).unwrap();
            assert_eq!(opened.racks[0].mark, Some(mark));
            assert_eq!(opened.to_link(), plan.to_link());
            let mut bare = opened;
            bare.racks[0].mark = None;
            assert_eq!(bare.to_link(), link.trim_end(), "nothing else changes");
        }
    }
    assert_eq!(Plan::from_link(&link_of("a200010481a1188202")).unwrap().racks[0].mark, Some(Mark::Gone));
    // A number that is no mark, a long spelling, a word: no mark of this format.
    for cbor in ["a200010481a1188203", "a200010481a118821801", "a200010481a1188263627579"] {
        assert_eq!(Plan::from_link(&link_of(cbor)), Err(LinkError::Damaged), "{cbor}");
    }
    // Earlier versions passed it on without knowing it: their files are read.
    let passed_on = r#"{"donorack": 1, "racks": [{"newer": {"130": "01", "131": "f6"}}]}"#;
    let read = Plan::from_json(passed_on).unwrap();
    assert_eq!((read.racks[0].mark, read.racks[0].newer.len()), (Some(Mark::Leave), 1));
}

/// A limit that is turned off stays so in file and link; elsewhere the word is text that cannot be read.
#[test]
fn off_is_kept() {
    let plan = Plan::from_json(
        r#"{"donorack": 1, "car": {"wheelbase": "off"}, "limits": {"lock_inner": "off", "reserve": " Off ", "circle_max": "off"}}"#,
    )
    .unwrap();
    for field in [Field::LockWanted, Field::ReserveWanted, Field::CircleMax] {
        assert!(plan.limits[&field].is_off(&field.spec().scale));
        assert_eq!(plan.limits[&field].form(&field.spec().scale), "off");
    }
    assert!(!plan.car[&Field::Wheelbase].is_off(&Field::Wheelbase.spec().scale));
    let opened = Plan::from_link(&plan.to_link()).unwrap();
    assert_eq!(opened.to_link(), plan.to_link());
    assert_eq!(opened.limits[&Field::ReserveWanted].form(&Field::ReserveWanted.spec().scale), "off");
    assert_eq!(Plan::from_json(&opened.to_json()).unwrap().limits, opened.limits);
    assert!(matches!(plan.car[&Field::Wheelbase].read(&Field::Wheelbase.spec().scale), Err(Unclear::NotANumber { .. })));
}

#[test]
fn every_flipped_bit_and_every_truncation_is_refused() {
    for (_, link) in GOLDEN {
        let link = link.trim_end();
        for at in 0..link.len() {
            for bit in 0..8 {
                let mut bytes = link.as_bytes().to_vec();
                bytes[at] ^= 1 << bit;
                let flipped = String::from_utf8_lossy(&bytes);
                assert!(Plan::from_link(&flipped).is_err(), "bit {bit} of {at}: {flipped}");
            }
            let cut = Plan::from_link(&link[..at]);
            assert!(cut.is_err(), "{at}");
            assert!(at > 0 || cut == Err(LinkError::Empty));
        }
    }
}

#[test]
fn what_a_chat_program_adds_is_ignored_and_what_it_breaks_is_refused() {
    let link = GOLDEN[1].1.trim_end();
    let plan = Plan::from_link(link).unwrap();
    for around in ["#{}", "https://example.org/x/#{}", "{}.", "{},", "{})", "{}>", "  {}  ", "#{}!?", "{}\n", "({}).", "{}…", "{}_", "{}*"]
    {
        let around = around.trim_start_matches('(').replace("{}", link);
        assert_eq!(Plan::from_link(&around), Ok(plan.clone()), "{around}");
    }
    for broken in ["{}A", "{}k", "{}AAAA", "A{}", "{} and more", "%23{}", "{}=k", "{}%20"] {
        let broken = broken.replace("{}", link);
        assert_eq!(Plan::from_link(&broken), Err(LinkError::Damaged), "{broken}");
    }
    for empty in ["", "#", "https://example.org/#", " "] {
        assert_eq!(Plan::from_link(empty), Err(LinkError::Empty), "{empty:?}");
    }
    // The last character before the end carries padding bits or none: no second spelling of the same bytes.
    let body = &link[..link.len() - 1];
    for other in "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_".chars().filter(|c| !body.ends_with(*c)) {
        assert!(Plan::from_link(&format!("{}{other}k", &body[..body.len() - 1])).is_err());
    }
    assert_eq!(Plan::from_link(&"A".repeat(LONGEST_LINK + 1)), Err(LinkError::TooLarge));
    for why in [LinkError::Empty, LinkError::Damaged, LinkError::TooLarge] {
        assert!(why.to_string().ends_with('.'));
    }
}

/// A link made by hand: CBOR given in hexadecimal, with its checksum and its end. CRC-24 of RFC 9580, section 6.1.1, bit by bit.
fn link_of(cbor: &str) -> String {
    let mut bytes: Vec<u8> = (0..cbor.len()).step_by(2).map(|i| u8::from_str_radix(&cbor[i..i + 2], 16).unwrap()).collect();
    let mut crc: u32 = 0x00b7_04ce;
    for byte in &bytes {
        crc ^= u32::from(*byte) << 16;
        for _ in 0..8 {
            crc <<= 1;
            if crc & 0x0100_0000 != 0 {
                crc ^= 0x0186_4cfb;
            }
        }
    }
    bytes.extend(&crc.to_be_bytes()[1..]);
    let alphabet = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_";
    let mut out = String::new();
    for three in bytes.chunks(3) {
        let word = three.iter().fold(0u32, |w, b| w << 8 | u32::from(*b)) << (8 * (3 - three.len()));
        out.extend((0..=three.len()).map(|i| alphabet[(word >> (18 - 6 * i)) as usize & 63] as char));
    }
    out + "k"
}

#[test]
fn numbers_of_the_format() {
    // Figures worked by hand: 131.7625 mm = 332/64 in → 332 · 3 + 0 = 996, behind → −1 − 996, CBOR 39 03e4;
    // 5.44 in = 5440/1000 → 5440 · 3 + 1 = 16321 = 3fc1; 47.2 mm = 4720/100 → 4720 · 3 + 2 = 14162 = 3752.
    let plan = Plan::from_link(&link_of("a3000103a10a3903e40481a20119375202193fc1")).unwrap();
    let shown = |f: Field| plan.entry(f, 0).unwrap();
    assert_eq!(*shown(Field::ArmForeAft), Entry::new("5 3/16", Unit::In, Some(Side::Minus)));
    assert_eq!(*shown(Field::TravelPerTurn), Entry::new("47.2", Unit::Mm, None));
    assert_eq!(*shown(Field::Travel), Entry::new("5.44", Unit::In, None));
    // 12° 20' = 740/60 → 740 · 2 + 1 = 1481 = 05c9; 34 ft 2 in = 410/12 → 410 · 3 = 1230 = 04ce;
    // −20 % = 2000/100, negative: −1 − 2000 → 39 07d0; 16:1 → 1600 = 0640.
    let plan = Plan::from_link(&link_of("a2000105a4011905c9041906400839 07d00a1904ce".replace(' ', "").as_str())).unwrap();
    let shown = |f: Field| plan.entry(f, 0).unwrap();
    assert_eq!(*shown(Field::LockWanted), Entry::new("12° 20'", Unit::Deg, None));
    assert_eq!(*shown(Field::RatioMin), Entry::new("16", Unit::Plain, None));
    assert_eq!(*shown(Field::AckermannMin), Entry::new("-20", Unit::Percent, None));
    assert_eq!(*shown(Field::CircleMax), Entry::new("34 ft 2 in", Unit::Ft, None));
}

#[test]
fn one_spelling_only() {
    assert!(Plan::from_link(&link_of("a10001")).is_ok());
    for (what, cbor) in [
        ("trailing byte", "a1000100"),
        ("duplicate key", "a2000100 01"),
        ("keys out of order", "a303a1011904b000 0102f5"),
        ("no format", "a0"),
        ("format nought", "a10000"),
        ("format not first", "a10161 78"),
        ("long head of the map", "b8010001"),
        ("map without a length", "bf0001ff"),
        ("long integer", "a100 1801"),
        ("long key", "a11800 01"),
        ("empty name", "a20001 0160"),
        ("not invented", "a20001 02f4"),
        ("empty car", "a20001 03a0"),
        ("no racks", "a20001 0480"),
        ("first rack chosen", "a20001 0600"),
        ("name of bytes", "a20001 0141 78"),
        ("long count", "a20001 03a1011a 00000996"),
        ("duplicate field", "a20001 03a201190996 01190996"),
        ("duplicate in a rack", "a20001 0481a2011909960119 0996"),
        ("0.001 in that is 1/64 in too", "a20001 03a101190bb9"),
        ("what can be counted, as a text", "a20001 03a1 0166 313030206d6d"),
        ("a field without anything", "a20001 03a1 0160"),
        ("a float", "a20001 03a1 01f93c00"),
        ("three numbers", "a20001 03a1 01830101 01"),
        ("a negative wheelbase", "a20001 03a1 0138ff00"),
        ("a negative tolerance", "a20001 03a1 01821909960120"),
        ("a third choice", "a20001 0481a10502"),
        ("a negative choice", "a20001 0481a10520"),
        ("an array without a length", "a20001 049fa0ff"),
        ("a broken unknown entry", "a20001 184d61"),
        ("a huge map", "bbffffffffffffffff0001"),
        ("nothing", ""),
    ] {
        let got = Plan::from_link(&link_of(&cbor.replace(' ', "")));
        assert_eq!(got, Err(LinkError::Damaged), "{what}");
    }
    // Deep nesting in an unknown entry does not break anything.
    let deep = format!("a20001184d{}00", "81".repeat(50_000));
    let opened = Plan::from_link(&link_of(&deep));
    assert!(opened.is_ok_and(|p| p.unshown() == 1 && p.to_link() == link_of(&deep)));
}

#[test]
fn a_plan_at_every_limit_has_a_file_and_a_link() {
    for letter in ["x", "\u{1f527}", "\u{0}", "\"", "\u{202e}"] {
        let mut plan = Plan { name: letter.repeat(LONGEST_NAME), chosen: 63, id: Some(1), ..Plan::default() };
        let fill = |entries: &mut Entries, section: Section| {
            for spec in FIELDS.iter().filter(|s| s.section == section) {
                let (a, _) = spec.scale.sides.unwrap_or_default();
                let text = if spec.scale.quantity == Quantity::Choice {
                    a.to_owned()
                } else {
                    format!("123 17/64 ± 1/64 {} {a}", donorack::base(spec.scale.quantity).name())
                };
                entries.insert(spec.field, Entry::parse_form(text.trim(), &spec.scale));
            }
        };
        fill(&mut plan.car, Section::Car);
        fill(&mut plan.limits, Section::Limits);
        let mut rack = Rack { name: letter.repeat(LONGEST_NAME), note: letter.repeat(LONGEST_NOTE), ..Rack::default() };
        fill(&mut rack.entries, Section::Rack);
        plan.racks = vec![rack; MOST_RACKS];
        let (file, link) = (plan.to_json(), plan.to_link());
        println!("{letter:?}: a file of {} bytes, a link of {} characters", file.len(), link.len());
        assert_eq!(Plan::from_json(&file).as_ref(), Ok(&plan), "{letter:?}");
        let opened = Plan::from_link(&link).unwrap();
        assert_eq!(opened.to_link(), link);
        assert_eq!(Plan::from_json(&opened.to_json()), Ok(opened));
    }
    // More than fits is refused when it is read, with what there is too much of, and never written and refused later.
    let long = |letter: &str, n: usize| Plan::from_json(&format!(r#"{{"donorack":1,"car":{{"wheelbase":"{}"}}}}"#, letter.repeat(n)));
    let largest = long("x", 700_000).unwrap();
    assert_eq!(Plan::from_link(&largest.to_link()), Ok(largest));
    assert!(long("x", 800_000).unwrap_err().to_string().contains("at most 1000000 characters in its link"));
    // A letter above U+FFFF in twelve bytes of JSON is four of the plan.
    assert!(long("\\ud83d\\udd27", 80_000).is_ok());
    // A link of 400 000 characters is shorter than one may be, and its file would not be: every NUL is six bytes there.
    let nuls = format!("a20001 03a1 01 7a{:08x}{}206d6d", 300_003, "00".repeat(300_000)).replace(' ', "");
    assert_eq!(Plan::from_link(&link_of(&nuls)), Err(LinkError::Refused(PlanError::TooMuch { what: "bytes", most: 1_000_000 })));
}

#[test]
fn files_that_cannot_be_read_say_why() {
    let says = |json: &str| Plan::from_json(json).unwrap_err().to_string();
    for (json, part) in [
        (r#"{"donorack": 1, "car": {"weelbase": "100 in"}}"#, r#"unknown key "weelbase" in car"#),
        (r#"{"donorack": 1, "cars": {}}"#, r#"unknown key "cars" in the plan"#),
        (r#"{"donorack": 1, "racks": [{}, {"wheelbase": 1}]}"#, r#"unknown key "wheelbase" in rack 2"#),
        (r#"{"donorack": 1, "limits": {"travel": 1}}"#, r#"unknown key "travel" in limits"#),
        (r#"{"donorack": 1, "car": {}, "car": {}}"#, r#"key "car" stands twice in the plan"#),
        (r#"{"donorack": 1, "car": {"wheelbase": 2000, "wheelbase": 2100}}"#, r#"key "wheelbase" stands twice in car"#),
        (r#"{"donorack": 1, "car": {"wheelbase": 2000, "wheel\u0062ase": 2100}}"#, r#"key "wheelbase" stands twice in car"#),
        (r#"{"donorack": 1, "racks": [{"name": "a", "name": "b"}]}"#, r#"key "name" stands twice in rack 1"#),
        (r#"{"donorack": 1, "newer": {"77": "f6", "77": "f6"}}"#, r#"key "77" stands twice in newer of the plan"#),
        (r#"{"donorack": 2}"#, "newer Donorack (format 2)"),
        (r#"{"donorack": 0}"#, "format number"),
        (r#"{"name": "x"}"#, "format number"),
        ("[]", "format number"),
        ("null", "format number"),
        ("", "line 1, column 0"),
        ("{\n\"donorack\": 1,\n", "line 3"),
        (r#"{"donorack": 1} x"#, "line 1"),
        (r#"{"donorack": "1"}"#, r#""donorack" in the plan should be a whole number"#),
        (r#"{"donorack": 1, "name": 5}"#, "should be a text in quotes"),
        (r#"{"donorack": 1, "invented": 1}"#, "should be true or false"),
        (r#"{"donorack": 1, "racks": {}}"#, "should be a list in brackets"),
        (r#"{"donorack": 1, "racks": [5]}"#, "should be an object in braces"),
        (r#"{"donorack": 1, "car": []}"#, "should be an object in braces"),
        (r#"{"donorack": 1, "car": {"wheelbase": true}}"#, "should be a number, or a text in quotes"),
        (r#"{"donorack": 1, "racks": [{"bar_moves": 1}]}"#, "should be one of its two words in quotes"),
        (r#"{"donorack": 1, "racks": [{"mark": "bought"}]}"#, r#""mark" in rack 1 should be "buy", "leave" or "gone""#),
        (r#"{"donorack": 1, "racks": [{}, {"mark": 1}]}"#, r#""mark" in rack 2 should be "buy", "leave" or "gone""#),
        (r#"{"donorack": 1, "racks": [{"newer": {"130": "03"}}]}"#, r#"unknown key "130" in rack 1"#),
        (r#"{"donorack": 1, "racks": [{"newer": {"130": "01"}, "mark": "buy"}]}"#, r#"unknown key "130" in rack 1"#),
        (r#"{"donorack": 1, "chosen": -1}"#, "should be a whole number"),
        (r#"{"donorack": 1, "newer": {"6": "01"}}"#, r#"unknown key "6" in newer of the plan"#),
        (r#"{"donorack": 1, "newer": {"077": "01"}}"#, r#"unknown key "077" in newer of the plan"#),
        (r#"{"donorack": 1, "newer": {"77": "0101"}}"#, "should be one item of CBOR in hexadecimal"),
        (r#"{"donorack": 1, "newer": {"77": "0"}}"#, "should be one item of CBOR in hexadecimal"),
        (r#"{"donorack": 1, "car": {"newer": {"1": "f5"}}}"#, r#"unknown key "1" in newer of car"#),
        (r#"{"donorack": 1, "car": {"newer": {"1": "01"}, "wheelbase": 2540}}"#, r#"unknown key "1" in newer of car"#),
        (r#"{"donorack": 1, "racks": [{"newer": {"128": "6161"}}]}"#, r#"unknown key "128" in newer of rack 1"#),
        (r#"{"donorack": 1, "link_format": 1}"#, "should be a format number above this one"),
    ] {
        let said = says(json);
        assert!(said.contains(part) && said.ends_with('.'), "{json}: {said}");
    }
    let many = |n| format!(r#"{{"donorack": 1, "racks": [{}]}}"#, vec!["{}"; n].join(","));
    assert!(Plan::from_json(&many(64)).is_ok());
    assert!(says(&many(65)).contains("at most 64 racks"));
    let note = |n| format!(r#"{{"donorack": 1, "racks": [{{"note": "{}"}}]}}"#, "ü".repeat(n));
    assert!(Plan::from_json(&note(LONGEST_NOTE)).is_ok());
    assert!(says(&note(LONGEST_NOTE + 1)).contains("at most 2000 characters in a note"));
    assert!(says(&format!(r#"{{"donorack": 1, "name": "{}"}}"#, "x".repeat(201))).contains("at most 200 characters in a name"));
    assert!(matches!(Plan::from_json(&" ".repeat(1_000_001)), Err(PlanError::TooMuch { .. })));
    assert!(matches!(Plan::from_json(&"[".repeat(900_000)), Err(PlanError::NotJson { .. })));
    // A plan too large for the file is too large for a link as well.
    let large = Plan { name: "x".repeat(201), ..Plan::default() };
    assert!(matches!(Plan::from_link(&large.to_link()), Err(LinkError::Refused(_))));
}

#[test]
fn numbers_of_a_file_are_millimetres_and_degrees() {
    let json = r#"{"donorack": 1, "car": {"wheelbase": 2540, "arm_fore_aft": -131.75, "arm_inboard": 0, "kingpin_inclination": 8.5, "rear_track": null}}"#;
    assert!(Plan::from_json(json).is_err());
    let plan = Plan::from_json(&json.replace(r#", "rear_track": null"#, "")).unwrap();
    let value = |f: Field| plan.car[&f].read(&f.spec().scale).unwrap().value;
    assert_eq!(
        (value(Field::Wheelbase), value(Field::ArmForeAft), value(Field::ArmInboard), value(Field::KingpinInclination)),
        (2540.0, -131.75, 0.0, 8.5)
    );
    // Nothing written is not there at all; a byte order mark does no harm.
    let plan = Plan::from_json("\u{feff}{\"donorack\": 1, \"car\": {\"wheelbase\": \"\", \"rear_track\": \"in\"}}").unwrap();
    assert!(plan.car.is_empty());
}

/// Entries as people make them, and some that nobody should.
fn entry(at: usize) -> impl Strategy<Value = (Field, Entry)> {
    let spec = &FIELDS[at];
    let fitting: Vec<Unit> = Unit::ALL.into_iter().filter(|u| u.fits(spec.scale.quantity)).collect();
    let text = prop_oneof![
        4 => (0u32..3000, 1u32..64, prop::sample::select(vec![2u32, 4, 8, 16, 32, 64])).prop_map(|(w, n, d)| format!("{w} {}/{d}", n % d)),
        4 => "[0-9]{1,4}([.,][0-9]{1,4})?",
        2 => "[0-9]{1,3}([.][0-9]{1,2})? ± (1/16|1|0.5|1 mm|1/8 in|30'|0)",
        2 => "[0-9]{1,3} ?(mm|cm|in|ft|m|deg|%|turns|°|ft 3 in|° 20'|° 7 1/2')",
        1 => "[0-9]{1,2}(° 20'|° 30'| ft 3 in| ft) ± (30'|1|1/2|1 mm|1 in|3)",
        1 => any::<String>(),
    ];
    let side = prop::sample::select(vec![None, Some(Side::Plus), Some(Side::Minus)]);
    (text, prop::sample::select(fitting), side).prop_map(move |(text, unit, side)| {
        let choice = spec.scale.quantity == donorack::Quantity::Choice;
        let text = if choice { String::new() } else { text };
        (spec.field, Entry::new(text, unit, side.filter(|_| spec.scale.sides.is_some())))
    })
}

fn entries(section: Section) -> impl Strategy<Value = Entries> {
    let rows: Vec<usize> = (0..FIELDS.len()).filter(|i| FIELDS[*i].section == section).collect();
    let pairs = prop::collection::vec(prop::sample::select(rows).prop_flat_map(entry), 0..12);
    pairs.prop_map(|pairs| pairs.into_iter().filter(|(f, e)| !e.is_blank(&f.spec().scale)).collect())
}

fn newer() -> impl Strategy<Value = Newer> {
    let value = prop::sample::select(vec!["01", "f6", "a10102", "6474657374", "83010203", "fb400921fb54442d18", "c11a514b67b0"]);
    let bytes = value.prop_map(|v| (0..v.len()).step_by(2).map(|i| u8::from_str_radix(&v[i..i + 2], 16).unwrap()).collect());
    prop::collection::btree_map(131u64..1000, bytes, 0..3).prop_map(|map| map.into_iter().collect())
}

fn plans() -> impl Strategy<Value = Plan> {
    let mark = prop::option::of(prop::sample::select(Mark::ALL.to_vec()));
    let rack = (".{0,12}", any::<String>(), mark, entries(Section::Rack), newer()).prop_map(|(name, note, mark, entries, newer)| Rack {
        name,
        note,
        mark,
        entries,
        newer,
    });
    let racks = prop::collection::vec(rack, 0..4);
    let id = prop::option::of(0u64..1 << 48);
    let parts = (".{0,12}", any::<bool>(), entries(Section::Car), racks, entries(Section::Limits), 0usize..5, id);
    (parts, newer(), newer(), newer(), 1u32..4).prop_map(|(p, newer, car_newer, limits_newer, format)| {
        let (name, invented, car, racks, limits, chosen, id) = p;
        Plan { format, id, name, invented, car, racks, limits, chosen, newer, car_newer, limits_newer }
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_plan_survives_file_and_link(plan in plans()) {
        let json = plan.to_json();
        let read = Plan::from_json(&json).unwrap();
        same_meaning(&read, &plan);
        prop_assert_eq!(&read.to_json(), &json);
        let link = plan.to_link();
        let opened = Plan::from_link(&link).unwrap();
        same_meaning(&opened, &plan);
        prop_assert_eq!(&opened.to_link(), &link);
        prop_assert_eq!(&read.to_link(), &link);
        prop_assert_eq!(Plan::from_json(&opened.to_json()).unwrap(), opened);
    }

    #[test]
    fn no_file_panics(bytes in prop::collection::vec(any::<u8>(), 0..200), at in any::<prop::sample::Index>(), put in any::<char>()) {
        let _ = Plan::from_json(&String::from_utf8_lossy(&bytes));
        // A good file with one character exchanged.
        let mut chars: Vec<char> = EVERY_FIELD.chars().collect();
        let at = at.index(chars.len());
        chars[at] = put;
        if let Ok(plan) = Plan::from_json(&chars.into_iter().collect::<String>()) {
            prop_assert_eq!(Plan::from_link(&plan.to_link()).unwrap().to_link(), plan.to_link());
        }
    }

    #[test]
    fn no_link_panics(text in any::<String>(), bytes in prop::collection::vec(any::<u8>(), 0..60), at in any::<prop::sample::Index>()) {
        let _ = Plan::from_link(&text);
        let _ = Plan::from_link(&link_of(&bytes.iter().map(|b| format!("{b:02x}")).collect::<String>()));
        // Whole checksum, something else within: whatever is opened is shared in the same letters.
        let mut cbor = hex_of(GOLDEN[2].1.trim_end());
        let at = 2 * at.index(cbor.len() / 2);
        cbor.replace_range(at..at + 2, &format!("{:02x}", bytes.first().copied().unwrap_or(0)));
        let link = link_of(&cbor);
        if let Ok(plan) = Plan::from_link(&link) {
            prop_assert_eq!(&plan.to_link(), &link);
            prop_assert_eq!(&Plan::from_json(&plan.to_json()).unwrap().to_link(), &link);
        }
    }
}

/// The CBOR of a link, without its checksum, in hexadecimal.
fn hex_of(link: &str) -> String {
    let alphabet = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_";
    let sextets: Vec<u32> = link[..link.len() - 1].chars().map(|c| alphabet.find(c).unwrap() as u32).collect();
    let mut bytes = Vec::new();
    for four in sextets.chunks(4) {
        let word = four.iter().fold(0u32, |w, s| w << 6 | s) << (6 * (4 - four.len()));
        bytes.extend_from_slice(&word.to_be_bytes()[1..four.len()]);
    }
    bytes.truncate(bytes.len() - 3);
    bytes.iter().map(|b| format!("{b:02x}")).collect()
}

/// An address may name the part of the page that it opens at: whatever stands before the last slash is passed over, and nothing else is.
#[test]
fn a_part_before_the_plan_is_passed_over() {
    let link = Plan::from_json(include_str!("../../data/every-field.json")).unwrap().to_link();
    let plan = Plan::from_link(&link).unwrap();
    assert!(!link.contains('/'), "no link holds a slash of its own");
    for whole in [
        format!("turning/{link}"),
        format!("#side/{link}"),
        format!("https://example.org/yard/#racks/{link}."),
        format!("#a-part-of-later/and/more/{link}"),
        format!("#/{link}"),
    ] {
        let read = Plan::from_link(&whole).unwrap_or_else(|e| panic!("{whole}: {e}"));
        assert_eq!(read, plan);
        assert_eq!(read.to_link(), link, "written it has no part");
    }
    for part in donorack::PARTS {
        assert_eq!(Plan::from_link(&format!("https://example.org/#{part}")), Err(LinkError::Empty), "a part alone carries no plan");
    }
    assert_eq!(Plan::from_link("#side/"), Err(LinkError::Empty));
    assert!(Plan::from_link(&format!("#{link}/side")).is_err(), "it stands before the plan");
    assert_eq!(Plan::from_link("#no-part"), Err(LinkError::Damaged));
}
