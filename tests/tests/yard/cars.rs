//! Invented cars and random ones, and what is judged of a rack on one.

use donorack::rack_search::{BuyingGuide, look_for};
use donorack::{Finding, Kind, Plan, evaluate_rack, findings};
use rand::RngExt;
use rand::rngs::StdRng;
use serde_json::{Value, json};

pub fn plan(value: &Value) -> Plan {
    Plan::from_json(&value.to_string()).unwrap()
}

pub fn told(value: &Value) -> BuyingGuide {
    look_for(&plan(value))
}

/// Invented cars, and the limits asked of each.
pub fn cars() -> Vec<(&'static str, Value)> {
    let car = |e: &str, f: &str| {
        json!({"wheelbase": "2540 ± 0 mm", "front_track": "1422 ± 0 mm", "rod_end_spacing": "1280 ± 0 mm",
               "axis_spacing_at_ground": "1316 ± 0 mm", "arm_fore_aft": e, "arm_inboard": f})
    };
    let behind = car("132 ± 0 mm behind", "18 ± 0 mm inboard");
    let ahead = car("140 ± 0 mm ahead", "18 ± 0 mm inboard");
    let mut unlike = behind.clone();
    unlike["right_arm_fore_aft"] = json!("124 ± 0 mm behind");
    unlike["right_arm_inboard"] = json!("18 ± 0 mm inboard");
    let plan = |car: &Value, room: [&str; 2], fit: Value, limits: Value| {
        let mut car = car.clone();
        if !room[0].is_empty() {
            (car["rack_line_from"], car["rack_line_to"]) = (json!(room[0]), json!(room[1]));
        }
        json!({"donorack": 1, "car": car, "racks": [fit], "limits": limits})
    };
    let narrow = ["12 mm behind", "30 mm behind"];
    vec![
        ("arms behind", plan(&behind, ["", ""], json!({}), json!({"circle_max": "12 m"}))),
        ("arms behind, much lock", plan(&behind, ["", ""], json!({}), json!({"lock_inner": 53}))),
        ("arms behind, little room", plan(&behind, narrow, json!({}), json!({"lock_inner": 32}))),
        (
            "arms ahead",
            plan(&ahead, ["20 mm ahead", "50 mm ahead"], json!({}), json!({"ratio_min": 14, "ratio_max": 19, "turns_max": 3.0})),
        ),
        ("off centre", plan(&behind, ["60 mm ahead", "20 mm ahead"], json!({"offset": "40 ± 0 mm left"}), json!({"lock_inner": 41}))),
        (
            "unlike arms, in two heights",
            plan(&unlike, ["0 mm", "30 mm behind"], json!({"height": "35 ± 0 mm above"}), json!({"reserve": 14, "lock_inner": 33})),
        ),
        (
            "arms behind, Ackermann asked for",
            plan(&behind, ["40 mm behind", "80 mm behind"], json!({}), json!({"ackermann_min": 75, "ackermann_max": 105})),
        ),
        (
            "arms ahead, Ackermann asked for",
            plan(&ahead, ["20 mm behind", "60 mm behind"], json!({}), json!({"ackermann_min": 20, "ackermann_max": 55, "lock_inner": 33})),
        ),
    ]
}

/// A car in a random hundred of ways, with random limits; of each group of readings some are not there.
pub fn random_car(random: &mut StdRng) -> Value {
    let mut within = |a: f64, b: f64| random.random_range(a..b);
    let sided = |x: f64, plus: &str, minus: &str| format!("{:.2} mm {}", x.abs(), if x < 0.0 { minus } else { plus });
    let track = within(1150.0, 1600.0);
    let way = if within(0.0, 1.0) < 0.65 { -1.0 } else { 1.0 };
    let (arm, inboard) = (way * within(90.0, 190.0), within(-25.0, 45.0));
    let mut car = json!({"wheelbase": within(2000.0, 3200.0), "front_track": track, "rod_end_spacing": track - within(70.0, 240.0),
        "arm_fore_aft": sided(arm, "ahead", "behind"), "arm_inboard": sided(inboard, "inboard", "outboard")});
    if within(0.0, 1.0) < 0.3 {
        car["right_arm_fore_aft"] = json!(sided(arm * within(0.9, 1.1), "ahead", "behind"));
        car["right_arm_inboard"] = json!(sided(inboard + within(-6.0, 6.0), "inboard", "outboard"));
    }
    if within(0.0, 1.0) < 0.3 {
        car["kingpin_inclination"] = json!(within(5.0, 14.0));
        car["rod_end_height"] = json!(within(180.0, 260.0));
        car["caster"] = json!(format!("{:.1} deg rearward", within(1.0, 7.0)));
    }
    if within(0.0, 1.0) < 0.7 {
        let from = within(-110.0, 90.0);
        car["rack_line_from"] = json!(sided(from, "ahead", "behind"));
        car["rack_line_to"] = json!(sided(from + within(3.0, 60.0), "ahead", "behind"));
    }
    if within(0.0, 1.0) < 0.3 {
        car["tyre_width"] = json!(within(130.0, 190.0));
        car["corner_ahead"] = json!(within(300.0, 800.0));
        car["corner_width"] = json!(within(1300.0, 1700.0));
    }
    let mut rack = json!({"inner_joint_spacing": within(350.0, 800.0)});
    if within(0.0, 1.0) < 0.4 {
        rack["offset"] = json!(sided(within(-40.0, 40.0), "left", "right"));
        rack["height"] = json!(sided(within(-60.0, 60.0), "above", "below"));
    }
    // A typed line binds nothing: what to look for speaks of other racks.
    if within(0.0, 1.0) < 0.3 {
        rack["rack_line"] = json!(sided(within(-90.0, 90.0), "ahead", "behind"));
    }
    let mut limits = json!({"lock_inner": within(27.0, 47.0), "reserve": within(2.0, 25.0), "transmission_angle": within(20.0, 42.0)});
    let chances: [(f64, &str, f64, f64); 7] = [
        (0.25, "circle_max", 9000.0, 13_000.0),
        (0.1, "ratio_min", 11.0, 16.0),
        (0.1, "ratio_max", 17.0, 24.0),
        (0.1, "turns_min", 2.0, 2.7),
        (0.15, "turns_max", 2.9, 4.0),
        (0.1, "ackermann_min", -20.0, 60.0),
        (0.1, "ackermann_max", 70.0, 130.0),
    ];
    for (chance, name, a, b) in chances {
        if within(0.0, 1.0) < chance {
            limits[name] = json!(within(a, b));
        }
    }
    json!({"donorack": 1, "car": car, "racks": [rack], "limits": limits})
}

/// What is demanded of a rack of that spacing, travel and travel per turn at its best line, judged.
pub fn judged(value: &Value, spacing: f64, travel: f64, per_turn: f64, bar: &str) -> Vec<Finding> {
    let mut value = value.clone();
    let rack = value["racks"][0].as_object_mut().unwrap();
    for (name, x) in [("inner_joint_spacing", spacing), ("travel", travel), ("travel_per_turn", per_turn)] {
        rack.insert(name.to_owned(), json!(format!("{x:.6} mm")));
    }
    rack.insert("bar_moves".to_owned(), json!(bar));
    rack.remove("rack_line");
    rack.remove("travel_two_turns");
    let rack = evaluate_rack(&plan(&value), 0);
    findings(&rack.case())
}

/// Which way the rack was told to go in a left turn.
pub fn bar(told: &BuyingGuide) -> &'static str {
    let line = told.lines.iter().find(|l| l.name == "bar").unwrap();
    match line.text.mm.as_str() {
        "to the left" => "left",
        "to the right" => "right",
        other => panic!("{other}"),
    }
}

/// The limits that a rack does not keep, ± aside, by their names in the plan.
pub fn failed(all: &[Finding]) -> Vec<&'static str> {
    let limit = |name| match name {
        "lock" => "lock_inner",
        "transmission" => "transmission_angle",
        other => other,
    };
    let fails = |f: &&Finding| f.judged && f.margin.map_or(f.kind == Kind::Fail, |m| m < 0.0);
    all.iter().filter(fails).map(|f| limit(f.name)).collect()
}

/// Whether a bound of common practice has a part in an edge, or it is the table's: beyond it a rack need not fail.
pub fn of_practice(limits: &[&str]) -> bool {
    limits.is_empty() || limits.iter().any(|l| l.starts_with("usual") || *l == "inner_joint_limit")
}

/// Travels per turn to try: all that the limits on ratio and turns may ask for.
pub fn turns(told: &BuyingGuide, car: &Value) -> Vec<f64> {
    let limited = ["ratio_min", "ratio_max", "turns_min", "turns_max"].iter().any(|n| !car["limits"][n].is_null());
    if limited { (0..40).map(|i| 26.0 * 1.045f64.powi(i)).collect() } else { vec![told.per_turn.clone().unwrap().best] }
}

/// Whatever is typed within the table's ranges.
pub fn wild_car(random: &mut StdRng) -> Value {
    let mut within = |a: f64, b: f64| random.random_range(a..b);
    let sided = |x: f64, plus: &str, minus: &str| format!("{:.2} mm {}", x.abs(), if x < 0.0 { minus } else { plus });
    let mut car = json!({"arm_fore_aft": sided(within(-500.0, 500.0), "ahead", "behind"),
        "arm_inboard": sided(within(-300.0, 300.0), "inboard", "outboard"), "rod_end_spacing": within(150.0, 2900.0)});
    if within(0.0, 1.0) < 0.9 {
        (car["wheelbase"], car["front_track"]) = (json!(within(600.0, 8000.0)), json!(within(400.0, 3000.0)));
    }
    if within(0.0, 1.0) < 0.3 {
        (car["kingpin_inclination"], car["rod_end_height"]) = (json!(within(0.0, 35.0)), json!(within(0.0, 1200.0)));
    }
    if within(0.0, 1.0) < 0.4 {
        car["rack_line_from"] = json!(sided(within(-500.0, 500.0), "ahead", "behind"));
    }
    if within(0.0, 1.0) < 0.4 {
        car["rack_line_to"] = json!(sided(within(-500.0, 500.0), "ahead", "behind"));
    }
    let mut rack = json!({"inner_joint_spacing": within(40.0, 2000.0)});
    if within(0.0, 1.0) < 0.3 {
        rack["offset"] = json!(sided(within(-300.0, 300.0), "left", "right"));
        rack["height"] = json!(sided(within(-300.0, 300.0), "above", "below"));
    }
    let mut limits = json!({});
    let kinds = [
        ("lock_inner", 1.0, 80.0),
        ("reserve", 0.0, 100.0),
        ("transmission_angle", 0.0, 90.0),
        ("circle_max", 2000.0, 20_000.0),
        ("ackermann_min", -200.0, 400.0),
        ("turns_max", 0.1, 15.0),
        ("turns_min", 0.1, 15.0),
        ("ratio_min", 1.0, 200.0),
        ("ratio_max", 1.0, 200.0),
        ("usual_rod_min", 10.0, 400.0),
        ("usual_rod_max", 400.0, 1500.0),
    ];
    for (i, (name, a, b)) in kinds.into_iter().enumerate() {
        match within(0.0, 1.0) {
            p if p < if i < 3 { 0.3 } else { 0.08 } => limits[name] = json!(within(a, b)),
            p if p > if i < 3 { 0.75 } else { 0.95 } => limits[name] = json!("off"),
            _ => {}
        }
    }
    json!({"donorack": 1, "car": car, "racks": [rack], "limits": limits})
}
