//! What is demanded of a rack: the one table that findings, the search for a rack line and the search for remedies judge by.

use crate::analysis::uncertainty::Uncertainties;
use crate::catalogue::field::Field;
use crate::catalogue::field_set::FieldSet;
use crate::catalogue::result::{RESULTS, ResultId, Results};
use crate::catalogue::value::{Gap, Why};
use crate::plan::inputs::{Inputs, kernel};

/// One demand.
#[derive(Debug, Clone, Copy)]
pub struct Demand {
    /// The finding that speaks of it.
    pub finding: &'static str,
    /// The result that is held against the limit.
    pub name: ResultId,
    /// The limit; `None`: nought.
    pub limit: Option<Field>,
    /// How the two are held against each other.
    pub sense: Sense,
}

/// How a value is held against its limit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sense {
    /// The value must be no smaller.
    AtLeast,
    /// The value must be no larger.
    AtMost,
    /// Its size must be no larger.
    SizeAtMost,
    /// The same sign for both sides: the smaller size counts, negative where the signs differ.
    SameSign,
}

const fn demand(finding: &'static str, name: ResultId, limit: Option<Field>, sense: Sense) -> Demand {
    Demand { finding, name, limit, sense }
}

/// Every demand, in the order in which they weigh. Which way the rack steers is not among them: it has no limit and no remedy but one.
pub const DEMANDS: [Demand; 18] = [
    demand("opposed", ResultId::SteerRate, None, Sense::SameSign),
    demand("lock", ResultId::LockInner, Some(Field::LockWanted), Sense::AtLeast),
    demand("reserve", ResultId::ReserveHardware, Some(Field::ReserveWanted), Sense::AtLeast),
    demand("inner_joint", ResultId::InnerJointMargin, None, Sense::AtLeast),
    demand("outer_joint", ResultId::OuterJointMargin, None, Sense::AtLeast),
    demand("transmission", ResultId::TransmissionLeast, Some(Field::TransmissionWanted), Sense::AtLeast),
    demand("rod_length", ResultId::RodOverShortest, None, Sense::AtLeast),
    demand("rod_length", ResultId::RodUnderLongest, None, Sense::AtLeast),
    demand("toe", ResultId::ToeCentre, Some(Field::ToeMax), Sense::SizeAtMost),
    demand("ratio_min", ResultId::RatioCentre, Some(Field::RatioMin), Sense::AtLeast),
    demand("ratio_max", ResultId::RatioCentre, Some(Field::RatioMax), Sense::AtMost),
    demand("turns_min", ResultId::Turns, Some(Field::TurnsMin), Sense::AtLeast),
    demand("turns_max", ResultId::Turns, Some(Field::TurnsMax), Sense::AtMost),
    demand("ackermann_min", ResultId::AckermannAngle, Some(Field::AckermannMin), Sense::AtLeast),
    demand("ackermann_max", ResultId::AckermannAngle, Some(Field::AckermannMax), Sense::AtMost),
    demand("circle_max", ResultId::CircleCentre, Some(Field::CircleMax), Sense::AtMost),
    demand("circle_edge_max", ResultId::CircleEdge, Some(Field::CircleEdgeMax), Sense::AtMost),
    demand("wall_to_wall_max", ResultId::WallToWall, Some(Field::WallToWallMax), Sense::AtMost),
];

/// By how much one demand is kept on one side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Margin {
    /// Its place in [`DEMANDS`].
    pub demand: usize,
    /// The side of its result.
    pub side: usize,
    /// In the unit of the result; −∞ where there is no such value.
    pub margin: f64,
}

/// A limit in the unit of the results: mm, degrees, turns, per cent.
pub fn limit(x: &Inputs, field: Field) -> Option<f64> {
    let value = x.get(field)?;
    // Typed in degrees, kept in radians: 30° is 30, not 29.999999999999996.
    Some(if kernel(field, 1.0) == 1.0 { value } else { (value.to_degrees() * 1e12).round() / 1e12 })
}

/// The margin of a value.
fn margin(sense: Sense, value: f64, limit: f64) -> f64 {
    match sense {
        Sense::AtLeast | Sense::SameSign => value - limit,
        Sense::AtMost => limit - value,
        Sense::SizeAtMost => limit - value.abs(),
    }
}

/// Every margin that can be judged: demands that were turned off, have no limit or lack a reading are left out.
pub fn margins(x: &Inputs, off: FieldSet, results: &Results) -> Vec<Margin> {
    let mut out = Vec::with_capacity(32);
    for (k, d) in DEMANDS.iter().enumerate() {
        let limit = match d.limit {
            // Of a reserve that was turned off the toggle itself is left.
            Some(field) if off.has(field) && field != Field::ReserveWanted => continue,
            Some(field) => match limit(x, field) {
                Some(l) => l,
                None => continue,
            },
            None => 0.0,
        };
        if d.sense == Sense::SizeAtMost && x.get(Field::RodLength).is_none() {
            continue;
        }
        if d.sense == Sense::SameSign {
            if let (Ok(l), Ok(r)) = (results.get(d.name, 0), results.get(d.name, 1)) {
                let side = usize::from(r.abs() < l.abs());
                out.push(Margin { demand: k, side, margin: (l * r).signum() * l.abs().min(r.abs()) });
            }
            continue;
        }
        for side in 0..RESULTS[d.name as usize].count() {
            match results.get(d.name, side) {
                Ok(v) => out.push(Margin { demand: k, side, margin: margin(d.sense, v, limit) }),
                Err(Gap::Missing(_)) => {}
                // No toggle that way: nothing to keep clear of. No lock: its own demand fails, not the angle on the way to it.
                Err(Gap::Unreachable(Why::NoToggle)) => {}
                Err(Gap::Unreachable(_)) if d.name == ResultId::TransmissionLeast => {}
                Err(Gap::Unreachable(_)) => out.push(Margin { demand: k, side, margin: f64::NEG_INFINITY }),
            }
        }
    }
    out
}

impl Margin {
    /// Its ±, 95 %.
    pub fn pm(&self, uncertainties: &Uncertainties) -> f64 {
        uncertainties.pm[Results::index(DEMANDS[self.demand].name, self.side)].unwrap_or(0.0)
    }

    /// The finding that speaks of it.
    pub fn finding(&self) -> &'static str {
        DEMANDS[self.demand].finding
    }
}
