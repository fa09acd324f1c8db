//! Two thousand seeded cars, likely ones and nasty ones: every "suits" is proved by a solver that shares nothing with the core
//! (`tests/src/independent`), every remedy is applied and solved again, every stretch of rack lines and every range to look for is tried on
//! both sides of its ends. What is checked is read from the same JSON as `evaluate` prints.

#![allow(clippy::unwrap_used, clippy::panic)] // A failing test may stop at once.

mod cars;

use cars::{Draw, Kind, drawn, kind};
use donorack::rack_search::look_for;
use donorack::{Plan, evaluate};
use donorack_tests::independent::{Car, Claim, Numbers, prove};
use rand::SeedableRng;
use rand::rngs::StdRng;
use serde_json::{Value, json};
use std::collections::BTreeMap;

/// How many cars are drawn.
const CARS: usize = 2000;
/// How far inside and outside an end of a stretch of rack lines is looked, mm.
const BESIDE: f64 = 0.05;
/// What rounding may do to a margin.
const ROUNDING: f64 = 1e-9;

// --------------------------------------------------------------------------------------------------------- what is said of it

fn parsed(plan: &Value) -> Plan {
    Plan::from_json(&plan.to_string()).unwrap_or_else(|why| panic!("{why}: {plan}"))
}

/// Everything that is said of the first rack.
fn said(plan: &Value) -> Value {
    serde_json::to_value(&evaluate(&parsed(plan)).racks[0]).unwrap()
}

/// Its findings alone.
fn findings(plan: &Value) -> Value {
    serde_json::to_value(&evaluate(&parsed(plan)).racks[0].findings).unwrap()
}

fn judged(findings: &Value) -> impl Iterator<Item = &Value> {
    findings.as_array().unwrap().iter().filter(|f| f["judged"] == true)
}

/// A finding's margin; one that has none is endlessly far from its limit.
fn margin(finding: &Value) -> f64 {
    let none = if finding["kind"] == "fail" { f64::NEG_INFINITY } else { f64::INFINITY };
    finding["margin"].as_f64().unwrap_or(none)
}

/// The smallest margin, each counted in its own ±.
fn score(findings: &Value) -> f64 {
    let one = |f: &Value| match f["pm"].as_f64() {
        // Wheels that steer against each other miss by more than any amount.
        _ if f["name"] == "opposed" && f["kind"] == "fail" => f64::NEG_INFINITY,
        Some(pm) if pm > 0.0 => margin(f) / pm,
        _ if margin(f) < 0.0 => f64::NEG_INFINITY,
        _ => f64::INFINITY,
    };
    judged(findings).map(one).fold(f64::INFINITY, f64::min)
}

/// What no line of a scan keeps, nor any between two of them.
fn missed(scan: &[(f64, Value)]) -> Vec<String> {
    let of = |all: &Value, name: &str| judged(all).filter(|f| f["name"] == name).map(margin).reduce(f64::min);
    let names: std::collections::BTreeSet<&str> = scan.iter().flat_map(|s| judged(&s.1).map(|f| f["name"].as_str().unwrap())).collect();
    let lost = |name: &&str| {
        let all: Vec<f64> = scan.iter().filter_map(|s| of(&s.1, name)).collect();
        let rise = all.windows(2).map(|w| (w[1] - w[0]).abs()).filter(|d| d.is_finite()).fold(0.0, f64::max);
        all.iter().all(|m| *m + rise < 0.0)
    };
    names.into_iter().filter(lost).map(str::to_owned).collect()
}

/// How good a line is where some of what is asked is out of reach at every line: first that the rest is kept beyond doubt.
fn score_of(findings: &Value, missed: &[String]) -> f64 {
    let parts = |out: bool| {
        let some: Vec<Value> = judged(findings).filter(|f| missed.iter().any(|m| f["name"] == **m) == out).cloned().collect();
        score(&json!(some))
    };
    match (missed.is_empty(), parts(false)) {
        (true, all) => all,
        (_, rest) if rest < 1.0 => rest - 1e9,
        _ => parts(true),
    }
}

/// No finding on the wrong side of its limit, whatever its ±.
/// Which way it steers is no matter of the line: a rack that steers backwards is told about as turned end for end.
fn passes(findings: &Value) -> bool {
    judged(findings).filter(|f| f["name"] != "direction").all(|f| margin(f) >= -ROUNDING)
}

/// The judged findings that fail or are too close to call.
fn unsure(findings: &Value) -> Vec<String> {
    let name = |f: &Value| f["name"].as_str().unwrap().to_owned();
    judged(findings).filter(|f| f["kind"] == "fail" || f["kind"] == "close").map(name).collect()
}

fn result(rack: &Value, name: &str) -> [f64; 2] {
    let mut values = rack["results"].as_array().unwrap().iter().filter(|r| r["name"] == name).map(|r| r["value"].as_f64());
    [(); 2].map(|()| values.next().flatten().unwrap_or(f64::NAN))
}

/// The readings as numbers, the rack on the line where it was evaluated.
fn numbers(plan: &Value, rack: &Value) -> Numbers {
    let mut all = Numbers::of(plan, 0).unwrap();
    if all.get("rack_line").is_none()
        && let Some(at) = rack["line"]["at"].as_f64()
    {
        all.put("rack_line", at);
    }
    all
}

/// Proves "suits".
fn proved(plan: &Value, rack: &Value) -> Result<(), String> {
    let claim =
        Claim { usable: result(rack, "usable_travel"), lock_inner: result(rack, "lock_inner"), circle: result(rack, "circle_centre") };
    prove(&numbers(plan, rack), &claim)
}

/// The plan with the rack on that line.
fn on_line(plan: &Value, line: f64) -> Value {
    let mut plan = plan.clone();
    plan["racks"][0]["rack_line"] = json!(line);
    plan
}

/// The plan with everything changed that a cure asks for.
fn cured(plan: &Value, cure: &Value) -> Value {
    let mut plan = plan.clone();
    for change in cure["change"].as_array().unwrap() {
        let (section, field) = (change["section"].as_str().unwrap(), change["field"].as_str().unwrap());
        let place = if section == "racks" { &mut plan["racks"][0] } else { &mut plan[section] };
        match (change["value"].as_f64(), field) {
            (None, _) => {
                place.as_object_mut().unwrap().remove(field);
            }
            (Some(way), "bar_moves") => place[field] = json!(if way > 0.0 { "left" } else { "right" }),
            (Some(value), _) => place[field] = json!(value),
        }
    }
    plan
}

/// The room for a rack line, lowest first.
fn room(plan: &Value) -> [f64; 2] {
    let [a, b] = ["rack_line_from", "rack_line_to"].map(|n| plan["car"][n].as_f64());
    let (low, high) = (a.unwrap_or(-150.0), b.unwrap_or(150.0));
    [low.min(high), low.max(high)]
}

/// Complaints, and how many things there were to complain of.
#[derive(Default)]
struct Count {
    seen: BTreeMap<String, usize>,
    wrong: Vec<String>,
}

impl Count {
    fn see(&mut self, what: &str) {
        *self.seen.entry(what.to_owned()).or_default() += 1;
    }

    fn must(&mut self, holds: bool, complaint: impl FnOnce() -> String) {
        if !holds {
            self.wrong.push(complaint());
        }
    }

    fn of(&self, what: &str) -> usize {
        self.seen.get(what).copied().unwrap_or(0)
    }

    /// Prints the counts; nothing may be wrong, and of each of these there must have been so many.
    fn end(self, title: &str, least: &[(&str, usize)]) {
        eprintln!("{title}: {:?}, wrong: {}", self.seen, self.wrong.len());
        let shown: Vec<&String> = self.wrong.iter().take(12).collect();
        assert!(
            self.wrong.is_empty(),
            "{title}: {} wrong:\n{}",
            self.wrong.len(),
            shown.iter().map(|s| format!("{s}\n")).collect::<String>()
        );
        for (what, count) in least {
            assert!(self.of(what) >= *count, "{title}: {what}: only {} of {count}", self.of(what));
        }
    }
}

// ---------------------------------------------------------------------------------------------------------------- the tests

/// Each car on its own: a verdict, its proof, its remedies.
fn look_at(plan: &Value, count: &mut Count) {
    let rack = said(plan);
    let kind = rack["verdict"]["kind"].as_str().unwrap();
    count.see(kind);
    if kind == "suits" {
        count.must(unsure(&rack["findings"]).is_empty(), || format!("suits, but {:?}: {plan}", unsure(&rack["findings"])));
        let proof = proved(plan, &rack);
        count.must(proof.is_ok(), || format!("suits, but {proof:?}: {plan}"));
        if rack["line"]["status"] == "found" {
            count.see("suits on a found line");
        }
        if plan["car"].get("kingpin_inclination").is_some() {
            count.see("suits with inclined axes");
        }
    }
    // The two verdicts that are no matter of amount.
    if let Ok(car) = Car::new(numbers(plan, &rack))
        && let [Some(left), Some(right)] = [0, 1].map(|w: usize| car.wheels[w].at(0.0).map(|x| x.rate))
        && kind != "needs"
    {
        let bar = if plan["racks"][0]["bar_moves"] == "left" { 1.0 } else { -1.0 };
        let right_word = if left * right < 0.0 {
            Some("opposed")
        } else if left * bar < 0.0 {
            Some("backwards")
        } else {
            None
        };
        let word = ["opposed", "backwards"].into_iter().find(|w| *w == kind);
        // So slow a wheel that its ± could reverse it is too close to call.
        let unsure = judged(&rack["findings"]).any(|f| (f["name"] == "direction" || f["name"] == "opposed") && f["kind"] == "close");
        count.must(word == right_word || unsure, || format!("{kind}, but the wheels' rates are {left} and {right}: {plan}"));
    }
    for finding in rack["findings"].as_array().unwrap() {
        for cure in finding["cures"].as_array().into_iter().flatten() {
            remedy(plan, finding, cure, count);
        }
    }
}

/// A remedy does what it says: then nothing is left that fails or is too close, but what it names.
fn remedy(plan: &Value, finding: &Value, cure: &Value, count: &mut Count) {
    count.see("remedies");
    let place = || format!("{} of {}: {} in {plan}", finding["name"], finding["side"], cure["text"]["mm"]);
    let changes = cure["change"].as_array().map_or(0, Vec::len);
    count.must(changes > 0, || format!("a remedy that changes nothing, {}", place()));
    for dress in ["mm", "inch"] {
        count.must(cure["text"][dress].as_str().is_some_and(|t| !t.is_empty()), || format!("a remedy without words, {}", place()));
    }
    let after = cured(plan, cure);
    let plan = match Plan::from_json(&after.to_string()) {
        Ok(plan) => plan,
        Err(why) => return count.must(false, || format!("{why}, {}", place())),
    };
    let rack = serde_json::to_value(&evaluate(&plan).racks[0]).unwrap();
    let left = unsure(&rack["findings"]);
    let still: Vec<&str> = cure["still"].as_array().into_iter().flatten().filter_map(Value::as_str).collect();
    count.must(left.iter().all(|l| still.contains(&l.as_str())), || format!("{left:?} left, said {still:?}, {}", place()));
    count.must(still.iter().all(|s| left.iter().any(|l| l == s)), || format!("said {still:?} left, {left:?} are, {}", place()));
    count.see(if still.is_empty() { "remedies that cure" } else { "remedies that leave something" });
    if still.is_empty() {
        let kind = rack["verdict"]["kind"].as_str().unwrap();
        count.must(kind == "suits", || format!("{kind} after it, {}", place()));
        let proof = if kind == "suits" { proved(&after, &rack) } else { Ok(()) };
        count.must(proof.is_ok(), || format!("suits after it, but {proof:?}, {}", place()));
    }
}

/// The checking of remedies notices one that does not cure, and one that says too much or too little.
#[test]
fn a_remedy_that_does_not_do_what_it_says_is_noticed() {
    let plan = json!({
        "donorack": 1,
        "car": {"wheelbase": 2540, "front_track": 1422, "rod_end_spacing": 1280, "arm_fore_aft": -132, "arm_inboard": 18},
        "racks": [{"travel_per_turn": 46, "travel": 110, "inner_joint_spacing": 590, "bar_moves": "right", "rack_line": 18, "offset": 0, "height": 0}],
        "limits": {}
    });
    let rack = said(&plan);
    let lock = rack["findings"].as_array().unwrap().iter().find(|f| f["name"] == "lock").unwrap();
    assert_eq!((lock["kind"].as_str(), rack["verdict"]["kind"].as_str()), (Some("fail"), Some("fails")));
    let tried = |travel: f64, still: &[&str]| {
        let change = json!([{"section": "racks", "field": "travel", "value": travel}]);
        let mut count = Count::default();
        remedy(&plan, lock, &json!({"change": change, "still": still, "text": {"mm": "more travel", "inch": "more travel"}}), &mut count);
        count.wrong.len()
    };
    assert_eq!(tried(136.0, &[]), 0, "it cures");
    assert!(tried(112.0, &[]) >= 2, "it does not");
    assert_eq!(tried(112.0, &["lock"]), 0, "it says that it does not");
    assert_eq!(tried(136.0, &["lock"]), 1, "it cures, and says that it does not");
    assert!(tried(200.0, &[]) >= 2, "past the toggle");
}

#[test]
fn every_suits_of_two_thousand_cars_is_proved_and_every_remedy_does_what_it_says() {
    let mut draw = Draw(StdRng::seed_from_u64(2_000_901));
    let mut count = Count::default();
    for _ in 0..CARS {
        let kind = kind(&mut draw);
        look_at(&drawn(&mut draw, kind), &mut count);
    }
    let least = [
        ("suits", 200),
        ("fails", 200),
        ("close", 30),
        ("backwards", 40),
        ("opposed", 30),
        ("suits on a found line", 60),
        ("suits with inclined axes", 30),
        ("remedies", 300),
        ("remedies that cure", 150),
    ];
    count.end("verdicts", &least);
}

#[test]
fn a_stretch_of_rack_lines_ends_where_something_fails_or_the_room_ends() {
    let mut draw = Draw(StdRng::seed_from_u64(2_000_902));
    let mut count = Count::default();
    for _ in 0..CARS / 4 {
        let likely = draw.chance(0.85);
        let plan = drawn(&mut draw, Kind { likely, fitted: false });
        let rack = said(&plan);
        let line = &rack["line"];
        let Some(status) = line["status"].as_str() else {
            count.see("without a line");
            continue;
        };
        count.see(status);
        let Some(at) = line["at"].as_f64() else { continue };
        let [low, high] = room(&plan);
        count.must((low - ROUNDING..=high + ROUNDING).contains(&at), || format!("{at} outside of the room: {plan}"));
        // What is said is said of the rack on that line.
        let there = said(&on_line(&plan, at));
        for name in ["usable_travel", "lock_inner", "ratio_centre"] {
            let (a, b) = (result(&rack, name), result(&there, name));
            let same = a.iter().zip(&b).all(|(a, b)| a.is_nan() && b.is_nan() || (a - b).abs() <= 1e-9 * a.abs().max(1.0));
            count.must(same, || format!("{name} {a:?}, on that line {b:?}: {plan}"));
        }
        if status != "found" {
            count.must(!passes(&there["findings"]), || format!("no line passes, but {at} does: {plan}"));
            continue;
        }
        let [Some(from), Some(to)] = ["from", "to"].map(|k| line[k].as_f64()) else {
            count.must(false, || format!("found, but from where to where? {plan}"));
            continue;
        };
        let (near, far) = (from.min(to), from.max(to));
        count.must(near - ROUNDING <= at && at <= far + ROUNDING, || format!("{at} is not within {near} to {far}: {plan}"));
        count.must(low - ROUNDING <= near && far <= high + ROUNDING, || format!("{near} to {far} leaves the room: {plan}"));
        for (name, end, outwards) in [("from", from, (from - to).signum()), ("to", to, (to - from).signum())] {
            let limit = line[format!("{name}_limit").as_str()].as_str().unwrap_or("");
            count.must(!limit.is_empty(), || format!("no limit is named at {end}: {plan}"));
            count.see(if limit == "room" { "ends of the room" } else { "ends by a limit" });
            if far - near > 2.0 * BESIDE {
                let inside = findings(&on_line(&plan, end - outwards * BESIDE));
                count.must(passes(&inside), || format!("inside {end} ({limit}) it fails by {:?}: {plan}", unsure(&inside)));
            }
            if limit != "room" {
                let outside = findings(&on_line(&plan, end + outwards * BESIDE));
                count.must(!passes(&outside), || format!("outside {end} ({limit}) it passes: {plan}"));
                let named = judged(&outside).any(|f| margin(f) < 0.0 && f["name"] == finding_of(limit));
                count.must(named, || format!("outside {end} it is not {limit} that fails: {plan}"));
            }
        }
    }
    count.end("stretches", &[("found", 180), ("none", 60), ("ends by a limit", 100), ("ends of the room", 100)]);
}

#[test]
fn the_best_line_is_no_worse_than_the_best_of_a_scan() {
    let mut draw = Draw(StdRng::seed_from_u64(2_000_903));
    let mut count = Count::default();
    for _ in 0..200 {
        let likely = draw.chance(0.85);
        let mut plan = drawn(&mut draw, Kind { likely, fitted: false });
        if draw.chance(0.75) && plan["car"].get("rack_line_from").is_none() {
            plan["car"]["rack_line_from"] = json!(draw.between(-60.0, -5.0));
            plan["car"]["rack_line_to"] = json!(draw.between(5.0, 60.0));
        }
        let rack = said(&plan);
        let line = &rack["line"];
        let (Some(status), Some(at)) = (line["status"].as_str(), line["at"].as_f64()) else {
            count.see("without a line");
            continue;
        };
        count.see(status);
        let [low, high] = room(&plan);
        let steps = (high - low).floor() as u32;
        let lines = (0..=steps).map(|i| low + f64::from(i)).chain([high]);
        let scan: Vec<(f64, Value)> = lines.map(|x| (x, findings(&on_line(&plan, x)))).collect();
        let any = scan.iter().any(|s| passes(&s.1));
        count.must(!any || status == "found", || format!("{status}, but a line of the scan passes: {plan}"));
        // A rack that steers backwards, or wheels against each other: no line is better for it than another.
        if ["backwards", "opposed"].iter().any(|kind| rack["verdict"]["kind"] == *kind) {
            continue;
        }
        count.see("compared");
        let missed = missed(&scan);
        count.see(if missed.is_empty() { "all within reach" } else { "something out of reach" });
        // In the coarser steps of the search something may have seemed to come within reach between two lines; and where nothing passes,
        // what the builder wishes gives way to what every rack must keep.
        let wishes = [
            "ratio_min",
            "ratio_max",
            "turns_min",
            "turns_max",
            "ackermann_min",
            "ackermann_max",
            "circle_max",
            "circle_edge_max",
            "wall_to_wall_max",
        ];
        let asked = |w: &&str| !any && !missed.iter().any(|m| m == w) && scan.iter().any(|s| judged(&s.1).any(|f| f["name"] == **w));
        let missed: Vec<String> = missed.iter().cloned().chain(wishes.into_iter().filter(asked).map(str::to_owned)).collect();
        let sets = (0..1_u32 << missed.len())
            .map(|set| missed.iter().enumerate().filter(move |m| set >> m.0 & 1 == 1).map(|m| m.1.clone()).collect());
        let there = findings(&on_line(&plan, at));
        let no_worse = |missed: Vec<String>| {
            let best = scan.iter().map(|s| score_of(&s.1, &missed)).fold(f64::NEG_INFINITY, f64::max);
            let there = score_of(&there, &missed);
            (there == best || there >= best - 0.02 * best.abs(), there, best)
        };
        let tried: Vec<_> = sets.map(no_worse).collect();
        count.must(tried.iter().any(|t| t.0), || format!("at {at}, {missed:?}, {tried:?}: {plan}"));
    }
    count.end("scans", &[("found", 90), ("none", 15), ("compared", 130)]);
}

/// The findings that the ranges to look for are about, and the limits that they name.
fn sought(finding: &Value) -> bool {
    let name = finding["name"].as_str().unwrap();
    let own = ["ratio_min", "ratio_max", "turns_min", "turns_max", "ackermann_min", "ackermann_max"];
    let circles = ["circle_max", "circle_edge_max", "wall_to_wall_max"];
    ["lock", "reserve", "transmission"].contains(&name) || own.contains(&name) || circles.contains(&name)
}

fn finding_of(limit: &str) -> &str {
    match limit {
        "lock_inner" => "lock",
        "transmission_angle" => "transmission",
        other => other,
    }
}

#[test]
fn what_to_look_for_passes_inside_its_ranges_and_fails_outside() {
    let mut draw = Draw(StdRng::seed_from_u64(2_000_904));
    let mut count = Count::default();
    for _ in 0..36 {
        let mut plan = drawn(&mut draw, Kind { likely: true, fitted: true });
        // Where rods may be of any length and much lock is asked, the spacing ends by the builder's own limits.
        if draw.chance(0.5) {
            for name in ["usual_rod_min", "usual_rod_max"] {
                plan["limits"][name] = json!("off");
            }
            plan["limits"]["lock_inner"] = json!(draw.between(34.0, 44.0));
            plan["limits"]["transmission_angle"] = json!(draw.between(30.0, 42.0));
        }
        let rack = plan["racks"][0].as_object_mut().unwrap();
        for unneeded in [
            "rack_line",
            "rod_length",
            "rod_length_min",
            "rod_length_max",
            "inner_joint_limit",
            "outer_joint_limit",
            "stop_left",
            "stop_right",
        ] {
            rack.remove(unneeded);
        }
        let told = serde_json::to_value(look_for(&parsed(&plan))).unwrap();
        let status = told["status"].as_str().unwrap();
        count.see(status);
        if status != "ok" {
            continue;
        }
        let both = |v: &Value| [0, 1].map(|k| v[k].as_f64());
        let bar = told["lines"].as_array().unwrap().iter().find(|l| l["name"] == "bar").unwrap();
        let bar = if bar["text"]["mm"].as_str().unwrap().contains("left") { "left" } else { "right" };
        let Some(per_turn) = told["per_turn"]["best"].as_f64() else {
            count.must(false, || format!("no travel per turn is told: {plan}"));
            continue;
        };
        // What fails of a rack with that spacing and travel.
        let failing = |spacing: f64, travel: f64, per_turn: f64| -> Vec<String> {
            let mut plan = plan.clone();
            for (name, x) in [("inner_joint_spacing", spacing), ("travel", travel), ("travel_per_turn", per_turn)] {
                plan["racks"][0][name] = json!(x);
            }
            plan["racks"][0]["bar_moves"] = json!(bar);
            let all = findings(&plan);
            judged(&all).filter(|f| sought(f) && margin(f) < -ROUNDING).map(|f| f["name"].as_str().unwrap().to_owned()).collect()
        };
        // The same with the travel per turn that suits it: it is told for one travel, another may want more turns, or another ratio.
        let fewest = |spacing: f64, travel: f64| {
            let like = per_turn * travel / told["at"][1].as_f64().unwrap();
            let each = [0, 1, -1, 2, -2, 4, -4, 8, -8].map(|n| failing(spacing, travel, like * (1.0 + 0.03 * f64::from(n))));
            each.into_iter().reduce(|a, b| if b.len() < a.len() { b } else { a }).unwrap()
        };
        let [Some(at), _] = both(&told["at"]) else {
            count.must(false, || format!("no spacing for which the travel is told: {plan}"));
            continue;
        };
        let [Some(low), Some(high)] = both(&told["travel"]["ends"]) else {
            count.must(false, || format!("no travel is told: {plan}"));
            continue;
        };
        for i in 1..8 {
            let travel = low + (high - low) * f64::from(i) / 8.0;
            let why = fewest(at, travel);
            count.see("travels inside");
            count.must(why.is_empty(), || format!("{at} apart with {travel} fails by {why:?}: {plan}"));
        }
        for k in 0..2 {
            let outwards = [-1.0, 1.0][k];
            let named = |range: &Value| -> Vec<String> {
                let all = range["limits"][k].as_array().into_iter().flatten().filter_map(Value::as_str);
                all.filter(|l| sought(&json!({"name": finding_of(l)}))).map(|l| finding_of(l).to_owned()).collect()
            };
            let limits = named(&told["travel"]);
            if !limits.is_empty() {
                count.see("ends of the travel");
                // Turns go with the travel per turn, whose own bound may be what is usual of the ratio.
                let turns = limits.iter().any(|l| l.starts_with("turns") || l.starts_with("ratio"));
                let beyond = [low, high][k] + outwards * 0.5;
                let why = if turns { failing(at, beyond, per_turn) } else { fewest(at, beyond) };
                count.must(limits.iter().any(|l| why.contains(l)), || {
                    format!("outside {} of travel {why:?} fail, told {limits:?}: {plan}", [low, high][k])
                });
            }
            let (limits, ends, travel) = (named(&told["spacing"]), both(&told["spacing"]["ends"]), both(&told["spacing"]["travel"]));
            if let (false, Some(end), Some(travel)) = (limits.is_empty(), ends[k], travel[k]) {
                count.see("ends of the spacing");
                // Finely about the travel told there, from the middle outwards: close to an end hardly any travel is left, and less of the line than the steps in which it is found.
                let near = |spacing: f64| (0..600).map(move |i| (spacing, travel + f64::from(i / 2) * 0.02 * [1.0, -1.0][i as usize % 2]));
                let any = near(end - outwards * 4.0)
                    .any(|(s, t)| failing(s, t, per_turn).iter().all(|w| w.starts_with("turns") || w.starts_with("ratio")));
                count.must(any, || format!("nothing passes inside a spacing of {end}: {plan}"));
                let practice = |l: &Value| l.as_str().is_some_and(|l| l.starts_with("usual") || l == "inner_joint_limit");
                if told["spacing"]["limits"][k].as_array().into_iter().flatten().any(practice) {
                    continue;
                }
                count.see("spacings outside");
                let passes = near(end + outwards * 0.5)
                    .step_by(15)
                    .find(|&(s, t)| failing(s, t, per_turn).iter().all(|w| w.starts_with("turns") || w.starts_with("ratio")));
                count.must(passes.is_none(), || format!("{passes:?} passes outside a spacing of {end} by {limits:?}: {plan}"));
            }
        }
        // Between the ends of the spacing: some travel suits everywhere.
        if let ([Some(from), Some(to)], [Some(a), Some(b)]) = (both(&told["spacing"]["ends"]), both(&told["spacing"]["travel"])) {
            for share in [0.1, 0.35, 0.6, 0.85] {
                let (spacing, about) = (from + (to - from) * share, a + (b - a) * share);
                let mut tries = (0..160).flat_map(|i| [about + f64::from(i) * 0.75, about - f64::from(i) * 0.75]).filter(|t| *t > 20.0);
                count.see("spacings inside");
                let found = tries.any(|t| failing(spacing, t, per_turn).iter().all(|w| w.starts_with("turns") || w.starts_with("ratio")));
                count.must(found, || format!("no travel suits inner joints {spacing} apart, told {from} to {to}: {plan}"));
            }
        }
        for (k, outwards) in [(0, -1.0), (1, 1.0)] {
            // A travel per turn beyond its end fails by the ratio or the turns, where one of these is limited.
            let own = ["ratio_min", "ratio_max", "turns_min", "turns_max"].iter().any(|n| plan["limits"].get(n).is_some());
            let Some(end) = told["per_turn"]["ends"][k].as_f64().filter(|_| own) else { continue };
            let travel = told["at"][1].as_f64().unwrap();
            count.see("ends of the travel per turn");
            let inside = failing(at, travel, end - outwards * 0.05);
            count.must(inside.is_empty(), || format!("{end} a turn fails by {inside:?}: {plan}"));
        }
    }
    let least = [("ok", 20), ("travels inside", 120), ("ends of the travel", 50), ("spacings inside", 100), ("ends of the spacing", 12)];
    count.end("what to look for", &least);
}
