//! The placement map, solved: from a rack as it is to every place that its inner joints could take over a window.

use crate::analysis::placement::{Layer, Placement, Settings, Window};
use crate::catalogue::field::Field;
use crate::catalogue::result::ResultId;
use crate::judgement::case::Evaluated;
use crate::judgement::region::{Asked, Region, region};
use crate::linkage::corner::{corners, ran_out};
use crate::linkage::travel::hardware;
use crate::math::each::Each;
use crate::wording;

/// Heights of the wheel that every cell is looked at.
const STEPS: usize = 41;
/// The most cells along one edge.
const MOST: usize = 121;

/// A map that was solved.
#[derive(Debug, Clone, PartialEq)]
pub struct Map {
    /// The places, ready to be asked.
    pub placement: Placement,
    /// What is asked of them.
    pub asked: Asked,
    /// Each of them, judged.
    pub judged: Region,
}

impl Map {
    /// The value of a layer in each cell, degrees or per cent, by rows from the lowest, each from the rearmost; NaN where there is none.
    pub fn layer(&self, layer: Layer) -> Vec<f64> {
        let scale = if layer == Layer::Ackermann { 1.0 } else { 1_f64.to_degrees() };
        self.judged.cells.iter().map(|cell| layer.of(cell).map_or(f64::NAN, |v| v * scale)).collect()
    }

    /// Whether a cell keeps every limit.
    pub fn passes(&self, cell: usize) -> bool {
        self.judged.overrun[cell] <= 0.0
    }

    /// The cell nearest to a place that passes, or that fails, and how far it is, mm; `None` where there is none in the window.
    pub fn nearest(&self, to: [f64; 2], passing: bool) -> Option<([f64; 2], f64)> {
        let wide = self.placement.window().cells[0];
        let all = (0..self.judged.cells.len()).filter(|k| self.passes(*k) == passing).map(|k| self.placement.at_cell(k % wide, k / wide));
        all.map(|at| (at, (at[0] - to[0]).hypot(at[1] - to[1]))).reduce(|a, b| if b.1 < a.1 { b } else { a })
    }
}

/// The map of a rack over a window about where its inner joints are, mm. Where it is known which way the steering wheel turns the wheels, a place that turns
/// them the other way fails. The error is a sentence part: why there is none.
pub fn map(e: &Evaluated, window: Window) -> Result<Map, String> {
    let x = e.readings.inputs();
    let reading = |field: Field| x.get(field).ok_or_else(|| wording::needs(field.into(), &e.readings));
    let both = corners(&x).map_err(|gap| wording::gap(gap, &e.readings))?;
    let [right, left] = [0, 1].each(|way| hardware(&e.solution.distances[way]));
    let lacks = || wording::needs(Field::Travel.into(), &e.readings);
    let band = reading(Field::BumpTravel)?;
    let settings = Settings {
        band: [-band, band],
        steps: STEPS,
        ends: [-right.ok_or_else(lacks)?, left.ok_or_else(lacks)?],
        reserve: x.get(Field::ReserveWanted).unwrap_or(0.0),
        wheelbase: reading(Field::Wheelbase)?,
    };
    let window = Window { cells: window.cells.map(|n| n.clamp(2, MOST)), ..window };
    let placement = Placement::new(both, window, settings).map_err(|out| wording::gap(ran_out(out), &e.readings))?;
    let here = placement.at(0.0, 0.0).lock;
    // Each wheel must go the way that the steering wheel goes.
    let rate = |side| e.solution.results.get(ResultId::SteerRate, side).ok();
    let right = x.get(Field::BarMoves).zip(rate(0).zip(rate(1))).map(|(bar, (l, r))| bar * l > 0.0 && bar * r > 0.0);
    let against = right.zip(here).map(|(right, at)| at.against == right);
    let at = [reading(Field::RackLine)?, reading(Field::Height)?];
    let asked = Asked::of(&x, e.readings.off, against, at);
    let judged = region(&placement, &asked);
    Ok(Map { placement, asked, judged })
}
