//! The steering arms.

use crate::catalogue::field::{Field, Joint};
use crate::catalogue::field_set::FieldSet;
use crate::catalogue::value::{Gap, all, known};
use crate::linkage::points;
use crate::math::trig::Angle;
use crate::plan::inputs::Source;

/// Steering arm of one wheel at rod-end height, mm: `ahead` of the steering axis (e), `inboard` of it (f).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Arm {
    /// e, negative behind.
    pub ahead: f64,
    /// f, negative outboard.
    pub inboard: f64,
}

impl Arm {
    /// The arm of a given length (mm) and angle from straight fore and aft (radians, inboard positive).
    /// A negative length points rearward.
    pub fn from_length(length: f64, angle: f64) -> Arm {
        Arm { ahead: length * angle.cosine(), inboard: length.abs() * angle.sine() }
    }

    /// Length in mm.
    pub fn length(self) -> f64 {
        self.ahead.hypot(self.inboard)
    }

    /// Angle from straight fore and aft, radians, inboard positive.
    ///
    /// ```
    /// use donorack::Arm;
    /// let arm = Arm::from_length(-140.0, 0.15);
    /// assert!((arm.angle() - 0.15).abs() < 1e-15 && (arm.length() - 140.0).abs() < 1e-12 && arm.ahead < 0.0);
    /// ```
    pub fn angle(self) -> f64 {
        self.inboard.atan2(self.ahead.abs())
    }
}

/// Both arms, [left, right]: from the points where axes and tie-rod ends are known by them, else as the tape read them; the right one is
/// the left one mirrored unless it was measured by itself.
pub fn arms(x: &dyn Source) -> Result<[Arm; 2], Gap> {
    if let Some(arms) = from_points(x) {
        return Ok(arms);
    }
    let by_angle = || Some(Arm::from_length(x.get(Field::ArmLength)?, x.get(Field::ArmAngle)?));
    let ahead = x.get(Field::ArmForeAft).or_else(|| Some(by_angle()?.ahead));
    let inboard = x.get(Field::ArmInboard).or_else(|| Some(by_angle()?.inboard));
    let both = all([known(ahead, Field::ArmForeAft), known(inboard, Field::ArmInboard)]);
    // Of a tie-rod end by points only its height may be left to ask for.
    let height = FieldSet::from(Field::TieRodEndZ);
    let by_points = || points::axis(x, 0).is_some() && points::asked(x, Joint::TieRodEnd) == height;
    let [e, f] = both.map_err(|gap| if by_points() { Gap::Missing(height) } else { gap })?;
    let right = Arm { ahead: x.get(Field::RightArmForeAft).unwrap_or(e), inboard: x.get(Field::RightArmInboard).unwrap_or(f) };
    Ok([Arm { ahead: e, inboard: f }, right])
}

/// Both arms by the points alone.
pub fn from_points(x: &dyn Source) -> Option<[Arm; 2]> {
    let axes = points::axes(x)?;
    let arm = |side: usize| {
        let (axis, _) = axes[side];
        let out = if side == 0 { 1.0 } else { -1.0 };
        points::joint(x, Joint::TieRodEnd, side).map(|o| Arm { ahead: o.x - axis.x, inboard: out * (axis.y - o.y) })
    };
    Some([arm(0)?, arm(1)?])
}
