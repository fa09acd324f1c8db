//! The independent solver's answers (`tests/oracle/README.md`) against the WebAssembly that is served.
//!
//! What goes in and what is expected are the committed files; the page only calls, the differences are taken here.

use crate::hand::Hand;
use donorack::Plan;
use donorack::evaluate;
use donorack_tests::browser::Screen;
use serde_json::{Value, json};

/// How far an angle may be from the oracle's, degrees.
const ANGLE: f64 = 1e-8;
/// How far a rod's length may be, mm.
const ROD: f64 = 1e-9;
/// How far a result of a car may be, relative to its size (to 1 where it is smaller): the same as natively.
const RESULT: f64 = 1e-9;
/// The same for a ±, against what it is natively.
const HALF_WIDTH: f64 = 1e-6;

/// [points, displacements]… to the answers of `closure`: two numbers, or the reason that it threw.
const CLOSURES: &str = "
    return (async ([all]) => {
        const core = await import(new URL('donorack.js', document.baseURI));
        await core.default();
        const one = (points, s) => {
            try {
                return [...core.closure(points, s)];
            } catch (reason) {
                return reason.message;
            }
        };
        return all.map(([points, at]) => at.map((s) => one(new Float64Array(points.map((x) => x ?? NaN)), s)));
    })(arguments);";

/// Plans to the results of their first racks: name, side, status, value, ±.
const CARS: &str = "
    return (async ([plans]) => {
        const core = await import(new URL('donorack.js', document.baseURI));
        await core.default();
        const short = ({ name, side, status, value, pm }) => [name, side, status, value, pm];
        const session = new core.Session();
        return plans.map((plan) => {
            session.open(JSON.stringify(plan));
            return session.evaluate().racks[0].results.map(short);
        });
    })(arguments);";

fn read(name: &str) -> Value {
    let path = format!("{}/oracle/{name}", env!("CARGO_MANIFEST_DIR"));
    serde_json::from_str(&std::fs::read_to_string(&path).unwrap()).unwrap()
}

fn array(value: &Value) -> &[Value] {
    value.as_array().map_or(&[], Vec::as_slice)
}

/// The twelve numbers of a linkage and its rod, which is made to fit where none is given.
fn points(r: &Value) -> Vec<Value> {
    let mut all: Vec<Value> = ["pivot", "axis", "outer", "inner"].iter().flat_map(|name| array(&r[name]).to_vec()).collect();
    all.push(r["rod"].clone());
    assert_eq!(all.len(), 13);
    all
}

/// Distance of two angles in degrees, whatever turns lie between.
fn apart(a: f64, b: f64) -> f64 {
    ((a - b + 180.0).rem_euclid(360.0) - 180.0).abs()
}

#[tokio::test]
async fn two_hundred_linkages_in_the_served_webassembly() {
    let phone = Hand::on(Screen::Phone).await;
    linkages(&phone).await;
    phone.content().await;
}

/// All of them, on a page that is open.
pub async fn linkages(phone: &Hand) {
    let oracle = read("linkages.json");
    let all = array(&oracle["linkages"]);
    assert_eq!(all.len(), 200);
    let displacements = |r: &Value| -> Vec<Value> { array(&r["at"]).iter().chain(array(&r["beyond"])).map(|p| p[0].clone()).collect() };
    let calls: Vec<Value> = all.iter().map(|r| json!([points(r), displacements(r)])).collect();
    let answers = phone.browser.js_with(CLOSURES, vec![json!(calls)]).await;
    let (mut angle, mut rod, mut positions, mut beyond) = (0.0_f64, 0.0_f64, 0, [0, 0]);
    for (n, (r, answers)) in all.iter().zip(array(&answers)).enumerate() {
        let at = array(&r["at"]);
        for (p, answer) in at.iter().zip(array(answers)) {
            let [theta, length] = [0, 1].map(|k| answer[k].as_f64().unwrap_or_else(|| panic!("linkage {n} at {}: {answer}", p[0])));
            let off = apart(theta, p[1].as_f64().unwrap());
            assert!(off <= ANGLE, "linkage {n} at {}: {theta}°, oracle {}", p[0], p[1]);
            angle = angle.max(off);
            rod = rod.max((length - r["length"].as_f64().unwrap()).abs());
            positions += 1;
        }
        for (p, answer) in array(&r["beyond"]).iter().zip(&array(answers)[at.len()..]) {
            assert_eq!(*answer, p[1], "linkage {n} at {}", p[0]);
            beyond[usize::from(p[1] == "too_long")] += 1;
        }
    }
    println!("{positions} positions, the worst {angle:e}° and {rod:e} mm off; out of reach: {beyond:?} too short and too long");
    assert!(rod <= ROD, "{rod}");
    assert!(positions > 1000 && beyond[0] >= 15 && beyond[1] >= 15, "{positions} {beyond:?}");
}

#[tokio::test]
async fn whole_cars_in_the_served_webassembly() {
    let oracle = read("cars.json");
    let cars = array(&oracle["cars"]);
    let plans: Vec<&Value> = cars.iter().map(|car| &car["plan"]).collect();
    let phone = Hand::on(Screen::Phone).await;
    let answers = phone.browser.js_with(CARS, vec![json!(plans)]).await;
    let (mut worst, mut widest, mut values, mut none, mut widths) = (0.0_f64, 0.0_f64, 0, 0, 0);
    for (car, results) in cars.iter().zip(array(&answers)) {
        // The oracle says "left", the interface "left wheel", "bar left", "lock left".
        let find = |e: &Value| {
            let (name, side) = (&e[1], e[2].as_str().unwrap());
            let same = |r: &&Value| r[0] == *name && r[1].as_str().is_some_and(|s| s.is_empty() == side.is_empty() && s.contains(side));
            array(results).iter().find(same).unwrap_or_else(|| panic!("{name} {side}"))
        };
        for e in array(&car["expect"]) {
            let r = find(e);
            let place = format!("{}: {} {}: {r}, oracle {}", car["plan"]["name"], e[1], e[2], e[3]);
            match (r[3].as_f64(), e[3].as_f64()) {
                (Some(got), Some(want)) => {
                    let off = (got - want).abs() / want.abs().max(1.0);
                    assert!(off <= RESULT, "{place}");
                    worst = worst.max(off);
                    values += 1;
                }
                (None, None) => {
                    assert_eq!(r[2], "unreachable", "{place}");
                    none += 1;
                }
                _ => panic!("{place}"),
            }
        }
        // Shown is the ± with what is taken for granted in it, so no less than the readings' own; and what it is natively, of every result.
        for e in array(&car["pm"]) {
            let (want, got) = (e[3].as_f64().unwrap(), find(e)[4].as_f64().unwrap());
            assert!(got >= want * (1.0 - HALF_WIDTH), "{} {}: {got}, oracle {want}", e[1], e[2]);
        }
        let plan = Plan::from_json(&car["plan"].to_string()).unwrap();
        let native = serde_json::to_value(&evaluate(&plan).racks[0].results).unwrap();
        for (n, r) in array(&native).iter().zip(array(results)) {
            assert_eq!((&n["name"], &n["side"]), (&r[0], &r[1]));
            let (Some(want), Some(got)) = (n["pm"].as_f64(), r[4].as_f64()) else {
                assert_eq!(n["pm"].is_null(), r[4].is_null(), "{n} {r}");
                continue;
            };
            let off = (got - want).abs() / want.max(1e-9);
            assert!(off <= HALF_WIDTH, "{r}: natively {want}");
            widest = widest.max(off);
            widths += 1;
        }
    }
    println!(
        "{values} results, the worst {worst:e} off, {none} out of reach; {widths} half-widths, the worst {widest:e} off the native ones"
    );
    assert!(values > 600 && none > 10 && widths > 600, "{values} {none} {widths}");
    phone.content().await;
}
