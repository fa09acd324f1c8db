//! The steered axle: two wheels on one rack, built from what was measured with a tape.

use crate::catalogue::field::Field;
use crate::catalogue::field_set::FieldSet;
use crate::catalogue::value::{Gap, Why, all, known};
use crate::linkage::arm::arms;
use crate::linkage::points;
use crate::math::closure::Linkage;
use crate::math::trig::Angle;
use crate::math::vector::Vec3;
use crate::plan::inputs::Source;
use crate::suspension::wheel::Wheel;

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
pub fn axis_spacing(x: &dyn Source, level: Level) -> Result<(f64, Basis), Gap> {
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
    let lean = || Some(2.0 * x.get(Field::RodEndHeight)? * x.get(Field::KingpinInclination)?.tangent());
    match (measured(other), lean()) {
        (Some(spacing), Some(lean)) => Ok((spacing + sign * lean, Basis::Inclination)),
        (Some(spacing), None) => Ok((spacing, Basis::TakenOver)),
        // With the rod ends' spacing there, it is the arms that are missing.
        (None, _) => match (x.get(Field::RodEndSpacing), arms(x)) {
            (Some(_), Err(gap)) => Err(gap),
            // Axes by points lack but the height at which they count.
            _ if points::axis(x, 0).is_some() => Err(Gap::Missing(FieldSet::only(Field::TieRodEndZ))),
            _ => Err(Gap::Missing(FieldSet::only(Field::AxisSpacingGround))),
        },
    }
}

/// Caster that is taken where the kingpin inclination is known and caster is not, degrees: the middle of
/// [`crate::linkage::assumption::CASTER`]. Common practice, no source.
pub const USUAL_CASTER: f64 = 4.5;

/// Kingpin inclination and caster of the steering axes, radians, as soon as inclination and rod-end height are known; until then the
/// axes are taken as upright.
pub fn lean(x: &dyn Source) -> Option<[f64; 2]> {
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
    Vec3::new(-caster.tangent(), -side * inclination.tangent(), 1.0).unit()
}

/// Where everything stands at the reference: wheels straight, rack at mid-travel. Each [left, right].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Placed {
    /// The steering axes: a point of each at its tie-rod end's height, and its direction, upwards.
    pub axes: [(Vec3, Vec3); 2],
    /// Outer joints of the tie rods.
    pub outer: [Vec3; 2],
    /// Inner joints.
    pub inner: [Vec3; 2],
}

/// Where everything stands at the reference.
///
/// Left: axis through (0, w_r/2) at rod-end height, upright or as [`lean`], or where the points put it ([`points::axes`]);
/// O = (e, w_r/2 − f), I = (ē + rack line, offset + S/2, height) with ē the mean of the two arms' e: the rack line counts from the line
/// through the two outer rod ends. Right: mirrored, but for the offset.
pub fn placed(x: &dyn Source) -> Result<Placed, Gap> {
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
    let lean = lean(x);
    let axis = |side: f64| (Vec3::new(0.0, side * w / 2.0, 0.0), lean.map_or(Vec3::UP, |lean| axis_direction(lean, side)));
    let axes = points::axes(x).unwrap_or_else(|| [axis(1.0), axis(-1.0)]);
    let outer = |side: usize| axes[side].0 + Vec3::new(arms[side].ahead, -SIGN[side] * arms[side].inboard, 0.0);
    let outer = [outer(0), outer(1)];
    let middle = (outer[0] + outer[1]) * 0.5;
    let inner = SIGN.map(|side| Vec3::new(middle.x + line, offset + side * inner / 2.0, middle.z + height));
    Ok(Placed { axes, outer, inner })
}

/// +1 left, −1 right.
const SIGN: [f64; 2] = [1.0, -1.0];

/// Both wheels with their linkages, [left, right], as they are [`placed`]. The spin axes point straight to the left at the reference, leaning by
/// the camber where that was measured.
pub fn wheels(x: &dyn Source) -> Result<[Wheel; 2], Gap> {
    let at = placed(x)?;
    let camber = x.get(Field::StaticCamber).unwrap_or(0.0);
    let wheel = |side: usize| {
        let ((axis, up), outer, joint) = (at.axes[side], at.outer[side], at.inner[side]);
        let linkage = match x.get(Field::RodLength) {
            Some(rod) => Linkage::with_rod(axis, up, outer, joint, rod),
            None => Linkage::new(axis, up, outer, joint),
        };
        let spin = Vec3::new(0.0, camber.cosine(), -SIGN[side] * camber.sine());
        linkage.and_then(|l| l.at(0.0).map(|_| Wheel { linkage: l, axis: up, spin })).map_err(|r| Gap::Unreachable(Why::Linkage(r)))
    };
    Ok([wheel(0)?, wheel(1)?])
}
