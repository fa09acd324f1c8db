//! One wheel, followed from where the linkage was set up.

use super::vector::{Vector, cross, dot, length, sum};

/// What turns about an axis: v(θ) = along + cos θ · across + sin θ · ahead (Rodrigues).
#[derive(Clone, Copy, Debug)]
struct Turning {
    along: Vector,
    across: Vector,
    ahead: Vector,
}

impl Turning {
    pub(super) fn new(v: Vector, axis: Vector) -> Turning {
        let along = sum([0.0; 3], dot(v, axis), axis);
        Turning { along, across: sum(v, -1.0, along), ahead: cross(axis, v) }
    }

    pub(super) fn at(&self, theta: f64) -> Vector {
        sum(sum(self.along, theta.cos(), self.across), theta.sin(), self.ahead)
    }

    /// The derivative by the angle.
    pub(super) fn rate(&self, theta: f64) -> Vector {
        sum(sum([0.0; 3], -theta.sin(), self.across), theta.cos(), self.ahead)
    }
}

/// Largest step of the rack while following, mm, and of the wheel, radians; below `ENOUGH` the following gives up and calls it an end.
const STEP: f64 = 2.0;
const TURN: f64 = 0.05;
const ENOUGH: f64 = 1e-9;

/// An angle read off a wheel's position.
pub(super) type Angle = fn(&Stand) -> f64;

/// One wheel: its knuckle turns about an axis through the origin, the inner joint goes along Y.
#[derive(Clone, Debug)]
pub struct Wheel {
    axis: Vector,
    outer: Turning,
    spin: Turning,
    inner: Vector,
    pub(super) rod: f64,
    /// Where it is followed from: the turn at mid-travel.
    start: f64,
    /// To the left and to the right: followed positions (rack displacement, turn), from mid-travel to the end.
    pub(super) trail: [Vec<(f64, f64)>; 2],
    /// Where the branch ends, each way: rack displacement and turn.
    pub(super) toggle: [(f64, f64); 2],
    /// The first fold-back before it.
    pub(super) fold: [Option<f64>; 2],
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
    pub(super) fn new(axis: Vector, outer: Vector, inner: Vector, rod: Option<f64>) -> Option<Wheel> {
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
    pub(super) fn turn(&self, s: f64) -> Option<f64> {
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
    pub(super) fn event(&self, k: usize) -> f64 {
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
