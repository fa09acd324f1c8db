//! Both corners of the car as the points put them, with the rack where it is fitted.

use crate::catalogue::field::{Field, Joint};
use crate::catalogue::field_set::FieldSet;
use crate::catalogue::value::{Gap, Link, Why};
use crate::linkage::points;
use crate::linkage::wheel::placed;
use crate::math::trig::Angle;
use crate::plan::inputs::Source;
use crate::suspension::RanOut;
use crate::suspension::corner::{Corner, Guide, Points, Side};

/// Why a position cannot be reached, as a result says it.
pub fn ran_out(out: RanOut) -> Gap {
    Gap::Unreachable(Why::RanOut(match out {
        RanOut::LowerArm => Link::LowerArm,
        RanOut::UpperArm(_) => Link::UpperArm,
        RanOut::Damper => Link::Damper,
        RanOut::TieRod(_) => Link::TieRod,
        RanOut::Flat => Link::Wheel,
    }))
}

/// What is still to be measured of one point.
pub fn lacking(x: &dyn Source, joint: Joint) -> FieldSet {
    let own = points::asked(x, joint);
    // With the axis and the arm the tie-rod end is known but for its height.
    let by_arm = joint == Joint::TieRodEnd && x.get(Field::ArmForeAft).or(x.get(Field::ArmLength)).is_some();
    if by_arm { own & Field::TieRodEndZ } else { own }
}

/// What is still to be measured of the points.
pub fn missing(x: &dyn Source) -> FieldSet {
    let strut = points::is_strut(x);
    let all = points::needed(strut).iter().fold(FieldSet::empty(), |set, joint| set | lacking(x, *joint));
    if strut.is_none() { all | Field::Suspension } else { all }
}

/// Both corners, [left, right].
///
/// Ride height is the reference; the rack at mid-travel stands as [`placed`] has it, so its height beside the tie-rod ends has to be known.
pub fn corners(x: &dyn Source) -> Result<[Corner; 2], Gap> {
    let missing = missing(x);
    let height = if x.get(Field::Height).is_none() { FieldSet::only(Field::Height) } else { FieldSet::empty() };
    if !(missing | height).is_empty() {
        return Err(Gap::Missing(missing | height));
    }
    let at = placed(x)?;
    let strut = points::is_strut(x) == Some(true);
    let corner = |side: usize| {
        let joint = |joint| points::joint(x, joint, side).unwrap_or_default();
        let lower = [joint(Joint::LowerFront), joint(Joint::LowerRear)];
        let lower_ball = joint(Joint::LowerBall);
        let guide = match strut {
            false => Guide::Wishbone {
                lower,
                lower_ball,
                upper: [joint(Joint::UpperFront), joint(Joint::UpperRear)],
                upper_ball: joint(Joint::UpperBall),
            },
            true => Guide::Strut { lower, lower_ball, top: joint(Joint::StrutTop), damper: joint(Joint::Damper) },
        };
        let wheel_centre = joint(Joint::WheelCentre);
        let (toe, camber) = (x.get(Field::StaticToe).unwrap_or(0.0), x.get(Field::StaticCamber).unwrap_or(0.0));
        // The contact point lies on the floor.
        let radius = wheel_centre.z / camber.cosine();
        let rod = x.get(Field::RodLength);
        let points = Points { guide, outer: at.outer[side], inner: at.inner[side], wheel_centre, toe, camber, radius, rod };
        Corner::new([Side::Left, Side::Right][side], &points).map_err(|_| Gap::Unreachable(Why::NoSuspension))
    };
    Ok([corner(0)?, corner(1)?])
}
