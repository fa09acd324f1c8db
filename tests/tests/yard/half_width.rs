//! The ± of an edge.

use crate::cars::{cars, told};
use donorack::rack_search::BuyingGuide;
use serde_json::json;

#[test]
fn the_half_width_of_an_edge_is_what_moving_each_reading_by_its_own_makes() {
    // Nothing is taken for granted here: the ± is that of these readings alone. Edges by lock, reserve, angle, circle and room.
    let entries = [
        ("rod_end_spacing", "1280", " mm", 1.5),
        ("arm_fore_aft", "132", " mm behind", 1.5),
        ("arm_inboard", "18", " mm inboard", 1.5),
        ("axis_spacing_at_ground", "1372.2137", " mm", 3.0),
        ("kingpin_inclination", "8", " deg", 0.5),
        ("rod_end_height", "200", " mm", 1.5),
        ("caster", "4", " deg rearward", 0.5),
        ("wheelbase", "2540", " mm", 1.5),
        ("front_track", "1422", " mm", 1.5),
    ];
    let cases = [
        json!({"lock_inner": 52, "reserve": 4}),
        json!({"lock_inner": 38, "transmission_angle": 36}),
        json!({"circle_max": 9500, "transmission_angle": 33, "reserve": 15}),
        json!({"lock_inner": 48, "reserve": 4}),
    ];
    let (mut edges, mut free) = (0, 0);
    for (room, limits) in [("", &cases[0]), ("20", &cases[1]), ("20", &cases[2]), ("60", &cases[3])] {
        let make = |moved: usize, by: f64| {
            let mut value = json!({"donorack": 1, "car": {}, "racks": [{"offset": "0 ± 0 mm", "height": "0 ± 0 mm"}], "limits": limits});
            for (i, (name, text, unit, pm)) in entries.iter().enumerate() {
                let x: f64 = text.parse().unwrap();
                let x = if i == moved { x + by } else { x };
                let (number, side) = (unit.split(' ').nth(1).unwrap(), unit.split(' ').nth(2).unwrap_or(""));
                value["car"][*name] = json!(format!("{x} ± {pm} {number} {side}").trim());
            }
            if !room.is_empty() {
                value["car"]["rack_line_from"] = json!(format!("{room} mm ahead"));
                value["car"]["rack_line_to"] = json!(format!("{room} mm behind"));
            }
            // Travel is told at this spacing.
            value["racks"][0]["inner_joint_spacing"] = json!("640 ± 0 mm");
            told(&value)
        };
        let base = make(usize::MAX, 0.0);
        assert_eq!(base.status, "ok", "{limits}: {:?}", base.lines);
        assert_eq!(base.at.unwrap()[0], 640.0, "{limits}");
        let ends = |t: &BuyingGuide| [t.spacing.clone().unwrap().ends, t.travel.clone().unwrap().ends].concat();
        let pm = [base.spacing.clone().unwrap().pm, base.travel.clone().unwrap().pm].concat();
        let limits_of = [base.spacing.clone().unwrap().limits, base.travel.clone().unwrap().limits].concat();
        let mut sums = [0.0; 4];
        for (i, (.., half)) in entries.iter().enumerate() {
            let (up, down) = (ends(&make(i, 0.2 * half)), ends(&make(i, -0.2 * half)));
            for k in 0..4 {
                sums[k] += ((up[k] - down[k]) / 0.4).powi(2);
            }
        }
        for (k, sum) in sums.iter().enumerate() {
            let (Some(pm), false) = (pm[k], limits_of[k].is_empty()) else { continue };
            edges += 1;
            free += usize::from(limits_of[k].len() > 2 || (room.is_empty() && k < 2));
            // A fifth of a ± either way is not quite first order, and the edges are sought to 0.02 mm.
            assert!((pm - sum.sqrt()).abs() < 0.08 * pm + 0.15, "{limits}, {room}, {:?}: ± {pm}, moved by {}", limits_of[k], sum.sqrt());
        }
    }
    assert!(edges >= 12 && free >= 1, "{edges}, {free}");
}

#[test]
fn what_is_taken_for_granted_is_in_the_half_width_and_named() {
    let (_, car) = cars().swap_remove(2);
    let mut known = car.clone();
    for (name, text) in [("kingpin_inclination", "0 ± 0 deg"), ("rod_end_height", "200 ± 0 mm"), ("caster", "0 ± 0 deg rearward")] {
        known["car"][name] = json!(text);
    }
    known["car"].as_object_mut().unwrap().remove("axis_spacing_at_ground");
    let (known, taken) = (told(&known), told(&car));
    let pm = |t: &BuyingGuide| t.travel.clone().unwrap().pm[0].unwrap();
    assert!(pm(&taken) > pm(&known) + 0.3, "{} and {}", pm(&taken), pm(&known));
    assert!(taken.notes.iter().any(|n| n.mm.contains("taken as upright")), "{:?}", taken.notes);
    assert!(!known.notes.iter().any(|n| n.mm.contains("taken as upright")), "{:?}", known.notes);
}
