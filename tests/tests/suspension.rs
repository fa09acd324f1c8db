//! The suspension in three dimensions against the outside world: published corners to the printed digits, and 300 corners of an
//! independent solver (`tests/oracle/corners.py`).

#![allow(clippy::unwrap_used, clippy::panic)] // A failing test may stop at once.

use donorack::{Arc, Corner, CornerSide, Guide, Placement, PlacementSettings, PlacementWindow, Points, Pose, Shift, Vec3, roll_steer};
use proptest::prelude::*;
use serde_json::Value;

/// `got` rounds to the figure as printed: within half of its last place.
fn printed(what: &str, got: f64, figure: &str) {
    let want: f64 = figure.parse().unwrap();
    let places = figure.split_once('.').map_or(0, |(_, p)| p.len());
    let half = 0.5 * 10f64.powi(-(places as i32)) + 1e-12 * want.abs();
    assert!((got - want).abs() <= half, "{what}: {got} is not {figure}");
}

fn mm(x: f64, y: f64, z: f64) -> Vec3 {
    Vec3::new(x, y, z)
}

/// Double wishbone of the program text that goes with G. Rill & A. Arrieta Castro, Road Vehicle Dynamics, CRC 2020, ch. 5 (hard points
/// seen; the attribution is from memory). Origin at wheel-centre height.
fn rill() -> Points {
    Points {
        guide: Guide::Wishbone {
            lower: [mm(-251.0, 320.0, -80.0), mm(148.0, 320.0, -94.0)],
            lower_ball: mm(13.0, 737.0, -145.0),
            upper: [mm(-105.0, 435.0, 196.0), mm(122.0, 435.0, 230.0)],
            upper_ball: mm(-25.0, 680.0, 162.0),
        },
        outer: mm(-137.0, 690.0, -88.0),
        inner: mm(-150.0, 380.0, -38.0),
        wheel_centre: mm(0.0, 768.0, 0.0),
        toe: 0.0,
        // The spin axis is (0, 1, −0.8·π/180) normalised.
        camber: 0.8f64.to_radians().atan(),
        radius: 285.0,
        rod: None,
    }
}

/// Double wishbone of the general multibody engine Project Chrono, data file Sedan_DoubleWishbone.json (hard points seen). It names no
/// radius, toe or camber; none of the figures compared depends on them but through the spin axis, taken as straight and upright.
fn saloon() -> Points {
    Points {
        guide: Guide::Wishbone {
            lower: [mm(200.0, 420.0, -270.0), mm(-200.0, 470.0, -265.0)],
            lower_ball: mm(0.0, 770.0, -320.0),
            upper: [mm(-100.0, 470.0, 105.0), mm(-250.0, 510.0, 110.0)],
            upper_ball: mm(-40.0, 695.0, 105.0),
        },
        outer: mm(-150.0, 770.0, -120.0),
        inner: mm(-200.0, 420.0, -120.0),
        wheel_centre: mm(0.0, 797.9, -119.9),
        toe: 0.0,
        camber: 0.0,
        radius: 300.0,
        rod: None,
    }
}

/// Invented points, the figures computed at 40 digits by the closed form and by a root find on six pose numbers, which agree to 5e-39°.
fn strut() -> Points {
    Points {
        guide: Guide::Strut {
            lower: [mm(165.0, 365.0, 188.0), mm(-175.0, 350.0, 182.0)],
            lower_ball: mm(6.0, 702.0, 170.0),
            top: mm(-38.0, 566.0, 845.0),
            damper: mm(-20.0, 625.0, 420.0),
        },
        outer: mm(-128.0, 684.0, 228.0),
        inner: mm(-142.0, 338.0, 232.0),
        wheel_centre: mm(0.0, 742.0, 305.0),
        toe: 0.10f64.to_radians(),
        camber: (-0.5f64).to_radians(),
        radius: 300.0,
        rod: None,
    }
}

fn left(points: &Points) -> Corner {
    Corner::new(CornerSide::Left, points).unwrap()
}

fn deg(pose: &Pose, angle: fn(&Pose) -> f64) -> f64 {
    angle(pose).to_degrees()
}

/// Computed; SciPy and a multibody engine agree below 1e-10°. Positive here is toe-out. R is taken in the wheel's plane, as everywhere;
/// the lateral displacement is that of the wheel centre.
#[test]
fn rill_in_bump_is_as_printed() {
    let c = left(&rill());
    let at = c.at_travel(0.0, 0.0).unwrap();
    printed("kingpin inclination", deg(&at, Pose::kingpin_inclination), "10.5182");
    printed("caster", deg(&at, Pose::caster), "7.0561");
    printed("trail", at.trail(), "30.326");
    printed("scrub", at.scrub(), "1.033");
    for (z, dy, toe) in [
        (-70.1986, "-20.6107", "0.238563"),
        (-35.5550, "-7.9469", "0.101418"),
        (36.1510, "3.6132", "-0.084113"),
        (72.5918, "3.0588", "-0.159518"),
    ] {
        let at = c.at_travel(z, 0.0).unwrap();
        assert!((at.travel() - z).abs() < 1e-9);
        let (dy, want): (f64, f64) = (dy.parse().unwrap(), toe.parse().unwrap());
        eprintln!("{z}: dy {} ({dy}) toe-out {} ({want})", at.wheel_centre().y - 768.0, -deg(&at, Pose::toe));
        // The height itself is printed to 5e-5 mm: at up to 0.4 mm/mm that is 2e-5 mm of dy, at 0.004°/mm 2e-7° of toe.
        assert!((at.wheel_centre().y - 768.0 - dy).abs() <= 5e-5 + 2e-5, "{} {dy}", at.wheel_centre().y);
        assert!((-deg(&at, Pose::toe) - want).abs() <= 5e-7 + 2e-7, "{} {want}", -deg(&at, Pose::toe));
    }
}

/// Computed; SciPy and a constraint solver agree to 1e-6°.
#[test]
fn rill_steered_with_the_lower_arm_held_and_with_the_height_held() {
    let c = left(&rill());
    for (s, figure) in
        [(-60.0, "28.812232"), (-40.0, "17.796123"), (-20.0, "8.515382"), (20.0, "-8.163425"), (40.0, "-16.213538"), (60.0, "-24.318008")]
    {
        printed("arm held", deg(&c.at_arm(0.0, s).unwrap(), Pose::steer), figure);
    }
    printed("height held", deg(&c.at_travel(0.0, -40.0).unwrap(), Pose::steer), "17.759052");
    printed("height held", deg(&c.at_travel(0.0, -40.0).unwrap(), Pose::steer), "17.75905");
    printed("height held", deg(&c.at_travel(0.0, 40.0).unwrap(), Pose::steer), "-16.22416");
    printed("height held", deg(&c.at_travel(0.0, -60.0).unwrap(), Pose::steer), "28.698");
}

/// The steering axes meet the ground 1.52598 m apart; wheelbase 2.7 m.
#[test]
fn rill_ackermann_from_the_hard_points() {
    let c = left(&rill());
    let at = c.at_travel(0.0, 0.0).unwrap();
    // Without toe the lateral is Y.
    let apart = 2.0 * (at.contact().y - at.scrub());
    printed("spacing", apart / 1000.0, "1.52598");
    let both = |f: &dyn Fn(f64) -> Pose| {
        let (inner, outer) = (f(-40.0).steer(), -f(40.0).steer());
        (donorack::by_angle(inner, outer, apart, 2700.0), donorack::by_cotangent(inner, outer, apart, 2700.0))
    };
    let (angle, cot) = both(&|s| c.at_arm(0.0, s).unwrap());
    printed("arm held, by angle", angle, "60.97");
    printed("arm held, by cotangent", cot, "57.26");
    let (angle, cot) = both(&|s| c.at_travel(0.0, s).unwrap());
    printed("height held, by angle", angle, "59.35");
    printed("height held, by cotangent", cot, "55.61");
}

#[test]
fn saloon_in_bump_is_as_printed() {
    let c = left(&saloon());
    let at = c.at_travel(0.0, 0.0).unwrap();
    printed("kingpin inclination", deg(&at, Pose::kingpin_inclination), "10.0080");
    printed("caster", deg(&at, Pose::caster), "5.3767");
    for (z, toe_out, dy) in
        [(-60.0, "-2.86636", "-12.338"), (-30.0, "-1.24463", "-4.431"), (30.0, "0.92365", "1.182"), (60.0, "1.54936", "-0.804")]
    {
        let at = c.at_travel(z, 0.0).unwrap();
        printed("toe-out", -deg(&at, Pose::toe), toe_out);
        printed("dy", at.wheel_centre().y - 797.9, dy);
    }
}

#[test]
fn strut_is_as_printed() {
    let c = left(&strut());
    printed("miss", c.damper_miss().unwrap(), "44.549169145");
    printed("rod", c.rod(), "346.306222872");
    let at = c.at_travel(0.0, 0.0).unwrap();
    printed("|T - L|", (at.top() - at.lower_ball()).norm(), "689.968839876");
    printed("scrub", at.scrub(), "9.346564805");
    printed("trail", at.trail(), "16.7665801");
    for (z, s, figures) in [
        (-60.0, 0.0, ["0.46251405918", "0.697042260583", "3.53770225749", "9.90620611674"]),
        (-30.0, 0.0, ["0.297231119109", "0.0192054894901", "3.62473314807", "10.7204346919"]),
        (0.0, 0.0, ["0.1", "-0.5", "3.7295595359", "11.391527092"]),
        (30.0, 0.0, ["-0.144710294496", "-0.84192979755", "3.85460335552", "11.904766152"]),
        (60.0, 0.0, ["-0.454537914485", "-0.978112434679", "4.00307544773", "12.2367619695"]),
        (0.0, -40.0, ["-18.1907388835", "1.22749365799", "3.73683269681", "11.4288237199"]),
        (0.0, 40.0, ["17.8673070086", "-1.07324558147", "3.72761677795", "11.3813868236"]),
        (40.0, 30.0, ["12.7517256213", "-1.48295809936", "3.8987253989", "12.0304402841"]),
    ] {
        let at = c.at_travel(z, s).unwrap();
        let got = [Pose::toe, Pose::camber, Pose::caster, Pose::kingpin_inclination].map(|f| deg(&at, f));
        for (got, figure) in got.into_iter().zip(figures) {
            printed(&format!("{z} {s}"), got, figure);
        }
    }
}

/// How far toe and camber may be from the oracle's, degrees; caster, degrees, scrub, trail and half-track, mm. The oracle's are rounded to
/// ten decimals.
const TOE: f64 = 1e-7;
const REST: f64 = 1e-6;

fn corners() -> Vec<Value> {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/oracle/corners.json");
    let mut all: Value = serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap();
    serde_json::from_value(all["corners"].take()).unwrap()
}

fn points(c: &Value) -> Points {
    let p = |name: &str| {
        let x = |i: usize| c["points"][name][i].as_f64().unwrap();
        mm(x(0), x(1), x(2))
    };
    let number = |name: &str| c[name].as_f64().unwrap();
    let (lower, lower_ball) = ([p("lower_front"), p("lower_rear")], p("ball"));
    Points {
        guide: if c["kind"] == "strut" {
            Guide::Strut { lower, lower_ball, top: p("top"), damper: p("damper") }
        } else {
            Guide::Wishbone { lower, lower_ball, upper: [p("upper_front"), p("upper_rear")], upper_ball: p("upper_ball") }
        },
        outer: p("outer"),
        inner: p("inner"),
        wheel_centre: p("centre"),
        toe: number("toe").to_radians(),
        camber: number("camber").to_radians(),
        radius: number("radius"),
        rod: None,
    }
}

/// The oracle covers what it is meant to cover.
#[test]
fn the_corners_are_as_many_sided_as_they_claim() {
    let all = corners();
    let count = |kind: &str| all.iter().filter(|c| c["kind"] == kind).count();
    assert_eq!((count("wishbone"), count("strut")), (200, 100));
    for c in all.iter().filter(|c| c["kind"] == "strut") {
        assert!(left(&points(c)).damper_miss().unwrap() > 1.0, "{}", c["points"]);
    }
    let places = all.iter().flat_map(|c| c["at"].as_array().unwrap());
    let far = |k: usize, at: f64| places.clone().filter(|p| p[k].as_f64().unwrap().abs() == at).count();
    assert!(places.clone().count() > 1700 && far(0, 100.0) > 500 && far(1, 80.0) > 200);
}

#[test]
fn three_hundred_corners_stand_as_six_pose_numbers_say() {
    let (mut worst, mut ended) = ([0.0f64; 7], 0);
    for (n, c) in corners().iter().enumerate() {
        let corner = left(&points(c));
        for p in c["at"].as_array().unwrap() {
            let want: Vec<f64> = p.as_array().unwrap().iter().map(|x| x.as_f64().unwrap()).collect();
            let at = corner.at_travel(want[0], want[1]).unwrap_or_else(|e| panic!("{n} at {} {}: {e:?}", want[0], want[1]));
            assert!((at.travel() - want[0]).abs() < 1e-9);
            let got = [
                deg(&at, Pose::toe),
                deg(&at, Pose::camber),
                deg(&at, Pose::caster),
                deg(&at, Pose::kingpin_inclination),
                at.scrub(),
                at.trail(),
                at.half_track_change(),
            ];
            for (k, got) in got.into_iter().enumerate() {
                let off = (got - want[2 + k]).abs();
                assert!(off <= if k < 2 { TOE } else { REST }, "{n} at {} {}: figure {k} {got}, not {}", want[0], want[1], want[2 + k]);
                worst[k] = worst[k].max(off);
            }
        }
        for p in c["ended"].as_array().into_iter().flatten() {
            let (z, s) = (p[0].as_f64().unwrap(), p[1].as_f64().unwrap());
            let got = corner.at_travel(z, s);
            assert!(got.is_err(), "{n} at {z} {s}: {:?}", got.map(|g| g.toe()));
            ended += 1;
        }
    }
    eprintln!("largest deviations: {worst:?}; {ended} places where the branch had ended");
    assert!(ended > 20);
}

/// ±60 mm of wheel centre, 41 heights with toe held at static; criterion and toe by two independent solvers.
#[test]
fn rill_is_mended_as_the_worked_figures_say() {
    let (c, band) = (left(&rill()), [-60.0, 60.0]);
    // Taylor terms at ride height, times 60 and 60² mm: degrees. The slope with the joint 10 mm up was handed down as 0.9013; the exact
    // derivative, and central differences of `corners.py` with the joint there, say 0.901244.
    let terms = |c: &Corner| {
        let h = 0.01;
        let slope = |z: f64| (c.at_travel(z + h, 0.0).unwrap().toe() - c.at_travel(z - h, 0.0).unwrap().toe()) / (2.0 * h);
        let second = (slope(1.0) - slope(-1.0)) / 2.0;
        [c.bump_slope(0.0).unwrap().to_degrees() * 60.0, second.to_degrees() / 2.0 * 3600.0]
    };
    for (up, inboard, first, second) in
        [(0.0, 0.0, "0.1515", "-0.0252"), (10.0, 0.0, "0.901244", "-0.0913"), (0.0, 30.0, "-0.1771", "0.1880")]
    {
        let [a, b] = terms(&c.shifted(Shift { up, inboard }).unwrap());
        eprintln!("{up} {inboard}: {a} {b}");
        printed("slope", a, first);
        printed("curvature", b, second);
    }
    let n = mm(-137.0 + 150.0, 690.0 - 380.0, -88.0 + 38.0);
    let length = n.dot(n).sqrt();
    let [a, b] = terms(&c.with_inner_moved(mm(-n.x, -n.y, -n.z) * (30.0 / length)).unwrap());
    printed("slope along the rod", a, "0.1515");
    printed("curvature along the rod", b, "0.1614");
    let before = c.bump_peak(band, 0.0).unwrap();
    printed("peak", before.change.abs().to_degrees(), "0.19233");
    let place = c.best_height(band).unwrap().unwrap();
    eprintln!("{place:?}");
    printed("height only", place.shift.up, "-2.099");
    printed("criterion", place.slack, "0.03438");
    printed("what remains", place.peak.change.abs().to_degrees(), "0.01594");
    let place = c.best_place(band).unwrap().unwrap();
    eprintln!("{place:?}");
    printed("height", place.shift.up, "-1.750");
    printed("width", place.shift.inboard, "2.082");
    printed("criterion", place.slack, "0.00297");
    printed("what remains", place.peak.change.abs().to_degrees(), "0.00138");
    let slope = c.bump_slope(0.0).unwrap();
    printed("roll steer", roll_steer([slope, slope], 1536.0), "0.03385");
}

/// The peak against the curve at 2001 heights, the best places against searches that know nothing of hills, the shim split and the slot
/// against solving anew.
#[test]
fn better_places_stand_up_to_a_search() {
    let band = [-50.0, 50.0];
    let (mut mended, mut moved, mut slots) = (0, 0, 0);
    for c in corners().iter().step_by(15) {
        let corner = left(&points(c));
        let (Ok(peak), Ok(arc)) = (corner.bump_peak(band, 0.0), Arc::new(&corner, band)) else { continue };
        let toe = |c: &Corner, z: f64| c.at_travel(z, 0.0).unwrap().toe();
        let dense = |c: &Corner| (0..=2000).map(|k| (toe(c, -50.0 + 0.05 * f64::from(k)) - toe(c, 0.0)).abs()).fold(0.0, f64::max);
        let most = dense(&corner);
        assert!(peak.change.abs() >= most - 1e-12 && peak.change.abs() < most + 1e-6, "{peak:?} {most}");
        assert!((toe(&corner, peak.travel) - toe(&corner, 0.0) - peak.change).abs() < 1e-10);

        // Height alone: every 0.02 mm of the window.
        let (best, slack) = arc.height();
        let searched = (-10_000..=10_000).map(|k| arc.slack(Shift { up: 0.02 * f64::from(k), inboard: 0.0 })).fold(f64::INFINITY, f64::min);
        assert!(slack <= searched && slack > searched - 0.02, "{best:?} {slack} {searched}");
        if let Some(place) = corner.best_height(band).unwrap() {
            let there = corner.with_inner_moved(mm(0.0, 0.0, place.shift.up)).unwrap();
            assert!((place.peak.change.abs() - dense(&there)).abs() < 1e-6);
            assert_eq!(place.shift, best);
            mended += 1;
        }
        // Height and width: a coarse grid, then ever finer ones about the best ten of the last.
        if let Some(place) = corner.best_place(band).unwrap() {
            assert!(place.slack <= slack + 1e-12);
            let mut seeds = vec![Shift::default()];
            let mut step = 4.0;
            let mut found = f64::INFINITY;
            for round in 0..8 {
                let reach = if round == 0 { 50 } else { 6 };
                let around = seeds.iter().flat_map(|s| {
                    let s = *s;
                    (-reach..=reach).flat_map(move |i| {
                        (-reach..=reach).map(move |k| Shift { up: s.up + step * f64::from(i), inboard: s.inboard + step * f64::from(k) })
                    })
                });
                let mut all: Vec<(f64, Shift)> = around.map(|s| (arc.slack(s), s)).collect();
                all.sort_by(|a, b| a.0.total_cmp(&b.0));
                found = found.min(all[0].0);
                seeds = all.iter().take(10).map(|a| a.1).collect();
                step /= 3.0;
            }
            assert!(place.slack <= found + 1e-9, "{place:?} {found}");
        }
        // The least move is within the limit, and nothing nearer is.
        let limit = peak.change.abs() / 3.0;
        if let Some(place) = corner.least_move(band, limit).unwrap() {
            assert!(place.peak.change.abs() <= limit + 1e-9);
            let r = place.shift.distance() * 0.995;
            for k in 0..360 {
                let a = f64::from(k).to_radians();
                for share in [1.0, 0.75, 0.5] {
                    let there = corner.shifted_peak(Shift { up: r * share * a.cos(), inboard: r * share * a.sin() }, band);
                    assert!(there.is_none_or(|p| p.change.abs() > limit), "{place:?}: {k}° {share} is nearer");
                }
            }
            moved += 1;
        } else {
            // Then the best place of all is not good enough either.
            let best = corner.best_place(band).unwrap();
            assert!(best.is_none_or(|p| p.peak.change.abs() > limit), "{best:?} {limit}");
        }
        if let Some([low, high]) = corner.height_band(band, limit).unwrap() {
            let over = |up: f64| corner.shifted_peak(Shift { up, inboard: 0.0 }, band).unwrap().change.abs() - limit;
            assert!(over(low) <= 0.0 && over(high) <= 0.0 && over((low + high) / 2.0) < 0.0);
            assert!(over(low - 1e-4) > 0.0 && over(high + 1e-4) > 0.0, "{low} {high}");
            slots += 1;
        }
    }
    eprintln!("{mended} mended by height, {moved} by the least move, {slots} slots");
    assert!(mended > 10 && moved > 10 && slots > 5);
}

/// The map's cells against single evaluations with the rack there.
#[test]
fn the_map_is_what_single_evaluations_say() {
    let window = PlacementWindow { ahead: [-60.0, 60.0], up: [-60.0, 60.0], cells: [13, 13] };
    let settings = PlacementSettings { band: [-50.0, 50.0], steps: 41, ends: [-65.0, 70.0], reserve: 10.0, wheelbase: 2700.0 };
    let (mut with, mut without, mut held, mut over_bumps) = (0, 0, 0.0f64, 0);
    for p in [rill(), saloon(), strut()] {
        let (l, r) = (left(&p), Corner::new(CornerSide::Right, &mirrored(&p)).unwrap());
        let map = Placement::new([l, r], window, settings).unwrap();
        // Where the arms stand at the ends of the band with the toe held, whatever the rack: the rack that holds it tells.
        let arms = settings.band.map(|z| {
            let off = |s: f64| l.at_travel(z, s).unwrap().toe() - p.toe;
            let (mut low, mut high) = (-30.0, 30.0);
            assert!(off(low) * off(high) < 0.0);
            for _ in 0..60 {
                let middle = (low + high) / 2.0;
                *(if off(low) * off(middle) <= 0.0 { &mut high } else { &mut low }) = middle;
            }
            l.arm_at(z, low).unwrap()
        });
        for j in 0..13 {
            for (i, cell) in map.row(j).into_iter().enumerate() {
                let (x, z) = (-60.0 + 10.0 * i as f64, -60.0 + 10.0 * j as f64);
                let alone = map.at(x, z);
                assert!((cell.peak.unwrap_or(9.0) - alone.peak.unwrap_or(9.0)).abs() < 1e-12 && cell.lock == alone.lock);
                let moved = [l, r].map(|c| c.with_inner_moved(mm(x, 0.0, z)).unwrap());
                if let Some(peak) = cell.peak {
                    // The map holds toe for the arms' part; its difference from the full evaluation is bounded, not nought.
                    let full = moved.map(|c| {
                        (0..41).map(|k| (c.at_travel(-50.0 + 2.5 * f64::from(k), 0.0).unwrap().toe() - p.toe).abs()).fold(0.0, f64::max)
                    });
                    held = held.max((full[0].max(full[1]) - peak).abs() / peak.max(1e-3));
                }
                let Some(lock) = cell.lock else {
                    without += 1;
                    continue;
                };
                with += 1;
                let wheels = moved.map(|c| c.wheel(0.0).unwrap());
                for (side, end) in lock.ends.into_iter().enumerate() {
                    let mut first = settings.ends[side].abs();
                    for w in &wheels {
                        let toggles = w.linkage.toggles();
                        let events = [toggles[side], w.linkage.fold_backs(toggles)[side]];
                        first = events.into_iter().flatten().map(|e| e.abs() - 10.0).fold(first, f64::min);
                    }
                    assert!((end.abs() - first.max(0.0)).abs() < 1e-9, "{x} {z}: {end} {first}");
                    let turned = moved.map(|c| c.at_arm(0.0, end).unwrap().steer() - c.at_arm(0.0, 0.0).unwrap().steer());
                    let (inner, outer) = if turned[0] > 0.0 { (turned[0], turned[1]) } else { (-turned[1], -turned[0]) };
                    assert!((lock.angle[side] - inner).abs() < 1e-12);
                    let spacing = l.axis_at_ground().y - r.axis_at_ground().y;
                    assert!((lock.ackermann[side] - donorack::by_angle(inner, outer, spacing, 2700.0)).abs() < 1e-6);
                }
                let places = (0..=200).map(|k| lock.ends[0] + (lock.ends[1] - lock.ends[0]) * f64::from(k) / 200.0);
                let heights = [0.0, arms[0], arms[1]];
                let at = |s: f64| heights.map(|arm| moved.map(|c| c.at_arm(arm, s).map_or(0.0, |pose| pose.transmission())));
                let least = places.flat_map(at).flatten().fold(9.0, f64::min);
                over_bumps += usize::from(lock.transmission == 0.0);
                assert!(lock.transmission <= least + 1e-9 && lock.transmission > least - 0.01, "{x} {z}: {} {least}", lock.transmission);
            }
        }
    }
    eprintln!("{with} cells with a lock, {without} without; toe held against full: {held} of the peak");
    assert!(with > 300 && held < 0.05 && over_bumps < with / 4, "{over_bumps} toggle over bumps");
}

fn mirrored(p: &Points) -> Points {
    let m = |v: Vec3| mm(v.x, -v.y, v.z);
    let guide = match p.guide {
        Guide::Wishbone { lower, lower_ball, upper, upper_ball } => {
            Guide::Wishbone { lower: lower.map(m), lower_ball: m(lower_ball), upper: upper.map(m), upper_ball: m(upper_ball) }
        }
        Guide::Strut { lower, lower_ball, top, damper } => {
            Guide::Strut { lower: lower.map(m), lower_ball: m(lower_ball), top: m(top), damper: m(damper) }
        }
    };
    Points { guide, outer: m(p.outer), inner: m(p.inner), wheel_centre: m(p.wheel_centre), ..*p }
}

fn close(a: Vec3, b: Vec3, near: f64) -> bool {
    (a - b).norm() <= near
}

/// Mirror, rest, continuity, the linkage of the plan view at any height, exact rates.
#[test]
fn a_corner_keeps_what_it_must_keep() {
    for c in corners().iter().step_by(6) {
        let p = points(c);
        let (l, r) = (left(&p), Corner::new(CornerSide::Right, &mirrored(&p)).unwrap());
        let rest = l.at_travel(0.0, 0.0).unwrap();
        assert!((rest.toe() - p.toe).abs() < 1e-12 && (rest.camber() - p.camber).abs() < 1e-12);
        assert!(close(rest.wheel_centre(), p.wheel_centre, 1e-9) && close(rest.outer(), p.outer, 1e-9));
        let mut before: Option<Pose> = None;
        for k in 0..=40 {
            let (z, s) = (-60.0 + 3.0 * f64::from(k), -30.0 + 1.5 * f64::from(k));
            let (Ok(a), Ok(b)) = (l.at_travel(z, s), r.at_travel(z, -s)) else { continue };
            assert_eq!((a.toe(), a.camber(), a.scrub(), a.steer()), (b.toe(), b.camber(), b.scrub(), -b.steer()));
            assert!(close(mm(0.0, 0.0, 0.0), a.contact() - mm(b.contact().x, -b.contact().y, b.contact().z), 0.0));
            let arm = l.arm_at(z, s).unwrap();
            for (corner, pose, s) in [(&l, &a, s), (&r, &b, -s)] {
                let w = corner.wheel(arm).unwrap();
                let toggles = w.linkage.toggles();
                assert!(toggles[0].is_some_and(|t| t < s) && toggles[1].is_some_and(|t| t > s));
                assert!((w.steer(w.linkage.at(s).unwrap()) - pose.steer()).abs() < 1e-12);
                assert!((w.linkage.transmission(w.linkage.at(s).unwrap()) - pose.transmission()).abs() < 1e-9);
            }
            let h = 1e-5;
            let [x, y] = [arm - h, arm + h].map(|arm| l.at_arm(arm, s).unwrap());
            let rates = l.rates(arm, s).unwrap();
            let slope = |f: fn(&Pose) -> f64| (f(&y) - f(&x)) / (2.0 * h);
            assert!((slope(Pose::travel) - rates.rise).abs() < 1e-4, "{} {}", slope(Pose::travel), rates.rise);
            assert!((slope(Pose::toe) - rates.toe).abs() < 1e-6 && (slope(Pose::camber) - rates.camber).abs() < 1e-6);
            if let Some(b) = before.filter(|b| (a.travel() - b.travel()).abs() < 3.1) {
                assert!((a.toe() - b.toe()).abs() < 0.08 && (a.wheel_centre() - b.wheel_centre()).norm() < 12.0, "{z} {s}");
            }
            before = Some(a);
        }
    }
}

/// Mostly coordinates of a car, some of them alike, now and then something extreme. A plain map: a choice of strategies would hold a test
/// runner for each of them, and nine points overflow the stack.
fn number() -> impl Strategy<Value = f64> {
    const EXTREME: [f64; 10] = [0.0, -0.0, 1e-300, f64::MIN_POSITIVE, f64::MAX, -1e160, f64::INFINITY, f64::NAN, 1e5, 99_999.9];
    (0..400usize, -900.0..900.0f64).prop_map(|(kind, x)| match kind {
        k if k < EXTREME.len() => EXTREME[k],
        k if k < 80 => (x / 300.0).round() * 100.0,
        _ => x,
    })
}

fn point() -> impl Strategy<Value = Vec3> {
    [number(), number(), number()].prop_map(|[x, y, z]| mm(x, y, z))
}

/// Any points; or those of a real corner with a few of its numbers spoilt.
fn any_points() -> impl Strategy<Value = Points> {
    let garbage = (prop::array::uniform9(point()), any::<bool>(), [number(), number(), number()], prop::option::of(number()));
    let garbage = garbage.prop_map(|(p, strut, [toe, camber, radius], rod)| {
        let (lower, lower_ball) = ([p[0], p[1]], p[2]);
        let guide = if strut {
            Guide::Strut { lower, lower_ball, top: p[3], damper: p[4] }
        } else {
            Guide::Wishbone { lower, lower_ball, upper: [p[3], p[4]], upper_ball: p[5] }
        };
        Points { guide, outer: p[6], inner: p[7], wheel_centre: p[8], toe: toe / 500.0, camber: camber / 500.0, radius, rod }
    });
    let spoilt = (prop::sample::select(vec![rill(), saloon(), strut()]), prop::collection::vec((0..8usize, point()), 0..3), any::<bool>());
    let spoilt = spoilt.prop_map(|(mut p, changes, add)| {
        for (k, v) in changes {
            let put = |at: &mut Vec3| *at = if add { *at + v * 0.1 } else { v };
            match (k, &mut p.guide) {
                (0, _) => put(&mut p.outer),
                (1, _) => put(&mut p.inner),
                (2, _) => put(&mut p.wheel_centre),
                (3 | 4, Guide::Wishbone { lower, .. } | Guide::Strut { lower, .. }) => put(&mut lower[k - 3]),
                (5, Guide::Wishbone { lower_ball, .. } | Guide::Strut { lower_ball, .. }) => put(lower_ball),
                (6, Guide::Wishbone { upper_ball: at, .. } | Guide::Strut { top: at, .. }) => put(at),
                (_, Guide::Wishbone { upper: [at, _], .. } | Guide::Strut { damper: at, .. }) => put(at),
            }
        }
        p
    });
    prop_oneof![garbage, spoilt]
}

fn finite(pose: &Pose) -> bool {
    let points =
        [pose.lower_ball(), pose.top(), pose.axis(), pose.spin_axis(), pose.wheel_centre(), pose.contact(), pose.outer(), pose.inner()];
    let figures = [
        pose.steer(),
        pose.toe(),
        pose.camber(),
        pose.caster(),
        pose.kingpin_inclination(),
        pose.scrub(),
        pose.trail(),
        pose.travel(),
        pose.half_track_change(),
        pose.transmission(),
        pose.inner_joint_angle(),
        pose.outer_joint_angle(),
    ];
    figures.into_iter().chain(points.iter().flat_map(|p| [p.x, p.y, p.z])).all(f64::is_finite)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1000, failure_persistence: None, ..ProptestConfig::default() })]

    /// Nothing panics, nothing is NaN or infinite; what is reached keeps every length.
    #[test]
    fn any_points_give_an_answer(p in any_points(), z in number(), s in number(), arm in -3.0..3.0f64, right in any::<bool>()) {
        let side = if right { CornerSide::Right } else { CornerSide::Left };
        let Ok(c) = Corner::new(side, &p) else { return Ok(()) };
        prop_assert!(c.rod().is_finite() && c.axis_at_ground().z.is_finite());
        for pose in [c.at_arm(arm, s), c.at_travel(z, s), c.at_travel(z / 10.0, 0.0)].into_iter().flatten() {
            prop_assert!(finite(&pose), "{pose:?}");
            prop_assert!(((pose.outer() - pose.inner()).norm() - c.rod()).abs() <= 1e-6 * c.rod().max(1.0), "{pose:?}");
        }
        if let Ok(pose) = c.at_travel(z, s) {
            // As near as the arm's angle resolves it.
            prop_assert!((pose.travel() - z).abs() <= 1e-6, "{} {z}", pose.travel());
        }
        if let Ok(slope) = c.bump_slope(0.0) {
            prop_assert!(slope.is_finite());
        }
        if let Ok(peak) = c.bump_peak([-40.0, 40.0], 0.0) {
            prop_assert!(peak.change.is_finite() && peak.travel.is_finite());
        }
        let window = PlacementWindow { ahead: [-60.0, 60.0], up: [-60.0, 60.0], cells: [3, 3] };
        let settings = PlacementSettings { band: [-40.0, 40.0], steps: 5, ends: [-70.0, 70.0], reserve: 10.0, wheelbase: 2700.0 };
        if let Ok(map) = Placement::new([c, c], window, settings) {
            for cell in (0..3).flat_map(|row| map.row(row)) {
                let lock = cell.lock.iter().flat_map(|l| l.angle.into_iter().chain(l.ackermann).chain([l.transmission]));
                prop_assert!(lock.chain(cell.peak).chain([cell.rod_angle]).all(f64::is_finite), "{cell:?}");
            }
        }
    }
}
