//! The placement map as it is shown: every layer over the window, where all limits are kept, and the best place.

use crate::analysis::placement::{Placement, Settings, Window};
use crate::catalogue::field::Field;
use crate::judgement::case::Evaluated;
use crate::judgement::region::{Asked, KeepOut, region};
use crate::linkage::corner::{corners, ran_out};
use crate::linkage::travel::hardware;
use crate::measurement::figure::{Text, length};
use crate::wording;
use serde::Serialize;

/// Heights of the wheel that every cell is looked at.
const STEPS: usize = 41;
/// The most cells along one edge.
const MOST: usize = 121;

/// One cell of the map.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct MapView {
    /// Why there is no map; empty where there is one.
    pub why: String,
    /// Cells forward and up.
    pub cells: [usize; 2],
    /// The window forward of where the inner joints are, mm, from and to.
    pub ahead: [f64; 2],
    /// The same up.
    pub up: [f64; 2],
    /// Largest toe change over the wheel travel looked at, degrees; by rows from the lowest, each from the rearmost; `null` out of reach.
    pub peak: Vec<Option<f64>>,
    /// Ackermann at lock, per cent, the lesser lock, with the suspension’s arms held.
    pub ackermann: Vec<Option<f64>>,
    /// Inner wheel at lock, degrees, the lesser lock.
    pub lock: Vec<Option<f64>>,
    /// Smallest angle between rod and arm over the usable travel, degrees.
    pub transmission: Vec<Option<f64>>,
    /// Between rod and rack at mid-travel, degrees, the larger one.
    pub rod_angle: Vec<f64>,
    /// Whether a cell keeps every limit and lies in no box.
    pub passes: Vec<bool>,
    /// The best place: forward and up of where the inner joints are, mm; `None` where none is better than another.
    pub best: Option<[f64; 2]>,
    /// How far it is from the nearest place that fails, or from the window’s edge, mm; 0 where it fails itself.
    pub distance: f64,
    /// The best place in a sentence.
    pub text: Text,
}

/// The map of a rack: `window` is how far it reaches about the inner joints, mm each way, `cells` forward and up. Boxes are [rear, front, low, high]
/// about where the inner joints are, already as much larger as the rack’s housing needs.
pub fn map(e: &Evaluated, window: f64, cells: [usize; 2], boxes: &[[f64; 4]]) -> MapView {
    let cells = cells.map(|n| n.clamp(2, MOST));
    let window = if window.is_finite() { window.abs().min(500.0) } else { 60.0 };
    let edge = [-window, window];
    let mut view = MapView {
        why: String::new(),
        cells,
        ahead: edge,
        up: edge,
        peak: Vec::new(),
        ackermann: Vec::new(),
        lock: Vec::new(),
        transmission: Vec::new(),
        rod_angle: Vec::new(),
        passes: Vec::new(),
        best: None,
        distance: 0.0,
        text: Text::default(),
    };
    let x = e.readings.inputs();
    let settings = |field: Field| x.get(field).ok_or_else(|| wording::needs(field.into(), &e.readings));
    let made = || -> Result<Placement, String> {
        let both = corners(&x).map_err(|gap| wording::gap(gap, &e.readings))?;
        let [right, left] = [0, 1].map(|way| hardware(&e.solution.distances[way]));
        let lacks = || wording::needs(Field::Travel.into(), &e.readings);
        let band = settings(Field::BumpTravel)?;
        let settings = Settings {
            band: [-band, band],
            steps: STEPS,
            ends: [-right.ok_or_else(lacks)?, left.ok_or_else(lacks)?],
            reserve: x.get(Field::ReserveWanted).unwrap_or(0.0),
            wheelbase: settings(Field::Wheelbase)?,
        };
        let over = Window { ahead: edge, up: edge, cells };
        Placement::new(both, over, settings).map_err(|out| wording::gap(ran_out(out), &e.readings))
    };
    let placement = match made() {
        Ok(placement) => placement,
        Err(why) => {
            view.why = why;
            return view;
        }
    };
    let boxes = boxes.iter().map(|b| KeepOut { ahead: [b[0], b[1]], up: [b[2], b[3]] }).collect();
    let judged = region(&placement, &Asked::of(&x, e.readings.off, boxes));
    let deg = f64::to_degrees;
    for cell in &judged.cells {
        view.peak.push(cell.peak.map(deg));
        let lock = cell.lock.as_ref();
        view.ackermann.push(lock.map(|l| l.ackermann[0].min(l.ackermann[1])));
        view.lock.push(lock.map(|l| deg(l.angle[0].min(l.angle[1]))));
        view.transmission.push(lock.map(|l| deg(l.transmission)));
        view.rod_angle.push(deg(cell.rod_angle));
    }
    view.passes.extend(judged.overrun.iter().map(|by| *by <= 0.0));
    if let Some((cell, distance)) = judged.best {
        let at = placement.at_cell(cell % cells[0], cell / cells[0]);
        (view.best, view.distance) = (Some(at), distance);
        let way = |by: f64, plus: &'static str, minus: &'static str| {
            Text::fill("{} {}", &[&length(by.abs()), &if by < 0.0 { minus } else { plus }])
        };
        let place = Text::fill("{} and {} of where it is", &[&way(at[0], "forward", "rearward"), &way(at[1], "above", "below")]);
        view.text = match distance > 0.0 {
            true => Text::fill("Best: {}, {} from the nearest place that fails.", &[&place, &length(distance)]),
            false => Text::fill("No place in the window keeps every limit: {} misses by least.", &[&place]),
        };
    }
    view
}
