//! One corner over its travel band, ready for any place of the inner joint.
//!
//! The arms' part of a travel position does not depend on the rack: for every height the lower arm's angle is found once, with toe held
//! at static. Then A, B and C of the closure are linear in the inner joint's place (d² − ℓ² is, ℓ being re-derived), cos θ and sin θ follow by
//! a square root, and toe is compared by its tangent.

use crate::math::trig::Angle;
use crate::math::vector::Vec3;
use crate::suspension::RanOut;
use crate::suspension::corner::Corner;
use crate::suspension::held::held;

/// A linear function of the inner joint's move: constant, and by direction.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Linear {
    still: f64,
    by: Vec3,
}

impl Linear {
    fn at(&self, shift: Vec3) -> f64 {
        self.still + self.by.dot(shift)
    }
}

/// One height of one corner, ready for any place of the inner joint.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Step {
    a: Linear,
    b: Linear,
    c: Linear,
    /// Sine and cosine of the toe change, each one·R² + cos·R² cos θ + sin·R² sin θ.
    sine: [f64; 3],
    cosine: [f64; 3],
}

/// One corner over its travel band, ready for any place of the inner joint (mirrored to the left).
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Band {
    steps: Vec<Step>,
    /// B at the reference: its sign is the branch.
    reference: Linear,
}

impl Band {
    /// Over `steps` even heights of the travel band `[lowest, highest]`, mm.
    pub fn new(corner: &Corner, [low, high]: [f64; 2], steps: usize) -> Result<Band, RanOut> {
        let p = corner.points();
        let (sin, cos) = p.toe.sine_cosine();
        let (across, along) = (Vec3::new(cos, -sin, 0.0), Vec3::new(sin, cos, 0.0));
        let still = p.outer - p.inner;
        let last = steps.max(2) - 1;
        let all = (0..=last).map(|k| {
            let at = held(corner, low + (high - low) * k as f64 / last as f64)?.stance;
            let (u, o, a, l) = (at.upright.axis, at.outer, at.spin, at.upright.ball - p.inner);
            let (ou, au, side) = (o.dot(u), a.dot(u), u.cross(o));
            let (op, ap, aside) = (o - u * ou, a - u * au, u.cross(a));
            let toe = |v: Vec3| [au * u.dot(v), ap.dot(v), aside.dot(v)];
            Ok(Step {
                a: Linear { still: -op.dot(l), by: op },
                b: Linear { still: -side.dot(l), by: side },
                c: Linear { still: (o.dot(o) + l.dot(l) - still.dot(still)) / 2.0 + ou * u.dot(l), by: still - l - u * ou },
                sine: toe(across),
                cosine: toe(along),
            })
        });
        let at = corner.stance((0.0, 1.0))?;
        let side = at.upright.axis.cross(at.outer);
        let reference = Linear { still: -side.dot(at.upright.ball - p.inner), by: side };
        Ok(Band { steps: all.collect::<Result<_, _>>()?, reference })
    }

    /// Largest tangent of the toe change over the band with the inner joint at `from` + k·`by`, for every k; infinite where a
    /// position cannot be reached. `most` is raised, never lowered.
    pub fn raise(&self, from: Vec3, by: Vec3, most: &mut [f64]) {
        let sigma: Vec<f64> = (0..most.len()).map(|k| -self.reference.at(from + by * k as f64).signum()).collect();
        for step in &self.steps {
            let pair = |l: &Linear| (l.at(from), l.by.dot(by));
            let ((a0, a1), (b0, b1), (c0, c1)) = (pair(&step.a), pair(&step.b), pair(&step.c));
            let ([n0, n1, n2], [d0, d1, d2]) = (step.sine, step.cosine);
            for (k, (most, sigma)) in most.iter_mut().zip(&sigma).enumerate() {
                let x = k as f64;
                let (a, b, c) = (a0 + a1 * x, b0 + b1 * x, c0 + c1 * x);
                let r2 = a * a + b * b;
                let q2 = r2 - c * c;
                let q = sigma * q2.max(0.0).sqrt();
                let (cos, sin) = (a * c - b * q, b * c + a * q);
                let (n, d) = (n0 * r2 + n1 * cos + n2 * sin, d0 * r2 + d1 * cos + d2 * sin);
                // Turned by a quarter or more, or out of reach.
                let t = if q2 >= 0.0 && d > 0.0 { (n / d).abs() } else { f64::INFINITY };
                *most = if t > *most { t } else { *most };
            }
        }
    }

    /// Largest toe change (radians, positive) with the inner joint moved; `None` where a position cannot be reached.
    pub fn peak(&self, shift: Vec3) -> Option<f64> {
        let mut most = [0.0];
        self.raise(shift, Vec3::default(), &mut most);
        most[0].is_finite().then(|| most[0].atan())
    }
}
