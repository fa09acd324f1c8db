//! One corner of the car: suspension, tie rod and wheel, from points to a pose.

use crate::math::closure::{Linkage, Reach, Rotation};
use crate::math::each::Each;
use crate::math::trig::Angle;
use crate::math::vector::Vec3;
use crate::suspension::pose::Pose;
use crate::suspension::strut::Strut;
use crate::suspension::travel::arm_angle;
use crate::suspension::wheel::Wheel;
use crate::suspension::wishbone::Wishbone;
use crate::suspension::{Carry, NoSuspension, RanOut, Upright, Velocities};

/// What guides the upright: points at the reference (ride height, wheels straight, rack at mid-travel), mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Guide {
    /// Double wishbone.
    Wishbone {
        /// The lower arm's two pivots, in either order.
        lower: [Vec3; 2],
        /// Lower ball joint.
        lower_ball: Vec3,
        /// The upper arm's two pivots, in either order.
        upper: [Vec3; 2],
        /// Upper ball joint.
        upper_ball: Vec3,
    },
    /// Strut.
    Strut {
        /// The lower arm's two pivots, in either order.
        lower: [Vec3; 2],
        /// Lower ball joint.
        lower_ball: Vec3,
        /// Top mount.
        top: Vec3,
        /// A second point on the damper's line.
        damper: Vec3,
    },
}

/// Everything that is measured of one corner, at the reference. Points in mm in the car's axes: a right corner's have negative y.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Points {
    /// What guides the upright.
    pub guide: Guide,
    /// Outer joint of the tie rod.
    pub outer: Vec3,
    /// Inner joint of the tie rod.
    pub inner: Vec3,
    /// Wheel centre.
    pub wheel_centre: Vec3,
    /// Static toe, radians, toe-in positive.
    pub toe: f64,
    /// Static camber, radians, positive when the top leans outboard.
    pub camber: f64,
    /// Loaded radius of the tyre, mm.
    pub radius: f64,
    /// The rod's length where it was measured; otherwise it is |outer − inner|, and the wheel is straight at the reference.
    pub rod: Option<f64>,
}

/// Which corner.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// The left one.
    Left,
    /// The right one, solved as a left one seen in a mirror.
    Right,
}

impl Side {
    /// +1 left, −1 right: the sign of Y outboard.
    pub fn sign(self) -> f64 {
        if self == Side::Left { 1.0 } else { -1.0 }
    }
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum Arms {
    Wishbone(Wishbone),
    Strut(Strut),
}

impl Arms {
    fn upright(&self, cos: f64, sin: f64) -> Result<Upright, RanOut> {
        match self {
            Arms::Wishbone(w) => w.upright(cos, sin),
            Arms::Strut(s) => s.upright(cos, sin),
        }
    }
}

/// A corner whose reference was checked: every position of it is closed form.
#[derive(Debug, Clone, Copy)]
pub struct Corner {
    /// Mirrored to the left, with what follows.
    points: Points,
    side: f64,
    arms: Arms,
    /// At the reference, from the lower ball joint: outer joint and wheel centre; and the spin axis.
    outer: Vec3,
    centre: Vec3,
    spin: Vec3,
    rod: f64,
    /// The tie rod's branch.
    sigma: f64,
    /// Contact point at the reference.
    contact: Vec3,
    /// dz/dα of the wheel centre at the reference.
    rise: f64,
}

/// Everything else follows from these.
impl PartialEq for Corner {
    fn eq(&self, other: &Corner) -> bool {
        self.side == other.side && self.points == other.points && self.rod == other.rod
    }
}

/// What changes how fast with the lower arm's angle, rack held.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rates {
    /// Wheel centre's height, mm/rad.
    pub rise: f64,
    /// Toe-in, rad/rad.
    pub toe: f64,
    /// Camber, rad/rad.
    pub camber: f64,
}

/// A corner at an angle of its lower arm, before the tie rod has a say: this part does not depend on the rack.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Stance {
    pub upright: Upright,
    /// Outer joint and wheel centre from the lower ball joint, and the spin axis, carried but not turned.
    pub outer: Vec3,
    pub centre: Vec3,
    pub spin: Vec3,
}

/// Coordinates may be so large, mm: beyond it is no car.
const FAR: f64 = 1e5;
/// Sine of the least angle between upright or wheel and lying flat.
const FLAT: f64 = 0.01;

fn mirrored(v: Vec3, side: f64) -> Vec3 {
    Vec3::new(v.x, side * v.y, v.z)
}

/// The contact point of a wheel of radius `radius`; `None` where it lies flat.
fn contact(centre: Vec3, spin: Vec3, radius: f64) -> Option<Vec3> {
    let level = (spin.x * spin.x + spin.y * spin.y).sqrt();
    (level > FLAT).then(|| centre + (spin * spin.z - Vec3::UP) * (radius / level))
}

impl Corner {
    /// A corner from its points; the rod's length from them unless it was measured. Errors: which point is odd.
    pub fn new(side: Side, points: &Points) -> Result<Corner, NoSuspension> {
        let side = side.sign();
        let m = |v: Vec3| mirrored(v, side);
        let guide = match points.guide {
            Guide::Wishbone { lower, lower_ball, upper, upper_ball } => {
                Guide::Wishbone { lower: lower.each(m), lower_ball: m(lower_ball), upper: upper.each(m), upper_ball: m(upper_ball) }
            }
            Guide::Strut { lower, lower_ball, top, damper } => {
                Guide::Strut { lower: lower.each(m), lower_ball: m(lower_ball), top: m(top), damper: m(damper) }
            }
        };
        let p = Points { guide, outer: m(points.outer), inner: m(points.inner), wheel_centre: m(points.wheel_centre), ..*points };
        Corner::left(p, side)
    }

    fn left(p: Points, side: f64) -> Result<Corner, NoSuspension> {
        let (pivots, ball, top, last) = match p.guide {
            Guide::Wishbone { lower, lower_ball, upper, upper_ball } => (lower, lower_ball, upper_ball, upper),
            Guide::Strut { lower, lower_ball, top, damper } => (lower, lower_ball, top, [damper; 2]),
        };
        let all = [pivots[0], pivots[1], ball, top, last[0], last[1], p.outer, p.inner, p.wheel_centre];
        let numbers = all.iter().flat_map(|v| [v.x, v.y, v.z]).chain([p.toe, p.camber, p.radius, p.rod.unwrap_or(0.0)]);
        if !numbers.into_iter().all(|x| x.abs() <= FAR) {
            return Err(NoSuspension::NotANumber);
        }
        let between = top - ball;
        if !(between.z > FLAT * between.norm()) {
            return Err(NoSuspension::SteeringAxis);
        }
        let arms = match p.guide {
            Guide::Wishbone { lower, lower_ball, upper, upper_ball } => {
                Arms::Wishbone(Wishbone::new(lower, lower_ball, upper, upper_ball)?)
            }
            Guide::Strut { lower, lower_ball, top, damper } => Arms::Strut(Strut::new(lower, lower_ball, top, damper)?),
        };
        let ((st, ct), (sc, cc)) = (p.toe.sine_cosine(), p.camber.sine_cosine());
        let spin = Vec3::new(st * cc, ct * cc, -sc);
        let contact = contact(p.wheel_centre, spin, p.radius).filter(|_| p.radius > 0.0 && cc > 0.0).ok_or(NoSuspension::Wheel)?;
        let straight = (p.outer - p.inner).norm();
        let linkage = Linkage::with_rod(ball, between, p.outer, p.inner, p.rod.unwrap_or(straight));
        let linkage = linkage.and_then(|l| l.at(0.0).map(|_| l)).map_err(NoSuspension::TieRod)?;
        // A rod or arm of no length is no linkage, though it would close.
        if !(linkage.rod() > 1e-4 && linkage.arm() > 1e-4) {
            return Err(NoSuspension::TieRod(Reach::NoLinkage));
        }
        let mut corner = Corner {
            points: p,
            side,
            arms,
            outer: p.outer - ball,
            centre: p.wheel_centre - ball,
            spin,
            rod: linkage.rod(),
            sigma: linkage.branch(),
            contact,
            rise: 1.0,
        };
        corner.rise = corner.rates(0.0, 0.0).map_or(1.0, |r| r.rise);
        Ok(corner)
    }

    /// This corner with the inner joint of its rod elsewhere by `by` mm in the car's axes, the rod made anew to stand the wheel straight.
    pub fn with_inner_moved(&self, by: Vec3) -> Result<Corner, NoSuspension> {
        let inner = self.points.inner + mirrored(by, self.side);
        Corner::left(Points { inner, rod: None, ..self.points }, self.side)
    }

    /// Whether the other one is this one seen in a mirror.
    pub fn mirrors(&self, other: &Corner) -> bool {
        self.points == other.points
    }

    /// +1 left, −1 right.
    pub fn side(&self) -> Side {
        if self.side > 0.0 { Side::Left } else { Side::Right }
    }

    /// Rod length ℓ, mm.
    pub fn rod(&self) -> f64 {
        self.rod
    }

    /// The length of the rod that stands the wheel straight at the reference, |O − I|, mm.
    pub fn straight_rod(&self) -> f64 {
        (self.points.outer - self.points.inner).norm()
    }

    /// Distance at which a strut's damper line passes the lower ball joint, mm; `None` for a double wishbone.
    pub fn damper_miss(&self) -> Option<f64> {
        match &self.arms {
            Arms::Wishbone(_) => None,
            Arms::Strut(s) => Some(s.miss()),
        }
    }

    /// Contact point at the reference, in the car's axes.
    pub fn contact(&self) -> Vec3 {
        mirrored(self.contact, self.side)
    }

    /// Where the steering axis meets the ground at the reference, in the car's axes.
    pub fn axis_at_ground(&self) -> Vec3 {
        let (ball, axis) = self.still_axis();
        mirrored(ball + axis * ((self.contact.z - ball.z) / axis.z), self.side)
    }

    /// A point of the steering axis and its direction at the reference.
    fn still_axis(&self) -> (Vec3, Vec3) {
        let (ball, top) = match self.points.guide {
            Guide::Wishbone { lower_ball, upper_ball, .. } => (lower_ball, upper_ball),
            Guide::Strut { lower_ball, top, .. } => (lower_ball, top),
        };
        (ball, (top - ball).unit())
    }

    /// The wheel on its linkage at the reference with the inner joint elsewhere by `by` mm, the rod made to fit; all in the car's axes.
    pub(crate) fn wheel_from(&self, by: Vec3) -> Result<Wheel, Reach> {
        let m = |v: Vec3| mirrored(v, self.side);
        let (ball, axis) = self.still_axis();
        let linkage = Linkage::new(m(ball), m(axis), m(self.points.outer), m(self.points.inner) + by)?;
        Ok(Wheel { linkage, axis: m(axis), spin: m(self.spin) * self.side })
    }

    /// The points as given, mirrored to the left.
    pub(crate) fn points(&self) -> &Points {
        &self.points
    }

    /// dz/dα of the wheel centre at the reference, mm/rad.
    pub(crate) fn rise(&self) -> f64 {
        self.rise
    }

    pub(crate) fn stance(&self, (sin, cos): (f64, f64)) -> Result<Stance, RanOut> {
        let upright = self.arms.upright(cos, sin)?;
        if !(upright.axis.z > FLAT) {
            return Err(RanOut::Flat);
        }
        let carry = Carry::new(upright.from, upright.axis);
        Ok(Stance { upright, outer: carry.of(self.outer), centre: carry.of(self.centre), spin: carry.of(self.spin) })
    }

    fn linkage(&self, at: &Stance) -> Linkage {
        let ball = at.upright.ball;
        Linkage::on_branch(ball, at.upright.axis, ball + at.outer, self.points.inner, self.rod, self.sigma)
    }

    fn turn(&self, at: &Stance, s: f64) -> Result<Rotation, RanOut> {
        self.linkage(at).at(s).map_err(RanOut::TieRod)
    }

    fn pose(&self, at: &Stance, s: f64) -> Result<Pose, RanOut> {
        let t = self.turn(at, s)?;
        let Upright { ball, top, axis, .. } = at.upright;
        let (spin, centre) = (at.spin.turned(axis, t.cos, t.sin), ball + at.centre.turned(axis, t.cos, t.sin));
        let contact = contact(centre, spin, self.points.radius).ok_or(RanOut::Flat)?;
        let (outer, inner) = (ball + at.outer.turned(axis, t.cos, t.sin), self.points.inner + Vec3::LEFT * s);
        let reference = [self.points.wheel_centre, self.contact];
        Ok(Pose { side: self.side, ball, top, axis, spin, centre, contact, outer, inner, reference, q: t.q })
    }

    /// The corner at the lower arm's angle `arm` (radians from the reference, positive raises the ball joint) and the rack displacement
    /// `s` (mm, positive to the left).
    ///
    /// This looks at the two numbers alone: past a toggle a rod may reach again without being able to get there; whoever asks beyond
    /// the usable travel compares `s` with the toggles of [`Corner::wheel`].
    pub fn at_arm(&self, arm: f64, s: f64) -> Result<Pose, RanOut> {
        if !(arm.abs() <= FAR && s.abs() <= FAR) {
            return Err(RanOut::LowerArm);
        }
        self.pose(&self.stance(arm.sine_cosine())?, s * self.side)
    }

    /// The corner with its wheel centre `travel` mm above the reference (bump positive) and the rack at `s` (mm, positive to the left).
    pub fn at_travel(&self, travel: f64, s: f64) -> Result<Pose, RanOut> {
        self.at_arm(self.arm_at(travel, s)?, s)
    }

    /// The lower arm's angle there, radians. Errors: which link ends before the height is reached, walking from the reference.
    pub fn arm_at(&self, travel: f64, s: f64) -> Result<f64, RanOut> {
        if !(travel.abs() <= FAR && s.abs() <= FAR) {
            return Err(RanOut::LowerArm);
        }
        let height = |s: f64| move |arm: f64| self.height(arm, s * self.side);
        let target = self.points.wheel_centre.z + travel;
        let start = match self.height(0.0, s * self.side) {
            Ok(_) => 0.0,
            // Perhaps the rack goes there once the wheel is at that height.
            Err(out) if s == 0.0 => return Err(out),
            Err(_) => arm_angle(target, 0.0, self.rise, &mut height(0.0))?,
        };
        arm_angle(target, start, self.rise, &mut height(s))
    }

    /// Height of the wheel centre.
    fn height(&self, arm: f64, s: f64) -> Result<f64, RanOut> {
        let at = self.stance(arm.sine_cosine())?;
        let t = self.turn(&at, s)?;
        Ok(at.upright.ball.z + at.centre.turned(at.upright.axis, t.cos, t.sin).z)
    }

    /// The wheel on its linkage at an angle of the lower arm, in the car's axes: steer angle, rates, toggles, fold-backs and joints over
    /// the rack's travel with the suspension held there.
    pub fn wheel(&self, arm: f64) -> Result<Wheel, RanOut> {
        let at = self.stance(arm.sine_cosine())?;
        let m = |v: Vec3| mirrored(v, self.side);
        let linkage = self.linkage_at(&at, Vec3::default(), self.rod, self.branch());
        Ok(Wheel { linkage, axis: m(at.upright.axis), spin: m(at.spin) * self.side })
    }

    /// Rod and arm with the suspension held there, the inner joint elsewhere by `by` mm and the rod of that length and branch; all in the car's axes.
    pub(crate) fn linkage_at(&self, at: &Stance, by: Vec3, rod: f64, branch: f64) -> Linkage {
        let m = |v: Vec3| mirrored(v, self.side);
        let Upright { ball, axis, .. } = at.upright;
        Linkage::on_branch(m(ball), m(axis), m(ball + at.outer), m(self.points.inner) + by, rod, branch)
    }

    /// The rod's branch, in the car's axes.
    pub(crate) fn branch(&self) -> f64 {
        self.sigma * self.side
    }

    /// Derivatives by the lower arm's angle at the given one, rack held at `s`: exact, from the velocities of the points.
    ///
    /// With ω the upright's angular velocity, ω = û × (w − v_L)/|T − L| + λû, w the velocity of its point at the top, and λ from the rod:
    /// (v_L + ω × o)·n = 0. Infinite at a toggle.
    pub fn rates(&self, arm: f64, s: f64) -> Result<Rates, RanOut> {
        let (sin, cos) = arm.sine_cosine();
        let at = self.stance((sin, cos))?;
        let pose = self.pose(&at, s * self.side)?;
        let Upright { ball, top, axis, from } = at.upright;
        let Velocities { ball: v, top: w } = match &self.arms {
            Arms::Wishbone(x) => x.velocities(cos, sin)?,
            Arms::Strut(x) => {
                let t = self.turn(&at, s * self.side)?;
                x.velocities(cos, sin, |line| Carry::new(from, axis).of(line).turned(axis, t.cos, t.sin))
            }
        };
        let across = axis.cross(w - v) * (1.0 / (top - ball).norm());
        let (o, n) = (pose.outer - ball, pose.outer - pose.inner);
        let turn = -(v + across.cross(o)).dot(n) / axis.cross(o).dot(n);
        let omega = across + axis * turn;
        let (a, da) = (pose.spin, omega.cross(pose.spin));
        let level2 = a.x * a.x + a.y * a.y;
        Ok(Rates { rise: (v + omega.cross(pose.centre - ball)).z, toe: (da.x * a.y - a.x * da.y) / level2, camber: -da.z / level2.sqrt() })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A strut whose damper line misses the ball joint, mm; invented.
    fn strut() -> Corner {
        let at = Vec3::new;
        let guide = Guide::Strut {
            lower: [at(165.0, 365.0, 188.0), at(-175.0, 350.0, 182.0)],
            lower_ball: at(6.0, 702.0, 170.0),
            top: at(-38.0, 566.0, 845.0),
            damper: at(-20.0, 625.0, 420.0),
        };
        let (outer, inner, wheel_centre) = (at(-128.0, 684.0, 228.0), at(-142.0, 338.0, 232.0), at(0.0, 742.0, 305.0));
        let points = Points { guide, outer, inner, wheel_centre, toe: 0.002, camber: -0.01, radius: 300.0, rod: None };
        Corner::new(Side::Left, &points).unwrap()
    }

    #[test]
    fn how_the_upright_is_carried_does_not_matter() {
        let corner = strut();
        for (arm, s, extra) in [(0.1, 20.0, 0.7), (-0.15, -40.0, -2.0), (0.2, 35.0, 3.0)] {
            let at = corner.stance(f64::sin_cos(arm)).unwrap();
            let pose = corner.pose(&at, s).unwrap();
            let (sin, cos) = f64::sin_cos(extra);
            let turned = |v: Vec3| v.turned(at.upright.axis, cos, sin);
            let other = Stance { outer: turned(at.outer), centre: turned(at.centre), spin: turned(at.spin), ..at };
            let other = corner.pose(&other, s).unwrap();
            assert!((pose.spin - other.spin).norm() < 1e-13 && (pose.centre - other.centre).norm() < 1e-10);
            assert!((pose.toe() - other.toe()).abs() < 1e-13);
        }
    }

    #[test]
    fn what_ran_out_is_named() {
        let corner = strut();
        assert_eq!(corner.at_travel(500.0, 0.0).unwrap_err(), RanOut::LowerArm);
        assert!(matches!(corner.at_travel(0.0, 300.0).unwrap_err(), RanOut::TieRod(_)));
        assert_eq!(corner.at_travel(f64::NAN, 0.0).unwrap_err(), RanOut::LowerArm);
        let Guide::Strut { lower, lower_ball, top, .. } = corner.points.guide else { panic!("a strut") };
        let refused = |guide| Corner::new(Side::Left, &Points { guide, ..corner.points }).unwrap_err();
        assert_eq!(refused(Guide::Strut { lower, lower_ball, top, damper: top }), NoSuspension::Damper);
        assert_eq!(refused(Guide::Strut { lower: [top; 2], lower_ball, top, damper: lower_ball }), NoSuspension::LowerPivots);
        assert_eq!(refused(Guide::Strut { lower, lower_ball: lower[0], top, damper: lower_ball }), NoSuspension::LowerArm);
        assert_eq!(refused(Guide::Strut { lower, lower_ball: top, top: lower_ball, damper: top }), NoSuspension::SteeringAxis);
        let flat = Points { radius: 0.0, ..corner.points };
        assert_eq!(Corner::new(Side::Left, &flat).unwrap_err(), NoSuspension::Wheel);
    }

    /// ISO 8855: left wheel, toe-in is a steer angle to the right; camber is positive with the top outboard.
    #[test]
    fn signs() {
        let at = strut().at_arm(0.0, 0.0).unwrap();
        assert!((at.toe() - 0.002).abs() < 1e-12 && (at.steer() + 0.002).abs() < 1e-12 && (at.camber() + 0.01).abs() < 1e-12);
        assert!(at.caster() > 0.0 && at.kingpin_inclination() > 0.0, "top rearward, top inboard");
        // Arms behind: a rack to the left steers to the right.
        assert!(strut().at_arm(0.0, 10.0).unwrap().steer() < at.steer());
        assert!(strut().at_arm(0.05, 0.0).unwrap().travel() > 0.0, "bump");
    }
}
