//! Where the rack may go: fore-aft and height of both inner joints together, over a window.

use crate::linkage::ackermann::by_angle;
use crate::math::closure::{Linkage, Reach, Rotation};
use crate::math::vector::Vec3;
use crate::suspension::RanOut;
use crate::suspension::band::Band;
use crate::suspension::corner::{Corner, Stance};
use crate::suspension::held::held;
use crate::suspension::wheel::Wheel;

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
    /// Smallest transmission angle of either wheel over the usable travel, at ride height and with the arms where they stand at the ends of the band;
    /// nought where a toggle comes first there.
    pub transmission: f64,
    /// Whether the wheels turn left with the rack to the right.
    pub against: bool,
}

/// What a map shows of its cells.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Layer {
    /// Largest toe change over the band.
    Peak,
    /// Inner wheel at lock, the lesser lock.
    Lock,
    /// Smallest angle between rod and arm.
    Transmission,
    /// Largest angle between rod and rack at mid-travel.
    RodAngle,
    /// Ackermann at lock by angle difference, the lesser lock.
    Ackermann,
}

impl Layer {
    /// Every layer.
    pub const ALL: [Layer; 5] = [Layer::Peak, Layer::Lock, Layer::Transmission, Layer::RodAngle, Layer::Ackermann];

    /// Its value in a cell, radians or per cent; `None` where there is none.
    pub fn of(self, cell: &Cell) -> Option<f64> {
        let lock = cell.lock.as_ref();
        match self {
            Layer::Peak => cell.peak,
            Layer::Lock => lock.map(|at| at.angle[0].min(at.angle[1])),
            Layer::Transmission => lock.map(|at| at.transmission),
            Layer::RodAngle => Some(cell.rod_angle),
            Layer::Ackermann => lock.map(|at| at.ackermann[0].min(at.ackermann[1])),
        }
    }
}

/// The map, ready to be asked row by row.
#[derive(Debug, Clone, PartialEq)]
pub struct Placement {
    bands: [Band; 2],
    corners: [Corner; 2],
    /// Both corners at both ends of the band.
    ends: [[Stance; 2]; 2],
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
        let end = |c: &Corner| -> Result<[Stance; 2], RanOut> {
            let [low, high] = settings.band;
            Ok([held(c, low)?.stance, held(c, high)?.stance])
        };
        let ends = [end(l)?, end(r)?];
        let spacing = l.axis_at_ground().y - r.axis_at_ground().y;
        Ok(Placement { bands, corners, ends, window, settings, spacing })
    }

    /// The places asked for.
    pub fn window(&self) -> &Window {
        &self.window
    }

    /// Where a cell lies, mm ahead of and above where the inner joints are.
    pub fn at_cell(&self, i: usize, j: usize) -> [f64; 2] {
        let at = self.place(i, j);
        [at.x, at.z]
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
        let mut out = AtLock { ends, angle: [0.0; 2], ackermann: [0.0; 2], transmission: f64::INFINITY, against: false };
        let mut turned = [0.0; 2];
        for (side, end) in ends.into_iter().enumerate() {
            for (wheel, turned) in wheels.iter().zip(&mut turned) {
                let t = wheel.linkage.at(end)?;
                *turned = change(wheel, t);
                out.transmission = out.transmission.min(wheel.linkage.least_transmission(end)?);
            }
            for ((wheel, corner), stances) in wheels.iter().zip(&self.corners).zip(&self.ends) {
                for stance in stances {
                    let there = corner.linkage_at(stance, shift, wheel.linkage.rod(), wheel.linkage.branch());
                    out.transmission = out.transmission.min(there.least_transmission(end).unwrap_or(0.0));
                }
            }
            let [a, b] = turned;
            if !(a * b > 0.0) {
                return Ok(None);
            }
            let (inner, outer) = if a > 0.0 { (a, b) } else { (-b, -a) };
            out.against = (a > 0.0) == (side == 0);
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
