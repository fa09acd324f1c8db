//! What to look for: each edge against evaluating plans on both sides of it, through the plan's own format.
//!
//! Readings carry "± 0" where a verdict next to an edge is wanted, so that nothing is too close to call.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test fails by panicking")]

use donorack::findings::Kind;
use donorack::plan::Plan;
use donorack::verdict::VerdictKind;
use donorack::view::{RackView, evaluate};
use donorack::yard::{Range, Told, look_for};
use proptest::prelude::*;
use serde_json::{Value, json};

fn plan(value: &Value) -> Plan {
    Plan::from_json(&value.to_string()).unwrap()
}

fn told(value: &Value) -> Told {
    look_for(&plan(value))
}

/// Invented cars, each with its rack line, and the limits asked of it.
fn cars() -> Vec<(&'static str, Value)> {
    let car = |e: &str, f: &str| {
        json!({"wheelbase": "2540 ± 0 mm", "front_track": "1422 ± 0 mm", "rod_end_spacing": "1280 ± 0 mm",
               "axis_spacing_at_ground": "1316 ± 0 mm", "arm_fore_aft": e, "arm_inboard": f})
    };
    let behind = car("132 ± 0 mm behind", "18 ± 0 mm inboard");
    let ahead = car("140 ± 0 mm ahead", "18 ± 0 mm inboard");
    let mut unlike = behind.clone();
    unlike["right_arm_fore_aft"] = json!("124 ± 0 mm behind");
    unlike["right_arm_inboard"] = json!("18 ± 0 mm inboard");
    let plan = |car: &Value, fit: Value, limits: Value| json!({"donorack": 1, "car": car, "racks": [fit], "limits": limits});
    vec![
        ("arms behind", plan(&behind, json!({"rack_line": "18 ± 0 mm behind"}), json!({"circle_max": "12 m"}))),
        ("arms behind, rack line close", plan(&behind, json!({"rack_line": "110 ± 0 mm ahead"}), json!({"lock_inner": 38}))),
        ("arms ahead", plan(&ahead, json!({"rack_line": "30 ± 0 mm ahead"}), json!({"ratio_min": 14, "ratio_max": 19, "turns_max": 3.4}))),
        ("off centre", plan(&behind, json!({"rack_line": "30 ± 0 mm ahead", "offset": "40 ± 0 mm left"}), json!({"lock_inner": 36}))),
        (
            "unlike arms, in two heights",
            plan(&unlike, json!({"rack_line": "0 ± 0 mm", "height": "35 ± 0 mm above"}), json!({"reserve": 14})),
        ),
        (
            "arms behind, Ackermann asked for",
            plan(&behind, json!({"rack_line": "60 ± 0 mm behind"}), json!({"ackermann_min": 75, "ackermann_max": 105})),
        ),
        (
            "Ackermann asked for",
            plan(&ahead, json!({"rack_line": "40 ± 0 mm behind"}), json!({"ackermann_min": 20, "ackermann_max": 55, "lock_inner": 33})),
        ),
    ]
}

/// The plan with a rack of that spacing, travel and travel per turn; the bar goes the way that was told.
fn fitted(value: &Value, spacing: f64, travel: f64, per_turn: f64, bar: &str) -> RackView {
    let mut value = value.clone();
    let rack = value["racks"][0].as_object_mut().unwrap();
    for (name, x) in [("inner_joint_spacing", spacing), ("travel", travel), ("travel_per_turn", per_turn)] {
        rack.insert(name.to_owned(), json!(format!("{x:.6} ± 0 mm")));
    }
    rack.insert("bar_moves".to_owned(), json!(bar));
    evaluate(&plan(&value)).racks.swap_remove(0)
}

/// Which way the bar was told to go.
fn bar(told: &Told) -> &'static str {
    let line = told.lines.iter().find(|l| l.name == "bar").unwrap();
    match line.text.mm.as_str() {
        "to the left" => "left",
        "to the right" => "right",
        other => panic!("{other}"),
    }
}

fn passes(rack: &RackView) -> bool {
    rack.verdict.kind == VerdictKind::Suits
}

/// The limits that a rack fails, by their names in the plan.
fn failed(rack: &RackView) -> Vec<&str> {
    let limit = |name| match name {
        "lock" => "lock_inner",
        "transmission" => "transmission_angle",
        other => other,
    };
    rack.findings.iter().filter(|f| f.judged && f.kind == Kind::Fail).map(|f| limit(f.name)).collect()
}

/// A travel per turn that every limit on ratio and turns allows.
fn per_turn(told: &Told) -> f64 {
    match told.per_turn {
        [Some(a), Some(b)] => (a + b) / 2.0,
        [Some(a), None] => a + 1.0,
        [None, Some(b)] => b - 1.0,
        [None, None] => 47.0,
    }
}

/// Travels to try: finely about one of them, coarsely everywhere.
fn travels(about: f64) -> impl Iterator<Item = f64> {
    let fine = (-50..=50).map(move |i| about + f64::from(i) * 0.02);
    fine.chain((0..=160).map(|i| 20.0 + f64::from(i) * 3.0)).filter(|t| (20.0..=500.0).contains(t))
}

#[test]
fn a_plan_passes_inside_every_edge_of_the_spacing_and_fails_outside_for_the_reason_named() {
    let mut edges = 0;
    for (name, car) in cars() {
        let told = told(&car);
        assert_eq!(told.status, "ok", "{name}: {}", told.summary.mm);
        let Range { ends, travel, limits, .. } = told.spacing.clone().unwrap();
        // With ratio or turns limited, which travel per turn suits depends on spacing and travel: several are tried.
        let tries: Vec<f64> = if told.per_turn == [None; 2] { vec![47.0] } else { (0..12).map(|i| 40.0 + f64::from(i) * 2.0).collect() };
        for (k, outwards) in [-1.0, 1.0].into_iter().enumerate() {
            if limits[k].is_empty() {
                continue;
            }
            edges += 1;
            let any = |s: f64| travels(travel[k]).any(|t| tries.iter().any(|&c| passes(&fitted(&car, s, t, c, bar(&told)))));
            assert!(any(ends[k] - outwards * 0.5), "{name}: nothing passes inside {}", ends[k]);
            for t in travels(travel[k]) {
                for &c in &tries {
                    let rack = fitted(&car, ends[k] + outwards * 0.5, t, c, bar(&told));
                    assert!(!passes(&rack), "{name}: {t} mm of travel passes outside {}", ends[k]);
                }
                let rack = fitted(&car, ends[k] + outwards * 0.5, t, per_turn(&told), bar(&told));
                let why = failed(&rack);
                assert!(why.iter().any(|f| limits[k].contains(f)), "{name} at {t}: {why:?}, told {:?}", limits[k]);
            }
        }
    }
    assert!(edges >= 8, "{edges} edges looked at");
}

#[test]
fn no_spacing_outside_the_range_passes_with_any_travel() {
    for (name, car) in cars().into_iter().filter(|c| c.0 != "arms ahead") {
        let told = told(&car);
        let mut ranges = told.also.clone();
        ranges.push(told.spacing.clone().unwrap().ends);
        for s in (2..50).map(|i| f64::from(i) * 25.0).filter(|s| ranges.iter().all(|r| *s < r[0] || *s > r[1])) {
            let racks = (0..120).map(|i| 20.0 + f64::from(i) * 4.0).map(|t| (t, fitted(&car, s, t, 47.0, bar(&told))));
            let mut tight = false;
            for (t, rack) in racks {
                // Beyond a travel at which rod and arm came too close, a lock may look good again: not told on purpose.
                tight |= failed(&rack).contains(&"transmission_angle");
                assert!(tight || !passes(&rack), "{name}: {s} apart with {t} passes, told {ranges:?}");
            }
        }
    }
}

#[test]
fn a_plan_passes_inside_every_edge_of_the_travel_and_of_the_travel_per_turn() {
    let (mut travels, mut turns) = (0, 0);
    for (name, car) in cars() {
        let told = told(&car);
        let [at, middle] = told.at.unwrap();
        let range = told.travel.clone().unwrap();
        for (k, outwards) in [-1.0, 1.0].into_iter().enumerate() {
            let fit = |by: f64, c: f64| fitted(&car, at, range.ends[k] + outwards * by, c, bar(&told));
            if !range.limits[k].is_empty() {
                travels += 1;
                let c = (0..60).map(|i| 30.0 + f64::from(i) * 0.5).find(|&c| passes(&fit(-0.5, c)));
                let c = c.unwrap_or_else(|| panic!("{name}: nothing passes inside {}: {:?}", range.ends[k], failed(&fit(-0.5, 47.0))));
                let why = fit(0.5, c);
                assert!(failed(&why).contains(&range.limits[k][0]), "{name}: {:?}, told {:?}", failed(&why), range.limits[k]);
            }
            if let Some(c) = told.per_turn[k] {
                turns += 1;
                assert!(passes(&fitted(&car, at, middle, c - outwards * 0.05, bar(&told))), "{name} {c}");
                let why = fitted(&car, at, middle, c + outwards * 0.05, bar(&told));
                let why = failed(&why);
                assert!(!why.is_empty() && why.iter().all(|w| w.starts_with("ratio") || w.starts_with("turns")), "{name}: {why:?}");
            }
        }
    }
    assert!(travels >= 11 && turns == 2, "{travels} edges of travel, {turns} of travel per turn");
}

#[test]
fn the_bar_told_steers_and_the_other_way_is_backwards() {
    for (name, car) in cars() {
        let told = told(&car);
        let [s, t] = told.at.unwrap();
        let (right, wrong) = if bar(&told) == "left" { ("left", "right") } else { ("right", "left") };
        assert!(passes(&fitted(&car, s, t, per_turn(&told), right)), "{name}: {:?}", failed(&fitted(&car, s, t, per_turn(&told), right)));
        assert_eq!(fitted(&car, s, t, per_turn(&told), wrong).verdict.kind, VerdictKind::Backwards, "{name}");
        assert_eq!(bar(&told), if name.contains("ahead") || name.starts_with("Ackermann") { "left" } else { "right" }, "{name}");
    }
}

#[test]
fn a_car_for_which_nothing_passes_says_which_limit_stands_in_the_way() {
    let (_, mut car) = cars().swap_remove(0);
    car["limits"] = json!({"lock_inner": 62});
    let told = told(&car);
    assert_eq!(told.status, "nothing");
    assert!(told.spacing.is_none() && told.travel.is_none());
    let obstacle = told.lines.iter().find(|l| l.name == "obstacle").unwrap();
    assert!(obstacle.text.mm.contains("under 62°") && obstacle.text.mm.contains("kept"), "{obstacle:?}");
    for s in (2..50).map(|i| f64::from(i) * 25.0) {
        for t in (0..120).map(|i| 20.0 + f64::from(i) * 4.0) {
            let rack = fitted(&car, s, t, 47.0, bar(&told));
            assert!(!passes(&rack), "{s} apart, {t} of travel");
        }
    }
}

#[test]
fn the_half_width_of_an_edge_is_what_moving_each_reading_by_its_own_makes() {
    let entries = [
        ("car", "rod_end_spacing", "1280", ""),
        ("car", "arm_fore_aft", "132", " behind"),
        ("car", "arm_inboard", "18", " inboard"),
        ("racks", "rack_line", "110", " ahead"),
    ];
    let make = |moved: usize, by: f64| {
        let mut value = json!({"donorack": 1, "car": {}, "racks": [{}], "limits": {"lock_inner": 38}});
        for (i, (section, name, text, side)) in entries.iter().enumerate() {
            let x: f64 = text.parse().unwrap();
            let x = if i == moved { x + by } else { x };
            let place = if *section == "racks" { &mut value["racks"][0] } else { &mut value["car"] };
            place[*name] = json!(format!("{x} ± 1.5 mm{side}"));
        }
        told(&value)
    };
    let base = make(usize::MAX, 0.0);
    let ends = |t: &Told| [t.spacing.clone().unwrap().ends, t.travel.clone().unwrap().ends].concat();
    let pm = [base.spacing.clone().unwrap().pm, base.travel.clone().unwrap().pm].concat();
    // Travel is told at the middle of the range, which moves: held here by a rack of that spacing.
    let mut sums = [0.0; 4];
    for i in 0..entries.len() {
        let (up, down) = (ends(&make(i, 0.75)), ends(&make(i, -0.75)));
        for k in 0..2 {
            sums[k] += (up[k] - down[k]).powi(2);
        }
    }
    for (k, sum) in sums.iter().enumerate().take(2) {
        if let Some(pm) = pm[k] {
            assert!((pm - sum.sqrt()).abs() < 0.04 * pm, "edge {k}: ± {pm}, moved by {}", sum.sqrt());
        }
    }
    assert!(pm[1].is_some() && pm[2].is_some() && pm[3].is_some(), "{pm:?}");
}

#[test]
fn what_is_missing_is_asked_for_and_what_is_not_needed_is_not() {
    let (_, full) = cars().swap_remove(0);
    let without = |section: &str, name: &str| {
        let mut value = full.clone();
        let place = if section == "racks" { &mut value["racks"][0] } else { &mut value[section] };
        place.as_object_mut().unwrap().remove(name);
        value
    };
    let arms = told(&without("car", "arm_fore_aft"));
    assert_eq!(
        (arms.status, arms.summary.mm.as_str()),
        ("needs", "Needs the tie-rod end’s distance ahead of or behind the steering axis.")
    );
    // The wheelbase is for the circle alone: the limit on it is named, the rest stands.
    let base = told(&without("car", "wheelbase"));
    assert_eq!(base.status, "ok");
    assert!(base.notes.iter().any(|n| n.mm.starts_with("Not checked: largest circle") && n.mm.contains("wheelbase")), "{:?}", base.notes);
    // Without a rack line: level with the rod ends, and said so; one that cannot be read is not taken as none.
    let level = told(&without("racks", "rack_line"));
    assert_eq!(level.status, "ok");
    assert!(level.notes[0].mm.contains("taken as level with the rod ends"), "{:?}", level.notes);
    let mut unread = full.clone();
    unread["racks"][0]["rack_line"] = json!("1o0 mm ahead");
    assert_eq!(told(&unread).status, "needs");
    let mut unread = full.clone();
    unread["limits"]["lock_inner"] = json!("thirty");
    assert_eq!(told(&unread).status, "needs");
    let empty = told(&json!({"donorack": 1}));
    assert_eq!(empty.status, "needs");
    assert!(empty.summary.mm.starts_with("Needs ") && empty.picture.is_none());
}

#[test]
fn the_rack_line_is_that_of_the_chosen_rack_and_the_racks_stand_where_they_were_evaluated() {
    let text = std::fs::read_to_string("../www/page/example.json").unwrap();
    let example = Plan::from_json(&text).unwrap();
    let told = look_for(&example);
    assert_eq!(told.notes[0].mm, "Rack line 18.0 mm behind the rod ends, as for Hatchback rack.");
    let picture = told.picture.unwrap();
    assert_eq!(picture.racks.len(), example.racks.len());
    let view = evaluate(&example);
    for (i, spacing, lock) in picture.racks {
        let results = &view.racks[i].results;
        let least = results.iter().filter(|r| r.name == "lock_inner").filter_map(|r| r.value).fold(f64::INFINITY, f64::min);
        assert!((least - lock).abs() < 1e-9, "rack {i}");
        assert!(picture.x[0] < spacing && spacing < picture.x[1] && picture.y[0] < lock && lock < picture.y[1]);
    }
    // The yellow ends at the range's ends and keeps between the wanted lock and the most.
    let ends = told.spacing.unwrap().ends;
    assert!((picture.band[0].0 - ends[0]).abs() < 1e-6 && (picture.band.last().unwrap().0 - ends[1]).abs() < 1e-6);
    assert!(picture.band.iter().all(|b| b.1 >= 30.0 - 1e-6 && b.2 >= b.1 - 1e-6));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    /// Whatever is typed within the table's ranges: an answer, every range in order and finite.
    #[test]
    fn any_car_is_answered(
        arm in (-500.0..500.0f64, -300.0..300.0f64, 150.0..2900.0f64),
        fit in (-500.0..500.0f64, -300.0..300.0f64, -300.0..300.0f64, 40.0..2000.0f64),
        limits in (1.0..80.0f64, 0.0..100.0f64, 0.0..90.0f64, prop::option::of(-200.0..400.0f64)),
    ) {
        let sided = |x: f64, plus: &str, minus: &str| format!("{:.2} mm {}", x.abs(), if x < 0.0 { minus } else { plus });
        let mut value = json!({
            "donorack": 1,
            "car": {"wheelbase": 2500, "front_track": 1400, "rod_end_spacing": arm.2, "arm_fore_aft": sided(arm.0, "ahead", "behind"),
                    "arm_inboard": sided(arm.1, "inboard", "outboard")},
            "racks": [{"rack_line": sided(fit.0, "ahead", "behind"), "offset": sided(fit.1, "left", "right"),
                       "height": sided(fit.2, "above", "below"), "inner_joint_spacing": fit.3}],
            "limits": {"lock_inner": limits.0, "reserve": limits.1, "transmission_angle": limits.2}
        });
        if let Some(least) = limits.3 {
            value["limits"]["ackermann_min"] = json!(least);
            value["limits"]["turns_max"] = json!(3.2);
            value["limits"]["ratio_min"] = json!(15);
        }
        let told = told(&value);
        prop_assert!(["ok", "nothing", "needs"].contains(&told.status));
        for range in told.spacing.iter().chain(&told.travel) {
            prop_assert!(range.ends[0] <= range.ends[1] && range.ends.iter().all(|x| x.is_finite()), "{range:?}");
        }
        let shown = serde_json::to_string(&told).unwrap();
        prop_assert!(!shown.contains("NaN") && !shown.contains("inf "), "{shown}");
    }
}
