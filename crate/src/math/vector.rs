//! Vectors in space. Axes as ISO 8855: X forward, Y left, Z up. Knows no car.
//!
//! What is smaller than a call is never called: what is served inlines little else.

use std::ops::{Add, Mul, Neg, Sub};

/// A point or a direction in space; a point's coordinates are in mm.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Vec3 {
    /// Forward.
    pub x: f64,
    /// Left.
    pub y: f64,
    /// Up.
    pub z: f64,
}

impl Vec3 {
    /// Straight up, the steering axis of a linkage in plan.
    pub const UP: Vec3 = Vec3::new(0.0, 0.0, 1.0);
    /// To the left, the rack's axis.
    pub const LEFT: Vec3 = Vec3::new(0.0, 1.0, 0.0);

    /// The vector (x, y, z).
    #[inline(always)]
    pub const fn new(x: f64, y: f64, z: f64) -> Vec3 {
        Vec3 { x, y, z }
    }

    /// Dot product.
    #[inline(always)]
    pub fn dot(self, b: Vec3) -> f64 {
        self.x * b.x + self.y * b.y + self.z * b.z
    }

    /// Cross product, right-handed: forward × left = up.
    ///
    /// ```
    /// use donorack::Vec3;
    /// assert_eq!(Vec3::new(1.0, 0.0, 0.0).cross(Vec3::LEFT), Vec3::UP);
    /// ```
    #[inline(always)]
    pub fn cross(self, b: Vec3) -> Vec3 {
        Vec3::new(self.y * b.z - self.z * b.y, self.z * b.x - self.x * b.z, self.x * b.y - self.y * b.x)
    }

    /// Length.
    #[inline(always)]
    pub fn norm(self) -> f64 {
        self.dot(self).sqrt()
    }

    /// The unit vector of this direction; the zero vector stays zero.
    pub fn unit(self) -> Vec3 {
        let n = self.norm();
        if n > 0.0 { self * (1.0 / n) } else { self }
    }

    /// This vector turned about the unit axis `u` by the angle of the given cosine and sine, right-handed (Rodrigues' formula).
    ///
    /// ```
    /// use donorack::Vec3;
    /// // A quarter turn about "up" takes left to rearward.
    /// assert_eq!(Vec3::LEFT.turned(Vec3::UP, 0.0, 1.0), Vec3::new(-1.0, 0.0, 0.0));
    /// ```
    pub fn turned(self, u: Vec3, cos: f64, sin: f64) -> Vec3 {
        self * cos + u.cross(self) * sin + u * (u.dot(self) * (1.0 - cos))
    }
}

impl Add for Vec3 {
    type Output = Vec3;
    #[inline(always)]
    fn add(self, b: Vec3) -> Vec3 {
        Vec3::new(self.x + b.x, self.y + b.y, self.z + b.z)
    }
}

impl Sub for Vec3 {
    type Output = Vec3;
    #[inline(always)]
    fn sub(self, b: Vec3) -> Vec3 {
        Vec3::new(self.x - b.x, self.y - b.y, self.z - b.z)
    }
}

impl Neg for Vec3 {
    type Output = Vec3;
    #[inline(always)]
    fn neg(self) -> Vec3 {
        self * -1.0
    }
}

impl Mul<f64> for Vec3 {
    type Output = Vec3;
    #[inline(always)]
    fn mul(self, k: f64) -> Vec3 {
        Vec3::new(self.x * k, self.y * k, self.z * k)
    }
}
