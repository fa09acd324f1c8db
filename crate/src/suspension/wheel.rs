//! A wheel turned about its steering axis by its linkage.

use crate::math::closure::{Linkage, Rotation};
use crate::math::vector::Vec3;

/// One wheel and its linkage.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wheel {
    /// Its linkage.
    pub linkage: Linkage,
    /// Its steering axis, a unit vector pointing up.
    pub axis: Vec3,
    /// Its spin axis in the reference configuration, a unit vector pointing **left** on both wheels.
    pub spin: Vec3,
}

impl Wheel {
    /// Steer angle δ in radians, positive to the left: atan2(−aₓ, a_y) with a the spin axis (ISO 8855).
    ///
    /// ```
    /// use donorack::{Linkage, Vec3, Wheel};
    /// // Arms ahead of the axis, rack to the left: the wheel steers left.
    /// let (axis, outer, inner) = (Vec3::new(0.0, 700.0, 0.0), Vec3::new(130.0, 718.0, 0.0), Vec3::new(155.0, 310.0, 0.0));
    /// let linkage = Linkage::new(axis, Vec3::UP, outer, inner).unwrap();
    /// let wheel = Wheel { linkage, axis: Vec3::UP, spin: Vec3::LEFT };
    /// assert!(wheel.steer(linkage.at(10.0).unwrap()) > 0.0);
    /// ```
    pub fn steer(&self, t: Rotation) -> f64 {
        let a = self.spin.turned(self.axis, t.cos, t.sin);
        (-a.x).atan2(a.y)
    }

    /// First and second derivative of the steer angle by the rack displacement, rad/mm and rad/mm².
    pub fn rates(&self, s: f64, t: Rotation) -> (f64, f64) {
        let (d1, d2) = self.linkage.rates(s, t);
        let a = self.spin.turned(self.axis, t.cos, t.sin);
        let (v, w) = (self.axis.cross(a), self.axis.cross(self.axis.cross(a)));
        let (n, d) = (a.x * v.y - v.x * a.y, a.x * a.x + a.y * a.y);
        let (dn, dd) = (a.x * w.y - w.x * a.y, 2.0 * (a.x * v.x + a.y * v.y));
        (n / d * d1, (dn * d - n * dd) / (d * d) * d1 * d1 + n / d * d2)
    }
}
