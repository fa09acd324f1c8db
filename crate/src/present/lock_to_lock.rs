//! What is shown of one rack over the whole turn: the ± of its curves, the ratio's sentence, both tables, the ends of the turn.

use crate::analysis::curves::curves;
use crate::analysis::sweep::{Place, Sweep};
use crate::catalogue::field::Field;
use crate::catalogue::result::ResultId;
use crate::linkage::ackermann::ideal_outer;
use crate::measurement::figure::{Text, degrees, figure};
use crate::measurement::quantity::ResultUnit;
use crate::present::axle_drawing::{Axle, EndDrawing};
use crate::wording;
use crate::wording::motion;
use serde::Serialize;

/// Places along a band.
const BAND: usize = 13;
/// Rows of a table for one side of the turn: every second place of a band.
const ROWS: usize = BAND.div_ceil(2);

/// A curve with its ±: [along the axis, height, ± of the height].
pub type Band = Vec<[f64; 3]>;

/// One rack over the whole turn.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct TurnView {
    /// Whether a left turn of the steering wheel steers to the right.
    pub backwards: bool,
    /// Which way the bar should go for a left turn of the steering wheel.
    pub bar_wanted: &'static str,
    /// Which way it goes; empty where that is not known.
    pub bar_goes: &'static str,
    /// Both ends of the steering wheel's turn, left first.
    pub ends: [EndDrawing; 2],
    /// Why the steering wheel's angle is not known; empty where it is.
    pub hand_why: String,
    /// Toe-out against the inner wheel's angle, left turn: degrees.
    pub band_left: Band,
    /// The same, right turn.
    pub band_right: Band,
    /// Ratio against turns of the steering wheel, left positive.
    pub band_ratio: Band,
    /// Toe-out as a table: turn, inner angle, outer angle, toe-out with its ±, ideal toe-out.
    pub toe_table: Vec<[String; 5]>,
    /// The ratio in a sentence; or what it needs.
    pub ratio_summary: Text,
    /// The ratio as a table: turn of the steering wheel, ratio with its ±.
    pub ratio_table: Vec<[String; 2]>,
}

/// What is shown of a rack over the whole turn. A curve is empty where something that it needs is missing.
pub fn over_turn(axle: &Axle) -> TurnView {
    let sweep = axle.sweep();
    let band = |places: Vec<Place>| places.iter().map(|p| [p.along, p.height, p.pm]).collect::<Band>();
    let toe = |lock: usize| axle.locks()[lock].map_or_else(|_| Vec::new(), |end| sweep.along(0.0, end, BAND, Sweep::toe_out));
    let [left, right] = [toe(0), toe(1)];
    let ratio = |count| match axle.locks() {
        [Ok(left), Ok(right)] => sweep.along(right, left, count, Sweep::ratio),
        _ => Vec::new(),
    };
    let [wanted, goes] = axle.bar();
    TurnView {
        backwards: axle.backwards(),
        bar_wanted: wanted,
        bar_goes: goes,
        ends: axle.ends(),
        hand_why: axle
            .solution()
            .results
            .get(ResultId::TravelPerTurn, 0)
            .err()
            .map_or_else(String::new, |gap| wording::gap(gap, axle.readings())),
        toe_table: toe_table(axle, [&left, &right]),
        band_left: band(left),
        band_right: band(right),
        // An odd number: the middle of it is straight ahead where both sides are alike.
        band_ratio: band(ratio(2 * BAND - 1)),
        ratio_summary: ratio_summary(axle),
        ratio_table: ratio_table(axle),
    }
}

fn toe_table(axle: &Axle, sides: [&[Place]; 2]) -> Vec<[String; 5]> {
    let x = axle.readings().inputs();
    let differ = curves(&x, axle.solution()).differ;
    let ideal = x.get(Field::Wheelbase).zip(axle.solution().results.get(ResultId::AxisSpacingGround, 0).ok());
    let ideal =
        |inner: f64| ideal.map_or("–".to_owned(), |(l, w)| degrees(inner - ideal_outer(inner.to_radians(), w, l).to_degrees()).mm);
    let names = if differ { ["left", "right"] } else { ["either", "either"] };
    let row = |turn: &str, p: &Place| {
        let deg = |d: f64| degrees(d).mm;
        [turn.to_owned(), deg(p.along), deg(p.along - p.height), figure(ResultUnit::Deg, p.height, Some(p.pm)).mm, ideal(p.along)]
    };
    let sides = sides.iter().zip(names).take(if differ { 2 } else { 1 });
    sides.flat_map(|(places, turn)| places.iter().step_by(2).map(move |p| row(turn, p))).collect()
}

fn shown(p: &Place) -> Text {
    figure(ResultUnit::Ratio, p.height, Some(p.pm))
}

fn ratio_summary(axle: &Axle) -> Text {
    let Some(centre) = axle.sweep().ratio(0.0) else {
        let gap = axle.solution().results.get(ResultId::RatioCentre, 0).err();
        return Text::same(gap.map_or_else(String::new, |gap| wording::gap(gap, axle.readings())));
    };
    let end = |lock: usize| axle.locks()[lock].ok().filter(|s| *s != 0.0).and_then(|s| axle.sweep().ratio(s));
    let ends: Vec<(&str, Place)> = [("left", 0), ("right", 1)].into_iter().filter_map(|(side, lock)| Some((side, end(lock)?))).collect();
    let change = ends.iter().map(|(_, p)| p.height / centre.height - 1.0).fold(0.0, |a: f64, b| if b.abs() > a.abs() { b } else { a });
    let said: Vec<(&str, Text)> = ends.iter().map(|(side, p)| (*side, shown(p))).collect();
    motion::ratio_summary(&shown(&centre), &said, change)
}

fn ratio_table(axle: &Axle) -> Vec<[String; 2]> {
    let side = |lock: usize| axle.locks()[lock].map_or_else(|_| Vec::new(), |end| axle.sweep().along(0.0, end, ROWS, Sweep::ratio));
    let row = |p: &Place| [motion::turn(p.along), shown(p).mm];
    side(0).iter().rev().chain(side(1).iter().skip(1)).map(row).collect()
}
