//! How the points of the suspension stand: which are measured, which follow from elsewhere, which one is asked for next.

use crate::catalogue::field::{FORE_AFT, Field, Joint};
use crate::linkage::corner::lacking;
use crate::linkage::points::{by_tape, is_strut, joint, needed};
use crate::linkage::steering::Solution;
use crate::linkage::wheel::placed;
use crate::math::each::Each;
use crate::measurement::figure::{Text, figure};
use crate::measurement::quantity::{Quantity, ResultUnit};
use crate::plan::inputs::{Clash, Inputs, Readings};
use crate::wording;
use serde::Serialize;

/// One point on one side.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct PointView {
    /// Its name; that of a measurement is this, an underline, and x, y or z, with "right_" before it where the right side is measured by itself.
    pub name: &'static str,
    /// What it is called.
    pub label: &'static str,
    /// "left" or "right".
    pub side: &'static str,
    /// Where each coordinate comes from: "typed", "mirrored" from the left, "tape" where other readings fix it, or "" while it is not known.
    pub from: [&'static str; 3],
    /// Where it is, mm, forward, left, up; `None` while a coordinate is not known.
    pub at: Option<[f64; 3]>,
    /// Each coordinate as it is read off the tape, a distance along with its word; empty while it is not known.
    pub texts: [Text; 3],
}

/// Points that make no suspension, or do not go with the tape.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct OddPoint {
    /// What is odd.
    pub title: Text,
    /// By how much, and what to do.
    pub text: Text,
    /// The measurement to look at first, by its path in a plan's file.
    pub path: String,
}

/// Every point that the suspension needs, in the order in which they are measured.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct PointsView {
    /// "double wishbone", "strut", or empty while neither was said.
    pub suspension: &'static str,
    /// The points, each left and right.
    pub points: Vec<PointView>,
    /// How many points are known of how many.
    pub known: [usize; 2],
    /// How many numbers of the left side were measured of how many that no other reading gives: heights, then distances on the floor.
    pub rounds: [[usize; 2]; 2],
    /// What is odd about them.
    pub odd: Vec<OddPoint>,
    /// What cannot be answered yet, each with what it needs, in a sentence.
    pub waits: Vec<String>,
    /// The measurement that is asked for next, by its path in a plan's file; empty where nothing is.
    pub next: String,
    /// How far one is, what can be answered already, and what is asked for next, in a sentence or two.
    pub text: String,
}

/// What can be answered with the first points, and what must be known for it.
const ANSWERS: [(usize, &str); 3] =
    [(2, "inclination and caster"), (4, "trail and the steering from the real axes"), (usize::MAX, "the wheels over bumps")];

fn points_of(x: &Inputs, readings: &Readings, of: Joint) -> [PointView; 2] {
    let fields = of.fields();
    [0, 1].each(|side| {
        let from = |axis: usize| {
            let typed = |side: usize| x.get(fields[side][axis]).is_some() && readings.items[fields[side][axis] as usize].is_some();
            match side {
                _ if typed(side) => "typed",
                1 if typed(0) => "mirrored",
                _ if by_tape(x, of, axis).is_some() || !lacking(x, of).contains(fields[0][axis]) => "tape",
                _ => "",
            }
        };
        let by_arm = || Some(placed(x).ok()?.outer[side]).filter(|_| of == Joint::TieRodEnd);
        let coordinate = |axis: usize| match (x.get(fields[side][axis]).or(x.get(fields[0][axis])), by_tape(x, of, axis)) {
            (Some(v), _) | (None, Some(v)) => Some(v),
            _ => by_arm().map(|at| [at.x, at.y.abs(), at.z][axis]).filter(|_| axis < 2),
        };
        let shown = |axis: usize| {
            let word = |v: f64| FORE_AFT.filter(|_| axis == 0 && v != 0.0).map(|w| if v < 0.0 { w.1 } else { w.0 });
            coordinate(axis).map_or_else(Text::default, |v| {
                Text::fill(if word(v).is_some() { "{} {}" } else { "{}" }, &[&wording::bumps::mm(v), &word(v).unwrap_or("")])
            })
        };
        let name = fields[0][0].spec().name;
        PointView {
            name: name.strip_suffix("_x").unwrap_or(name),
            label: of.label(),
            side: ["left", "right"][side],
            from: [from(0), from(1), from(2)],
            at: joint(x, of, side).map(|p| [p.x, p.y, p.z]),
            texts: [shown(0), shown(1), shown(2)],
        }
    })
}

/// How many numbers were measured of how many, heights and then distances on the floor: those that no other reading gives.
pub fn rounds(x: &Inputs, readings: &Readings) -> [[usize; 2]; 2] {
    let mut out = [[0; 2]; 2];
    for of in needed(is_strut(x)) {
        for (axis, field) in of.fields()[0].into_iter().enumerate() {
            let typed = readings.items[field as usize].is_some();
            let round = &mut out[usize::from(axis < 2)];
            round[0] += usize::from(typed);
            round[1] += usize::from(typed || (by_tape(x, *of, axis).is_none() && lacking(x, *of).contains(field)));
        }
    }
    out
}

/// What is odd about the points, and where they do not go with the tape.
pub fn odd(readings: &Readings) -> Vec<OddPoint> {
    let about = readings.conflicts.iter().filter(|c| matches!(c.clash, Clash::Odd(_) | Clash::Points));
    about
        .map(|c| {
            let (title, reason, remedy) = wording::clash(c.clash, c.fields);
            let [amount, pm] = [c.amount, c.pm].each(|v| match c.fields.iter().next().map(|f| f.spec().scale.quantity) {
                Some(Quantity::Angle) => figure(ResultUnit::Deg, v.to_degrees(), None),
                _ => figure(ResultUnit::Mm, v, None),
            });
            let first = c.fields.iter().find(|f| Joint::of(*f).is_some()).or(c.fields.iter().next());
            OddPoint {
                title: Text::same(title),
                text: Text::fill("{} {}", &[&Text::fill(reason, &[&amount, &pm]), &remedy]),
                path: first.map_or_else(String::new, |f| format!("car.{}", f.spec().name)),
            }
        })
        .collect()
}

/// How the points stand; `solution` is that of the rack of that index.
pub fn points(readings: &Readings, solution: &Solution, rack: usize) -> PointsView {
    let x = readings.inputs();
    let strut = is_strut(&x);
    let joints = needed(strut);
    let lacks = |joint: &&Joint| !lacking(&x, **joint).is_empty();
    let short = joints.iter().find(lacks);
    let known = joints.len() - joints.iter().filter(lacks).count();
    let first = match short {
        // What the upper end is has to be said before it can be measured.
        Some(joint) if strut.is_some() || *joint == Joint::LowerBall => lacking(&x, *joint).iter().next(),
        _ => strut.is_none().then_some(Field::Suspension),
    };
    let height = || x.get(Field::Height).is_none().then_some(Field::Height);
    let next = first.or_else(height);
    let answered: Vec<&str> = match solution.bump.is_some() {
        true => ANSWERS.iter().map(|a| a.1).collect(),
        false => ANSWERS.iter().filter(|a| joints.iter().take(a.0).all(|j| !lacks(&j)) && a.0 <= known).map(|a| a.1).collect(),
    };
    let needs = |a: &(usize, &str)| {
        let asks: Vec<&str> = joints.iter().take(a.0).filter(lacks).map(|joint| joint.fields()[0][0].spec().ask).collect();
        let height = (a.0 == usize::MAX && height().is_some()).then_some(Field::Height.spec().ask);
        let asks: Vec<&str> = asks.into_iter().chain(height).collect();
        (!asks.is_empty()).then(|| format!("Still needed for {}: {}.", a.1, wording::list(&asks)))
    };
    let waits = if strut.is_none() || solution.bump.is_some() { Vec::new() } else { ANSWERS.iter().filter_map(needs).collect() };
    let mut text = format!("{known} of {} points.", joints.len());
    if !answered.is_empty() {
        text += &format!(" Answered already: {}.", wording::list(&answered));
    }
    if let Some(field) = next {
        text += &format!(" Next: {}.", field.spec().ask);
    }
    let path = |field: Field| match field {
        Field::Height => format!("racks.{rack}.height"),
        field => format!("car.{}", field.spec().name),
    };
    PointsView {
        suspension: strut.map_or("", |strut| if strut { "strut" } else { "double wishbone" }),
        points: joints.iter().flat_map(|joint| points_of(&x, readings, *joint)).collect(),
        known: [known, joints.len()],
        rounds: rounds(&x, readings),
        odd: odd(readings),
        waits,
        next: next.map_or_else(String::new, path),
        text,
    }
}
