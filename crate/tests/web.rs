//! The boundary to JavaScript, in a real browser.
#![cfg(target_arch = "wasm32")]
#![allow(missing_docs, reason = "the test macro adds items of its own")]
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test fails by panicking")]

use donorack::web;
use js_sys::{Array, Float64Array, JSON, Object, Reflect};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_test::{wasm_bindgen_test, wasm_bindgen_test_configure};

wasm_bindgen_test_configure!(run_in_browser);

/// Every field of the format is used here or in the car below; all figures invented.
const PLAN: &str = r#"{"donorack": 1, "name": "Brötchen <b>", "car": {"wheelbase": "104 1/2 in", "front_track": 1425.575, "rod_end_spacing": "50 3/8 in",
    "arm_fore_aft": "5 3/16 in behind", "arm_inboard": "11/16 in inboard"},
    "racks": [{"travel_per_turn": "1 27/32 in", "travel": "5 3/4 in", "inner_joint_spacing": "23 1/4 in", "rack_line": "3/4 in behind", "bar_moves": "right"},
        {"name": "half", "travel": "1,234 mm"}], "limits": {"lock_inner": 33}, "chosen": 0}"#;

fn get(value: &JsValue, path: &str) -> JsValue {
    path.split('.').fold(value.clone(), |at, key| Reflect::get(&at, &JsValue::from_str(key)).unwrap_or_else(|_| panic!("{key} of {path}")))
}

fn text(value: &JsValue, path: &str) -> String {
    get(value, path).as_string().unwrap_or_else(|| panic!("{path} is no string"))
}

fn number(value: &JsValue, path: &str) -> f64 {
    get(value, path).as_f64().unwrap_or_else(|| panic!("{path} is no number"))
}

fn written(value: &JsValue) -> String {
    JSON::stringify(value).unwrap().into()
}

/// The first of a list that bears this name.
fn named(list: &JsValue, name: &str) -> JsValue {
    Array::from(list).iter().find(|item| get(item, "name") == JsValue::from_str(name)).unwrap_or_else(|| panic!("no {name}"))
}

/// Why something of that kind was refused: a sentence with a beginning and an end.
fn refused(kind: &str, thrown: JsValue) -> String {
    assert_eq!(text(&thrown, "refused"), kind, "{}", written(&thrown));
    let says = text(&thrown, "says");
    assert!(says.chars().next().is_some_and(char::is_uppercase) || kind == "place", "{says:?}");
    assert!(says.ends_with('.') || kind == "place", "{says:?}");
    says
}

/// Everything that follows from a plan, from a session without a past.
fn evaluate(plan: &str) -> Result<JsValue, JsValue> {
    let mut session = web::Session::new();
    session.open(plan)?;
    Ok(session.evaluate()?)
}

fn axle(plan: &str, rack: usize, share: f64) -> Result<JsValue, JsValue> {
    let mut session = web::Session::new();
    session.open(plan)?;
    session.axle(rack)?.at(share)
}

/// Everything of a value is what JSON knows: plain objects, arrays, strings, finite numbers, booleans, null.
fn plain(value: &JsValue, place: &str) -> usize {
    if value.is_null() || value.as_string().is_some() || value.as_bool().is_some() {
        return 1;
    }
    if let Some(x) = value.as_f64() {
        assert!(x.is_finite(), "{place} is {x}");
        return 1;
    }
    if Array::is_array(value) {
        return Array::from(value).iter().enumerate().map(|(i, item)| plain(&item, &format!("{place}.{i}"))).sum();
    }
    assert!(!value.is_undefined(), "{place} is undefined");
    let object: &Object = value.dyn_ref().unwrap_or_else(|| panic!("{place} is no object"));
    let prototype = Object::get_prototype_of(object);
    assert_eq!(text(&prototype, "constructor.name"), "Object", "{place} is a plain object, no Map");
    let entries = Object::entries(object);
    entries.iter().map(|pair| plain(&get(&pair, "1"), &format!("{place}.{}", text(&pair, "0")))).sum()
}

#[wasm_bindgen_test]
fn version_is_the_package() {
    assert_eq!(web::version(), env!("CARGO_PKG_VERSION"));
}

#[wasm_bindgen_test]
fn evaluate_gives_plain_objects_with_null_for_what_is_missing() {
    let view = evaluate(PLAN).unwrap();
    assert!(plain(&view, "view") > 500, "all of it was walked through");
    assert_eq!(text(&view, "name"), "Brötchen <b>");
    assert_eq!(text(&view, "car.wheelbase.text"), "104 1/2");
    assert_eq!(text(&view, "car.wheelbase.other"), "2654.3 mm");
    let turns = named(&get(&view, "racks.0.results"), "turns");
    assert_eq!(text(&turns, "status"), "ok");
    assert!((number(&turns, "value") - 5.75 / (1.0 + 27.0 / 32.0)).abs() < 1e-12, "two lengths of the plan, divided by hand");
    let none = named(&get(&view, "racks.1.results"), "turns");
    assert!(get(&none, "value").is_null() && get(&none, "pm").is_null(), "null, neither undefined nor NaN");
    assert_eq!(text(&none, "status"), "missing");
    assert!(!text(&none, "why").is_empty());
    // A map has only what is there.
    assert!(get(&view, "car.tyre_width").is_undefined());
    assert_eq!(text(&view, "racks.1.fields.travel.status"), "unclear");
    // JSON writes it and reads it back the same.
    let written = JSON::stringify(&view).unwrap();
    let again = JSON::parse(&String::from(written.clone())).unwrap();
    assert_eq!(JSON::stringify(&again).unwrap(), written);
}

#[wasm_bindgen_test]
fn a_bad_plan_is_a_sentence() {
    for (bad, part) in [
        ("", "JSON"),
        ("{", "JSON"),
        ("[]", "plan"),
        ("{}", "format number"),
        (r#"{"donorack": 2}"#, "newer"),
        (r#"{"donorack": 1, "car": {"weelbase": 2500}}"#, "weelbase"),
        (r#"{"donorack": 1, "racks": 5}"#, "racks"),
    ] {
        for thrown in [
            evaluate(bad).unwrap_err(),
            web::as_typed(bad).unwrap_err(),
            web::check_plan(bad).unwrap_err(),
            web::read_plan(bad).unwrap_err(),
            web::encode_link(bad).unwrap_err(),
        ] {
            let said = refused("plan", thrown);
            assert!(said.contains(part), "{part} in {said}");
        }
    }
}

/// One reader, one answer: a text is read here as on the command line, whatever JavaScript would make of it.
#[wasm_bindgen_test]
fn a_text_is_read_as_everywhere_else() {
    let car = |inside: &str| format!(r#"{{"donorack": 1, "car": {{{inside}}}}}"#);
    for text in [
        car(r#""wheelbase": 2500, "wheelbase": 2600"#),
        r#"{"donorack": 1, "donorack": 1}"#.to_owned(),
        car(r#""wheelbase": 1e-7"#),
        car(r#""wheelbase": 1E3, "front_track": 1400.0, "arm_fore_aft": -0, "arm_inboard": -1.5e1"#),
        car(r#""wheelbase": 12345678901234567890, "front_track": 0.1234567890123456789"#),
        car(r#""wheelbase": 1e400"#),
        car(r#""wheelbase": "\ud83d""#),
        car(r#""wheelbase": "\ud83d\udd27""#),
        car(r#""wheelbase": 01"#),
        car(r#""__proto__": 1"#),
        format!("\u{feff}{}", car("")),
        "{\"donorack\": 1,\n\"car\": }".to_owned(),
        "[".repeat(5000),
        format!("{}{}", car(""), " ".repeat(1_000_000)),
    ] {
        let (here, there) = (web::encode_link(&text), donorack::Plan::from_json(&text));
        let start: String = text.chars().take(80).collect();
        assert_eq!(
            here.map_err(|thrown| refused("plan", thrown)),
            there.clone().map(|plan| plan.to_link()).map_err(|e| e.to_string()),
            "{start}"
        );
        let object = web::read_plan(&text).map_err(|thrown| refused("plan", thrown));
        assert_eq!(object.is_ok(), there.is_ok(), "{start}");
        if let (Ok(object), Ok(plan)) = (object, there) {
            assert_eq!(web::encode_link(&written(&object)).unwrap(), plan.to_link(), "{start}");
        }
    }
}

#[wasm_bindgen_test]
fn compose_gives_the_text_of_a_plan() {
    for ([section, name, typed, unit, side], form) in [
        (["car", "arm_fore_aft", "5 3/16", "in", "behind"], "5 3/16 in behind"),
        (["car", "arm_fore_aft", "5 3/16", "in", ""], "5 3/16 in"),
        (["car", "wheelbase", "138mm", "in", ""], "138mm"),
        (["car", "wheelbase", "5 3/", "in", ""], "5 3/ in"),
        (["car", "wheelbase", "", "in", ""], ""),
        (["car", "arm_fore_aft", "", "in", "behind"], ""),
        (["car", "kingpin_inclination", "12.5", "deg", ""], "12.5 deg"),
        (["rack", "bar_moves", "whatever", "", "left"], "left"),
        (["rack", "bar_moves", "", "", ""], ""),
        (["limits", "circle_max", "34", "ft", ""], "34 ft"),
    ] {
        assert_eq!(web::compose(section, name, typed, unit, side).unwrap(), form, "{section}.{name} {typed:?}");
    }
    // What is composed is read back as it was typed, the half typed too.
    for typed in ["5 3/16", "5 3/", "abc", "1,234", "½", "4' 6 1/2\"", "5 ± 1/16"] {
        let form = web::compose("car", "front_track", typed, "in", "").unwrap();
        let file = JSON::stringify(&JsValue::from_str(&form)).unwrap();
        let view = evaluate(&format!("{{\"donorack\": 1, \"car\": {{\"front_track\": {file}}}}}")).unwrap();
        assert_eq!(text(&view, "car.front_track.text"), typed, "by way of {form:?}");
    }
    assert!(web::compose("car", "weelbase", "1", "in", "").is_err());
    assert!(web::compose("engine", "wheelbase", "1", "in", "").is_err());
}

#[wasm_bindgen_test]
fn a_link_goes_out_and_comes_back() {
    let link = web::encode_link(PLAN).unwrap();
    assert!(link.chars().all(|c| c.is_ascii_alphanumeric() || c == '-' || c == '_') && !link.ends_with(['-', '_']), "{link}");
    let back = web::decode_link(&link).unwrap();
    assert_eq!(web::encode_link(&written(&back)).unwrap(), link);
    for around in [format!("#{link}"), format!("https://example.org/rack/?a=b#{link}"), format!("{link}.")] {
        assert_eq!(written(&web::decode_link(&around).unwrap()), written(&back), "{around}");
    }
    let of = |plan: &str| written(&get(&evaluate(plan).unwrap(), "racks"));
    assert_eq!(of(&written(&back)), of(PLAN), "the same figures to the last digit");
    for bad in ["", "k", "hello", &link[1..], &link[..link.len() - 2]] {
        refused("link", web::decode_link(bad).unwrap_err());
    }
    // What a newer program wrote is carried along, and counted.
    let newer = r#"{"donorack": 1, "newer": {"77": "83010203"}, "racks": [{"newer": {"40": "fb400921fb54442d18"}}]}"#;
    let back = web::decode_link(&web::encode_link(newer).unwrap()).unwrap();
    let file = written(&back);
    assert!(file.contains("83010203") && file.contains("fb400921fb54442d18"), "{file}");
    assert!(text(&evaluate(&file).unwrap(), "unshown").starts_with("2 entries"));
}

#[wasm_bindgen_test]
fn the_axle_stands_somewhere_or_a_sentence_says_why_not() {
    let left = axle(PLAN, 0, 1.0).unwrap();
    plain(&left, "axle");
    let view = evaluate(PLAN).unwrap();
    let lock = named(&get(&view, "racks.0.results"), "lock_inner");
    assert!((number(&left, "wheels.0.steer") - number(&lock, "value")).abs() < 1e-9, "the left wheel at lock left is the inner one");
    assert_eq!(text(&left, "inner"), "left");
    assert!(number(&left, "centre") > 0.0, "the centre of a left turn lies on the left");
    let straight = axle(PLAN, 0, 0.0).unwrap();
    assert!(get(&straight, "centre").is_null() && get(&straight, "band").is_null(), "straight ahead there is no centre: null");
    assert!(number(&straight, "wheels.1.steer").abs() < 1e-9);
    // Beyond a lock is the lock; no number is the middle.
    assert_eq!(written(&axle(PLAN, 0, 7.0).unwrap()), written(&left));
    assert_eq!(written(&axle(PLAN, 0, f64::NAN).unwrap()), written(&straight));
    for (plan, rack) in [(r#"{"donorack": 1, "racks": [{}]}"#, 0), (r#"{"donorack": 1}"#, 0), (PLAN, 1), (PLAN, 9)] {
        let said = refused("place", axle(plan, rack, 1.0).unwrap_err());
        assert!(said.len() > 10, "{said:?}");
    }
}

#[wasm_bindgen_test]
fn a_closure_turns_or_says_why_not() {
    // A quarter turn by hand: arm and rod of 3-4-5 triangles. Axis upright through the origin, arm 30 ahead; the rod of 50 reaches from
    // the rod end (30, 0) to the inner joint (0, −40). With the joint at (0, −40 − 40) the arm points at it: (0, −30), 50 from there.
    let points = [0.0, 0.0, 0.0, 0.0, 0.0, 1.0, 30.0, 0.0, 0.0, 0.0, -40.0, 0.0];
    let with = |rod: f64| [&points[..], &[rod]].concat();
    let turned = web::closure(&with(f64::NAN), -40.0).unwrap();
    assert!((turned[0] + 90.0).abs() < 1e-9 && (turned[1] - 50.0).abs() < 1e-12, "{turned:?}");
    assert_eq!(web::closure(&with(50.0), 0.0).unwrap()[1], 50.0);
    let reason = |points: &[f64], s: f64| text(&web::closure(points, s).unwrap_err().into(), "message");
    // From (0, −80.001) nothing on the circle of 30 lies within 50; from the axis everything does, and nothing as far as 50.
    assert_eq!(reason(&with(50.0), -40.001), "too_short");
    assert_eq!(reason(&with(50.0), 40.0), "too_long");
    assert_eq!(reason(&with(50.0)[..12], 0.0), "thirteen numbers are wanted");
    let mut on_axis = with(f64::NAN);
    on_axis[10] = 0.0;
    assert_eq!(reason(&on_axis, 0.0), "no_linkage");
    let mut in_line = with(f64::NAN);
    (in_line[9], in_line[10]) = (60.0, 0.0);
    assert_eq!(reason(&in_line, 0.0), "at_toggle");
}

/// What JavaScript reads is to the last bit what was computed, and what it hands over arrives to the last bit.
#[wasm_bindgen_test]
fn numbers_cross_exactly() {
    let view = evaluate(PLAN).unwrap();
    let plan = donorack::Plan::from_json(PLAN).unwrap();
    let mut count = 0;
    for (i, rack) in donorack::evaluate(&plan).racks.iter().enumerate() {
        for (n, r) in rack.results.iter().enumerate() {
            for (name, value) in [("value", r.value), ("pm", r.pm)] {
                let crossed = get(&view, &format!("racks.{i}.results.{n}.{name}")).as_f64();
                assert_eq!(crossed.map(f64::to_bits), value.map(f64::to_bits), "{} of {}", name, r.name);
                count += usize::from(value.is_some());
            }
        }
        for (n, point) in rack.curves.toe_out_left.iter().enumerate() {
            let crossed = get(&view, &format!("racks.{i}.curves.toe_out_left.{n}"));
            assert_eq!(
                [get(&crossed, "0").as_f64(), get(&crossed, "1").as_f64()].map(|x| x.map(f64::to_bits)),
                [point.0, point.1].map(|x| Some(x.to_bits()))
            );
        }
    }
    assert!(count > 80, "{count}");
    // Into the core and out again: the axis through the origin, the rod's length as given.
    for rod in [50.1, 100.0 / 3.0, 50.000_000_000_000_01] {
        let points = Float64Array::from(&[0.0, 0.0, 0.0, 0.0, 0.0, 1.0, 30.0, 0.0, 0.0, 0.0, -40.0, 0.0, rod][..]);
        assert_eq!(web::closure(&points.to_vec(), 0.0).unwrap()[1].to_bits(), f64::to_bits(rod));
    }
}

/// A rack that is as it was is the same object, wherever it stands; a plan that is refused leaves the one before open.
#[wasm_bindgen_test]
fn a_session_hands_over_again_what_is_as_it_was() {
    let mut session = web::Session::new();
    session.open(PLAN).unwrap();
    let rack = |view: &JsValue, i: u32| Array::from(&get(view, "racks")).get(i);
    let before = session.evaluate().unwrap();
    let moved = PLAN.replace(r#""chosen": 0"#, r#""chosen": 1"#);
    let plan = donorack::Plan::from_json(&moved).unwrap();
    let turned = donorack::Plan { racks: plan.racks.iter().rev().cloned().collect(), ..plan };
    session.open(&turned.to_json()).unwrap();
    let after = session.evaluate().unwrap();
    assert!(Object::is(&rack(&before, 0), &rack(&after, 1)) && Object::is(&rack(&before, 1), &rack(&after, 0)));
    let first = get(&session.evaluate_first().unwrap(), "rack");
    assert!(Object::is(&get(&session.evaluate_first().unwrap(), "rack"), &first));
    assert_eq!(written(&after), written(&evaluate(&turned.to_json()).unwrap()));
    refused("plan", session.open("{}").unwrap_err());
    assert_eq!(written(&session.evaluate().unwrap()), written(&after));
    assert!(session.explain(0, "no such figure", 0).unwrap().is_null());
}

/// A mistake of a program is an `Error`, no refusal.
#[wasm_bindgen_test]
fn a_mistake_of_a_program_is_an_error() {
    let thrown: JsValue = web::compose("car", "weelbase", "1", "in", "").unwrap_err().into();
    assert!(thrown.is_instance_of::<js_sys::Error>() && get(&thrown, "refused").is_undefined());
}
