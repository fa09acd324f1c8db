//! Where the tape goes and what a formula says: the words that only the two tables hold (`crate::tables`), so that the WebAssembly
//! is spared them.

use crate::catalogue::field::Field;
use crate::catalogue::result::ResultId;

/// Where the tape goes for a measurement; empty where its name says it.
pub fn hint(f: Field) -> &'static str {
    use Field::*;
    match f {
        Wheelbase => "front hub centre to rear hub centre, wheels straight",
        FrontTrack => "middle of one front tyre to middle of the other, on the floor",
        RearTrack => "middle of one rear tyre to middle of the other, on the floor",
        AxisSpacingGround => "sight down both ball joints or kingpins, mark the floor, measure between the marks",
        ScrubRadius => "from that floor mark to the middle of the tyre; inboard when the mark is nearer the car’s middle",
        AxisSpacingRodEnd => "between the two axes, at the height of the tie-rod ends",
        RodEndSpacing => "joint centre to joint centre across the car, wheels straight",
        KingpinInclination => "lean of the steering axis, top inboard, seen from the front",
        RodEndHeight => "floor to the centre of the tie-rod end",
        ArmForeAft => "plumb both at the tie-rod end’s height, measure along the car",
        ArmInboard => "plumb both at the tie-rod end’s height, measure across the car",
        ArmLength => "axis to tie-rod end, seen from above: instead of the two distances",
        ArmAngle => "from straight fore and aft: goes with the arm’s length",
        RightArmForeAft => "only where the right arm differs from the left one",
        RightArmInboard => "only where the right arm differs from the left one",
        TyreWidth => "bulge to bulge, or the first figure on the sidewall",
        RearTyreWidth => "only where it differs from the front",
        CornerAhead => "how far it stands ahead of the front hub centres",
        CornerWidth => "corner to corner",
        SecondCornerAhead => "how far it stands ahead of the front hub centres",
        SecondCornerWidth => "corner to corner",
        RackLineFrom => "one end of the free room, from the line through both tie-rod ends; empty: 150 mm ahead",
        RackLineTo => "the other end; empty: 150 mm behind",
        Caster => "lean of the steering axis, top rearward or forward, seen from the side",
        TravelPerTurn => "over a single turn, instead of two: two are surer",
        Travel => "bar hard over one way to hard over the other",
        Turns => "of the shaft, counted from one end to the other",
        InnerJointSpacing => "ball centre to ball centre, along the bar",
        BarMoves => "hold it as it will sit, turn the shaft counter-clockwise looking at its end",
        RackLine => "from the line through both tie-rod ends to the line through both inner joints",
        Offset => "middle between the inner joints, rack at mid-travel",
        Height => "at ride height",
        StopLeft => "travel from the middle to the stop",
        StopRight => "travel from the middle to the stop",
        RodLength => "only if the rods are not made to fit: joint centre to joint centre",
        RodLengthMin => "that the donor’s rod and its end allow, joint centre to joint centre",
        RodLengthMax => "that the donor’s rod and its end allow, thread still engaged",
        InnerJointLimit => "largest angle between rod and bar before the ball binds",
        OuterJointLimit => "largest tilt from square to the stud before the ball binds",
        TravelTwoTurns => "chalk the shaft, turn it twice, measure how far the bar moved",
        LockWanted => "each side",
        ReserveWanted => "each way",
        TransmissionWanted => "between rod and arm",
        AckermannMin => "by angle difference",
        AckermannMax => "by angle difference",
        ToeMax => "each wheel, rack at mid-travel",
        UsualRatioMin | UsualRatioMax | UsualTurnsMin | UsualTurnsMax | UsualCircleMin | UsualCircleMax | UsualAckermannMin
        | UsualAckermannMax | UsualScrubMin | UsualScrubMax | UsualRodMin | UsualRodMax | UsualWheelbaseMin | UsualWheelbaseMax
        | UsualTiltMax | UsualTolerance => "",
        RatioMin | RatioMax | TurnsMin | TurnsMax | CircleMax | CircleEdgeMax | WallToWallMax => "",
    }
}

/// A result's formula in words with its source.
pub fn formula(n: ResultId) -> &'static str {
    use ResultId::*;
    match n {
        TravelPerTurn => "As measured, or half the travel over two turns, or total travel divided by turns.",
        Travel => "As measured, or travel per turn times turns.",
        TurnsBare => "Total travel divided by travel per turn.",
        AxisSpacingGround => {
            "As measured; or the spacing at tie-rod-end height plus twice tie-rod-end height times the tangent of the kingpin inclination."
        }
        AxisSpacingRodEnd => {
            "As measured; or the tie-rod ends’ spacing plus both sideways distances; or from the ground by the kingpin inclination."
        }
        ScrubRadius => {
            "Half of track less steering-axis spacing at the ground; positive when the axis meets the ground inboard of the tyre’s middle (ISO 8855)."
        }
        ArmLength => "Straight distance from steering axis to tie-rod end, seen from above.",
        ArmAngle => "From straight fore and aft; positive when the tie-rod end lies inboard.",
        ChalkLine => {
            "Where the line from the steering axis through the tie-rod end meets the car’s middle, as a share of the wheelbase behind the front axle. It ignores where the rack sits, so it can differ much from the real figure."
        }
        RodLength => "Joint centre to joint centre with the wheels straight and the rack at mid-travel.",
        RodLengthStraight => "Straight distance between the joint centres, wheel straight ahead and rack at mid-travel.",
        ToeCentre => {
            "How far the wheel points inwards (toe-in positive) with the rack at mid-travel: nought for rods made to fit, the rod’s doing where its length was typed."
        }
        RodTilt => "Out of level, from the height between inner and outer joint over the rod’s length.",
        SteerRate => "How much the wheel steers for a millimetre of rack on centre, left positive; both wheels must agree in sign.",
        InnerJointMargin => "The joint’s limit less its largest angle from mid-travel to where rack or stop ends.",
        OuterJointMargin => "The joint’s limit less its largest tilt from mid-travel to where rack or stop ends.",
        TransmissionLeast => "Between rod and arm, the smaller of the two wheels’, its smallest from mid-travel to lock.",
        RodAngle => "Angle between the tie rod and the rack’s axis, in space.",
        RatioFirst => {
            "2π times the arm’s fore-aft distance, divided by travel per turn: as if the rods ran square to the car. The ratio on centre replaces it once the rack’s place is known."
        }
        RatioCentre => {
            "Overall steering ratio (ISO 8855): how much the steering wheel turns for a change of the mean of both steer angles, straight ahead; column joints left out."
        }
        RatioLock => "Steering-wheel angle at lock divided by the mean steer angle there: the average over the turn.",
        RackPerDegree => "Rack travel for a degree of mean steer angle on centre; negative when a rack to the left steers right.",
        ToggleLeftWheel => "Rack displacement at which rod and arm come into line: the linkage locks and may go over centre.",
        ToggleRightWheel => "Rack displacement at which rod and arm come into line: the linkage locks and may go over centre.",
        FoldBackLeftWheel => "Rack displacement at which the rod stands square to the rack: pushed on, the wheel comes back.",
        FoldBackRightWheel => "Rack displacement at which the rod stands square to the rack: pushed on, the wheel comes back.",
        UsableTravel => {
            "From mid-travel to the first of rack end, stop, the reserve before toggle or fold-back of either wheel, and the joints’ limits."
        }
        Turns => "Usable travel both ways divided by travel per turn.",
        Reserve => "Rack travel from the end of the usable travel to the first toggle or fold-back of either wheel.",
        ReserveHardware => {
            "Rack travel from rack end or stop, whichever comes first, to the first toggle or fold-back of either wheel; negative: it comes too late."
        }
        InnerJointReserve => "Rack travel from rack end or stop to where an inner joint meets its limit; negative: it comes too late.",
        OuterJointReserve => "Rack travel from rack end or stop to where an outer joint meets its limit; negative: it comes too late.",
        RodOverShortest => "Rod length less the shortest that the donor’s parts allow.",
        RodUnderLongest => "Longest rod that the donor’s parts allow, less the rod length.",
        LockInner => "Steer angle of the wheel nearer the turning centre at the end of the usable travel, from straight ahead.",
        LockOuter => "Steer angle of the wheel further from the turning centre at the end of the usable travel.",
        IdealOuter => {
            "The outer angle at which both wheels’ axes would meet on the rear axle’s line: cot outer = cot inner + axis spacing at the ground / wheelbase."
        }
        ToeOutLock => "Inner angle less outer angle, each from where the wheel stands at mid-travel.",
        AckermannAngle => "Toe-out at lock as a share of the ideal toe-out at the same inner angle.",
        AckermannCotangent => {
            "Difference of the two cotangents times wheelbase over axis spacing at the ground. Two measures exist (SAE 2006-01-3638); they agree only at 0 and 100 %."
        }
        AckermannLimit => {
            "What both measures tend to at small angles: wheelbase over axis spacing times the second derivative of the steer angle over the square of the first."
        }
        TransmissionInner => "Between rod and arm at lock: 90° pushes best, 0° is a toggle.",
        TransmissionOuter => "Between rod and arm at lock: 90° pushes best, 0° is a toggle.",
        InnerJoint => "Largest angle between rod and rack over the usable travel, in space.",
        OuterJoint => {
            "Largest tilt of the rod out of the plane square to the stud over the usable travel; the stud is taken along the steering axis. Suspension travel is not in it."
        }
        CircleCentre => {
            "Turning diameter at the outer tyre’s centre. The turning centre is put half-way between the two wheels’ wishes, by their cotangents: our own convention."
        }
        CircleOuterRules => {
            "The same with the turning centre where the outer wheel’s axis meets the rear axle’s line: the formula of SAE J695."
        }
        CircleInnerRules => "The same with the turning centre where the inner wheel’s axis meets the rear axle’s line.",
        CircleEdge => "At the outer tyre’s outer edge: what must clear a kerb.",
        WallToWall => "By the body corner that reaches furthest, and no less than at the outer tyre’s outer edge.",
        RearInnerEdge => "At its inner edge: how far it cuts the corner.",
    }
}
