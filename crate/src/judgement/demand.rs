//! What is demanded of a rack: the one table that findings, the search for a rack line and the search for remedies judge by.

use crate::analysis::uncertainty::Uncertainties;
use crate::catalogue::field::Field;
use crate::catalogue::field_set::FieldSet;
use crate::catalogue::result::{ResultId, Results};
use crate::catalogue::value::{Gap, Why};
use crate::measurement::quantity::ResultUnit;
use crate::plan::inputs::{Inputs, LEAVES_NOUGHT, kernel};

/// One demand: what is asked of which result, and what each part of the program needs to know of it.
#[derive(Debug, Clone, Copy)]
pub struct Demand {
    /// Which demand.
    pub id: DemandId,
    /// The finding that speaks of it.
    pub finding: &'static str,
    /// The result that is held against the limit.
    pub result: ResultId,
    /// What it is held against.
    pub limit: Limit,
    /// How the two are held against each other.
    pub sense: Sense,
    /// How its margin goes with the rack's travel.
    pub travel: Travel,
    /// What of the margin weighs about as much as a degree of another, in the unit of the result: our own choice, for a search.
    pub step: f64,
    /// What it is about, in a list.
    pub about: &'static str,
}

/// What a result is held against.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Limit {
    /// Nought.
    Zero,
    /// A limit with a starting value, asked of every rack.
    Standing(Field),
    /// A limit that is asked where the builder sets it.
    Own(Field),
    /// Nought, for the result is what is left of this reading of the rack.
    LeftOf(Field),
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

/// How a demand's margin goes with the travel of the rack.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Travel {
    /// Met from some travel on.
    More,
    /// Met up to some travel.
    Less,
    /// Either, or both.
    Either,
    /// Not at all: it is met by the choice of the travel per turn.
    ByChoice,
    /// Not at all.
    Nothing,
}

macro_rules! demands {
    ($($(#[doc = $doc:expr])+ $id:ident $finding:literal $result:ident $limit:expr, $sense:ident $travel:ident $step:literal $about:literal;)+) => {
        /// Every demand.
        #[derive(Debug, Clone, Copy, PartialEq, Eq)]
        pub enum DemandId { $($(#[doc = $doc])+ $id,)+ }

        /// The table, in the order in which the demands weigh. Which way the rack steers is not among them: it has no limit and no remedy but one.
        pub const DEMANDS: &[Demand] = &[$(Demand {
            id: DemandId::$id, finding: $finding, result: ResultId::$result, limit: $limit, sense: Sense::$sense, travel: Travel::$travel,
            step: $step, about: $about,
        },)+];
    };
}

use Limit::{LeftOf, Own, Standing, Zero};

demands! {
    /// Both wheels steer the same way.
    Opposed "opposed" SteerRate Zero, SameSign Nothing 1.0 "wheels that steer apart";
    /// The inner wheel turns far enough.
    Lock "lock" LockInner Standing(Field::LockWanted), AtLeast More 1.0 "lock";
    /// Travel is kept before toggle and fold-back.
    Reserve "reserve" ReserveHardware Standing(Field::ReserveWanted), AtLeast Less 1.0 "travel kept before toggle or fold-back";
    /// The inner joints go far enough.
    InnerJoint "inner_joint" InnerJointMargin LeftOf(Field::InnerJointLimit), AtLeast Nothing 1.0 "inner joint";
    /// The outer joints go far enough.
    OuterJoint "outer_joint" OuterJointMargin LeftOf(Field::OuterJointLimit), AtLeast Nothing 1.0 "outer joint";
    /// Rod and arm stay apart.
    Transmission "transmission" TransmissionLeast Standing(Field::TransmissionWanted), AtLeast Less 1.0 "angle between rod and arm";
    /// The inner joints go far enough with the wheels up or down as well.
    InnerJointBumps "inner_joint_bumps" InnerJointBumps LeftOf(Field::InnerJointLimit), AtLeast Nothing 1.0 "inner joint over bumps";
    /// So do the outer ones.
    OuterJointBumps "outer_joint_bumps" OuterJointBumps LeftOf(Field::OuterJointLimit), AtLeast Nothing 1.0 "outer joint over bumps";
    /// Rod and arm stay apart with the wheels up or down as well.
    TransmissionBumps "transmission_bumps" TransmissionBumps Standing(Field::TransmissionWanted), AtLeast Less 1.0
        "angle between rod and arm over bumps";
    /// The housing keeps clear of what is in the way.
    HousingRoom "housing_room" HousingRoom Zero, AtLeast Nothing 1.0 "room beside what is in the way";
    /// The tyres keep clear of frame and crossmember.
    TyreRoom "tyre_room" TyreRoom Standing(Field::TyreRoomMin), AtLeast Less 2.0 "room beside the tyres";
    /// The rod is no shorter than the donor's parts allow.
    RodShortest "rod_length" RodOverShortest LeftOf(Field::RodLengthMin), AtLeast Nothing 1.0 "rod length";
    /// The rod is no longer than the donor's parts allow.
    RodLongest "rod_length" RodUnderLongest LeftOf(Field::RodLengthMax), AtLeast Nothing 1.0 "rod length";
    /// Rods of a typed length leave the wheels near straight.
    Toe "toe" ToeCentre Standing(Field::ToeMax), SizeAtMost Nothing 1.0 "toe at mid-travel";
    /// The wheels keep their toe over bumps.
    BumpSteer "bump_steer" BumpPeak Standing(Field::BumpSteerMax), AtMost Nothing 0.1 "toe change over bumps";
    /// The ratio on centre is not too small.
    RatioMin "ratio_min" RatioCentre Own(Field::RatioMin), AtLeast ByChoice 1.0 "ratio on centre";
    /// The ratio on centre is not too large.
    RatioMax "ratio_max" RatioCentre Own(Field::RatioMax), AtMost ByChoice 1.0 "ratio on centre";
    /// There are turns enough lock to lock.
    TurnsMin "turns_min" Turns Own(Field::TurnsMin), AtLeast ByChoice 1.0 "turns lock to lock";
    /// There are not too many turns lock to lock.
    TurnsMax "turns_max" Turns Own(Field::TurnsMax), AtMost ByChoice 1.0 "turns lock to lock";
    /// Ackermann at lock is not too low.
    AckermannMin "ackermann_min" AckermannAngle Own(Field::AckermannMin), AtLeast Either 4.0 "Ackermann at lock";
    /// Ackermann at lock is not too high.
    AckermannMax "ackermann_max" AckermannAngle Own(Field::AckermannMax), AtMost Either 4.0 "Ackermann at lock";
    /// The circle at the tyre's centre is small enough.
    CircleMax "circle_max" CircleCentre Own(Field::CircleMax), AtMost More 200.0 "circle at the tyre’s centre";
    /// The circle at the tyre's outer edge is small enough.
    CircleEdgeMax "circle_edge_max" CircleEdge Own(Field::CircleEdgeMax), AtMost More 200.0 "circle at the tyre’s outer edge";
    /// The circle wall to wall is small enough.
    WallToWallMax "wall_to_wall_max" WallToWall Own(Field::WallToWallMax), AtMost More 200.0 "circle wall to wall";
}

impl DemandId {
    /// The row of this demand.
    pub fn row(self) -> &'static Demand {
        &DEMANDS[self as usize]
    }
}

impl Demand {
    /// The limit that a builder can set or turn off, if it has one.
    pub fn set_by(&self) -> Option<Field> {
        match self.limit {
            Standing(field) | Own(field) => Some(field),
            Zero | LeftOf(_) => None,
        }
    }

    /// The reading against which the value is told: the limit, or what the value is left of.
    pub fn told_against(&self) -> Option<Field> {
        match self.limit {
            Standing(field) | Own(field) | LeftOf(field) => Some(field),
            Zero => None,
        }
    }

    /// The unit of value, limit and margin.
    pub fn unit(&self) -> ResultUnit {
        self.result.row().unit
    }

    /// By how much a value of one side keeps its limit.
    pub fn margin(&self, value: f64, limit: f64) -> f64 {
        match self.sense {
            Sense::AtLeast | Sense::SameSign => value - limit,
            Sense::AtMost => limit - value,
            Sense::SizeAtMost => limit - value.abs(),
        }
    }
}

/// What a finding is about, in a list; `"room"` is where the car's room ends.
pub fn about(finding: &str) -> &'static str {
    match finding {
        "direction" => "which way it steers",
        "room" => "the room there is",
        _ => DEMANDS.iter().find(|d| d.finding == finding).map_or("something else", |d| d.about),
    }
}

/// A limit that was turned off, among what was not checked.
pub fn turned_off(limit: Field) -> String {
    let what = match DEMANDS.iter().find(|d| d.set_by() == Some(limit)) {
        Some(Demand { id: DemandId::Toe, .. }) => "toe of rods as they are",
        Some(demand) => demand.about,
        None if limit == Field::BumpTravel => "bump steer",
        None => "what is unusual",
    };
    format!("{what} (turned off by you)")
}

/// By how much one demand is kept on one side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Margin {
    /// Of which demand.
    pub demand: DemandId,
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

/// Every margin that can be judged: demands that were turned off, have no limit or lack a reading are left out.
pub fn margins(x: &Inputs, off: FieldSet, results: &Results) -> Vec<Margin> {
    let mut out = Vec::with_capacity(32);
    for d in DEMANDS {
        let limit = match d.set_by() {
            // Of a reserve that was turned off the toggle itself is left, of a tyre's room that it touches.
            Some(field) if off.contains(field) && !LEAVES_NOUGHT.contains(&field) => {
                // So it is of the angle over bumps.
                let toggles = |side: &usize| d.id == DemandId::TransmissionBumps && results.get(d.result, *side) == Ok(0.0);
                out.extend((0..2).filter(toggles).map(|side| Margin { demand: d.id, side, margin: f64::NEG_INFINITY }));
                continue;
            }
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
            if let (Ok(l), Ok(r)) = (results.get(d.result, 0), results.get(d.result, 1)) {
                let side = usize::from(r.abs() < l.abs());
                out.push(Margin { demand: d.id, side, margin: (l * r).signum() * l.abs().min(r.abs()) });
            }
            continue;
        }
        for side in 0..d.result.row().count() {
            match results.get(d.result, side) {
                // By how much a tyre overlaps what it touches nobody says.
                Ok(0.0) if d.id == DemandId::TyreRoom => out.push(Margin { demand: d.id, side, margin: f64::NEG_INFINITY }),
                Ok(v) => out.push(Margin { demand: d.id, side, margin: d.margin(v, limit) }),
                Err(Gap::Missing(_)) => {}
                // No toggle that way: nothing to keep clear of. No lock: its own demand fails, not the angle on the way to it.
                Err(Gap::Unreachable(Why::NoToggle)) => {}
                Err(Gap::Unreachable(_)) if matches!(d.result, ResultId::TransmissionLeast | ResultId::TransmissionBumps) => {}
                Err(Gap::Unreachable(_)) => out.push(Margin { demand: d.id, side, margin: f64::NEG_INFINITY }),
            }
        }
    }
    out
}

impl Margin {
    /// Its ±, 95 %.
    pub fn pm(&self, uncertainties: &Uncertainties) -> f64 {
        uncertainties.pm[Results::index(self.demand().result, self.side)].unwrap_or(0.0)
    }

    /// The finding that speaks of it.
    pub fn finding(&self) -> &'static str {
        self.demand().finding
    }

    /// The demand.
    pub fn demand(&self) -> &'static Demand {
        self.demand.row()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_is_in_order_and_a_limit_stands_in_it_once_and_once_over_bumps() {
        for (i, d) in DEMANDS.iter().enumerate() {
            assert_eq!(d.id as usize, i);
            // But for what is asked again over bumps.
            let later = DEMANDS[i + 1..].iter().filter(|other| d.told_against().is_some() && other.told_against() == d.told_against());
            let again: Vec<&str> = later.map(|d| d.finding).collect();
            assert!(again.is_empty() || again == [format!("{}_bumps", d.finding)], "{}: {again:?}", d.finding);
            // A limit that has a starting value is asked of every rack, and no other one is.
            let starts = d.set_by().is_some_and(|f| crate::plan::inputs::STARTING_LIMITS.iter().any(|s| s.0 == f));
            assert_eq!(matches!(d.limit, Standing(_)), starts, "{}", d.finding);
        }
    }
}
