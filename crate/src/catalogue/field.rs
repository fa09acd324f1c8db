//! The table of everything a builder can type: one row a measurement.
//!
//! A row gives the measurement its name in files, its number in links, what kind of quantity it is,
//! how it is usually measured (hence its ±), how small and large it can be, and, for one with two
//! directions, the two words between which the builder chooses. Nothing else in the project lists
//! the measurements: the file, the link, the page's fields, the ± and the ranges all read this table.

use crate::measurement::quantity::{Method, Quantity, Scale};
use enumset::EnumSetType;

/// The part of the plan to which a measurement belongs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Section {
    /// The car that receives the rack.
    Car,
    /// One donor rack and how it is fitted.
    Rack,
    /// What the builder demands.
    Limits,
}

impl Section {
    /// Every section.
    pub const ALL: [Section; 3] = [Section::Car, Section::Rack, Section::Limits];

    /// Its name in files.
    pub fn name(self) -> &'static str {
        match self {
            Section::Car => "car",
            Section::Rack => "rack",
            Section::Limits => "limits",
        }
    }
}

/// One row of the table.
#[derive(Debug, Clone, Copy)]
pub struct Spec {
    /// Which measurement.
    pub field: Field,
    /// Its part of the plan.
    pub section: Section,
    /// Its number in links: never changed, never used again.
    pub key: u32,
    /// Its name in files.
    pub name: &'static str,
    /// How it is written, measured and bounded.
    pub scale: Scale,
}

macro_rules! fields {
    ($($(#[doc = $doc:expr])+ $field:ident $section:ident $key:literal $name:literal $quantity:ident $method:ident ($lo:literal, $hi:literal) $sides:expr;)+) => {
        /// Every measurement that a plan can hold.
        #[derive(Debug, Hash, PartialOrd, Ord, EnumSetType)]
        pub enum Field { $($(#[doc = $doc])+ $field,)+ }

        /// The table, in the order of [`Field`].
        pub const FIELDS: &[Spec] = &[$(Spec {
            field: Field::$field, section: Section::$section, key: $key, name: $name,
            scale: Scale {
                quantity: Quantity::$quantity, method: Method::$method, range: ($lo, $hi), sides: $sides,
                can_be_off: matches!(Section::$section, Section::Limits),
            },
        },)+];
    };
}

/// Ahead of / behind a reference; X, forward positive.
const FORE_AFT: Option<(&str, &str)> = Some(("ahead", "behind"));
/// Towards / away from the car's centre plane.
const IN_OUT: Option<(&str, &str)> = Some(("inboard", "outboard"));
/// Y, left positive.
const LEFT_RIGHT: Option<(&str, &str)> = Some(("left", "right"));
/// Z, up positive.
const ABOVE_BELOW: Option<(&str, &str)> = Some(("above", "below"));

fields! {
    /// Wheelbase L, wheel centre to wheel centre.
    Wheelbase Car 1 "wheelbase" Length Tape (600.0, 8000.0) None;
    /// Front track, contact centre to contact centre.
    FrontTrack Car 2 "front_track" Length Tape (400.0, 3000.0) None;
    /// Rear track, contact centre to contact centre.
    RearTrack Car 3 "rear_track" Length Tape (300.0, 3000.0) None;
    /// Spacing of the two steering axes where they meet the ground, w_g.
    AxisSpacingGround Car 4 "axis_spacing_at_ground" Length ChalkLine (250.0, 2900.0) None;
    /// Scrub radius at the ground, positive when the axis meets it inboard of the contact centre.
    ScrubRadius Car 5 "scrub_radius" Length Tape (0.0, 300.0) IN_OUT;
    /// Spacing of the two steering axes at the height of the outer rod ends, w_r.
    AxisSpacingRodEnd Car 6 "axis_spacing_at_rod_end" Length Tape (250.0, 2900.0) None;
    /// Spacing of the two outer rod ends, wheels straight ahead.
    RodEndSpacing Car 7 "rod_end_spacing" Length Tape (150.0, 2900.0) None;
    /// Kingpin inclination, top inboard.
    KingpinInclination Car 8 "kingpin_inclination" Angle AngleFinder (0.0, 35.0) None;
    /// Height of the outer rod ends above the ground.
    RodEndHeight Car 9 "rod_end_height" Length Tape (0.0, 1200.0) None;
    /// Tie-rod end fore and aft of the steering axis, at rod-end height, e.
    ArmForeAft Car 10 "arm_fore_aft" Length Tape (0.0, 500.0) FORE_AFT;
    /// Tie-rod end inboard of the steering axis, at rod-end height, f.
    ArmInboard Car 11 "arm_inboard" Length Tape (0.0, 300.0) IN_OUT;
    /// Length of the steering arm from axis to rod end, square to the axis: an alternative to the two above.
    ArmLength Car 12 "arm_length" Length Tape (20.0, 500.0) FORE_AFT;
    /// Angle of the steering arm from straight fore and aft: goes with the arm's length.
    ArmAngle Car 13 "arm_angle" Angle AngleFinder (0.0, 80.0) IN_OUT;
    /// As `ArmForeAft`, for the right wheel where it differs.
    RightArmForeAft Car 14 "right_arm_fore_aft" Length Tape (0.0, 500.0) FORE_AFT;
    /// As `ArmInboard`, for the right wheel where it differs.
    RightArmInboard Car 15 "right_arm_inboard" Length Tape (0.0, 300.0) IN_OUT;
    /// Section width of the front tyre.
    TyreWidth Car 16 "tyre_width" Length Tape (40.0, 600.0) None;
    /// Section width of the rear tyre, where it differs.
    RearTyreWidth Car 17 "rear_tyre_width" Length Tape (40.0, 600.0) None;
    /// How far a front body corner stands ahead of the front wheel centres.
    CornerAhead Car 18 "corner_ahead" Length Tape (0.0, 2500.0) None;
    /// Width of the body there, corner to corner.
    CornerWidth Car 19 "corner_width" Length Tape (200.0, 3500.0) None;
    /// As `CornerAhead`, a second corner.
    SecondCornerAhead Car 20 "second_corner_ahead" Length Tape (0.0, 2500.0) None;
    /// As `CornerWidth`, the second corner.
    SecondCornerWidth Car 21 "second_corner_width" Length Tape (200.0, 3500.0) None;
    /// One end of the room for a rack: a rack line may sit from here, fore and aft of the line through the two outer rod ends.
    RackLineFrom Car 22 "rack_line_from" Length Exact (0.0, 500.0) FORE_AFT;
    /// The other end of that room; either may be the foremost.
    RackLineTo Car 23 "rack_line_to" Length Exact (0.0, 500.0) FORE_AFT;
    /// Caster, top of the steering axis rearward positive.
    Caster Car 40 "caster" Angle AngleFinder (0.0, 20.0) Some(("rearward", "forward"));

    /// Bar travel per turn of the pinion, c.
    TravelPerTurn Rack 1 "travel_per_turn" Length TapeOverTwoTurns (5.0, 200.0) None;
    /// Total bar travel T, end to end.
    Travel Rack 2 "travel" Length Tape (20.0, 500.0) None;
    /// Turns of the shaft, end to end.
    Turns Rack 3 "turns" Turns CountedTurns (0.2, 15.0) None;
    /// Spacing of the inner joints, S.
    InnerJointSpacing Rack 4 "inner_joint_spacing" Length Tape (40.0, 2000.0) None;
    /// Which way the bar goes when the shaft is turned for a left turn, held as it will sit.
    BarMoves Rack 5 "bar_moves" Choice Exact (0.0, 0.0) LEFT_RIGHT;
    /// Rack line (through the inner joints) fore and aft of the line through the two outer rod ends.
    RackLine Rack 6 "rack_line" Length Tape (0.0, 500.0) FORE_AFT;
    /// Mid-point of the inner joints off the car's centre plane, at mid-travel.
    Offset Rack 7 "offset" Length Tape (0.0, 300.0) LEFT_RIGHT;
    /// Inner joints above or below the outer rod ends.
    Height Rack 8 "height" Length Tape (0.0, 300.0) ABOVE_BELOW;
    /// Stop that ends the travel to the left, from mid-travel.
    StopLeft Rack 9 "stop_left" Length Tape (1.0, 250.0) None;
    /// Stop that ends the travel to the right, from mid-travel.
    StopRight Rack 10 "stop_right" Length Tape (1.0, 250.0) None;
    /// Length of the rods that will be used, joint centre to joint centre; without it the rods are made to measure.
    RodLength Rack 11 "rod_length" Length Tape (30.0, 1500.0) None;
    /// Shortest rod that the donor's parts allow.
    RodLengthMin Rack 12 "rod_length_min" Length Tape (30.0, 1500.0) None;
    /// Longest rod that the donor's parts allow.
    RodLengthMax Rack 13 "rod_length_max" Length Tape (30.0, 1500.0) None;
    /// Largest angle between rod and rack axis that the inner joint allows.
    InnerJointLimit Rack 14 "inner_joint_limit" Angle AngleFinder (1.0, 90.0) None;
    /// Largest tilt that the outer joint allows.
    OuterJointLimit Rack 15 "outer_joint_limit" Angle AngleFinder (1.0, 90.0) None;
    /// How far the bar moves over two turns of the pinion: twice c, an alternative to travel per turn.
    TravelTwoTurns Rack 16 "travel_two_turns" Length Tape (10.0, 400.0) None;

    /// Wanted angle of the inner wheel at each lock.
    LockWanted Limits 1 "lock_inner" Angle Exact (1.0, 80.0) None;
    /// Rack travel to keep before a toggle or fold-back.
    ReserveWanted Limits 2 "reserve" Length Exact (0.0, 100.0) None;
    /// Smallest transmission angle at lock.
    TransmissionWanted Limits 3 "transmission_angle" Angle Exact (0.0, 90.0) None;
    /// Smallest steering ratio on centre.
    RatioMin Limits 4 "ratio_min" Number Exact (1.0, 200.0) None;
    /// Largest steering ratio on centre.
    RatioMax Limits 5 "ratio_max" Number Exact (1.0, 200.0) None;
    /// Fewest turns lock to lock.
    TurnsMin Limits 6 "turns_min" Turns Exact (0.1, 15.0) None;
    /// Most turns lock to lock.
    TurnsMax Limits 7 "turns_max" Turns Exact (0.1, 15.0) None;
    /// Smallest Ackermann percentage at lock, by angle difference.
    AckermannMin Limits 8 "ackermann_min" Percent Exact (-200.0, 400.0) None;
    /// Largest Ackermann percentage at lock, by angle difference.
    AckermannMax Limits 9 "ackermann_max" Percent Exact (-200.0, 400.0) None;
    /// Largest turning circle at the tyre's centre.
    CircleMax Limits 10 "circle_max" Circle Exact (2000.0, 60000.0) None;
    /// Largest turning circle at the tyre's outer edge.
    CircleEdgeMax Limits 11 "circle_edge_max" Circle Exact (2000.0, 60000.0) None;
    /// Largest turning circle wall to wall.
    WallToWallMax Limits 12 "wall_to_wall_max" Circle Exact (2000.0, 60000.0) None;
    /// Largest toe of a wheel that rods of a typed length may make at mid-travel.
    ToeMax Limits 13 "toe_max" Angle Exact (0.0, 30.0) None;

    /// Below this a steering ratio on centre is unusual.
    UsualRatioMin Limits 60 "usual_ratio_min" Number Exact (1.0, 200.0) None;
    /// Above this a steering ratio on centre is unusual.
    UsualRatioMax Limits 61 "usual_ratio_max" Number Exact (1.0, 200.0) None;
    /// Fewer turns lock to lock are unusual.
    UsualTurnsMin Limits 62 "usual_turns_min" Turns Exact (0.1, 15.0) None;
    /// More turns lock to lock are unusual.
    UsualTurnsMax Limits 63 "usual_turns_max" Turns Exact (0.1, 15.0) None;
    /// A smaller circle at the tyre’s centre is unusual.
    UsualCircleMin Limits 64 "usual_circle_min" Circle Exact (2000.0, 60000.0) None;
    /// A larger circle at the tyre’s centre is unusual.
    UsualCircleMax Limits 65 "usual_circle_max" Circle Exact (2000.0, 60000.0) None;
    /// A lower Ackermann percentage at lock is unusual.
    UsualAckermannMin Limits 66 "usual_ackermann_min" Percent Exact (-1000.0, 1000.0) None;
    /// A higher Ackermann percentage at lock is unusual.
    UsualAckermannMax Limits 67 "usual_ackermann_max" Percent Exact (-1000.0, 1000.0) None;
    /// A scrub radius further outboard is unusual.
    UsualScrubMin Limits 68 "usual_scrub_min" Length Exact (0.0, 1000.0) IN_OUT;
    /// A scrub radius further inboard is unusual.
    UsualScrubMax Limits 69 "usual_scrub_max" Length Exact (0.0, 1000.0) IN_OUT;
    /// Shorter tie rods are unusual.
    UsualRodMin Limits 70 "usual_rod_min" Length Exact (10.0, 1500.0) None;
    /// Longer tie rods are unusual.
    UsualRodMax Limits 71 "usual_rod_max" Length Exact (10.0, 1500.0) None;
    /// A smaller wheelbase over track is unusual.
    UsualWheelbaseMin Limits 72 "usual_wheelbase_min" Number Exact (0.5, 10.0) None;
    /// A larger wheelbase over track is unusual.
    UsualWheelbaseMax Limits 73 "usual_wheelbase_max" Number Exact (0.5, 10.0) None;
    /// Tie rods tilted further out of level at mid-travel are unusual.
    UsualTiltMax Limits 74 "usual_tilt_max" Angle Exact (1.0, 90.0) None;
    /// A larger ± as a share of its reading is unusual.
    UsualTolerance Limits 75 "usual_tolerance" Percent Exact (0.1, 100.0) None;
}

// Numbers kept free for what comes later, so that the format need never move a wall:
//   Car     30–39 tyre diameter, axle load, tyre pressure, steering wheel; 41–59 toe, camber, column;
//           60–127 suspension points
//   Rack    30–39 rated force, peak and idle current, mass, price; 40–59 travel at several turn counts (variable rate)
//   Limits  30–59 bump steer, effort, feed
// A plan holds besides: 1–9 of its own parts, 10–29 readings as built, old steering.

/// How many rows the table has.
pub const FIELD_COUNT: usize = FIELDS.len();

impl Field {
    /// The row of this measurement.
    pub fn spec(self) -> &'static Spec {
        &FIELDS[self as usize]
    }

    /// The measurement of that name in that part of the plan.
    pub fn named(section: Section, name: &str) -> Option<Field> {
        FIELDS.iter().find(|s| s.section == section && s.name == name).map(|s| s.field)
    }

    /// The measurement of that number in that part of a link.
    pub fn keyed(section: Section, key: u32) -> Option<Field> {
        FIELDS.iter().find(|s| s.section == section && s.key == key).map(|s| s.field)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_is_in_order_and_says_nothing_twice() {
        for (i, a) in FIELDS.iter().enumerate() {
            assert_eq!(a.field as usize, i);
            assert!(a.scale.range.0 <= a.scale.range.1);
            for b in &FIELDS[i + 1..] {
                assert!(a.section != b.section || (a.key != b.key && a.name != b.name), "{}", b.name);
            }
        }
    }
}
