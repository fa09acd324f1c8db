//! The table of everything that is answered: one row a result.
//!
//! A row gives the result its name (in the command line's output, on the page, in tests), its unit, and what its two sides are.

use crate::catalogue::field_set::FieldSet;
use crate::catalogue::value::{Gap, Trace, Traced, Value, Why};
use crate::measurement::quantity::ResultUnit;

/// What the two values of a result stand for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sides {
    /// One value only.
    One,
    /// Left and right wheel.
    Wheel,
    /// Rack displaced to the left and to the right.
    Rack,
    /// Lock left and lock right.
    Lock,
}

/// One row of the table.
#[derive(Debug, Clone, Copy)]
pub struct Row {
    /// Which result.
    pub name: ResultId,
    /// Its name outside the program.
    pub key: &'static str,
    /// Its unit.
    pub unit: ResultUnit,
    /// What its sides are.
    pub sides: Sides,
    /// Which way is better, where one is.
    pub better: Better,
}

/// Which way a result is better.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Better {
    /// The larger, the better.
    More,
    /// The smaller, the better.
    Less,
    /// Neither is better by itself.
    Neither,
}

impl Better {
    /// Whether `a` is better than `b`.
    pub fn prefers(self, a: f64, b: f64) -> bool {
        match self {
            Better::More => a > b,
            Better::Less => a < b,
            Better::Neither => false,
        }
    }
}

macro_rules! results {
    ($($(#[doc = $doc:expr])+ $name:ident $key:literal $unit:ident $sides:ident $better:ident;)+) => {
        /// Every result.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
        pub enum ResultId { $($(#[doc = $doc])+ $name,)+ }
        /// The table, in the order of [`ResultId`].
        pub const RESULTS: &[Row] = &[$(Row { name: ResultId::$name, key: $key, unit: ResultUnit::$unit, sides: Sides::$sides, better: Better::$better },)+];
    };
}

results! {
    /// Bar travel per turn of the pinion, c: measured, or travel by turns.
    TravelPerTurn "travel_per_turn" Mm One Neither;
    /// Total bar travel T: measured, or travel per turn times turns.
    Travel "travel" Mm One Neither;
    /// Turns of the bare rack, end to end: T/c.
    TurnsBare "turns_bare" Turns One Less;
    /// Spacing of the steering axes at the ground, w_g.
    AxisSpacingGround "axis_spacing_at_ground" Mm One Neither;
    /// Spacing of the steering axes at the height of the outer rod ends, w_r.
    AxisSpacingRodEnd "axis_spacing_at_rod_end" Mm One Neither;
    /// Scrub radius, positive when the axis meets the ground inboard of the contact centre.
    ScrubRadius "scrub_radius" Mm One Neither;
    /// Length of the steering arm, axis to rod end.
    ArmLength "arm_length" Mm Wheel Neither;
    /// Angle of the steering arm from straight fore and aft, inboard positive.
    ArmAngle "arm_angle" Deg Wheel Neither;
    /// Where the line from the steering axis through the rod end meets the centre plane, as a share of the wheelbase behind the axle.
    ChalkLine "chalk_line" Percent One Neither;
    /// Length of the tie rod between joint centres.
    RodLength "rod_length" Mm Wheel Neither;
    /// Angle between tie rod and rack at mid-travel.
    RodAngle "rod_angle" Deg Wheel Neither;
    /// Length of the tie rod that stands the wheel straight ahead with the rack at mid-travel.
    RodLengthStraight "rod_length_straight" Mm Wheel Neither;
    /// Toe of the wheel at mid-travel, toe-in positive: nought unless the rod's length was typed.
    ToeCentre "toe_centre" Deg Wheel Neither;
    /// Tilt of the tie rod out of level at mid-travel.
    RodTilt "rod_tilt" Deg Wheel Less;
    /// A first ratio from travel per turn and arm alone, rods taken as square to the car.
    RatioFirst "ratio_first" Ratio One Less;
    /// Overall steering ratio on centre (ISO 8855).
    RatioCentre "ratio_centre" Ratio One Less;
    /// Steering-wheel angle to lock by mean steer angle at lock.
    RatioLock "ratio_lock" Ratio Lock Less;
    /// Rack travel per degree of mean steer angle on centre.
    RackPerDegree "rack_per_degree" MmPerDeg One Neither;
    /// Steer of the wheel per millimetre of rack on centre.
    SteerRate "steer_rate" DegPerMm Wheel Neither;
    /// Rack displacement at which the left wheel's linkage locks in line.
    ToggleLeftWheel "toggle_left_wheel" Mm Rack Neither;
    /// As `ToggleLeftWheel`, right wheel.
    ToggleRightWheel "toggle_right_wheel" Mm Rack Neither;
    /// Rack displacement at which the left wheel begins to come back.
    FoldBackLeftWheel "fold_back_left_wheel" Mm Rack Neither;
    /// As `FoldBackLeftWheel`, right wheel.
    FoldBackRightWheel "fold_back_right_wheel" Mm Rack Neither;
    /// Usable rack travel from mid-travel.
    UsableTravel "usable_travel" Mm Rack More;
    /// Turns lock to lock over the usable travel.
    Turns "turns" Turns One Less;
    /// Rack travel kept before toggle or fold-back where the usable travel ends.
    Reserve "reserve" Mm Rack More;
    /// The same where the hardware ends: rack end or typed stop, whichever comes first.
    ReserveHardware "reserve_hardware" Mm Rack More;
    /// Rack travel kept before an inner joint meets its limit, where the hardware ends.
    InnerJointReserve "inner_joint_reserve" Mm Rack More;
    /// Rack travel kept before an outer joint meets its limit, where the hardware ends.
    OuterJointReserve "outer_joint_reserve" Mm Rack More;
    /// Limit of the inner joints less the largest angle of either, from mid-travel to where the hardware ends.
    InnerJointMargin "inner_joint_margin" Deg Rack More;
    /// Limit of the outer joints less the largest tilt of either, likewise.
    OuterJointMargin "outer_joint_margin" Deg Rack More;
    /// Rod length over the shortest that the donor's parts allow.
    RodOverShortest "rod_over_shortest" Mm Wheel More;
    /// Longest rod that the donor's parts allow, over the rod length.
    RodUnderLongest "rod_under_longest" Mm Wheel More;
    /// Angle at which the inner wheel points at lock.
    LockInner "lock_inner" Deg Lock More;
    /// Angle at which the outer wheel points at lock.
    LockOuter "lock_outer" Deg Lock More;
    /// Outer wheel's angle for ideal Ackermann at that inner angle.
    IdealOuter "ideal_outer" Deg Lock Neither;
    /// Toe-out on turns at lock: inner less outer angle.
    ToeOutLock "toe_out_lock" Deg Lock Neither;
    /// Ackermann percentage at lock by angle difference.
    AckermannAngle "ackermann_angle" Percent Lock More;
    /// Ackermann percentage at lock by cotangent.
    AckermannCotangent "ackermann_cotangent" Percent Lock More;
    /// What both Ackermann measures tend to at small angles.
    AckermannLimit "ackermann_limit" Percent One Neither;
    /// Transmission angle of the inner wheel at lock.
    TransmissionInner "transmission_inner" Deg Lock More;
    /// Transmission angle of the outer wheel at lock.
    TransmissionOuter "transmission_outer" Deg Lock More;
    /// Smallest transmission angle of either wheel from mid-travel to lock.
    TransmissionLeast "transmission_least" Deg Lock More;
    /// Largest angle of the inner joint over the usable travel.
    InnerJoint "inner_joint" Deg Wheel Less;
    /// Largest tilt of the rod out of the plane square to the outer joint's stud over the usable travel.
    OuterJoint "outer_joint" Deg Wheel Less;
    /// Turning circle at the tyre's centre, both wheels agreeing half-way.
    CircleCentre "circle_centre" Circle Lock Less;
    /// The same if the outer wheel alone ruled: the turning diameter of SAE J695.
    CircleOuterRules "circle_outer_rules" Circle Lock Less;
    /// The same if the inner wheel alone ruled.
    CircleInnerRules "circle_inner_rules" Circle Lock Less;
    /// Turning circle at the tyre's outer edge: what must clear a kerb.
    CircleEdge "circle_edge" Circle Lock Less;
    /// Turning circle wall to wall: by the body's corners, and no less than at the tyre's outer edge.
    WallToWall "wall_to_wall" Circle Lock Less;
    /// Circle of the inner rear tyre's inner edge.
    RearInnerEdge "rear_inner_edge" Circle Lock Neither;
}

/// How many values a [`Results`] holds: two for each row.
pub const VALUE_COUNT: usize = RESULTS.len() * 2;

/// The value of every result for one rack, in the units of the table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Results {
    values: [Value; VALUE_COUNT],
    traces: [Trace; VALUE_COUNT],
}

impl Results {
    /// A sheet on which nothing stands yet.
    pub fn empty() -> Results {
        Results { values: [Err(Gap::Missing(FieldSet::empty())); VALUE_COUNT], traces: [Trace::default(); VALUE_COUNT] }
    }

    /// The place of a value: `side` 0 is the only, or the left one, 1 the right one.
    pub const fn index(name: ResultId, side: usize) -> usize {
        name as usize * 2 + side
    }

    /// The value of a result; `side` as in [`Results::index`].
    pub fn get(&self, name: ResultId, side: usize) -> Value {
        self.values[Results::index(name, side)]
    }

    /// All values, by [`Results::index`].
    pub fn values(&self) -> &[Value; VALUE_COUNT] {
        &self.values
    }

    /// A result with what it was made from.
    pub fn traced(&self, name: ResultId, side: usize) -> Traced {
        Traced { value: self.get(name, side), trace: self.trace(name, side) }
    }

    /// What a result was made from.
    pub fn trace(&self, name: ResultId, side: usize) -> Trace {
        self.traces[Results::index(name, side)]
    }

    /// Notes a result; what is not finite is no value.
    pub(crate) fn set(&mut self, name: ResultId, side: usize, result: Traced) {
        let place = Results::index(name, side);
        self.traces[place] = result.trace;
        self.values[place] = match result.value {
            Ok(x) if !x.is_finite() => Err(Gap::Unreachable(Why::NoTurn)),
            v => v,
        };
    }
}

impl Row {
    /// Whether its values cannot be negative, so that a larger ± is told by its two ends.
    pub fn never_negative(&self) -> bool {
        use ResultId::*;
        !matches!(
            self.name,
            ScrubRadius
                | ArmAngle
                | ChalkLine
                | ToeCentre
                | RackPerDegree
                | SteerRate
                | ToggleLeftWheel
                | ToggleRightWheel
                | FoldBackLeftWheel
                | FoldBackRightWheel
                | Reserve
                | ReserveHardware
                | InnerJointReserve
                | OuterJointReserve
                | InnerJointMargin
                | OuterJointMargin
                | RodOverShortest
                | RodUnderLongest
                | LockInner
                | LockOuter
                | ToeOutLock
                | AckermannAngle
                | AckermannCotangent
                | AckermannLimit
        )
    }

    /// How many values the row has.
    pub fn count(&self) -> usize {
        if self.sides == Sides::One { 1 } else { 2 }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_is_in_order_and_says_nothing_twice() {
        for (i, a) in RESULTS.iter().enumerate() {
            assert_eq!(a.name as usize, i);
            assert!(RESULTS[i + 1..].iter().all(|b| b.key != a.key));
        }
    }
}
