//! What is said of a rack: each verdict for its reason, and never a better one than the readings allow.
#![allow(clippy::panic, reason = "a test fails by panicking")]

use donorack::{Plan, RackView, VerdictKind, evaluate};
use loose::loose;
use serde_json::{Value, json};

#[path = "said/loose.rs"]
mod loose;

/// A car and a rack (invented) that suit in plan, with every optional reading that a check needs. mm and degrees.
fn suiting() -> Value {
    json!({
        "donorack": 1,
        "car": {
            "wheelbase": 2750, "front_track": 1490, "axis_spacing_at_ground": 1410, "axis_spacing_at_rod_end": 1409,
            "arm_fore_aft": "140 behind", "arm_inboard": "15 inboard", "tyre_width": 205,
            "kingpin_inclination": "0 deg", "caster": "0 deg", "rod_end_height": 250
        },
        "racks": [{
            "inner_joint_spacing": 640, "travel_per_turn": 50, "travel": 140, "rack_line": "5 behind", "bar_moves": "right",
            "offset": "0 left", "height": "0 above", "rod_length_min": 330, "rod_length_max": 420, "inner_joint_limit": 40, "outer_joint_limit": 25
        }],
        "limits": {"circle_edge_max": 13000, "ratio_max": 20}
    })
}

fn rack(plan: &Value) -> RackView {
    let plan = Plan::from_json(&plan.to_string()).expect("the plan is readable");
    loose(RackView::clone(&evaluate(&plan).racks[0]))
}

/// The plan with one value replaced (or, by null, taken away).
fn with(plan: &Value, section: &str, name: &str, value: Value) -> Value {
    let mut plan = plan.clone();
    let map = if section == "racks" { &mut plan["racks"][0] } else { &mut plan[section] };
    let map = map.as_object_mut().expect("a section is an object");
    match value {
        Value::Null => map.remove(name),
        v => map.insert(name.to_owned(), v),
    };
    plan
}

#[test]
fn the_plan_suits_and_every_check_is_made() {
    let r = rack(&suiting());
    assert_eq!(r.verdict.kind, VerdictKind::Suits, "{:?}", r.verdict);
    assert!(r.verdict.unchecked.is_empty() && r.verdict.assumed.is_empty(), "{:?}", r.verdict);
    assert!(!r.verdict.sentence.mm.contains("fits"), "bump steer is not judged");
}

#[test]
fn without_any_of_the_nine_no_verdict_is_suits() {
    let nine = [
        ("car", "wheelbase"),
        ("car", "front_track"),
        ("car", "arm_fore_aft"),
        ("car", "arm_inboard"),
        ("racks", "inner_joint_spacing"),
        ("racks", "travel_per_turn"),
        ("racks", "travel"),
        ("racks", "bar_moves"),
    ];
    let garbage = [Value::Null, json!("abc mm"), json!("1,234"), json!("5 3/"), json!(1e9), json!("")];
    for (section, name) in nine {
        // A number for a choice is refused where the file is read.
        for bad in garbage.iter().filter(|b| name != "bar_moves" || !b.is_number()) {
            let r = rack(&with(&suiting(), section, name, bad.clone()));
            assert_eq!(r.verdict.kind, VerdictKind::Needs, "{name} {bad}: {:?}", r.verdict);
            assert!(r.verdict.sentence.mm.starts_with("Needs "), "{:?}", r.verdict.sentence);
        }
    }
    // A rack line is found where none was typed; one that cannot be read is not made up.
    assert_eq!(rack(&with(&suiting(), "racks", "rack_line", Value::Null)).verdict.kind, VerdictKind::Suits);
    for bad in ["abc mm", "1,234", "5 3/"] {
        let r = rack(&with(&suiting(), "racks", "rack_line", json!(bad)));
        assert_eq!((r.verdict.kind, r.line.status), (VerdictKind::Needs, "unread"), "{bad}: {:?}", r.verdict);
    }
    // The ninth is whichever spacing of the axes was measured: both must go.
    let plan = with(&with(&suiting(), "car", "axis_spacing_at_ground", Value::Null), "car", "axis_spacing_at_rod_end", Value::Null);
    assert_eq!(rack(&plan).verdict.kind, VerdictKind::Needs);
}

#[test]
fn what_an_optional_reading_no_longer_checks_stands_beside_the_verdict() {
    let optional = [
        ("racks", "inner_joint_limit", "inner joint angles"),
        ("racks", "outer_joint_limit", "outer joint angles"),
        ("racks", "rod_length_min", "rod against the donor’s shortest"),
        ("racks", "rod_length_max", "rod against the donor’s longest"),
        ("car", "tyre_width", "circle at the tyre’s outer edge"),
    ];
    for (section, name, unchecked) in optional {
        let r = rack(&with(&suiting(), section, name, Value::Null));
        assert_eq!(r.verdict.unchecked, [unchecked], "{name}");
        assert_eq!(r.verdict.kind, VerdictKind::Suits, "{name}: {:?}", r.verdict);
    }
    let assumed = [
        ("racks", "offset", "rack taken as centred on the car"),
        ("car", "caster", "caster taken as 4.5°, between 2° and 7°"),
        ("car", "kingpin_inclination", "steering axes taken as upright; inclination 6° to 14° and caster 2° to 7° are in the ±"),
    ];
    for (section, name, what) in assumed {
        assert_eq!(rack(&with(&suiting(), section, name, Value::Null)).verdict.assumed, [what], "{name}");
    }
    // Without the height the tilt of the outer joints is not known either.
    let level = rack(&with(&suiting(), "racks", "height", Value::Null)).verdict;
    assert_eq!(
        (level.assumed, level.unchecked),
        (vec!["inner joints taken as level with the tie-rod ends"], vec!["outer joint angles".to_owned()])
    );
    // One spacing of the axes for both, where no inclination leads from one to the other.
    for (name, what) in [
        ("axis_spacing_at_rod_end", "axis spacing at the ground taken for that at tie-rod-end height"),
        ("axis_spacing_at_ground", "axis spacing at tie-rod-end height taken for that at the ground"),
    ] {
        let plan = with(&with(&suiting(), "car", name, Value::Null), "car", "kingpin_inclination", Value::Null);
        assert!(rack(&plan).verdict.assumed.contains(&what), "{name}");
    }
}

#[test]
fn what_cannot_be_read_is_named_and_never_a_number() {
    let r = rack(&with(&suiting(), "car", "right_arm_fore_aft", json!("13o mm behind")));
    assert_eq!((r.verdict.kind, r.verdict.unread), (VerdictKind::Needs, vec!["Right tie-rod end, fore and aft"]));
    assert!(r.verdict.sentence.mm.starts_with("Right tie-rod end, fore and aft cannot be read"), "{:?}", r.verdict.sentence);
    // A reserve that cannot be read is not a reserve of nothing.
    let r = rack(&with(&suiting(), "limits", "reserve", json!("ten mm")));
    assert_eq!(r.verdict.kind, VerdictKind::Needs);
    assert!(r.results.iter().filter(|x| x.name == "lock_inner").all(|x| x.value.is_none()));
}

#[test]
fn a_reversed_rack_is_solved_as_if_turned_round_and_outranks_everything() {
    let right = rack(&suiting());
    let wrong = rack(&with(&suiting(), "racks", "bar_moves", json!("left")));
    assert_eq!(wrong.verdict.kind, VerdictKind::Backwards);
    assert_eq!(wrong.results, right.results, "its other figures stay comparable");
    // Even where something of the ten is missing, as long as the linkage is known.
    let less = with(&with(&suiting(), "racks", "bar_moves", json!("left")), "car", "wheelbase", Value::Null);
    assert_eq!(rack(&less).verdict.kind, VerdictKind::Backwards);
}

/// The finding of that name that failed.
fn failed<'a>(r: &'a RackView, name: &str) -> &'a donorack::Finding {
    let hit = r.findings.iter().find(|f| f.name == name && f.kind == donorack::Kind::Fail);
    hit.unwrap_or_else(|| panic!("no failed {name}: {:#?}", r.findings))
}

fn value(r: &RackView, name: &str, side: &str) -> f64 {
    let hit = r.results.iter().find(|x| x.name == name && x.side == side);
    hit.and_then(|x| x.value).unwrap_or_else(|| panic!("no {name} {side}"))
}

#[test]
fn a_rack_pushed_past_its_toggle_needs_the_stop_before_it() {
    let r = rack(&with(&suiting(), "racks", "travel", json!(230)));
    let f = failed(&r, "reserve");
    // 10 mm (common practice) before the nearest toggle, which the rack's own end lies beyond.
    let toggle = value(&r, "toggle_right_wheel", "bar to the left");
    assert!(toggle < 115.0, "{toggle}");
    let stop = toggle - 10.0;
    assert!((value(&r, "usable_travel", "bar to the left") - stop).abs() < 1e-9);
    // What must not be exceeded is rounded down.
    let told = format!("{:.1} mm", (stop * 10.0).floor() / 10.0);
    assert!(f.reason.mm.contains(&told) && f.title.mm.starts_with("Goes past the toggle"), "{} {}", f.title.mm, f.reason.mm);
    cured(&with(&suiting(), "racks", "travel", json!(230)), f);
    assert_eq!(r.verdict.kind, VerdictKind::Fails);
    let usable = r.results.iter().find(|x| x.name == "usable_travel").expect("a usable travel");
    assert_eq!(usable.notes, ["ended by the reserve before the toggle"]);
}

#[test]
fn a_rack_pushed_past_its_fold_back_needs_the_stop_before_it() {
    // Unlike arms and a rack far off centre (invented): the left wheel folds back before anything toggles.
    let plan = json!({
        "donorack": 1,
        "car": {"wheelbase": 2750, "front_track": 1490, "axis_spacing_at_rod_end": 1400, "arm_fore_aft": "95 ahead", "arm_inboard": "9 inboard",
                "right_arm_fore_aft": "171 ahead", "right_arm_inboard": "7 outboard"},
        "racks": [{"inner_joint_spacing": 1056, "travel_per_turn": 50, "travel": 120, "rack_line": "71 ahead", "offset": "188 left", "bar_moves": "left"}]
    });
    let r = rack(&plan);
    let fold = value(&r, "fold_back_left_wheel", "bar to the right");
    for toggle in ["toggle_left_wheel", "toggle_right_wheel"] {
        assert!(value(&r, toggle, "bar to the right") < fold && fold < -40.0, "fold-back {fold}");
    }
    let f = r.findings.iter().find(|f| f.name == "reserve" && f.side == "bar to the right").expect("the reserve is judged each way");
    assert_eq!(f.kind, donorack::Kind::Fail);
    assert!(f.title.mm.contains("fold-back"), "{}", f.title.mm);
    assert!(f.reason.mm.contains(&format!("{:.1} mm", ((-fold - 10.0) * 10.0).floor() / 10.0)), "{}", f.reason.mm);
}

#[test]
fn a_rack_pushed_past_a_joint_limit_needs_the_stop_there() {
    let r = rack(&with(&suiting(), "racks", "inner_joint_limit", json!(4)));
    let f = failed(&r, "inner_joint");
    let stop = value(&r, "usable_travel", "bar to the left");
    assert!(stop < 70.0 && f.reason.mm.contains(&format!("{:.1} mm", (stop * 10.0).floor() / 10.0)), "{} {stop}", f.reason.mm);
    // There the inner joint stands at its limit.
    let largest = value(&r, "inner_joint", "left wheel").max(value(&r, "inner_joint", "right wheel"));
    assert!((largest - 4.0).abs() < 1e-9, "{largest}");
}

#[test]
fn a_margin_smaller_than_its_tolerance_is_too_close_to_call() {
    let lock = value(&rack(&suiting()), "lock_inner", "lock left");
    let plan = with(&suiting(), "limits", "lock_inner", json!(lock - 0.05));
    assert_eq!(rack(&plan).verdict.kind, VerdictKind::Close);
    let plan = with(&suiting(), "limits", "lock_inner", json!(lock + 3.0));
    assert_eq!(rack(&plan).verdict.kind, VerdictKind::Fails);
}

/// The plan with a cure's changes made.
fn changed(plan: &Value, cure: &donorack::Cure) -> Value {
    let number = |v: Option<f64>, name: &str| match (v, name) {
        (None, _) => Value::Null,
        (Some(v), "bar_moves") => json!(if v > 0.0 { "left" } else { "right" }),
        (Some(v), _) => json!(v),
    };
    cure.change.iter().fold(plan.clone(), |plan, c| with(&plan, c.section, c.field, number(c.value, c.field)))
}

/// Every cure of a finding is made, and the rack evaluated again: what it says still fails or is too close does, and nothing else.
fn cured(plan: &Value, finding: &donorack::Finding) {
    use donorack::Kind;
    assert!(!finding.cures.is_empty(), "{finding:#?}");
    for cure in &finding.cures {
        let r = rack(&changed(plan, cure));
        let mut still: Vec<&str> = Vec::new();
        for f in r.findings.iter().filter(|f| f.judged && matches!(f.kind, Kind::Fail | Kind::Close)) {
            if !still.contains(&f.name) {
                still.push(f.name);
            }
        }
        let mut told = cure.still.clone();
        still.sort_unstable();
        told.sort_unstable();
        assert_eq!(still, told, "{cure:?}");
        if told.is_empty() {
            assert_eq!(r.verdict.kind, VerdictKind::Suits, "{cure:?} {:?}", r.verdict);
        }
    }
}

#[test]
fn every_way_named_to_the_wanted_lock_reaches_it() {
    let plan = with(&suiting(), "limits", "lock_inner", json!(36));
    let r = rack(&plan);
    let f = failed(&r, "lock");
    for part in ["take a rack with", "other steering arms", "accept", " shorter at the same angle"] {
        assert!(f.remedy.mm.to_lowercase().contains(part), "{}", f.remedy.mm);
    }
    cured(&plan, f);
}

/// A rack that is fitted, and the room for one, stay in the car when the arms are changed; what counts from the tie-rod ends is then another
/// figure, part of the change and said with it.
#[test]
fn other_arms_leave_rack_and_room_where_they_are() {
    let fitted = with(&suiting(), "limits", "lock_inner", json!(36));
    let mut free = with(&fitted, "racks", "rack_line", Value::Null);
    (free["car"]["rack_line_from"], free["car"]["rack_line_to"]) = (json!("20 ahead"), json!("30 behind"));
    for (plan, typed) in [(fitted, vec![("rack_line", -5.0)]), (free, vec![("rack_line_from", 20.0), ("rack_line_to", -30.0)])] {
        let r = rack(&plan);
        let f = failed(&r, "lock");
        let arms: Vec<_> = f.cures.iter().filter(|cure| cure.text.mm.contains("other steering arms")).collect();
        assert!(!arms.is_empty(), "{}", f.remedy.mm);
        for cure in arms {
            let becomes = |name: &str| cure.change.iter().find(|c| c.field == name).and_then(|c| c.value).expect(name);
            for (name, was) in &typed {
                assert!((becomes(name) - was - (-140.0 - becomes("arm_fore_aft"))).abs() < 1e-9, "{name}: {cure:?}");
            }
            assert!(
                cure.text.mm.contains("the rack left where it is") || cure.text.mm.contains("the room for the rack then from"),
                "{cure:?}"
            );
        }
        cured(&plan, f);
    }
}

#[test]
fn readings_that_contradict_each_other_give_no_figure() {
    let clashes = [
        with(&suiting(), "racks", "turns", json!(3.4)),
        with(&suiting(), "car", "scrub_radius", json!("60 inboard")),
        with(&suiting(), "car", "rod_end_spacing", json!(1500)),
        with(&suiting(), "racks", "rod_length_min", json!(500)),
        with(&with(&suiting(), "car", "arm_length", json!("120 behind")), "car", "arm_angle", json!("6 inboard")),
    ];
    for plan in clashes {
        let r = rack(&plan);
        assert_eq!(r.verdict.kind, VerdictKind::Needs, "{:?}", r.verdict);
        assert!(r.findings.iter().any(|f| f.name == "contradiction" && !f.reason.mm.contains("{}")), "{:?}", r.findings);
    }
    // Turns that contradict travel: nothing that leans on them is shown.
    let r = rack(&with(&suiting(), "racks", "turns", json!(3.4)));
    for name in ["travel", "travel_per_turn", "turns", "ratio_centre", "lock_inner", "circle_centre"] {
        assert!(r.results.iter().filter(|x| x.name == name).all(|x| x.value.is_none() && x.why.contains("agree")), "{name}");
    }
    assert!(value(&r, "rod_length", "left wheel") > 0.0, "what does not lean on them stays");
    // Turns that agree change nothing.
    assert_eq!(rack(&with(&suiting(), "racks", "turns", json!(2.8))).verdict.kind, VerdictKind::Suits);
}

#[test]
fn a_rod_that_cannot_reach_and_arms_that_cross_are_said() {
    let said = |plan: &Value| {
        let r = rack(plan);
        assert_eq!(r.verdict.kind, VerdictKind::Fails, "{:?}", r.verdict);
        r.verdict.sentence.mm
    };
    assert!(said(&with(&suiting(), "racks", "rod_length", json!(150))).contains("too short"));
    assert!(said(&with(&suiting(), "racks", "rod_length", json!(900))).contains("too long"));
    assert!(said(&with(&suiting(), "racks", "inner_joint_spacing", json!(1450))).contains("further apart"));
}

#[test]
fn everything_that_can_be_answered_is() {
    // A rack with travel and travel per turn alone gives turns; with the arms a first ratio.
    let r = rack(&json!({"donorack": 1, "racks": [{"travel": 144, "travel_per_turn": 48}]}));
    assert_eq!(value(&r, "turns_bare", ""), 3.0);
    assert_eq!(r.verdict.kind, VerdictKind::Needs);
    let r = rack(&json!({"donorack": 1, "car": {"arm_fore_aft": "140 behind"}, "racks": [{"travel": 144, "travel_per_turn": 48}]}));
    // 2π·140/48
    assert!((value(&r, "ratio_first", "") - 18.325_957_145_940_46).abs() < 1e-12);
    // Any two of travel, travel per turn and turns give the third.
    let r = rack(&json!({"donorack": 1, "racks": [{"travel": 144, "turns": 3}]}));
    assert_eq!(value(&r, "travel_per_turn", ""), 48.0);
    let r = rack(&json!({"donorack": 1, "racks": [{"travel_per_turn": 48, "turns": 3}]}));
    assert_eq!(value(&r, "travel", ""), 144.0);
}

/// A second rack takes over how high and how far off centre racks are fitted, and stands at its own best line.
#[test]
fn a_second_rack_takes_the_first_ones_height_and_its_own_line() {
    let mut plan = suiting();
    plan["racks"][0]["name"] = json!("first");
    let second = json!({"inner_joint_spacing": 640, "travel_per_turn": 50, "travel": 140, "bar_moves": "right"});
    plan["racks"].as_array_mut().expect("racks").push(second);
    let view = evaluate(&Plan::from_json(&plan.to_string()).expect("readable"));
    assert_eq!((view.racks[1].fields[&"height"].status, view.racks[1].fields[&"height"].from.as_str()), ("carried", "first"));
    assert_eq!((view.racks[0].line.status, view.racks[1].line.status), ("typed", "found"));
    assert_eq!(view.racks[1].fields[&"rack_line"].status, "found");
    assert_eq!(view.racks[1].verdict.kind, VerdictKind::Suits);
    // Typed at that line, the figures are the same.
    let mut typed = plan.clone();
    typed["racks"][1]["rack_line"] = json!(view.racks[1].line.at);
    let again = evaluate(&Plan::from_json(&typed.to_string()).expect("readable"));
    assert_eq!(again.racks[1].results, view.racks[1].results);
}

/// Where the linkage is too near toggle with the wheels straight, that is what is said: no joint is blamed whose limit nobody gave, no stop
/// is asked for at the middle, and no sentence has a hole.
#[test]
fn a_linkage_without_travel_is_said_to_be_one() {
    let short = with(&with(&suiting(), "car", "arm_fore_aft", json!("12 behind")), "racks", "inner_joint_limit", Value::Null);
    let r = rack(&short);
    let lock = r.findings.iter().find(|f| f.name == "lock").expect("judged");
    assert!(lock.title.mm.contains("too near toggle or fold-back with the wheels straight"), "{lock:?}");
    for f in &r.findings {
        assert!(!f.title.mm.contains("stop at") && !f.remedy.mm.contains("a stop"), "{f:?}");
    }
    let ends = donorack::axle(&Plan::from_json(&short.to_string()).expect("the plan is readable"), 0, 1.0).map(|seen| seen.caption.mm);
    assert!(!format!("{ends:?}").contains(" at ."), "{ends:?}");
}

/// Two limits that exclude each other are named.
#[test]
fn limits_the_wrong_way_round_are_named() {
    for (low, high, word) in
        [("ratio_min", "ratio_max", "ratio"), ("turns_min", "turns_max", "turns"), ("ackermann_min", "ackermann_max", "Ackermann")]
    {
        let r = rack(&with(&with(&suiting(), "limits", low, json!(9)), "limits", high, json!(4)));
        let clash = r.findings.iter().find(|f| f.name == "contradiction").expect("noticed");
        assert!(clash.title.mm.contains(word) && !clash.origin.contains('±'), "{clash:?}");
    }
}
