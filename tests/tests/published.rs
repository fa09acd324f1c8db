//! Published and worked values, through the public interface only. Beside each stands where it comes from: "seen" where the figures
//! were read in the named place, "from memory" where not, "computed" where they were worked out from the stated inputs with
//! two independent solvers.

#![allow(clippy::unwrap_used, clippy::panic)] // A failing test may stop at once.

use donorack::{Linkage, Lock, Plan, Vec3, by_angle, by_cotangent, ideal_outer};
use serde_json::{Map, Value, json};

/// `got` rounds to the figure as printed: within half of its last place, plus what a double loses.
fn printed(got: f64, figure: &str) {
    let want: f64 = figure.parse().unwrap();
    let places = figure.split_once('.').map_or(0, |(_, p)| p.len());
    let half = 0.5 * 10f64.powi(-(places as i32)) + 1e-12 * want.abs();
    assert!((got - want).abs() <= half, "{got} is not {figure}");
}

/// A car with one rack, in mm and degrees, evaluated.
struct Answer(Value);

impl Answer {
    fn of(car: Value, rack: Value) -> Answer {
        Answer::with(car, rack, json!({}))
    }

    fn with(car: Value, rack: Value, limits: Value) -> Answer {
        let plan = json!({ "donorack": 1, "car": car, "racks": [rack], "limits": limits });
        Answer(serde_json::to_value(donorack::evaluate(&Plan::from_json(&plan.to_string()).unwrap())).unwrap())
    }

    /// `side` is "left", "right" or empty; the interface says "left wheel", "bar left", "lock left".
    fn value(&self, name: &str, side: &str) -> f64 {
        let all = self.0["racks"][0]["results"].as_array().unwrap();
        let found = all.iter().find(|r| {
            let of = r["side"].as_str().unwrap();
            r["name"] == name && of.is_empty() == side.is_empty() && of.contains(side)
        });
        let found = found.unwrap_or_else(|| panic!("no result {name} {side}"));
        found["value"].as_f64().unwrap_or_else(|| panic!("{found}"))
    }

    fn is(&self, name: &str, side: &str, figure: &str) {
        eprintln!("{name} {side}: {figure}");
        printed(self.value(name, side), figure);
    }
}

fn merged(base: Value, more: Value) -> Value {
    let mut out: Map<String, Value> = base.as_object().unwrap().clone();
    out.extend(more.as_object().unwrap().clone());
    Value::Object(out)
}

fn car_a() -> Value {
    json!({ "wheelbase": 2650, "front_track": 1480, "axis_spacing_at_ground": 1400, "arm_fore_aft": 130, "arm_inboard": -18 })
}

/// The rack of linkage A; 155 mm ahead of the axle is 25 mm ahead of the rod ends.
fn rack_a() -> Value {
    json!({ "travel_per_turn": 46, "travel": 136, "inner_joint_spacing": 620, "rack_line": 25, "bar_moves": "left" })
}

fn car_b() -> Value {
    json!({ "wheelbase": 2750, "front_track": 1490, "axis_spacing_at_ground": 1410, "arm_fore_aft": -140, "arm_inboard": 22 })
}

/// The rack of linkage B; 165 mm behind the axle is 25 mm behind the rod ends.
fn rack_b() -> Value {
    json!({ "travel_per_turn": 50, "travel": 144, "inner_joint_spacing": 640, "rack_line": -25, "bar_moves": "right" })
}

/// Computed at 40 digits by two programs that share no code. A stop at |s| makes the lock that position.
#[test]
fn both_worked_linkages_stand_where_they_should_at_every_rack_displacement() {
    for (s, left, right) in [
        (-68.0, "-30.5824895243", "-31.4839523175"),
        (-35.0, "-15.3221229934", "-15.5996403604"),
        (10.0, "4.38575175059", "4.36232804944"),
        (35.0, "15.5996403604", "15.3221229934"),
        (68.0, "31.4839523175", "30.5824895243"),
    ] {
        stands_at(car_a(), rack_a(), s, left, right);
    }
    for (s, left, right) in [
        (-72.0, "35.2050990954", "29.3456153231"),
        (-40.0, "17.5282458787", "16.2432855334"),
        (10.0, "-4.10639217270", "-4.17805859617"),
        (40.0, "-16.2432855334", "-17.5282458787"),
        (72.0, "-29.3456153231", "-35.2050990954"),
    ] {
        stands_at(car_b(), rack_b(), s, left, right);
    }
}

fn stands_at(car: Value, rack: Value, s: f64, left: &str, right: &str) {
    let stop = if s > 0.0 { "stop_left" } else { "stop_right" };
    let answer = Answer::of(car, merged(rack, json!({ stop: s.abs() })));
    answer.is("usable_travel", if s > 0.0 { "left" } else { "right" }, &s.abs().to_string());
    let (lock, inner, outer) = match left.strip_prefix('-') {
        Some(left) => ("right", right.strip_prefix('-').unwrap(), left),
        None => ("left", left, right),
    };
    answer.is("lock_inner", lock, inner);
    answer.is("lock_outer", lock, outer);
}

/// Computed at 40 digits by two programs that share no code.
#[test]
fn worked_linkage_a() {
    let a = Answer::of(car_a(), rack_a());
    for side in ["left", "right"] {
        a.is("rod_length", side, "408.765213784");
        a.is("ideal_outer", side, "24.830461452");
        a.is("ackermann_angle", side, "13.5487191815");
        a.is("ackermann_cotangent", side, "11.2075308196");
        a.is("circle_centre", side, "11584.5647496");
        a.is("circle_outer_rules", side, "10497.1102145");
        a.is("circle_inner_rules", side, "12700.6112542");
        a.is("transmission_inner", side, "58.1589037318");
        a.is("transmission_outer", side, "62.5399331145");
        a.is("ratio_lock", side, "17.1485233325");
    }
    a.is("ackermann_limit", "", "13.33664013");
    a.is("ratio_centre", "", "17.9074798637");
    a.is("toggle_left_wheel", "right", "-127.282212788");
    a.is("toggle_left_wheel", "left", "159.793326915");
    a.is("toggle_right_wheel", "right", "-159.793326915");
    a.is("toggle_right_wheel", "left", "127.282212788");
    a.is("scrub_radius", "", "40");
}

/// Computed at 40 digits by two programs that share no code.
#[test]
fn worked_linkage_b() {
    let b = Answer::of(car_b(), rack_b());
    for side in ["left", "right"] {
        b.is("rod_length", side, "363.859863134");
        b.is("ideal_outer", side, "27.3896376783");
        b.is("ackermann_angle", side, "74.972972926");
        b.is("ackermann_cotangent", side, "70.4735200117");
        b.is("circle_centre", side, "11667.4203477");
        b.is("circle_outer_rules", side, "11302.7357579");
        b.is("circle_inner_rules", side, "12035.456361");
        b.is("transmission_inner", side, "35.8472965906");
        b.is("transmission_outer", side, "74.6593856805");
        b.is("ratio_lock", side, "16.0617897004");
    }
    b.is("ackermann_limit", "", "46.44961623");
    b.is("ratio_centre", "", "17.4025193053");
    b.is("toggle_left_wheel", "right", "-92.8953922454");
    b.is("toggle_left_wheel", "left", "236.265356858");
    b.is("toggle_right_wheel", "right", "-236.265356858");
    b.is("toggle_right_wheel", "left", "92.8953922454");
}

/// Computed (design notes, "Which axis where"): linkage B, rod and rack 300 mm up, kingpin inclination 10°, caster 5°, 1410 mm between
/// the axes at the rod ends and so 1515.796 at the ground; at s = −72. The figures lean on the unrounded 1410 + 600·tan 10°: with 1515.796
/// itself the Ackermann percentage by angle ends in 77, not in 76.
#[test]
fn the_axis_at_the_rod_for_the_linkage_and_at_the_ground_for_the_ideal() {
    let ground = 1410.0 + 600.0 * 10f64.to_radians().tan();
    // The linkage at rod-end height, the ideal at the ground; the spacing at the ground given, or found from the inclination.
    let rod_ends = json!({ "wheelbase": 2750, "front_track": 1595, "rod_end_spacing": 1366, "arm_fore_aft": -140, "arm_inboard": 22 });
    let spacings = |way: &Answer| {
        way.is("axis_spacing_at_rod_end", "", "1410");
        way.is("axis_spacing_at_ground", "", "1515.796");
    };
    {
        let way = Answer::of(merged(rod_ends.clone(), json!({ "axis_spacing_at_ground": ground })), rack_b());
        spacings(&way);
        way.is("lock_inner", "left", "35.2050990954");
        way.is("lock_outer", "left", "29.3456153231");
        way.is("ackermann_cotangent", "left", "65.55477");
        way.is("ackermann_angle", "left", "70.81176");
        way.is("ratio_centre", "", "17.40252");
    }
    // With inclination, height and caster typed: the truth, in space.
    let lean = json!({ "kingpin_inclination": 10, "rod_end_height": 300, "caster": 5 });
    let truth = Answer::of(merged(rod_ends.clone(), lean), rack_b());
    spacings(&truth);
    truth.is("lock_inner", "left", "35.1089864357");
    truth.is("lock_outer", "left", "29.4641515736");
    truth.is("ackermann_cotangent", "left", "63.07987");
    truth.is("ackermann_angle", "left", "68.52225");
    truth.is("ratio_centre", "", "17.40252");
    // The same car by points along the same axis: two ball joints and the tie-rod end, from a line across the car 60 mm behind the wheels.
    let on_axis = |z: f64| [60.0 - (z - 300.0) * 5f64.to_radians().tan(), 705.0 - (z - 300.0) * 10f64.to_radians().tan(), z];
    let mut car = json!({ "wheelbase": 2750, "front_track": 1595 });
    for (joint, place) in [("lower_ball", on_axis(200.0)), ("upper_ball", on_axis(450.0)), ("tie_rod_end", [60.0 - 140.0, 683.0, 300.0])] {
        for (axis, at) in ["x", "y", "z"].iter().zip(place) {
            car[format!("{joint}_{axis}")] = json!(at);
        }
    }
    let points = Answer::of(car.clone(), rack_b());
    spacings(&points);
    points.is("lock_inner", "left", "35.1089864357");
    points.is("lock_outer", "left", "29.4641515736");
    points.is("ackermann_angle", "left", "68.52225");
    // The right side apart: 4 mm higher at its tie-rod end, the rack between the two.
    let mut apart = car.clone();
    apart["right_tie_rod_end_z"] = json!(304);
    assert_ne!(Answer::of(apart, rack_b()).value("lock_inner", "left"), points.value("lock_inner", "left"));
    // From the ground to the rod end.
    let from_ground = json!({ "wheelbase": 2750, "front_track": 1595, "axis_spacing_at_ground": 1515.796, "kingpin_inclination": 10,
        "rod_end_height": 300, "arm_fore_aft": -140, "arm_inboard": 22 });
    Answer::of(from_ground, rack_b()).is("axis_spacing_at_rod_end", "", "1410.000");

    // The spacing at the rod ends for both.
    let both = Answer::of(car_b(), rack_b());
    both.is("ackermann_cotangent", "left", "70.47352");
    both.is("ackermann_angle", "left", "74.97297");
    both.is("ratio_centre", "", "17.40252");

    // Everything from the ground point, 300·tan 5° further forward and 300·tan 10° further out than the axis at the rod ends (w 1515.796,
    // e −166.247, f 74.898). So near to its toggle that the travel ends before −72, unless nothing is kept.
    let (ahead, out) = (300.0 * 5f64.to_radians().tan(), 300.0 * 10f64.to_radians().tan());
    let point = json!({ "wheelbase": 2750, "front_track": 1595, "axis_spacing_at_ground": ground, "arm_fore_aft": -140.0 - ahead, "arm_inboard": 22.0 + out });
    let wrong = Answer::with(point, rack_b(), json!({ "reserve": 0 }));
    wrong.is("lock_inner", "left", "38.9571416719");
    wrong.is("lock_outer", "left", "23.5778696415");
    wrong.is("ackermann_cotangent", "left", "191.3165");
    wrong.is("ackermann_angle", "left", "157.9084");
    wrong.is("ratio_centre", "", "20.24296");

    // The truth: inclined axes, in space.
    let wheel = |side: f64| {
        let tan = |degrees: f64| degrees.to_radians().tan();
        let axis = Vec3::new(-tan(5.0), -side * tan(10.0), 1.0);
        let at = |x: f64, y: f64| Vec3::new(x, side * y, 300.0);
        (Linkage::new(at(0.0, 705.0), axis, at(-140.0, 683.0), at(-165.0, 320.0)).unwrap(), axis.unit())
    };
    let steer = |side: f64, s: f64| {
        let (linkage, axis) = wheel(side);
        let turn = linkage.at(s).unwrap();
        let a = Vec3::LEFT.turned(axis, turn.cos, turn.sin);
        (-a.x).atan2(a.y)
    };
    let (inner, outer) = (steer(1.0, -72.0), steer(-1.0, -72.0));
    printed(inner.to_degrees(), "35.1089864357");
    printed(outer.to_degrees(), "29.4641515736");
    printed(by_cotangent(inner, outer, ground, 2750.0), "63.07987");
    printed(by_angle(inner, outer, ground, 2750.0), "68.52225");
    // Ratio on centre by a difference small enough for the figures printed: 2π/c by the mean slope.
    let slope = [1.0, -1.0].iter().map(|&side| (steer(side, 1e-3) - steer(side, -1e-3)) / 2e-3).sum::<f64>() / 2.0;
    printed(std::f64::consts::TAU / 50.0 / slope.abs(), "17.40252");
}

/// Computed (design notes): axis (0, 700), arm (−140, −20), inner joint (−320, 600).
#[test]
fn a_fold_back_comes_before_the_stretched_toggle() {
    let car = json!({ "wheelbase": 2700, "front_track": 1480, "axis_spacing_at_ground": 1400, "arm_fore_aft": -140, "arm_inboard": 20 });
    let rack = json!({ "travel_per_turn": 50, "travel": 300, "inner_joint_spacing": 1200, "rack_line": -180, "bar_moves": "right" });
    let answer = Answer::of(car, rack);
    answer.is("fold_back_left_wheel", "left", "169.752");
    answer.is("toggle_left_wheel", "left", "210.062");
    answer.is("toggle_left_wheel", "right", "-10.06");
    answer.is("fold_back_right_wheel", "right", "-169.752");
    answer.is("toggle_right_wheel", "right", "-210.062");
    answer.is("toggle_right_wheel", "left", "10.06");
}

fn lock(wheelbase: f64, spacing: f64, scrub: f64, left: f64, right: f64) -> Lock {
    Lock { wheelbase, spacing, scrub, steer: [left.to_radians(), right.to_radians()], turn: 1.0 }
}

/// Seen: truck turning-radius solutions in a scanned handbook of a municipal archive, p. 16: wheelbase 198 in, track 77 in, inner
/// wheel 30°: cot A = 2.121, sin A = 0.42646 (25.243°), radius 464.3 in.
#[test]
fn outer_wheel_of_a_truck() {
    let outer = ideal_outer(30f64.to_radians(), 77.0, 198.0);
    printed(outer.to_degrees(), "25.243");
    printed(1.0 / outer.tan(), "2.121");
    printed(outer.sin(), "0.42646");
    let turn = lock(198.0, 77.0, 0.0, 30.0, outer.to_degrees()).circle().unwrap();
    printed(turn.outer_rules / 2.0, "464.3");
    // An ideal pair agrees about the centre.
    printed(turn.mean / 2.0, "464.3");
    printed(turn.inner_rules / 2.0, "464.3");
}

/// Seen: rec.autos.simulators, February 2003: wheelbase 124 in, track 31 in, mid-plane 5°: 5.055000127° and 4.94618088°, front-axle
/// centre radius 1422.740442 in. (Its printed formula mixes two radii; its angles are right.)
#[test]
fn both_wheels_from_the_middle_angle() {
    let outer = ideal_outer(5.055000127f64.to_radians(), 31.0, 124.0);
    // The last place is cut off there, not rounded: 4.946180888.
    assert!((outer.to_degrees() - 4.94618088).abs() < 1e-8);
    // Through the half of it: from the middle of the axle to the outer wheel.
    assert!((ideal_outer(5f64.to_radians(), 15.5, 124.0).to_degrees() - 4.94618088).abs() < 1e-8);
    assert!((ideal_outer(5.055000127f64.to_radians(), 15.5, 124.0).to_degrees() - 5.0).abs() < 1e-9);
    let across = lock(124.0, 31.0, 0.0, 5.055000127, 4.94618088).centre();
    // What the ninth figure of the angles leaves of the radius.
    assert!((124f64.hypot(across) - 1422.740442).abs() < 1e-5, "{}", 124f64.hypot(across));
}

/// Seen: automobile-engineering question set: wheelbase 2.743 m, pivots 1.065 m, track 1.217 m, outer wheel 32°: outer front radius
/// 5.25 m. (Its second answer, 3.18 m, mixes two wheelbases.)
#[test]
fn outer_front_radius() {
    let turn = lock(2743.0, 1065.0, (1217.0 - 1065.0) / 2.0, 43.0, 32.0).circle().unwrap();
    printed(turn.outer_rules / 2000.0, "5.25");
}

/// SAE J695 eq. 3, TD = 2(WB/sin OTa + OS), seen second-hand; value computed: wheelbase 2.743 m, outer 32.3299°, offset 0.076 m: 10.410 m.
#[test]
fn turning_diameter() {
    let turn = lock(2743.0, 1065.0, 76.0, 43.0, 32.3299).circle().unwrap();
    printed(turn.outer_rules / 1000.0, "10.410");
}

/// From memory: Khurmi & Gupta; Rattan, Theory of Machines: Davis gear, arm inclination tan α = c/2b: 12.5° for 1.2 m between pivots
/// and 2.7 m wheelbase, 13.3° for 1.3 m and 2.75 m. It is the arm whose line meets the middle of the rear axle.
#[test]
fn arms_that_point_at_the_rear_axle() {
    for (pivots, wheelbase, figure) in [(1200.0, 2700.0, "12.5"), (1300.0, 2750.0, "13.3")] {
        let inboard = 135.0 * pivots / 2.0 / wheelbase;
        let car = json!({ "wheelbase": wheelbase, "front_track": pivots + 100.0, "axis_spacing_at_ground": pivots, "arm_fore_aft": -135, "arm_inboard": inboard });
        let answer = Answer::of(car, rack_b());
        answer.is("arm_angle", "left", figure);
        answer.is("chalk_line", "", "100.0000000");
    }
}

/// Computed; a trap for anyone who tests a linkage against the textbook line sin(α+θ) + sin(α−φ) = 2 sin α, which is approximate
/// and gives 20.80°: trapezium gear, pivots 1.37 m, arms 0.17 m, rod 1.17 m, inner wheel 30°: the linkage gives 19.479°.
#[test]
fn trapezium_gear_by_the_linkage_and_not_by_the_textbook_line() {
    let lean = (100f64 / 170.0).asin();
    let (ahead, inboard) = (-170.0 * lean.cos(), 100.0);
    // Left turn, the left wheel inside: its rod end turned by 30°, the other end of the rod is on the right wheel's arm.
    let turn = 30f64.to_radians();
    let (l, r) = (Vec3::new(0.0, 685.0, 0.0), Vec3::new(0.0, -685.0, 0.0));
    let end = l + Vec3::new(ahead, -inboard, 0.0).turned(Vec3::UP, turn.cos(), turn.sin());
    let wheel = Linkage::with_rod(r, Vec3::UP, r + Vec3::new(ahead, inboard, 0.0), end, 1170.0).unwrap();
    let outer = wheel.at(0.0).unwrap().angle().to_degrees();
    printed(outer, "19.479");
    let line = (2.0 * lean.sin() - (lean + turn).sin()).asin();
    printed((lean - line).to_degrees(), "20.80");
}

/// Computed, a check of the formulas alone; that two measures exist: Mitchell, Staniforth, Scott, SAE 2006-01-3638. Inner 17.7961°, outer
/// 16.2135°, 1.536 m between the axes, wheelbase 2.7 m: 60.63 % by angle difference, 56.89 % by cotangent, ideal outer 15.1857°.
#[test]
fn two_ackermann_measures() {
    let (inner, outer) = (17.7961f64.to_radians(), 16.2135f64.to_radians());
    printed(ideal_outer(inner, 1.536, 2.7).to_degrees(), "15.1857");
    printed(by_angle(inner, outer, 1.536, 2.7), "60.63");
    printed(by_cotangent(inner, outer, 1.536, 2.7), "56.89");
}

/// For an ideal linkage without trail the circle at the tyre's centre is 2·(L/sin δo + rσ) exactly (design notes; follows from J695 eq. 3).
#[test]
fn an_ideal_pair_of_wheels_has_one_circle() {
    for inner in [8.0f64, 21.0, 33.0, 41.0] {
        let outer = ideal_outer(inner.to_radians(), 1400.0, 2650.0);
        let turn = lock(2650.0, 1400.0, 40.0, inner, outer.to_degrees()).circle().unwrap();
        let want = 2.0 * (2650.0 / outer.sin() + 40.0);
        for got in [turn.outer_rules, turn.mean] {
            assert!((got - want).abs() < 1e-9 * want, "{inner}: {got} {want}");
        }
    }
}
