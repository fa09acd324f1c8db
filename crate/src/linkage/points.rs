//! The points that were measured along, across and up, and the steering axes that follow from them.
//!
//! X forward from the line across the car, Y left from its middle, Z up from the floor, mm (ISO 8855). A coordinate of the right side
//! that was not measured is the left one's, mirrored: one reading.

use crate::catalogue::field::{Field, Joint};
use crate::math::vector::Vec3;
use crate::plan::inputs::Source;

/// A point of the wheel on `side` (0 left, 1 right).
///
/// The lines it was measured from may lie elsewhere than they should: as far as [`Field::LineAcross`], [`Field::LineAlong`] and
/// [`Field::LineLevel`] say, which is nought, with the ± that all points share.
pub fn joint(x: &impl Source, joint: Joint, side: usize) -> Option<Vec3> {
    let [left, right] = joint.fields();
    let read = |axis: usize| Some(right[axis]).filter(|_| side == 1).and_then(|f| x.get(f)).or_else(|| x.get(left[axis]));
    let (along, across, up) = (read(0)?, read(1)?, read(2)?);
    let line = |field: Field| x.get(field).unwrap_or(0.0);
    let across = across - line(Field::LineAlong);
    Some(Vec3::new(along + line(Field::LineAcross), if side == 0 { across } else { -across }, up + line(Field::LineLevel)))
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

/// Whether the upper end of the steering axis is a strut's top mount: as typed, else by which of the two was measured.
pub fn is_strut(x: &impl Source) -> bool {
    match x.get(Field::Suspension) {
        Some(word) => word < 0.0,
        None => x.get(Field::UpperBallZ).is_none() && x.get(Field::StrutTopZ).is_some(),
    }
}

/// How steep a steering axis has to be at the least, the upward part of its direction: what leans further was read wrong.
const LEAST_STEEP: f64 = 0.5;

/// The steering axis of the wheel on `side`, through its two joints; `None` where one of them is not known, or they stand beside rather
/// than above each other.
pub fn axis(x: &impl Source, side: usize) -> Option<Axis> {
    let lower = joint(x, Joint::LowerBall, side)?;
    let upper = joint(x, if is_strut(x) { Joint::StrutTop } else { Joint::UpperBall }, side)?;
    let up = (upper - lower).unit();
    (up.z > LEAST_STEEP).then_some(Axis { lower, up })
}

/// Height of the tie-rod end on `side` above the floor.
pub fn rod_end_height(x: &impl Source, side: usize) -> Option<f64> {
    joint(x, Joint::TieRodEnd, side).map(|o| o.z).or_else(|| x.get(Field::RodEndHeight))
}

/// Both steering axes as they stand at the height of their tie-rod ends: where, and in which direction.
pub fn axes(x: &impl Source) -> Option<[(Vec3, Vec3); 2]> {
    let of = |side| axis(x, side).zip(rod_end_height(x, side)).map(|(axis, height)| (axis.at(height), axis.up));
    Some([of(0)?, of(1)?])
}
