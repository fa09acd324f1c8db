//! Points that make no suspension: which of them is odd, and what is odd about it. The bounds are our own, far outside of what a go-kart or a
//! lorry has.

use crate::catalogue::field::{Field, Joint};
use crate::catalogue::field_set::FieldSet;
use crate::linkage::points;
use crate::math::vector::Vec3;
use crate::plan::inputs::{Clash, Conflict, Inputs, Odd, Readings};

/// Nearer to the middle of the car, or to the floor, than this no such point lies, mm: whoever reads less reads inches.
fn least(joint: Joint) -> [f64; 2] {
    use Joint::*;
    match joint {
        LowerFront | LowerRear | UpperFront | UpperRear => [25.0, 20.0],
        LowerBall | UpperBall | TieRodEnd | Damper => [60.0, 30.0],
        StrutTop | WheelCentre => [60.0, 60.0],
    }
}

/// Two pivots nearer to each other than this are one, mm.
const APART: f64 = 10.0;
/// An arm shorter than this is none, mm.
const ARM: f64 = 20.0;

/// A wheel centre farther ahead of its lower ball joint, or behind, belongs to another wheel, mm.
const FORE_AFT: f64 = 200.0;

/// How far a point is from the line through two others, mm.
fn from_line(p: Vec3, [a, b]: [Vec3; 2]) -> f64 {
    let d = p - a;
    let along = (b - a).unit();
    (d - along * d.dot(along)).norm()
}

impl Readings {
    /// The readings of a point on one side: its own, and what it mirrors.
    fn of_point(&self, joint: Joint, side: usize) -> FieldSet {
        let [left, right] = joint.fields();
        let read = |f: &Field| self.items[*f as usize].is_some();
        let axis = |axis: usize| Some(right[axis]).filter(|f| side == 1 && read(f)).or(Some(left[axis]).filter(read));
        (0..3).filter_map(axis).fold(FieldSet::empty(), |set, f| set | f)
    }

    /// What is odd about the points, of the left wheel, and of the right one where it was measured by itself.
    pub(crate) fn odd_points(&self, x: &Inputs) -> Vec<Conflict> {
        if !x.has_points() {
            return Vec::new();
        }
        let own = |joint: &Joint| joint.fields()[1].iter().any(|f| self.items[*f as usize].is_some());
        let mut out = self.odd_points_of(x, 0);
        if out.is_empty() && Joint::ALL.iter().any(own) {
            out = self.odd_points_of(x, 1);
        }
        out
    }

    fn odd_points_of(&self, x: &Inputs, side: usize) -> Vec<Conflict> {
        let mut out = Vec::new();
        for joint in Joint::ALL {
            for (axis, least) in [1, 2].into_iter().zip(least(*joint)) {
                let field = joint.fields()[side][axis];
                if let Some(value) = x.get(field).filter(|v| *v < least) {
                    out.push(Conflict { clash: Clash::Odd(Odd::Inches), fields: field.into(), amount: value, pm: least });
                }
            }
        }
        if !out.is_empty() {
            return out;
        }
        let point = |joint| points::joint(x, joint, side);
        let strut = points::is_strut(x) == Some(true);
        let mut odd = |odd: Odd, joints: &[Joint], amount: f64| {
            let fields = joints.iter().fold(FieldSet::empty(), |set, joint| set | self.of_point(*joint, side));
            out.push(Conflict { clash: Clash::Odd(odd), fields, amount, pm: 0.0 });
        };
        use Joint::*;
        let arms = [(LowerFront, LowerRear, LowerBall), (UpperFront, UpperRear, UpperBall)];
        for (front, rear, ball) in arms.into_iter().take(if strut { 1 } else { 2 }) {
            let out = |p: Vec3| p.y.abs();
            for pivot in [front, rear] {
                if let (Some(p), Some(b)) = (point(pivot), point(ball))
                    && out(p) >= out(b)
                {
                    odd(Odd::Outboard, &[pivot, ball], out(p) - out(b));
                }
            }
            let (Some(f), Some(r)) = (point(front), point(rear)) else { continue };
            let apart = (f - r).norm();
            if apart < APART {
                odd(Odd::OnePoint, &[front, rear], apart);
            } else if f.x < r.x {
                odd(Odd::Swapped, &[front, rear], r.x - f.x);
            } else if let Some(arm) = point(ball).map(|b| from_line(b, [f, r])).filter(|arm| *arm < ARM) {
                odd(Odd::NoArm, &[ball, front, rear], arm);
            }
        }
        if let (Some(centre), Some(ball)) = (point(WheelCentre), point(LowerBall)) {
            let miss = (ball.y.abs() - centre.y.abs()).max((centre.x - ball.x).abs() - FORE_AFT);
            if miss > 0.0 {
                odd(Odd::Wheel, &[WheelCentre, LowerBall], miss);
            }
        }
        let upper = points::upper(strut);
        let mut above = |low: Joint, high: Joint, by: f64| {
            if let (Some(l), Some(h)) = (point(low), point(high))
                && h.z - l.z <= by * (h - l).norm()
            {
                odd(Odd::NotAbove, &[high, low], (l.z - h.z).abs());
            }
        };
        above(LowerBall, upper, points::LEAST_STEEP);
        if strut {
            above(Damper, StrutTop, points::LEAST_STEEP);
        } else {
            above(LowerFront, UpperFront, 0.0);
            above(LowerRear, UpperRear, 0.0);
        }
        if let (Some(o), Some(axis)) = (point(TieRodEnd), points::axis(x, side)) {
            let arm = from_line(o, [axis.lower, axis.lower + axis.up]);
            if arm < ARM {
                odd(Odd::NoArm, &[TieRodEnd, LowerBall, upper], arm);
            }
        }
        out
    }
}
