//! Where the rack may go: fore-aft and height of both inner joints together, over a window.
//!
//! The arms' part of a travel position does not depend on the rack: for every height the lower arm's angle is found once, with toe held
//! at static. Then A, B and C of the closure are linear in the inner joint's place (d² − ℓ² is, ℓ being re-derived), cos θ and sin θ follow by
//! a square root, and toe is compared by its tangent.

use crate::linkage::ackermann::by_angle;
use crate::linkage::wheel::Wheel;
use crate::math::closure::{Linkage, Reach, Rotation};
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
        let (sin, cos) = p.toe.sin_cos();
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
    fn raise(&self, from: Vec3, by: Vec3, most: &mut [f64]) {
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

/// The places asked for, from where the inner joints are, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Window {
    /// Forward, from and to.
    pub ahead: [f64; 2],
    /// Up, from and to.
    pub up: [f64; 2],
    /// How many places forward and up.
    pub cells: [usize; 2],
}

/// What the map needs to know besides the two corners.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Settings {
    /// Travel band, lowest and highest, mm.
    pub band: [f64; 2],
    /// Heights looked at within it.
    pub steps: usize,
    /// Where the rack's hardware ends, to the right (negative) and to the left, mm.
    pub ends: [f64; 2],
    /// Kept before a toggle or fold-back, mm.
    pub reserve: f64,
    /// Wheelbase, mm.
    pub wheelbase: f64,
}

/// What the rack does from one place. Angles in radians.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cell {
    /// Largest toe change over the band, of the worse wheel, at the heights looked at; `None` where a height cannot be reached.
    pub peak: Option<f64>,
    /// At lock; `None` where there is no linkage, or the wheels steer against each other.
    pub lock: Option<AtLock>,
    /// The larger angle between rod and rack at the reference.
    pub rod_angle: f64,
}

/// Both locks with the suspension's arms held at ride height: rack to the right, rack to the left.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AtLock {
    /// Where the rack's usable travel ends, mm.
    pub ends: [f64; 2],
    /// The inner wheel's angle from straight.
    pub angle: [f64; 2],
    /// Ackermann by angle difference, per cent.
    pub ackermann: [f64; 2],
    /// Smallest transmission angle of either wheel over the usable travel.
    pub transmission: f64,
}

/// The map, ready to be asked row by row.
#[derive(Debug, Clone, PartialEq)]
pub struct Placement {
    bands: [Band; 2],
    corners: [Corner; 2],
    window: Window,
    settings: Settings,
    /// Spacing of the steering axes at the ground, mm.
    spacing: f64,
}

impl Placement {
    /// From both corners, left and right. Errors: a height of the band cannot be reached, whatever the rack.
    pub fn new(corners: [Corner; 2], window: Window, settings: Settings) -> Result<Placement, RanOut> {
        let [l, r] = &corners;
        let bands = [Band::new(l, settings.band, settings.steps)?, Band::new(r, settings.band, settings.steps)?];
        let spacing = l.axis_at_ground().y - r.axis_at_ground().y;
        Ok(Placement { bands, corners, window, settings, spacing })
    }

    fn place(&self, i: usize, j: usize) -> Vec3 {
        let at = |[from, to]: [f64; 2], k: usize, n: usize| from + (to - from) * k as f64 / (n.max(2) - 1) as f64;
        Vec3::new(at(self.window.ahead, i, self.window.cells[0]), 0.0, at(self.window.up, j, self.window.cells[1]))
    }

    /// Tangent of the largest toe change of the cells of one height, from the rearmost; infinite where a height cannot be reached.
    pub fn peaks(&self, row: usize) -> Vec<f64> {
        let from = self.place(0, row);
        let mut most = vec![0.0; self.window.cells[0]];
        for band in &self.bands {
            band.raise(from, self.place(1, row) - from, &mut most);
        }
        most
    }

    /// The cells of one height, from the rearmost; `row` counts from the lowest.
    pub fn row(&self, row: usize) -> Vec<Cell> {
        self.peaks(row).into_iter().enumerate().map(|(i, most)| self.cell(self.place(i, row), most)).collect()
    }

    /// One place, mm ahead of and above where the inner joints are.
    pub fn at(&self, ahead: f64, up: f64) -> Cell {
        let shift = Vec3::new(ahead, 0.0, up);
        let mut most = [0.0];
        for band in &self.bands {
            band.raise(shift, Vec3::default(), &mut most);
        }
        self.cell(shift, most[0])
    }

    fn cell(&self, shift: Vec3, most: f64) -> Cell {
        let angle = |c: &Corner| {
            let n = c.points().outer - c.points().inner - shift;
            n.x.hypot(n.z).atan2(n.y.abs())
        };
        let [l, r] = &self.corners;
        Cell { peak: most.is_finite().then(|| most.atan()), lock: self.at_lock(shift).ok().flatten(), rod_angle: angle(l).max(angle(r)) }
    }

    fn at_lock(&self, shift: Vec3) -> Result<Option<AtLock>, Reach> {
        let [l, r] = &self.corners;
        let wheels = [l.wheel_from(shift)?, r.wheel_from(shift)?];
        let mut ends = self.settings.ends;
        for (side, end) in ends.iter_mut().enumerate() {
            for wheel in &wheels {
                *end = usable(&wheel.linkage, side, *end, self.settings.reserve);
            }
        }
        let mut out = AtLock { ends, angle: [0.0; 2], ackermann: [0.0; 2], transmission: f64::INFINITY };
        let mut turned = [0.0; 2];
        for (side, end) in ends.into_iter().enumerate() {
            for (wheel, turned) in wheels.iter().zip(&mut turned) {
                let t = wheel.linkage.at(end)?;
                *turned = change(wheel, t);
                out.transmission = out.transmission.min(wheel.linkage.least_transmission(end)?);
            }
            let [a, b] = turned;
            if !(a * b > 0.0) {
                return Ok(None);
            }
            let (inner, outer) = if a > 0.0 { (a, b) } else { (-b, -a) };
            out.angle[side] = inner;
            out.ackermann[side] = by_angle(inner, outer, self.spacing, self.settings.wheelbase);
        }
        Ok(out.ackermann.iter().all(|a| a.is_finite()).then_some(out))
    }
}

/// Steer angle less that at the reference.
fn change(wheel: &Wheel, t: Rotation) -> f64 {
    let (b, a) = (wheel.spin, wheel.spin.turned(wheel.axis, t.cos, t.sin));
    (b.x * a.y - a.x * b.y).atan2(a.x * b.x + a.y * b.y)
}

/// Where the usable travel ends on one side (0 right, 1 left): at `end`, or `reserve` before a toggle or fold-back.
fn usable(linkage: &Linkage, side: usize, end: f64, reserve: f64) -> f64 {
    let sign = if side == 0 { -1.0 } else { 1.0 };
    linkage.dead_point(end + sign * reserve).map_or(end, |s| sign * end.abs().min((s.abs() - reserve).max(0.0)))
}
