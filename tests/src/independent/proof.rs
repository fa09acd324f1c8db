//! What is said of a rack that suits is proved, or found wrong.

use super::car::Car;
use super::numbers::Numbers;

/// What is said of a rack that suits: the figures beside the word, left and right.
#[derive(Clone, Copy, Debug)]
pub struct Claim {
    /// Usable travel, bar to the left and to the right, mm.
    pub usable: [f64; 2],
    /// The inner wheel at lock left and right, degrees.
    pub lock_inner: [f64; 2],
    /// Circle at the tyre's centre, lock left and right, mm.
    pub circle: [f64; 2],
}

/// How finely the travel is looked at, each way.
const SAMPLES: u32 = 160;
/// What rounding may do: mm, degrees, and shares of a figure.
const SLACK: f64 = 1e-7;

/// Proves "suits" of the rack with these readings, or says what is wrong with it: nothing is believed but the readings.
pub fn prove(numbers: &Numbers, claim: &Claim) -> Result<(), String> {
    let car = Car::new(numbers.clone())?;
    let n = &car.numbers;
    let figures = car.results().ok_or("the linkage stands nowhere")?;
    let must = |holds: bool, what: &dyn Fn() -> String| if holds { Ok(()) } else { Err(what()) };
    let kappa = n.need("bar_moves")?;

    // Both wheels the same way, the right way, and in no place close to a toggle, over the whole usable travel.
    let angle = n.limit("transmission_angle", Some(30.0)).map_or(0.0, f64::to_radians);
    for (k, way) in [1.0, -1.0].into_iter().enumerate() {
        for i in 0..=SAMPLES {
            let s = way * car.usable[k] * f64::from(i) / f64::from(SAMPLES);
            let stand = car.both(s).ok_or_else(|| format!("no position at {s}"))?;
            must(stand[0].rate * stand[1].rate > 0.0, &|| format!("at {s} the wheels go against each other"))?;
            must(stand.iter().all(|x| x.rate * kappa > 0.0), &|| format!("at {s} it steers backwards"))?;
            let least = stand[0].transmission.min(stand[1].transmission);
            must(least >= angle - SLACK, &|| format!("at {s} transmission {}°", least.to_degrees()))?;
        }
        // Where the hardware ends.
        let kept = n.limit("reserve", Some(10.0)).unwrap_or(0.0);
        let left = car.first_event(k) - car.hardware[k];
        must(left >= kept - SLACK, &|| format!("{left} mm are left before toggle or fold-back where the rack or stop ends, way {k}"))?;
        let joints = car.joint_limits();
        for i in (0..=SAMPLES).filter(|_| !joints.is_empty()) {
            let s = way * car.hardware[k] * f64::from(i) / f64::from(SAMPLES);
            let stand = car.both(s).ok_or_else(|| format!("no position at {s}"))?;
            for (name, limit, joint) in &joints {
                let most = joint(&stand[0]).max(joint(&stand[1]));
                must(most <= *limit + SLACK, &|| format!("at {s} {name} at {}°", most.to_degrees()))?;
            }
        }
    }

    // At mid-travel, and the rods.
    if n.get("rod_length").is_some() {
        let most = n.limit("toe_max", Some(2.0)).unwrap_or(f64::INFINITY);
        for toe in figures["toe_centre"].into_iter().flatten() {
            must(toe.abs() <= most + SLACK, &|| format!("toe of {toe}° at mid-travel"))?;
        }
    }
    for name in ["rod_over_shortest", "rod_under_longest"] {
        for x in figures.get(name).into_iter().flatten().flatten() {
            must(*x >= -SLACK, &|| format!("{name} {x}"))?;
        }
    }

    // Locks, and what the builder wants besides.
    let wanted = n.limit("lock_inner", Some(30.0)).unwrap_or(0.0);
    for lock in figures.get("lock_inner").into_iter().flatten().flatten() {
        must(*lock >= wanted - SLACK, &|| format!("lock of {lock}°, {wanted}° wanted"))?;
    }
    let own = [
        ("ratio_centre", "ratio_min", "ratio_max"),
        ("turns", "turns_min", "turns_max"),
        ("ackermann_angle", "ackermann_min", "ackermann_max"),
        ("circle_centre", "", "circle_max"),
        ("circle_edge", "", "circle_edge_max"),
        ("wall_to_wall", "", "wall_to_wall_max"),
    ];
    for (name, least, most) in own {
        let [least, most] = [n.limit(least, None).unwrap_or(f64::NEG_INFINITY), n.limit(most, None).unwrap_or(f64::INFINITY)];
        for x in figures.get(name).into_iter().flatten().flatten() {
            let slack = SLACK * x.abs().max(1.0);
            must(*x >= least - slack && *x <= most + slack, &|| format!("{name} {x}, allowed {least} to {most}"))?;
        }
    }

    // The figures beside the word.
    let shown = [("usable_travel", claim.usable), ("lock_inner", claim.lock_inner), ("circle_centre", claim.circle)];
    for (name, claimed) in shown {
        for (said, found) in claimed.iter().zip(figures.get(name).ok_or_else(|| format!("no {name}"))?) {
            let found = found.ok_or_else(|| format!("no {name}"))?;
            must((said - found).abs() <= 10.0 * SLACK * found.abs().max(1.0), &|| format!("{name}: said {said}, found {found}"))?;
        }
    }
    Ok(())
}
