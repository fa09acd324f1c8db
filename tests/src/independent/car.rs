//! One rack on the car: every result, from the two wheels that were followed.

use super::numbers::Numbers;
use super::vector::{length, sum};
use super::wheel::{Angle, Stand, Wheel};
use std::collections::BTreeMap;

/// One rack on the car.
#[derive(Clone, Debug)]
pub struct Car {
    pub(super) numbers: Numbers,
    arms: [(f64, f64); 2],
    ground: f64,
    at_rod: f64,
    scrub: f64,
    pub(super) per_turn: f64,
    travel: f64,
    built: [f64; 2],
    /// Left and right.
    pub wheels: [Wheel; 2],
    /// Where rack end or stop ends the travel, to the left and to the right, as distances.
    pub hardware: [f64; 2],
    /// The same with the reserve and the joints' limits.
    pub usable: [f64; 2],
    /// The side to which both wheels together go when the rack goes to the left.
    pub(super) forward: f64,
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
    pub(super) fn joint_limits(&self) -> Vec<(&'static str, f64, Angle)> {
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

    pub(super) fn both(&self, s: f64) -> Option<[Stand; 2]> {
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
    pub(super) fn largest(&self, wheel: usize, ends: [f64; 2], joint: Angle) -> Option<f64> {
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
