//! The English of everything that is computed: one place, ready for translation. Knows no screen and computes nothing.

pub mod motion;

use crate::closure::Reach;
use crate::fields::{Field, Method};
use crate::readings::{Clash, Readings};
use crate::results::{FieldSet, Gap, Name, ResultUnit, Sides, Why};
use crate::text::Text;
use crate::travel::End;

/// What a measurement is called, and where the tape goes.
pub fn field(f: Field) -> (&'static str, &'static str) {
    use Field::*;
    match f {
        Wheelbase => ("Wheelbase", "front hub centre to rear hub centre, wheels straight"),
        FrontTrack => ("Front track", "middle of one front tyre to middle of the other, on the floor"),
        RearTrack => ("Rear track", "middle of one rear tyre to middle of the other, on the floor"),
        AxisSpacingGround => {
            ("Steering axes at the ground", "sight down both ball joints or kingpins, mark the floor, measure between the marks")
        }
        ScrubRadius => ("Scrub radius", "from that floor mark to the middle of the tyre; inboard when the mark is nearer the car's middle"),
        AxisSpacingRodEnd => ("Steering axes at rod-end height", "between the two axes, at the height of the tie-rod ends"),
        RodEndSpacing => ("Spacing of the outer rod ends", "joint centre to joint centre across the car, wheels straight"),
        KingpinInclination => ("Kingpin inclination", "lean of the steering axis, top inboard, seen from the front"),
        RodEndHeight => ("Height of the rod ends", "floor to the centre of the outer rod end"),
        ArmForeAft => ("Tie-rod end from the steering axis, fore and aft", "plumb both at the rod end's height, measure along the car"),
        ArmInboard => ("Tie-rod end from the steering axis, sideways", "plumb both at the rod end's height, measure across the car"),
        ArmLength => ("Steering arm length", "axis to rod end, square to the axis: instead of the two distances"),
        ArmAngle => ("Steering arm angle", "from straight fore and aft: goes with the arm's length"),
        RightArmForeAft => ("Right tie-rod end, fore and aft", "only where the right arm differs from the left one"),
        RightArmInboard => ("Right tie-rod end, sideways", "only where the right arm differs from the left one"),
        TyreWidth => ("Front tyre section width", "bulge to bulge, or the first figure on the sidewall"),
        RearTyreWidth => ("Rear tyre section width", "only where it differs from the front"),
        CornerAhead => ("Front body corner", "how far it stands ahead of the front hub centres"),
        CornerWidth => ("Body width there", "corner to corner"),
        SecondCornerAhead => ("Second body corner", "how far it stands ahead of the front hub centres"),
        SecondCornerWidth => ("Body width at the second corner", "corner to corner"),
        TravelPerTurn => ("Travel per turn", "chalk the shaft, turn it twice, measure how far the bar moved, halve it"),
        Travel => ("Total travel", "bar hard over one way to hard over the other"),
        Turns => ("Turns end to end", "of the shaft, counted from one end to the other"),
        InnerJointSpacing => ("Spacing of the inner joints", "ball centre to ball centre, along the bar"),
        BarMoves => ("Turn the shaft left: the bar moves", "hold it as it will sit, turn the shaft counter-clockwise looking at its end"),
        RackLine => {
            ("Rack line from the line of the rod ends", "from the line through both outer rod ends to the line through both inner joints")
        }
        Offset => ("Middle of the rack off the car's middle", "middle between the inner joints, rack at mid-travel"),
        Height => ("Inner joints above or below the rod ends", "at ride height"),
        StopLeft => ("Stop, bar to the left", "travel from the middle to the stop"),
        StopRight => ("Stop, bar to the right", "travel from the middle to the stop"),
        RodLength => ("Rod as it is", "only if the rods are not made to fit: joint centre to joint centre"),
        RodLengthMin => ("Shortest rod", "that the donor's rod and rod end allow, joint centre to joint centre"),
        RodLengthMax => ("Longest rod", "that the donor's rod and rod end allow, thread still engaged"),
        InnerJointLimit => ("Inner joint goes to", "largest angle between rod and bar before the ball binds"),
        OuterJointLimit => ("Outer joint goes to", "largest tilt from square to the stud before the ball binds"),
        LockWanted => ("Wanted lock, inner wheel", "each side"),
        ReserveWanted => ("Travel to keep before toggle or fold-back", "each way"),
        TransmissionWanted => ("Smallest transmission angle at lock", "between rod and arm"),
        RatioMin => ("Smallest ratio on centre", ""),
        RatioMax => ("Largest ratio on centre", ""),
        TurnsMin => ("Fewest turns lock to lock", ""),
        TurnsMax => ("Most turns lock to lock", ""),
        AckermannMin => ("Smallest Ackermann at lock", "by angle difference"),
        AckermannMax => ("Largest Ackermann at lock", "by angle difference"),
        CircleMax => ("Largest circle, tyre's centre", ""),
        CircleEdgeMax => ("Largest circle, tyre's outer edge", ""),
        WallToWallMax => ("Largest circle, wall to wall", ""),
    }
}

/// A measurement in a sentence that asks for it; where another one would do as well, that too.
pub fn needed(f: Field) -> &'static str {
    use Field::*;
    match f {
        Wheelbase => "the wheelbase",
        FrontTrack => "the front track",
        RearTrack => "the rear track",
        AxisSpacingGround => "the steering axes' spacing at the ground or the rod ends' spacing",
        ArmForeAft => "the tie-rod end's distance ahead of or behind the steering axis",
        ArmInboard => "the tie-rod end's distance inboard or outboard of the steering axis",
        TyreWidth => "the tyre's section width",
        CornerAhead | CornerWidth => "a front body corner and the width there",
        TravelPerTurn => "the travel per turn",
        Travel => "the total travel, or the turns end to end",
        InnerJointSpacing => "the spacing of the inner joints",
        BarMoves => "which way the bar moves",
        RackLine => "where the rack line sits",
        RodLengthMin => "the shortest rod",
        RodLengthMax => "the longest rod",
        InnerJointLimit => "the inner joint's limit",
        OuterJointLimit => "the outer joint's limit",
        LockWanted => "the wanted lock",
        ReserveWanted => "the travel to keep before toggle or fold-back",
        TransmissionWanted => "the smallest transmission angle",
        _ => field(f).0,
    }
}

/// "a", "a and b", "a, b and c".
pub fn list<S: AsRef<str>>(parts: &[S]) -> String {
    match parts {
        [] => String::new(),
        [one] => one.as_ref().to_owned(),
        [first @ .., last] => format!("{} and {}", first.iter().map(AsRef::as_ref).collect::<Vec<_>>().join(", "), last.as_ref()),
    }
}

/// "needs the wheelbase and the front track"; readings that contradict each other are asked for as such.
pub fn needs(set: FieldSet, readings: &Readings) -> String {
    let doubtful = readings.doubtful();
    let mut parts: Vec<String> = Vec::new();
    for f in set.iter() {
        let typed = readings.items[f as usize].is_some() && doubtful.has(f);
        let part = match readings.unclear.iter().find(|u| u.0 == f) {
            Some(_) => format!("{}, readable", needed(f)),
            None if typed => match readings.conflicts.iter().find(|c| c.fields.has(f)) {
                Some(c) => clash_needs(c.clash).to_owned(),
                None => needed(f).to_owned(),
            },
            None => needed(f).to_owned(),
        };
        if !parts.contains(&part) {
            parts.push(part);
        }
    }
    format!("needs {}", list(&parts))
}

fn clash_needs(c: Clash) -> &'static str {
    match c {
        Clash::Travel => "travel, travel per turn and turns that agree",
        Clash::Track | Clash::Axes => "steering axes and a track that agree",
        Clash::RodEnds => "spacings at the rod ends that agree",
        Clash::Inclination => "axis spacings and an inclination that agree",
        Clash::ArmAhead | Clash::ArmInboard => "arm measurements that agree",
        Clash::RodRange => "a shortest rod that is shorter than the longest",
        Clash::Limits => "limits in their order",
    }
}

/// A demand that is not judged because it was turned off, among what was not checked.
pub fn turned_off(f: Field) -> &'static str {
    use Field::*;
    match f {
        LockWanted => "lock (turned off by you)",
        ReserveWanted => "travel kept before toggle or fold-back (turned off by you)",
        TransmissionWanted => "transmission angle (turned off by you)",
        RatioMin | RatioMax => "ratio on centre (turned off by you)",
        TurnsMin | TurnsMax => "turns lock to lock (turned off by you)",
        AckermannMin | AckermannMax => "Ackermann at lock (turned off by you)",
        CircleMax => "circle at the tyre's centre (turned off by you)",
        CircleEdgeMax => "circle at the tyre's outer edge (turned off by you)",
        WallToWallMax => "circle wall to wall (turned off by you)",
        _ => "a demand (turned off by you)",
    }
}

/// What does not go together: title and what to do. `{}` is the amount, then its ±.
pub fn clash(c: Clash) -> (&'static str, &'static str, &'static str) {
    match c {
        Clash::Travel => (
            "Travel, travel per turn and turns do not agree",
            "Travel per turn times turns is {} away from the total travel, more than the ± {} of these readings.",
            "Measure again: count the turns from end to end, and the travel over two turns. Nothing is computed from them until they agree.",
        ),
        Clash::Track => (
            "Track, steering axes and scrub radius do not agree",
            "They miss each other by {}, more than the ± {} of these readings.",
            "Measure again, or take one of the three away: the other two give it.",
        ),
        Clash::Axes => (
            "Steering axes and track do not go together",
            "They differ by {}: each axis would meet the floor more than 300 mm from the middle of its tyre.",
            "Check both numbers and their units.",
        ),
        Clash::RodEnds => (
            "The spacings at rod-end height do not agree",
            "Rod ends plus both sideways distances are {} away from the axes' spacing there, more than the ± {} of these readings.",
            "Measure again, or take one of them away.",
        ),
        Clash::Inclination => (
            "Axis spacings and kingpin inclination do not agree",
            "They miss each other by {}, more than the ± {} of these readings.",
            "Measure again, or take the inclination away: two spacings do without it.",
        ),
        Clash::ArmAhead | Clash::ArmInboard => (
            "Two descriptions of the steering arm do not agree",
            "Its distances and its length and angle differ by {}, more than the ± {} of these readings.",
            "Measure again, or keep only one description.",
        ),
        Clash::RodRange => {
            ("Shortest rod and longest rod are the wrong way round", "The shortest is {} longer than the longest.", "Swap them.")
        }
        Clash::Limits => ("Two limits are the wrong way round", "The smallest allowed is larger than the largest.", "Swap them."),
    }
}

/// How a measurement is usually taken.
pub fn method(m: Method) -> &'static str {
    match m {
        Method::Tape => "tape",
        Method::TapeOverTwoTurns => "tape over two turns",
        Method::Calliper => "calliper",
        Method::ChalkLine => "chalk line on the floor",
        Method::AngleFinder => "angle finder",
        Method::CountedTurns => "counted turns",
        Method::Exact => "exact",
    }
}

/// What a side of a result is called.
pub fn side(sides: Sides, k: usize) -> &'static str {
    match (sides, k) {
        (Sides::One, _) => "",
        (Sides::Wheel, 0) => "left wheel",
        (Sides::Wheel, _) => "right wheel",
        (Sides::Rack, 0) => "bar to the left",
        (Sides::Rack, _) => "bar to the right",
        (Sides::Lock, 0) => "lock left",
        (Sides::Lock, _) => "lock right",
    }
}

/// The unit as written in the command line's output.
pub fn unit(u: ResultUnit) -> &'static str {
    match u {
        ResultUnit::Mm | ResultUnit::Circle => "mm",
        ResultUnit::Deg => "deg",
        ResultUnit::Turns => "turns",
        ResultUnit::Ratio => "1",
        ResultUnit::Percent => "%",
        ResultUnit::MmPerDeg => "mm/deg",
    }
}

/// Why there is no value, in a sentence part.
pub fn gap(g: Gap, readings: &Readings) -> String {
    match g {
        Gap::Missing(set) => needs(set, readings),
        Gap::Unreachable(why) => self::why(why).to_owned(),
    }
}

/// Why there is no such value.
pub fn why(w: Why) -> &'static str {
    match w {
        Why::Linkage(Reach::TooShort) => "the rod is too short to reach the arm",
        Why::Linkage(Reach::TooLong) => "the rod is too long for arm and rack",
        Why::Linkage(Reach::AtToggle) => "the rod runs through the steering axis with the wheels straight",
        Why::Linkage(Reach::NoLinkage) => "arm or inner joint lies on the steering axis",
        Why::NoFoldBack => "no fold-back before the linkage locks in line",
        Why::NoToggle => "no toggle this way",
        Why::NoLimit => "the joint never meets its limit this way",
        Why::NeverMeets => "arms straight fore and aft: the lines never meet the middle of the car",
        Why::NotAlike => "exists only for a car alike left and right",
        Why::NoTravel => "no usable travel this way",
        Why::NoTurn => "the wheels do not turn together to this side",
        Why::ArmsCross => "the arms would reach past the car's middle",
        Why::RackTooWide => "the inner joints are further apart than the outer rod ends",
    }
}

/// What ends the travel, in a sentence part.
pub fn end(e: End) -> &'static str {
    match e {
        End::RackEnd => "the rack's own end",
        End::Stop => "the stop",
        End::Toggle(_) => "the reserve before the toggle",
        End::FoldBack(_) => "the reserve before the fold-back",
        End::InnerJoint(_) => "an inner joint's limit",
        End::OuterJoint(_) => "an outer joint's limit",
    }
}

/// The dead point at which a travel would end, in a sentence part.
pub fn dead_point(e: End) -> &'static str {
    match e {
        End::FoldBack(_) => "the fold-back, where the rod stands square to the rack and the wheel comes back",
        _ => "the toggle, where rod and arm come into line",
    }
}

/// What a result is called, and its formula in words with its source.
pub fn result(n: Name) -> (&'static str, &'static str) {
    use Name::*;
    match n {
        TravelPerTurn => ("Travel per turn", "As measured, or total travel divided by turns."),
        Travel => ("Total travel", "As measured, or travel per turn times turns."),
        TurnsBare => ("Turns of the bare rack", "Total travel divided by travel per turn."),
        AxisSpacingGround => (
            "Steering axes at the ground",
            "As measured; or the spacing at rod-end height plus twice rod-end height times the tangent of the kingpin inclination.",
        ),
        AxisSpacingRodEnd => (
            "Steering axes at rod-end height",
            "As measured; or the rod ends' spacing plus both sideways distances; or from the ground by the kingpin inclination.",
        ),
        ScrubRadius => (
            "Scrub radius",
            "Half of track less steering-axis spacing at the ground; positive when the axis meets the ground inboard of the tyre's middle (ISO 8855).",
        ),
        ArmLength => ("Steering arm length", "Straight distance from steering axis to rod end, seen from above."),
        ArmAngle => ("Steering arm angle", "From straight fore and aft; positive when the rod end lies inboard."),
        ChalkLine => (
            "Chalk-line figure",
            "Where the line from the steering axis through the rod end meets the car's middle, as a share of the wheelbase behind the front axle. It ignores where the rack sits, so it can differ much from the real figure.",
        ),
        RodLength => ("Tie rod length", "Joint centre to joint centre with the wheels straight and the rack at mid-travel."),
        RodAngle => ("Rod to rack at mid-travel", "Angle between the tie rod and the rack's axis, in space."),
        RatioFirst => (
            "First ratio",
            "2π times the arm's fore-aft distance, divided by travel per turn: as if the rods ran square to the car. The ratio on centre replaces it once the rack's place is known.",
        ),
        RatioCentre => (
            "Ratio on centre",
            "Overall steering ratio (ISO 8855): how much the steering wheel turns for a change of the mean of both steer angles, straight ahead; column joints left out.",
        ),
        RatioLock => ("Ratio to lock", "Steering-wheel angle at lock divided by the mean steer angle there: the average over the turn."),
        RackPerDegree => (
            "Rack travel per degree",
            "Rack travel for a degree of mean steer angle on centre; negative when a rack to the left steers right.",
        ),
        ToggleLeftWheel => {
            ("Toggle, left wheel", "Rack displacement at which rod and arm come into line: the linkage locks and may go over centre.")
        }
        ToggleRightWheel => {
            ("Toggle, right wheel", "Rack displacement at which rod and arm come into line: the linkage locks and may go over centre.")
        }
        FoldBackLeftWheel => {
            ("Fold-back, left wheel", "Rack displacement at which the rod stands square to the rack: pushed on, the wheel comes back.")
        }
        FoldBackRightWheel => {
            ("Fold-back, right wheel", "Rack displacement at which the rod stands square to the rack: pushed on, the wheel comes back.")
        }
        UsableTravel => (
            "Usable travel",
            "From mid-travel to the first of rack end, stop, the reserve before toggle or fold-back of either wheel, and the joints' limits.",
        ),
        Turns => ("Turns lock to lock", "Usable travel both ways divided by travel per turn."),
        Reserve => ("Reserve at lock", "Rack travel from the end of the usable travel to the first toggle or fold-back of either wheel."),
        ReserveHardware => (
            "Reserve at the hardware's end",
            "Rack travel from rack end or stop, whichever comes first, to the first toggle or fold-back of either wheel; negative: it comes too late.",
        ),
        InnerJointReserve => (
            "Inner joint's reserve",
            "Rack travel from rack end or stop to where an inner joint meets its limit; negative: it comes too late.",
        ),
        OuterJointReserve => (
            "Outer joint's reserve",
            "Rack travel from rack end or stop to where an outer joint meets its limit; negative: it comes too late.",
        ),
        RodOverShortest => ("Rod over the shortest", "Rod length less the shortest that the donor's parts allow."),
        RodUnderLongest => ("Rod under the longest", "Longest rod that the donor's parts allow, less the rod length."),
        LockInner => (
            "Inner wheel at lock",
            "Steer angle of the wheel nearer the turning centre at the end of the usable travel, from where it stands at mid-travel.",
        ),
        LockOuter => ("Outer wheel at lock", "Steer angle of the wheel further from the turning centre at the end of the usable travel."),
        IdealOuter => (
            "Ideal outer angle",
            "The outer angle at which both wheels' axes would meet on the rear axle's line: cot outer = cot inner + axis spacing at the ground / wheelbase.",
        ),
        ToeOutLock => ("Toe-out on turns at lock", "Inner angle less outer angle."),
        AckermannAngle => ("Ackermann by angle difference", "Toe-out at lock as a share of the ideal toe-out at the same inner angle."),
        AckermannCotangent => (
            "Ackermann by cotangent",
            "Difference of the two cotangents times wheelbase over axis spacing at the ground. Two measures exist (SAE 2006-01-3638); they agree only at 0 and 100 %.",
        ),
        AckermannLimit => (
            "Ackermann near straight ahead",
            "What both measures tend to at small angles: wheelbase over axis spacing times the second derivative of the steer angle over the square of the first.",
        ),
        TransmissionInner => ("Transmission angle, inner wheel", "Between rod and arm at lock: 90° pushes best, 0° is a toggle."),
        TransmissionOuter => ("Transmission angle, outer wheel", "Between rod and arm at lock: 90° pushes best, 0° is a toggle."),
        InnerJoint => ("Inner joint's largest angle", "Largest angle between rod and rack over the usable travel, in space."),
        OuterJoint => (
            "Outer joint's largest tilt",
            "Largest change of the rod's tilt out of the plane square to the stud over the usable travel; the stud is taken along the steering axis, which the plan shows upright. Suspension travel is not in it.",
        ),
        CircleCentre => (
            "Circle, tyre's centre",
            "Turning diameter at the outer tyre's centre (SAE J695). The turning centre is put half-way between the two wheels' wishes, by their cotangents.",
        ),
        CircleOuterRules => {
            ("Circle if the outer wheel rules", "The same with the turning centre where the outer wheel's axis meets the rear axle's line.")
        }
        CircleInnerRules => {
            ("Circle if the inner wheel rules", "The same with the turning centre where the inner wheel's axis meets the rear axle's line.")
        }
        CircleEdge => ("Circle, tyre's outer edge", "At the outer tyre's outer edge: what must clear a kerb."),
        WallToWall => ("Circle, wall to wall", "By the body corner that reaches furthest."),
        RearInnerEdge => ("Circle of the inner rear tyre", "At its inner edge: how far it cuts the corner."),
    }
}

/// A limit that was not set by the builder.
pub const USUAL: &str = "usual figure, common practice, no source";

/// "carried over from Hatchback rack".
pub fn carried_from(plan: &crate::plan::Plan, rack: usize) -> String {
    match plan.racks.get(rack).map(|r| r.name.as_str()) {
        Some(name) if !name.is_empty() => format!("carried over from {name}"),
        _ => format!("carried over from rack {}", rack + 1),
    }
}

/// Where a result's formula comes from.
pub fn source(n: Name) -> &'static str {
    use Name::*;
    match n {
        TravelPerTurn | Travel | TurnsBare => "your readings, and a division or product of them",
        AxisSpacingGround | AxisSpacingRodEnd | ArmLength | ArmAngle | ChalkLine => "plane geometry",
        ScrubRadius => "ISO 8855 for what it means; plane geometry",
        RatioFirst => "plane geometry, rods taken as square to the car",
        RatioCentre | RatioLock | RackPerDegree => "ISO 8855 for what it means; the linkage in plan, its position solved exactly",
        IdealOuter | AckermannAngle | AckermannLimit => "Ackermann's condition, both front axes meeting on the rear axle's line",
        AckermannCotangent => "SAE 2006-01-3638",
        CircleCentre => "SAE J695 for what it means; plane geometry, no slip",
        CircleOuterRules | CircleInnerRules | CircleEdge | WallToWall | RearInnerEdge => "plane geometry, no slip",
        _ => "the linkage in plan, its position solved exactly",
    }
}

/// "± 1.5 mm, tape".
pub fn tolerance(pm: &Text, how: &str) -> Text {
    Text { mm: format!("± {}, {how}", pm.mm), inch: format!("± {}, {how}", pm.inch) }
}
