//! Racks that the ± cannot tell apart, and what a figure rests on.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test fails by panicking")]

use donorack::{
    Alike, Entry, Explained, FIELDS, Plan, Readings, ResultId, Results, Section, View, evaluate, evaluate_rack, explain, solve,
};
use rand::{RngExt, SeedableRng};
use rand_distr::StandardNormal;

/// An invented car, nothing of it taken for granted, and these racks.
fn plan(racks: &str) -> Plan {
    let json = format!(
        r#"{{"donorack": 1, "car": {{"wheelbase": 2540, "front_track": 1384, "rod_end_spacing": 1180, "arm_fore_aft": "132 behind", "arm_inboard": "24 inboard",
            "kingpin_inclination": "0 ± 0 deg", "caster": "0 ± 0 deg", "rod_end_height": "250 ± 0 mm"}}, "racks": [{racks}]}}"#
    );
    Plan::from_json(&json).unwrap()
}

fn rack(per_turn: f64, travel: f64, line: &str) -> String {
    format!(
        r#"{{"name": "A", "inner_joint_spacing": 610, "travel_per_turn": "{per_turn} mm", "travel": "{travel} mm", "bar_moves": "right", "offset": "0 ± 0 mm", "height": "0 ± 0 mm"{line}}}"#
    )
}

const LINE: &str = r#", "rack_line": "36 behind""#;

fn row<'a>(view: &'a View, key: &str) -> &'a Alike {
    view.alike.iter().find(|a| a.key == key).unwrap()
}

#[test]
fn a_copy_cannot_be_told_apart_and_a_much_longer_rack_can() {
    let racks = [rack(47.2, 130.0, LINE), rack(47.2, 130.0, LINE), rack(47.2, 90.0, LINE)].join(",");
    let view = evaluate(&plan(&racks));
    for alike in &view.alike {
        assert!(alike.racks[0].contains(&1) && alike.racks[1].contains(&0), "{alike:?}");
        assert!(!alike.racks.iter().enumerate().any(|(i, others)| others.contains(&i)), "{alike:?}");
        for (i, others) in alike.racks.iter().enumerate() {
            assert!(others.iter().all(|&j| alike.racks[j].contains(&i)), "as much one way as the other: {alike:?}");
        }
    }
    assert!(!row(&view, "lock").racks[0].contains(&2) && !row(&view, "turns").racks[2].contains(&1));
    // The same travel per turn: the ratio on centre is the same.
    assert_eq!(row(&view, "ratio").racks[2], [0, 1]);
    // The best first: more lock is better, fewer turns are; of two alike the first.
    assert_eq!((&*row(&view, "lock").order, &*row(&view, "turns").order), (&[0, 1, 2][..], &[2, 0, 1][..]));
    assert_eq!((&*row(&view, "ratio").findings, &*row(&view, "reserve").findings), (&["ratio_min", "ratio_max"][..], &["reserve"][..]));
    // Without a figure there is nothing to say, and it comes last.
    let view = evaluate(&plan(&[r#"{"travel_per_turn": 47}"#.to_owned(), rack(47.2, 130.0, LINE)].join(",")));
    assert!(view.alike.iter().all(|a| a.racks.iter().all(Vec::is_empty) && a.order == [1, 0]), "{:?}", view.alike);
}

/// The ± of a difference against draws: every reading drawn from its own ±, the car's the same for both racks.
/// GUM (JCGM 100), section 5.2, for what a shared reading does; a fixed seed.
#[test]
fn what_is_shared_does_not_blur_a_difference() {
    // The travel from which on the circle is told apart from the first rack's.
    let told = |extra: f64| {
        let view = evaluate(&plan(&[rack(47.2, 100.0, LINE), rack(47.2, 100.0 + extra, LINE)].join(",")));
        row(&view, "circle").racks[0].is_empty()
    };
    let (mut low, mut high) = (0.0, 40.0);
    assert!(!told(low) && told(high));
    for _ in 0..30 {
        let mid = (low + high) / 2.0;
        if told(mid) { high = mid } else { low = mid }
    }
    // Drawn: the difference of the two circles at that travel, 1.96 standard deviations.
    let plan = plan(&[rack(47.2, 100.0, LINE), rack(47.2, 100.0 + high, LINE)].join(","));
    let readings: Vec<Readings> = (0..2).map(|i| Readings::of(&plan, i)).collect();
    let mut random = rand::rngs::StdRng::seed_from_u64(20_260_101);
    let circle = |x: &donorack::Inputs| {
        let sheet = solve(x, [None; 2]).results;
        (0..2).map(|side| sheet.values()[Results::index(ResultId::CircleCentre, side)].unwrap()).fold(0.0, f64::max)
    };
    let mut differences = Vec::new();
    for _ in 0..4000 {
        let mut x = [readings[0].inputs(), readings[1].inputs()];
        for spec in FIELDS.iter().filter(|s| s.section != Section::Limits) {
            let draws: [f64; 2] = std::array::from_fn(|_| random.sample(StandardNormal));
            for i in 0..2 {
                if let (Some(value), Some(item)) = (x[i].get(spec.field), readings[i].items[spec.field as usize]) {
                    let shared = spec.section == Section::Car;
                    x[i] = x[i].with(spec.field, Some(value + item.pm / 1.96 * draws[if shared { 0 } else { i }]));
                }
            }
        }
        differences.push(circle(&x[0]) - circle(&x[1]));
    }
    let n = differences.len() as f64;
    let mean = differences.iter().sum::<f64>() / n;
    let half = 1.96 * (differences.iter().map(|d| (d - mean).powi(2)).sum::<f64>() / (n - 1.0)).sqrt();
    assert!((mean.abs() / half - 1.0).abs() < 0.1, "told apart from {mean:.1} mm on, drawn ± {half:.1} mm");
    // As if nothing were shared it would be much more.
    let pm = |i: usize| evaluate_rack(&plan, i).uncertainties.pm[Results::index(ResultId::CircleCentre, 0)].unwrap();
    assert!(pm(0).hypot(pm(1)) > 1.15 * half, "{} {} {half}", pm(0), pm(1));
}

fn names(e: &Explained) -> Vec<&'static str> {
    e.inputs.iter().map(|i| i.name).collect()
}

#[test]
fn a_figure_names_what_it_rests_on() {
    let two = plan(&[rack(47.2, 130.0, LINE), rack(45.0, 120.0, "")].join(","));
    let turns = explain(&two, 0, "turns_bare", 0).unwrap();
    assert_eq!(names(&turns), ["travel_per_turn", "travel"]);
    assert_eq!(turns.inputs[0].typed, "47.2 mm");
    assert!(turns.inputs[0].pm.mm.starts_with("± 0.75 mm"), "{:?}", turns.inputs[0].pm);
    let shares: f64 = turns.inputs.iter().filter_map(|i| i.share.strip_suffix(" %")?.parse::<f64>().ok()).sum();
    assert!((shares - 100.0).abs() <= 1.0, "{turns:?}");
    // A second rack stands at its own best line, and a rack that is not there explains nothing.
    let lock = explain(&two, 1, "lock_inner", 0).unwrap();
    let line = lock.inputs.iter().find(|i| i.name == "rack_line").unwrap();
    assert_eq!(line.mark, "its best place, found");
    assert!(!names(&lock).contains(&"wheelbase") && names(&lock).contains(&"inner_joint_spacing"));
    // The circle needs the wheelbase; the reserve is named only where it ends the travel.
    let circle = explain(&two, 0, "circle_centre", 0).unwrap();
    assert!(names(&circle).contains(&"wheelbase") && !circle.source.contains("SAE J695"));
    assert!(!names(&circle).contains(&"reserve") && !names(&circle).contains(&"travel_per_turn"), "{:?}", names(&circle));
    let long = plan(&rack(47.2, 400.0, LINE));
    let reserve = explain(&long, 0, "usable_travel", 0).unwrap();
    let kept = reserve.inputs.iter().find(|i| i.name == "reserve").unwrap();
    assert!(kept.mark.contains("common practice") && kept.typed == "10 mm", "{kept:?}");
    for (rack, name, side) in [(5, "lock_inner", 0), (0, "turns_bare", 1), (0, "no_such", 0), (0, "wall_to_wall", 0)] {
        assert_eq!(explain(&two, rack, name, side), None, "{name}");
    }
}

/// Soundness of the list: a reading that is not named can be changed by its ± without changing the figure, one that is named cannot.
#[test]
fn nothing_is_left_out_and_nothing_is_idle() {
    let json = include_str!("../data/every-field.json");
    let plan = Plan::from_json(json).unwrap();
    let before = evaluate_rack(&plan, 0);
    let mut checked = 0;
    // The better places of an inner joint are none of its results.
    let plain = solve(&before.readings.inputs(), [None; 2]).results;
    for row in donorack::RESULTS {
        for side in (0..row.count()).filter(|side| plain.get(row.name, *side).is_ok()) {
            let Some(told) = explain(&plan, 0, row.key, side) else { continue };
            assert!(!told.inputs.is_empty() && !told.source.is_empty(), "{}", row.key);
            let place = Results::index(row.name, side);
            let base = before.solution.results.values()[place].unwrap();
            for spec in FIELDS.iter().filter(|s| s.scale.sides.is_none() && s.section != Section::Limits) {
                let Some(entry) = plan.entry(spec.field, 0) else { continue };
                let x = before.readings.inputs();
                let Some(value) = x.get(spec.field) else { continue };
                let pm = entry.read(&spec.scale).unwrap().pm;
                let after = solve(&x.with(spec.field, Some(value + 0.5 * donorack::kernel(spec.field, pm))), [None; 2]);
                let changed = after.results.values()[place].map_or(true, |v| (v - base).abs() > 1e-7 * (1.0 + base.abs()));
                assert!(!changed || names(&told).contains(&spec.name), "{} moves {} unnamed", spec.name, row.key);
                checked += 1;
            }
            for input in &told.inputs {
                assert_ne!(input.typed, "", "{} of {}", input.name, row.key);
                let spec =
                    FIELDS.iter().find(|s| s.name == input.name && (s.section != Section::Limits || input.pm.mm.is_empty())).unwrap();
                assert!(!Entry::parse_form(&input.typed, &spec.scale).is_blank(&spec.scale));
            }
        }
    }
    assert!(checked > 200, "{checked}");
}
