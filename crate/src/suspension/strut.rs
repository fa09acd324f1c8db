//! Strut: a lower arm, a fixed top mount, and a damper that is part of the upright and slides through the mount.

use crate::math::vector::Vec3;
use crate::suspension::hinge::Hinge;
use crate::suspension::{NoSuspension, RanOut, Upright, Velocities};

/// Closed form of a strut whose damper's line may miss the lower ball joint.
///
/// In the upright as it stood at the reference: t the unit vector up the damper's line, F the foot of the perpendicular on it from the
/// lower ball joint L, η = |F − L|. With k = |T − L| the top mount is seen from there along û_b = (F − L + √(k² − η²) t)/k, the positive
/// root for ever.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Strut {
    lower: Hinge,
    top: Vec3,
    /// F − L and t in the reference upright.
    foot: Vec3,
    line: Vec3,
}

impl Strut {
    /// From the lower arm's pivots and ball joint, the top mount and a second point on the damper's line at the reference.
    pub fn new(lower: [Vec3; 2], ball: Vec3, top: Vec3, second: Vec3) -> Result<Strut, NoSuspension> {
        let lower = Hinge::new(lower, ball).map_err(|axis| if axis { NoSuspension::LowerPivots } else { NoSuspension::LowerArm })?;
        let (line, k) = ((top - second).unit(), top - ball);
        let along = k.dot(line);
        if !((top - second).norm() > 1e-4 && along.abs() > 1e-9 * k.norm()) {
            return Err(NoSuspension::Damper);
        }
        Ok(Strut { lower, top, foot: k - line * along, line: line * along.signum() })
    }

    /// Distance at which the damper's line passes the lower ball joint, η.
    pub fn miss(&self) -> f64 {
        self.foot.norm()
    }

    /// The upright at the lower arm's angle.
    pub fn upright(&self, cos: f64, sin: f64) -> Result<Upright, RanOut> {
        let ball = self.lower.at(cos, sin);
        let k = self.top - ball;
        let along2 = k.dot(k) - self.foot.dot(self.foot);
        if !(along2 > 0.0) {
            return Err(RanOut::Damper);
        }
        let from = (self.foot + self.line * along2.sqrt()).unit();
        Ok(Upright { ball, top: self.top, axis: k.unit(), from })
    }

    /// Velocities at the lower arm's angle, `turn` the upright's rotation since the reference: the upright's point at the mount goes
    /// along the damper, μt, and (μt − v_L)·û = 0.
    pub fn velocities(&self, cos: f64, sin: f64, turn: impl Fn(Vec3) -> Vec3) -> Velocities {
        let (ball, k, line) = (self.lower.velocity(cos, sin), self.top - self.lower.at(cos, sin), turn(self.line));
        Velocities { ball, top: line * (ball.dot(k) / line.dot(k)) }
    }
}
