//! Double wishbone: two arms, an upright of fixed length between their ball joints.

use crate::math::closure::{Rotation, close};
use crate::math::vector::Vec3;
use crate::suspension::hinge::Hinge;
use crate::suspension::{NoSuspension, RanOut, Upright, Velocities};

/// Closed form of both arms: lower ball joint L on its circle, upper ball joint on its own at a fixed distance from L,
/// A cos ψ + B sin ψ = C on the branch of the reference, σ = −sgn B there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Wishbone {
    lower: Hinge,
    upper: Hinge,
    /// Distance of the two ball joints.
    length: f64,
    inverse: f64,
    /// Steering axis at the reference.
    axis: Vec3,
    sigma: f64,
}

impl Wishbone {
    /// From the pivots and ball joints of both arms at the reference.
    pub fn new(lower: [Vec3; 2], lower_ball: Vec3, upper: [Vec3; 2], upper_ball: Vec3) -> Result<Wishbone, NoSuspension> {
        let lower = Hinge::new(lower, lower_ball).map_err(|axis| if axis { NoSuspension::LowerPivots } else { NoSuspension::LowerArm })?;
        let upper = Hinge::new(upper, upper_ball).map_err(|axis| if axis { NoSuspension::UpperPivots } else { NoSuspension::UpperArm })?;
        let length = (upper_ball - lower_ball).norm();
        let axis = (upper_ball - lower_ball).unit();
        let [_, b, _] = upper.closure(lower_ball, length);
        if !(b.abs() > 1e-9 * upper.radius() * length) {
            return Err(NoSuspension::UpperAtToggle);
        }
        Ok(Wishbone { lower, upper, length, inverse: 1.0 / length, axis, sigma: -b.signum() })
    }

    fn upper_arm(&self, ball: Vec3) -> Result<Rotation, RanOut> {
        close(self.upper.closure(ball, self.length), self.sigma).map_err(RanOut::UpperArm)
    }

    /// The upright at the lower arm's angle.
    pub fn upright(&self, cos: f64, sin: f64) -> Result<Upright, RanOut> {
        let ball = self.lower.at(cos, sin);
        let psi = self.upper_arm(ball)?;
        let top = self.upper.at(psi.cos, psi.sin);
        Ok(Upright { ball, top, axis: (top - ball) * self.inverse, from: self.axis })
    }

    /// Velocities at the lower arm's angle: (v_U − v_L)·(U − L) = 0.
    pub fn velocities(&self, cos: f64, sin: f64) -> Result<Velocities, RanOut> {
        let (at, ball) = (self.lower.at(cos, sin), self.lower.velocity(cos, sin));
        let psi = self.upper_arm(at)?;
        let (between, along) = (self.upper.at(psi.cos, psi.sin) - at, self.upper.velocity(psi.cos, psi.sin));
        Ok(Velocities { ball, top: along * (ball.dot(between) / along.dot(between)) })
    }
}
