//! The table of everything that is answered: one row a result.
//!
//! A row gives the result its name (in the command line's output, on the page, in tests), its unit, what its two sides are, which way
//! is better, what it is called, its formula in words and where that comes from.

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
    /// Whether its values can be negative.
    pub signs: Signs,
    /// What it is called.
    pub label: &'static str,
    /// Where its formula comes from.
    pub source: &'static str,
}

/// Whether the values of a result can be negative.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Signs {
    /// Never: a larger ± is told by its two ends.
    Positive,
    /// Both signs mean something.
    Signed,
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

/// Sources that several results have.
const READINGS: &str = "your readings, and a division or product of them";
const PLANE: &str = "plane geometry";
const NO_SLIP: &str = "plane geometry, no slip";
const LINKAGE: &str = "the linkage in plan, its position solved exactly";
const ISO_LINKAGE: &str = "ISO 8855 for what it means; the linkage in plan, its position solved exactly";
const ISO_POINTS: &str = "ISO 8855 for what it means; geometry of your points";
const SPACE: &str = "the suspension in space, its position solved exactly";
const ACKERMANN: &str = "Ackermann’s condition, both front axes meeting on the rear axle’s line";

macro_rules! results {
    ($(
        $(#[doc = $doc:expr])+
        $name:ident $key:literal $unit:ident $sides:ident $better:ident $signs:ident,
        label $label:literal source $source:expr,
        formula $formula:literal;
    )+) => {
        /// Every result.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
        pub enum ResultId { $($(#[doc = $doc])+ $name,)+ }

        /// The table, in the order of [`ResultId`].
        pub const RESULTS: &[Row] = &[$(Row {
            name: ResultId::$name, key: $key, unit: ResultUnit::$unit, sides: Sides::$sides, better: Better::$better,
            signs: Signs::$signs, label: $label, source: $source,
        },)+];

        /// Formulas in words, by [`ResultId`]. Apart from the rows, so that the WebAssembly is spared them.
        const FORMULAS: &[&str] = &[$($formula,)+];
    };
}

results! {
    /// Bar travel per turn of the pinion, c: measured, or travel by turns.
    TravelPerTurn "travel_per_turn" Mm One Neither Positive,
        label "Travel per turn" source READINGS,
        formula "As measured, or half the travel over two turns, or total travel divided by turns.";
    /// Total bar travel T: measured, or travel per turn times turns.
    Travel "travel" Mm One Neither Positive,
        label "Total travel" source READINGS,
        formula "As measured, or travel per turn times turns.";
    /// Turns of the bare rack, end to end: T/c.
    TurnsBare "turns_bare" Turns One Less Positive,
        label "Turns of the bare rack" source READINGS,
        formula "Total travel divided by travel per turn.";
    /// Spacing of the steering axes at the ground, w_g.
    AxisSpacingGround "axis_spacing_at_ground" Mm One Neither Positive,
        label "Steering axes at the ground" source PLANE,
        formula "As measured; or the spacing at tie-rod-end height plus twice tie-rod-end height times the tangent of the kingpin \
            inclination.";
    /// Spacing of the steering axes at the height of the outer rod ends, w_r.
    AxisSpacingRodEnd "axis_spacing_at_rod_end" Mm One Neither Positive,
        label "Steering axes at rod-end height" source PLANE,
        formula "As measured; or the tie-rod ends’ spacing plus both sideways distances; or from the ground by the kingpin inclination.";
    /// Scrub radius, positive when the axis meets the ground inboard of the contact centre.
    ScrubRadius "scrub_radius" Mm One Neither Signed,
        label "Scrub radius" source "ISO 8855 for what it means; plane geometry",
        formula "Half of track less steering-axis spacing at the ground; positive when the axis meets the ground inboard of the tyre’s \
            middle (ISO 8855).";
    /// Length of the steering arm, axis to rod end.
    ArmLength "arm_length" Mm Wheel Neither Positive,
        label "Steering arm length" source PLANE,
        formula "Straight distance from steering axis to tie-rod end, seen from above.";
    /// Angle of the steering arm from straight fore and aft, inboard positive.
    ArmAngle "arm_angle" Deg Wheel Neither Signed,
        label "Steering arm angle" source PLANE,
        formula "From straight fore and aft; positive when the tie-rod end lies inboard.";
    /// Where the line from the steering axis through the rod end meets the centre plane, as a share of the wheelbase behind the axle.
    ChalkLine "chalk_line" Percent One Neither Signed,
        label "Chalk-line figure" source PLANE,
        formula "Where the line from the steering axis through the tie-rod end meets the car’s middle, as a share of the wheelbase \
            behind the front axle. It ignores where the rack sits, so it can differ much from the real figure.";
    /// Length of the tie rod between joint centres.
    RodLength "rod_length" Mm Wheel Neither Positive,
        label "Tie rod length" source LINKAGE,
        formula "Joint centre to joint centre with the wheels straight and the rack at mid-travel.";
    /// Angle between tie rod and rack at mid-travel.
    RodAngle "rod_angle" Deg Wheel Neither Positive,
        label "Rod to rack at mid-travel" source LINKAGE,
        formula "Angle between the tie rod and the rack’s axis, in space.";
    /// Length of the tie rod that stands the wheel straight ahead with the rack at mid-travel.
    RodLengthStraight "rod_length_straight" Mm Wheel Neither Positive,
        label "Tie rod that stands the wheel straight" source LINKAGE,
        formula "Straight distance between the joint centres, wheel straight ahead and rack at mid-travel.";
    /// Toe of the wheel at mid-travel, toe-in positive: nought unless the rod's length was typed.
    ToeCentre "toe_centre" Deg Wheel Neither Signed,
        label "Toe at mid-travel" source LINKAGE,
        formula "How far the wheel points inwards (toe-in positive) with the rack at mid-travel: nought for rods made to fit, the rod’s \
            doing where its length was typed.";
    /// Tilt of the tie rod out of level at mid-travel.
    RodTilt "rod_tilt" Deg Wheel Less Positive,
        label "Tie rod’s tilt out of level" source LINKAGE,
        formula "Out of level, from the height between inner and outer joint over the rod’s length.";
    /// A first ratio from travel per turn and arm alone, rods taken as square to the car.
    RatioFirst "ratio_first" Ratio One Less Positive,
        label "First ratio" source "plane geometry, rods taken as square to the car",
        formula "2π times the arm’s fore-aft distance, divided by travel per turn: as if the rods ran square to the car. The ratio on \
            centre replaces it once the rack’s place is known.";
    /// Overall steering ratio on centre (ISO 8855).
    RatioCentre "ratio_centre" Ratio One Less Positive,
        label "Ratio on centre" source ISO_LINKAGE,
        formula "Overall steering ratio (ISO 8855): how much the steering wheel turns for a change of the mean of both steer angles, \
            straight ahead; column joints left out.";
    /// Steering-wheel angle to lock by mean steer angle at lock.
    RatioLock "ratio_lock" Ratio Lock Less Positive,
        label "Ratio to lock" source ISO_LINKAGE,
        formula "Steering-wheel angle at lock divided by the mean steer angle there: the average over the turn.";
    /// Rack travel per degree of mean steer angle on centre.
    RackPerDegree "rack_per_degree" MmPerDeg One Neither Signed,
        label "Rack travel per degree" source ISO_LINKAGE,
        formula "Rack travel for a degree of mean steer angle on centre; negative when a rack to the left steers right.";
    /// Steer of the wheel per millimetre of rack on centre.
    SteerRate "steer_rate" DegPerMm Wheel Neither Signed,
        label "Steer by rack travel" source LINKAGE,
        formula "How much the wheel steers for so much rack travel on centre, left positive; both wheels must agree in sign.";
    /// Rack displacement at which the left wheel's linkage locks in line.
    ToggleLeftWheel "toggle_left_wheel" Mm Rack Neither Signed,
        label "Toggle, left wheel" source LINKAGE,
        formula "Rack displacement at which rod and arm come into line: the linkage locks and may go over centre.";
    /// As `ToggleLeftWheel`, right wheel.
    ToggleRightWheel "toggle_right_wheel" Mm Rack Neither Signed,
        label "Toggle, right wheel" source LINKAGE,
        formula "Rack displacement at which rod and arm come into line: the linkage locks and may go over centre.";
    /// Rack displacement at which the left wheel begins to come back.
    FoldBackLeftWheel "fold_back_left_wheel" Mm Rack Neither Signed,
        label "Fold-back, left wheel" source LINKAGE,
        formula "Rack displacement at which the rod stands square to the rack: pushed on, the wheel comes back.";
    /// As `FoldBackLeftWheel`, right wheel.
    FoldBackRightWheel "fold_back_right_wheel" Mm Rack Neither Signed,
        label "Fold-back, right wheel" source LINKAGE,
        formula "Rack displacement at which the rod stands square to the rack: pushed on, the wheel comes back.";
    /// Usable rack travel from mid-travel.
    UsableTravel "usable_travel" Mm Rack More Positive,
        label "Usable travel" source LINKAGE,
        formula "From mid-travel to the first of rack end, stop, the reserve before toggle or fold-back of either wheel, and the joints’ \
            limits.";
    /// Turns lock to lock over the usable travel.
    Turns "turns" Turns One Less Positive,
        label "Turns lock to lock" source LINKAGE,
        formula "Usable travel both ways divided by travel per turn.";
    /// Rack travel kept before toggle or fold-back where the usable travel ends.
    Reserve "reserve" Mm Rack More Signed,
        label "Travel kept before toggle, at lock" source LINKAGE,
        formula "Rack travel from the end of the usable travel to the first toggle or fold-back of either wheel.";
    /// The same where the hardware ends: rack end or typed stop, whichever comes first.
    ReserveHardware "reserve_hardware" Mm Rack More Signed,
        label "Travel kept before toggle, at the rack’s end" source LINKAGE,
        formula "Rack travel from rack end or stop, whichever comes first, to the first toggle or fold-back of either wheel; negative: \
            it comes too late.";
    /// Rack travel kept before an inner joint meets its limit, where the hardware ends.
    InnerJointReserve "inner_joint_reserve" Mm Rack More Signed,
        label "Inner joint’s reserve" source LINKAGE,
        formula "Rack travel from rack end or stop to where an inner joint meets its limit; negative: it comes too late.";
    /// Rack travel kept before an outer joint meets its limit, where the hardware ends.
    OuterJointReserve "outer_joint_reserve" Mm Rack More Signed,
        label "Outer joint’s reserve" source LINKAGE,
        formula "Rack travel from rack end or stop to where an outer joint meets its limit; negative: it comes too late.";
    /// Limit of the inner joints less the largest angle of either, from mid-travel to where the hardware ends.
    InnerJointMargin "inner_joint_margin" Deg Rack More Signed,
        label "Inner joint’s angle to spare" source LINKAGE,
        formula "The joint’s limit less its largest angle from mid-travel to where rack or stop ends.";
    /// Limit of the outer joints less the largest tilt of either, likewise.
    OuterJointMargin "outer_joint_margin" Deg Rack More Signed,
        label "Outer joint’s tilt to spare" source LINKAGE,
        formula "The joint’s limit less its largest tilt from mid-travel to where rack or stop ends.";
    /// Rod length over the shortest that the donor's parts allow.
    RodOverShortest "rod_over_shortest" Mm Wheel More Signed,
        label "Rod over the shortest" source LINKAGE,
        formula "Rod length less the shortest that the donor’s parts allow.";
    /// Longest rod that the donor's parts allow, over the rod length.
    RodUnderLongest "rod_under_longest" Mm Wheel More Signed,
        label "Rod under the longest" source LINKAGE,
        formula "Longest rod that the donor’s parts allow, less the rod length.";
    /// Angle at which the inner wheel points at lock.
    LockInner "lock_inner" Deg Lock More Signed,
        label "Inner wheel at lock" source LINKAGE,
        formula "Steer angle of the wheel nearer the turning centre at the end of the usable travel, from straight ahead.";
    /// Angle at which the outer wheel points at lock.
    LockOuter "lock_outer" Deg Lock More Signed,
        label "Outer wheel at lock" source LINKAGE,
        formula "Steer angle of the wheel further from the turning centre at the end of the usable travel.";
    /// Outer wheel's angle for ideal Ackermann at that inner angle.
    IdealOuter "ideal_outer" Deg Lock Neither Positive,
        label "Ideal outer angle" source ACKERMANN,
        formula "The outer angle at which both wheels’ axes would meet on the rear axle’s line: cot outer = cot inner + axis spacing at \
            the ground / wheelbase.";
    /// Toe-out on turns at lock: inner less outer angle.
    ToeOutLock "toe_out_lock" Deg Lock Neither Signed,
        label "Toe-out on turns at lock" source LINKAGE,
        formula "Inner angle less outer angle, each from where the wheel stands at mid-travel.";
    /// Ackermann percentage at lock by angle difference.
    AckermannAngle "ackermann_angle" Percent Lock More Signed,
        label "Ackermann by angle difference" source ACKERMANN,
        formula "Toe-out at lock as a share of the ideal toe-out at the same inner angle.";
    /// Ackermann percentage at lock by cotangent.
    AckermannCotangent "ackermann_cotangent" Percent Lock More Signed,
        label "Ackermann by cotangent" source "SAE 2006-01-3638",
        formula "Difference of the two cotangents times wheelbase over axis spacing at the ground. Two measures exist (SAE \
            2006-01-3638); they agree only at 0 and 100 %.";
    /// What both Ackermann measures tend to at small angles.
    AckermannLimit "ackermann_limit" Percent One Neither Signed,
        label "Ackermann near straight ahead" source ACKERMANN,
        formula "What both measures tend to at small angles: wheelbase over axis spacing times the second derivative of the steer angle \
            over the square of the first.";
    /// Transmission angle of the inner wheel at lock.
    TransmissionInner "transmission_inner" Deg Lock More Positive,
        label "Between rod and arm at lock, inner wheel" source LINKAGE,
        formula "Between rod and arm at lock: 90° pushes best, 0° is a toggle.";
    /// Transmission angle of the outer wheel at lock.
    TransmissionOuter "transmission_outer" Deg Lock More Positive,
        label "Between rod and arm at lock, outer wheel" source LINKAGE,
        formula "Between rod and arm at lock: 90° pushes best, 0° is a toggle.";
    /// Smallest transmission angle of either wheel from mid-travel to lock.
    TransmissionLeast "transmission_least" Deg Lock More Positive,
        label "Smallest angle between rod and arm" source LINKAGE,
        formula "Between rod and arm, the smaller of the two wheels’, its smallest from mid-travel to lock.";
    /// The same with the suspension where its travel band ends, up or down: nought where a toggle comes first.
    TransmissionBumps "transmission_bumps" Deg Lock More Positive,
        label "Smallest angle between rod and arm, over bumps" source LINKAGE,
        formula "As at ride height, with the suspension at either end of the travel band, the worse of two: the arms held there, and the wheel centre’s height; \
            0°: a toggle comes first.";
    /// As `InnerJointMargin`, with the suspension where its travel band ends.
    InnerJointBumps "inner_joint_margin_bumps" Deg Rack More Signed,
        label "Inner joint’s angle to spare, over bumps" source LINKAGE,
        formula "As at ride height, with the suspension at either end of the travel band, the worse of two: the arms held there, and the wheel centre’s height.";
    /// As `OuterJointMargin`, with the suspension where its travel band ends.
    OuterJointBumps "outer_joint_margin_bumps" Deg Rack More Signed,
        label "Outer joint’s tilt to spare, over bumps" source LINKAGE,
        formula "As at ride height, with the suspension at either end of the travel band, the worse of two: the arms held there, and the wheel centre’s height.";
    /// Largest angle of the inner joint over the usable travel.
    InnerJoint "inner_joint" Deg Wheel Less Positive,
        label "Inner joint’s largest angle" source LINKAGE,
        formula "Largest angle between rod and rack over the usable travel, in space.";
    /// Largest tilt of the rod out of the plane square to the outer joint's stud over the usable travel.
    OuterJoint "outer_joint" Deg Wheel Less Positive,
        label "Outer joint’s largest tilt" source LINKAGE,
        formula "Largest tilt of the rod out of the plane square to the stud over the usable travel; the stud is taken along the \
            steering axis. Suspension travel is not in it.";
    /// Room between the rack's housing and the nearest of what is in the way.
    HousingRoom "housing_room" Mm One More Signed,
        label "Room beside what is in the way" source LINKAGE,
        formula "From the line through the inner joints to the nearest edge of sump, crossmember or frame, fore and aft and up, less half the \
            housing’s diameter; negative: it reaches into one of them.";
    /// Least room between a wheel's tyre and what stands beside it, over the travel band and the usable travel of the rack.
    TyreRoom "tyre_room" Mm Wheel More Positive,
        label "Least room beside the tyre" source SPACE,
        formula "The tyre as a cylinder about the wheel’s spin axis, against the frame rail’s outer face (taken as a plane without end), the \
            crossmember as far out as it goes, or both, as they are typed: the least distance, the lower arm anywhere between where it stands straight ahead at either \
            end of the travel band, the rack anywhere in its usable travel. Nought: they touch.";
    /// How far the rack goes from mid-travel before a tyre touches.
    TyreTouches "tyre_touches" Mm Rack More Positive,
        label "Rack travel until a tyre touches" source SPACE,
        formula "How far the rack goes from mid-travel that way before either tyre touches, stops left out; in passing is enough.";
    /// How far the rack may go each way so that the tyres keep clear.
    TyreStop "tyre_stop" Mm One Neither Positive,
        label "Stop that keeps the tyres clear, each way" source SPACE,
        formula "How far the rack may go from mid-travel, either way alike, before a tyre comes nearer than is allowed; stops there are now left out.";
    /// Smallest round hole through the frame rail for the tie rod.
    HoleDiameter "hole_diameter" Mm Wheel Less Positive,
        label "Hole for the rod, diameter" source SPACE,
        formula "The smallest circle in the plane of the rail, or in both its faces, that holds the rod with the room round it wherever wheel and rack go: over the travel band up and down, from one end of the rack or stop to the other.";
    /// Middle of that hole ahead of the tie-rod end at ride height.
    HoleAhead "hole_ahead" Mm Wheel Neither Signed,
        label "Its middle, ahead of the tie-rod end" source SPACE,
        formula "Where the middle of that circle lies, with the wheels straight at ride height.";
    /// Middle of that hole above the tie-rod end at ride height.
    HoleUp "hole_up" Mm Wheel Neither Signed,
        label "Its middle, above the tie-rod end" source SPACE,
        formula "Where the middle of that circle lies, with the wheels straight at ride height.";
    /// Rear edge of the smallest upright rectangle, ahead of the tie-rod end.
    HoleRear "hole_rear" Mm Wheel Neither Signed,
        label "Rectangle, rear edge ahead of the tie-rod end" source SPACE,
        formula "The edges of the smallest upright rectangle that holds it as well.";
    /// Front edge of that rectangle.
    HoleFront "hole_front" Mm Wheel Neither Signed,
        label "Rectangle, front edge ahead of the tie-rod end" source SPACE,
        formula "The edges of the smallest upright rectangle that holds it as well.";
    /// Lower edge of that rectangle.
    HoleLow "hole_low" Mm Wheel Neither Signed,
        label "Rectangle, lower edge above the tie-rod end" source SPACE,
        formula "The edges of the smallest upright rectangle that holds it as well.";
    /// Upper edge of that rectangle.
    HoleHigh "hole_high" Mm Wheel Neither Signed,
        label "Rectangle, upper edge above the tie-rod end" source SPACE,
        formula "The edges of the smallest upright rectangle that holds it as well.";
    /// Turning circle at the tyre's centre, both wheels agreeing half-way.
    CircleCentre "circle_centre" Circle Lock Less Positive,
        label "Circle, tyre’s centre" source NO_SLIP,
        formula "Turning diameter at the outer tyre’s centre. The turning centre is put half-way between the two wheels’ wishes, by \
            their cotangents: our own convention.";
    /// The same if the outer wheel alone ruled: the turning diameter of SAE J695.
    CircleOuterRules "circle_outer_rules" Circle Lock Less Positive,
        label "Circle if the outer wheel rules" source "SAE J695; plane geometry, no slip",
        formula "The same with the turning centre where the outer wheel’s axis meets the rear axle’s line: the formula of SAE J695.";
    /// The same if the inner wheel alone ruled.
    CircleInnerRules "circle_inner_rules" Circle Lock Less Positive,
        label "Circle if the inner wheel rules" source NO_SLIP,
        formula "The same with the turning centre where the inner wheel’s axis meets the rear axle’s line.";
    /// Turning circle at the tyre's outer edge: what must clear a kerb.
    CircleEdge "circle_edge" Circle Lock Less Positive,
        label "Circle, tyre’s outer edge" source NO_SLIP,
        formula "At the outer tyre’s outer edge: what must clear a kerb.";
    /// Turning circle wall to wall: by the body's corners, and no less than at the tyre's outer edge.
    WallToWall "wall_to_wall" Circle Lock Less Positive,
        label "Circle, wall to wall" source NO_SLIP,
        formula "By the body corner that reaches furthest, and no less than at the outer tyre’s outer edge.";
    /// Circle of the inner rear tyre's inner edge.
    RearInnerEdge "rear_inner_edge" Circle Lock Neither Positive,
        label "Circle of the inner rear tyre" source NO_SLIP,
        formula "At its inner edge: how far it cuts the corner.";
    /// Kingpin inclination by the points, top inboard positive.
    KingpinInclination "kingpin_inclination" Deg Wheel Neither Signed,
        label "Kingpin inclination" source ISO_POINTS,
        formula "Lean of the line through both joints of the steering axis, seen from the front; positive with the top inboard.";
    /// Caster by the points, top rearward positive.
    Caster "caster" Deg Wheel Neither Signed,
        label "Caster" source ISO_POINTS,
        formula "Lean of the same line, seen from the side; positive with the top rearward.";
    /// Trail by the points, positive when the steering axis meets the ground ahead of the contact point.
    Trail "trail" Mm Wheel Neither Signed,
        label "Trail" source ISO_POINTS,
        formula "How far ahead of the tyre’s middle the steering axis meets the ground.";
    /// Slope of toe against wheel travel at ride height, toe-in in bump positive.
    BumpSteer "bump_steer" DegPerMm Wheel Neither Signed,
        label "Bump steer at ride height" source SPACE,
        formula "How much toe the wheel gains for so much upward travel, at ride height, toe-in positive; the rack held at mid-travel.";
    /// Largest change of toe over the travel band, its size.
    BumpPeak "bump_peak" Deg Wheel Less Positive,
        label "Largest toe change over bumps" source SPACE,
        formula "The largest change of the wheel’s toe from that at ride height, up and down over the wheel travel looked at; the rack \
            held at mid-travel.";
    /// Wheel travel at which the toe change is largest, bump positive.
    BumpPeakAt "bump_peak_at" Mm Wheel Neither Signed,
        label "Wheel travel at the largest toe change" source SPACE,
        formula "Above ride height positive.";
    /// How far up the inner joint would have to go for the toe to change least, by height alone.
    ShimMove "shim_move" Mm Wheel Neither Signed,
        label "Best height of the inner joint" source SPACE,
        formula "How far it lies above where the joint is fitted: with the toe held, the tie-rod end’s way is then nearest to a circle \
            about it.";
    /// The largest toe change that is left there.
    ShimLeaves "shim_leaves" Deg Wheel Less Positive,
        label "Toe change left at the best height" source SPACE,
        formula "Largest toe change over the wheel travel looked at with the inner joint there, solved anew with a rod made to fit: what a \
            shim cannot mend.";
    /// How far up the inner joint would have to go for the toe to change least, by height and width.
    BestUp "best_place_up" Mm Wheel Neither Signed,
        label "Best place of the inner joint, up" source SPACE,
        formula "The same with the width free as well: how far it lies above where the joint is fitted.";
    /// The same towards the centre plane.
    BestInboard "best_place_inboard" Mm Wheel Neither Signed,
        label "Best place of the inner joint, inboard" source SPACE,
        formula "How far it lies nearer to the car’s middle than where the joint is fitted.";
    /// The largest toe change that is left there.
    BestLeaves "best_place_leaves" Deg Wheel Less Positive,
        label "Toe change left at the best place" source SPACE,
        formula "Largest toe change over the wheel travel looked at with the inner joint at its best height and width.";
    /// The smallest move of the inner joint that keeps the limit, upwards.
    LeastUp "least_move_up" Mm Wheel Neither Signed,
        label "Smallest move that keeps the limit, up" source SPACE,
        formula "The shortest way, up and sideways, to where the largest toe change is no more than the limit; its ± is along that way.";
    /// The same towards the centre plane.
    LeastInboard "least_move_inboard" Mm Wheel Neither Signed,
        label "Smallest move that keeps the limit, inboard" source SPACE,
        formula "The same way towards the car’s middle.";
    /// The lowest height of the inner joint that keeps the limit.
    SlotLow "slot_low" Mm Wheel Neither Signed,
        label "Lowest height that keeps the limit" source SPACE,
        formula "How far above where the inner joint is fitted the heights begin at which the largest toe change keeps the limit: the \
            lower end of a slot to make.";
    /// The highest one.
    SlotHigh "slot_high" Mm Wheel Neither Signed,
        label "Highest height that keeps the limit" source SPACE,
        formula "The upper end of that slot.";
    /// Roll steer at rest: change of the mean steer angle by roll, per cent.
    RollSteer "roll_steer" Percent One Neither Signed,
        label "Roll steer" source "ISO 8855 for the signs; both wheels’ bump steer at ride height",
        formula "Change of the mean steer angle by the angle of roll, straight ahead: left positive by right side down.";
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
    #[inline(always)]
    pub const fn index(name: ResultId, side: usize) -> usize {
        name as usize * 2 + side
    }

    /// The value of a result; `side` as in [`Results::index`].
    #[inline(always)]
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

impl ResultId {
    /// The row of this result.
    pub fn row(self) -> &'static Row {
        &RESULTS[self as usize]
    }

    /// What it is called.
    pub fn label(self) -> &'static str {
        self.row().label
    }
}

impl Row {
    /// Its formula in words.
    pub fn formula(&self) -> &'static str {
        FORMULAS[self.name as usize]
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
