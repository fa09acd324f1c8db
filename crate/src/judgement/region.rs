//! Where the rack may go: which cells of the placement map keep every limit that a cell can be judged by, and the best of them.

use crate::analysis::placement::{Cell, Layer, Placement};
use crate::catalogue::field::Field;
use crate::catalogue::field_set::FieldSet;
use crate::judgement::demand::DemandId;
use crate::linkage::in_the_way::{KeepOut, keep_outs};
use crate::plan::inputs::Inputs;

/// The limits that a cell is held against, radians and per cent; `None` where there is none, or it was turned off.
#[derive(Debug, Clone, PartialEq)]
pub struct Asked {
    peak: Option<f64>,
    lock: Option<f64>,
    transmission: Option<f64>,
    rod_angle: Option<f64>,
    ackermann: [Option<f64>; 2],
    /// Whether the wheels have to turn left with the rack to the right; `None` where they may turn either way.
    against: Option<bool>,
    /// What is in the way, about where the inner joints are.
    pub boxes: Vec<KeepOut>,
    /// Half the housing's diameter, mm.
    pub radius: f64,
}

impl Asked {
    /// The limits of these inputs, with the inner joints at `at`, mm ahead of and above the tie-rod ends; the wheels turn as they have to.
    pub fn of(x: &Inputs, off: FieldSet, against: Option<bool>, at: [f64; 2]) -> Asked {
        let about = |[from, to]: [f64; 2], at: f64| [from - at, to - at];
        let boxes = keep_outs(x).into_iter().map(|b| KeepOut { ahead: about(b.ahead, at[0]), up: about(b.up, at[1]), ..b });
        let get = |field: Field| x.get(field).filter(|_| !off.contains(field));
        Asked {
            peak: get(Field::BumpSteerMax),
            lock: get(Field::LockWanted),
            transmission: get(Field::TransmissionWanted),
            rod_angle: get(Field::InnerJointLimit),
            ackermann: [get(Field::AckermannMin), get(Field::AckermannMax)],
            against,
            boxes: boxes.collect(),
            radius: x.get(Field::HousingDiameter).unwrap_or(0.0) / 2.0,
        }
    }

    /// What is asked of each layer: the least and the most.
    pub fn bounds(&self, layer: Layer) -> [Option<f64>; 2] {
        match layer {
            Layer::Peak => [None, self.peak],
            Layer::Lock => [self.lock, None],
            Layer::Transmission => [self.transmission, None],
            Layer::RodAngle => [None, self.rod_angle],
            Layer::Ackermann => self.ackermann,
        }
    }

    /// By how much a cell misses the worst of its limits, each in steps that weigh about alike ([`crate::judgement::demand::Demand::step`]); not positive where it
    /// keeps them all.
    pub fn overrun(&self, cell: &Cell, [ahead, up]: [f64; 2]) -> f64 {
        let deg = f64::to_degrees;
        let mut worst = f64::NEG_INFINITY;
        let mut miss = |limit: Option<f64>, by: &dyn Fn(f64) -> f64, step: f64| {
            if let Some(limit) = limit {
                worst = worst.max(by(limit) / step);
            }
        };
        let step = |id: DemandId| id.row().step;
        miss(self.peak, &|l| cell.peak.map_or(f64::INFINITY, |p| deg(p - l)), step(DemandId::BumpSteer));
        miss(self.rod_angle, &|l| deg(cell.rod_angle - l), step(DemandId::InnerJoint));
        let least = |pair: [f64; 2]| pair[0].min(pair[1]);
        let lock = |f: &dyn Fn(&crate::analysis::placement::AtLock) -> f64| cell.lock.as_ref().map_or(f64::INFINITY, f);
        miss(self.lock, &|l| lock(&|at| deg(l - least(at.angle))), step(DemandId::Lock));
        miss(self.transmission, &|l| lock(&|at| deg(l - at.transmission)), step(DemandId::Transmission));
        miss(self.ackermann[0], &|l| lock(&|at| l - least(at.ackermann)), step(DemandId::AckermannMin));
        miss(self.ackermann[1], &|l| lock(&|at| at.ackermann[0].max(at.ackermann[1]) - l), step(DemandId::AckermannMax));
        let turns = |against: bool| cell.lock.as_ref().is_some_and(|at| at.against == against);
        miss(self.against.map(f64::from), &|against| if turns(against > 0.0) { 0.0 } else { f64::INFINITY }, 1.0);
        for keep_out in &self.boxes {
            miss(Some(self.radius), &|radius| radius - keep_out.distance([ahead, up]), step(DemandId::HousingRoom));
        }
        worst
    }
}

/// The whole map, judged: cells by rows from the lowest, each from the rearmost.
#[derive(Debug, Clone, PartialEq)]
pub struct Region {
    /// Every cell.
    pub cells: Vec<Cell>,
    /// By how much each misses the worst of its limits.
    pub overrun: Vec<f64>,
    /// The best: the passing cell farthest from any that fails and from the window's edge, with that distance in mm; where none passes, the one that
    /// misses least, at no distance.
    pub best: Option<(usize, f64)>,
}

/// Judges every cell of a map.
pub fn region(map: &Placement, asked: &Asked) -> Region {
    let [wide, high] = map.window().cells;
    let mut cells = Vec::with_capacity(wide * high);
    for row in 0..high {
        cells.extend(map.row(row));
    }
    let overrun: Vec<f64> = (0..cells.len()).map(|k| asked.overrun(&cells[k], map.at_cell(k % wide, k / wide))).collect();
    let best = best(&overrun, map);
    Region { cells, overrun, best }
}

fn best(overrun: &[f64], map: &Placement) -> Option<(usize, f64)> {
    let [wide, high] = map.window().cells;
    let ([x0, z0], [x1, z1]) = (map.at_cell(0, 0), map.at_cell(1, 1));
    let (dx, dz) = ((x1 - x0).abs(), (z1 - z0).abs());
    let passes = |i: usize, j: usize| overrun[j * wide + i] <= 0.0;
    // Cells to the nearest failing one of the same row, the window's edges counted as failing; then over all rows.
    let mut along = vec![0.0_f64; wide * high];
    for j in 0..high {
        for forward in [true, false] {
            let mut far = 0.0;
            for k in 0..wide {
                let i = if forward { k } else { wide - 1 - k };
                far = if passes(i, j) { far + 1.0 } else { 0.0 };
                let place = &mut along[j * wide + i];
                *place = if forward { far } else { place.min(far) };
            }
        }
    }
    let mut top: Option<(usize, f64)> = None;
    for j in 0..high {
        for i in (0..wide).filter(|&i| passes(i, j)) {
            let mut least = ((j + 1).min(high - j) as f64 * dz).powi(2);
            for row in 0..high {
                let (x, z) = (along[row * wide + i] * dx, row.abs_diff(j) as f64 * dz);
                least = least.min(x * x + z * z);
            }
            if top.is_none_or(|(_, far)| least > far) {
                top = Some((j * wide + i, least));
            }
        }
    }
    // The edge lies between the last cell that passes and the first that fails.
    let half = dx.min(dz) / 2.0;
    top.map(|(k, square)| (k, square.sqrt() - half)).or_else(|| {
        let least = (0..overrun.len()).filter(|k| overrun[*k].is_finite()).reduce(|a, b| if overrun[b] < overrun[a] { b } else { a });
        least.map(|k| (k, 0.0))
    })
}
