//! Two linkages in plan, worked out by root finding on the rod's length alone: no closed form, nothing of the crate under test.
//!
//! Lengths in mm, angles in degrees, steering to the left positive. x ahead, y to the left, rack displacement s to the left.

/// One symmetric linkage with upright steering axes at (0, ±spacing/2), straight at s = 0.
#[derive(Clone, Copy, Debug)]
pub struct Worked {
    /// Wheelbase L.
    pub wheelbase: f64,
    /// Distance w of the steering axes.
    pub spacing: f64,
    /// Rod end ahead of its axis, e.
    pub ahead: f64,
    /// Rod end inboard of its axis, f.
    pub inboard: f64,
    /// Inner joints ahead of the axes, p.
    pub rack: f64,
    /// Distance of the inner joints, S.
    pub joints: f64,
    /// Rack displacement at lock; its sign is that of a left turn.
    pub lock: f64,
}

/// Arms ahead of the axes: hardly any toe-out.
pub const A: Worked = Worked { wheelbase: 2650.0, spacing: 1400.0, ahead: 130.0, inboard: -18.0, rack: 155.0, joints: 620.0, lock: 68.0 };
/// Arms behind the axes: three quarters of the ideal.
pub const B: Worked = Worked { wheelbase: 2750.0, spacing: 1410.0, ahead: -140.0, inboard: 22.0, rack: -165.0, joints: 640.0, lock: -72.0 };

/// Travel per turn in [`Worked::plan`], mm. No angle depends on it.
pub const TRAVEL_PER_TURN: f64 = 48.0;

impl Worked {
    /// The same linkage as a plan: the track, which no angle depends on, is made up like the travel per turn.
    pub fn plan(&self) -> String {
        let turn = if self.lock > 0.0 { "left" } else { "right" };
        format!(
            r#"{{"donorack": 1, "car": {{"wheelbase": {}, "front_track": {}, "axis_spacing_at_ground": {}, "arm_fore_aft": {}, "arm_inboard": {}}},
                "racks": [{{"travel_per_turn": {TRAVEL_PER_TURN}, "travel": {}, "inner_joint_spacing": {}, "rack_line": {}, "bar_moves": "{turn}"}}]}}"#,
            self.wheelbase,
            self.spacing + 80.0,
            self.spacing,
            self.ahead,
            self.inboard,
            2.0 * self.lock.abs(),
            self.joints,
            self.rack - self.ahead,
        )
    }

    /// Angle of the left wheel at a rack displacement, followed from straight ahead in steps of at most 1 mm.
    pub fn left(&self, s: f64) -> f64 {
        let rod2 = (self.ahead - self.rack).powi(2) + (self.spacing / 2.0 - self.inboard - self.joints / 2.0).powi(2);
        let steps = s.abs().ceil().max(1.0) as u32;
        let mut angle = 0.0_f64;
        for step in 1..=steps {
            let inner = (self.rack, self.joints / 2.0 + s * f64::from(step) / f64::from(steps));
            for _ in 0..8 {
                let (sin, cos) = angle.sin_cos();
                let arm = (self.ahead * cos + self.inboard * sin, self.ahead * sin - self.inboard * cos);
                let rod = (arm.0 - inner.0, self.spacing / 2.0 + arm.1 - inner.1);
                // Half the derivative of the squared distance: the rod times the velocity of the arm's end.
                let slope = rod.1 * arm.0 - rod.0 * arm.1;
                angle -= (rod.0 * rod.0 + rod.1 * rod.1 - rod2) / 2.0 / slope;
            }
        }
        angle.to_degrees()
    }

    /// Angle of the right wheel: the mirror image.
    pub fn right(&self, s: f64) -> f64 {
        -self.left(-s)
    }

    /// Overall ratio at a turn of the steering wheel, left positive: a difference of root-found angles, of both wheels' mean.
    pub fn ratio(&self, turns: f64) -> f64 {
        let (s, h) = (turns * TRAVEL_PER_TURN * self.lock.signum(), 0.05);
        let mean = |s: f64| (self.left(s) + self.right(s)) / 2.0;
        360.0 / TRAVEL_PER_TURN / ((mean(s + h) - mean(s - h)) / (2.0 * h)).abs()
    }

    /// Turns of the steering wheel from straight ahead to a lock.
    pub fn lock_turns(&self) -> f64 {
        self.lock.abs() / TRAVEL_PER_TURN
    }

    /// Angle of the inner, the left, wheel at the left lock.
    pub fn lock_angle(&self) -> f64 {
        self.left(self.lock)
    }

    /// Toe-out in a left turn at an angle of the inner wheel, which lies below [`Worked::lock_angle`].
    pub fn toe_out(&self, inner: f64) -> f64 {
        let (mut low, mut high) = (0.0, self.lock);
        for _ in 0..60 {
            let middle = (low + high) / 2.0;
            if self.left(middle) < inner { low = middle } else { high = middle }
        }
        inner - self.right(low)
    }

    /// The ideal: cot δ of the outer wheel less cot δ of the inner one is spacing over wheelbase.
    pub fn ideal(&self, inner: f64) -> f64 {
        inner - (1.0 / (1.0 / inner.to_radians().tan() + self.spacing / self.wheelbase)).atan().to_degrees()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Computed at 40 digits by two programs that share no code, neither of them this one.
    #[test]
    fn both_linkages_to_ten_digits() {
        for (linkage, s, left, right) in [
            (A, -68.0, -30.5824895243, -31.4839523175),
            (A, 10.0, 4.38575175059, 4.36232804944),
            (A, 35.0, 15.5996403604, 15.3221229934),
            (B, -72.0, 35.2050990954, 29.3456153231),
            (B, -40.0, 17.5282458787, 16.2432855334),
            (B, 10.0, -4.10639217270, -4.17805859617),
        ] {
            assert!((linkage.left(s) - left).abs() < 1e-9, "{s}: {}", linkage.left(s));
            assert!((linkage.right(s) - right).abs() < 1e-9, "{s}: {}", linkage.right(s));
        }
        assert!((B.toe_out(17.5282458787) - (17.5282458787 - 16.2432855334)).abs() < 1e-8);
    }
}
