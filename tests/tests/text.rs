//! What people write in a field, through the public interface only.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may stop where it fails")]

use donorack::{Entry, FIELDS, Field, Method, Quantity, Reading, Scale, Side, Unclear, Unit, base, default_pm, in_other_units};
use proptest::prelude::*;

/// The scale of that quantity without sides and without a range, so that only the grammar speaks.
fn scale(quantity: Quantity) -> Scale {
    let unsided = FIELDS.iter().find(|s| s.scale.quantity == quantity && s.scale.sides.is_none() && s.scale.method != Method::Exact);
    let spec = unsided.or(FIELDS.iter().find(|s| s.scale.quantity == quantity)).unwrap();
    Scale { range: (-1e300, 1e300), sides: None, ..spec.scale }
}

fn read(text: &str, unit: Unit, quantity: Quantity) -> Result<Reading, Unclear> {
    Entry::new(text, unit, None).read(&scale(quantity))
}

fn mm(text: &str, unit: Unit) -> f64 {
    read(text, unit, Quantity::Length).unwrap_or_else(|e| panic!("{text}: {e}")).value
}

fn deg(text: &str) -> f64 {
    read(text, Unit::Deg, Quantity::Angle).unwrap_or_else(|e| panic!("{text}: {e}")).value
}

/// The inch is 25.4 mm exactly, the foot 12 inches: international yard and pound agreement of 1959, from memory.
/// Millimetres, centimetres, metres, degrees and minutes: the SI and its accepted units, from memory. The compiler rounds the literals.
#[test]
fn what_the_page_promises_is_read_exactly() {
    use Unit::{Cm, Ft, In, M, Mm};
    for (text, unit, value) in [
        // Every example of the page's own promise.
        ("5 7/16", In, 138.1125),
        ("5-7/16", In, 138.1125),
        ("5.44", In, 138.176),
        ("138mm", In, 138.0),
        ("13,8 cm", In, 138.0),
        ("4' 6 1/2\"", Mm, 1384.3),
        // Bare numbers take the unit shown.
        ("1", In, 25.4),
        ("1", Ft, 304.8),
        ("1", Cm, 10.0),
        ("1", M, 1000.0),
        ("1", Mm, 1.0),
        ("7/16", In, 11.1125),
        (".5", In, 12.7),
        (",5", Mm, 0.5),
        ("5.", Mm, 5.0),
        ("1.234", Mm, 1.234),
        ("0,125", Mm, 0.125),
        ("1,25", Mm, 1.25),
        ("1234,567", Mm, 1234.567),
        // Marks of other keyboards.
        ("5½", In, 139.7),
        ("5 ⅞ in", Mm, 149.225),
        ("5\u{a0}7⁄16″", Mm, 138.1125),
        ("4′ 6½″", Mm, 1384.3),
        ("4’6”", Mm, 1371.6),
        ("4'6''", Mm, 1371.6),
        ("4'-6 1/2\"", Mm, 1384.3),
        ("4 ft 6 in", Mm, 1371.6),
        ("4ft. 6in.", Mm, 1371.6),
        ("4' 6", Mm, 1371.6),
        ("4'", Mm, 1219.2),
        ("5 INCHES", Mm, 127.0),
        ("  2.54 m ", In, 2540.0),
    ] {
        assert_eq!(mm(text, unit), value, "{text}");
    }
    for (text, value) in
        [("12.5", 12.5), ("12,5°", 12.5), ("12° 30'", 12.5), ("12 deg 30 min", 12.5), ("12°30′", 12.5), ("30'", 0.5), ("7 1/2", 7.5)]
    {
        assert_eq!(deg(text), value, "{text}");
    }
    for (text, unit, quantity, value) in [
        ("3.1 turns", Unit::Turns, Quantity::Turns, 3.1),
        ("3 1/4", Unit::Turns, Quantity::Turns, 3.25),
        ("16", Unit::Plain, Quantity::Number, 16.0),
        ("16.5:1", Unit::Plain, Quantity::Number, 16.5),
        ("-20 %", Unit::Percent, Quantity::Percent, -20.0),
        ("60", Unit::Percent, Quantity::Percent, 60.0),
        ("34 ft 2 in", Unit::M, Quantity::Circle, 10414.0),
        ("10.5", Unit::M, Quantity::Circle, 10500.0),
    ] {
        let got = read(text, unit, quantity).unwrap().value;
        assert_eq!(got, value, "{text}");
    }
}

#[test]
fn a_tolerance_stands_behind_the_value() {
    let pm = |text: &str, unit| {
        let r = read(text, unit, Quantity::Length).unwrap();
        (r.value, r.pm, r.pm_typed)
    };
    assert_eq!(pm("5 3/16 ± 1/16", Unit::In), (131.7625, 1.5875, true));
    assert_eq!(pm("138 +/- 2", Unit::Mm), (138.0, 2.0, true));
    assert_eq!(pm("138+-2", Unit::Mm), (138.0, 2.0, true));
    assert_eq!(pm("138mm ± 1/16 in", Unit::In), (138.0, 1.5875, true));
    assert_eq!(pm("5 in ± 1 mm", Unit::Mm), (127.0, 1.0, true));
    assert_eq!(pm("5 ± 1 mm", Unit::In), (127.0, 1.0, true), "a bare value keeps the unit of its field");
    assert_eq!(pm("4' 6\" ± 1/4", Unit::Mm), (1371.6, 6.35, true), "a bare tolerance takes the last unit said");
    assert_eq!(pm("138", Unit::Mm), (138.0, 1.5, false), "steel tape");
    for slip in ["9° 75'", "9 deg 60 min"] {
        assert!(read(slip, Unit::Deg, Quantity::Angle).is_err(), "{slip}: sixty minutes are a degree");
    }
    let angle = read("12° 30' ± 15'", Unit::Deg, Quantity::Angle).unwrap();
    assert_eq!((angle.value, angle.pm), (12.5, 0.25));
    assert_eq!(read("138 ± -2", Unit::Mm, Quantity::Length), Err(Unclear::NegativeTolerance));
    let scale = &Field::ArmForeAft.spec().scale;
    assert_eq!(Entry::new("138 ± 501", Unit::Mm, Some(Side::Plus)).read(scale), Err(Unclear::LargeTolerance));
}

/// Common practice, no source.
#[test]
fn each_way_of_measuring_has_its_tolerance() {
    let expected = [
        (Method::Tape, 1.5),
        (Method::TapeOverTwoTurns, 0.75),
        (Method::Calliper, 0.1),
        (Method::ChalkLine, 3.0),
        (Method::AngleFinder, 0.5),
        (Method::CountedTurns, 1.0 / 36.0),
        (Method::Exact, 0.0),
    ];
    for (method, pm) in expected {
        assert_eq!(default_pm(method), pm);
    }
}

#[test]
fn what_is_no_number_is_not_read() {
    for text in [
        "abc",
        "5 3/",
        "5/",
        "/16",
        "5/0",
        "5 17/16",
        "5-7",
        "5 - 7/16",
        "1.2.3",
        "1,234.5",
        "1 234",
        "--5",
        "5 mm mm",
        "5 furlongs",
        "±",
        "± 1",
        "5 ±",
        "5 ± 1 ± 1",
        "4' 6' 2",
        "4\" 6'",
        "1 m 20 cm",
        "5.5 7/16",
        "e5",
        "1e5",
        "NaN",
        "inf",
        "٣",
        "5 - 7/16",
        "mm",
        "5+3",
        "5 7/16/2",
        "99999999999999999999999999999999999999999",
        "00000000000000000000000000000000000000000000000000000000000000005",
    ] {
        assert_eq!(read(text, Unit::Mm, Quantity::Length), Err(Unclear::NotANumber { quantity: Quantity::Length }), "{text}");
    }
    for text in ["5 deg", "12°", "60 %", "3 turns"] {
        assert_eq!(read(text, Unit::Mm, Quantity::Length), Err(Unclear::WrongUnit { quantity: Quantity::Length }), "{text}");
    }
    assert_eq!(read("5 mm", Unit::Deg, Quantity::Angle), Err(Unclear::WrongUnit { quantity: Quantity::Angle }));
    assert_eq!(read("5", Unit::Deg, Quantity::Length), Err(Unclear::WrongUnit { quantity: Quantity::Length }));
    assert_eq!(read("  ", Unit::Mm, Quantity::Length), Err(Unclear::Empty));
}

#[test]
fn a_comma_for_thousands_is_asked_about() {
    let asked = |text: &str| match read(text, Unit::Mm, Quantity::Length) {
        Err(Unclear::WhichComma { decimal, thousands }) => (decimal, thousands),
        other => panic!("{text}: {other:?}"),
    };
    assert_eq!(asked("1,234"), ("1.234".into(), "1234".into()));
    assert_eq!(asked("54,125 in"), ("54.125 in".into(), "54125 in".into()));
    assert_eq!(asked("1300 ± 1,500"), ("1300 ± 1.500".into(), "1300 ± 1500".into()));
    // Either answer is then read.
    assert_eq!(mm("1.234", Unit::Mm), 1.234);
    assert_eq!(mm("1234", Unit::Mm), 1234.0);
}

#[test]
fn sides_are_words_and_never_a_minus_sign() {
    let scale = &Field::ArmForeAft.spec().scale;
    let read = |text: &str, side| Entry::new(text, Unit::Mm, side).read(scale);
    assert_eq!(read("130", Some(Side::Plus)).unwrap().value, 130.0);
    assert_eq!(read("130", Some(Side::Minus)).unwrap().value, -130.0);
    assert_eq!(read("130", None), Err(Unclear::NoSide { plus: "ahead", minus: "behind" }));
    assert_eq!(read("-130", Some(Side::Minus)), Err(Unclear::Minus { sides: Some(("ahead", "behind")) }));
    assert_eq!(read("−130", None), Err(Unclear::Minus { sides: Some(("ahead", "behind")) }));
    for side in [None, Some(Side::Plus), Some(Side::Minus)] {
        let nought = read("0", side).unwrap().value;
        assert!(nought == 0.0 && nought.is_sign_positive());
    }
    assert_eq!(Entry::new("-5", Unit::Mm, None).read(&Field::Wheelbase.spec().scale), Err(Unclear::Minus { sides: None }));
    let way = &Field::BarMoves.spec().scale;
    assert_eq!(Entry::new("", Unit::Plain, Some(Side::Plus)).read(way).unwrap().value, 1.0);
    assert_eq!(Entry::new("", Unit::Plain, Some(Side::Minus)).read(way).unwrap().value, -1.0);
    assert_eq!(Entry::new("", Unit::Plain, None).read(way), Err(Unclear::Empty));
    assert_eq!(Entry::new("up", Unit::Plain, None).read(way), Err(Unclear::NoSide { plus: "left", minus: "right" }));
}

#[test]
fn each_field_reads_its_range_and_nothing_beyond() {
    for spec in FIELDS.iter().filter(|s| s.scale.quantity != Quantity::Choice) {
        let unit = base(spec.scale.quantity);
        let read = |x: f64| Entry::new(x.to_string(), unit, Some(Side::Plus)).read(&spec.scale);
        let (lo, hi) = spec.scale.range;
        assert_eq!((read(lo).unwrap().value, read(hi).unwrap().value), (lo, hi), "{}", spec.name);
        let out = Err(Unclear::OutOfRange { lo, hi, quantity: spec.scale.quantity });
        assert_eq!(read(hi + 0.01), out, "{}", spec.name);
        assert!(lo == 0.0 || read(lo - 0.01) == out, "{}", spec.name);
    }
}

#[test]
fn every_reason_is_a_sentence() {
    let (quantity, sides) = (Quantity::Length, Some(("ahead", "behind")));
    for why in [
        Unclear::Empty,
        Unclear::NotANumber { quantity },
        Unclear::WhichComma { decimal: "1.234".into(), thousands: "1234".into() },
        Unclear::OutOfRange { lo: 600.0, hi: 8000.0, quantity },
        Unclear::OutOfRange { lo: 2000.0, hi: 60000.0, quantity: Quantity::Circle },
        Unclear::NoSide { plus: "ahead", minus: "behind" },
        Unclear::Minus { sides },
        Unclear::Minus { sides: None },
        Unclear::WrongUnit { quantity },
        Unclear::NegativeTolerance,
        Unclear::LargeTolerance,
    ] {
        let said = why.to_string();
        assert!(said.ends_with('.') && said.starts_with(char::is_uppercase) && said.contains(' '), "{said}");
    }
}

/// Worked by hand: 131.7625 / 25.4 = 5.1875 = 5 3/16; 10414 mm = 410 in = 34 ft 2 in.
#[test]
fn the_other_unit_stands_beneath() {
    let length = |mm, pm, unit| in_other_units(Quantity::Length, mm, pm, unit);
    assert_eq!(length(131.7625, 1.5, Unit::In), "131.8 mm");
    assert_eq!(length(-131.7625, 1.5, Unit::Mm), "5 3/16 in");
    assert_eq!(length(11.1125, 1.5, Unit::Cm), "7/16 in");
    assert_eq!(length(25.3, 1.5, Unit::Mm), "1 in");
    assert_eq!(length(25.0, 0.1, Unit::Mm), "0.984 in");
    assert_eq!(length(12.345, 0.1, Unit::Ft), "12.35 mm");
    assert_eq!(in_other_units(Quantity::Circle, 10414.0, 0.0, Unit::M), "34 ft 2 in");
    assert_eq!(in_other_units(Quantity::Circle, 10414.0, 0.0, Unit::Ft), "10.41 m");
    assert_eq!(in_other_units(Quantity::Angle, 12.5, 0.5, Unit::Deg), "");
    assert_eq!(in_other_units(Quantity::Length, f64::NAN, 0.0, Unit::Mm), "");
    assert_eq!((Unit::Mm.other(Quantity::Length), Unit::In.other(Quantity::Length)), (Unit::In, Unit::Mm));
    assert_eq!((Unit::Ft.other(Quantity::Circle), Unit::Cm.other(Quantity::Circle)), (Unit::M, Unit::Ft));
    assert_eq!(Unit::Deg.other(Quantity::Angle), Unit::Deg);
}

#[test]
fn forms_as_files_hold_them() {
    let there_and_back = |field: Field, form: &str, text: &str, unit: Unit, side: Option<Side>| {
        let entry = Entry::parse_form(form, &field.spec().scale);
        assert_eq!(entry, Entry::new(text, unit, side), "{form}");
        assert_eq!(entry.form(&field.spec().scale), form);
    };
    let behind = Some(Side::Minus);
    there_and_back(Field::ArmForeAft, "5 3/16 in behind", "5 3/16", Unit::In, behind);
    there_and_back(Field::ArmForeAft, "138mm behind", "138mm", Unit::Mm, behind);
    there_and_back(Field::ArmForeAft, "5 3/16 ± 1/16 in behind", "5 3/16 ± 1/16", Unit::In, behind);
    there_and_back(Field::ArmForeAft, "5 ± 1 mm in behind", "5 ± 1 mm", Unit::In, behind);
    there_and_back(Field::ArmForeAft, "5 in", "5", Unit::In, None);
    there_and_back(Field::ArmForeAft, "in behind", "", Unit::In, behind);
    there_and_back(Field::BarMoves, "left", "", Unit::Plain, Some(Side::Plus));
    there_and_back(Field::LockWanted, "12.5 deg", "12.5", Unit::Deg, None);
    there_and_back(Field::LockWanted, "12° 30'", "12° 30'", Unit::Deg, None);
    there_and_back(Field::Turns, "3.1 turns", "3.1", Unit::Turns, None);
    there_and_back(Field::RatioMin, "30", "30", Unit::Plain, None);
    there_and_back(Field::AckermannMin, "-20 %", "-20", Unit::Percent, None);
    there_and_back(Field::Wheelbase, "5 3/ in", "5 3/", Unit::In, None);
    there_and_back(Field::Wheelbase, "abc mm", "abc", Unit::Mm, None);
    there_and_back(Field::CircleMax, "34 ft 2 in", "34 ft 2 in", Unit::Ft, None);
    there_and_back(Field::Wheelbase, "4 ft 6", "4 ft 6", Unit::Ft, None);
    // A blank that stands before the word of a choice is not kept: with it the form would be read as another one.
    let choice = &Field::BarMoves.spec().scale;
    for (form, side) in [("\u{2000}", None), (" left", Some(Side::Plus)), ("\u{2000}left", Some(Side::Plus))] {
        assert_eq!(Entry::parse_form(form, choice), Entry::new("", Unit::Plain, side), "{form:?}");
    }
    let blank = Entry::new(" left", Unit::Plain, None);
    assert_eq!((blank.form(choice).as_str(), Entry::parse_form("left", choice).form(choice).as_str()), ("left", "left"));
    // Without a unit: the base unit.
    assert_eq!(Entry::parse_form("138", &Field::Wheelbase.spec().scale), Entry::new("138", Unit::Mm, None));
    assert_eq!(Entry::parse_form("10500", &Field::CircleMax.spec().scale), Entry::new("10500", Unit::Mm, None));
}

/// Texts as thumbs make them: pieces of the grammar in any order, or anything at all.
fn typed() -> impl Strategy<Value = String> {
    let piece = prop::sample::select(vec![
        "5", "7/16", "1,234", ".", ",", " ", " ", "-", "'", "\"", "°", " ± ", "+/-", "1/8", "½", "in", "mm", "cm", "m", "ft", "deg", "min",
        "turns", "%", "behind", "left", "0", "12", "/", "3.5",
    ]);
    prop_oneof![prop::collection::vec(piece, 0..8).prop_map(|p| p.concat()), any::<String>(), "[0-9 ,./'\"-]{0,12}( ?(mm|in|cm|ft|deg))?"]
}

fn sides() -> impl Strategy<Value = Option<Side>> {
    prop::sample::select(vec![None, Some(Side::Plus), Some(Side::Minus)])
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 3000, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn nothing_typed_panics_or_is_lost(text in typed(), at in 0..FIELDS.len(), which in 0..5usize, side in sides()) {
        let spec = &FIELDS[at];
        let fitting: Vec<Unit> = Unit::ALL.into_iter().filter(|u| u.fits(spec.scale.quantity)).collect();
        let entry = Entry::new(text, fitting[which % fitting.len()], side.filter(|_| spec.scale.sides.is_some()));
        let read = entry.read(&spec.scale);
        if let Ok(r) = &read {
            prop_assert!(r.value.is_finite() && r.pm.is_finite() && r.pm >= 0.0 && r.unit.fits(spec.scale.quantity));
        }
        let form = entry.form(&spec.scale);
        let back = Entry::parse_form(&form, &spec.scale);
        prop_assert_eq!(&back.read(&spec.scale), &read, "{}", form);
        if spec.scale.quantity != Quantity::Choice {
            prop_assert_eq!(&back.form(&spec.scale), &form);
            prop_assert_eq!(back.side, entry.side);
            let says_its_unit = Entry { side: None, ..entry.clone() }.form(&spec.scale) == entry.text && entry.unit != Unit::Plain;
            if says_its_unit {
                // It stays in the text, unless it is spelled as a form spells it: then it becomes the unit.
                let moved = format!("{} {}", back.text, back.unit.name());
                prop_assert!(back.text == entry.text || moved == entry.text, "{:?} {:?}", entry, back);
            } else {
                prop_assert_eq!((back.text, back.unit), (entry.text, entry.unit));
            }
        }
    }

    #[test]
    fn any_string_is_a_form(form in any::<String>(), at in 0..FIELDS.len()) {
        let spec = &FIELDS[at];
        let entry = Entry::parse_form(&form, &spec.scale);
        let again = Entry::parse_form(&entry.form(&spec.scale), &spec.scale);
        prop_assert_eq!(again, entry);
    }

    /// Both integers fit 53 bits, so that one IEEE 754 division rounds correctly by itself.
    #[test]
    fn values_are_rounded_once(whole in 0u64..100_000, part in 0u64..10_000, k in 0u64..64) {
        let decimal = format!("{whole}.{part:04}");
        prop_assert_eq!(mm(&decimal, Unit::Mm), decimal.parse::<f64>().unwrap());
        prop_assert_eq!(mm(&decimal, Unit::In), ((whole * 10_000 + part) * 127) as f64 / 50_000.0);
        prop_assert_eq!(mm(&decimal, Unit::Cm), ((whole * 10_000 + part) * 10) as f64 / 10_000.0);
        prop_assert_eq!(mm(&format!("{whole} {k}/64"), Unit::In), ((whole * 64 + k) * 127) as f64 / 320.0);
        let minutes = part % 60;
        prop_assert_eq!(deg(&format!("{whole}° {minutes}'")), (whole * 60 + minutes) as f64 / 60.0);
    }
}
