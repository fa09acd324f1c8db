//! The plan of `crate/benches/points.json`, which several tests start from, and what they read off a plan.

#![allow(clippy::unwrap_used, clippy::panic)] // A failing test may stop at once.

use donorack::{Corner, CornerSide, Guide, Plan, Points, Vec3, evaluate};
use serde_json::Value;

/// That plan with these measurements of car and rack besides, or in place of its own.
pub fn with(car: Value, rack: Value) -> Plan {
    let mut file: Value = serde_json::from_str(include_str!("../../crate/benches/points.json")).expect("that plan");
    let more = |of: &mut Value, more: Value| {
        for (name, typed) in more.as_object().into_iter().flatten() {
            of[name] = typed.clone();
        }
    };
    more(&mut file["car"], car);
    more(&mut file["racks"][0], rack);
    Plan::from_json(&file.to_string()).expect("a plan")
}

/// The value of a result of the first rack, with its ±.
pub fn value(plan: &Plan, name: &str, side: &str) -> (f64, f64) {
    let view = evaluate(plan);
    let found = view.racks[0].results.iter().find(|r| r.name == name && r.side.starts_with(side)).unwrap();
    (found.value.unwrap_or_else(|| panic!("{name}: {}", found.why)), found.pm.unwrap_or(0.0))
}

/// The double wishbone of the benches' plan, left, with the inner joint so far above the tie-rod ends.
pub fn benches_corner(height: f64) -> Corner {
    let at = Vec3::new;
    let points = Points {
        guide: Guide::Wishbone {
            lower: [at(-251.0, 320.0, 205.0), at(148.0, 320.0, 191.0)],
            lower_ball: at(13.0, 737.0, 140.0),
            upper: [at(-105.0, 435.0, 481.0), at(122.0, 435.0, 515.0)],
            upper_ball: at(-25.0, 680.0, 447.0),
        },
        outer: at(-137.0, 690.0, 197.0),
        inner: at(-150.0, 380.0, 197.0 + height),
        wheel_centre: at(0.0, 768.0, 285.0),
        toe: 0.0,
        camber: 0.8_f64.to_radians(),
        radius: 285.0 / 0.8_f64.to_radians().cos(),
        rod: None,
    };
    Corner::new(CornerSide::Left, &points).unwrap()
}
