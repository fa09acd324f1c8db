//! One corner's suspension in three dimensions, closed form: double wishbone and strut, wheel and tie rod. Knows no plan, no screen and
//! no text; mm and radians. A right corner is solved as a left one seen in a mirror.

pub mod band;
pub mod bump_steer;
pub mod corner;
pub mod held;

pub mod hinge;
pub mod hole;
pub mod places;
pub mod pose;
pub mod strut;
pub mod travel;
pub mod tyre;
pub mod wheel;
pub mod wishbone;

use crate::math::closure::Reach;
use crate::math::vector::Vec3;

/// Why points make no suspension: which of them are odd.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum NoSuspension {
    /// A number that is none, or beyond 100 m.
    NotANumber,
    /// The lower arm's two pivots are one point.
    LowerPivots,
    /// The lower ball joint lies on the line through the lower arm's pivots.
    LowerArm,
    /// The upper arm's two pivots are one point.
    UpperPivots,
    /// The upper ball joint lies on the line through the upper arm's pivots.
    UpperArm,
    /// Upper arm and steering axis are in line across the upper pivots: which way the arm would go is not decided.
    UpperAtToggle,
    /// The upper ball joint or top mount does not stand above the lower ball joint.
    SteeringAxis,
    /// The second point of the damper's line is the top mount, or the line stands square to the steering axis.
    Damper,
    /// The tie rod makes no linkage.
    TieRod(Reach),
    /// The wheel lies flat, or its radius is not positive.
    Wheel,
}

/// Which link ran out where a position cannot be reached.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum RanOut {
    /// The lower arm: no angle of it brings the wheel centre to that height.
    LowerArm,
    /// The upper arm: it does not reach the upright.
    UpperArm(Reach),
    /// The damper: the lower ball joint came nearer to the top mount than the damper's line passes it.
    Damper,
    /// The tie rod: it does not reach the steering arm, or holds it off.
    TieRod(Reach),
    /// Upright or wheel lies flat (within 0.6° of it): there is no ground for it to stand on.
    Flat,
}

/// An upright on its way: where its lower ball joint and its steering axis are, before it is turned about that axis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Upright {
    /// The lower ball joint.
    pub ball: Vec3,
    /// The upper ball joint, or the top mount.
    pub top: Vec3,
    /// Unit vector from the lower ball joint to the top.
    pub axis: Vec3,
    /// The same seen from the upright as it stood at the reference.
    pub from: Vec3,
}

/// Velocities per radian of the lower arm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Velocities {
    /// Of the lower ball joint.
    pub ball: Vec3,
    /// Of that point of the upright which is now at the top.
    pub top: Vec3,
}

/// The smallest rotation that takes one unit vector to another; half a turn where they are opposite.
///
/// The turn about the steering axis follows from the tie rod, so any other rotation that takes one to the other would do.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Carry {
    /// Rotation axis times the sine of the angle, the angle's cosine, and 1/(1 + cosine).
    sine: Vec3,
    cos: f64,
    share: f64,
    /// A unit vector square to `from` where the two are opposite.
    half_turn: Option<Vec3>,
}

impl Carry {
    /// Both unit vectors.
    pub fn new(from: Vec3, to: Vec3) -> Carry {
        let (sine, cos) = (from.cross(to), from.dot(to));
        let half_turn = (cos < -1.0 + 1e-12).then(|| {
            let across = if from.x.abs() < 0.9 { Vec3::new(1.0, 0.0, 0.0) } else { Vec3::LEFT };
            from.cross(across).unit()
        });
        Carry { sine, cos, share: 1.0 / (1.0 + cos), half_turn }
    }

    /// `v` carried.
    pub fn of(&self, v: Vec3) -> Vec3 {
        match self.half_turn {
            Some(u) => v.turned(u, -1.0, 0.0),
            None => v * self.cos + self.sine.cross(v) + self.sine * (self.sine.dot(v) * self.share),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn carrying_is_a_rotation_from_one_to_the_other() {
        let (a, b) = (Vec3::new(1.0, 2.0, -0.5).unit(), Vec3::new(-0.3, 0.2, 0.9).unit());
        assert!((Carry::new(a, b).of(a) - b).norm() < 1e-15);
        let (p, q) = (Vec3::new(3.0, -1.0, 2.0), Vec3::new(0.5, 4.0, 1.0));
        assert!((Carry::new(a, b).of(p).dot(Carry::new(a, b).of(q)) - p.dot(q)).abs() < 1e-13);
        assert!((Carry::new(a, b).of(a.cross(b)) - a.cross(b)).norm() < 1e-15, "what is square to both stays");
        assert!((Carry::new(a, -a).of(a) + a).norm() < 1e-15 && (Carry::new(a, -a).of(p).norm() - p.norm()).abs() < 1e-14);
    }
}
