//! What is said of one car, slip by slip: cars that must not suit, advice that must cure, figures that must not be told as if they were
//! measured. The car and its racks are invented.
#![allow(clippy::panic, reason = "a test fails by panicking")]

use donorack::{Cure, Finding, Kind, Plan, RackView, VerdictKind, evaluate};
use donorack_tests::independent::{Car, Numbers};
use loose::loose;
use rand::rngs::StdRng;
use rand::{RngExt, SeedableRng};
use serde_json::{Value, json};

#[path = "said/loose.rs"]
mod loose;

/// A car and a rack that suit from above: mm and degrees.
fn good() -> Value {
    json!({
        "donorack": 1,
        "car": {
            "wheelbase": 2540, "front_track": 1422, "rear_track": 1400, "rod_end_spacing": 1280, "arm_fore_aft": -132, "arm_inboard": 18,
            "tyre_width": 165, "corner_ahead": 560, "corner_width": 1500
        },
        "racks": [{
            "travel_per_turn": 46, "travel": 136, "inner_joint_spacing": 590, "bar_moves": "right", "rack_line": 18, "offset": 0, "height": 0
        }],
        "limits": {}
    })
}

/// The same with these values of the car and of the rack; null takes one away.
fn with(car: Value, rack: Value) -> Value {
    let mut plan = good();
    for (section, changes) in [("car", car), ("racks", rack)] {
        let place = if section == "racks" { &mut plan["racks"][0] } else { &mut plan[section] };
        let place = place.as_object_mut().expect("a section is an object");
        for (name, value) in changes.as_object().expect("changes").clone() {
            if value.is_null() {
                place.remove(&name);
            } else {
                place.insert(name, value);
            }
        }
    }
    plan
}

fn of_car(car: Value) -> Value {
    with(car, json!({}))
}

fn of_rack(rack: Value) -> Value {
    with(json!({}), rack)
}

fn limited(mut plan: Value, name: &str, value: Value) -> Value {
    plan["limits"][name] = value;
    plan
}

fn rack(plan: &Value) -> RackView {
    let plan = Plan::from_json(&plan.to_string()).unwrap_or_else(|e| panic!("{e}: {plan}"));
    let r = RackView::clone(&evaluate(&plan).racks[0]);
    whole_sentences(&r);
    loose(r)
}

/// No sentence prints a missing value: nothing stands between two spaces, before a full stop, or as a bare unit.
fn whole_sentences(r: &RackView) {
    let findings = r.findings.iter().flat_map(|f| [&f.head, &f.title, &f.reason, &f.remedy]);
    let verdict = [&r.verdict.head, &r.verdict.sentence, &r.line.text, &r.line.short];
    for text in findings.chain(verdict).chain(&r.verdict.notices) {
        for words in [&text.mm, &text.inch] {
            for hole in ["  ", " .", " ,", "{}", "NaN", "inf", "()", "-0.0"] {
                assert!(!words.contains(hole), "“{hole}” in “{words}”");
            }
        }
    }
}

fn finding<'a>(r: &'a RackView, name: &str) -> &'a Finding {
    r.findings.iter().find(|f| f.name == name).unwrap_or_else(|| panic!("no {name}: {:#?}", r.findings))
}

fn value(r: &RackView, name: &str, side: &str) -> f64 {
    let hit = r.results.iter().find(|x| x.name == name && x.side == side);
    hit.and_then(|x| x.value).unwrap_or_else(|| panic!("no {name} {side}"))
}

fn pm(r: &RackView, name: &str, side: &str) -> f64 {
    r.results.iter().find(|x| x.name == name && x.side == side).and_then(|x| x.pm).unwrap_or_else(|| panic!("no ± of {name}"))
}

fn notice<'a>(r: &'a RackView, name: &str) -> &'a Finding {
    let f = finding(r, name);
    assert_eq!((f.kind, f.judged), (Kind::Notice, false));
    f
}

#[test]
fn the_car_as_it_is_suits_from_above_and_nothing_is_unusual() {
    let r = rack(&good());
    assert_eq!(r.verdict.kind, VerdictKind::Suits, "{:?}", r.verdict);
    assert!(r.verdict.sentence.mm.starts_with("Suits from above") && r.verdict.notices.is_empty(), "{:?}", r.verdict);
    assert!(!r.findings.iter().any(|f| f.kind == Kind::Notice));
}

#[test]
fn wheels_that_steer_against_each_other_are_a_failure_of_their_own() {
    let plan = with(json!({"right_arm_fore_aft": 150}), json!({"travel": 178, "inner_joint_spacing": 500, "rack_line": -30}));
    let r = rack(&plan);
    assert_eq!((r.verdict.kind, r.verdict.because), (VerdictKind::Opposed, "opposed"), "{:?}", r.verdict);
    assert!(r.verdict.head.mm.contains("against each other"));
    // It outranks steering backwards, and is there whichever way the rack goes.
    let reversed =
        with(json!({"right_arm_fore_aft": 150}), json!({"travel": 178, "inner_joint_spacing": 500, "rack_line": -30, "bar_moves": "left"}));
    assert_eq!(rack(&reversed).verdict.kind, VerdictKind::Opposed);
    for name in ["ratio_centre", "lock_inner", "circle_centre", "turns"] {
        assert!(r.results.iter().filter(|x| x.name == name).all(|x| x.value.is_none() && x.why.contains("against each other")), "{name}");
    }
}

#[test]
fn rods_of_a_typed_length_are_judged_by_the_toe_that_they_make() {
    for (rod, travel, toe) in [(355.0, 136, 4.1), (365.0, 146, 8.4), (405.0, 146, 26.1)] {
        let r = rack(&of_rack(json!({"rod_length": rod, "travel": travel})));
        assert_eq!((r.verdict.kind, r.verdict.because), (VerdictKind::Fails, "toe"), "{rod}: {:?}", r.verdict);
        for side in ["left wheel", "right wheel"] {
            assert!((value(&r, "toe_centre", side) - toe).abs() < 0.05, "{rod}");
            assert!((value(&r, "rod_length_straight", side) - 345.5).abs() < 0.05, "{rod}");
        }
        let f = finding(&r, "toe");
        assert!(f.reason.mm.contains("345.5 mm stands the wheel straight") && f.title.mm.contains("toe the wheels in"), "{f:?}");
        // Where the wheels really point: toe-in takes its degrees off the inner wheel's lock, on either side.
        let straight = rack(&of_rack(json!({"travel": travel})));
        assert!(value(&straight, "lock_inner", "lock left") - value(&r, "lock_inner", "lock left") > toe, "{rod}");
    }
    // A rod of the right length suits.
    assert_eq!(rack(&of_rack(json!({"rod_length": 345.5}))).verdict.kind, VerdictKind::Suits);
}

#[test]
fn the_outer_joint_fails_by_its_tilt_and_is_not_checked_where_that_is_not_known() {
    // Upright axes, for sure, so that the tilt is that of the rod out of level.
    let upright = json!({"kingpin_inclination": "0 ± 0 deg", "caster": "0 ± 0 deg", "rod_end_height": 250});
    let r = rack(&with(upright.clone(), json!({"height": 199, "outer_joint_limit": 15})));
    assert_eq!(r.verdict.kind, VerdictKind::Fails, "{:?}", r.verdict);
    let f = finding(&r, "outer_joint");
    assert_eq!(f.kind, Kind::Fail);
    // tan 30° · 345 mm = 199 mm.
    assert!((f.value.expect("to spare") + 15.0).abs() < 0.1, "{f:?}");
    let r = rack(&with(upright, json!({"height": 40, "outer_joint_limit": 15})));
    assert_eq!(finding(&r, "outer_joint").kind, Kind::Pass, "{:?}", finding(&r, "outer_joint"));
    // Without a height nobody knows.
    let r = rack(&of_rack(json!({"height": null, "outer_joint_limit": 15})));
    assert!(r.verdict.unchecked.iter().any(|u| u == "outer joint angles") && finding(&r, "outer_joint").kind == Kind::Missing);
    // Without the axes' inclination the ± says that it may be much more.
    let r = rack(&of_rack(json!({"height": 40, "outer_joint_limit": 15})));
    assert_ne!(finding(&r, "outer_joint").kind, Kind::Pass);
}

/// Forty cars with arms ahead, inclined axes and every reading exact: the truth, by the independent solver in space, lies within the ± of
/// what is said before inclination and caster are known, and to every digit on it once they are.
#[test]
fn inclined_axes_are_in_the_tolerance_until_they_are_typed_and_exact_then() {
    let mut random = StdRng::seed_from_u64(9_010);
    let mut seen = 0;
    for n in 0..80 {
        let ahead = if n % 2 == 0 { 1.0 } else { -1.0 };
        let mut between = |low: f64, high: f64| (random.random_range(low..high) * 10.0_f64).round() / 10.0;
        let (lean, caster, height) = (between(6.0, 14.0), between(2.0, 7.0), between(180.0, 260.0));
        let (arm, inboard, line) = (between(110.0, 150.0), ahead * between(-25.0, 0.0), between(-20.0, 20.0));
        let sure = |v: f64, plus: &str, minus: &str| format!("{} ± 0 mm {}", v.abs(), if v < 0.0 { minus } else { plus });
        let car = json!({
            "wheelbase": "2540 ± 0 mm", "front_track": "1422 ± 0 mm", "rod_end_spacing": "1280 ± 0 mm", "tyre_width": null,
            "arm_fore_aft": sure(ahead * arm, "ahead", "behind"), "arm_inboard": sure(inboard, "inboard", "outboard"),
        });
        let fit = json!({
            "travel_per_turn": "46 ± 0 mm", "travel": "130 ± 0 mm", "inner_joint_spacing": "590 ± 0 mm", "rack_line": sure(line, "ahead", "behind"),
            "offset": "0 ± 0 mm", "height": "0 ± 0 mm", "bar_moves": if ahead > 0.0 { "left" } else { "right" },
        });
        let plain = with(car, fit);
        let mut known = plain.clone();
        for (name, value) in [("kingpin_inclination", lean), ("caster", caster), ("rod_end_height", height)] {
            known["car"][name] = json!(value);
        }
        let truth = |plan: &Value| {
            let mut numbers = Numbers::of(plan, 0).unwrap_or_else(|e| panic!("{e}"));
            numbers.put("rack_line", line);
            Car::new(numbers).ok().and_then(|car| car.results()).expect("a position at both locks")
        };
        let want = truth(&known);
        let (before, after) = (rack(&plain), rack(&known));
        for name in ["lock_inner", "lock_outer", "toe_out_lock", "ackermann_angle", "circle_centre"] {
            let (said, off) = (value(&before, name, "lock left"), pm(&before, name, "lock left"));
            let exact = value(&after, name, "lock left");
            let Some(want) = want.get(name).and_then(|both| both[0]) else { panic!("the solver has no {name}") };
            assert!((exact - want).abs() < 1e-8 * want.abs().max(1.0), "car {n}: {name} {exact}, solver {want}");
            assert!((said - want).abs() <= off * 1.02, "car {n}: {name} {said} ± {off}, and it is {want}");
            seen += 1;
        }
        assert!(before.verdict.assumed.iter().any(|a| a.contains("upright")), "{:?}", before.verdict.assumed);
        let note = before.results.iter().find(|x| x.name == "lock_inner").expect("a lock");
        assert!(note.notes.iter().any(|t| t.contains("upright")), "{note:?}");
    }
    assert_eq!(seen, 400);
}

/// With the axes' ground spacing alone the rod may be some 44 mm shorter: that is in its ±, and its range is not judged as if measured.
#[test]
fn what_leans_on_an_assumption_carries_it() {
    let plan =
        with(json!({"rod_end_spacing": null, "axis_spacing_at_ground": 1402}), json!({"rod_length_min": 330, "rod_length_max": 420}));
    let r = rack(&plan);
    assert!(pm(&r, "rod_length", "left wheel") > 40.0, "{}", pm(&r, "rod_length", "left wheel"));
    assert!(r.findings.iter().any(|f| f.name == "rod_length" && f.kind == Kind::Close), "{:#?}", r.findings);
    assert_eq!(r.verdict.kind, VerdictKind::Close);
    let f = r.findings.iter().find(|f| f.name == "rod_length" && f.kind == Kind::Close).expect("close");
    assert!(f.remedy.mm.contains("Measure: kingpin inclination"), "{f:?}");
}

#[test]
fn what_is_absurd_is_called_unusual_and_the_slip_is_guessed() {
    let says = |plan: &Value, name: &str, guess: &str| {
        let r = rack(plan);
        let f = notice(&r, name);
        assert!(f.remedy.mm.contains(guess), "{name}: {}", f.remedy.mm);
        assert!(r.verdict.notices.iter().any(|n| n.mm.contains(&f.title.mm)), "{:?}", r.verdict.notices);
        assert!(f.origin.contains("common practice"));
    };
    // Travel per turn taken over two turns; half the travel; half the track; inches and centimetres in a field of mm.
    says(&of_rack(json!({"travel_per_turn": 92})), "unusual_ratio", "taken over two turns");
    says(&of_rack(json!({"travel_per_turn": null, "travel_two_turns": 46})), "unusual_ratio", "taken over one");
    says(&of_rack(json!({"travel": 68})), "unusual_turns", "one way only");
    says(&of_rack(json!({"travel": 68})), "travel_one_way", "Measure again");
    says(&of_car(json!({"front_track": 711, "rod_end_spacing": 1280})), "unusual_wheelbase", "only half of it");
    says(&of_rack(json!({"travel_per_turn": 5.8})), "unusual_ratio", "centimetres");
    says(&of_car(json!({"rod_end_spacing": 1422})), "unusual_ends", "the track typed for the spacing");
    // The others of the list.
    for (plan, name) in [
        (of_car(json!({"wheelbase": 600})), "unusual_wheelbase"),
        (of_rack(json!({"inner_joint_spacing": 1150, "rack_line": 0})), "unusual_rod"),
        (of_rack(json!({"height": 280})), "unusual_tilt"),
        (of_car(json!({"wheelbase": 6400})), "unusual_circle"),
        (of_car(json!({"axis_spacing_at_ground": 1290, "front_track": 1400})), "unusual_axes"),
        (of_car(json!({"rod_end_spacing": "1280 ± 200 mm"})), "unusual_tolerance"),
        (of_car(json!({"arm_fore_aft": "5 3/16 mm behind"})), "fraction_in_mm"),
    ] {
        notice(&rack(&plan), name);
    }
    // A band is a setting; turned off it says nothing.
    let wide = limited(of_rack(json!({"travel_per_turn": 92})), "usual_ratio_min", json!(5));
    assert!(!rack(&wide).findings.iter().any(|f| f.name == "unusual_ratio"));
    let off = limited(of_rack(json!({"travel_per_turn": 92})), "usual_ratio_min", json!("off"));
    assert!(!rack(&off).findings.iter().any(|f| f.name == "unusual_ratio"));
}

#[test]
fn wall_to_wall_is_never_less_than_the_tyre_needs() {
    let r = rack(&of_car(json!({"corner_ahead": 0, "corner_width": 900})));
    for side in ["lock left", "lock right"] {
        assert_eq!(value(&r, "wall_to_wall", side), value(&r, "circle_edge", side));
    }
}

#[test]
fn a_reading_that_nothing_uses_is_said_so_beside_it() {
    let noted = |plan: &Value, section: &str, name: &str| {
        let view = evaluate(&Plan::from_json(&plan.to_string()).expect("readable"));
        let fields = if section == "car" { &view.car } else { &view.racks[0].fields };
        fields.get(name).unwrap_or_else(|| panic!("no {name}")).note.clone()
    };
    for (name, value, with) in [
        ("second_corner_ahead", json!(500), "body’s width"),
        ("second_corner_width", json!(1500), "how far ahead"),
        ("arm_length", json!(-133), "arm’s angle"),
        ("arm_angle", json!(8), "arm’s length"),
        ("kingpin_inclination", json!(8), "height of the tie-rod ends"),
        ("rod_end_height", json!(220), "kingpin inclination"),
        ("caster", json!(3), "kingpin inclination"),
    ] {
        let note = noted(&of_car(json!({name: value})), "car", name);
        assert!(note.contains("Not used yet") && note.contains(with), "{name}: {note}");
    }
    let note = noted(&of_rack(json!({"height": null, "outer_joint_limit": 20})), "racks", "outer_joint_limit");
    assert!(note.contains("height of the inner joints"), "{note}");
    assert_eq!(noted(&of_car(json!({"kingpin_inclination": 8, "rod_end_height": 220})), "car", "rod_end_height"), "");
    assert!(noted(&of_car(json!({"arm_fore_aft": "5 3/16 mm behind"})), "car", "arm_fore_aft").contains("inches"));
}

/// The lock that the reserve allows and the angle between rod and arm exclude each other there: only the stop that keeps both is told.
#[test]
fn a_stop_is_only_told_where_everything_passes_with_it() {
    let r = rack(&of_rack(json!({"travel": 240})));
    let f = finding(&r, "reserve");
    assert_eq!(f.kind, Kind::Fail);
    let stops: Vec<f64> = f.cures.iter().flat_map(|c| &c.change).filter(|c| c.field == "stop_left").filter_map(|c| c.value).collect();
    assert_eq!(stops.len(), 1, "{:?}", f.cures);
    // 91.9 mm keeps the travel and leaves too little between rod and arm.
    let at = |d: f64| rack(&of_rack(json!({"travel": 240, "stop_left": d, "stop_right": d}))).verdict.kind;
    assert_ne!(at(91.9), VerdictKind::Suits);
    assert_eq!(at(stops[0]), VerdictKind::Suits);
    assert!(f.remedy.mm.contains(&format!("no further than {:.1} mm", stops[0])), "{}", f.remedy.mm);
    // Nothing is advised that cannot be accepted: no circle of a kilometre, no travel of less than nothing.
    for travel in [20, 30, 60, 100, 110, 130] {
        let r = rack(&of_rack(json!({"travel": travel})));
        for f in &r.findings {
            assert!(!f.remedy.mm.contains('−'), "{}", f.remedy.mm);
        }
        let lock = finding(&r, "lock");
        let accepts = lock.cures.iter().flat_map(|c| &c.change).filter(|c| c.field == "lock_inner").filter_map(|c| c.value);
        for wanted in accepts {
            assert!(wanted >= 15.0 && wanted <= value(&r, "lock_inner", "lock left"), "{wanted}");
        }
    }
}

/// Which way a rack line must move, and by how much, follows from the geometry: for an arm behind with the rack behind the tie-rod ends
/// it is forward.
#[test]
fn the_rack_line_is_moved_the_way_that_helps() {
    for line in [-80.0, -90.0, -100.0] {
        let r = rack(&of_rack(json!({"rack_line": line})));
        let f = r.findings.iter().find(|f| f.name == "transmission" && f.kind == Kind::Fail);
        let f = f.unwrap_or_else(|| panic!("{line}: {:#?}", r.findings));
        let moved = f.cures.iter().flat_map(|c| &c.change).find(|c| c.field == "rack_line").and_then(|c| c.value);
        let moved = moved.unwrap_or_else(|| panic!("{line}: {:?}", f.remedy));
        assert!(moved > line && f.remedy.mm.contains("forward"), "{line} to {moved}: {}", f.remedy.mm);
        assert_eq!(rack(&of_rack(json!({"rack_line": moved}))).verdict.kind, VerdictKind::Suits);
    }
}

/// A lock that counts on a stop nobody was told to make says so, in the finding and beside the figure.
#[test]
fn a_lock_that_counts_on_a_stop_says_so() {
    let toggle = 101.9;
    let r = rack(&of_rack(json!({"travel": 2.0 * (toggle - 9.0)})));
    let reserve = finding(&r, "reserve");
    assert_eq!(reserve.kind, Kind::Close, "{reserve:?}");
    assert!(reserve.remedy.mm.contains("Make a stop outside the rack") && !reserve.cures.is_empty(), "{reserve:?}");
    let lock = r.results.iter().find(|x| x.name == "lock_inner").expect("a lock");
    assert!(lock.notes.iter().any(|n| n.contains("with a stop at") && n.contains("to be made")), "{lock:?}");
    assert!(finding(&r, "lock").reason.mm.contains("with a stop"), "{:?}", finding(&r, "lock"));
}

#[test]
fn what_was_shown_wrong() {
    // Clashes of ratios and turns are not in mm.
    for (low, high, unit) in [("ratio_min", "ratio_max", ": 1"), ("turns_min", "turns_max", "turns")] {
        let r = rack(&limited(limited(good(), low, json!(9)), high, json!(4)));
        assert!(!finding(&r, "contradiction").reason.mm.contains("mm"), "{unit}: {:?}", finding(&r, "contradiction").reason);
    }
    // A rod that fails against one end is not unchecked for want of the other under the same name.
    let r = rack(&of_rack(json!({"rod_length_max": 300})));
    assert_eq!(r.verdict.because, "rod_length");
    assert!(
        r.verdict.unchecked.iter().any(|u| u == "rod against the donor’s shortest")
            && !r.verdict.unchecked.iter().any(|u| u.contains("range"))
    );
    // What cannot be negative is told by its two ends where the ± reaches past nought.
    let r = rack(&with(
        json!({"kingpin_inclination": 8, "rod_end_height": 220, "caster": "4 ± 0.5 deg rearward"}),
        json!({"rack_line": "1 ± 3 mm ahead"}),
    ));
    let angle = r.results.iter().find(|x| x.name == "rod_angle").expect("an angle");
    assert!(angle.text.mm.starts_with("0° to "), "{:?}", angle.text);
    // Ackermann is a name.
    let r = rack(&limited(good(), "ackermann_max", json!(-150)));
    assert!(finding(&r, "ackermann_max").head.mm.starts_with("Ackermann"), "{:?}", finding(&r, "ackermann_max").head);
    // The published turning diameter is the one where the outer wheel rules.
    use donorack::ResultId;
    assert!(ResultId::CircleOuterRules.row().source.contains("SAE J695"));
    assert!(!ResultId::CircleCentre.row().source.contains("SAE J695"));
    // A reversed rack's curve is that of its figures.
    let (right, wrong) = (rack(&good()), rack(&of_rack(json!({"bar_moves": "left"}))));
    assert_eq!(right.curves.ratio, wrong.curves.ratio);
    // With unlike arms the page says from where the rack line counts.
    let r = rack(&of_car(json!({"right_arm_fore_aft": -126})));
    assert!(r.line.text.mm.contains("half-way between the two tie-rod ends"), "{:?}", r.line);
}

/// What somebody found who wanted it to be wrong: the ± of a size at nought, a toggle without a reserve, a line outside the room, a stop
/// beyond the rack's end.
#[test]
fn what_was_found_by_trying_to_make_it_say_something_false() {
    // A level rod may be tilted by the ± of its height: the joint is not sure to keep clear.
    let upright = json!({"kingpin_inclination": "0 ± 0 deg", "caster": "0 ± 0 deg", "rod_end_height": 250});
    let r = rack(&with(upright, json!({"height": "0 ± 20 mm above", "outer_joint_limit": 3})));
    assert_eq!(finding(&r, "outer_joint").kind, Kind::Close, "{:?}", finding(&r, "outer_joint"));
    assert!(pm(&r, "rod_tilt", "left wheel") > 3.0, "{}", pm(&r, "rod_tilt", "left wheel"));
    // Without a reserve the travel ends at the toggle, where there still are a lock and a circle; the stop that cures is told.
    let r = rack(&limited(of_rack(json!({"travel": 300})), "reserve", json!(0)));
    assert!(value(&r, "lock_inner", "lock left") > 40.0);
    assert!(finding(&r, "reserve").cures.iter().any(|c| c.still.is_empty()), "{:?}", finding(&r, "reserve"));
    // A typed line outside of the room that the car was said to have.
    let r = rack(&with(json!({"rack_line_from": -10, "rack_line_to": 10}), json!({"rack_line": 41})));
    notice(&r, "line_outside_room");
    // Stops that lie beyond the rack's own end do nothing, and are said to.
    let plan = Plan::from_json(&of_rack(json!({"stop_left": 90})).to_string()).expect("readable");
    assert!(evaluate(&plan).racks[0].fields[&"stop_left"].note.contains("beyond the rack"));
    // Where a line was found, a remedy names the one at which it was proved.
    let r = rack(&of_rack(json!({"rack_line": null, "travel": 80})));
    let f = r.findings.iter().find(|f| f.kind == Kind::Fail && !f.cures.is_empty()).unwrap_or_else(|| panic!("{:#?}", r.findings));
    assert!(f.cures.iter().all(|c| c.text.mm.contains("the rack line then")), "{:?}", f.cures);
    // Of a rack that steers backwards no line keeps every demand as it is.
    let r = rack(&of_rack(json!({"rack_line": null, "bar_moves": "left"})));
    assert!(r.line.text.mm.starts_with("Turned end for end: best"), "{:?}", r.line);
}

/// A second rack in the yard takes four answers: the first one's readings of the car, and a best line of its own.
#[test]
fn a_rack_in_a_bin_has_its_best_line_and_its_stretch() {
    let r = rack(&of_rack(json!({"rack_line": null})));
    assert_eq!((r.verdict.kind, r.line.status), (VerdictKind::Suits, "found"));
    assert!(r.verdict.sentence.mm.contains("(from ") && r.verdict.head.mm.starts_with("suits "), "{:?}", r.verdict);
    // The room is the car's: within a narrower one the best is there.
    let narrow = rack(&with(json!({"rack_line_from": -40, "rack_line_to": -25}), json!({"rack_line": null})));
    let at = narrow.line.at.expect("a line");
    assert!((-40.0..=-25.0).contains(&at), "{at}");
    // Either end may be named first, and a typed line outranks it.
    let turned = rack(&with(json!({"rack_line_from": -25, "rack_line_to": -40}), json!({"rack_line": null})));
    assert_eq!(turned.line.at, narrow.line.at);
    assert_eq!(rack(&of_car(json!({"rack_line_from": -40, "rack_line_to": -25}))).line.at, Some(18.0));
    // Travel over two turns is twice the travel per turn.
    let two = rack(&of_rack(json!({"travel_per_turn": null, "travel_two_turns": 92})));
    assert_eq!(value(&two, "ratio_centre", ""), value(&rack(&good()), "ratio_centre", ""));
}

/// A rack without a room that is wide enough: how far the room would have to reach is said, and cures.
#[test]
fn a_room_that_is_too_tight_says_how_far_it_would_have_to_reach() {
    let tight = with(
        json!({"axis_spacing_at_ground": 1330, "rack_line_from": "100 mm behind", "rack_line_to": "80 mm behind"}),
        json!({"rack_line": null}),
    );
    let r = rack(&tight);
    assert_eq!(r.verdict.kind, VerdictKind::Fails, "{:?}", r.verdict);
    let cure = finding(&r, "transmission").cures.iter().find(|c| c.text.mm.contains("make room")).expect("a cure");
    assert!(cure.still.is_empty() && cure.change.len() == 1 && cure.change[0].section == "car", "{cure:?}");
    let mut cured = tight.clone();
    cured["car"][cure.change[0].field] = json!(cure.change[0].value);
    assert_eq!(rack(&cured).verdict.kind, VerdictKind::Suits, "{cure:?}");
    // Less room than that does not do.
    cured["car"][cure.change[0].field] = json!(cure.change[0].value.map(|v| v - 12.0));
    assert_ne!(rack(&cured).verdict.kind, VerdictKind::Suits, "{cure:?}");
}

/// A ratio that no line reaches is the only thing that fails: the rack stands where all else is kept.
#[test]
fn what_is_out_of_reach_everywhere_blames_nothing_else() {
    let free = of_rack(json!({"rack_line": null}));
    assert_eq!(rack(&free).verdict.kind, VerdictKind::Suits);
    for (limit, x) in [("ratio_max", json!(9)), ("circle_max", json!("7 m")), ("ackermann_min", json!(250))] {
        let r = rack(&limited(free.clone(), limit, x));
        let failing: Vec<&str> = r.findings.iter().filter(|f| f.judged && f.kind == Kind::Fail).map(|f| f.name).collect();
        assert_eq!(failing, [limit], "{:?}", r.line);
        assert_eq!(r.verdict.because, limit);
    }
}

/// Toe of typed rods that is not judged is looked at all the same.
#[test]
fn toe_that_is_not_judged_is_noticed() {
    let toed = limited(of_rack(json!({"rod_length": 355})), "toe_max", json!("off"));
    let f = rack(&toed);
    let f = notice(&f, "unusual_toe");
    assert!(f.title.mm.contains("4.1°") && f.reason.mm.contains("2.0°"), "{f:?}");
    let straight = limited(of_rack(json!({"rod_length": 345.5})), "toe_max", json!("off"));
    assert!(rack(&straight).findings.iter().all(|f| f.name != "unusual_toe"));
}

/// The ± of a limit means nothing: it is said to be left out.
#[test]
fn the_tolerance_of_a_limit_is_said_to_be_left_out() {
    let plan = limited(good(), "lock_inner", json!("31 ± 2 deg"));
    let read = Plan::from_json(&plan.to_string()).unwrap_or_else(|e| panic!("{e}"));
    let all = serde_json::to_value(evaluate(&read)).unwrap_or_default();
    assert_eq!(all["limits"]["lock_inner"]["note"], "A limit is exact: its ± is left out.", "{}", all["limits"]);
    assert_eq!(all["limits"]["reserve"]["note"], "");
}

/// The plan with a cure's change made, each value by way of `written`.
fn changed(plan: &Value, cure: &Cure, written: impl Fn(f64) -> f64) -> Value {
    let mut plan = plan.clone();
    for c in &cure.change {
        let place = if c.section == "racks" { &mut plan["racks"][0] } else { &mut plan[c.section] };
        let place = place.as_object_mut().expect("a section is an object");
        match c.value {
            Some(v) => place.insert(c.field.to_owned(), json!(written(v))),
            None => place.remove(c.field),
        };
    }
    plan
}

/// Found by somebody who wanted it to be wrong: the circle of "accept …" was that of another line than the one told with it.
#[test]
fn the_circle_that_is_to_be_accepted_is_that_of_the_line_told_with_it() {
    let plan = json!({"donorack": 1, "car": {"wheelbase": 3237, "front_track": 1088, "scrub_radius": "65 mm inboard", "arm_fore_aft": "146.8 mm ahead",
        "arm_inboard": "32.8 mm inboard"}, "racks": [{"travel_per_turn": 60.8, "travel": 133.6, "inner_joint_spacing": 496.1, "bar_moves": "left",
        "height": "20.8 mm below"}], "limits": {"lock_inner": 36.6}});
    let r = rack(&plan);
    let all = r.findings.iter().flat_map(|f| &f.cures).filter(|c| c.text.mm.contains("accept "));
    let cure = all.clone().next().expect("less lock is offered");
    let after = rack(&changed(&plan, cure, |v| v));
    let circles = after.results.iter().filter(|x| x.name == "circle_centre");
    let told = |x: &donorack::RackView| x.line.at.unwrap_or(f64::NAN);
    assert!((told(&after) - told(&r)).abs() > 50.0, "the line moves far: {} to {}", told(&r), told(&after));
    assert!(
        circles.clone().any(|c| cure.text.mm.contains(&c.text.mm)),
        "{:?}: {:?}",
        cure.text,
        circles.map(|c| &c.text).collect::<Vec<_>>()
    );
}

/// Found likewise: a line told in inches, to the nearest fraction, was on the nearer side of what cures.
#[test]
fn a_line_that_cures_does_so_as_it_is_written_in_inches() {
    let room = json!({"donorack": 1, "car": {"wheelbase": 2232, "front_track": 1230, "scrub_radius": "19 mm outboard", "arm_fore_aft": "102.7 mm ahead",
        "arm_inboard": "31.4 mm inboard", "kingpin_inclination": 9.9, "rod_end_height": 324, "caster": "6.1 deg rearward",
        "rack_line_from": "50.0 mm behind", "rack_line_to": "13.3 mm behind"}, "racks": [{"travel_per_turn": 45.5, "travel": 165.7,
        "inner_joint_spacing": 633.4, "bar_moves": "left", "offset": "28.2 mm left", "stop_right": 84}],
        "limits": {"lock_inner": 38.3, "transmission_angle": 36.1}});
    let typed = json!({"donorack": 1, "car": {"wheelbase": "1884 ± 0.1 mm", "front_track": "1378 ± 0.2 mm", "scrub_radius": "10 mm outboard",
        "arm_fore_aft": "98.3 ± 0.2 mm ahead", "arm_inboard": "32.2 ± 0.2 mm inboard", "kingpin_inclination": 8.6, "rod_end_height": "232 ± 0.1 mm"},
        "racks": [{"travel_per_turn": "55.7 ± 0.5 mm", "travel": "112.2 ± 0.1 mm", "inner_joint_spacing": "559.2 ± 0.5 mm",
        "rack_line": "37.9 ± 0.2 mm ahead", "bar_moves": "left", "offset": "20.4 ± 0.2 mm right", "height": "24.2 mm below",
        "rod_length_min": "218.1 ± 0.1 mm", "rod_length_max": "357.8 ± 0.5 mm"}], "limits": {"ackermann_max": 126, "transmission_angle": 16.9}});
    let mut lines = 0;
    for plan in [room, typed] {
        let r = rack(&plan);
        for (f, cure) in r.findings.iter().flat_map(|f| f.cures.iter().map(move |c| (f, c))) {
            if !cure.change.iter().any(|c| c.field.starts_with("rack_line")) {
                continue;
            }
            lines += 1;
            let in_inches = rack(&changed(&plan, cure, |v| (v / 25.4 * 32.0).round() / 32.0 * 25.4));
            let all = in_inches.findings.iter().filter(|x| x.judged && x.kind != Kind::Pass);
            let rest: Vec<&str> = all.map(|x| x.name).filter(|n| !cure.still.contains(n)).collect();
            assert!(rest.is_empty(), "{}: {} leaves {rest:?}", f.name, cure.text.inch);
        }
    }
    assert!(lines >= 2, "{lines}");
}

/// Found likewise: a wish that is met only where something else fails drew the rack there, and that other thing was blamed.
#[test]
fn a_wish_gives_way_where_all_else_is_kept_without_it() {
    let ratio = json!({"donorack": 1, "car": {"wheelbase": 2641, "front_track": 1419, "scrub_radius": "71 mm inboard", "arm_fore_aft": "116.9 mm behind",
        "arm_inboard": "34.2 mm inboard", "right_arm_fore_aft": "120 mm behind", "right_arm_inboard": "41.9 mm inboard", "kingpin_inclination": 11.1,
        "rod_end_height": 219, "caster": "4.2 deg rearward"}, "racks": [{"travel_per_turn": 50.9, "travel": 152.9, "inner_joint_spacing": 700.1,
        "bar_moves": "right"}], "limits": {"ratio_max": 15}});
    let circle = json!({"donorack": 1, "car": {"wheelbase": 3260, "front_track": 1139, "scrub_radius": "9 mm outboard", "arm_fore_aft": "90.9 mm ahead",
        "arm_inboard": "20.8 mm outboard", "kingpin_inclination": 5.2, "rod_end_height": 132}, "racks": [{"travel_per_turn": 54.5, "travel": 130.2,
        "inner_joint_spacing": 823, "bar_moves": "left", "offset": "19.7 mm right", "stop_left": 78.2, "stop_right": 80.9,
        "inner_joint_limit": 29.4}], "limits": {"circle_max": 8908}});
    let ackermann = json!({"donorack": 1, "car": {"wheelbase": "2202 ± 0.5 mm", "front_track": 1440, "scrub_radius": "53 mm inboard",
        "arm_fore_aft": "90.9 ± 0.2 mm ahead", "arm_inboard": "26.3 ± 0.2 mm inboard", "kingpin_inclination": 8.2, "rod_end_height": "300 ± 0.2 mm",
        "caster": "6.2 deg rearward"}, "racks": [{"travel_per_turn": 53, "travel": "116.2 ± 0.2 mm", "inner_joint_spacing": "509.8 ± 0.5 mm",
        "bar_moves": "left", "inner_joint_limit": 18.8}], "limits": {"ackermann_max": -190}});
    for (plan, wish) in [(ratio, "ratio_max"), (circle, "circle_max"), (ackermann, "ackermann_max")] {
        let r = rack(&plan);
        let failing: std::collections::BTreeSet<&str> =
            r.findings.iter().filter(|f| f.judged && f.kind == Kind::Fail).map(|f| f.name).collect();
        assert_eq!(failing.into_iter().collect::<Vec<_>>(), [wish], "{:?}", r.verdict.sentence);
    }
}

/// As long as one rack needs more numbers it may still suit: nothing is said of all of them.
#[test]
fn none_suits_only_where_all_are_judged() {
    let mut plan: serde_json::Value = serde_json::from_str(include_str!("../data/from-above.json")).unwrap();
    let side = |plan: &serde_json::Value| {
        let view = serde_json::to_value(donorack::evaluate(&donorack::Plan::from_json(&plan.to_string()).unwrap())).unwrap();
        view["parts"].as_array().unwrap().iter().find(|part| part["part"] == "side").unwrap().clone()
    };
    assert_eq!(side(&plan)["kind"], "pass");
    // One fails whatever the wheelbase is; the others need it.
    plan["car"]["wheelbase"] = "9999".into();
    let (kind, word) = (side(&plan)["kind"].clone(), side(&plan)["word"]["mm"].clone());
    assert_eq!((kind, word), ("missing".into(), "needs more".into()));
}
