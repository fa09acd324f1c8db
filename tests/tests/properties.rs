//! What must hold for any plan: left and right are alike, nothing is infinite or no number, nothing panics.

use donorack::rack_search::look_for;
use donorack::{
    Entry, FIELDS, Plan, RESULTS, Rack, ResultId, Results, Section, Sides, Solution, Spec, View, axle, evaluate, evaluate_rack, explain,
    probe,
};
use proptest::prelude::*;

/// A plausible car with one rack: lengths in mm around those of real cars, off centre and with unlike arms now and then.
fn car() -> impl Strategy<Value = Plan> {
    let car = (2000.0..3500.0f64, 1200.0..1700.0f64, 0.0..120.0f64, 70.0..200.0f64, -60.0..60.0f64, any::<bool>());
    let rack = (400.0..800.0f64, 30.0..70.0f64, 60.0..260.0f64, -120.0..120.0f64, -40.0..40.0f64, -40.0..60.0f64);
    let unlike = prop_oneof![Just(None), (70.0..200.0f64, -60.0..60.0f64).prop_map(Some)];
    (car, rack, unlike, any::<bool>(), 20.0..120.0f64).prop_map(|(c, r, unlike, stop, at)| {
        let sided = |x: f64, a: &str, b: &str| format!("{:.2} mm {}", x.abs(), if x < 0.0 { b } else { a });
        let behind = if c.5 { -1.0 } else { 1.0 };
        let mut plan = Plan::default();
        let car = [
            ("wheelbase", format!("{:.2} mm", c.0)),
            ("front_track", format!("{:.2} mm", c.1)),
            ("axis_spacing_at_ground", format!("{:.2} mm", c.1 - c.2)),
            ("arm_fore_aft", sided(behind * c.3, "ahead", "behind")),
            ("arm_inboard", sided(c.4, "inboard", "outboard")),
        ];
        let right = unlike.map(|(e, f)| {
            [("right_arm_fore_aft", sided(behind * e, "ahead", "behind")), ("right_arm_inboard", sided(f, "inboard", "outboard"))]
        });
        put(&mut plan.car, Section::Car, car.into_iter().chain(right.into_iter().flatten()));
        let rack = [
            ("inner_joint_spacing", format!("{:.2} mm", r.0)),
            ("travel_per_turn", format!("{:.2} mm", r.1)),
            ("travel", format!("{:.2} mm", r.2)),
            ("rack_line", sided(r.3, "ahead", "behind")),
            ("offset", sided(r.4, "left", "right")),
            ("height", sided(r.5, "above", "below")),
            ("bar_moves", "left".to_owned()),
        ];
        let stop = stop.then(|| ("stop_left", format!("{at:.2} mm")));
        let mut fitted = Rack::default();
        put(&mut fitted.entries, Section::Rack, rack.into_iter().chain(stop));
        plan.racks.push(fitted);
        plan
    })
}

fn put(entries: &mut donorack::Entries, section: Section, texts: impl Iterator<Item = (&'static str, String)>) {
    for (name, text) in texts {
        let spec = FIELDS.iter().find(|s| s.section == section && s.name == name).expect("a measurement of the table");
        entries.insert(spec.field, Entry::parse_form(&text, &spec.scale));
    }
}

/// The same car seen in a mirror: arms and stops change sides, and so does the offset.
fn mirrored(plan: &Plan) -> Plan {
    use donorack::Field::*;
    let mut m = plan.clone();
    for (left, right) in [(ArmForeAft, RightArmForeAft), (ArmInboard, RightArmInboard)] {
        if let Some(r) = plan.car.get(&right) {
            let as_spec = |e: &Entry, s: &Spec| Entry::parse_form(&e.form(&s.scale), &s.scale);
            m.car.insert(left, as_spec(r, left.spec()));
            m.car.insert(right, as_spec(&plan.car[&left], right.spec()));
        }
    }
    let (from, to) = (&plan.racks[0].entries, &mut m.racks[0].entries);
    to.remove(&StopLeft);
    if let Some(s) = from.get(&StopLeft) {
        to.insert(StopRight, s.clone());
    }
    if let Some(o) = to.get_mut(&Offset) {
        use donorack::Side;
        o.side = o.side.map(|s| if s == Side::Plus { Side::Minus } else { Side::Plus });
    }
    m
}

fn get(s: &Solution, name: ResultId, side: usize) -> Option<f64> {
    s.results.get(name, side).ok()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_mirrored_car_gives_mirrored_results(plan in car()) {
        let (a, b) = (evaluate_rack(&plan, 0), evaluate_rack(&mirrored(&plan), 0));
        let wheels = |n: ResultId| match n {
            ResultId::ToggleLeftWheel => Some(ResultId::ToggleRightWheel),
            ResultId::ToggleRightWheel => Some(ResultId::ToggleLeftWheel),
            ResultId::FoldBackLeftWheel => Some(ResultId::FoldBackRightWheel),
            ResultId::FoldBackRightWheel => Some(ResultId::FoldBackLeftWheel),
            _ => None,
        };
        // The chalk-line figure speaks of the left arm alone.
        for row in RESULTS.iter().filter(|r| r.name != ResultId::ChalkLine) {
            for side in 0..row.count() {
                let other = if row.sides == Sides::One { side } else { 1 - side };
                let (twin, sign) = wheels(row.name).map_or((row.name, 1.0), |w| (w, -1.0));
                let (x, y) = (get(&a.solution, row.name, side), get(&b.solution, twin, other).map(|y| sign * y));
                let close = |x: Option<f64>, y: Option<f64>, part: f64| match (x, y) {
                    (Some(x), Some(y)) => (x - y).abs() <= part * (1.0 + x.abs()),
                    (None, None) => true,
                    _ => false,
                };
                prop_assert!(close(x, y, 1e-7), "{} {side}: {x:?} against {y:?}", row.key);
                let pm = |e: &donorack::Evaluated, n, s| e.uncertainties.pm[Results::index(n, s)];
                let (p, q) = (pm(&a, row.name, side), pm(&b, twin, other));
                prop_assert!(close(p, q, 1e-4), "± of {} {side}: {p:?} against {q:?}", row.key);
            }
        }
    }

    #[test]
    fn a_plausible_car_gives_only_numbers(plan in car(), s in -400.0..400.0f64, share in -1.5..1.5f64) {
        sound(&plan, &evaluate(&plan), s, share);
    }
}

/// Texts that have broken programs: empty, huge, tiny, negative, not numbers.
fn nasty() -> impl Strategy<Value = String> {
    let made = [
        "0",
        "-0",
        "1e308",
        "-1e-320",
        "NaN",
        "inf",
        "0.001",
        "999999999999999999999",
        "½",
        "1,234",
        "5-7/16",
        "1/0",
        "± 5",
        "30 ± 0",
        "",
        " ",
        "°",
        "\u{0}",
    ];
    prop_oneof![
        prop::sample::select(made.to_vec()).prop_map(str::to_owned),
        (0.0..4000.0f64).prop_map(|x| format!("{x:.3}")),
        (0.0..4000.0f64, 0.0..4000.0f64).prop_map(|(x, p)| format!("{x:.1} ± {p:.1}")),
        any::<f64>().prop_map(|x| format!("{x}")),
        ".{0,12}",
    ]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn nothing_typed_gives_anything_but_numbers(
        texts in prop::collection::vec((prop::sample::select(FIELDS), nasty(), 0usize..4), 0..24),
        base in prop::option::of(car()),
        s in any::<f64>(),
        share in any::<f64>(),
    ) {
        let mut plan = base.unwrap_or_default();
        plan.racks.resize_with(2, Rack::default);
        for (spec, text, word) in texts {
            let side = spec.scale.sides.map_or("", |(a, b)| [a, b, "", ""][word]);
            let entry = Entry::parse_form(&format!("{text} {side}"), &spec.scale);
            match spec.section {
                Section::Car => plan.car.insert(spec.field, entry),
                Section::Rack => plan.racks[word % 2].entries.insert(spec.field, entry),
                Section::Limits => plan.limits.insert(spec.field, entry),
            };
        }
        sound(&plan, &evaluate(&plan), s, share);
    }
}

/// No result, curve, finding, drawing, probe or range to look for holds anything but a finite number, or a reason.
fn sound(plan: &Plan, view: &View, s: f64, share: f64) {
    let finite = |x: f64, what: &str| assert!(x.is_finite(), "{what}: {x}");
    let told = look_for(plan);
    for range in told.spacing.iter().chain(&told.travel) {
        range.ends.iter().chain(&range.travel).chain(range.pm.iter().flatten()).for_each(|x| finite(*x, "a range to look for"));
    }
    if let Some(picture) = &told.picture {
        picture.x.iter().chain(&picture.y).chain(&picture.wanted).for_each(|x| finite(*x, "the picture's frame"));
        picture.most.iter().for_each(|p| finite(p.0 + p.1, "the picture"));
        picture.band.iter().for_each(|p| finite(p.0 + p.1 + p.2, "the picture"));
        assert!(picture.x[0] < picture.x[1] && picture.y[0] < picture.y[1], "{:?} {:?}", picture.x, picture.y);
    }
    for (i, rack) in view.racks.iter().enumerate() {
        for r in &rack.results {
            r.value.into_iter().chain(r.pm).for_each(|x| finite(x, r.name));
            assert!(r.value.is_some() || !r.why.is_empty(), "{} has neither a value nor a reason", r.name);
            assert!(
                !r.text.mm.is_empty() && !r.text.inch.is_empty() && !r.text.mm.contains("NaN") && !r.text.mm.contains("inf"),
                "{:?}",
                r.text
            );
        }
        for f in &rack.findings {
            f.value.into_iter().chain(f.limit).chain(f.margin).chain(f.pm).for_each(|x| finite(x, f.name));
            assert!(!f.title.mm.is_empty());
        }
        let c = &rack.curves;
        for (x, y) in c.toe_out_left.iter().chain(&c.toe_out_right).chain(&c.ideal).chain(&c.ratio) {
            finite(x + y, "a curve");
        }
        if let Ok(d) = axle(plan, i, share) {
            for w in &d.wheels {
                for x in w.axis.iter().chain(&w.contact).chain(&w.rod_end).chain(&w.inner).chain([&w.steer, &w.transmission]) {
                    finite(*x, "the drawing");
                }
            }
            d.centre.into_iter().chain(d.band.into_iter().flatten()).for_each(|x| finite(x, "the turning centre"));
        }
        for row in RESULTS.iter().step_by(7) {
            // What it rests on is told in our own words: no name of a plan's stands in it.
            let rests = format!("{:?}", explain(plan, i, row.key, 0));
            assert!(!["NaN", "inf,", "inf)", "inf ", "inf]"].iter().any(|none| rests.contains(none)), "{}: {rests}", row.key);
        }
        let p = probe(plan, i, s);
        [p.steer_left, p.steer_right, p.ratio, p.transmission_left, p.transmission_right]
            .into_iter()
            .flatten()
            .for_each(|x| finite(x, "a probe"));
    }
}
