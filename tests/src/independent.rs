//! A car solved without the core and without a formula for the position: the rod's length is held while the rack is moved in small steps,
//! from where the linkage was set up. It stands on the Python solver's cars (`oracle/axles.json`), and proves what is said of a rack.
//!
//! Millimetres and degrees outside, radians inside; X ahead, Y left, Z up; rack displacement and steer angles positive to the left.

use serde_json::Value;
use std::collections::BTreeMap;

type Vector = [f64; 3];

fn dot(a: Vector, b: Vector) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

fn cross(a: Vector, b: Vector) -> Vector {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

fn sum(a: Vector, k: f64, b: Vector) -> Vector {
    [a[0] + k * b[0], a[1] + k * b[1], a[2] + k * b[2]]
}

fn length(a: Vector) -> f64 {
    dot(a, a).sqrt()
}

/// What turns about an axis: v(θ) = along + cos θ · across + sin θ · ahead (Rodrigues).
#[derive(Clone, Copy, Debug)]
struct Turning {
    along: Vector,
    across: Vector,
    ahead: Vector,
}

impl Turning {
    fn new(v: Vector, axis: Vector) -> Turning {
        let along = sum([0.0; 3], dot(v, axis), axis);
        Turning { along, across: sum(v, -1.0, along), ahead: cross(axis, v) }
    }

    fn at(&self, theta: f64) -> Vector {
        sum(sum(self.along, theta.cos(), self.across), theta.sin(), self.ahead)
    }

    /// The derivative by the angle.
    fn rate(&self, theta: f64) -> Vector {
        sum(sum([0.0; 3], -theta.sin(), self.across), theta.cos(), self.ahead)
    }
}

/// Largest step of the rack while following, mm, and of the wheel, radians; below `ENOUGH` the following gives up and calls it an end.
const STEP: f64 = 2.0;
const TURN: f64 = 0.05;
const ENOUGH: f64 = 1e-9;

/// An angle read off a wheel's position.
type Angle = fn(&Stand) -> f64;

/// One wheel: its knuckle turns about an axis through the origin, the inner joint goes along Y.
#[derive(Clone, Debug)]
pub struct Wheel {
    axis: Vector,
    outer: Turning,
    spin: Turning,
    inner: Vector,
    rod: f64,
    /// Where it is followed from: the turn at mid-travel.
    start: f64,
    /// To the left and to the right: followed positions (rack displacement, turn), from mid-travel to the end.
    trail: [Vec<(f64, f64)>; 2],
    /// Where the branch ends, each way: rack displacement and turn.
    toggle: [(f64, f64); 2],
    /// The first fold-back before it.
    fold: [Option<f64>; 2],
}

/// The constraint |O(θ) − I(s)|² − ℓ² and its derivatives.
struct Constraint {
    rod: Vector,
    sweep: Vector,
    f: f64,
    by_turn: f64,
    by_rack: f64,
}

impl Wheel {
    /// From points relative to the axis; `rod` where its length is given. None where it cannot stand at mid-travel.
    fn new(axis: Vector, outer: Vector, inner: Vector, rod: Option<f64>) -> Option<Wheel> {
        let axis = sum([0.0; 3], 1.0 / length(axis), axis);
        let built = length(sum(outer, -1.0, inner));
        let mut wheel = Wheel {
            axis,
            outer: Turning::new(outer, axis),
            spin: Turning::new([0.0, 1.0, 0.0], axis),
            inner,
            rod: built,
            start: 0.0,
            trail: [Vec::new(), Vec::new()],
            toggle: [(0.0, 0.0); 2],
            fold: [None; 2],
        };
        wheel.adjust(rod.unwrap_or(built))?;
        for (k, way) in [1.0, -1.0].into_iter().enumerate() {
            wheel.follow(k, way)?;
        }
        Some(wheel)
    }

    fn constraint(&self, theta: f64, s: f64) -> Constraint {
        let rod = sum(sum(self.outer.at(theta), -1.0, self.inner), -s, [0.0, 1.0, 0.0]);
        let sweep = self.outer.rate(theta);
        Constraint { rod, sweep, f: dot(rod, rod) - self.rod * self.rod, by_turn: 2.0 * dot(rod, sweep), by_rack: -2.0 * rod[1] }
    }

    /// Newton's method on the rod's length at one rack displacement, from a guess.
    fn newton(&self, guess: f64, s: f64) -> Option<f64> {
        let mut theta = guess;
        let mut last = f64::INFINITY;
        for _ in 0..30 {
            let c = self.constraint(theta, s);
            let step = -c.f / c.by_turn;
            if !(step.abs() < 0.2) {
                return None;
            }
            theta += step;
            // Settled when the steps no longer shrink: what is left is rounding.
            if step.abs() < 1e-15 || step.abs() < 1e-11 && step.abs() >= last {
                return Some(theta);
            }
            last = step.abs();
        }
        (last < 1e-9).then_some(theta)
    }

    /// Changes the rod from its length as built to another in small steps, with the rack at mid-travel.
    fn adjust(&mut self, goal: f64) -> Option<()> {
        let sign = self.constraint(0.0, 0.0).by_turn.signum();
        if self.constraint(0.0, 0.0).by_turn == 0.0 {
            return None;
        }
        let mut step = STEP;
        while self.rod != goal {
            let before = self.rod;
            self.rod = if (goal - before).abs() <= step { goal } else { before + step.copysign(goal - before) };
            match self.newton(self.start, 0.0) {
                Some(theta) if (theta - self.start).abs() < TURN && self.constraint(theta, 0.0).by_turn * sign > 0.0 => {
                    self.start = theta;
                    step = STEP.min(2.0 * step);
                }
                _ => {
                    self.rod = before;
                    step /= 2.0;
                    if step < ENOUGH {
                        return None;
                    }
                }
            }
        }
        Some(())
    }

    /// One step along the branch; None where it would be too large, or lead off the branch.
    fn step(&self, (s, theta): (f64, f64), to: f64, sign: f64) -> Option<f64> {
        let c = self.constraint(theta, s);
        let guess = theta - c.by_rack / c.by_turn * (to - s);
        if !((guess - theta).abs() < TURN) {
            return None;
        }
        let found = self.newton(guess, to)?;
        // What Newton adds to the guess is small against the move: a dead stretch, however narrow, is not jumped over.
        let (moved, added) = ((guess - theta).abs(), (found - guess).abs());
        let sound = (found - theta).abs() < TURN && added < (0.25 * moved).max(1e-3) && self.constraint(found, to).by_turn * sign > 0.0;
        sound.then_some(found)
    }

    fn sign(&self) -> f64 {
        self.constraint(self.start, 0.0).by_turn.signum()
    }

    /// Follows the branch one way to its end; finds the toggle there, and the first fold-back on the way.
    fn follow(&mut self, k: usize, way: f64) -> Option<()> {
        let sign = self.sign();
        let (mut at, mut step) = ((0.0, self.start), STEP);
        let mut trail = vec![at];
        while step >= ENOUGH {
            match self.step(at, at.0 + way * step, sign) {
                Some(theta) => {
                    at = (at.0 + way * step, theta);
                    trail.push(at);
                    step = STEP.min(2.0 * step);
                }
                None => step /= 2.0,
            }
        }
        // The toggle: the constraint and its derivative by the turn vanish together.
        let (mut s, mut theta) = at;
        for _ in 0..60 {
            let c = self.constraint(theta, s);
            let out = sum(self.outer.along, -1.0, self.outer.at(theta));
            let [a, b] = [2.0 * (dot(c.sweep, c.sweep) + dot(c.rod, out)), -2.0 * c.sweep[1]];
            let det = c.by_turn * b - c.by_rack * a;
            let (dt, ds) = ((-c.f * b + c.by_turn * c.by_rack) / det, (-c.by_turn * c.by_turn + c.f * a) / det);
            theta += dt;
            s += ds;
            if !(dt.abs() + ds.abs() > 1e-13 * (1.0 + s.abs())) {
                break;
            }
        }
        if !((s - at.0).abs() < 1e-4) {
            return None;
        }
        self.toggle[k] = (s, theta);
        // A fold-back: the rod comes to stand square to the rack.
        let square = |p: (f64, f64)| self.constraint(p.1, p.0).rod[1];
        self.fold[k] = trail.windows(2).find(|w| square(w[0]) * square(w[1]) <= 0.0 && square(w[0]) != 0.0).map(|w| {
            let [mut low, mut high] = [w[0], w[1]];
            let before = square(low);
            for _ in 0..200 {
                let middle = (low.0 + high.0) / 2.0;
                if middle == low.0 || middle == high.0 {
                    break;
                }
                let Some(theta) = self.newton(low.1, middle) else { break };
                if square((middle, theta)) * before > 0.0 { low = (middle, theta) } else { high = (middle, theta) }
            }
            high.0
        });
        self.trail[k] = trail;
        Some(())
    }

    /// The turn at a rack displacement, or None beyond the end.
    fn turn(&self, s: f64) -> Option<f64> {
        let k = usize::from(s < 0.0);
        if !(s.abs() < self.toggle[k].0.abs()) {
            return None;
        }
        let trail = &self.trail[k];
        let mut at = trail[trail.partition_point(|p| p.0.abs() <= s.abs()) - 1];
        let (sign, mut step) = (self.sign(), s - at.0);
        if step == 0.0 {
            return Some(at.1);
        }
        while at.0 != s {
            let to = if (s - at.0).abs() <= step.abs() { s } else { at.0 + step };
            match self.step(at, to, sign) {
                Some(theta) => at = (to, theta),
                None => {
                    step /= 2.0;
                    if step.abs() < 1e-14 {
                        return None;
                    }
                }
            }
        }
        Some(at.1)
    }

    /// Everything of the wheel at a rack displacement.
    pub fn at(&self, s: f64) -> Option<Stand> {
        let theta = self.turn(s)?;
        let c = self.constraint(theta, s);
        let (a, moves) = (self.spin.at(theta), self.spin.rate(theta));
        let by_turn = (a[0] * moves[1] - a[1] * moves[0]) / (a[0] * a[0] + a[1] * a[1]);
        let ell = length(c.rod);
        Some(Stand {
            steer: (-a[0]).atan2(a[1]),
            rate: -c.by_rack / c.by_turn * by_turn,
            transmission: (dot(c.rod, c.sweep).abs() / (ell * length(c.sweep))).min(1.0).asin(),
            inner_joint: (c.rod[0].hypot(c.rod[2])).atan2(c.rod[1].abs()),
            outer_joint: (dot(c.rod, self.axis).abs() / ell).min(1.0).asin(),
        })
    }

    /// The nearer of toggle and first fold-back, one way (0 left, 1 right), as a distance.
    fn event(&self, k: usize) -> f64 {
        self.fold[k].unwrap_or(self.toggle[k].0).abs()
    }
}

/// A wheel and its rod at one rack displacement; radians, and per mm.
#[derive(Clone, Copy, Debug)]
pub struct Stand {
    /// Steer angle.
    pub steer: f64,
    /// Its derivative by the rack displacement.
    pub rate: f64,
    /// Transmission angle.
    pub transmission: f64,
    /// Angle between rod and rack.
    pub inner_joint: f64,
    /// Tilt of the rod out of the plane square to the steering axis.
    pub outer_joint: f64,
}

/// The readings of a plan for one rack as numbers: mm, degrees, signed. A limit that is turned off is in `off`.
#[derive(Clone, Debug, Default)]
pub struct Numbers {
    known: BTreeMap<String, f64>,
    off: Vec<String>,
}

impl Numbers {
    /// From a plan's JSON; texts as far as the tests write them: "132 ± 0 mm behind", "off", "left".
    pub fn of(plan: &Value, rack: usize) -> Result<Numbers, String> {
        let mut all = Numbers::default();
        for section in [&plan["car"], &plan["racks"][rack], &plan["limits"]] {
            for (name, value) in section.as_object().into_iter().flatten() {
                if name == "name" || name == "note" {
                    continue;
                }
                match value {
                    Value::Number(n) => all.put(name, n.as_f64().ok_or("no number")?),
                    Value::String(text) if text == "off" => all.off.push(name.clone()),
                    Value::String(text) => all.put(name, read(text).ok_or_else(|| format!("{name}: {text}"))?),
                    other => return Err(format!("{name}: {other}")),
                }
            }
        }
        Ok(all)
    }

    /// Sets or replaces one.
    pub fn put(&mut self, name: &str, value: f64) {
        self.known.insert(name.to_owned(), value);
    }

    /// One of them, where it is known.
    pub fn get(&self, name: &str) -> Option<f64> {
        self.known.get(name).copied()
    }

    fn need(&self, name: &str) -> Result<f64, String> {
        self.get(name).ok_or_else(|| format!("needs {name}"))
    }

    /// A limit: as typed, else its default, None when turned off.
    fn limit(&self, name: &str, default: Option<f64>) -> Option<f64> {
        if self.off.iter().any(|o| o == name) { None } else { self.get(name).or(default) }
    }
}

fn read(text: &str) -> Option<f64> {
    match text {
        "left" => return Some(1.0),
        "right" => return Some(-1.0),
        _ => {}
    }
    let value: f64 = text.split_whitespace().next()?.parse().ok()?;
    let minus = ["behind", "outboard", "right", "below", "forward"];
    let known = ["±", "mm", "deg", "%", "turns"];
    let mut words = text.split_whitespace().skip(1).filter(|w| w.parse::<f64>().is_err() && !known.contains(w));
    let side = words.next();
    if words.next().is_some() {
        return None;
    }
    Some(if side.is_some_and(|w| minus.contains(&w)) { -value } else { value })
}

/// One rack on the car.
#[derive(Clone, Debug)]
pub struct Car {
    numbers: Numbers,
    arms: [(f64, f64); 2],
    ground: f64,
    at_rod: f64,
    scrub: f64,
    per_turn: f64,
    travel: f64,
    built: [f64; 2],
    /// Left and right.
    pub wheels: [Wheel; 2],
    /// Where rack end or stop ends the travel, to the left and to the right, as distances.
    pub hardware: [f64; 2],
    /// The same with the reserve and the joints' limits.
    pub usable: [f64; 2],
    /// The side to which both wheels together go when the rack goes to the left.
    forward: f64,
}

/// What a result's two sides hold; results with one side hold the same twice.
pub type Results = BTreeMap<&'static str, [Option<f64>; 2]>;

impl Car {
    /// Why not, where the readings do not give a linkage that stands at mid-travel.
    pub fn new(numbers: Numbers) -> Result<Car, String> {
        let n = &numbers;
        let (e, f) = match (n.get("arm_length"), n.get("arm_angle")) {
            (Some(l), Some(a)) if n.get("arm_fore_aft").is_none() => (l * a.to_radians().cos(), l.abs() * a.to_radians().sin()),
            _ => (n.need("arm_fore_aft")?, n.need("arm_inboard")?),
        };
        let arms = [(e, f), (n.get("right_arm_fore_aft").unwrap_or(e), n.get("right_arm_inboard").unwrap_or(f))];
        // Upright, unless both readings are there that lean the axis.
        let lean = n.get("kingpin_inclination").zip(n.get("rod_end_height"));
        let (axis, wider) = lean.map_or(([0.0, 0.0, 1.0], 0.0), |(kingpin, height)| {
            let [kingpin, caster] = [kingpin, n.get("caster").unwrap_or(4.5)].map(|x| x.to_radians().tan());
            ([-caster, -kingpin, 1.0], 2.0 * height * kingpin)
        });
        let track = n.need("front_track")?;
        let ground = n.get("axis_spacing_at_ground").or(n.get("scrub_radius").map(|s| track - 2.0 * s));
        let at_rod = n.get("axis_spacing_at_rod_end").or(n.get("rod_end_spacing").map(|s| s + arms[0].1 + arms[1].1));
        let (ground, at_rod) = match (ground, at_rod) {
            (Some(g), Some(r)) => (g, r),
            (Some(g), None) => (g, g - wider),
            (None, Some(r)) => (r + wider, r),
            (None, None) => return Err("needs the axes' spacing".to_owned()),
        };
        let line = (arms[0].0 + arms[1].0) / 2.0 + n.need("rack_line")?;
        let (offset, height, apart) = (n.get("offset").unwrap_or(0.0), n.get("height").unwrap_or(0.0), n.need("inner_joint_spacing")?);
        // Seen from its axis at the rod ends' height.
        let points = [1.0, -1.0].map(|side: f64| {
            let (e, f) = arms[usize::from(side < 0.0)];
            ([e, -side * f, 0.0], [line, offset + side * (apart - at_rod) / 2.0, height], [axis[0], side * axis[1], 1.0])
        });
        let built = points.map(|(o, i, _)| length(sum(o, -1.0, i)));
        let [left, right] = points.map(|(o, i, u)| Wheel::new(u, o, i, n.get("rod_length")));
        let wheels = [left.ok_or("the left wheel stands nowhere")?, right.ok_or("the right wheel stands nowhere")?];
        let (per_turn, travel) = match (n.get("travel_per_turn"), n.get("travel"), n.get("turns")) {
            (Some(c), Some(t), _) => (c, t),
            (Some(c), None, Some(turns)) => (c, c * turns),
            (None, Some(t), Some(turns)) => (t / turns, t),
            _ => return Err("needs two of travel per turn, travel and turns".to_owned()),
        };
        let hardware = ["stop_left", "stop_right"].map(|stop| n.get(stop).map_or(travel / 2.0, |s| s.min(travel / 2.0)));
        let rates = [0, 1].map(|w: usize| wheels[w].at(0.0).map_or(0.0, |x| x.rate));
        let mut car = Car {
            arms,
            ground,
            at_rod,
            scrub: n.get("scrub_radius").unwrap_or((track - ground) / 2.0),
            per_turn,
            travel,
            built,
            wheels,
            hardware,
            usable: hardware,
            forward: (rates[0] + rates[1]).signum(),
            numbers,
        };
        for k in 0..2 {
            let kept = car.numbers.limit("reserve", Some(10.0)).unwrap_or(0.0);
            let mut end = car.hardware[k].min((car.first_event(k) - kept).max(0.0));
            for (_, limit, joint) in car.joint_limits() {
                end = car.joint_meets(k, limit, joint).map_or(end, |s| s.min(end));
            }
            car.usable[k] = end;
        }
        Ok(car)
    }

    /// The first toggle or fold-back of either wheel, one way, as a distance.
    pub fn first_event(&self, k: usize) -> f64 {
        self.wheels[0].event(k).min(self.wheels[1].event(k))
    }

    /// The joints that have a limit. The outer one's tilt is known only with the height of the inner joints.
    fn joint_limits(&self) -> Vec<(&'static str, f64, Angle)> {
        let n = &self.numbers;
        let inner: Angle = |x| x.inner_joint;
        let outer: Angle = |x| x.outer_joint;
        let mut all = Vec::new();
        all.extend(n.get("inner_joint_limit").map(|l| ("inner_joint", l.to_radians(), inner)));
        all.extend(n.get("outer_joint_limit").filter(|_| n.get("height").is_some()).map(|l| ("outer_joint", l.to_radians(), outer)));
        all
    }

    /// Where a joint of either wheel first goes past its limit, one way; None where never before the toggle.
    fn joint_meets(&self, k: usize, limit: f64, joint: Angle) -> Option<f64> {
        let way = [1.0, -1.0][k];
        let one = |wheel: &Wheel| {
            let over = |s: f64| wheel.at(s).is_some_and(|x| joint(&x) > limit);
            if over(0.0) {
                return Some(0.0);
            }
            let first = wheel.trail[k].iter().position(|p| over(p.0))?;
            let (mut low, mut high) = (wheel.trail[k][first - 1].0.abs(), wheel.trail[k][first].0.abs());
            for _ in 0..100 {
                let middle = (low + high) / 2.0;
                if over(way * middle) { high = middle } else { low = middle }
            }
            Some(high)
        };
        self.wheels.iter().filter_map(one).reduce(f64::min)
    }

    /// The rods' lengths that stand the wheels straight, left and right.
    pub fn straight(&self) -> [f64; 2] {
        self.built
    }

    fn both(&self, s: f64) -> Option<[Stand; 2]> {
        Some([self.wheels[0].at(s)?, self.wheels[1].at(s)?])
    }

    /// Second derivative over the square of the first, of the left wheel at mid-travel, by differences of the rate.
    fn bend(&self) -> Option<f64> {
        let rate = |s: f64| self.wheels[0].at(s).map(|x| x.rate);
        let slope = |h: f64| Some((rate(h)? - rate(-h)?) / (2.0 * h));
        let second = (4.0 * slope(0.1)? - slope(0.2)?) / 3.0;
        Some(second / rate(0.0)?.powi(2))
    }

    /// Largest angle of a joint over a stretch of the rack, from mid-travel and both ways.
    fn largest(&self, wheel: usize, ends: [f64; 2], joint: Angle) -> Option<f64> {
        let (low, high) = (-ends[1], ends[0]);
        let value = |s: f64| self.wheels[wheel].at(s).map_or(f64::NEG_INFINITY, |x| joint(&x));
        let grid: Vec<f64> = (0..=40).map(|i| low + (high - low) * f64::from(i) / 40.0).collect();
        let best = (0..grid.len()).max_by(|&a, &b| value(grid[a]).total_cmp(&value(grid[b])))?;
        let (mut a, mut b) = (grid[best.saturating_sub(1)], grid[(best + 1).min(40)]);
        for _ in 0..60 {
            let (p, q) = (a + (b - a) / 3.0, b - (b - a) / 3.0);
            if value(p) < value(q) { a = p } else { b = q }
        }
        Some(value(low).max(value(high)).max(value((a + b) / 2.0))).filter(|x| x.is_finite())
    }

    /// The figures of the circle in a left (0) or right (1) turn, from both steer angles.
    fn circles(&self, k: usize, steer: [f64; 2]) -> BTreeMap<&'static str, f64> {
        let n = &self.numbers;
        let mut all = BTreeMap::new();
        let Some(base) = n.get("wheelbase") else { return all };
        let turn = [1.0, -1.0][k];
        let centre = base * (1.0 / steer[0].tan() + 1.0 / steer[1].tan()) / 2.0;
        // Contact point and outboard lateral of the wheel on that side.
        let wheel = |side: f64| {
            let d = if side > 0.0 { steer[0] } else { steer[1] };
            let out = (-side * d.sin(), side * d.cos());
            ((self.scrub * out.0, side * self.ground / 2.0 + self.scrub * out.1), out)
        };
        let across = |p: (f64, f64), y: f64| 2.0 * (p.0 + base).hypot(p.1 - y);
        let rules = |side: f64| {
            let (p, out) = wheel(side);
            p.1 - (base + p.0) * out.1 / out.0
        };
        let (p, out) = wheel(-turn);
        all.insert("circle_centre", across(p, centre));
        all.insert("circle_outer_rules", across(p, rules(-turn)));
        all.insert("circle_inner_rules", across(p, rules(turn)));
        if let Some(half) = n.get("tyre_width").map(|b| b / 2.0) {
            all.insert("circle_edge", across((p.0 + half * out.0, p.1 + half * out.1), centre));
        }
        let corner = |a: &str, b: &str| n.get(a).zip(n.get(b)).map(|(a, b)| 2.0 * (base + a).hypot(centre.abs() + b / 2.0));
        let corners = [corner("corner_ahead", "corner_width"), corner("second_corner_ahead", "second_corner_width")];
        if let Some(most) = corners.into_iter().flatten().reduce(f64::max) {
            // Where the tyre's width is not known, its middle at least has to pass.
            let tyre = all.get("circle_edge").or(all.get("circle_centre")).copied().unwrap_or(0.0);
            all.insert("wall_to_wall", tyre.max(most));
        }
        let rear = n.get("rear_track").zip(n.get("rear_tyre_width").or(n.get("tyre_width")));
        if let Some((track, tyre)) = rear.filter(|_| n.get("tyre_width").is_some()) {
            all.insert("rear_inner_edge", 2.0 * (centre.abs() - (track + tyre) / 2.0));
        }
        all
    }

    /// Every result of the list, by its name; mm, degrees, turns, per cent. What needs a missing reading is absent.
    pub fn results(&self) -> Option<Results> {
        let n = &self.numbers;
        let mut all = Results::new();
        let centre = self.both(0.0)?;
        let deg = f64::to_degrees;
        let pair = |f: &dyn Fn(usize) -> Option<f64>| [f(0), f(1)];
        let mut one = |name: &'static str, x: f64| all.insert(name, [Some(x); 2]);
        one("travel_per_turn", self.per_turn);
        one("travel", self.travel);
        one("turns_bare", self.travel / self.per_turn);
        one("axis_spacing_at_ground", self.ground);
        one("axis_spacing_at_rod_end", self.at_rod);
        one("scrub_radius", self.scrub);
        let alike = self.arms[0] == self.arms[1];
        let (e, f) = self.arms[0];
        if let Some(base) = n.get("wheelbase").filter(|_| alike && f != 0.0) {
            one("chalk_line", -100.0 * e * self.at_rod / (2.0 * f * base));
        }
        if alike {
            one("ratio_first", std::f64::consts::TAU * e.abs() / self.per_turn);
        }
        let mean = (centre[0].rate + centre[1].rate) / 2.0;
        one("ratio_centre", std::f64::consts::TAU / self.per_turn / mean.abs());
        one("rack_per_degree", 1f64.to_radians() / mean);
        one("turns", (self.usable[0] + self.usable[1]) / self.per_turn);
        if let Some(base) = n.get("wheelbase").filter(|_| alike && n.get("offset").is_none() && n.get("rod_length").is_none()) {
            one("ackermann_limit", 100.0 * base / self.ground * self.bend()?);
        }
        all.insert("arm_length", pair(&|w| Some(self.arms[w].0.hypot(self.arms[w].1))));
        all.insert("arm_angle", pair(&|w| Some(deg(self.arms[w].1.atan2(self.arms[w].0.abs())))));
        all.insert("rod_length", pair(&|w| Some(self.wheels[w].rod)));
        if n.get("rod_length").is_some() {
            all.insert("rod_length_straight", pair(&|w| Some(self.built[w])));
            all.insert("toe_centre", pair(&|w| Some(deg(centre[w].steer) * [-1.0, 1.0][w])));
        }
        if let Some(least) = n.get("rod_length_min") {
            all.insert("rod_over_shortest", pair(&|w| Some(self.wheels[w].rod - least)));
        }
        if let Some(most) = n.get("rod_length_max") {
            all.insert("rod_under_longest", pair(&|w| Some(most - self.wheels[w].rod)));
        }
        all.insert("rod_angle", pair(&|w| Some(deg(centre[w].inner_joint))));
        for (w, names) in
            [["toggle_left_wheel", "fold_back_left_wheel"], ["toggle_right_wheel", "fold_back_right_wheel"]].iter().enumerate()
        {
            all.insert(names[0], pair(&|k| Some(self.wheels[w].toggle[k].0)));
            all.insert(names[1], self.wheels[w].fold);
        }
        all.insert("usable_travel", pair(&|k| Some(self.usable[k])));
        all.insert("reserve", pair(&|k| Some(self.first_event(k) - self.usable[k])));
        all.insert("reserve_hardware", pair(&|k| Some(self.first_event(k) - self.hardware[k])));
        all.insert("inner_joint", pair(&|w| self.largest(w, self.usable, |x| x.inner_joint).map(deg)));
        if n.get("height").is_some() {
            all.insert("outer_joint", pair(&|w| self.largest(w, self.usable, |x| x.outer_joint).map(deg)));
        }
        for (name, limit, joint) in self.joint_limits() {
            let name = if name == "inner_joint" { "inner_joint_reserve" } else { "outer_joint_reserve" };
            all.insert(name, pair(&|k| self.joint_meets(k, limit, joint).map(|s| s - self.hardware[k])));
        }
        if centre[0].rate * centre[1].rate < 0.0 {
            return Some(all);
        }
        for k in 0..2 {
            // A left turn moves the bar to the left where that is the way both wheels go.
            let turn = [1.0, -1.0][k];
            let end = if self.forward * turn > 0.0 { 0 } else { 1 };
            let lock = self.both([1.0, -1.0][end] * self.usable[end])?;
            let (inner, outer) = (k, 1 - k);
            let moved = [0, 1].map(|w: usize| (lock[w].steer - centre[w].steer).abs());
            let mut put = |name: &'static str, x: f64| all.entry(name).or_insert([None; 2])[k] = Some(x);
            let both = lock[0].steer - centre[0].steer + lock[1].steer - centre[1].steer;
            put("ratio_lock", std::f64::consts::TAU * self.usable[end] / self.per_turn / (both / 2.0).abs());
            put("lock_inner", deg(turn * lock[inner].steer));
            put("lock_outer", deg(turn * lock[outer].steer));
            let toe_out = moved[inner] - moved[outer];
            put("toe_out_lock", deg(toe_out));
            if let Some(base) = n.get("wheelbase") {
                let ideal = 1f64.atan2(1.0 / moved[inner].tan() + self.ground / base);
                put("ideal_outer", deg(ideal));
                put("ackermann_angle", 100.0 * toe_out / (moved[inner] - ideal));
                put("ackermann_cotangent", 100.0 * (1.0 / moved[outer].tan() - 1.0 / moved[inner].tan()) * base / self.ground);
            }
            put("transmission_inner", deg(lock[inner].transmission));
            put("transmission_outer", deg(lock[outer].transmission));
            for (name, x) in self.circles(k, lock.map(|x| x.steer)) {
                put(name, x);
            }
        }
        Some(all)
    }
}

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

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    /// How far a figure may be from the Python solver's.
    const FIGURE: f64 = 1e-9;

    #[test]
    fn three_hundred_axles_are_those_of_the_python_solver() {
        let text = std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/oracle/axles.json")).expect("committed");
        let all: Value = serde_json::from_str(&text).expect("JSON");
        let (mut values, mut none, mut worst) = (0, 0, (0.0, String::new()));
        for car in all["cars"].as_array().expect("a list") {
            let name = &car["plan"]["name"];
            let solved = Car::new(Numbers::of(&car["plan"], 0).expect("numbers")).unwrap_or_else(|why| panic!("{name}: {why}"));
            let figures = solved.results().unwrap_or_else(|| panic!("{name}"));
            let centre = solved.both(0.0).expect("it stands");
            let opposed = centre[0].rate * centre[1].rate < 0.0;
            let backwards = solved.forward != solved.numbers.get("bar_moves").expect("typed");
            let said = if opposed { Some("opposed") } else { backwards.then_some("backwards") };
            assert_eq!(car["said"].as_str(), said, "{name}");
            let mut see = |got: f64, want: f64, place: String| {
                let off = ((got - want) / want.abs().max(1.0)).abs();
                assert!(off <= FIGURE, "{place}: {got}, Python {want}");
                values += 1;
                if off > worst.0 {
                    worst = (off, place);
                }
            };
            for (key, want) in car["expect"].as_object().expect("figures") {
                let got = figures.get(key.as_str()).unwrap_or_else(|| panic!("{name}: no {key}"));
                let want = want.as_array().map_or_else(|| vec![want], |both| both.iter().collect());
                for (got, want) in got.iter().zip(want) {
                    match (got, want.as_f64()) {
                        (Some(got), Some(want)) => see(*got, want, format!("{name} {key}")),
                        (None, None) => none += 1,
                        other => panic!("{name} {key}: {other:?}"),
                    }
                }
            }
            for p in car["probe"].as_array().expect("a list") {
                let want: Vec<f64> = p.as_array().expect("a list").iter().filter_map(Value::as_f64).collect();
                let [left, right] = solved.both(want[0]).expect("a position");
                let ratio = std::f64::consts::TAU / solved.per_turn / ((left.rate + right.rate) / 2.0).abs();
                let got = [
                    left.steer.to_degrees(),
                    right.steer.to_degrees(),
                    ratio,
                    left.transmission.to_degrees(),
                    right.transmission.to_degrees(),
                ];
                for (got, want) in got.iter().zip(&want[1..]) {
                    see(*got, *want, format!("{name} at {}", p[0]));
                }
            }
        }
        eprintln!("{values} figures, {none} that there are not; largest difference {:e}, {}", worst.0, worst.1);
        assert!(values > 19_000 && none > 900, "{values} {none}");
    }

    fn plan(changes: &[(&str, &str, Value)]) -> Value {
        let mut plan = json!({
            "car": {"wheelbase": 2540, "front_track": 1422, "rear_track": 1400, "rod_end_spacing": 1280, "arm_fore_aft": -132, "arm_inboard": 18,
                    "tyre_width": 165, "corner_ahead": 560, "corner_width": 1500},
            "racks": [{"travel_per_turn": 46, "travel": 136, "inner_joint_spacing": 590, "bar_moves": "right", "rack_line": "18 mm ahead",
                       "offset": 0, "height": 0}],
            "limits": {}
        });
        for (section, name, value) in changes {
            let place = if *section == "racks" { &mut plan["racks"][0] } else { &mut plan[*section] };
            place[*name] = value.clone();
        }
        plan
    }

    /// The claim with the figures that are really so.
    fn claim(plan: &Value) -> (Numbers, Claim) {
        let numbers = Numbers::of(plan, 0).expect("numbers");
        let figures = Car::new(numbers.clone()).expect("it stands").results().expect("figures");
        let get = |name: &str| figures.get(name).map_or([f64::NAN; 2], |x| x.map(|x| x.unwrap_or(f64::NAN)));
        (numbers, Claim { usable: get("usable_travel"), lock_inner: get("lock_inner"), circle: get("circle_centre") })
    }

    #[test]
    fn what_suits_is_proved_and_each_thing_that_is_wrong_is_found() {
        let (numbers, right) = claim(&plan(&[]));
        assert_eq!(prove(&numbers, &right), Ok(()));
        let shown = Claim { usable: [68.0, 67.9], ..right };
        assert!(prove(&numbers, &shown).is_err_and(|why| why.contains("usable_travel")));
        type Change<'a> = (&'a str, &'a str, Value);
        let wrong: &[(&[Change], &str)] = &[
            // Wheels that steer against each other, 25.3 and −23.9 degrees.
            (
                &[
                    ("car", "right_arm_fore_aft", json!(150)),
                    ("racks", "travel", json!(178)),
                    ("racks", "inner_joint_spacing", json!(500)),
                    ("racks", "rack_line", json!("30 mm behind")),
                ],
                "against each other",
            ),
            (&[("racks", "bar_moves", json!("left"))], "backwards"),
            (&[("racks", "rod_length", json!(355))], "toe of"),
            (&[("racks", "travel", json!(110))], "lock of"),
            (&[("racks", "travel", json!(200)), ("limits", "transmission_angle", json!(10))], "are left before"),
            (&[("racks", "travel", json!(182))], "transmission"),
            (&[("racks", "inner_joint_limit", json!(3))], "inner_joint at"),
            (&[("racks", "outer_joint_limit", json!(15)), ("racks", "height", json!(180))], "outer_joint at"),
            (&[("racks", "rod_length_max", json!(345))], "rod_under_longest"),
            (&[("racks", "rod_length_min", json!(346))], "rod_over_shortest"),
            (&[("limits", "ratio_max", json!(18.1))], "ratio_centre"),
            (&[("limits", "turns_min", json!(3))], "turns"),
            (&[("limits", "ackermann_min", json!(50))], "ackermann_angle"),
            (&[("limits", "circle_max", json!(11000))], "circle_centre"),
            (&[("limits", "wall_to_wall_max", json!(11500))], "wall_to_wall"),
        ];
        for (changes, why) in wrong {
            let (numbers, claim) = claim(&plan(changes));
            let found = prove(&numbers, &claim).err().unwrap_or_default();
            assert!(found.contains(why), "{changes:?}: {found}");
        }
        // A limit that is turned off is not asked for.
        let (numbers, claim) = claim(&plan(&[("racks", "travel", json!(110)), ("limits", "lock_inner", json!("off"))]));
        assert_eq!(prove(&numbers, &claim), Ok(()));
    }

    #[test]
    fn texts_are_read_with_their_side() {
        let all =
            [("132 ± 0 mm behind", -132.0), ("5.5 deg rearward", 5.5), ("18 inboard", 18.0), ("12", 12.0), ("left", 1.0), ("right", -1.0)];
        for (text, want) in all {
            assert_eq!(read(text), Some(want), "{text}");
        }
        assert_eq!(read("5 3/4 in behind"), None);
    }
}
