//! What has to keep clear of what: the rack's housing, the rods in the frame rail, the tyres at lock.

#![allow(clippy::unwrap_used, clippy::panic)] // A failing test may stop at once.

use donorack::{Kind, Plan, Pose, Seen, Session, Vec3, VerdictKind, evaluate};
use donorack_tests::benches::{benches_corner, value, with};
use serde_json::{Value, json};

/// What is in the way is judged with its ±, and only with the housing's own size.
#[test]
fn the_housing_keeps_out_of_what_is_in_the_way() {
    let with = |car: Value, mut rack: Value| {
        rack["height"] = json!("48 above");
        with(car, rack)
    };
    let sump = |low: &str| json!({ "sump_from": "30 behind", "sump_to": "90 behind", "sump_low": low });
    // The rack line lies 13 behind, 48 above: 17 from the sump's front edge, and below its lower one by what is typed.
    for (low, room) in [("40 above", -8.0), ("90 above", 42_f64.hypot(17.0) - 25.0), ("70 above", 22_f64.hypot(17.0) - 25.0)] {
        let plan = with(sump(low), json!({ "housing_diameter": "50 ± 2" }));
        let (told, pm) = value(&plan, "housing_room", "");
        assert!((told - room).abs() < 1e-9 && pm > 1.0 && pm < 4.0, "{low}: {told} ± {pm}");
        let verdict = evaluate(&plan).racks[0].verdict.clone();
        let wanted = if room < -pm {
            VerdictKind::Fails
        } else if room < pm {
            VerdictKind::Close
        } else {
            VerdictKind::Suits
        };
        assert!(verdict.kind == wanted && (verdict.because == "housing_room") == (wanted != VerdictKind::Suits), "{low}: {verdict:?}");
    }
    let unknown = evaluate(&with(sump("40 above"), json!({}))).racks[0].verdict.clone();
    assert!(unknown.unchecked.iter().any(|u| u == "room beside what is in the way"), "{unknown:?}");
    // Two ends and no edge are no box yet: what is wanting is said.
    let half =
        evaluate(&with(json!({ "sump_from": "30 behind", "sump_to": "90 behind" }), json!({ "housing_diameter": 50 }))).racks[0].clone();
    let says = half.findings.iter().find(|f| f.name == "housing_room").unwrap().title.mm.clone();
    assert!(
        says.contains("needs") && says.to_lowercase().contains("sump") && half.verdict.unchecked.iter().any(|u| u.contains("in the way")),
        "{says}"
    );
    assert!(!evaluate(&with(json!({}), json!({}))).racks[0].findings.iter().any(|f| f.name == "housing_room"));
}

/// The rod's hole in the rail: it holds the rod at eighty-one times eighty-one places of wheel and rack, touches it somewhere, and no smaller
/// circle about any other middle does; its ± is that of drawn readings.
#[test]
fn the_hole_in_the_rail_holds_the_rod_and_no_smaller_one_does() {
    let mut file: Value = serde_json::from_str(include_str!("../../crate/benches/points.json")).unwrap();
    file["car"]["rail_inner"] = json!(450);
    file["car"]["rail_outer"] = json!(510);
    for (name, typed) in [("height", json!("48 above")), ("rod_thickness", json!("26 ± 0.5")), ("hole_room", json!(6))] {
        file["racks"][0][name] = typed;
    }
    let plan = Plan::from_json(&file.to_string()).unwrap();
    let hole = |name: &str| value(&plan, name, "left");
    let corner = benches_corner(48.0);
    // Each mark: where the rod's line meets a face, seen from the tie-rod end, and the ellipse it leaves there.
    let mut marks = Vec::new();
    for i in 0..=80 {
        for k in 0..=80 {
            let pose = corner.at_travel(-50.0 + 1.25 * f64::from(i), -58.0 + 1.45 * f64::from(k)).unwrap();
            let (outer, inner) = (pose.outer(), pose.inner());
            let d = outer - inner;
            for face in [450.0, 510.0] {
                let at = inner + d * ((face - inner.y) / d.y);
                let long = 19.0 * d.norm() / d.y.abs();
                let [x, z] = [d.z, d.x].map(|v: f64| long * (1.0 - (v / d.norm()).powi(2)).sqrt());
                marks.push((at.x + 137.0, at.z - 197.0, long, x, z));
            }
        }
    }
    let reach = |[x, z]: [f64; 2]| marks.iter().map(|m| (m.0 - x).hypot(m.1 - z) + m.2).fold(0.0, f64::max);
    let (middle, radius) = ([hole("hole_ahead").0, hole("hole_up").0], hole("hole_diameter").0 / 2.0);
    assert!((reach(middle) - radius).abs() < 0.02, "{} {radius}", reach(middle));
    let (mut at, mut step) = (middle, 4.0);
    while step > 1e-4 {
        let around = (0..12).map(|k| f64::from(k) * std::f64::consts::FRAC_PI_6).map(|a| [at[0] + step * a.cos(), at[1] + step * a.sin()]);
        let better = around.min_by(|a, b| reach(*a).total_cmp(&reach(*b))).unwrap();
        if reach(better) < reach(at) { at = better } else { step /= 2.0 }
    }
    assert!(radius < reach(at) + 0.02, "{radius}, and {} about {at:?}", reach(at));
    let edges = [("hole_rear", 0, -1.0), ("hole_front", 0, 1.0), ("hole_low", 1, -1.0), ("hole_high", 1, 1.0)];
    for (name, axis, sign) in edges {
        let edge = marks.iter().map(|m| if axis == 0 { sign * m.0 + m.3 } else { sign * m.1 + m.4 }).fold(f64::NEG_INFINITY, f64::max);
        let (told, pm) = hole(name);
        assert!((sign * told - edge).abs() < 0.02 && pm > 0.5 && pm < 6.0, "{name}: {told} ± {pm}, found {}", sign * edge);
    }
    let (told, pm) = hole("hole_diameter");
    assert!(pm > 0.5 && pm < 4.0 && value(&plan, "hole_diameter", "right").0 == told, "{told} ± {pm}");
    // What makes it so large are ends of band and rack; the pipe is the 5-inch one: the 4-inch one is 102.3 inside (ASME B36.10M).
    let told_of = |plan: &Plan| Session::new(plan.clone()).place(0, Seen { middle: [f64::NAN; 2], near: None, inch: false }).hole;
    let says: Vec<String> = told_of(&plan).iter().map(|text| text.mm.replace('\u{a0}', " ")).collect();
    assert_eq!(says.len(), 3, "{says:?}");
    for (of, way) in [("Left rod", "left"), ("Right rod", "right")] {
        let case = format!("wheel 50 mm up, rack 58 mm to the {way}");
        assert!(says.iter().any(|s| s.starts_with(of) && s.contains(&case)), "{case}: {says:?}");
    }
    assert!(told + pm > 102.26 && told + pm < 128.2 && says[2].contains("5-inch schedule 40"), "{told} {says:?}");
    // A little thicker rod needs a little more, by the same factor as the rod is aslant.
    file["racks"][0]["rod_thickness"] = json!("28 ± 0.5");
    let thicker = value(&Plan::from_json(&file.to_string()).unwrap(), "hole_diameter", "left").0;
    assert!(thicker - told > 2.0 && thicker - told < 2.3, "{told} {thicker}");
    file["car"]["rail_inner"] = json!(385);
    let view = evaluate(&Plan::from_json(&file.to_string()).unwrap());
    let why = view.racks[0].results.iter().find(|r| r.name == "hole_diameter").unwrap().why.clone();
    assert_eq!(why, "a joint of the rod comes through the rail");
}

/// How far a tyre, a cylinder of this radius and half width, is from a box: by turns the nearest place of the box and that of the tyre, until
/// both stay, as they do for convex bodies (von Neumann).
fn nearest(pose: &Pose, [radius, half]: [f64; 2], block: [[f64; 2]; 3]) -> f64 {
    let centre = pose.wheel_centre();
    let on_block = |at: Vec3| {
        let [x, y, z] = [(at.x, 0), (at.y, 1), (at.z, 2)].map(|(v, k)| v.clamp(block[k][0], block[k][1]));
        Vec3::new(x, y, z)
    };
    let mut at = centre;
    for _ in 0..4000 {
        let from = on_block(at) - centre;
        let along = from.dot(pose.spin_axis());
        let out = from - pose.spin_axis() * along;
        let next = centre + pose.spin_axis() * along.clamp(-half, half) + out * (radius / out.norm().max(radius));
        let still = (next - at).norm() < 1e-7;
        at = next;
        if still {
            break;
        }
    }
    (on_block(at) - at).norm()
}

/// A tyre that touches in passing, at one end of the travel band and of the rack's way alone, touches there and not where it does so for good; stops
/// that are there change nothing of that. What stands beside it is wanted where it is half typed, and named where it is not.
#[test]
fn a_tyre_may_touch_in_passing() {
    let car = json!({ "tyre_width": 205, "tyre_diameter": 600, "rail_outer": 510, "crossmember_from": "350 behind", "crossmember_to": "157.9 behind",
        "crossmember_low": "60 below", "crossmember_high": "400 above", "crossmember_out": 640 });
    let rack = json!({ "height": "48 above", "travel": 140, "travel_two_turns": 80 });
    let of = |car: &Value, rack: &Value| {
        let mut file: Value = serde_json::from_str(&with(car.clone(), rack.clone()).to_json()).unwrap();
        file["limits"] = json!({ "lock_inner": 12, "bump_travel": 70, "tyre_room_min": 0 });
        Plan::from_json(&file.to_string()).unwrap()
    };
    let corner = benches_corner(48.0);
    let arms = [-70.0, 70.0].map(|travel| corner.arm_at(travel, 0.0).unwrap());
    let block = [[-350.0 - 137.0, -157.9 - 137.0], [0.0, 640.0], [197.0 - 60.0, 197.0 + 400.0]];
    let touches = |s: f64| {
        (0..=160).any(|i| {
            nearest(&corner.at_arm(arms[0] + (arms[1] - arms[0]) * f64::from(i) / 160.0, s).unwrap(), [300.0, 102.5], block) < 0.01
        })
    };
    let first = (0..200).map(|k| f64::from(k) * 0.05).find(|s| touches(*s) || touches(-*s)).unwrap();
    let told = |plan: &Plan| ["bar to the left", "bar to the right"].map(|side| value(plan, "tyre_touches", side));
    let [(left, pm), (right, _)] = told(&of(&car, &rack));
    assert!((left.min(right) - first).abs() < 0.2 && pm < 5.0, "{left} {right} ± {pm}, found {first}");
    let mut stopped = rack.clone();
    (stopped["stop_left"], stopped["stop_right"]) = (json!(1), json!(1));
    let [(with_stops, _), _] = told(&of(&car, &stopped));
    assert!((with_stops - left).abs() < 1e-6, "{with_stops} {left}");
    let judged = |lack: &[&str]| {
        let mut car = car.clone();
        for name in lack {
            car.as_object_mut().unwrap().remove(*name);
        }
        let rack = evaluate(&of(&car, &rack)).racks[0].clone();
        let finding = rack.findings.iter().find(|f| f.name == "tyre_room").unwrap().clone();
        (finding.kind, finding.title.mm, rack.verdict.unchecked.join(", "))
    };
    let (kind, title, _) = judged(&["crossmember_to"]);
    assert!(kind == Kind::Missing && title.contains("needs"), "{title}");
    let (kind, _, unchecked) = judged(&["crossmember_out"]);
    assert!(kind != Kind::Missing && unchecked.contains("crossmember beside the tyres"), "{unchecked}");
    let (kind, _, unchecked) = judged(&["rail_outer"]);
    assert!(kind == Kind::Fail && unchecked.contains("frame rail beside the tyres"), "{unchecked}");
}

/// The room beside the tyres: against the distances of places all over rail and crossmember from the tyre, at forty-one times forty-one
/// places of arm and rack, each nearest one then closed in on; where it touches; the stop that is advised cures, and half a millimetre more does not.
#[test]
fn the_tyres_keep_clear() {
    let car = json!({ "tyre_width": 205, "tyre_diameter": 640, "rail_outer": 545, "crossmember_from": "150 ahead", "crossmember_to": "240 ahead",
        "crossmember_low": "20 below", "crossmember_high": "90 above", "crossmember_out": 600 });
    let tyre = [320.0, 102.5];
    let corner = benches_corner(48.0);
    let arms = [-50.0, 50.0].map(|travel| corner.arm_at(travel, 0.0).unwrap());
    let pose = |up: f64, s: f64| corner.at_arm(arms[0] + (arms[1] - arms[0]) * up, s).unwrap();
    // The tie-rod end stands 137 behind and 197 up.
    let block = [[150.0 - 137.0, 240.0 - 137.0], [0.0, 600.0], [197.0 - 20.0, 197.0 + 90.0]];
    let rail = [[-600.0, 600.0], [0.0, 545.0], [-200.0, 900.0]];
    let room = |up: f64, s: f64| nearest(&pose(up, s), tyre, block).min(nearest(&pose(up, s), tyre, rail));
    let least = |[right, left]: [f64; 2]| {
        let all = (0..=40).flat_map(|i| (0..=40).map(move |k| (f64::from(i) / 40.0, right + (left - right) * f64::from(k) / 40.0)));
        all.map(|(up, s)| room(up, s)).fold(f64::INFINITY, f64::min)
    };
    let plan = |stop: f64| with(car.clone(), json!({ "height": "48 above", "stop_left": stop, "stop_right": stop }));
    for stop in [10.0, 25.0, 40.0] {
        let (told, pm) = value(&plan(stop), "tyre_room", "left");
        let found = least([-stop, stop]);
        assert!((told - found).abs() < 0.05 && pm > 0.3 && pm < 8.0, "{stop}: {told} ± {pm}, found {found}");
        assert!((value(&plan(stop), "tyre_room", "right").0 - told).abs() < 1e-9);
    }
    // Further out it comes near, then it touches: both places by the same search; the stop leaves 10 mm, which is what is asked unless somebody says else.
    let open = with(car.clone(), json!({ "height": "48 above" }));
    let lowest = |s: f64| (0..=40).map(|i| room(f64::from(i) / 40.0, s)).fold(f64::INFINITY, f64::min);
    let (stop, pm) = value(&open, "tyre_stop", "");
    assert!(
        pm > 0.2 && pm < 5.0 && (lowest(-stop).min(lowest(stop)) - 10.0).abs() < 0.1,
        "{stop} ± {pm}: {} {}",
        lowest(-stop),
        lowest(stop)
    );
    let touches = ["bar to the left", "bar to the right"].map(|side| value(&open, "tyre_touches", side).0);
    assert!((touches[0] - touches[1]).abs() < 1e-6 && lowest(touches[0] - 0.2).min(lowest(0.2 - touches[0])) > 0.2, "{touches:?}");
    assert!(lowest(touches[0] + 0.2).min(lowest(-touches[0] - 0.2)) < 0.02 && touches[0] > stop + 1.0, "{touches:?} {stop}");
    // So the car must not suit, whatever is turned off; and what is advised cures, as its judgement of the changed plan says.
    for (off, far) in [(json!("10"), stop), (json!("off"), touches[0])] {
        let mut file: Value = serde_json::from_str(&open.to_json()).unwrap();
        file["limits"]["tyre_room_min"] = off;
        file["limits"]["lock_inner"] = json!(12);
        let rack = evaluate(&Plan::from_json(&file.to_string()).unwrap()).racks[0].clone();
        assert!(rack.verdict.kind == VerdictKind::Fails, "{:?}", rack.verdict);
        let finding = rack.findings.iter().find(|f| f.name == "tyre_room").unwrap();
        let cure = finding.cures.first().unwrap_or_else(|| panic!("{finding:?}"));
        for change in &cure.change {
            assert!(change.field.starts_with("stop_") && change.value.unwrap() <= far, "{change:?}");
            file["racks"][0][change.field] = json!(change.value.unwrap());
        }
        let cured = evaluate(&Plan::from_json(&file.to_string()).unwrap()).racks[0].clone();
        assert!(!cured.findings.iter().any(|f| f.name == "tyre_room" && f.kind != Kind::Pass && f.judged), "{:?}", cured.findings);
    }
    // Wide of everything: no stop is asked for.
    let narrow = with(json!({ "tyre_width": 205, "tyre_diameter": 640, "rail_outer": 200 }), json!({ "height": "48 above" }));
    let result = |name: &str| evaluate(&narrow).racks[0].results.iter().find(|r| r.name == name).unwrap().clone();
    assert!(result("tyre_stop").why.starts_with("none: the tyres keep clear") && result("tyre_room").value.unwrap() > 50.0);
}
