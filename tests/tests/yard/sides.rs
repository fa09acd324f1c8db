//! Every told range on both sides of each of its ends.

use crate::cars::{bar, failed, judged, of_practice, plan, turns};
use donorack::rack_search::{BuyingGuide, look_for};
use serde_json::{Value, json};

/// Every told range of a car against evaluating on both sides of each of its ends; how many ends there were, and how many of them not of
/// common practice.
pub fn both_sides(name: &str, car: &Value, told: &BuyingGuide) -> (usize, usize) {
    let way = bar(told);
    let tries = turns(told, car);
    let [at, travel] = told.at.unwrap();
    let limit = |name: &str| car["limits"][name].as_f64();
    let passes = |s: f64, t: f64| {
        // With the travels per turn at which the turns are just as many, or as few, as is allowed.
        let by_turns = [limit("turns_max").map(|n| 1.0001 * t / n), limit("turns_min").map(|n| 0.9999 * t / n)];
        by_turns.into_iter().flatten().chain(tries.iter().copied()).any(|c| failed(&judged(car, s, t, c, way)).is_empty())
    };
    let (mut ends, mut own) = (0, 0);
    let spacing = told.spacing.clone().unwrap();
    for (k, out) in [-1.0, 1.0].into_iter().enumerate() {
        ends += 1;
        // Inside: with the few travels that are told for that spacing.
        let inside = spacing.ends[k] - out * 0.5;
        let mut there = car.clone();
        there["racks"][0]["inner_joint_spacing"] = json!(inside);
        let there = look_for(&plan(&there)).travel.unwrap();
        let travel = (there.ends[0] + there.ends[1]) / 2.0;
        assert!(
            spacing.ends[1] - spacing.ends[0] < 1.0 || passes(inside, travel),
            "{name}: {inside} apart with {travel} of travel does not pass, told {spacing:?}, {there:?}: {:?}",
            failed(&judged(car, inside, travel, tries[tries.len() / 2], way))
        );
        if !of_practice(&spacing.limits[k]) {
            own += 1;
            let near = (-6..=6).map(|i| spacing.travel[k] + f64::from(i) * 0.25);
            for t in near.chain((0..20).map(|i| 30.0 + 16.0 * f64::from(i))) {
                for &c in &tries {
                    let outside = spacing.ends[k] + out * 0.5;
                    let why = failed(&judged(car, outside, t, c, way));
                    let told_why = &spacing.limits[k];
                    assert!(!why.is_empty(), "{name}: {outside} apart with {t} passes, told {told_why:?}");
                }
            }
        }
    }
    let range = told.travel.clone().unwrap();
    for (k, out) in [-1.0, 1.0].into_iter().enumerate() {
        ends += 1;
        let inside = range.ends[k] - out * 0.5;
        assert!(
            range.ends[1] - range.ends[0] < 1.0 || passes(at, inside),
            "{name}: {at} apart with {inside} of travel does not pass, told {range:?}: {:?}",
            failed(&judged(car, at, inside, tries[tries.len() / 2], way))
        );
        if !of_practice(&range.limits[k]) {
            own += 1;
            let outside = range.ends[k] + out * 0.5;
            for &c in &tries {
                let why = failed(&judged(car, at, outside, c, way));
                assert!(!why.is_empty(), "{name}: {at} apart with {outside} of travel passes, told {range:?}");
                let named = why.iter().any(|w| range.limits[k].contains(w));
                assert!(named || tries.len() > 1, "{name}: {why:?}, told {range:?}");
            }
        }
    }
    let range = told.per_turn.clone().unwrap();
    for (k, out) in [-1.0, 1.0].into_iter().enumerate() {
        ends += 1;
        let inside = range.ends[k] - out * 0.1;
        let why = failed(&judged(car, at, travel, inside, way));
        assert!(range.ends[1] - range.ends[0] < 0.2 || why.is_empty(), "{name}: {inside} a turn: {why:?}, told {range:?}");
        if !of_practice(&range.limits[k]) {
            own += 1;
            let why = failed(&judged(car, at, travel, range.ends[k] + out * 0.1, way));
            assert!(why.iter().any(|w| w.starts_with("ratio") || w.starts_with("turns")), "{name}: {why:?}, told {range:?}");
        }
    }
    // What is best passes, at every range.
    let best = [spacing.best, told.travel.clone().unwrap().best, range.best];
    for (b, r) in best.iter().zip([&spacing, told.travel.as_ref().unwrap(), &range]) {
        assert!(*b >= r.ends[0] && *b <= r.ends[1], "{name}: {b}, {r:?}");
    }
    assert_eq!(best[1], travel, "{name}");
    let why = failed(&judged(car, at, travel, range.best, way));
    assert!(why.is_empty(), "{name}: the best does not pass: {why:?}");
    (ends, own)
}
