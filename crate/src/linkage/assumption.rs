//! What is taken for granted where a reading is missing, and within what bounds it may be otherwise.
//!
//! Each assumption is a few sets of inputs at the corners of its range. A result's ± takes in how far those move it: solved in full,
//! not to first order, because what is unknown is not small. The ranges are common practice, no source.

use crate::catalogue::field::Field;
use crate::linkage::points;
use crate::linkage::wheel::{Basis, Level, axis_spacing};
use crate::math::each::Each;
use crate::plan::inputs::{Inputs, Source};

/// Range of kingpin inclination, degrees.
pub const INCLINATION: [f64; 2] = [6.0, 14.0];
/// Range of caster, degrees.
pub const CASTER: [f64; 2] = [2.0, 7.0];
/// Range of the height of the outer rod ends above the ground, mm: the higher goes with the larger inclination.
pub const ROD_END_HEIGHT: [f64; 2] = [180.0, 260.0];
/// How far a rack taken as centred may be off the car's middle, mm.
pub const OFFSET: f64 = 3.0;
/// How far inner joints taken as level may be from the rod ends' height, mm.
pub const HEIGHT: f64 = 25.0;

/// Something taken for granted.
#[derive(Debug, Clone, PartialEq)]
pub struct Assumption {
    /// The reading that would settle it.
    pub settled_by: Field,
    /// The inputs at the corners of its range.
    pub corners: Vec<Inputs>,
}

/// What is taken for granted of the steering axes' lean.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Lean {
    /// Nothing: inclination, height and caster are known, or the axes' joints by points.
    Known,
    /// Caster alone.
    Caster,
    /// The axes are taken as upright.
    Upright,
}

/// What is known of the steering axes' lean.
pub fn lean(x: &dyn Source) -> Lean {
    if points::axes(x).is_some() {
        return Lean::Known;
    }
    match (crate::linkage::wheel::lean(x), x.get(Field::Caster)) {
        (None, _) => Lean::Upright,
        (Some(_), None) => Lean::Caster,
        (Some(_), Some(_)) => Lean::Known,
    }
}

/// Everything that is taken for granted for these inputs.
pub fn assumptions(x: &Inputs) -> Vec<Assumption> {
    let mut out = Vec::new();
    let casters = x.get(Field::Caster).map_or(CASTER.map(f64::to_radians), |c| [c, c]);
    let leaning = |corner: usize| {
        let inclination = x.get(Field::KingpinInclination).unwrap_or(INCLINATION[corner].to_radians());
        let height = x.get(Field::RodEndHeight).unwrap_or(ROD_END_HEIGHT[corner]);
        x.with(Field::KingpinInclination, Some(inclination)).with(Field::RodEndHeight, Some(height))
    };
    let with_caster = |y: Inputs| casters.map(|c| y.with(Field::Caster, Some(c)));
    match lean(x) {
        Lean::Known => {}
        Lean::Caster => out.push(Assumption { settled_by: Field::Caster, corners: with_caster(*x).into() }),
        Lean::Upright => {
            let settled_by = match x.get(Field::KingpinInclination) {
                None => Field::KingpinInclination,
                Some(_) => Field::RodEndHeight,
            };
            let corners = [0, 1].into_iter().flat_map(|corner| with_caster(leaning(corner))).collect();
            out.push(Assumption { settled_by, corners });
        }
    }
    let mut between = |field: Field, by: f64| {
        if x.get(field).is_none() {
            out.push(Assumption { settled_by: field, corners: [by, -by].each(|v| x.with(field, Some(v))).into() });
        }
    };
    between(Field::Offset, OFFSET);
    between(Field::Height, HEIGHT);
    out
}

/// Whether the axes' spacing at that height is the other one's for want of a reading.
pub fn taken_over(x: &Inputs, level: Level) -> bool {
    axis_spacing(x, level).map(|s| s.1) == Ok(Basis::TakenOver)
}
