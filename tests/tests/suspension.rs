//! The suspension in three dimensions against the outside world: published corners to the printed digits, and 300 corners of an
//! independent solver (`tests/oracle/corners.py`).

#![allow(clippy::unwrap_used, clippy::panic)] // A failing test may stop at once.

use donorack::{Corner, CornerSide, Guide, Points, Pose, Vec3};

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
        [(-60.0, "2.86636", "-12.338"), (-30.0, "1.24463", "-4.431"), (30.0, "-0.92365", "1.182"), (60.0, "-1.54936", "-0.804")]
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
