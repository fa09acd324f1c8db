//! A corner with its toe held at static, whatever the rod: the arms' part of a travel position.

use crate::math::closure::close;
use crate::math::trig::Angle;
use crate::math::vector::Vec3;
use crate::suspension::corner::{Corner, Stance};
use crate::suspension::travel::arm_angle;
use crate::suspension::{RanOut, Upright};

/// Where a corner stands with its toe held at static.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Held {
    pub stance: Stance,
    /// The outer joint.
    pub outer: Vec3,
}

/// The corner with its wheel centre `travel` mm above the reference and its toe held at static.
///
/// The knuckle's turn follows from a closure of the spin axis, aₓ cos τ − a_y sin τ = 0, on the branch of the reference.
pub(crate) fn held(corner: &Corner, travel: f64) -> Result<Held, RanOut> {
    let (sin, cos) = corner.points().toe.sine_cosine();
    let across = Vec3::new(cos, -sin, 0.0);
    // spin(θ) = along + cos θ·(spin − along) + sin θ·(u × spin).
    let closure = |at: &Stance| {
        let u = at.upright.axis;
        let along = at.spin.dot(u) * u.dot(across);
        [at.spin.dot(across) - along, u.cross(at.spin).dot(across), -along]
    };
    let sigma = -closure(&corner.stance((0.0, 1.0))?)[1].signum();
    let turn = |arm: f64| {
        let at = corner.stance(arm.sine_cosine())?;
        let t = close(closure(&at), sigma).map_err(|_| RanOut::Flat)?;
        Ok((at, t))
    };
    let target = corner.points().wheel_centre.z + travel;
    let height = &mut |arm: f64| {
        let (at, t) = turn(arm)?;
        Ok(at.upright.ball.z + at.centre.turned(at.upright.axis, t.cos, t.sin).z)
    };
    let (stance, t) = turn(arm_angle(target, 0.0, corner.rise(), height)?)?;
    let Upright { ball, axis, .. } = stance.upright;
    Ok(Held { stance, outer: ball + stance.outer.turned(axis, t.cos, t.sin) })
}
