//! Where one corner stands, and what is read off it. Signs as ISO 8855; the same for left and right, but for the steer angle.

use crate::math::vector::Vec3;
use crate::math::within;

/// A corner at one height and one rack displacement. Points in mm in the car's axes (X forward, Y left, Z up), angles in radians.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pose {
    /// +1 left, −1 right; everything below is that of a left corner, the right one seen in a mirror.
    pub(crate) side: f64,
    pub(crate) ball: Vec3,
    pub(crate) top: Vec3,
    pub(crate) axis: Vec3,
    pub(crate) spin: Vec3,
    pub(crate) centre: Vec3,
    pub(crate) contact: Vec3,
    pub(crate) outer: Vec3,
    pub(crate) inner: Vec3,
    /// Wheel centre and contact point at the reference.
    pub(crate) reference: [Vec3; 2],
    /// √(R² − C²) of the closure, mm²: nought at a toggle.
    pub(crate) q: f64,
}

impl Pose {
    fn real(&self, v: Vec3) -> Vec3 {
        Vec3::new(v.x, self.side * v.y, v.z)
    }

    /// Steer angle δ, positive to the left on both wheels: atan2(−aₓ, a_y) with a the spin axis pointing left.
    pub fn steer(&self) -> f64 {
        -self.side * self.toe()
    }

    /// Toe, absolute, toe-in positive: −δ on the left wheel, +δ on the right.
    pub fn toe(&self) -> f64 {
        self.spin.x.atan2(self.spin.y)
    }

    /// Camber, positive when the top leans outboard: −asin of the outboard spin axis' upward part.
    pub fn camber(&self) -> f64 {
        -within(self.spin.z, -1.0, 1.0).asin()
    }

    /// Caster, positive when the top of the steering axis leans rearward: atan(−uₓ/u_z).
    pub fn caster(&self) -> f64 {
        (-self.axis.x / self.axis.z).atan()
    }

    /// Kingpin inclination, positive when the top of the steering axis leans inboard: atan(−u_y/u_z) on the left.
    pub fn kingpin_inclination(&self) -> f64 {
        (-self.axis.y / self.axis.z).atan()
    }

    /// Where the steering axis meets the ground, less the contact point, along the outboard spin axis on the ground and ahead of it.
    fn offset(&self) -> [f64; 2] {
        let to = self.ball + self.axis * ((self.contact.z - self.ball.z) / self.axis.z) - self.contact;
        let level = (self.spin.x * self.spin.x + self.spin.y * self.spin.y).sqrt();
        let (x, y) = (self.spin.x / level, self.spin.y / level);
        [to.x * x + to.y * y, to.x * y - to.y * x]
    }

    /// Scrub radius, positive when the steering axis meets the ground inboard of the contact point.
    pub fn scrub(&self) -> f64 {
        -self.offset()[0]
    }

    /// Trail, positive when the steering axis meets the ground ahead of the contact point.
    pub fn trail(&self) -> f64 {
        self.offset()[1]
    }

    /// Wheel travel since the reference, positive in bump.
    pub fn travel(&self) -> f64 {
        self.centre.z - self.reference[0].z
    }

    /// Half-track change: how far the contact point has gone outboard since the reference.
    pub fn half_track_change(&self) -> f64 {
        self.contact.y - self.reference[1].y
    }

    /// Transmission angle between the rod and the plane through steering axis and outer joint, 0 at a toggle, π/2 best.
    pub fn transmission(&self) -> f64 {
        let (rod, arm) = ((self.outer - self.inner).norm(), self.axis.cross(self.outer - self.ball).norm());
        within(self.q / (rod * arm), 0.0, 1.0).asin()
    }

    /// Angle of the rod's inner joint: between the rod and the rack's axis.
    pub fn inner_joint_angle(&self) -> f64 {
        let n = self.outer - self.inner;
        n.x.hypot(n.z).atan2(n.y.abs())
    }

    /// Tilt of the rod out of the plane square to the outer joint's stud, which lies along the steering axis; positive when the rod rises
    /// towards the outer joint along it.
    pub fn outer_joint_angle(&self) -> f64 {
        let n = self.outer - self.inner;
        within(n.dot(self.axis) / n.norm(), -1.0, 1.0).asin()
    }

    /// Lower ball joint.
    pub fn lower_ball(&self) -> Vec3 {
        self.real(self.ball)
    }

    /// Upper ball joint; of a strut its top mount.
    pub fn top(&self) -> Vec3 {
        self.real(self.top)
    }

    /// Steering axis, a unit vector pointing up.
    pub fn axis(&self) -> Vec3 {
        self.real(self.axis)
    }

    /// Spin axis, a unit vector pointing **left** on both wheels.
    pub fn spin_axis(&self) -> Vec3 {
        self.real(self.spin) * self.side
    }

    /// Wheel centre.
    pub fn wheel_centre(&self) -> Vec3 {
        self.real(self.centre)
    }

    /// Contact point: wheel centre + R·down, down = −Z less its part along the spin axis.
    pub fn contact(&self) -> Vec3 {
        self.real(self.contact)
    }

    /// Outer joint of the tie rod.
    pub fn outer(&self) -> Vec3 {
        self.real(self.outer)
    }

    /// Inner joint of the tie rod, moved by the rack.
    pub fn inner(&self) -> Vec3 {
        self.real(self.inner)
    }
}
