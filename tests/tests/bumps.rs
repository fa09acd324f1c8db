//! Points typed into a plan, through the public interface: published corners to the printed digits, what is odd, what mends bump steer, and
//! when a rack is said to fit.

#![allow(clippy::unwrap_used, clippy::panic)] // A failing test may stop at once.

use donorack::{Hold, Layer, PlacementWindow, Plan, Seen, Session, VerdictKind, evaluate, probe_bump};
use donorack_tests::benches::{benches_corner, value};
use serde_json::{Value, json};

/// `got` rounds to the figure as printed: within half of its last place.
fn printed(what: &str, got: f64, figure: &str) {
    let want: f64 = figure.parse().unwrap();
    let places = figure.split_once('.').map_or(0, |(_, p)| p.len());
    assert!((got - want).abs() <= 0.5 * 10f64.powi(-(places as i32)) + 1e-12 * want.abs(), "{what}: {got} is not {figure}");
}

fn points(list: &[(&str, [f64; 3])], pm: f64) -> Value {
    let mut car = json!({});
    for (name, at) in list {
        for (axis, v) in ["x", "y", "z"].iter().zip(at) {
            let side = match *axis {
                "x" if *v < 0.0 => " behind",
                "x" => " ahead",
                _ => "",
            };
            car[format!("{name}_{axis}")] = json!(format!("{} ± {pm} mm{side}", v.abs()));
        }
    }
    car
}

fn plan(car: Value, more: Value, rack: Value) -> Plan {
    let mut car = car;
    for (key, value) in more.as_object().unwrap() {
        car[key] = value.clone();
    }
    Plan::from_json(&json!({ "donorack": 1, "car": car, "racks": [rack] }).to_string()).unwrap()
}

/// Double wishbone of the program text that goes with G. Rill & A. Arrieta Castro, Road Vehicle Dynamics, CRC 2020, ch. 5 (hard points seen; the
/// attribution is from memory), 285 mm up, so that the floor is at nought.
const RILL: [(&str, [f64; 3]); 8] = [
    ("lower_rear", [-251.0, 320.0, 205.0]),
    ("lower_front", [148.0, 320.0, 191.0]),
    ("lower_ball", [13.0, 737.0, 140.0]),
    ("upper_rear", [-105.0, 435.0, 481.0]),
    ("upper_front", [122.0, 435.0, 515.0]),
    ("upper_ball", [-25.0, 680.0, 447.0]),
    ("tie_rod_end", [-137.0, 690.0, 197.0]),
    ("wheel_centre", [0.0, 768.0, 285.0]),
];

/// Its rack: 13 mm behind the tie-rod ends, 50 mm above them, 760 mm between the inner joints; `more` of it besides.
fn rill(pm: f64, rack: Value) -> Plan {
    let mut all = json!({ "inner_joint_spacing": 760, "travel": "150 ± 0.5", "travel_two_turns": 100, "bar_moves": "right",
        "rack_line": format!("13 ± {pm} behind"), "height": format!("50 ± {pm} above"), "offset": format!("0 ± {pm} left") });
    for (key, value) in rack.as_object().unwrap() {
        all[key] = value.clone();
    }
    let lines = json!({ "wheelbase": 2700, "front_track": 1528, "camber": format!("{} top out", 0.8f64.to_radians().atan().to_degrees()),
        "line_across": format!("0 ± {pm} ahead"), "line_along": format!("0 ± {pm} inboard"), "level": format!("0 ± {pm} above") });
    plan(points(&RILL, pm), lines, all)
}

/// Computed (SciPy and a multibody engine agree below 1e-10°; the steered ones with a constraint solver to 1e-6°), positive here is toe-out;
/// the Taylor terms at ride height × 60 mm and the places from the worked example of the design notes.
#[test]
fn rill_from_points_is_as_printed() {
    let plan = rill(0.2, json!({}));
    for (side, k) in [("left", 0), ("right", 1)] {
        printed("inclination", value(&plan, "kingpin_inclination", side).0, "10.5182");
        printed("caster", value(&plan, "caster", side).0, "7.0561");
        printed("slope × 60", 60.0 * value(&plan, "bump_steer", side).0, "0.1515");
        for (z, toe) in [(-70.1986, 0.238563), (-35.5550, 0.101418), (36.1510, -0.084113), (72.5918, -0.159518)] {
            let at = probe_bump(&plan, 0, [z, 0.0], Hold::Height);
            // The height itself is printed to 5e-5 mm: at 0.004°/mm that is 2e-7° of toe.
            assert!((-at.wheels[k].at.as_ref().unwrap().toe - toe).abs() <= 5e-7 + 2e-7, "{z} {side}");
        }
    }
    // Printed for a track of 1536 mm, in degrees a degree.
    let track = 2.0 * probe_bump(&plan, 0, [0.0, 0.0], Hold::Height).wheels[0].at.as_ref().unwrap().contact[1];
    printed("roll steer", value(&plan, "roll_steer", "").0 * 1536.0 / track / 100.0, "0.03385");
    let steer = |s: f64, hold| probe_bump(&plan, 0, [0.0, s], hold).wheels[0].at.as_ref().unwrap().steer;
    printed("arm held", steer(-60.0, Hold::Arm), "28.812232");
    printed("arm held", steer(40.0, Hold::Arm), "-16.213538");
    printed("height held", steer(-40.0, Hold::Height), "17.759052");
    assert_eq!(probe_bump(&plan, 0, [500.0, 0.0], Hold::Height).wheels[0].status, "the lower arm does not bring the wheel so far");
    assert_eq!(probe_bump(&plan, 0, [0.0, 300.0], Hold::Height).wheels[1].status, "the tie rod does not reach there");
    // Over ±60 mm.
    let mut wide = plan.clone();
    wide.limits = Plan::from_json(r#"{"donorack": 1, "limits": {"bump_travel": 60}}"#).unwrap().limits;
    printed("peak", value(&wide, "bump_peak", "left").0, "0.19233");
    printed("best height", value(&wide, "shim_move", "left").0, "-2.099");
    printed("it leaves", value(&wide, "shim_leaves", "right").0, "0.01594");
    printed("best place", value(&wide, "best_place_up", "left").0, "-1.750");
    printed("best place", value(&wide, "best_place_inboard", "left").0, "2.082");
    printed("it leaves", value(&wide, "best_place_leaves", "left").0, "0.00138");
}

/// Invented points; computed at 40 digits by the closed form and by a root find on six pose numbers. Ride height is the reference of both.
#[test]
fn the_strut_from_points_is_as_printed() {
    let list = [
        ("lower_front", [165.0, 365.0, 188.0]),
        ("lower_rear", [-175.0, 350.0, 182.0]),
        ("lower_ball", [6.0, 702.0, 170.0]),
        ("strut_top", [-38.0, 566.0, 845.0]),
        ("damper", [-20.0, 625.0, 420.0]),
        ("tie_rod_end", [-128.0, 684.0, 228.0]),
        ("wheel_centre", [0.0, 742.0, 305.0]),
    ];
    let car = json!({ "wheelbase": 2700, "front_track": 1489.3, "suspension": "strut", "toe": "0.1 in", "camber": "0.5 top in" });
    let rack = json!({ "inner_joint_spacing": 676, "travel": 130, "travel_two_turns": 100, "bar_moves": "right", "rack_line": "14 behind", "height": "4 above", "offset": "0 left" });
    let plan = plan(points(&list, 0.2), car, rack);
    for (at, toe, camber, caster, inclination) in [
        ([-60.0, 0.0], "0.46251405918", "0.697042260583", "3.53770225749", "9.90620611674"),
        ([30.0, 0.0], "-0.144710294496", "-0.84192979755", "3.85460335552", "11.904766152"),
        ([0.0, -40.0], "-18.1907388835", "1.22749365799", "3.73683269681", "11.4288237199"),
        ([40.0, 30.0], "12.7517256213", "-1.48295809936", "3.8987253989", "12.0304402841"),
    ] {
        let left = probe_bump(&plan, 0, at, Hold::Height).wheels[0].at.clone().unwrap();
        printed("toe", left.toe, toe);
        printed("camber", left.camber, camber);
        printed("caster", left.caster, caster);
        printed("inclination", left.kingpin_inclination, inclination);
    }
    // The contact point lies on the floor: the radius is that of the height, not the 300 mm of the worked figures.
    let at = probe_bump(&plan, 0, [0.0, 0.0], Hold::Height).wheels[1].at.clone().unwrap();
    assert!(at.contact[2].abs() < 1e-9 && at.half_track.abs() < 1e-9 && at.travel.abs() < 1e-9);
}

/// What is typed of the points changed, and what is then said of it.
#[test]
fn points_that_make_no_suspension_are_named() {
    for (changes, said) in [
        (json!({ "lower_ball_y": "29 mm" }), "Lower ball joint, across: inches, read as millimetres? It reads 29"),
        (json!({ "wheel_centre_z": "11.25 mm" }), "Wheel centre, up: inches, read as millimetres?"),
        (
            json!({ "lower_front_x": "251 mm behind", "lower_front_z": "205 mm" }),
            "Lower arm’s front pivot and Lower arm’s rear pivot are one point",
        ),
        (
            json!({ "upper_front_x": "122 mm behind", "upper_rear_x": "105 mm ahead" }),
            "Upper arm’s front pivot and Upper arm’s rear pivot are the wrong way round",
        ),
        (json!({ "lower_front_y": "740 mm" }), "Lower ball joint and Lower arm’s front pivot cross"),
        (json!({ "upper_ball_z": "140 mm" }), "Lower ball joint and Upper ball joint do not stand one above the other"),
        (json!({ "upper_front_z": "150 mm" }), "Lower arm’s front pivot and Upper arm’s front pivot do not stand one above the other"),
        (
            json!({ "tie_rod_end_x": "7 mm ahead", "tie_rod_end_y": "725 mm", "tie_rod_end_z": "200 mm" }),
            "Lower ball joint, Upper ball joint and Tie-rod end leave no arm",
        ),
        (
            json!({ "upper_ball_x": "105 mm behind", "upper_ball_y": "440 mm", "upper_ball_z": "483 mm" }),
            "leave no arm between joint and axis",
        ),
        (json!({ "right_lower_ball_y": "28 mm" }), "Right: Lower ball joint, across: inches"),
        (json!({ "right_lower_front_y": "740 mm" }), "On the right: Lower ball joint and Lower arm’s front pivot cross"),
    ] {
        let mut file: Value = serde_json::from_str(&rill(0.2, json!({})).to_json()).unwrap();
        for (key, value) in changes.as_object().unwrap() {
            file["car"][key] = value.clone();
        }
        let view = evaluate(&Plan::from_json(&file.to_string()).unwrap());
        let rack = &view.racks[0];
        let found = rack.findings.iter().find(|f| f.name == "contradiction").unwrap_or_else(|| panic!("{said}: nothing was said"));
        let all = format!("{} {}", found.title.mm, found.reason.mm);
        assert!(all.contains(said), "{all}: not {said}");
        assert_eq!(rack.verdict.kind, VerdictKind::Needs);
        // None of it is used.
        assert!(rack.results.iter().filter(|r| r.name == "bump_peak").all(|r| r.value.is_none()));
    }
    // Tape and points that differ are told apart from that.
    let mut file: Value = serde_json::from_str(&rill(0.2, json!({})).to_json()).unwrap();
    file["car"]["kingpin_inclination"] = json!("13 ± 0.5");
    let view = evaluate(&Plan::from_json(&file.to_string()).unwrap());
    assert!(view.racks[0].verdict.sentence.mm.starts_with("Points and tape do not agree"), "{}", view.racks[0].verdict.sentence.mm);
}

/// The rack 9 mm too high steers by itself over bumps; lowered as it is told it fits, and only then is that said.
#[test]
fn the_rack_is_lowered_until_it_fits() {
    let limits = |text: &str| Plan::from_json(&format!(r#"{{"donorack": 1, "limits": {{"lock_inner": 25{text}}}}}"#)).unwrap().limits;
    let mut plan = rill(0.2, json!({ "height": "57 ± 0.2 above", "travel": "116 ± 0.5" }));
    plan.limits = limits("");
    let rack = evaluate(&plan).racks[0].clone();
    assert_eq!((rack.verdict.kind, rack.verdict.because), (VerdictKind::Fails, "bump_steer"), "{}", rack.verdict.sentence.mm);
    let failing = rack.findings.iter().find(|f| f.name == "bump_steer").unwrap();
    let cure = failing.cures.first().unwrap_or_else(|| panic!("no cure: {}", failing.title.mm));
    assert!(cure.text.mm.starts_with("lower the rack by ") && cure.text.mm.contains(" in place of "), "{}", cure.text.mm);
    // Made in the plan, it is what was said.
    let mut file: Value = serde_json::from_str(&plan.to_json()).unwrap();
    for change in &cure.change {
        file["racks"][0][change.field] = json!(change.value);
    }
    let mended = Plan::from_json(&file.to_string()).unwrap();
    let rack = evaluate(&mended).racks[0].clone();
    assert_eq!(rack.verdict.kind, VerdictKind::Suits, "{}", rack.verdict.sentence.mm);
    assert_eq!(rack.verdict.head.mm, "fits");
    assert!(rack.verdict.sentence.mm.starts_with("Fits: ") && !rack.verdict.sentence.mm.contains("not judged"));
    // Not judged, it does not fit.
    let mut off = mended.clone();
    off.limits = limits(r#", "bump_steer_max": "off""#);
    let verdict = evaluate(&off).racks[0].verdict.clone();
    assert_eq!((verdict.kind, verdict.head.mm.as_str()), (VerdictKind::Suits, "suits from above"));
    assert!(verdict.unchecked.iter().any(|u| u.starts_with("toe change over bumps")), "{:?}", verdict.unchecked);
}

/// Every point that is added answers more; what is asked for next is what answers the most.
#[test]
fn points_answer_as_they_come() {
    let full: Value = serde_json::from_str(&rill(0.2, json!({})).to_json()).unwrap();
    let with = |joints: &[&str]| {
        let mut file = full.clone();
        let car = file["car"].as_object_mut().unwrap();
        car.retain(|key, _| !RILL.iter().any(|(joint, _)| key.starts_with(joint)) || joints.iter().any(|j| key.starts_with(j)));
        car.insert("arm_fore_aft".to_owned(), json!("142.9 behind"));
        car.insert("arm_inboard".to_owned(), json!("36.4 inboard"));
        let plan = Plan::from_json(&file.to_string()).unwrap();
        (evaluate(&plan).racks[0].clone(), Session::new(plan).points(0))
    };
    let asked = |joints: &[&str]| {
        let view = with(joints).1;
        (view.known, view.next, view.text)
    };
    assert_eq!(asked(&[]), ([0, 5], "car.lower_ball_x".to_owned(), "0 of 5 points. Next: the lower ball joint.".to_owned()));
    assert_eq!(asked(&["lower_ball"]).1, "car.suspension");
    assert_eq!(
        asked(&["lower_ball", "upper_ball", "tie_rod_end"]).2,
        "3 of 8 points. Answered already: inclination and caster. Next: the wheel centre."
    );
    let (known, next, text) = asked(&RILL.map(|joint| joint.0));
    assert_eq!((known, next.as_str()), ([8, 8], ""), "{text}");
    let half = with(&["lower_ball", "wheel_centre_z"]).1;
    let centre = half.points.iter().find(|p| p.name == "wheel_centre" && p.side == "right").unwrap();
    assert_eq!((centre.from, centre.at.map(|at| at[0])), (["tape", "tape", "mirrored"], Some(0.0)));
    let with = |joints: &[&str]| with(joints).0;
    let why = |rack: &donorack::RackView, name: &str| rack.results.iter().find(|r| r.name == name).unwrap().why.clone();
    assert_eq!(why(&with(&["lower_ball"]), "caster"), "needs what carries the front wheels");
    let two = with(&["lower_ball", "upper_ball"]);
    assert_eq!((why(&two, "caster").as_str(), why(&two, "trail").as_str()), ("", "needs the wheel centre"));
    let four = with(&["lower_ball", "upper_ball", "tie_rod_end", "wheel_centre_z"]);
    assert_eq!(why(&four, "trail"), "");
    assert_eq!(
        why(&four, "bump_steer"),
        "needs the lower arm’s front pivot, the lower arm’s rear pivot, the upper arm’s front pivot and the upper arm’s rear pivot"
    );
    let bump = four.findings.iter().find(|f| f.name == "bump_steer").unwrap();
    assert!(!bump.judged && four.verdict.unchecked.iter().any(|u| u == "bump steer"));
    let none = with(&[]);
    assert!(none.findings.iter().all(|f| f.name != "bump_steer"), "nothing is said of bumps before a point is there");
}

/// Curves, one corner from the front, and the map are the same figures as everywhere.
#[test]
fn curves_corner_and_map_are_the_same_figures() {
    let mut plan = rill(0.2, json!({ "travel": "116 ± 0.5" }));
    plan.limits = Plan::from_json(r#"{"donorack": 1, "limits": {"lock_inner": 25}}"#).unwrap().limits;
    let mut session = Session::new(plan.clone());
    for share in [0.0, 0.4] {
        let view = session.over_bumps(0, share);
        assert!(view.why.is_empty() && view.wheels.iter().all(|w| w.toe.len() == 21 && w.table.len() == 11), "{}", view.why);
        for (wheel, curves) in view.wheels.iter().enumerate() {
            for k in [0, 7, 20] {
                let at = |z: f64| probe_bump(&plan, 0, [z, view.rack], Hold::Height).wheels[wheel].at.clone().unwrap();
                let (here, still) = (at(curves.toe[k][0]), at(0.0));
                for (curve, wanted) in [
                    (&curves.toe, here.toe - still.toe),
                    (&curves.camber, here.camber),
                    (&curves.caster, here.caster),
                    (&curves.scrub, here.scrub),
                    (&curves.trail, here.trail),
                    (&curves.half_track, here.half_track),
                ] {
                    assert!((curve[k][1] - wanted).abs() < 1e-9 && curve[k][2] > 0.0 || k == 10, "{wheel} {k}: {:?}", curve[k]);
                }
            }
        }
    }
    // The ± of the toe curve where it is largest is that of the result.
    let view = session.over_bumps(0, 0.0);
    let (peak, pm) = value(&plan, "bump_peak", "left");
    let (at, _) = value(&plan, "bump_peak_at", "left");
    let end = view.wheels[0].toe.iter().find(|p| p[0] == at).unwrap();
    assert!((end[1].abs() - peak).abs() < 1e-9 && (end[2] - pm).abs() < 1e-6 * pm, "{end:?}, {peak} ± {pm}");
    // Roll steer is the slope of the roll curve.
    let [a, b] = [view.roll[9], view.roll[11]];
    let slope = 100.0 * (b[1] - a[1]) / (b[0] - a[0]);
    assert!((slope - value(&plan, "roll_steer", "").0).abs() < 0.02, "{slope}");

    let drawing = session.corner(0, 1, 40.0, 0.0).unwrap();
    let at = probe_bump(&plan, 0, [40.0, 0.0], Hold::Height).wheels[1].at.clone().unwrap();
    assert_eq!(drawing.contact, at.contact);
    assert!((drawing.wheel[2] - 285.0 - 40.0).abs() < 1e-9 && drawing.spin[1] < 0.0 && drawing.rod[0][1] < drawing.rod[1][1]);
    // Both pivots of the lower arm lie at one height across the car here, so its line from the front goes through their height at the ball joint.
    let [front, rear, ball] = drawing.lower;
    let pivot = rear[2] + (front[2] - rear[2]) * (ball[0] - rear[0]) / (front[0] - rear[0]);
    let slope = (ball[2] - pivot) / (ball[1] + 320.0);
    assert_eq!(drawing.lines[0][0], [ball[1], ball[2]]);
    let [y, z] = drawing.lines[0][1];
    assert!((z - ball[2] - slope * (y - ball[1])).abs() < 1e-6 && drawing.centre.is_none_or(|c| c == [y, z]), "{:?}", drawing.lines);
    assert_eq!(session.corner(0, 0, 500.0, 0.0).unwrap_err(), "the lower arm does not bring the wheel so far");

    let window = PlacementWindow { ahead: [-24.0, 24.0], up: [-24.0, 24.0], cells: [13, 17] };
    // What is in the way, from 59 mm above the tie-rod ends on: 9 above the joints, with half the housing.
    let file: Value = serde_json::from_str(
        r#"{"donorack": 1, "car": {"sump_from": "200 ahead", "sump_to": "200 behind", "sump_low": "66.5 above"}, "racks": [{"housing_diameter": 15}]}"#,
    )
    .unwrap();
    let way = Plan::from_json(&file.to_string()).unwrap();
    let mut walled = plan.clone();
    walled.car.extend(way.car);
    walled.racks[0].entries.extend(way.racks[0].entries.clone());
    let mut session = Session::new(walled.clone());
    let map = session.map(0, window).unwrap();
    assert!((value(&walled, "housing_room", "").0 - 9.0).abs() < 1e-9);
    let [peak, lock, transmission, rod_angle, ackermann] = Layer::ALL.map(|layer| map.layer(layer));
    let (mut compared, mut passing) = (0, 0);
    for j in 0..17 {
        for i in 0..13 {
            let k = j * 13 + i;
            let (ahead, up) = (-24.0 + 4.0 * i as f64, -24.0 + 3.0 * j as f64);
            let moved = rill(0.2, json!({ "travel": "116 ± 0.5", "rack_line": ahead - 13.0, "height": 50.0 + up }));
            if k % 23 == 0 {
                let moved = Plan { limits: plan.limits.clone(), ..moved };
                // The arms' angles are those with toe held, at 41 heights: as far off as the design notes say.
                assert!((peak[k] - value(&moved, "bump_peak", "left").0).abs() < 0.022, "{i} {j}");
                assert!((rod_angle[k] - value(&moved, "rod_angle", "left").0).abs() < 1e-6, "{i} {j}");
                assert!((lock[k] - value(&moved, "lock_inner", "lock left").0).abs() < 1e-6, "{i} {j}");
                assert!((ackermann[k] - value(&moved, "ackermann_angle", "lock left").0).abs() < 1e-6, "{i} {j}");
                compared += 1;
            }
            let keeps = peak[k] <= 0.2 && lock[k] >= 25.0 && transmission[k] >= 30.0;
            assert_eq!(map.passes(k), keeps && up <= 9.0, "{i} {j}");
            passing += usize::from(map.passes(k));
        }
    }
    assert!(compared > 8 && passing > 3, "{compared} {passing}");
    // The best place is the farthest from all that fail.
    let place = |k: usize| [-24.0 + 4.0 * (k % 13) as f64, -24.0 + 3.0 * (k / 13) as f64];
    let room = |k: usize| {
        let [x, z] = place(k);
        let edge = (28.0 - f64::abs(x)).min(27.0 - f64::abs(z));
        let fails = (0..13 * 17).filter(|o| !map.passes(*o)).map(|o| (place(o)[0] - x).hypot(place(o)[1] - z));
        fails.fold(edge, f64::min)
    };
    let best = (0..13 * 17).filter(|k| map.passes(*k)).map(room).fold(0.0, f64::max);
    let (cell, distance) = map.judged.best.unwrap();
    assert!((distance - (best - 1.5)).abs() < 1e-9 && map.passes(cell), "{distance} {best}");
}

/// The same plan with the rack's place typed.
fn set_at(file: &str, line: &str, height: &str) -> Plan {
    let mut file: Value = serde_json::from_str(file).unwrap();
    file["racks"][0]["rack_line"] = json!(line);
    file["racks"][0]["height"] = json!(height);
    Plan::from_json(&file.to_string()).unwrap()
}

#[test]
fn the_best_place_is_what_it_is_said_to_be() {
    let file = include_str!("../../crate/benches/points.json");
    let (mut kinds, mut helped) = (Vec::new(), 0);
    // Where it is, far too low, far too far back, and turned end for end.
    for (line, height, bar) in [
        ("13 behind", "50 above", "right"),
        ("13 behind", "22 above", "right"),
        ("41 behind", "61 above", "right"),
        ("13 behind", "50 above", "left"),
    ] {
        let file = file.replace("\"right\"", &format!("\"{bar}\""));
        let plan = set_at(&file, line, height);
        let mut session = Session::new(plan.clone());
        for inch in [false, true] {
            let seen = Seen { middle: [f64::NAN; 2], near: None, inch };
            let view = session.place(0, seen);
            assert!(view.why.is_empty(), "{}", view.why);
            let rack = &evaluate(&plan).racks[0];
            let text = |t: &donorack::Text| if inch { t.inch.clone() } else { t.mm.clone() };
            let failing = rack.findings.iter().find(|f| f.judged && f.kind == donorack::Kind::Fail);
            assert_eq!(text(&view.says).starts_with("Not here: "), failing.is_some(), "{}", text(&view.says));
            kinds.push(view.kind);
            assert!(view.limits.iter().filter_map(|l| l.kind).all(|k| view.kind != donorack::Kind::Pass || k == view.kind));
            let toe = rack.findings.iter().find(|f| f.name == "bump_steer").unwrap();
            assert_eq!(view.limits[0].kind, Some(toe.kind));
            // A place of the tables is a place of its own plan: its toe changes are those of the rack typed there.
            for (axis, table) in view.tables.iter().enumerate() {
                for row in table.iter().step_by(5) {
                    let there = if axis == 0 { set_at(&file, &text(&row[0]), height) } else { set_at(&file, line, &text(&row[0])) };
                    let peak = ["left", "right"].map(|side| value(&there, "bump_peak", side).0);
                    let shown: f64 = text(&row[1]).trim_end_matches('°').parse().unwrap();
                    // As far off as the toe held and what is shown of a sixty-fourth of an inch.
                    assert!(
                        (shown - peak[0].max(peak[1])).abs() < 0.03 + 0.03 * shown,
                        "{line} {height} {inch}: {} {peak:?}",
                        text(&row[1])
                    );
                }
            }
            let Some(best) = &view.best else { continue };
            let there = set_at(&file, &text(&best.line), &text(&best.height));
            let verdict = evaluate(&there).racks[0].verdict.clone();
            assert_eq!(verdict.head, view.then);
            let better = verdict.kind as usize >= rack.verdict.kind as usize && !view.better.mm.starts_with("No place");
            assert_eq!(view.helps, better, "{} {}", view.then.mm, rack.verdict.head.mm);
            helped += usize::from(better && verdict.kind == VerdictKind::Close);
            if bar == "left" {
                assert!(view.better.mm.starts_with("No place") && verdict.kind == VerdictKind::Backwards, "{}", view.better.mm);
            }
        }
    }
    assert!(kinds.contains(&donorack::Kind::Fail) && kinds.contains(&donorack::Kind::Close) && helped >= 2, "{kinds:?} {helped}");
}

/// Rod, arm and joints at lock with the wheels up and down: against poses one by one, which 300 corners in `suspension.rs` hold against a solver
/// of six numbers. A rack that fits at ride height alone does not fit.
#[test]
fn what_binds_over_bumps_does_not_fit() {
    let corner = benches_corner(48.0);
    let file: Value = serde_json::from_str(include_str!("../../crate/benches/points.json")).unwrap();
    let with = |rack: Value| {
        let mut file = file.clone();
        file["racks"][0]["height"] = json!("48 above");
        file["racks"][0].as_object_mut().unwrap().extend(rack.as_object().unwrap().clone());
        Plan::from_json(&file.to_string()).unwrap()
    };
    for travel in [96.0, 116.0] {
        let [mut transmission, mut inner, mut outer] = [90.0_f64, 0.0, 0.0];
        for z in [-50.0, 50.0] {
            // The rack that holds the toe there tells how the arms stand.
            let toe = |s: f64| corner.at_travel(z, s).unwrap().toe();
            let (mut low, mut high) = (-20.0, 20.0);
            assert!(toe(low) * toe(high) < 0.0);
            for _ in 0..60 {
                let middle = (low + high) / 2.0;
                *(if toe(low) * toe(middle) <= 0.0 { &mut high } else { &mut low }) = middle;
            }
            let arm = corner.arm_at(z, low).unwrap();
            // The arms held there; and at either end of the rack the wheel centre's height as well.
            let poses = (-200..=200).map(|k| corner.at_arm(arm, travel / 2.0 * f64::from(k) / 200.0));
            for pose in poses.chain([-1.0, 1.0].map(|end| corner.at_travel(z, end * travel / 2.0))) {
                let pose = pose.unwrap();
                transmission = transmission.min(pose.transmission().to_degrees());
                inner = inner.max(pose.inner_joint_angle().to_degrees());
                outer = outer.max(pose.outer_joint_angle().abs().to_degrees());
            }
        }
        let plan = with(json!({ "travel": travel, "inner_joint_limit": 30, "outer_joint_limit": 40 }));
        for (name, side, found) in [
            ("transmission_bumps", "lock left", transmission),
            ("transmission_bumps", "lock right", transmission),
            ("inner_joint_margin_bumps", "bar to the left", 30.0 - inner),
            ("outer_joint_margin_bumps", "bar to the right", 40.0 - outer),
        ] {
            let (told, pm) = value(&plan, name, side);
            assert!((told - found).abs() < 1e-6 && pm > 0.3 && pm < 3.0, "{travel}: {name} {told} ± {pm}, found {found}");
        }
        assert!(value(&plan, "transmission_least", "lock left").0 > transmission + 3.0);
    }
    let verdict = |rack: Value| evaluate(&with(rack)).racks[0].verdict.clone();
    let fits = verdict(json!({}));
    assert!(fits.kind == VerdictKind::Suits && fits.head.mm == "fits", "{fits:?}");
    for (rack, why) in [
        (json!({ "travel": 129 }), "transmission_bumps"),
        (json!({ "inner_joint_limit": 20 }), "inner_joint_bumps"),
        (json!({ "outer_joint_limit": 30 }), "outer_joint_bumps"),
    ] {
        let verdict = verdict(rack.clone());
        assert!(verdict.because == why && verdict.kind == VerdictKind::Fails, "{rack}: {verdict:?}");
    }
    // A toggle is no limit that could be turned off.
    let mut past = with(json!({ "travel": 150 }));
    let limits = r#"{"donorack": 1, "limits": {"bump_travel": 90, "transmission_angle": "off"}}"#;
    past.limits = Plan::from_json(limits).unwrap().limits;
    assert_eq!(value(&past, "transmission_bumps", "lock left").0, 0.0);
    let toggles = evaluate(&past).racks[0].findings.iter().find(|f| f.name == "transmission_bumps").unwrap().clone();
    assert!(toggles.judged && toggles.title.mm.starts_with("Goes past a toggle"), "{toggles:?}");
    // A stop in time is the mend, and is told.
    let text = verdict(json!({ "travel": 129 })).sentence.mm;
    assert!(text.contains("make a stop") || text.contains("Make a stop"), "{text}");
}

/// The benches' plan with other readings of the car.
fn car_with(car: Value) -> Plan {
    let mut file: Value = serde_json::from_str(include_str!("../../crate/benches/points.json")).unwrap();
    for (name, value) in car.as_object().unwrap() {
        file["car"].as_object_mut().unwrap().remove(name);
        if !value.is_null() {
            file["car"][name] = value.clone();
        }
    }
    Plan::from_json(&file.to_string()).unwrap()
}

/// What the points say twice, and what the tape says beside them.
#[test]
fn points_and_tape_are_held_against_each_other() {
    let verdict = |car: Value| evaluate(&car_with(car)).racks[0].verdict.clone();
    for (car, title) in [
        (json!({ "front_track": 1400 }), "Points and tape do not agree"),
        (json!({ "arm_length": "160 behind" }), "Points and tape do not agree"),
        (json!({ "arm_angle": "30 inboard" }), "Points and tape do not agree"),
        (json!({ "scrub_radius": "90 inboard" }), "Points and tape do not agree"),
        (json!({ "wheel_centre_x": "400 ahead" }), "Lower ball joint and Wheel centre do not belong to one wheel"),
        (json!({ "wheel_centre_y": 700, "front_track": 1392 }), "Lower ball joint and Wheel centre do not belong to one wheel"),
    ] {
        let verdict = verdict(car.clone());
        assert!(
            verdict.kind == VerdictKind::Needs
                && verdict.because == "contradiction"
                && verdict.sentence.mm.to_lowercase().contains(&title.to_lowercase()),
            "{car}: {verdict:?}"
        );
    }
    // Within their ± they do.
    let agree = json!({ "front_track": 1529, "arm_length": "147 behind", "scrub_radius": "2 inboard" });
    assert_ne!(verdict(agree).because, "contradiction");
    let asked = verdict(json!({ "tie_rod_end_z": null }));
    assert!(asked.kind == VerdictKind::Needs && asked.head.mm.contains("tie-rod end"), "{asked:?}");
    let inches = verdict(json!({ "tie_rod_end_y": 27 }));
    assert!(inches.sentence.mm.contains("read as millimetres? ") && !inches.sentence.mm.contains("?."), "{inches:?}");
    // A line off the middle of the car moves both sides of what mirrors one of them: one reading.
    let plan = car_with(json!({ "line_along": "0 ± 4 inboard" }));
    assert!(value(&plan, "axis_spacing_at_rod_end", "").1 > 8.0, "{:?}", value(&plan, "axis_spacing_at_rod_end", ""));
    let [left, right] = ["left", "right"].map(|side| value(&car_with(json!({ "line_along": "3 inboard" })), "bump_peak", side).0);
    assert!((left - right).abs() < 1e-12, "as lopsided as the car");
    // Trail goes with where the wheel points.
    let plan = car_with(json!({ "toe": "1 deg in" }));
    let pose = probe_bump(&plan, 0, [0.0, 0.0], Hold::Height).wheels[0].at.clone().unwrap();
    assert!((value(&plan, "trail", "left").0 - pose.trail).abs() < 1e-9, "{} {}", value(&plan, "trail", "left").0, pose.trail);
}
