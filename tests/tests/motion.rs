//! The moving axle and the ± of its curves: positions against the probe, the ± against the doubt of the results and against readings
//! moved by hand.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a failing test may stop at once")]

use donorack::{Axle, Field, Plan, ResultId, Results, Sweep, evaluate_rack, over_turn, probe};
use donorack_tests::worked::{A, B};

fn example() -> Plan {
    Plan::from_json(include_str!("../data/from-above.json")).unwrap()
}

fn plans() -> Vec<Plan> {
    let full = Plan::from_json(include_str!("../data/every-field.json")).unwrap();
    [A, B].iter().map(|l| Plan::from_json(&l.plan()).unwrap()).chain([example(), full]).collect()
}

/// The plan with nothing left to take for granted: axes upright, rack centred and level, for sure.
fn nothing_taken_for_granted(plan: &Plan) -> Plan {
    use donorack::Entry;
    let mut out = plan.clone();
    let sure = |field: Field, text: &str| (field, Entry::parse_form(text, &field.spec().scale));
    for (field, entry) in
        [sure(Field::KingpinInclination, "0 ± 0 deg"), sure(Field::Caster, "0 ± 0 deg"), sure(Field::RodEndHeight, "250 ± 0 mm")]
    {
        out.car.insert(field, entry);
    }
    for rack in &mut out.racks {
        for (field, entry) in [sure(Field::Offset, "0 ± 0 mm"), sure(Field::Height, "0 ± 0 mm")] {
            rack.entries.insert(field, entry);
        }
    }
    out
}

#[test]
fn a_place_of_the_slider_is_a_place_of_the_probe() {
    let mut seen = 0;
    for plan in plans() {
        for rack in 0..plan.racks.len() {
            let axle = Axle::new(&plan, rack).unwrap();
            for k in -10..=10 {
                let share = f64::from(k) / 10.0;
                let at = axle.at(share).unwrap();
                let p = probe(&plan, rack, at.rack);
                assert_eq!(p.status, "ok");
                assert_eq!([at.wheels[0].steer, at.wheels[1].steer], [p.steer_left.unwrap(), p.steer_right.unwrap()], "share {share}");
                let tight = [p.transmission_left.unwrap(), p.transmission_right.unwrap()];
                assert_eq!(tight[at.tight], tight[0].min(tight[1]));
                // The drawn joints keep their distances, arm and rod being rigid; seen from above they need not where the axes lean.
                let upright = donorack::lean(&axle.readings().inputs()).is_none();
                let straight = axle.at(0.0).unwrap();
                for (w, v) in at.wheels.iter().zip(&straight.wheels).filter(|_| upright) {
                    let far = |a: [f64; 2], b: [f64; 2]| (a[0] - b[0]).hypot(a[1] - b[1]);
                    assert!((far(w.axis, w.rod_end) - far(v.axis, v.rod_end)).abs() < 1e-9);
                    assert!((far(w.rod_end, w.inner) - far(v.rod_end, v.inner)).abs() < 1e-9);
                }
                if let (Some([turns, ratio]), Some(hand)) = (at.ratio, at.hand) {
                    // A backwards rack's curve is that of the rack turned end for end, as every figure.
                    let turned = if axle.backwards() { -1.0 } else { 1.0 };
                    assert_eq!((turned * turns * 360.0, Some(ratio)), (hand, p.ratio));
                    assert_eq!(hand.partial_cmp(&0.0), share.partial_cmp(&0.0), "the steering wheel goes the way of the slider");
                }
                seen += 1;
            }
        }
    }
    assert!(seen > 100);
}

#[test]
fn both_sides_end_where_the_results_say_and_say_why() {
    for plan in plans() {
        for rack in 0..plan.racks.len() {
            let (axle, e) = (Axle::new(&plan, rack).unwrap(), evaluate_rack(&plan, rack));
            for (end, share) in axle.ends().iter().zip([1.0, -1.0]) {
                let at = axle.at(share).unwrap();
                let usable = e.solution.results.get(ResultId::UsableTravel, usize::from(at.rack < 0.0)).unwrap();
                assert_eq!(at.rack.abs(), usable);
                assert!(!end.reason.is_empty() && end.text.mm.contains(end.reason) && at.caption.mm.contains(end.reason), "{end:?}");
                assert!(axle.at(share * 0.99).unwrap().caption.mm.find("ends").is_none());
            }
            let turns = axle.ends().iter().map(|e| e.turns.unwrap().abs()).sum::<f64>();
            assert!((turns - e.solution.results.get(ResultId::Turns, 0).unwrap()).abs() < 1e-12);
        }
    }
}

#[test]
fn a_reversed_rack_moves_the_wheels_the_wrong_way() {
    let plan = example();
    // The third rack's bar goes left for a left turn, and the arms lie behind the axes.
    for (rack, backwards) in [(0, false), (2, true)] {
        let axle = Axle::new(&plan, rack).unwrap();
        assert_eq!(axle.backwards(), backwards);
        let left = axle.at(0.5).unwrap();
        assert_eq!((left.turned, left.inner), ("left", if backwards { "right" } else { "left" }));
        assert_eq!(left.wheels.iter().all(|w| w.steer < 0.0), backwards);
        assert_eq!(left.caption.mm.contains("backwards"), backwards);
        assert_eq!(axle.bar(), ["right", if backwards { "left" } else { "right" }]);
    }
}

#[test]
fn typed_angles_and_steps() {
    let plan = example();
    let axle = Axle::new(&plan, 1).unwrap();
    let hand = |share: f64| axle.at(share).unwrap().hand.unwrap();
    for (text, unit, side, degrees) in [
        ("90", "deg", "left", 90.0),
        ("1/4", "turns", "right", -90.0),
        ("0.5 turns", "deg", "left", 180.0),
        ("45°", "turns", "right", -45.0),
        ("0", "deg", "", 0.0),
    ] {
        assert!((hand(axle.typed(text, unit, side).unwrap()) - degrees).abs() < 1e-9, "{text} {unit} {side}");
    }
    for text in ["", "x", "-5", "1,234", "3 mm"] {
        let (sentence, share) = axle.typed(text, "deg", "left").unwrap_err();
        assert!(!sentence.mm.is_empty() && share.is_none(), "{text}: {sentence:?}");
    }
    let (sentence, share) = axle.typed("900", "deg", "right").unwrap_err();
    assert!(share == Some(-1.0) && sentence.mm.contains("past the end") && sentence.mm.contains("rack’s own end"), "{sentence:?}");
    assert!(sentence.mm.contains(" mm from the middle") && sentence.inch.contains(" in from the middle"), "{sentence:?}");
    // What an end is called leads to that end.
    let end = axle.at(1.0).unwrap().hand_text.unwrap();
    assert!(axle.typed(&end[0], "deg", "left").unwrap() > 0.99 && axle.typed(&end[1], "turns", "left").unwrap() > 0.99);
    let mut share = 0.0;
    for k in 1..=5 {
        share = axle.stepped(share, 1.0);
        assert!((hand(share) - 10.0 * f64::from(k)).abs() < 1e-9);
    }
    assert!((hand(axle.stepped(axle.share(14.0).unwrap(), -1.0)) - 10.0).abs() < 1e-9, "to the next whole step");
    assert_eq!((axle.stepped(1.0, 1.0), axle.stepped(-1.0, -3.0)), (1.0, -1.0));
}

#[test]
fn on_centre_the_band_is_the_doubt_of_the_ratio() {
    for plan in plans() {
        for rack in 0..plan.racks.len() {
            let (axle, e) = (Axle::new(&plan, rack).unwrap(), evaluate_rack(&plan, rack));
            let (centre, pm) = (axle.sweep().ratio(0.0).unwrap(), e.uncertainties.pm[Results::index(ResultId::RatioCentre, 0)].unwrap());
            assert!((centre.pm - pm).abs() < 1e-6 * pm, "{} and {pm}", centre.pm);
            assert_eq!(axle.sweep().toe_out(0.0).unwrap().pm, 0.0, "straight ahead there is no toe-out to doubt");
        }
    }
}

/// At lock the doubt lets the inner wheel's angle go with the readings, the band holds it: so both are taken, one reading at a time, and the
/// first is led back to the second along the curve.
#[test]
fn at_lock_the_band_is_the_doubt_led_back_along_the_curve() {
    for linkage in [A, B] {
        let mut plan = linkage.plan();
        // Only one reading is unsure, and the rack's own end ends the travel: the lock's place is sure.
        for (key, value) in
            [("wheelbase", linkage.wheelbase), ("front_track", linkage.spacing + 80.0), ("axis_spacing_at_ground", linkage.spacing)]
        {
            plan = plan.replace(&format!("\"{key}\": {value}"), &format!("\"{key}\": \"{value} ± 0 mm\""));
        }
        let side = |v: f64, plus: &str, minus: &str| format!("{} ± 0 mm {}", v.abs(), if v < 0.0 { minus } else { plus });
        plan = plan.replace(
            &format!("\"arm_inboard\": {}", linkage.inboard),
            &format!("\"arm_inboard\": \"{}\"", side(linkage.inboard, "inboard", "outboard")),
        );
        plan = plan.replace(
            &format!("\"rack_line\": {}", linkage.rack - linkage.ahead),
            &format!("\"rack_line\": \"{}\"", side(linkage.rack - linkage.ahead, "ahead", "behind")),
        );
        plan = plan.replace("\"travel_per_turn\": 48", "\"travel_per_turn\": \"48 ± 0 mm\"");
        plan = plan
            .replace(&format!("\"travel\": {}", 2.0 * linkage.lock.abs()), &format!("\"travel\": \"{} ± 0 mm\"", 2.0 * linkage.lock.abs()));
        plan = plan.replace(
            &format!("\"inner_joint_spacing\": {}", linkage.joints),
            &format!("\"inner_joint_spacing\": \"{} ± 0 mm\"", linkage.joints),
        );
        let plan = nothing_taken_for_granted(&Plan::from_json(&plan).unwrap());
        let (axle, e) = (Axle::new(&plan, 0).unwrap(), evaluate_rack(&plan, 0));
        let unsure: Vec<Field> = (0..donorack::FIELD_COUNT)
            .filter_map(|k| e.readings.items[k].filter(|i| i.pm > 0.0).map(|_| donorack::FIELDS[k].field))
            .collect();
        assert_eq!(unsure, [Field::ArmForeAft]);
        let pm = |name| e.uncertainties.pm[Results::index(name, 0)].unwrap();
        assert_eq!(
            pm(ResultId::ToeOutLock),
            e.uncertainties.read[Results::index(ResultId::ToeOutLock, 0)].unwrap(),
            "nothing is taken for granted"
        );
        let s = axle.locks()[0].unwrap();
        let (lock, near) = (axle.sweep().toe_out(s).unwrap(), axle.sweep().toe_out(s * 0.9999).unwrap());
        let slope = (lock.height - near.height) / (lock.along - near.along);
        // One reading: the two effects have signs, and the ± does not tell which; one of the two sums is the band.
        let (toe, inner) = (pm(ResultId::ToeOutLock), slope * pm(ResultId::LockInner));
        let near = |x: f64| (x.abs() - lock.pm).abs() < 2e-3 * lock.pm;
        assert!(near(toe - inner) || near(toe + inner), "{} against {toe} and {inner}", lock.pm);
    }
}

/// The band against each reading moved by a hundredth of its ± in the plan's own text of numbers, the curve read off at the same angle.
#[test]
fn the_band_is_what_moved_readings_make_of_the_curve() {
    let plan = nothing_taken_for_granted(&example());
    let axle = Axle::new(&plan, 0).unwrap();
    let s = axle.locks()[0].unwrap();
    let e = evaluate_rack(&plan, 0);
    let direction = e.solution.direction.unwrap();
    let curve = |x: &donorack::Readings| Sweep::of(x, direction).unwrap();
    for share in [0.3, 0.7, 1.0] {
        let here = axle.sweep().toe_out(share * s).unwrap();
        let turns = axle.sweep().ratio(share * s).unwrap();
        let mut sums = [0.0; 2];
        for k in 0..donorack::FIELD_COUNT {
            let Some(item) = e.readings.items[k].filter(|i| i.pm > 0.0) else { continue };
            let moved = |by: f64| {
                let mut r = e.readings.clone();
                r.items[k] = Some(donorack::Item { value: item.value + by * item.pm, ..item });
                r
            };
            // Toe-out at the same inner angle, found by bisection on the rack.
            let toe = |by: f64| {
                let sweep = curve(&moved(by));
                let (mut low, mut high) = (0.0, 1.2 * share * s);
                for _ in 0..60 {
                    let middle = (low + high) / 2.0;
                    if sweep.toe_out(middle).unwrap().along < here.along { low = middle } else { high = middle }
                }
                sweep.toe_out(low).unwrap().height
            };
            let ratio = |by: f64| {
                let (r, sweep) = (moved(by), curve(&moved(by)));
                let c = donorack::rack_numbers(&r.inputs())[0].unwrap();
                sweep.ratio(turns.along.abs() * c * s.signum()).unwrap().height
            };
            for (sum, f) in sums.iter_mut().zip([&toe as &dyn Fn(f64) -> f64, &ratio]) {
                *sum += ((f(0.01) - f(-0.01)) / 0.02).powi(2);
            }
        }
        assert!((sums[0].sqrt() - here.pm).abs() < 1e-3 * here.pm, "{} and {} at {share}", sums[0].sqrt(), here.pm);
        assert!((sums[1].sqrt() - turns.pm).abs() < 1e-3 * turns.pm, "{} and {} at {share}", sums[1].sqrt(), turns.pm);
    }
}

#[test]
fn what_is_missing_is_said() {
    let mut plan = example();
    plan.racks[1].entries.remove(&Field::TravelTwoTurns);
    let view = over_turn(&Axle::new(&plan, 1).unwrap());
    assert!(
        view.band_ratio.is_empty()
            && view.hand_why.contains("the travel over two turns")
            && view.ratio_summary.mm.contains("the travel over two turns")
    );
    assert!(view.band_left.len() > 10, "toe-out does not need it");
    let at = Axle::new(&plan, 1).unwrap().at(0.5).unwrap();
    assert_eq!((at.hand, at.ratio, at.turned), (None, None, "left"));
    plan.racks[1].entries.remove(&Field::InnerJointSpacing);
    assert!(Axle::new(&plan, 1).unwrap_err().contains("the spacing of the inner joints"));
    let mut plan = example();
    plan.racks[1].entries.remove(&Field::Travel);
    let axle = Axle::new(&plan, 1).unwrap();
    assert!(axle.at(0.0).is_ok());
    let why = axle.at(0.5).unwrap_err();
    assert!(why.contains("the total travel"), "{why}");
    let ends = axle.ends();
    assert!(ends.iter().all(|e| e.reason.is_empty() && e.text.mm.contains("the total travel")), "{ends:?}");
}
