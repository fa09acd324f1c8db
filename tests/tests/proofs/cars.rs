//! Cars drawn by chance from a seed, likely ones and nasty ones.

use super::room;
use donorack_tests::independent::{Car, Numbers};
use rand::RngExt;
use rand::rngs::StdRng;
use serde_json::{Map, Value, json};

/// Draws figures.
pub struct Draw(pub StdRng);

impl Draw {
    /// Between two figures, to a tenth.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        (self.0.random_range(low..high) * 10.0).round() / 10.0
    }

    pub fn chance(&mut self, share: f64) -> bool {
        self.0.random_range(0.0..1.0) < share
    }

    pub fn pick<T: Copy>(&mut self, of: &[T]) -> T {
        of[self.0.random_range(0..of.len())]
    }
}

/// What a drawn car is meant to be.
#[derive(Clone, Copy)]
pub struct Kind {
    /// Figures of cars that somebody could build; else anything that the fields take.
    pub likely: bool,
    /// The rack line is typed, as of a rack that is fitted.
    pub fitted: bool,
}

pub fn kind(draw: &mut Draw) -> Kind {
    Kind { likely: draw.chance(0.8), fitted: draw.chance(0.5) }
}

/// A plan with one rack: numbers in mm and degrees, so that each has the ± of its method.
pub fn drawn(draw: &mut Draw, Kind { likely, fitted }: Kind) -> Value {
    let (mut car, mut rack, mut limits) = (Map::new(), Map::new(), Map::new());
    let d = draw;
    let wide = if likely { 1.0 } else { 2.2 };
    let ahead = if d.chance(0.5) { 1.0 } else { -1.0 };
    let e = ahead * if likely { d.between(105.0, 160.0) } else { d.between(4.0, 260.0) };
    let f = wide * if likely { d.between(-20.0, 30.0) } else { d.between(-60.0, 60.0) };
    let axes = if likely { d.between(1180.0, 1440.0) } else { d.between(600.0, 1900.0) };
    let inclined = d.chance(0.3).then(|| (d.between(6.0, 14.0), d.between(180.0, 260.0)));
    let wider = inclined.map_or(0.0, |(lean, height)| 2.0 * height * lean.to_radians().tan());
    put(&mut car, "wheelbase", if likely { d.between(2150.0, 3000.0) } else { d.between(900.0, 4200.0) });
    let scrub = if likely { d.between(0.0, 60.0) } else { d.between(-70.0, 140.0) };
    put(&mut car, "front_track", axes + wider + 2.0 * scrub);
    let right = if d.chance(0.04) {
        Some((-e + d.between(-20.0, 20.0), f))
    } else if d.chance(0.18) {
        Some((e + wide * d.between(-9.0, 9.0), f + wide * d.between(-6.0, 6.0)))
    } else {
        None
    };
    put(&mut car, "arm_fore_aft", e);
    put(&mut car, "arm_inboard", f);
    if let Some((e, f)) = right {
        put(&mut car, "right_arm_fore_aft", e);
        put(&mut car, "right_arm_inboard", f);
    }
    match d.pick(&["ground", "rod end", "rod ends", "both", "both"]) {
        "ground" => put(&mut car, "axis_spacing_at_ground", axes + wider),
        "rod end" => put(&mut car, "axis_spacing_at_rod_end", axes),
        "rod ends" => put(&mut car, "rod_end_spacing", axes - f - right.map_or(f, |r| r.1)),
        _ => {
            put(&mut car, "axis_spacing_at_ground", axes + wider);
            put(&mut car, "axis_spacing_at_rod_end", axes);
        }
    }
    if let Some((lean, height)) = inclined {
        put(&mut car, "kingpin_inclination", lean);
        put(&mut car, "rod_end_height", height);
        if d.chance(0.8) {
            put(&mut car, "caster", d.between(2.0, 7.0));
        }
    }
    if d.chance(0.6) {
        put(&mut car, "tyre_width", d.between(130.0, 215.0));
        put(&mut car, "rear_track", axes + 100.0);
    }
    if d.chance(0.5) {
        put(&mut car, "corner_ahead", d.between(350.0, 800.0));
        put(&mut car, "corner_width", d.between(1300.0, 1700.0));
    }

    // Enough travel for some 34 to 42 degrees, or anything.
    let travel = if likely { 2.0 * e.abs() * d.between(32.0, 44.0).to_radians().sin() } else { d.between(40.0, 320.0) };
    put(&mut rack, "travel", travel);
    put(&mut rack, "travel_per_turn", if likely { d.between(38.0, 56.0) } else { d.between(12.0, 110.0) });
    let rods = if likely { d.between(270.0, 400.0) } else { d.between(40.0, 600.0) };
    put(&mut rack, "inner_joint_spacing", (axes - 2.0 * f - 2.0 * rods).max(60.0));
    let wrong = d.chance(0.05);
    rack.insert("bar_moves".to_owned(), json!(if (ahead > 0.0) != wrong { "left" } else { "right" }));
    let line = if likely { d.between(-45.0, 45.0) } else { d.between(-160.0, 160.0) };
    if fitted {
        put(&mut rack, "rack_line", line);
    } else if d.chance(0.6) {
        // Where a rack could sit; either end may be named first.
        let (a, b) = (line - d.between(5.0, 60.0), line + d.between(5.0, 60.0));
        let (from, to) = if d.chance(0.5) { (a, b) } else { (b, a) };
        put(&mut car, "rack_line_from", from);
        put(&mut car, "rack_line_to", to);
    }
    if d.chance(0.6) {
        put(&mut rack, "offset", if d.chance(0.4) { wide * d.between(-15.0, 15.0) } else { 0.0 });
    }
    if d.chance(0.6) {
        put(&mut rack, "height", wide * d.between(-30.0, 40.0));
    }
    for stop in ["stop_left", "stop_right"] {
        if d.chance(0.12) {
            put(&mut rack, stop, travel * d.between(0.4, 0.5));
        }
    }
    if d.chance(0.25) {
        put(&mut rack, "inner_joint_limit", if likely { d.between(12.0, 35.0) } else { d.between(3.0, 30.0) });
    }
    if d.chance(0.25) {
        put(&mut rack, "outer_joint_limit", d.between(12.0, 35.0));
    }
    if d.chance(0.18) {
        let built = rod(&car, &rack);
        put(&mut rack, "rod_length", (built + wide * d.between(-3.0, 3.0)).max(31.0));
    }
    if d.chance(0.25) {
        let built = rod(&car, &rack);
        put(&mut rack, "rod_length_min", (built + d.between(-60.0, 10.0)).max(31.0));
        put(&mut rack, "rod_length_max", built + d.between(15.0, 80.0));
    }

    if d.chance(0.3) {
        put(&mut limits, "lock_inner", d.between(24.0, 38.0));
    }
    if d.chance(0.15) {
        put(&mut limits, "reserve", d.between(3.0, 20.0));
    }
    if d.chance(0.15) {
        put(&mut limits, "transmission_angle", d.between(20.0, 40.0));
    }
    if d.chance(0.1) {
        put(&mut limits, "toe_max", d.between(0.3, 2.0));
    }
    let mut own = |name: &str, share: f64, low: f64, high: f64| {
        if d.chance(share) {
            put(&mut limits, name, d.between(low, high));
        }
    };
    own("ratio_min", 0.08, 9.0, 15.0);
    own("ratio_max", 0.08, 15.5, 24.0);
    own("turns_min", 0.06, 1.5, 2.6);
    own("turns_max", 0.08, 2.7, 4.0);
    own("ackermann_min", 0.06, -30.0, 50.0);
    own("ackermann_max", 0.06, 60.0, 140.0);
    own("circle_max", 0.12, 9000.0, 13_000.0);
    own("circle_edge_max", 0.06, 9500.0, 13_500.0);
    own("wall_to_wall_max", 0.06, 10_000.0, 14_000.0);
    json!({"donorack": 1, "car": car, "racks": [rack], "limits": limits})
}

fn put(section: &mut Map<String, Value>, name: &str, x: f64) {
    section.insert(name.to_owned(), json!((x * 100.0).round() / 100.0));
}

/// About the length of the rods that stand the wheels straight: for figures that are to lie near it.
fn rod(car: &Map<String, Value>, rack: &Map<String, Value>) -> f64 {
    let plan = json!({"car": car, "racks": [rack], "limits": {}});
    let mut numbers = Numbers::of(&plan, 0).unwrap();
    if numbers.get("rack_line").is_none() {
        let [low, high] = room(&plan);
        numbers.put("rack_line", f64::midpoint(low, high));
    }
    Car::new(numbers).map_or(200.0, |car| f64::midpoint(car.straight()[0], car.straight()[1]))
}
