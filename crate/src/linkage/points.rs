//! The points that were measured along, across and up, and the steering axes that follow from them.
//!
//! X forward from the line across the car, Y left from its middle, Z up from the floor, mm (ISO 8855). A coordinate of the right side
//! that was not measured is the left one's, mirrored: one reading. What the tape fixes already is taken from there ([`by_tape`]).

use crate::catalogue::field::{Field, Joint};
use crate::catalogue::field_set::FieldSet;
use crate::math::trig::Angle;
use crate::math::vector::Vec3;
use crate::plan::inputs::Source;

/// A coordinate (0 along, 1 across, 2 up; across counted outboard) that other readings fix: the tie-rod end's by its height and spacing, the
/// wheel centre's by the track, and by the line across the car running through both of them.
pub fn by_tape(x: &dyn Source, joint: Joint, axis: usize) -> Option<f64> {
    match (joint, axis) {
        (Joint::TieRodEnd, 1) => x.get(Field::RodEndSpacing).map(|w| w / 2.0),
        (Joint::TieRodEnd, 2) => x.get(Field::RodEndHeight),
        (Joint::WheelCentre, 0) => Some(0.0),
        // The track counts between the contact centres, which camber brings nearer to each other or farther apart.
        (Joint::WheelCentre, 1) => {
            let lean = x.get(Field::StaticCamber).unwrap_or(0.0).tangent() * x.get(Field::WheelCentreZ).unwrap_or(0.0);
            Some(x.get(Field::FrontTrack)? / 2.0 + lean)
        }
        _ => None,
    }
}

/// A coordinate as it was measured on `side` (0 left, 1 right; across counted outboard).
///
/// The lines it was measured from may lie elsewhere than they should: as far as [`Field::LineAcross`], [`Field::LineAlong`] and
/// [`Field::LineLevel`] say, which is nought, with the ± that all points share.
fn measured(x: &dyn Source, joint: Joint, axis: usize, side: usize) -> Option<f64> {
    let fields = joint.fields();
    let own = if side == 1 { x.get(fields[1][axis]) } else { None };
    let value = own.or_else(|| x.get(fields[0][axis]))?;
    let line = x.get([Field::LineAcross, Field::LineAlong, Field::LineLevel][axis]).unwrap_or(0.0);
    // A line too far to the left shortens what is measured on that side, and lengthens the other; what mirrors the left goes with it.
    Some(if axis == 1 && (side == 0 || own.is_none()) { value - line } else { value + line })
}

/// A point of the wheel on `side` (0 left, 1 right); `None` while one of its coordinates is not known.
pub fn joint(x: &dyn Source, joint: Joint, side: usize) -> Option<Vec3> {
    let read = |axis: usize| measured(x, joint, axis, side).or_else(|| by_tape(x, joint, axis));
    let (along, across, up) = (read(0)?, read(1)?, read(2)?);
    Some(Vec3::new(along, if side == 0 { across } else { -across }, up))
}

/// How far outboard the tyre meets the floor.
pub fn contact(x: &dyn Source, side: usize) -> Option<f64> {
    let lean = x.get(Field::StaticCamber).unwrap_or(0.0).tangent();
    joint(x, Joint::WheelCentre, side).map(|c| c.y.abs() - lean * c.z)
}

/// The coordinates of a point that are asked for: of the left side, which the right one mirrors.
pub fn asked(x: &dyn Source, joint: Joint) -> FieldSet {
    let lacks = |axis: &usize| measured(x, joint, *axis, 0).or_else(|| by_tape(x, joint, *axis)).is_none();
    (0..3).filter(lacks).fold(FieldSet::empty(), |set, axis| set | joint.fields()[0][axis])
}

/// The steering axis of one wheel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Axis {
    /// Its lower joint.
    pub lower: Vec3,
    /// Its direction, a unit vector pointing up.
    pub up: Vec3,
}

impl Axis {
    /// Where it passes through a height.
    pub fn at(&self, height: f64) -> Vec3 {
        self.lower + self.up * ((height - self.lower.z) / self.up.z)
    }
}

/// What carries the front wheels, as typed, else by which upper point was measured: whether a strut. `None` where neither says so.
pub fn is_strut(x: &dyn Source) -> Option<bool> {
    let seen = |joint: Joint| joint.fields()[0].iter().any(|f| x.get(*f).is_some());
    match x.get(Field::Suspension) {
        Some(word) => Some(word < 0.0),
        None if seen(Joint::UpperBall) => Some(false),
        None => seen(Joint::StrutTop).then_some(true),
    }
}

/// The points that a suspension needs, in the order in which they are measured: those first from which something can be answered already.
pub fn needed(strut: Option<bool>) -> &'static [Joint] {
    use Joint::*;
    match strut {
        None => &[LowerBall, TieRodEnd, WheelCentre, LowerFront, LowerRear],
        Some(false) => &[LowerBall, UpperBall, TieRodEnd, WheelCentre, LowerFront, LowerRear, UpperFront, UpperRear],
        Some(true) => &[LowerBall, StrutTop, TieRodEnd, WheelCentre, LowerFront, LowerRear, Damper],
    }
}

/// Upper end of the steering axis.
pub fn upper(strut: bool) -> Joint {
    if strut { Joint::StrutTop } else { Joint::UpperBall }
}

/// How steep a steering axis has to be at the least, the upward part of its direction: what leans further was read wrong.
pub const LEAST_STEEP: f64 = 0.5;

/// The steering axis of the wheel on `side`, through its two joints; `None` where one of them is not known, or they stand beside rather
/// than above each other.
pub fn axis(x: &dyn Source, side: usize) -> Option<Axis> {
    let lower = joint(x, Joint::LowerBall, side)?;
    let upper = joint(x, upper(is_strut(x)?), side)?;
    let up = (upper - lower).unit();
    (up.z > LEAST_STEEP).then_some(Axis { lower, up })
}

/// Both steering axes as they stand at the height of their tie-rod ends: where, and in which direction.
pub fn axes(x: &dyn Source) -> Option<[(Vec3, Vec3); 2]> {
    let height = |side| measured(x, Joint::TieRodEnd, 2, side).or_else(|| by_tape(x, Joint::TieRodEnd, 2));
    let of = |side| axis(x, side).zip(height(side)).map(|(axis, height)| (axis.at(height), axis.up));
    Some([of(0)?, of(1)?])
}
