//! Whole cars against the independent solver: three hundred axles, each figure (`tests/oracle/axles.json`; its README tells how it is made).

#![allow(clippy::unwrap_used, clippy::panic)] // A failing test may stop at once.

use donorack::{Plan, evaluate};
use serde_json::Value;

/// How far a figure may be from the oracle's: mm, degrees, turns or per cent, and for what is large by a share of it.
const FIGURE: f64 = 1e-8;

fn cars() -> Vec<Value> {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/oracle/axles.json");
    let mut all: Value = serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap();
    serde_json::from_value(all["cars"].take()).unwrap()
}

/// The oracle covers what it is meant to cover; a thinner file would make the other tests easier without anyone seeing it.
#[test]
fn the_axles_are_as_many_sided_as_they_claim() {
    let all = cars();
    let count = |f: &dyn Fn(&Value) -> bool| all.iter().filter(|c| f(c)).count();
    let car = |key: &'static str| count(&|c: &Value| c["plan"]["car"].get(key).is_some());
    let rack = |key: &'static str| count(&|c: &Value| c["plan"]["racks"][0].get(key).is_some());
    assert_eq!(all.len(), 300);
    let inclined = |c: &Value| c["plan"]["car"].get("kingpin_inclination").is_some();
    let arm = |c: &Value| ["arm_fore_aft", "arm_length"].iter().find_map(|k| c["plan"]["car"][k].as_f64()).unwrap();
    assert_eq!(count(&inclined), 80);
    assert!(count(&|c| inclined(c) && arm(c) > 0.0) >= 30 && count(&|c| inclined(c) && arm(c) < 0.0) >= 30);
    assert!(count(&|c| inclined(c) && c["plan"]["car"].get("caster").is_none()) >= 5);
    assert!(car("right_arm_fore_aft") >= 60 && rack("offset") >= 90 && rack("height") >= 110);
    assert!(rack("rod_length") >= 50 && rack("stop_left") >= 40 && rack("stop_right") >= 40);
    assert!(rack("inner_joint_limit") >= 60 && rack("outer_joint_limit") >= 40);
    assert!(count(&|c| c["said"] == "opposed") == 12 && count(&|c| c["said"] == "backwards") >= 15);
}

#[test]
fn three_hundred_axles_come_out_as_the_oracle_has_them() {
    let (mut values, mut none, mut opposed, mut worst, mut wrong) = (0, 0, 0, (0.0, String::new()), Vec::new());
    for car in cars() {
        let name = car["plan"]["name"].as_str().unwrap();
        let plan = match Plan::from_json(&car["plan"].to_string()) {
            Ok(plan) => plan,
            Err(why) => {
                wrong.push(format!("{name}: {why}"));
                continue;
            }
        };
        let view = serde_json::to_value(evaluate(&plan)).unwrap();
        let rack = &view["racks"][0];
        let kind = rack["verdict"]["kind"].as_str().unwrap();
        let expected = car["said"].as_str();
        if expected.is_some_and(|e| e != kind) || expected.is_none() && ["backwards", "opposed", "needs"].contains(&kind) {
            wrong.push(format!("{name}: verdict {kind}, oracle {expected:?}"));
        }
        for (key, want) in car["expect"].as_object().unwrap() {
            let got: Vec<&Value> = rack["results"].as_array().unwrap().iter().filter(|r| r["name"] == *key).collect();
            let want: Vec<&Value> = want.as_array().map_or_else(|| vec![want], |both| both.iter().collect());
            if got.len() != want.len() {
                wrong.push(format!("{name}: {key} stands {} times", got.len()));
                continue;
            }
            // Of wheels that steer against each other nothing is told that speaks of a turn.
            if kind == "opposed" && got.iter().all(|g| g["status"] == "unreachable") {
                let of_a_wheel = ["rod_length", "rod_angle", "toe_centre", "toggle_left_wheel", "toggle_right_wheel"];
                if of_a_wheel.contains(&key.as_str()) {
                    wrong.push(format!("{name}: {key} is told of opposed wheels too"));
                }
                opposed += 1;
                continue;
            }
            for (got, want) in got.iter().zip(want) {
                let place = || format!("{name}: {key} {}", got["side"].as_str().unwrap_or(""));
                match (got["value"].as_f64(), want.as_f64()) {
                    (Some(got), Some(want)) => {
                        let off = ((got - want) / want.abs().max(1.0)).abs();
                        values += 1;
                        if !(off <= FIGURE) {
                            wrong.push(format!("{}: {got}, oracle {want}", place()));
                        } else if off > worst.0 {
                            worst = (off, place());
                        }
                    }
                    (None, None) => {
                        none += 1;
                        if got["status"] != "unreachable" {
                            wrong.push(format!("{}: status {}", place(), got["status"]));
                        }
                    }
                    (g, w) => wrong.push(format!("{}: {g:?}, oracle {w:?}; {}", place(), got["why"])),
                }
            }
        }
        for p in car["probe"].as_array().unwrap() {
            let want: Vec<f64> = p.as_array().unwrap().iter().map(|x| x.as_f64().unwrap()).collect();
            let at = donorack::probe(&plan, 0, want[0]);
            let got = [at.steer_left, at.steer_right, at.ratio, at.transmission_left, at.transmission_right];
            for (k, (got, want)) in got.iter().zip(&want[1..]).enumerate() {
                values += 1;
                if !got.is_some_and(|g| ((g - want) / want.abs().max(1.0)).abs() <= FIGURE) {
                    wrong.push(format!("{name} at {p}: figure {k} is {got:?}"));
                }
            }
        }
    }
    eprintln!("{values} figures, {none} that there are not; largest difference {:e}, {}", worst.0, worst.1);
    assert!(wrong.is_empty(), "{} differ:\n{}", wrong.len(), wrong.join("\n"));
    assert!(values > 19_000 && none > 900 && opposed >= 12 * 9, "{values} {none} {opposed}");
}
