//! A car solved without the core and without a formula for the position: the rod's length is held while the rack is moved in small steps,
//! from where the linkage was set up. It stands on the Python solver's cars (`oracle/axles.json`), and proves what is said of a rack.
//!
//! Millimetres and degrees outside, radians inside; X ahead, Y left, Z up; rack displacement and steer angles positive to the left.

mod car;
mod numbers;
mod proof;
mod vector;
mod wheel;

pub use car::{Car, Results};
pub use numbers::Numbers;
pub use proof::{Claim, prove};
pub use wheel::{Stand, Wheel};

#[cfg(test)]
mod tests {
    use super::numbers::read;
    use super::*;
    use serde_json::{Value, json};

    /// How far a figure may be from the Python solver's.
    const FIGURE: f64 = 1e-9;

    #[test]
    fn three_hundred_axles_are_those_of_the_python_solver() {
        let text = std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/oracle/axles.json")).expect("committed");
        let all: Value = serde_json::from_str(&text).expect("JSON");
        let (mut values, mut none, mut worst) = (0, 0, (0.0, String::new()));
        for car in all["cars"].as_array().expect("a list") {
            let name = &car["plan"]["name"];
            let solved = Car::new(Numbers::of(&car["plan"], 0).expect("numbers")).unwrap_or_else(|why| panic!("{name}: {why}"));
            let figures = solved.results().unwrap_or_else(|| panic!("{name}"));
            let centre = solved.both(0.0).expect("it stands");
            let opposed = centre[0].rate * centre[1].rate < 0.0;
            let backwards = solved.forward != solved.numbers.get("bar_moves").expect("typed");
            let said = if opposed { Some("opposed") } else { backwards.then_some("backwards") };
            assert_eq!(car["said"].as_str(), said, "{name}");
            let mut see = |got: f64, want: f64, place: String| {
                let off = ((got - want) / want.abs().max(1.0)).abs();
                assert!(off <= FIGURE, "{place}: {got}, Python {want}");
                values += 1;
                if off > worst.0 {
                    worst = (off, place);
                }
            };
            for (key, want) in car["expect"].as_object().expect("figures") {
                let got = figures.get(key.as_str()).unwrap_or_else(|| panic!("{name}: no {key}"));
                let want = want.as_array().map_or_else(|| vec![want], |both| both.iter().collect());
                for (got, want) in got.iter().zip(want) {
                    match (got, want.as_f64()) {
                        (Some(got), Some(want)) => see(*got, want, format!("{name} {key}")),
                        (None, None) => none += 1,
                        other => panic!("{name} {key}: {other:?}"),
                    }
                }
            }
            for p in car["probe"].as_array().expect("a list") {
                let want: Vec<f64> = p.as_array().expect("a list").iter().filter_map(Value::as_f64).collect();
                let [left, right] = solved.both(want[0]).expect("a position");
                let ratio = std::f64::consts::TAU / solved.per_turn / ((left.rate + right.rate) / 2.0).abs();
                let got = [
                    left.steer.to_degrees(),
                    right.steer.to_degrees(),
                    ratio,
                    left.transmission.to_degrees(),
                    right.transmission.to_degrees(),
                ];
                for (got, want) in got.iter().zip(&want[1..]) {
                    see(*got, *want, format!("{name} at {}", p[0]));
                }
            }
        }
        eprintln!("{values} figures, {none} that there are not; largest difference {:e}, {}", worst.0, worst.1);
        assert!(values > 19_000 && none > 900, "{values} {none}");
    }

    fn plan(changes: &[(&str, &str, Value)]) -> Value {
        let mut plan = json!({
            "car": {"wheelbase": 2540, "front_track": 1422, "rear_track": 1400, "rod_end_spacing": 1280, "arm_fore_aft": -132, "arm_inboard": 18,
                    "tyre_width": 165, "corner_ahead": 560, "corner_width": 1500},
            "racks": [{"travel_per_turn": 46, "travel": 136, "inner_joint_spacing": 590, "bar_moves": "right", "rack_line": "18 mm ahead",
                       "offset": 0, "height": 0}],
            "limits": {}
        });
        for (section, name, value) in changes {
            let place = if *section == "racks" { &mut plan["racks"][0] } else { &mut plan[*section] };
            place[*name] = value.clone();
        }
        plan
    }

    /// The claim with the figures that are really so.
    fn claim(plan: &Value) -> (Numbers, Claim) {
        let numbers = Numbers::of(plan, 0).expect("numbers");
        let figures = Car::new(numbers.clone()).expect("it stands").results().expect("figures");
        let get = |name: &str| figures.get(name).map_or([f64::NAN; 2], |x| x.map(|x| x.unwrap_or(f64::NAN)));
        (numbers, Claim { usable: get("usable_travel"), lock_inner: get("lock_inner"), circle: get("circle_centre") })
    }

    #[test]
    fn what_suits_is_proved_and_each_thing_that_is_wrong_is_found() {
        let (numbers, right) = claim(&plan(&[]));
        assert_eq!(prove(&numbers, &right), Ok(()));
        let shown = Claim { usable: [68.0, 67.9], ..right };
        assert!(prove(&numbers, &shown).is_err_and(|why| why.contains("usable_travel")));
        type Change<'a> = (&'a str, &'a str, Value);
        let wrong: &[(&[Change], &str)] = &[
            // Wheels that steer against each other, 25.3 and −23.9 degrees.
            (
                &[
                    ("car", "right_arm_fore_aft", json!(150)),
                    ("racks", "travel", json!(178)),
                    ("racks", "inner_joint_spacing", json!(500)),
                    ("racks", "rack_line", json!("30 mm behind")),
                ],
                "against each other",
            ),
            (&[("racks", "bar_moves", json!("left"))], "backwards"),
            (&[("racks", "rod_length", json!(355))], "toe of"),
            (&[("racks", "travel", json!(110))], "lock of"),
            (&[("racks", "travel", json!(200)), ("limits", "transmission_angle", json!(10))], "are left before"),
            (&[("racks", "travel", json!(182))], "transmission"),
            (&[("racks", "inner_joint_limit", json!(3))], "inner_joint at"),
            (&[("racks", "outer_joint_limit", json!(15)), ("racks", "height", json!(180))], "outer_joint at"),
            (&[("racks", "rod_length_max", json!(345))], "rod_under_longest"),
            (&[("racks", "rod_length_min", json!(346))], "rod_over_shortest"),
            (&[("limits", "ratio_max", json!(18.1))], "ratio_centre"),
            (&[("limits", "turns_min", json!(3))], "turns"),
            (&[("limits", "ackermann_min", json!(50))], "ackermann_angle"),
            (&[("limits", "circle_max", json!(11000))], "circle_centre"),
            (&[("limits", "wall_to_wall_max", json!(11500))], "wall_to_wall"),
        ];
        for (changes, why) in wrong {
            let (numbers, claim) = claim(&plan(changes));
            let found = prove(&numbers, &claim).err().unwrap_or_default();
            assert!(found.contains(why), "{changes:?}: {found}");
        }
        // A limit that is turned off is not asked for.
        let (numbers, claim) = claim(&plan(&[("racks", "travel", json!(110)), ("limits", "lock_inner", json!("off"))]));
        assert_eq!(prove(&numbers, &claim), Ok(()));
    }

    #[test]
    fn texts_are_read_with_their_side() {
        let all =
            [("132 ± 0 mm behind", -132.0), ("5.5 deg rearward", 5.5), ("18 inboard", 18.0), ("12", 12.0), ("left", 1.0), ("right", -1.0)];
        for (text, want) in all {
            assert_eq!(read(text), Some(want), "{text}");
        }
        assert_eq!(read("5 3/4 in behind"), None);
    }
}
