//! The turning circle. Lengths in mm, angles in radians; X forward from the front axle, Y left.
//!
//! The turning centre M lies on the rear axle's line, X = −L. The two wheels of a real linkage disagree about where.

use crate::math::trig::Angle;
/// What the turning circle is computed from, for one lock.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lock {
    /// Wheelbase L.
    pub wheelbase: f64,
    /// Spacing of the steering axes at the ground, w_g.
    pub spacing: f64,
    /// Scrub radius: contact centre outboard of the axis at the ground.
    pub scrub: f64,
    /// Steer angles [left, right], positive to the left, as they stand.
    pub steer: [f64; 2],
    /// +1 for a left turn, −1 for a right turn.
    pub turn: f64,
}

/// Turning diameters at the outer tyre's centre.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Circle {
    /// Lateral place of the turning centre, L·(cot δ_left + cot δ_right)/2, positive to the left.
    pub centre: f64,
    /// 2·|C_o − M|: the turning diameter of SAE J695.
    pub mean: f64,
    /// If the outer wheel's own axis ruled.
    pub outer_rules: f64,
    /// If the inner wheel's own axis ruled.
    pub inner_rules: f64,
}

impl Lock {
    /// Contact point and outboard lateral of the wheel on `side` (+1 left, −1 right), the contact turned with its wheel.
    fn wheel(&self, side: f64) -> ([f64; 2], [f64; 2]) {
        let steer = self.steer[if side > 0.0 { 0 } else { 1 }];
        let lateral = [-side * steer.sine(), side * steer.cosine()];
        ([self.scrub * lateral[0], side * self.spacing / 2.0 + self.scrub * lateral[1]], lateral)
    }

    /// Where the axis of the wheel on `side` meets the rear axle's line: its Y.
    pub fn ruled_by(&self, side: f64) -> f64 {
        let (contact, lateral) = self.wheel(side);
        contact[1] + lateral[1] * (-self.wheelbase - contact[0]) / lateral[0]
    }

    /// The turning centre by the mean of the two cotangents (a convention), Y in mm, positive to the left.
    pub fn centre(&self) -> f64 {
        self.wheelbase * (1.0 / self.steer[0].tangent() + 1.0 / self.steer[1].tangent()) / 2.0
    }

    /// The circle at the tyre's centre; `None` where the wheels do not turn towards that side.
    pub fn circle(&self) -> Option<Circle> {
        let centre = self.centre();
        if !(centre * self.turn > 0.0) || !self.steer.iter().all(|d| d * self.turn > 0.0) {
            return None;
        }
        let (contact, _) = self.wheel(-self.turn);
        let about = |y: f64| 2.0 * (contact[0] + self.wheelbase).hypot(contact[1] - y);
        Some(Circle {
            centre,
            mean: about(centre),
            outer_rules: about(self.ruled_by(-self.turn)),
            inner_rules: about(self.ruled_by(self.turn)),
        })
    }

    /// At the outer tyre's outer edge, `width` the section width: 2·|C_o + (b/2)·v − M|, v the lateral pointing away from M.
    pub fn edge(&self, width: f64) -> f64 {
        let (contact, lateral) = self.wheel(-self.turn);
        let edge = [contact[0] + width / 2.0 * lateral[0], contact[1] + width / 2.0 * lateral[1]];
        2.0 * (edge[0] + self.wheelbase).hypot(edge[1] - self.centre())
    }

    /// Wall to wall by a body corner `ahead` of the front wheel centres where the body is `width` wide: 2·√((L + a)² + (|Y_c| + B/2)²).
    pub fn wall(&self, ahead: f64, width: f64) -> f64 {
        2.0 * (self.wheelbase + ahead).hypot(self.centre().abs() + width / 2.0)
    }

    /// Circle of the inner rear tyre's inner edge: 2·(|Y_c| − (t_rear + b_rear)/2).
    pub fn rear_inner(&self, track: f64, width: f64) -> f64 {
        2.0 * (self.centre().abs() - (track + width) / 2.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_ideal_linkage_gives_the_formula_of_j695_and_no_band() {
        // Handbook: for an ideal linkage without trail the diameter is 2·(L/sin δo + rσ) exactly.
        let (wheelbase, spacing, scrub, inner) = (2700.0, 1400.0, 40.0, 0.6);
        let outer = crate::linkage::ackermann::ideal_outer(inner, spacing, wheelbase);
        let lock = Lock { wheelbase, spacing, scrub, steer: [inner, outer], turn: 1.0 };
        let c = lock.circle().expect("it turns left");
        for d in [c.mean, c.outer_rules, c.inner_rules] {
            assert!((d - 2.0 * (wheelbase / outer.sin() + scrub)).abs() < 1e-9);
        }
        let right = Lock { steer: [-outer, -inner], turn: -1.0, ..lock };
        assert!((right.circle().expect("it turns right").mean - c.mean).abs() < 1e-9);
        assert_eq!(Lock { turn: -1.0, ..lock }.circle(), None);
    }
}
