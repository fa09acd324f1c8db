//! The table of everything a builder can type: one row a measurement.
//!
//! A row gives the measurement its name in files, its number in links, what kind of quantity it is,
//! how it is usually measured (hence its ±), how small and large it can be, and, for one with two
//! directions, the two words between which the builder chooses; then what it is called, where the tape
//! goes (`hint`), and how a sentence asks for it (`ask`), where the label does not do. Nothing else in the project lists
//! the measurements: the file, the link, the page's fields, the ± and the ranges all read this table.

use crate::measurement::quantity::{Method, Quantity, Scale};

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

    /// Whether its entries are read off a car or a rack, with a ±; else they are asked for.
    pub fn is_measured(self) -> bool {
        match self {
            Section::Car | Section::Rack => true,
            Section::Limits => false,
        }
    }

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
    /// What it is called.
    pub label: &'static str,
    /// It in a sentence that asks for it; where another one would do as well, that too.
    pub ask: &'static str,
}

macro_rules! fields {
    ($(
        $(#[doc = $doc:expr])+
        $field:ident $section:ident $key:literal $name:literal $quantity:ident $method:ident ($lo:literal, $hi:literal) $sides:expr,
        label $label:literal $(hint $hint:literal)? $(ask $ask:literal)?;
    )+ points {$(
        $(#[doc = $joint_doc:expr])+
        $joint:ident $base:literal $joint_name:literal $joint_label:literal $joint_ask:literal [$x:ident $y:ident $z:ident] [$right_x:ident $right_y:ident $right_z:ident];
    )+}) => {
        /// Every measurement that a plan can hold.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
        pub enum Field {
            $($(#[doc = $doc])+ $field,)+
            $(
                #[doc = concat!($joint_label, ", X.")] $x, #[doc = concat!($joint_label, ", Y.")] $y, #[doc = concat!($joint_label, ", Z.")] $z,
                #[doc = concat!($joint_label, " on the right, X.")] $right_x, #[doc = concat!($joint_label, " on the right, Y.")] $right_y,
                #[doc = concat!($joint_label, " on the right, Z.")] $right_z,
            )+
        }

        /// The points of the suspension and the steering that are measured along, across and up.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
        pub enum Joint { $($(#[doc = $joint_doc])+ $joint,)+ }

        impl Joint {
            /// Every joint, in the order of the table.
            pub const ALL: &[Joint] = &[$(Joint::$joint,)+];

            /// What it is called.
            pub fn label(self) -> &'static str {
                match self { $(Joint::$joint => $joint_label,)+ }
            }

            /// The joint of which that is a coordinate.
            pub fn of(field: Field) -> Option<Joint> {
                Joint::ALL.iter().copied().find(|joint| joint.fields().as_flattened().contains(&field))
            }

            /// The coordinate on the left that one on the right stands in for.
            pub fn mirrored(field: Field) -> Option<Field> {
                Joint::ALL.iter().find_map(|joint| {
                    let [left, right] = joint.fields();
                    right.iter().position(|f| *f == field).map(|axis| left[axis])
                })
            }

            /// Its three measurements along X, Y and Z: on the left, and on the right where that was measured by itself.
            pub fn fields(self) -> [[Field; 3]; 2] {
                match self { $(Joint::$joint => [[Field::$x, Field::$y, Field::$z], [Field::$right_x, Field::$right_y, Field::$right_z]],)+ }
            }
        }

        /// The table, in the order of [`Field`].
        pub const FIELDS: &[Spec] = &[$(Spec {
            field: Field::$field, section: Section::$section, key: $key, name: $name, label: $label, ask: [$($ask,)? $label][0],
            scale: Scale {
                quantity: Quantity::$quantity, method: Method::$method, range: ($lo, $hi), sides: $sides,
                can_be_off: matches!(Section::$section, Section::Limits),
            },
        },)+ $(
            along(Field::$x, $base, concat!($joint_name, "_x"), concat!($joint_label, ", along"), $joint_ask),
            across(Field::$y, $base + 1, concat!($joint_name, "_y"), concat!($joint_label, ", across"), $joint_ask),
            up(Field::$z, $base + 2, concat!($joint_name, "_z"), concat!($joint_label, ", up"), $joint_ask),
            along(Field::$right_x, $base + 30, concat!("right_", $joint_name, "_x"), concat!("Right: ", $joint_label, ", along"), $joint_ask),
            across(Field::$right_y, $base + 31, concat!("right_", $joint_name, "_y"), concat!("Right: ", $joint_label, ", across"), $joint_ask),
            up(Field::$right_z, $base + 32, concat!("right_", $joint_name, "_z"), concat!("Right: ", $joint_label, ", up"), $joint_ask),
        )+];

        /// What each is, by [`Field`], as its row says.
        const MEANINGS: &[&str] = &[
            $(concat!($($doc),+),)+
            $(
                concat!($($joint_doc),+, " X."), concat!($($joint_doc),+, " Y."), concat!($($joint_doc),+, " Z."),
                concat!($($joint_doc),+, " X on the right, where it was measured by itself."),
                concat!($($joint_doc),+, " Y on the right, where it was measured by itself."),
                concat!($($joint_doc),+, " Z on the right, where it was measured by itself."),
            )+
        ];

        /// Where the tape goes, by [`Field`]; empty where the label says it. Apart from the rows, so that the WebAssembly is spared it.
        const HINTS: &[&str] = &[
            $(concat!($($hint)?),)+
            $({ let _ = $base; ALONG }, ACROSS, UP, ALONG, ACROSS, UP,)+
        ];
    };
}

/// How each coordinate of a point is measured.
const ALONG: &str = "from the chalk line across the car under the wheel centres, plumbed to the floor";
const ACROSS: &str = "from the chalk line along the middle of the car, plumbed to the floor";
const UP: &str = "above the floor, or above the level that you take for it";

/// A row for one coordinate of a point. What stands below the floor, or beyond the middle of the car, is no point of a suspension.
const fn point(field: Field, key: u32, [name, label, ask]: [&'static str; 3], sides: Option<(&'static str, &'static str)>) -> Spec {
    let scale = Scale { quantity: Quantity::Length, method: Method::Tape, range: (0.0, 1500.0), sides, can_be_off: false };
    Spec { field, section: Section::Car, key, name, label, ask, scale }
}

const fn along(field: Field, key: u32, name: &'static str, label: &'static str, ask: &'static str) -> Spec {
    point(field, key, [name, label, ask], FORE_AFT)
}

const fn across(field: Field, key: u32, name: &'static str, label: &'static str, ask: &'static str) -> Spec {
    point(field, key, [name, label, ask], None)
}

const fn up(field: Field, key: u32, name: &'static str, label: &'static str, ask: &'static str) -> Spec {
    point(field, key, [name, label, ask], None)
}

/// Ahead of / behind a reference; X, forward positive.
pub const FORE_AFT: Option<(&str, &str)> = Some(("ahead", "behind"));
/// Towards / away from the car's centre plane.
const IN_OUT: Option<(&str, &str)> = Some(("inboard", "outboard"));
/// Y, left positive.
const LEFT_RIGHT: Option<(&str, &str)> = Some(("left", "right"));
/// Z, up positive.
const ABOVE_BELOW: Option<(&str, &str)> = Some(("above", "below"));

fields! {
    /// Wheelbase L, wheel centre to wheel centre.
    Wheelbase Car 1 "wheelbase" Length Tape (600.0, 8000.0) None,
        label "Wheelbase" hint "front hub centre to rear hub centre, wheels straight" ask "the wheelbase";
    /// Front track, contact centre to contact centre.
    FrontTrack Car 2 "front_track" Length Tape (400.0, 3000.0) None,
        label "Front track" hint "middle of one front tyre to middle of the other, on the floor" ask "the front track";
    /// Rear track, contact centre to contact centre.
    RearTrack Car 3 "rear_track" Length Tape (300.0, 3000.0) None,
        label "Rear track" hint "middle of one rear tyre to middle of the other, on the floor" ask "the rear track";
    /// Spacing of the two steering axes where they meet the ground, w_g.
    AxisSpacingGround Car 4 "axis_spacing_at_ground" Length ChalkLine (250.0, 2900.0) None,
        label "Steering axes at the ground" hint "sight down both ball joints or kingpins, mark the floor, measure between the marks"
        ask "the steering axes’ spacing at the ground or the tie-rod ends’ spacing";
    /// Scrub radius at the ground, positive when the axis meets it inboard of the contact centre.
    ScrubRadius Car 5 "scrub_radius" Length Tape (0.0, 300.0) IN_OUT,
        label "Scrub radius" hint "from that floor mark to the middle of the tyre; inboard when the mark is nearer the car’s middle";
    /// Spacing of the two steering axes at the height of the outer rod ends, w_r.
    AxisSpacingRodEnd Car 6 "axis_spacing_at_rod_end" Length Tape (250.0, 2900.0) None,
        label "Steering axes at rod-end height" hint "between the two axes, at the height of the tie-rod ends";
    /// Spacing of the two outer rod ends, wheels straight ahead.
    RodEndSpacing Car 7 "rod_end_spacing" Length Tape (150.0, 2900.0) None,
        label "Spacing of the tie-rod ends" hint "joint centre to joint centre across the car, wheels straight";
    /// Kingpin inclination, top inboard.
    KingpinInclination Car 8 "kingpin_inclination" Angle AngleFinder (0.0, 35.0) None,
        label "Kingpin inclination" hint "lean of the steering axis, top inboard, seen from the front";
    /// Height of the outer rod ends above the ground.
    RodEndHeight Car 9 "rod_end_height" Length Tape (0.0, 1200.0) None,
        label "Height of the tie-rod ends" hint "floor to the centre of the tie-rod end";
    /// Tie-rod end fore and aft of the steering axis, at rod-end height, e.
    ArmForeAft Car 10 "arm_fore_aft" Length Tape (0.0, 500.0) FORE_AFT,
        label "Tie-rod end from the steering axis, fore and aft" hint "plumb both at the tie-rod end’s height, measure along the car"
        ask "the tie-rod end’s distance ahead of or behind the steering axis";
    /// Tie-rod end inboard of the steering axis, at rod-end height, f.
    ArmInboard Car 11 "arm_inboard" Length Tape (0.0, 300.0) IN_OUT,
        label "Tie-rod end from the steering axis, sideways" hint "plumb both at the tie-rod end’s height, measure across the car"
        ask "the tie-rod end’s distance inboard or outboard of the steering axis";
    /// Length of the steering arm from axis to rod end, square to the axis: an alternative to the two above.
    ArmLength Car 12 "arm_length" Length Tape (20.0, 500.0) FORE_AFT,
        label "Steering arm length" hint "axis to tie-rod end, seen from above: instead of the two distances";
    /// Angle of the steering arm from straight fore and aft: goes with the arm’s length.
    ArmAngle Car 13 "arm_angle" Angle AngleFinder (0.0, 80.0) IN_OUT,
        label "Steering arm angle" hint "from straight fore and aft: goes with the arm’s length";
    /// As `ArmForeAft`, for the right wheel where it differs.
    RightArmForeAft Car 14 "right_arm_fore_aft" Length Tape (0.0, 500.0) FORE_AFT,
        label "Right tie-rod end, fore and aft" hint "only where the right arm differs from the left one";
    /// As `ArmInboard`, for the right wheel where it differs.
    RightArmInboard Car 15 "right_arm_inboard" Length Tape (0.0, 300.0) IN_OUT,
        label "Right tie-rod end, sideways" hint "only where the right arm differs from the left one";
    /// Section width of the front tyre.
    TyreWidth Car 16 "tyre_width" Length Tape (40.0, 600.0) None,
        label "Front tyre section width" hint "bulge to bulge, or the first figure on the sidewall" ask "the tyre’s section width";
    /// Section width of the rear tyre, where it differs.
    RearTyreWidth Car 17 "rear_tyre_width" Length Tape (40.0, 600.0) None,
        label "Rear tyre section width" hint "only where it differs from the front";
    /// How far a front body corner stands ahead of the front wheel centres.
    CornerAhead Car 18 "corner_ahead" Length Tape (0.0, 2500.0) None,
        label "Front body corner" hint "how far it stands ahead of the front hub centres" ask "a front body corner and the width there";
    /// Width of the body there, corner to corner.
    CornerWidth Car 19 "corner_width" Length Tape (200.0, 3500.0) None,
        label "Body width there" hint "corner to corner" ask "a front body corner and the width there";
    /// As `CornerAhead`, a second corner.
    SecondCornerAhead Car 20 "second_corner_ahead" Length Tape (0.0, 2500.0) None,
        label "Second body corner" hint "how far it stands ahead of the front hub centres";
    /// As `CornerWidth`, the second corner.
    SecondCornerWidth Car 21 "second_corner_width" Length Tape (200.0, 3500.0) None,
        label "Body width at the second corner" hint "corner to corner";
    /// One end of the room for a rack: a rack line may sit from here, fore and aft of the line through the two outer rod ends.
    RackLineFrom Car 22 "rack_line_from" Length Exact (0.0, 500.0) FORE_AFT,
        label "A rack could sit from" hint "one end of the free room, from the line through both tie-rod ends; empty: 150 mm (6 in) ahead";
    /// The other end of that room; either may be the foremost. An absent one is taken as 150 mm that way.
    RackLineTo Car 23 "rack_line_to" Length Exact (0.0, 500.0) FORE_AFT,
        label "A rack could sit to" hint "the other end; empty: 150 mm (6 in) behind";
    /// Caster, top of the steering axis rearward positive.
    Caster Car 40 "caster" Angle AngleFinder (0.0, 20.0) Some(("rearward", "forward")),
        label "Caster" hint "lean of the steering axis, top rearward or forward, seen from the side";
    /// Static toe of each front wheel at ride height.
    StaticToe Car 41 "toe" Angle AngleFinder (0.0, 5.0) Some(("in", "out")),
        label "Toe of a front wheel" hint "as it stands at ride height, each wheel by itself";
    /// Static camber of each front wheel at ride height.
    StaticCamber Car 42 "camber" Angle AngleFinder (0.0, 10.0) Some(("top out", "top in")),
        label "Camber of a front wheel" hint "lean of the wheel seen from the front, at ride height";
    /// Inner face of the frame rail where the rods pass, from the middle of the car.
    RailInner Car 124 "rail_inner" Length Tape (10.0, 1200.0) None,
        label "Frame rail, inner face" hint "from the middle of the car, where the rod passes" ask "where the frame rail’s inner face is";
    /// Outer face of that rail, beside which the tyre turns; absent: for the rod's hole the rail is one plane.
    RailOuter Car 125 "rail_outer" Length Tape (10.0, 1200.0) None,
        label "Frame rail, outer face" hint "for the hole alone one plane is enough";
    /// Outer diameter of the front tyre.
    TyreDiameter Car 56 "tyre_diameter" Length Tape (150.0, 1500.0) None,
        label "Front tyre diameter" hint "tread to tread over the middle, off the ground" ask "the tyre’s diameter";
    /// How far the crossmember goes out from the middle of the car: as far as that it is in the tyre's way.
    CrossmemberOut Car 55 "crossmember_out" Length Tape (10.0, 1200.0) None,
        label "Crossmember, outer end" hint "from the middle of the car; empty: no tyre comes near it" ask "how far out the crossmember goes";
    /// What carries the front wheels.
    Suspension Car 120 "suspension" Choice Exact (0.0, 0.0) Some(("double wishbone", "strut")),
        label "Front suspension" hint "two arms one above the other, or one arm and a damper that the wheel turns with"
        ask "what carries the front wheels";
    /// How far the chalk line across the car may lie from the wheel centres: nought, and its ±.
    LineAcross Car 121 "line_across" Length ChalkLine (0.0, 20.0) FORE_AFT,
        label "Line across the car" hint "every distance along is measured from it, so its ± is typed once";
    /// The same of the line along the middle of the car.
    LineAlong Car 122 "line_along" Length ChalkLine (0.0, 20.0) IN_OUT,
        label "Line along the middle" hint "every distance across is measured from it, so its ± is typed once";
    /// The same of the floor, or the level that is taken for it.
    LineLevel Car 123 "level" Length ChalkLine (0.0, 20.0) ABOVE_BELOW,
        label "Floor or level" hint "every height is measured from it, so its ± is typed once";
    /// One end of the sump fore and aft, counted as the rack line is; either may be the foremost.
    SumpFrom Car 43 "sump_from" Length Tape (0.0, 500.0) FORE_AFT,
        label "Sump, from" hint "from the line through both tie-rod ends";
    /// The other end of the sump.
    SumpTo Car 44 "sump_to" Length Tape (0.0, 500.0) FORE_AFT,
        label "Sump, to" hint "the other end";
    /// Lower edge of the sump, counted as the inner joints’ height is; an absent one: it reaches down without an end.
    SumpLow Car 45 "sump_low" Length Tape (0.0, 500.0) ABOVE_BELOW,
        label "Sump, lower edge" hint "from the tie-rod ends’ height; empty: all the way down";
    /// Upper edge of the sump; an absent one: it reaches up without an end.
    SumpHigh Car 46 "sump_high" Length Tape (0.0, 500.0) ABOVE_BELOW,
        label "Sump, upper edge" hint "empty: all the way up";
    /// One end of the crossmember fore and aft, counted as the rack line is; either may be the foremost.
    CrossmemberFrom Car 47 "crossmember_from" Length Tape (0.0, 500.0) FORE_AFT,
        label "Crossmember, from" hint "from the line through both tie-rod ends";
    /// The other end of the crossmember.
    CrossmemberTo Car 48 "crossmember_to" Length Tape (0.0, 500.0) FORE_AFT,
        label "Crossmember, to" hint "the other end";
    /// Lower edge of the crossmember, counted as the inner joints’ height is; an absent one: it reaches down without an end.
    CrossmemberLow Car 49 "crossmember_low" Length Tape (0.0, 500.0) ABOVE_BELOW,
        label "Crossmember, lower edge" hint "from the tie-rod ends’ height; empty: all the way down";
    /// Upper edge of the crossmember; an absent one: it reaches up without an end.
    CrossmemberHigh Car 50 "crossmember_high" Length Tape (0.0, 500.0) ABOVE_BELOW,
        label "Crossmember, upper edge" hint "empty: all the way up";
    /// One end of the frame fore and aft, counted as the rack line is; either may be the foremost.
    FrameFrom Car 51 "frame_from" Length Tape (0.0, 500.0) FORE_AFT,
        label "Frame, from" hint "from the line through both tie-rod ends";
    /// The other end of the frame.
    FrameTo Car 52 "frame_to" Length Tape (0.0, 500.0) FORE_AFT,
        label "Frame, to" hint "the other end";
    /// Lower edge of the frame, counted as the inner joints’ height is; an absent one: it reaches down without an end.
    FrameLow Car 53 "frame_low" Length Tape (0.0, 500.0) ABOVE_BELOW,
        label "Frame, lower edge" hint "from the tie-rod ends’ height; empty: all the way down";
    /// Upper edge of the frame; an absent one: it reaches up without an end.
    FrameHigh Car 54 "frame_high" Length Tape (0.0, 500.0) ABOVE_BELOW,
        label "Frame, upper edge" hint "empty: all the way up";

    /// Bar travel per turn of the pinion, c.
    TravelPerTurn Rack 1 "travel_per_turn" Length TapeOverTwoTurns (5.0, 200.0) None,
        label "Travel per turn" hint "over a single turn, instead of two: two are surer" ask "the travel over two turns";
    /// Total bar travel T, end to end.
    Travel Rack 2 "travel" Length Tape (20.0, 500.0) None,
        label "Total travel" hint "bar hard over one way to hard over the other" ask "the total travel, or the turns end to end";
    /// Turns of the shaft, end to end.
    Turns Rack 3 "turns" Turns CountedTurns (0.2, 15.0) None,
        label "Turns end to end" hint "of the shaft, counted from one end to the other";
    /// Spacing of the inner joints, S.
    InnerJointSpacing Rack 4 "inner_joint_spacing" Length Tape (40.0, 2000.0) None,
        label "Spacing of the inner joints" hint "ball centre to ball centre, along the bar" ask "the spacing of the inner joints";
    /// Which way the bar goes when the shaft is turned for a left turn, held as it will sit.
    BarMoves Rack 5 "bar_moves" Choice Exact (0.0, 0.0) LEFT_RIGHT,
        label "Turn the shaft left: the bar moves" hint "hold it as it will sit, turn the shaft counter-clockwise looking at its end"
        ask "which way the bar moves";
    /// Rack line (through the inner joints) fore and aft of the line through the two outer rod ends.
    RackLine Rack 6 "rack_line" Length Tape (0.0, 500.0) FORE_AFT,
        label "Rack line from the line of the tie-rod ends"
        hint "from the line through both tie-rod ends to the line through both inner joints" ask "where the rack line sits";
    /// Mid-point of the inner joints off the car’s centre plane, at mid-travel.
    Offset Rack 7 "offset" Length Tape (0.0, 300.0) LEFT_RIGHT,
        label "Middle of the rack off the car’s middle" hint "middle between the inner joints, rack at mid-travel";
    /// Inner joints above or below the outer rod ends.
    Height Rack 8 "height" Length Tape (0.0, 300.0) ABOVE_BELOW,
        label "Inner joints above or below the tie-rod ends" hint "at ride height";
    /// Stop that ends the travel to the left, from mid-travel.
    StopLeft Rack 9 "stop_left" Length Tape (1.0, 250.0) None,
        label "Stop, bar to the left" hint "travel from the middle to the stop";
    /// Stop that ends the travel to the right, from mid-travel.
    StopRight Rack 10 "stop_right" Length Tape (1.0, 250.0) None,
        label "Stop, bar to the right" hint "travel from the middle to the stop";
    /// Length of the rods that will be used, joint centre to joint centre; without it the rods are made to measure.
    RodLength Rack 11 "rod_length" Length Tape (30.0, 1500.0) None,
        label "Rod as it is" hint "only if the rods are not made to fit: joint centre to joint centre";
    /// Shortest rod that the donor’s parts allow.
    RodLengthMin Rack 12 "rod_length_min" Length Tape (30.0, 1500.0) None,
        label "Shortest rod" hint "that the donor’s rod and its end allow, joint centre to joint centre" ask "the shortest rod";
    /// Longest rod that the donor’s parts allow.
    RodLengthMax Rack 13 "rod_length_max" Length Tape (30.0, 1500.0) None,
        label "Longest rod" hint "that the donor’s rod and its end allow, thread still engaged" ask "the longest rod";
    /// Largest angle between rod and rack axis that the inner joint allows.
    InnerJointLimit Rack 14 "inner_joint_limit" Angle AngleFinder (1.0, 90.0) None,
        label "Inner joint goes to" hint "largest angle between rod and bar before the ball binds" ask "the inner joint’s limit";
    /// Largest tilt that the outer joint allows.
    OuterJointLimit Rack 15 "outer_joint_limit" Angle AngleFinder (1.0, 90.0) None,
        label "Outer joint goes to" hint "largest tilt from square to the stud before the ball binds" ask "the outer joint’s limit";
    /// How far the bar moves over two turns of the pinion: twice c, an alternative to travel per turn.
    TravelTwoTurns Rack 16 "travel_two_turns" Length Tape (10.0, 400.0) None,
        label "Travel over two turns" hint "chalk the shaft, turn it twice, measure how far the bar moved";
    /// Diameter of the rack’s housing, round the line through the inner joints.
    HousingDiameter Rack 17 "housing_diameter" Length Tape (15.0, 200.0) None,
        label "Diameter of the housing" hint "at its thickest beside what is in the way, boots and clamps as well" ask "the diameter of the housing";
    /// Diameter of the thickest thing on a rod that passes through the frame rail.
    RodThickness Rack 18 "rod_thickness" Length Tape (5.0, 150.0) None,
        label "Thickest on the rod" hint "that passes through the rail: rod, lock nut or boot, across its way" ask "how thick the rod is";
    /// Room to leave round it.
    HoleRoom Rack 19 "hole_room" Length Exact (0.0, 50.0) None,
        label "Room round it in the hole" hint "on every side" ask "how much room to leave round the rod";

    /// Wanted angle of the inner wheel at each lock.
    LockWanted Limits 1 "lock_inner" Angle Exact (1.0, 80.0) None,
        label "Wanted lock, inner wheel" hint "each side" ask "the wanted lock";
    /// Rack travel to keep before a toggle or fold-back.
    ReserveWanted Limits 2 "reserve" Length Exact (0.0, 100.0) None,
        label "Travel to keep before toggle or fold-back" hint "each way" ask "the travel to keep before toggle or fold-back";
    /// Smallest transmission angle (between rod and arm) anywhere from mid-travel to lock.
    TransmissionWanted Limits 3 "transmission_angle" Angle Exact (0.0, 90.0) None,
        label "Smallest angle between rod and arm" hint "between rod and arm" ask "the smallest angle between rod and arm";
    /// Smallest steering ratio on centre.
    RatioMin Limits 4 "ratio_min" Number Exact (1.0, 200.0) None,
        label "Smallest ratio on centre";
    /// Largest steering ratio on centre.
    RatioMax Limits 5 "ratio_max" Number Exact (1.0, 200.0) None,
        label "Largest ratio on centre";
    /// Fewest turns lock to lock.
    TurnsMin Limits 6 "turns_min" Turns Exact (0.1, 15.0) None,
        label "Fewest turns lock to lock";
    /// Most turns lock to lock.
    TurnsMax Limits 7 "turns_max" Turns Exact (0.1, 15.0) None,
        label "Most turns lock to lock";
    /// Smallest Ackermann percentage at lock, by angle difference.
    AckermannMin Limits 8 "ackermann_min" Percent Exact (-200.0, 400.0) None,
        label "Smallest Ackermann at lock" hint "by angle difference";
    /// Largest Ackermann percentage at lock, by angle difference.
    AckermannMax Limits 9 "ackermann_max" Percent Exact (-200.0, 400.0) None,
        label "Largest Ackermann at lock" hint "by angle difference";
    /// Largest turning circle at the tyre’s centre.
    CircleMax Limits 10 "circle_max" Circle Exact (2000.0, 60000.0) None,
        label "Largest circle, tyre’s centre";
    /// Largest turning circle at the tyre’s outer edge.
    CircleEdgeMax Limits 11 "circle_edge_max" Circle Exact (2000.0, 60000.0) None,
        label "Largest circle, tyre’s outer edge";
    /// Largest turning circle wall to wall.
    WallToWallMax Limits 12 "wall_to_wall_max" Circle Exact (2000.0, 60000.0) None,
        label "Largest circle, wall to wall";
    /// Largest toe of a wheel that rods of a typed length may make at mid-travel.
    ToeMax Limits 13 "toe_max" Angle Exact (0.0, 30.0) None,
        label "Largest toe that rods as they are may make" hint "each wheel, rack at mid-travel";

    /// Largest change of a wheel's toe over the travel band.
    BumpSteerMax Limits 32 "bump_steer_max" Angle Exact (0.0, 10.0) None,
        label "Largest toe change over bumps" hint "each wheel, from where it stands at ride height" ask "the largest toe change allowed";
    /// How far a wheel goes up and down in the band over which its toe change is judged.
    BumpTravel Limits 33 "bump_travel" Length Exact (1.0, 200.0) None,
        label "Wheel travel looked at, up and down" hint "from ride height, each way" ask "the wheel travel to look at";
    /// The least room between a turned tyre and what stands beside it.
    TyreRoomMin Limits 34 "tyre_room_min" Length Exact (0.0, 200.0) None,
        label "Least room beside a tyre" hint "at any lock, wheels up or down" ask "the least room beside a tyre";

    /// Below this a steering ratio on centre is unusual.
    UsualRatioMin Limits 60 "usual_ratio_min" Number Exact (1.0, 200.0) None,
        label "Unusual below: ratio on centre";
    /// Above this a steering ratio on centre is unusual.
    UsualRatioMax Limits 61 "usual_ratio_max" Number Exact (1.0, 200.0) None,
        label "Unusual above: ratio on centre";
    /// Fewer turns lock to lock are unusual.
    UsualTurnsMin Limits 62 "usual_turns_min" Turns Exact (0.1, 15.0) None,
        label "Unusual below: turns lock to lock";
    /// More turns lock to lock are unusual.
    UsualTurnsMax Limits 63 "usual_turns_max" Turns Exact (0.1, 15.0) None,
        label "Unusual above: turns lock to lock";
    /// A smaller circle at the tyre’s centre is unusual.
    UsualCircleMin Limits 64 "usual_circle_min" Circle Exact (2000.0, 60000.0) None,
        label "Unusual below: circle, tyre’s centre";
    /// A larger circle at the tyre’s centre is unusual.
    UsualCircleMax Limits 65 "usual_circle_max" Circle Exact (2000.0, 60000.0) None,
        label "Unusual above: circle, tyre’s centre";
    /// A lower Ackermann percentage at lock is unusual.
    UsualAckermannMin Limits 66 "usual_ackermann_min" Percent Exact (-1000.0, 1000.0) None,
        label "Unusual below: Ackermann at lock";
    /// A higher Ackermann percentage at lock is unusual.
    UsualAckermannMax Limits 67 "usual_ackermann_max" Percent Exact (-1000.0, 1000.0) None,
        label "Unusual above: Ackermann at lock";
    /// A scrub radius further outboard is unusual.
    UsualScrubMin Limits 68 "usual_scrub_min" Length Exact (0.0, 1000.0) IN_OUT,
        label "Unusual further outboard: scrub radius";
    /// A scrub radius further inboard is unusual.
    UsualScrubMax Limits 69 "usual_scrub_max" Length Exact (0.0, 1000.0) IN_OUT,
        label "Unusual further inboard: scrub radius";
    /// Shorter tie rods are unusual.
    UsualRodMin Limits 70 "usual_rod_min" Length Exact (10.0, 1500.0) None,
        label "Unusual below: tie rod length";
    /// Longer tie rods are unusual.
    UsualRodMax Limits 71 "usual_rod_max" Length Exact (10.0, 1500.0) None,
        label "Unusual above: tie rod length";
    /// A smaller wheelbase over track is unusual.
    UsualWheelbaseMin Limits 72 "usual_wheelbase_min" Number Exact (0.5, 10.0) None,
        label "Unusual below: wheelbase over track";
    /// A larger wheelbase over track is unusual.
    UsualWheelbaseMax Limits 73 "usual_wheelbase_max" Number Exact (0.5, 10.0) None,
        label "Unusual above: wheelbase over track";
    /// Tie rods tilted further out of level at mid-travel are unusual.
    UsualTiltMax Limits 74 "usual_tilt_max" Angle Exact (1.0, 90.0) None,
        label "Unusual above: tilt of the tie rods";
    /// A larger ± as a share of its reading is unusual.
    UsualTolerance Limits 75 "usual_tolerance" Percent Exact (0.1, 100.0) None,
        label "Unusual above: ± as a share of its reading";
    points {
        /// The joint between lower arm and upright.
        LowerBall 60 "lower_ball" "Lower ball joint" "the lower ball joint" [LowerBallX LowerBallY LowerBallZ] [RightLowerBallX RightLowerBallY RightLowerBallZ];
        /// The front pivot of the lower arm on the frame.
        LowerFront 63 "lower_front" "Lower arm’s front pivot" "the lower arm’s front pivot" [LowerFrontX LowerFrontY LowerFrontZ] [RightLowerFrontX RightLowerFrontY RightLowerFrontZ];
        /// The rear pivot of the lower arm on the frame.
        LowerRear 66 "lower_rear" "Lower arm’s rear pivot" "the lower arm’s rear pivot" [LowerRearX LowerRearY LowerRearZ] [RightLowerRearX RightLowerRearY RightLowerRearZ];
        /// The joint between upper arm and upright.
        UpperBall 69 "upper_ball" "Upper ball joint" "the upper ball joint" [UpperBallX UpperBallY UpperBallZ] [RightUpperBallX RightUpperBallY RightUpperBallZ];
        /// The front pivot of the upper arm on the frame.
        UpperFront 72 "upper_front" "Upper arm’s front pivot" "the upper arm’s front pivot" [UpperFrontX UpperFrontY UpperFrontZ] [RightUpperFrontX RightUpperFrontY RightUpperFrontZ];
        /// The rear pivot of the upper arm on the frame.
        UpperRear 75 "upper_rear" "Upper arm’s rear pivot" "the upper arm’s rear pivot" [UpperRearX UpperRearY UpperRearZ] [RightUpperRearX RightUpperRearY RightUpperRearZ];
        /// The centre of the strut's top mount.
        StrutTop 78 "strut_top" "Strut’s top mount" "the strut’s top mount" [StrutTopX StrutTopY StrutTopZ] [RightStrutTopX RightStrutTopY RightStrutTopZ];
        /// A second point on the middle line of the damper, well below the mount.
        Damper 81 "damper" "Low on the damper’s middle" "a point low on the damper’s middle" [DamperX DamperY DamperZ] [RightDamperX RightDamperY RightDamperZ];
        /// The tie-rod end.
        TieRodEnd 84 "tie_rod_end" "Tie-rod end" "the tie-rod end" [TieRodEndX TieRodEndY TieRodEndZ] [RightTieRodEndX RightTieRodEndY RightTieRodEndZ];
        /// The middle of the wheel.
        WheelCentre 87 "wheel_centre" "Wheel centre" "the wheel centre" [WheelCentreX WheelCentreY WheelCentreZ] [RightWheelCentreX RightWheelCentreY RightWheelCentreZ];
    }
}

// Keys kept free for what comes later, so that none is ever renumbered:
//   Car     31–39 axle load, tyre pressure, steering wheel; 24–29, 57–59 column; 126, 127; 30, as Rack 40 and Limits 31, stands unknown in a golden link
//   Rack    20–29; 30–39 rated force, peak and idle current, mass, price; 40–59 travel at several turn counts (variable rate)
//   Limits  30, 31, 35–59 where the rack may go, effort, feed
// A plan holds besides: 1–9 of its own parts, 10–29 readings as built, old steering.

/// How many rows the table has.
pub const FIELD_COUNT: usize = FIELDS.len();

impl Field {
    /// The row of this measurement.
    pub fn spec(self) -> &'static Spec {
        &FIELDS[self as usize]
    }

    /// What it is called.
    pub fn label(self) -> &'static str {
        self.spec().label
    }

    /// What it is, in the terms of the field: as the description of the plan's format has it.
    pub fn meaning(self) -> &'static str {
        MEANINGS[self as usize].trim_start()
    }

    /// Where the tape goes; empty where the label says it.
    pub fn hint(self) -> &'static str {
        HINTS[self as usize]
    }

    /// Whether it belongs to the points and what goes with them: a part of the job of its own.
    pub fn is_suspension(self) -> bool {
        use Field::*;
        let spec = self.spec();
        let point = spec.section == Section::Car && matches!(spec.key, 60..=123);
        point || matches!(self, StaticToe | StaticCamber | BumpSteerMax | BumpTravel)
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
