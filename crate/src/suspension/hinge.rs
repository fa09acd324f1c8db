//! An arm on two pivots: its ball joint goes round the line through them.

use crate::math::vector::Vec3;

/// A point that turns about an axis: P + a cos α + b sin α, b = e × a, with e the axis and P the foot of the point on it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Hinge {
    foot: Vec3,
    arm: Vec3,
    ahead: Vec3,
}

/// Distances below this are none, mm: a thousandth of what a calliper tells.
const NOTHING: f64 = 1e-4;

impl Hinge {
    /// From two pivots and the ball joint at the reference (α = 0); α positive raises the ball joint.
    /// `None` where an axis (`Err(true)`) or an arm (`Err(false)`) has no length.
    pub fn new([a, b]: [Vec3; 2], ball: Vec3) -> Result<Hinge, bool> {
        if !((b - a).norm() > NOTHING) {
            return Err(true);
        }
        let axis = (b - a).unit();
        let foot = a + axis * (ball - a).dot(axis);
        let arm = ball - foot;
        if !(arm.norm() > NOTHING) {
            return Err(false);
        }
        let ahead = axis.cross(arm);
        Ok(Hinge { foot, arm, ahead: if ahead.z < 0.0 { -ahead } else { ahead } })
    }

    /// The ball joint at the angle of the given cosine and sine.
    pub fn at(&self, cos: f64, sin: f64) -> Vec3 {
        self.foot + self.arm * cos + self.ahead * sin
    }

    /// Its velocity per radian there.
    pub fn velocity(&self, cos: f64, sin: f64) -> Vec3 {
        self.ahead * cos - self.arm * sin
    }

    /// Coefficients of the closure (`math::closure::close`) that keeps the ball joint `length` away from `from`:
    /// A = a·d, B = b·d, C = (a² + d² − length²)/2, d = `from` − P.
    pub fn closure(&self, from: Vec3, length: f64) -> [f64; 3] {
        let d = from - self.foot;
        [self.arm.dot(d), self.ahead.dot(d), (self.arm.dot(self.arm) + d.dot(d) - length * length) / 2.0]
    }

    /// Radius of the circle.
    pub fn radius(&self) -> f64 {
        self.arm.norm()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bump_is_positive_whichever_pivot_comes_first() {
        let (front, rear, ball) = (Vec3::new(165.0, 365.0, 188.0), Vec3::new(-175.0, 350.0, 182.0), Vec3::new(6.0, 702.0, 170.0));
        for pivots in [[front, rear], [rear, front]] {
            let h = Hinge::new(pivots, ball).unwrap();
            assert!((h.at(1.0, 0.0) - ball).norm() < 1e-12 && h.velocity(1.0, 0.0).z > 0.0);
            let at = h.at(0.2f64.cos(), 0.2f64.sin());
            assert!(pivots.iter().all(|p| ((at - *p).norm() - (ball - *p).norm()).abs() < 1e-12));
        }
        assert_eq!(Hinge::new([front, front], ball), Err(true));
        assert_eq!(Hinge::new([front, rear], front * 0.25 + rear * 0.75), Err(false));
    }
}
