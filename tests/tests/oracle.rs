//! The closure against an independent solver: `tests/oracle/solver.py` follows the rod-length constraint in small steps from the
//! reference configuration (mpmath, no closed form). Its answers are committed; `tests/oracle/README.md` tells how to make them again.

#![allow(clippy::unwrap_used, clippy::panic)] // A failing test may stop at once.

use donorack::{Linkage, Reach, Vec3};
use serde_json::Value;

/// How far an angle may be from the oracle's, degrees.
const ANGLE: f64 = 1e-8;
/// How far a rack displacement of a toggle or fold-back may be from the oracle's, mm.
const EVENT: f64 = 1e-6;

fn read(name: &str) -> Value {
    let path = format!("{}/oracle/{name}", env!("CARGO_MANIFEST_DIR"));
    serde_json::from_str(&std::fs::read_to_string(&path).unwrap()).unwrap()
}

fn vec3(v: &Value) -> Vec3 {
    let x = |i: usize| v[i].as_f64().unwrap();
    Vec3::new(x(0), x(1), x(2))
}

fn linkage(r: &Value) -> Linkage {
    let (pivot, axis, outer, inner) = (vec3(&r["pivot"]), vec3(&r["axis"]), vec3(&r["outer"]), vec3(&r["inner"]));
    match r.get("rod") {
        Some(rod) => Linkage::with_rod(pivot, axis, outer, inner, rod.as_f64().unwrap()),
        None => Linkage::new(pivot, axis, outer, inner),
    }
    .unwrap()
}

/// v turned about the direction `axis` by `theta`, written out here so that nothing of the crate vouches for itself.
fn turned(v: Vec3, axis: Vec3, theta: f64) -> Vec3 {
    let n = (axis.x * axis.x + axis.y * axis.y + axis.z * axis.z).sqrt();
    let (ux, uy, uz) = (axis.x / n, axis.y / n, axis.z / n);
    let (c, s) = (theta.cos(), theta.sin());
    let k = (ux * v.x + uy * v.y + uz * v.z) * (1.0 - c);
    Vec3::new(
        v.x * c + (uy * v.z - uz * v.y) * s + ux * k,
        v.y * c + (uz * v.x - ux * v.z) * s + uy * k,
        v.z * c + (ux * v.y - uy * v.x) * s + uz * k,
    )
}

fn length(v: Vec3) -> f64 {
    (v.x * v.x + v.y * v.y + v.z * v.z).sqrt()
}

/// Distance of two angles in degrees, whatever turns lie between.
fn apart(a: f64, b: f64) -> f64 {
    (a - b + 180.0).rem_euclid(360.0) - 180.0
}

/// The largest of many differences, and where it was.
#[derive(Default)]
struct Worst(f64, String);

impl Worst {
    fn see(&mut self, difference: f64, place: impl FnOnce() -> String) {
        assert!(difference.is_finite(), "{}", place());
        if difference.abs() > self.0 {
            *self = Worst(difference.abs(), place());
        }
    }

    fn within(&self, tolerance: f64, what: &str) {
        eprintln!("largest difference, {what}: {:e} {}", self.0, self.1);
        assert!(self.0 <= tolerance, "{what}: off by {:e} {}", self.0, self.1);
    }
}

/// The oracle covers what it is meant to cover; a thinner file would make the other tests easier without anyone seeing it.
#[test]
fn the_oracle_is_as_wide_as_it_claims() {
    let oracle = read("linkages.json");
    let all = oracle["linkages"].as_array().unwrap();
    let count = |f: &dyn Fn(&Value) -> bool| all.iter().filter(|r| f(r)).count();
    let beyond = |r: &Value, what: &str| r["beyond"].as_array().is_some_and(|b| b.iter().any(|p| p[1] == what));
    assert_eq!(all.len(), 200);
    let near = |r: &Value| {
        let ends: Vec<f64> = r["toggle"].as_array().into_iter().flatten().map(|t| t.as_f64().unwrap()).collect();
        r["at"].as_array().unwrap().iter().any(|p| ends.iter().any(|t| (p[0].as_f64().unwrap() - t).abs() < 2.0))
    };
    assert!(count(&near) >= 40, "within 2 mm of a toggle: {}", count(&near));
    assert!(count(&|r| beyond(r, "too_short")) >= 15);
    assert!(count(&|r| beyond(r, "too_long")) >= 15);
    assert!(count(&|r| ["off centre", "unlike arms", "both"].iter().any(|k| r["kind"] == *k)) >= 40);
    assert!(count(&|r| r["arms"] == "front") >= 60 && count(&|r| r["arms"] == "rear") >= 60);
    assert!(count(&|r| r["axis_is"] == "spatial") >= 60 && count(&|r| r["axis_is"] == "upright") >= 60);
}

#[test]
fn two_hundred_linkages_stand_where_the_oracle_says() {
    let oracle = read("linkages.json");
    let [mut theta, mut steer, mut mu, mut inner, mut rod] = [const { Worst(0.0, String::new()) }; 5];
    let mut positions = 0;
    for (n, r) in oracle["linkages"].as_array().unwrap().iter().enumerate() {
        let l = linkage(r);
        let (pivot, axis, outer) = (vec3(&r["pivot"]), vec3(&r["axis"]), vec3(&r["outer"]));
        let ell = r["length"].as_f64().unwrap();
        rod.see(l.rod() - ell, || format!("linkage {n}, as built"));
        for p in r["at"].as_array().unwrap() {
            let [s, want_theta, want_steer, want_mu, want_inner] = [0, 1, 2, 3, 4].map(|i| p[i].as_f64().unwrap());
            let place = || format!("linkage {n} at {s}");
            let turn = l.at(s).unwrap_or_else(|e| panic!("linkage {n} at {s}: {e:?}"));
            theta.see(apart(turn.angle().to_degrees(), want_theta), place);
            // The steer angle read off the spin axis; by our own rotation, and by the crate's.
            let a = turned(Vec3::new(0.0, 1.0, 0.0), axis, turn.angle());
            steer.see(apart((-a.x).atan2(a.y).to_degrees(), want_steer), place);
            let a = Vec3::LEFT.turned(axis.unit(), turn.cos, turn.sin);
            steer.see(apart((-a.x).atan2(a.y).to_degrees(), want_steer), place);
            mu.see(l.transmission(turn).to_degrees() - want_mu, place);
            inner.see(l.inner_joint(s, turn).to_degrees() - want_inner, place);
            let o = pivot + turned(outer - pivot, axis, turn.angle());
            let i = vec3(&r["inner"]) + Vec3::new(0.0, s, 0.0);
            rod.see(length(o - i) - ell, place);
            positions += 1;
        }
    }
    assert!(positions > 1000);
    theta.within(ANGLE, "turn about the axis, degrees");
    steer.within(ANGLE, "steer angle, degrees");
    mu.within(ANGLE, "transmission angle, degrees");
    inner.within(ANGLE, "inner joint angle, degrees");
    rod.within(1e-9, "rod length, mm");
}

#[test]
fn beyond_a_toggle_the_rod_is_too_short_or_too_long_as_the_oracle_says() {
    let oracle = read("linkages.json");
    let mut seen = [0, 0];
    for (n, r) in oracle["linkages"].as_array().unwrap().iter().enumerate() {
        let l = linkage(r);
        for p in r["beyond"].as_array().into_iter().flatten() {
            let s = p[0].as_f64().unwrap();
            let (want, kind) = match p[1].as_str().unwrap() {
                "too_short" => (Reach::TooShort, 0),
                "too_long" => (Reach::TooLong, 1),
                other => panic!("{other}"),
            };
            assert_eq!(l.at(s).map(|t| t.angle()), Err(want), "linkage {n} at {s}");
            seen[kind] += 1;
        }
    }
    assert!(seen[0] >= 15 && seen[1] >= 15, "{seen:?}");
}

#[test]
fn toggles_and_fold_backs_are_where_the_followed_branch_has_them() {
    let oracle = read("linkages.json");
    let [mut toggle, mut fold] = [const { Worst(0.0, String::new()) }; 2];
    let (mut folds, mut over) = (0, 0);
    for (n, r) in oracle["linkages"].as_array().unwrap().iter().enumerate() {
        let l = linkage(r);
        let got = l.toggles();
        let Some(want) = r["toggle"].as_array() else {
            assert_eq!(got, [None, None], "linkage {n} stands nowhere at mid-travel");
            continue;
        };
        for way in 0..2 {
            let place = || format!("linkage {n}, way {way}");
            toggle.see(got[way].unwrap_or(f64::NAN) - want[way].as_f64().unwrap(), place);
            let want = r["fold_back"][way].as_array().map(|f| (f[0].as_f64().unwrap(), f[1].as_f64().unwrap()));
            match (l.fold_backs(got)[way], want) {
                (Some(a), Some((b, _))) => {
                    fold.see(a - b, place);
                    folds += 1;
                }
                // A fold-back of a wheel turned right round: the crate looks for none there, and says so.
                (None, Some((_, theta))) => assert!(theta.abs() > 170.0, "no fold-back for {}", place()),
                (a, b) => assert!(a.is_none() && b.is_none(), "fold-back {a:?} for {}", place()),
            }
        }
        // The quicker search, which looks no farther than asked, sees the same. Fold-backs that the full one passes over are not its business.
        for (way, far) in [-300.0, -120.0, -60.0, -20.0, 20.0, 60.0, 120.0, 300.0].into_iter().map(|far| (usize::from(far > 0.0), far)) {
            let first = [got[way], l.fold_backs(got)[way]].into_iter().flatten().min_by(|a, b| a.abs().total_cmp(&b.abs())).unwrap();
            match l.dead_point(far) {
                Some(s) => {
                    assert!((s - first).abs() < EVENT && first.abs() <= far.abs() + EVENT, "linkage {n}, to {far}: {s}, not {first}")
                }
                None => assert!(first.abs() > far.abs() - EVENT, "linkage {n}, to {far}: none, but {first}"),
            }
        }
        // Where the rod would reach again past a dead stretch: no position of this linkage, since the toggle lies before it.
        for s in r["over"].as_array().into_iter().flatten().map(|s| s.as_f64().unwrap()) {
            let end = got[usize::from(s > 0.0)].unwrap();
            assert!(end.abs() < s.abs(), "linkage {n}: {s} lies past the toggle at {end}");
            over += 1;
        }
    }
    assert!(folds >= 20 && over >= 10, "{folds} {over}");
    toggle.within(EVENT, "toggle, mm");
    fold.within(EVENT, "fold-back, mm");
}

/// Dead from the start, told by geometry alone: the rod through the axis, the joint on it.
#[test]
fn linkages_that_steer_nothing_say_so() {
    let axis = Vec3::new(0.0, 700.0, 0.0);
    let joint = Vec3::new(-140.0, 680.0, 0.0);
    let new = |outer, inner| Linkage::new(axis, Vec3::UP, outer, inner).map(|l| l.rod());
    assert_eq!(new(joint, Vec3::new(0.0, 700.0, 50.0)), Err(Reach::NoLinkage), "inner joint on the axis");
    assert_eq!(new(Vec3::new(0.0, 700.0, 20.0), joint), Err(Reach::NoLinkage), "no arm");
    assert_eq!(new(joint, Vec3::new(140.0, 720.0, 0.0)), Err(Reach::AtToggle), "rod through the axis");
    assert_eq!(new(joint, Vec3::new(-280.0, 660.0, 0.0)), Err(Reach::AtToggle), "rod in line with the arm");
}

/// How far a result may be from the oracle's, relative to its size (to 1 where it is smaller).
const RESULT: f64 = 1e-9;
/// The same for its ±.
const HALF_WIDTH: f64 = 1e-6;

/// Every result of a plan's first rack that the public interface gives.
fn results(plan: &Value) -> Vec<Value> {
    let plan = donorack::Plan::from_json(&plan.to_string()).unwrap_or_else(|e| panic!("{e}: {plan}"));
    let view = serde_json::to_value(donorack::evaluate(&plan)).unwrap();
    view["racks"][0]["results"].as_array().unwrap().clone()
}

/// The result of that name; `side` is "left", "right" or empty, and the interface says "left wheel", "bar left", "lock left".
fn find<'a>(all: &'a [Value], name: &Value, side: &Value) -> &'a Value {
    let side = side.as_str().unwrap();
    let same = |r: &&Value| r["name"] == *name && r["side"].as_str().is_some_and(|s| s.is_empty() == side.is_empty() && s.contains(side));
    all.iter().find(same).unwrap_or_else(|| panic!("no result {name} {side}"))
}

#[test]
fn whole_cars_come_out_as_the_oracle_has_them() {
    let oracle = read("cars.json");
    let mut worst = Worst::default();
    let (mut values, mut none, mut wrong) = (0, 0, Vec::new());
    for car in oracle["cars"].as_array().unwrap() {
        let plan_name = car["plan"]["name"].as_str().unwrap();
        let all = results(&car["plan"]);
        for e in car["expect"].as_array().unwrap() {
            let r = find(&all, &e[1], &e[2]);
            let place = format!("{plan_name}: {} {}", e[1], e[2]);
            match (r["value"].as_f64(), e[3].as_f64()) {
                (Some(got), Some(want)) => {
                    let off = (got - want) / want.abs().max(1.0);
                    if !(off.abs() <= RESULT) {
                        wrong.push(format!("{place}: {got}, oracle {want}"));
                    } else {
                        worst.see(off, || place);
                    }
                    values += 1;
                }
                (None, None) => {
                    if r["status"] != "unreachable" {
                        wrong.push(format!("{place}: status {}", r["status"]));
                    }
                    none += 1;
                }
                (got, want) => wrong.push(format!("{place}: {got:?}, oracle {want:?}; {r}")),
            }
        }
    }
    assert!(wrong.is_empty(), "{} differ:\n{}", wrong.len(), wrong.join("\n"));
    assert!(values > 600 && none > 10, "{values} {none}");
    worst.within(RESULT, "a result of a car, relative");
}

#[test]
fn both_wheels_anywhere_on_the_rack_stand_as_the_oracle_has_them() {
    let oracle = read("cars.json");
    let mut worst = Worst::default();
    let mut count = 0;
    for car in oracle["cars"].as_array().unwrap() {
        let plan = donorack::Plan::from_json(&car["plan"].to_string()).unwrap();
        for p in car["probe"].as_array().unwrap() {
            let want: Vec<f64> = p.as_array().unwrap().iter().map(|x| x.as_f64().unwrap()).collect();
            let got = donorack::probe(&plan, 0, want[0]);
            assert_eq!(got.status, "ok");
            let all = [got.steer_left, got.steer_right, got.ratio, got.transmission_left, got.transmission_right];
            for (k, (got, figure)) in all.iter().zip(&want[1..]).enumerate() {
                worst
                    .see((got.unwrap() - figure) / figure.abs().max(1.0), || format!("{} at {}: figure {k}", car["plan"]["name"], want[0]));
                count += 1;
            }
        }
    }
    assert!(count > 300, "{count}");
    worst.within(RESULT, "a figure at a rack displacement, relative");
}

/// The left wheel locks in line at s = +25.34, and at +38.9 the rod would reach again: a place to which no rack can push it
/// (`solver.py` loses the branch at the toggle, `linkages.json` calls such places `over`).
#[test]
fn past_a_toggle_there_is_no_position_even_where_the_rod_would_reach_again() {
    let plan = r#"{"donorack": 1, "car": {"wheelbase": 2650, "front_track": 1480, "axis_spacing_at_ground": 1400, "arm_fore_aft": 130, "arm_inboard": -30},
        "racks": [{"travel_per_turn": 46, "travel": 136, "inner_joint_spacing": 1340, "rack_line": -126, "bar_moves": "left"}]}"#;
    let plan = donorack::Plan::from_json(plan).unwrap();
    for s in [25.3f64, -25.3] {
        let at = donorack::probe(&plan, 0, s);
        assert!(at.status == "ok" && at.steer_left.is_some() && at.steer_right.is_some(), "{at:?}");
    }
    for s in [25.4f64, 30.0, 45.0, 60.0, -25.4, -45.0] {
        let at = donorack::probe(&plan, 0, s);
        assert_eq!((at.steer_left, at.steer_right, at.ratio), (None, None, None), "{s}");
        assert!(at.status.contains("too long"), "{at:?}");
    }
}

/// The ± from the readings alone: what is taken for granted besides is no reading.
#[test]
fn how_sure_a_result_is_agrees_with_the_python_package_uncertainties() {
    use donorack::{Field, Section};
    use donorack::{RESULTS, Results};
    let oracle = read("cars.json");
    let mut worst = Worst::default();
    let mut count = 0;
    for car in oracle["cars"].as_array().unwrap() {
        let Some(want) = car["pm"].as_array() else { continue };
        let plan = donorack::Plan::from_json(&car["plan"].to_string()).unwrap();
        let e = donorack::evaluate_rack(&plan, 0);
        for w in want {
            let row = RESULTS.iter().find(|r| w[1] == r.key).unwrap();
            let place = Results::index(row.name, usize::from(w[2] == "right"));
            let (got, want) = (e.uncertainties.read[place].unwrap(), w[3].as_f64().unwrap());
            worst.see((got - want) / want, || format!("{}: {} {}", car["plan"]["name"], w[1], w[2]));
            // The reading that contributes most; where several weigh the same, any of them.
            let field = |n: &Value| {
                let name = n.as_str().unwrap();
                Field::named(Section::Car, name).or_else(|| Field::named(Section::Rack, name)).unwrap()
            };
            let most: Vec<_> = w[4].as_array().unwrap().iter().map(field).collect();
            let read = e.uncertainties.effects.iter().filter(|(f, _)| e.readings.items[*f as usize].is_some());
            let weighs = read.max_by(|a, b| a.1[place].unwrap_or(0.0).abs().total_cmp(&b.1[place].unwrap_or(0.0).abs())).unwrap().0;
            assert!(most.contains(&weighs), "{} {} leans on {most:?}, not {weighs:?}", w[1], w[2]);
            count += 1;
        }
    }
    assert_eq!(count, 30);
    worst.within(HALF_WIDTH, "a half-width, relative");
}
