//! The steered axle: two wheels on one rack, built from what was measured with a tape.

use crate::catalogue::field::Field;
use crate::catalogue::field_set::FieldSet;
use crate::catalogue::value::{Gap, Why, all, known};
use crate::linkage::arm::{Arm, arms};
use crate::linkage::points;
use crate::math::closure::{Linkage, Rotation};
use crate::math::vector::Vec3;
use crate::plan::inputs::Source;

/// One wheel and its linkage.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wheel {
    /// Its linkage.
    pub linkage: Linkage,
    /// Its steering axis, a unit vector pointing up.
    pub axis: Vec3,
    /// Its spin axis in the reference configuration, a unit vector pointing **left** on both wheels.
    pub spin: Vec3,
}

impl Wheel {
    /// Steer angle δ in radians, positive to the left: atan2(−aₓ, a_y) with a the spin axis (ISO 8855).
    ///
    /// ```
    /// use donorack::{Linkage, Vec3, Wheel};
    /// // Arms ahead of the axis, rack to the left: the wheel steers left.
    /// let (axis, outer, inner) = (Vec3::new(0.0, 700.0, 0.0), Vec3::new(130.0, 718.0, 0.0), Vec3::new(155.0, 310.0, 0.0));
    /// let linkage = Linkage::new(axis, Vec3::UP, outer, inner).unwrap();
    /// let wheel = Wheel { linkage, axis: Vec3::UP, spin: Vec3::LEFT };
    /// assert!(wheel.steer(linkage.at(10.0).unwrap()) > 0.0);
    /// ```
    pub fn steer(&self, t: Rotation) -> f64 {
        let a = self.spin.turned(self.axis, t.cos, t.sin);
        (-a.x).atan2(a.y)
    }

    /// First and second derivative of the steer angle by the rack displacement, rad/mm and rad/mm².
    pub fn rates(&self, s: f64, t: Rotation) -> (f64, f64) {
        let (d1, d2) = self.linkage.rates(s, t);
        let a = self.spin.turned(self.axis, t.cos, t.sin);
        let (v, w) = (self.axis.cross(a), self.axis.cross(self.axis.cross(a)));
        let (n, d) = (a.x * v.y - v.x * a.y, a.x * a.x + a.y * a.y);
        let (dn, dd) = (a.x * w.y - w.x * a.y, 2.0 * (a.x * v.x + a.y * v.y));
        (n / d * d1, (dn * d - n * dd) / (d * d) * d1 * d1 + n / d * d2)
    }
}

/// Where a spacing of the steering axes comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Basis {
    /// Measured at that height, or by readings that give it exactly.
    Measured,
    /// From the other height, by kingpin inclination and rod-end height.
    Inclination,
    /// The other height's spacing, taken for this one because nothing better is known.
    TakenOver,
}

/// The two heights at which the spacing of the steering axes counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Level {
    /// Where the axes meet the ground.
    Ground,
    /// The height of the outer rod ends.
    RodEnd,
}

/// Spacing of the steering axes at one height, mm, with where it comes from. Missing: it is known at neither.
pub fn axis_spacing(x: &impl Source, level: Level) -> Result<(f64, Basis), Gap> {
    let by_points = match level {
        Level::Ground => points::axis(x, 0).zip(points::axis(x, 1)).map(|(l, r)| l.at(0.0).y - r.at(0.0).y),
        Level::RodEnd => points::axes(x).map(|[left, right]| left.0.y - right.0.y),
    };
    if let Some(spacing) = by_points {
        return Ok((spacing, Basis::Measured));
    }
    let measured = |level: Level| match level {
        Level::Ground => x.get(Field::AxisSpacingGround).or_else(|| Some(x.get(Field::FrontTrack)? - 2.0 * x.get(Field::ScrubRadius)?)),
        Level::RodEnd => x.get(Field::AxisSpacingRodEnd).or_else(|| {
            let ends = x.get(Field::RodEndSpacing)?;
            let [left, right] = arms(x).ok()?;
            Some(ends + left.inboard + right.inboard)
        }),
    };
    if let Some(spacing) = measured(level) {
        return Ok((spacing, Basis::Measured));
    }
    let (other, sign) = match level {
        Level::Ground => (Level::RodEnd, 1.0),
        Level::RodEnd => (Level::Ground, -1.0),
    };
    let lean = || Some(2.0 * x.get(Field::RodEndHeight)? * x.get(Field::KingpinInclination)?.tan());
    match (measured(other), lean()) {
        (Some(spacing), Some(lean)) => Ok((spacing + sign * lean, Basis::Inclination)),
        (Some(spacing), None) => Ok((spacing, Basis::TakenOver)),
        // With the rod ends' spacing there, it is the arms that are missing.
        (None, _) => match (x.get(Field::RodEndSpacing), arms(x)) {
            (Some(_), Err(gap)) => Err(gap),
            _ => Err(Gap::Missing(FieldSet::only(Field::AxisSpacingGround))),
        },
    }
}

/// Caster that is taken where the kingpin inclination is known and caster is not, degrees: the middle of
/// [`crate::linkage::assumption::CASTER`]. Common practice, no source.
pub const USUAL_CASTER: f64 = 4.5;

/// Kingpin inclination and caster of the steering axes, radians, as soon as inclination and rod-end height are known; until then the
/// axes are taken as upright.
pub fn lean(x: &impl Source) -> Option<[f64; 2]> {
    x.get(Field::RodEndHeight)?;
    Some([x.get(Field::KingpinInclination)?, x.get(Field::Caster).unwrap_or(USUAL_CASTER.to_radians())])
}

/// Direction of a steering axis, upwards, for the wheel on `side` (+1 left, −1 right): atan(−u_y/u_z) is the kingpin inclination on the
/// left, atan(u_y/u_z) on the right, atan(−u_x/u_z) the caster (ISO 8855).
///
/// ```
/// use donorack::axis_direction;
/// let u = axis_direction([0.2, 0.1], 1.0);
/// assert!(u.y < 0.0 && u.x < 0.0, "top inboard and rearward");
/// ```
pub fn axis_direction([inclination, caster]: [f64; 2], side: f64) -> Vec3 {
    Vec3::new(-caster.tan(), -side * inclination.tan(), 1.0).unit()
}

/// Both wheels with their linkages, [left, right].
///
/// Left: axis through (0, w_r/2) at rod-end height, upright or as [`lean`], or where the points put it ([`points::axes`]); O = (e, w_r/2 − f), I = (ē + rack line, offset + S/2, height)
/// with ē the mean of the two arms' e: the rack line counts from the line through the two outer rod ends. Right: mirrored, but for the
/// offset. The spin axes point straight to the left at the reference.
pub fn wheels(x: &impl Source) -> Result<[Wheel; 2], Gap> {
    let arms = arms(x);
    let spacing = axis_spacing(x, Level::RodEnd).map(|w| w.0);
    let [w, line, inner, _, _] = all([
        spacing,
        known(x.get(Field::RackLine), Field::RackLine),
        known(x.get(Field::InnerJointSpacing), Field::InnerJointSpacing),
        arms.map(|a| a[0].ahead),
        arms.map(|a| a[0].inboard),
    ])?;
    let arms = arms?;
    if arms.iter().any(|a| a.inboard >= w / 2.0) {
        return Err(Gap::Unreachable(Why::ArmsCross));
    }
    if inner >= w - arms[0].inboard - arms[1].inboard {
        return Err(Gap::Unreachable(Why::RackTooWide));
    }
    let (offset, height) = (x.get(Field::Offset).unwrap_or(0.0), x.get(Field::Height).unwrap_or(0.0));
    let (lean, measured) = (lean(x), points::axes(x));
    let axis = |side: f64| match measured {
        Some([left, right]) => {
            if side > 0.0 {
                left
            } else {
                right
            }
        }
        None => (Vec3::new(0.0, side * w / 2.0, 0.0), lean.map_or(Vec3::UP, |lean| axis_direction(lean, side))),
    };
    let outer = |arm: Arm, side: f64| axis(side).0 + Vec3::new(arm.ahead, -side * arm.inboard, 0.0);
    let ends = (outer(arms[0], 1.0) + outer(arms[1], -1.0)) * 0.5;
    let wheel = |arm: Arm, side: f64| {
        let (axis, up) = axis(side);
        let outer = outer(arm, side);
        let joint = Vec3::new(ends.x + line, offset + side * inner / 2.0, ends.z + height);
        let linkage = match x.get(Field::RodLength) {
            Some(rod) => Linkage::with_rod(axis, up, outer, joint, rod),
            None => Linkage::new(axis, up, outer, joint),
        };
        linkage
            .and_then(|l| l.at(0.0).map(|_| Wheel { linkage: l, axis: up, spin: Vec3::LEFT }))
            .map_err(|r| Gap::Unreachable(Why::Linkage(r)))
    };
    Ok([wheel(arms[0], 1.0)?, wheel(arms[1], -1.0)?])
}
