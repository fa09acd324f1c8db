//! Targets for fuzzing: what is typed, links, files, evaluation, What to look for. DEVELOPERS.md says how to run them for long.
//!
//! Each takes bytes and makes its input of them, so that any engine of bolero's can drive it; as tests they run for a moment with
//! bolero's own. A failure names its seed: `BOLERO_RANDOM_SEED=… cargo test -p donorack-tests --test fuzz NAME` runs that input alone first.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a target fails by panicking")]

mod source;

use donorack::rack_search::look_for;
use donorack::{
    Entry, FIELDS, MOST_RACKS, Plan, RESULTS, Rack, Section, Session, Side, Unit, axle, evaluate, evaluate_first, evaluate_shown, explain,
    probe,
};
use serde_json::{Map, Value, json};
use source::{Source, measured, plan, put, text};
use std::fmt::Debug;

/// No number anywhere in a value is infinite or none. What people typed stands in quotes, and may be called as they like.
fn only_numbers(value: &impl Debug) {
    let written = format!("{value:?}");
    let mut quoted = false;
    let mut escaped = false;
    let mut word = String::new();
    for letter in written.chars().chain([' ']) {
        if quoted {
            quoted = escaped || letter != '"';
            escaped = !escaped && letter == '\\';
        } else if letter.is_ascii_alphanumeric() {
            word.push(letter);
        } else {
            assert!(word != "NaN" && word != "inf", "{word} in {written}");
            word.clear();
            quoted = letter == '"';
        }
    }
}

/// File and link of a plan that was read, both read again: nothing is lost, and what is written once is written so again.
fn comes_back(plan: &Plan) {
    let file = plan.to_json();
    let read = Plan::from_json(&file).unwrap_or_else(|e| panic!("{e}\n{file}"));
    assert_eq!(&read, plan, "{file}");
    let link = plan.to_link();
    let opened = Plan::from_link(&link).unwrap_or_else(|e| panic!("{e}\n{file}\n{link}"));
    assert_eq!(opened.to_link(), link, "{file}");
    // A link holds measurements as our words; they mean the same.
    assert_eq!(Plan::from_json(&opened.to_json()).as_ref(), Ok(&opened), "{file}\n{link}");
    let bare = |plan: &Plan| {
        let mut plan = plan.clone();
        plan.car.clear();
        plan.limits.clear();
        plan.racks.iter_mut().for_each(|rack| rack.entries.clear());
        plan
    };
    assert_eq!(bare(&opened), bare(plan), "{file}");
    for spec in FIELDS {
        for rack in 0..plan.racks.len().max(1) {
            let read = |plan: &Plan| plan.entry(spec.field, rack).map(|entry| entry.read(&spec.scale));
            let (here, there) = (read(plan), read(&opened));
            assert!(here == there || matches!((&here, &there), (Some(Err(_)), Some(Err(_)))), "{}: {here:?}, {there:?}\n{file}", spec.name);
        }
    }
}

/// What stands in one field: it is read or asked about, and means the same after it was written.
fn typed(bytes: &[u8]) {
    let from = &mut Source::new(bytes);
    let spec = &FIELDS[from.below(FIELDS.len())];
    let text = if from.once_in(3) { measured(from, spec) } else { text(from) };
    let units: Vec<Unit> = Unit::ALL.into_iter().filter(|unit| unit.fits(spec.scale.quantity)).collect();
    let unit = units.get(from.below(units.len())).copied().unwrap_or(Unit::Plain);
    let side = [None, Some(Side::Plus), Some(Side::Minus)][from.below(3)].filter(|_| spec.scale.sides.is_some());
    let entry = Entry::new(text, unit, side);
    let form = entry.form(&spec.scale);
    let back = Entry::parse_form(&form, &spec.scale);
    if let Ok(reading) = entry.read(&spec.scale) {
        only_numbers(&reading);
        assert_eq!(back.read(&spec.scale), entry.read(&spec.scale), "{entry:?} {form:?}");
    }
    assert_eq!(back.form(&spec.scale), form, "{entry:?}");
    assert_eq!(Entry::parse_form(&back.form(&spec.scale), &spec.scale), back, "{entry:?}");
    let mut plan = Plan::default();
    plan.racks.push(Rack::default());
    let entries = match spec.section {
        Section::Car => &mut plan.car,
        Section::Limits => &mut plan.limits,
        Section::Rack => &mut plan.racks[0].entries,
    };
    put(entries, spec, &form);
    let opened = Plan::from_link(&plan.to_link()).unwrap_or_else(|e| panic!("{e}: {entry:?}"));
    assert_eq!(opened.to_link(), plan.to_link(), "{entry:?}");
    if let Some(Ok(reading)) = plan.entry(spec.field, 0).map(|entry| entry.read(&spec.scale)) {
        assert_eq!(opened.entry(spec.field, 0).unwrap().read(&spec.scale), Ok(reading), "{entry:?}");
    }
}

/// A link of those bytes with the checksum that they ask for: CRC-24 of RFC 9580, section 6.1.1, in base64url.
fn link_of(cbor: &[u8]) -> String {
    let mut crc: u32 = 0x00b7_04ce;
    for byte in cbor {
        crc ^= u32::from(*byte) << 16;
        for _ in 0..8 {
            crc = if crc & 0x0080_0000 == 0 { crc << 1 } else { crc << 1 ^ 0x0186_4cfb };
        }
    }
    let bytes = [cbor, &crc.to_be_bytes()[1..]].concat();
    let alphabet = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_";
    let mut out = String::new();
    for three in bytes.chunks(3) {
        let word = three.iter().fold(0u32, |w, b| w << 8 | u32::from(*b)) << (8 * (3 - three.len()));
        out.extend((0..=three.len()).map(|i| char::from(alphabet[(word >> (18 - 6 * i)) as usize & 63])));
    }
    out + "k"
}

/// An item of CBOR, mostly as a plan has them.
fn cbor(from: &mut Source, deep: usize, out: &mut Vec<u8>) {
    let head = |out: &mut Vec<u8>, kind: u8, n: usize| match n {
        0..=23 => out.push(kind << 5 | n as u8),
        24..=255 => out.extend([kind << 5 | 24, n as u8]),
        _ => out.extend([kind << 5 | 25, (n >> 8) as u8, n as u8]),
    };
    match from.below(if deep == 0 { 5 } else { 9 }) {
        0 | 1 => head(out, 0, from.below(20_000)),
        2 => head(out, 1, from.below(20_000)),
        3 => {
            let text = text(from);
            head(out, 3, text.len());
            out.extend(text.as_bytes());
        }
        4 => out.extend(
            [from.pick(&[
                &[0xf5_u8][..],
                &[0xf4],
                &[0xf6],
                &[0xf9, 0x3c, 0],
                &[0x43, 1, 2, 3],
                &[0xff],
                &[0x5f],
                &[0x18, 1],
                &[0x46, 0, 0, 0, 0, 1, 2],
            ])]
            .concat(),
        ),
        5 => {
            let count = from.below(4);
            head(out, 4, count);
            (0..count).for_each(|_| cbor(from, deep - 1, out));
        }
        6 | 7 => map(from, deep, &[1, 2, 3, 4, 5, 10, 11, 12, 30, 77, 128, 129, 300], out),
        _ => out.push(from.byte()),
    }
}

/// A map with ascending keys, mostly.
fn map(from: &mut Source, deep: usize, keys: &[u16], out: &mut Vec<u8>) {
    let mut keys: Vec<u16> = keys.iter().copied().filter(|_| from.once_in(2)).collect();
    if from.once_in(16) {
        keys.push(from.byte().into());
    }
    out.push(0xa0 | keys.len().min(23) as u8);
    for key in keys {
        match key {
            0..=23 => out.push(key as u8),
            24..=255 => out.extend([0x18, key as u8]),
            _ => out.extend([0x19, (key >> 8) as u8, key as u8]),
        }
        cbor(from, deep - 1, out);
    }
}

/// A link: any bytes, a plan's own with something changed, or a plan that never was.
fn link(bytes: &[u8]) {
    let from = &mut Source::new(bytes);
    let link = match from.below(4) {
        0 => String::from_utf8_lossy(&from.rest()).into_owned(),
        1 => link_of(&from.rest()),
        2 => {
            let mut out = plan(from, true).to_link().into_bytes();
            for _ in 0..from.below(3) {
                let at = from.below(out.len());
                out[at] = from.byte() & 0x7f;
            }
            String::from_utf8(out).unwrap()
        }
        _ => {
            let mut inside = Vec::new();
            map(from, 4, &[1, 2, 3, 4, 5, 6, 7, 8, 77], &mut inside);
            // The format number comes first.
            let count = inside.remove(0) + 1;
            link_of(&[&[count, 0, 1 + u8::from(from.once_in(4))][..], &inside].concat())
        }
    };
    if let Ok(plan) = Plan::from_link(&link) {
        // One spelling only: what was read is written so again, whatever stood around it.
        assert!(link.contains(&plan.to_link()), "{link}");
        comes_back(&plan);
    }
}

/// A step of somebody at work on a plan: a key, a limit, a unit, a rack more or less or elsewhere, a name.
fn step(from: &mut Source, plan: &mut Plan) {
    let racks = plan.racks.len();
    let rack = from.below(racks);
    let spec = &FIELDS[from.below(FIELDS.len())];
    match from.below(12) {
        0 if racks < MOST_RACKS => plan.racks.insert(from.below(racks + 1), plan.racks.get(rack).cloned().unwrap_or_default()),
        1 if racks > 0 => drop(plan.racks.remove(rack)),
        2 if racks > 0 => {
            let moved = plan.racks.remove(rack);
            plan.racks.insert(from.below(racks), moved);
        }
        3 => plan.chosen = from.below(racks + 1),
        4 if racks > 0 => plan.racks[rack].name = text(from),
        // The same length in other words, and the other nought.
        5 if racks > 0 => {
            let entries = &mut plan.racks[rack].entries;
            put(
                entries,
                donorack::Field::RackLine.spec(),
                from.pick(&["0 ahead", "0 behind", "25.4 mm ahead", "1 in ahead", "1.0 in ahead", ""]),
            );
        }
        6 if racks > 0 => drop(plan.racks[rack].entries.remove(&spec.field)),
        7 => put(&mut plan.limits, donorack::Field::LockWanted.spec(), from.pick(&["off", "33 deg", "28 deg", "soon"])),
        _ => {
            let form = if from.once_in(8) { text(from) } else { measured(from, spec) };
            match spec.section {
                Section::Car => put(&mut plan.car, spec, &form),
                Section::Limits => put(&mut plan.limits, spec, &form),
                Section::Rack if racks > 0 => put(&mut plan.racks[rack].entries, spec, &form),
                Section::Rack => {}
            }
        }
    }
}

/// What a session says after any steps, back and forth, is to the last byte what one without a past says.
fn session(bytes: &[u8]) {
    fn same<T: Debug>(held: &T, fresh: &T, what: &str, plan: &Plan) {
        // Written out: every number to the last bit, and either nought by its sign.
        let [held, fresh] = [held, fresh].map(|answer| format!("{answer:?}"));
        assert!(held == fresh, "{what}\n{held}\n{fresh}\n{}", plan.to_json());
    }
    let from = &mut Source::new(bytes);
    let wild = from.once_in(4);
    let mut past = vec![plan(from, wild)];
    let mut session = Session::default();
    for _ in 0..4 {
        let mut plan = past[from.below(past.len())].clone();
        (0..from.below(3)).for_each(|_| step(from, &mut plan));
        session.open(plan.clone());
        assert_eq!(session.plan(), &plan);
        let rack = from.below(plan.racks.len() + 1);
        for ask in 0..6 {
            match if ask == 0 { from.below(2) } else { from.below(9) } {
                0 => {
                    let first = session.evaluate_first();
                    same(&first, &evaluate_first(&plan), "first", &plan);
                    // It says of every part what the whole view says.
                    let view = evaluate_shown(&plan);
                    let parts = view.parts.iter().filter(|part| first.parts.iter().any(|own| own.part == part.part));
                    same(&first.parts, &parts.cloned().collect(), "parts", &plan);
                    same(&(&first.car, &first.limits), &(&view.car, &view.limits), "fields", &plan);
                    // Remedies take a search: they are worked out for the rack that is shown, and not at once.
                    let aside = evaluate_shown(&Plan { chosen: plan.racks.len(), ..plan.clone() });
                    same(&first.rack.as_ref(), &aside.racks.get(plan.chosen), "the rack", &plan);
                }
                1 | 2 => same(&session.evaluate_shown(), &evaluate_shown(&plan), "shown", &plan),
                3 => same(&session.evaluate(), &evaluate(&plan), "all", &plan),
                8 => session.prepare(rack),
                4 => same(&*session.look_for(), &look_for(&plan), "guide", &plan),
                5 => {
                    let row = &RESULTS[from.below(RESULTS.len())];
                    same(&session.explain(rack, row.key, 0), &explain(&plan, rack, row.key, 0), row.key, &plan);
                }
                _ => {
                    let share = from.between(-1.0, 1.0);
                    same(&session.axle(rack).and_then(|a| a.at(share)), &axle(&plan, rack, share), "axle", &plan);
                }
            }
        }
        past.push(plan);
    }
}

/// A value of JSON, mostly as a plan's file has them.
fn value(from: &mut Source, deep: usize) -> Value {
    match from.below(if deep == 0 { 6 } else { 9 }) {
        0 | 1 => json!(text(from)),
        2 => json!(from.between(-5000.0, 5000.0)),
        3 => json!(from.below(5000)),
        4 => from
            .pick(&[
                &json!(null),
                &json!(true),
                &json!(1e-7),
                &json!(1e300),
                &json!(-0.0),
                &json!(u64::MAX),
                &json!("8401020304"),
                &json!("f6"),
                &json!("1801"),
            ])
            .clone(),
        5 => {
            let spec = &FIELDS[from.below(FIELDS.len())];
            json!(measured(from, spec))
        }
        6 => json!((0..from.below(4)).map(|_| value(from, deep - 1)).collect::<Vec<_>>()),
        _ => object(from, deep - 1),
    }
}

/// An object whose keys are a plan's, with what belongs there, now and then with something else.
fn object(from: &mut Source, deep: usize) -> Value {
    let mut out = Map::new();
    for _ in 0..from.below(6) {
        let spec = &FIELDS[from.below(FIELDS.len())];
        let key = from.pick(&[
            "donorack", "name", "car", "racks", "limits", "newer", "77", "1", "note", "chosen", "id", spec.name, spec.name, spec.name,
        ]);
        let held = value(from, deep.saturating_sub(1));
        out.insert(key.to_owned(), held);
    }
    Value::Object(out)
}

/// A file: any text, a plan's own with something changed, or something like one.
fn file(bytes: &[u8]) {
    let from = &mut Source::new(bytes);
    let text = match from.below(4) {
        0 => String::from_utf8_lossy(&from.rest()).into_owned(),
        1 => {
            let mut out = plan(from, true).to_json();
            for _ in 0..from.below(3) {
                let at = (0..=from.below(out.len())).rev().find(|at| out.is_char_boundary(*at)).unwrap_or(0);
                match from.below(3) {
                    0 => out.truncate(at),
                    1 => out.insert_str(at, from.pick(&["0", "e-7", "\"", "}", ",", "\\u0000", "\\ud83d", ": 1", "[", "-"])),
                    _ if at < out.len() => drop(out.remove(at)),
                    _ => {}
                }
            }
            out
        }
        2 => {
            let mut out = serde_json::to_value(plan(from, true)).unwrap();
            let spoilt = value(from, 3);
            let part = from.pick(&["/car", "/limits", "/racks", "/racks/0", "/car/wheelbase", "/racks/0/travel", "/newer", "/chosen"]);
            if let Some(place) = out.pointer_mut(part) {
                *place = spoilt;
            } else {
                out["newer"] = spoilt;
            }
            out.to_string()
        }
        _ => {
            let mut out = json!({"donorack": 1});
            for key in ["car", "limits", "newer", "link_format"] {
                if from.once_in(2) {
                    out[key] = if key == "link_format" { json!(from.below(4)) } else { object(from, 2) };
                }
            }
            out["racks"] = json!((0..from.below(3)).map(|_| object(from, 2)).collect::<Vec<_>>());
            out.to_string()
        }
    };
    if let Ok(plan) = Plan::from_json(&text) {
        comes_back(&plan);
    }
}

/// Everything that the boundary answers about a plan is a number or a reason.
fn evaluation(bytes: &[u8]) {
    let from = &mut Source::new(bytes);
    let wild = from.once_in(2);
    let plan = plan(from, wild);
    let view = evaluate(&plan);
    only_numbers(&view);
    serde_json::to_string(&view).expect("JSON holds all of it");
    for i in 0..plan.racks.len() + 1 {
        let share = from.between(-1.2, 1.2);
        if let Ok(drawing) = axle(&plan, i, share) {
            only_numbers(&drawing);
        }
        if i < plan.racks.len() {
            only_numbers(&probe(&plan, i, from.between(-400.0, 400.0)));
        }
        let row = &RESULTS[from.below(RESULTS.len())];
        only_numbers(&explain(&plan, i, row.key, from.below(2)));
    }
}

/// What to look for is told in numbers that lie in order.
fn guide(bytes: &[u8]) {
    let from = &mut Source::new(bytes);
    let wild = from.once_in(4);
    let plan = plan(from, wild);
    let told = look_for(&plan);
    only_numbers(&told);
    for range in [&told.spacing, &told.travel].into_iter().flatten() {
        assert!(range.ends[0] <= range.ends[1], "{range:?}\n{}", plan.to_json());
    }
    if let Some(picture) = &told.picture {
        assert!(picture.x[0] < picture.x[1] && picture.y[0] < picture.y[1], "{:?} {:?}\n{}", picture.x, picture.y, plan.to_json());
        assert!(!picture.rises.is_empty() && picture.ticks.iter().all(|t| !t.is_empty()), "{picture:?}\n{}", plan.to_json());
    }
}

/// What a long run found: with no lock asked for and a circle that no rack reaches, the picture's range began at infinity.
#[test]
fn a_picture_of_nothing_that_passes_has_a_range() {
    let car = json!({"wheelbase": "2540 mm", "front_track": "1422 mm", "rod_end_spacing": "1280 mm", "axis_spacing_at_ground": "1316 mm",
        "arm_fore_aft": "132 mm behind", "arm_inboard": "18 mm inboard"});
    let plan = json!({"donorack": 1, "car": car, "limits": {"lock_inner": "off", "circle_max": "6 m"}}).to_string();
    let told = look_for(&Plan::from_json(&plan).unwrap());
    let picture = told.picture.expect("a picture of what the limits allow");
    assert_eq!((told.status, picture.wanted), ("nothing", None));
    let [low, high] = picture.y;
    assert!(low.is_finite() && low < high, "{low} to {high}");
    assert!(!picture.most.is_empty() && picture.most.iter().all(|p| (low..=high).contains(&p.1)), "{:?} in {low} to {high}", picture.most);
}

macro_rules! targets {
    ($($(#[$doc:meta])+ $name:ident $target:ident $iterations:literal $longest:literal;)+) => {
        $($(#[$doc])+ #[test] fn $name() {
            bolero::check!().with_iterations($iterations).with_max_len($longest).for_each(|bytes: &[u8]| $target(bytes));
        })+
    };
}

// How often each runs in the test command, and of how many bytes its input may be.
targets! {
    /// What is typed.
    fuzz_typed typed 30_000 64;
    /// Links.
    fuzz_link link 4_000 400;
    /// Files.
    fuzz_file file 4_000 600;
    /// Evaluation.
    fuzz_evaluation evaluation 200 600;
    /// What to look for.
    fuzz_guide guide 150 300;
    /// A session, after steps back and forth.
    fuzz_session session 40 600;
}
