//! What is shown of the wheels over bumps: curves with their ±, and one corner from the front.

use crate::analysis::bumps::Bumps;
use crate::catalogue::field::Field;
use crate::catalogue::value::Gap;
use crate::judgement::case::Evaluated;
use crate::linkage::corner::ran_out;
use crate::math::each::Each;
use crate::math::vector::Vec3;
use crate::math::within;
use crate::measurement::decimal::fixed;
use crate::measurement::entry::{Entry, Side};
use crate::measurement::figure::{Text, figure, signed};
use crate::measurement::quantity::{Method, Quantity, ResultUnit, Scale};
use crate::measurement::unit::Unit;
use crate::suspension::corner::{Corner, Guide};
use crate::wording::{self, bumps};
use serde::Serialize;

/// Heights along a curve: an odd number, so that ride height is one of them.
const HEIGHTS: usize = 21;

/// A curve with its ±: [wheel travel in mm, value, ± of the value].
pub type BumpCurve = Vec<[f64; 3]>;

/// One wheel over the travel looked at.
#[derive(Debug, Clone, PartialEq, Serialize, Default)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct WheelCurves {
    /// Change of toe from ride height, degrees, toe-in positive.
    pub toe: BumpCurve,
    /// Camber, degrees.
    pub camber: BumpCurve,
    /// Caster, degrees.
    pub caster: BumpCurve,
    /// Scrub radius, mm.
    pub scrub: BumpCurve,
    /// Trail, mm.
    pub trail: BumpCurve,
    /// How far the contact point has gone outboard, mm.
    pub half_track: BumpCurve,
    /// The same as a table: travel, then each of them with its ±.
    pub table: Vec<[Text; 7]>,
    /// What the toe curve says, in a sentence.
    pub summary: Text,
}

/// Both wheels over bumps, with the rack at one place.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct BumpView {
    /// Why there are no curves; empty where there are.
    pub why: String,
    /// Rack displacement, mm, left positive.
    pub rack: f64,
    /// Where the rack stands.
    pub rack_text: Text,
    /// Wheel travel looked at, mm each way.
    pub band: f64,
    /// The largest toe change allowed, degrees; `None` where it is not judged.
    pub limit: Option<f64>,
    /// Left and right wheel; heights that cannot be reached are left out.
    pub wheels: Vec<WheelCurves>,
    /// Change of the mean steer angle, degrees, against roll, degrees, right side down positive.
    pub roll: Vec<[f64; 2]>,
}

/// Rack displacement at a share of the usable travel to the left (1) or to the right (−1), mm.
fn rack_at(e: &Evaluated, share: f64) -> f64 {
    let side = usize::from(share < 0.0);
    let usable = e.solution.results.get(crate::catalogue::result::ResultId::UsableTravel, side).unwrap_or(0.0);
    if share.is_finite() { usable * within(share, -1.0, 1.0) } else { 0.0 }
}

/// Both wheels over bumps at a share of the rack's usable travel, 1 bar hard to the left, −1 hard to the right.
pub fn over_bumps(e: &Evaluated, share: f64) -> BumpView {
    let x = e.readings.inputs();
    let (rack, band) = (rack_at(e, share), x.get(Field::BumpTravel).unwrap_or(0.0));
    let limit = x.get(Field::BumpSteerMax).map(f64::to_degrees);
    let rack_text = bumps::rack(rack);
    let mut view = BumpView { why: String::new(), rack, rack_text, band, limit, wheels: Vec::new(), roll: Vec::new() };
    let both = match Bumps::of(&e.readings) {
        Ok(both) => both,
        Err(gap) => {
            view.why = wording::gap(gap, &e.readings);
            return view;
        }
    };
    let alike = rack == 0.0 && both.corners[0].mirrors(&both.corners[1]);
    for side in 0..2 {
        let curves = if side == 1 && alike { view.wheels[0].clone() } else { wheel(&both, side, rack, band) };
        view.wheels.push(curves);
    }
    let half = (both.corners[0].contact().y - both.corners[1].contact().y) / 2.0;
    for k in 0..HEIGHTS {
        let roll = (band * along(k) / half).atan();
        view.roll.extend(both.roll(roll, rack).map(|steer| [roll.to_degrees(), steer]));
    }
    view
}

/// The place of a height in the band, −1 to 1.
fn along(k: usize) -> f64 {
    2.0 * k as f64 / (HEIGHTS - 1) as f64 - 1.0
}

fn wheel(both: &Bumps, side: usize, rack: f64, band: f64) -> WheelCurves {
    let mut out = WheelCurves::default();
    for k in 0..HEIGHTS {
        let travel = band * along(k);
        let Ok(told) = both.at(side, travel, rack) else { continue };
        let curves = [&mut out.toe, &mut out.camber, &mut out.caster, &mut out.scrub, &mut out.trail, &mut out.half_track];
        for (curve, (value, pm)) in curves.into_iter().zip(told) {
            curve.push([travel, value, pm]);
        }
        if k % 2 == 0 {
            let text = |k: usize| {
                let unit = if k < 3 { ResultUnit::Deg } else { ResultUnit::Mm };
                figure(unit, told[k].0, Some(told[k].1))
            };
            out.table.push([figure(ResultUnit::Mm, travel, None), text(0), text(1), text(2), text(3), text(4), text(5)]);
        }
    }
    out.summary = bumps::curve(&out.toe);
    out
}

/// One corner as it stands: points [forward, left, up] in mm, lines seen from the front as pairs of [left, up].
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct CornerDrawing {
    /// The lower arm's front and rear pivots and its ball joint.
    pub lower: [[f64; 3]; 3],
    /// The same of the upper arm; of a strut its top mount three times over.
    pub upper: [[f64; 3]; 3],
    /// Outer and inner joint of the tie rod.
    pub rod: [[f64; 3]; 2],
    /// Wheel centre.
    pub wheel: [f64; 3],
    /// Contact point.
    pub contact: [f64; 3],
    /// Direction of the spin axis, outboard.
    pub spin: [f64; 3],
    /// Loaded radius of the tyre, mm.
    pub radius: f64,
    /// Whether the upper arm is a strut.
    pub strut: bool,
    /// Instant lines of lower arm, upper arm (square to a strut) and rod, each from its outer end to where the arms' lines meet, or to its own inner end
    /// where they meet nowhere near.
    pub lines: [[[f64; 2]; 2]; 3],
    /// Where the lines of the two arms meet; `None` where they are parallel, or meet farther off than 20 m.
    pub centre: Option<[f64; 2]>,
    /// Wheel travel, and toe change, camber and half-track change there, as shown.
    pub texts: [Text; 4],
    /// How far the wheel has gone, without its unit: in mm, in inches.
    pub far: [String; 2],
    /// Toe change, degrees, toe-in positive.
    pub toe: f64,
    /// How it stands, in a sentence or two.
    pub text: Text,
}

/// The travel that was typed: a text, "mm" or "in" for a number without its own unit, "up" or "down". The error says how to mend it.
pub fn typed_travel(text: &str, unit: &str, side: &str) -> Result<f64, String> {
    const TRAVEL: Scale =
        Scale { quantity: Quantity::Length, method: Method::Exact, range: (0.0, 200.0), sides: Some(("up", "down")), can_be_off: false };
    let side = if side == "down" { Side::Minus } else { Side::Plus };
    let unit = if unit == "in" { Unit::In } else { Unit::Mm };
    Entry::new(text, unit, Some(side)).read(&TRAVEL).map(|read| read.value).map_err(|why| why.to_string())
}

/// The point of a line at the given distance forward; its middle where it runs across the car.
fn at_forward([a, b]: [Vec3; 2], x: f64) -> Vec3 {
    let d = b - a;
    let t = if d.x.abs() > 1.0 { (x - a.x) / d.x } else { 0.5 };
    a + d * t
}

/// Where two lines meet seen from the front, each by a point and a direction.
fn meet(p: Vec3, d: Vec3, q: Vec3, e: Vec3) -> Option<[f64; 2]> {
    let cross = d.y * e.z - d.z * e.y;
    let t = ((q.y - p.y) * e.z - (q.z - p.z) * e.y) / cross;
    let at = p + d * t;
    ((at - p).norm() < 20_000.0).then_some([at.y, at.z])
}

/// The corner on `side` (0 left, 1 right) at a wheel travel in mm and a share of the rack's usable travel. The error is a sentence.
pub fn corner_drawing(e: &Evaluated, side: usize, travel: f64, share: f64) -> Result<CornerDrawing, String> {
    let say = |gap: Gap| wording::gap(gap, &e.readings);
    let both = crate::linkage::corner::corners(&e.readings.inputs()).map_err(say)?;
    let corner: &Corner = &both[side.min(1)];
    let rack = rack_at(e, share);
    let pose = corner.at_travel(travel, rack).map_err(|out| say(ran_out(out)))?;
    let sign = corner.side().sign();
    let point = |v: Vec3| [v.x, v.y, v.z];
    let m = |v: Vec3| Vec3::new(v.x, sign * v.y, v.z);
    let (lower, upper, strut) = match corner.points().guide {
        Guide::Wishbone { lower, upper, .. } => (lower.each(m), upper.each(m), false),
        Guide::Strut { lower, top, .. } => (lower.each(m), [m(top); 2], true),
    };
    let (ball, top, outer, inner) = (pose.lower_ball(), pose.top(), pose.outer(), pose.inner());
    let pivots = [at_forward(lower, ball.x), at_forward(upper, top.x)];
    // A strut's top goes square to the damper, which stands about along the steering axis.
    let over = if strut { Vec3::new(0.0, -pose.axis().z, pose.axis().y) } else { top - pivots[1] };
    let centre = meet(ball, ball - pivots[0], top, over);
    let line = |from: Vec3, to: Vec3| [[from.y, from.z], centre.unwrap_or([to.y, to.z])];
    let still = corner.toe_change(travel, rack).map_err(|out| say(ran_out(out)))?;
    let deg = |angle: f64| Text::same(format!("{}°", signed(fixed(angle.to_degrees(), 2))));
    let apart = centre.map(|[y, z]| outer.z + (inner.z - outer.z) * (y - outer.y) / (inner.y - outer.y) - z);
    let texts = [
        figure(ResultUnit::Mm, pose.travel(), None),
        deg(still),
        deg(pose.camber()),
        figure(ResultUnit::Mm, pose.half_track_change(), None),
    ];
    Ok(CornerDrawing {
        lower: [point(lower[0]), point(lower[1]), point(ball)],
        upper: [point(upper[0]), point(upper[1]), point(top)],
        rod: [point(outer), point(inner)],
        wheel: point(pose.wheel_centre()),
        contact: point(pose.contact()),
        spin: point(pose.spin_axis() * sign),
        radius: corner.points().radius,
        strut,
        lines: [line(ball, pivots[0]), line(top, pivots[1]), [[outer.y, outer.z], [inner.y, inner.z]]],
        centre,
        text: bumps::standing(pose.travel(), still.to_degrees(), &texts[2], apart),
        far: bumps::bare(pose.travel()),
        toe: still.to_degrees(),
        texts,
    })
}
