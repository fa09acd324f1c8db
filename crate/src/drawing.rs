//! The axle in plan at one rack displacement: every position that a drawing shows, and a probe to every digit.

use crate::axle::Wheel;
use crate::closure::Reach;
use crate::fields::Field;
use crate::plan::Plan;
use crate::readings::Readings;
use crate::results::{FieldSet, Gap, Name, ResultUnit, Why};
use crate::steering::{position, solve};
use crate::text::{Text, degrees, figure};
use crate::travel::ENDS;
use crate::words;
use serde::Serialize;

/// One wheel in the drawing in plan: points [forward, left] in mm from the middle of the front axle.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WheelDrawing {
    /// Steering axis at rod-end height.
    pub axis: [f64; 2],
    /// Middle of the wheel.
    pub contact: [f64; 2],
    /// Outer rod end.
    pub rod_end: [f64; 2],
    /// Inner joint.
    pub inner: [f64; 2],
    /// Steer angle in degrees, left positive.
    pub steer: f64,
    /// The angle, as shown.
    pub text: String,
    /// Transmission angle in degrees.
    pub transmission: f64,
}

/// The axle in plan at one rack displacement.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct AxleDrawing {
    /// Left and right wheel.
    pub wheels: Vec<WheelDrawing>,
    /// Rack displacement in mm, left positive.
    pub rack: f64,
    /// Which wheel is the inner one: "left", "right", or empty straight ahead.
    pub inner: &'static str,
    /// Wheelbase in mm, where known.
    pub wheelbase: Option<f64>,
    /// Where the turning centre lies on the rear axle's line, left positive, mm.
    pub centre: Option<f64>,
    /// Where the outer and the inner wheel's own axes meet that line.
    pub band: Option<[f64; 2]>,
    /// Front tyre width in mm, where known.
    pub tyre: Option<f64>,
    /// Front track in mm, where known.
    pub track: Option<f64>,
    /// The drawing in a sentence.
    pub caption: Text,
}

/// The axle in plan with the steering turned to `share` of the usable travel: 1 lock left, −1 lock right. The error is a sentence.
pub fn axle(plan: &Plan, rack: usize, share: f64) -> Result<AxleDrawing, String> {
    let readings = Readings::of(plan, rack);
    let x = readings.inputs();
    let solution = solve(&x, [None; 2]);
    let sentence = |gap| words::gap(gap, &readings);
    let (Some(wheels), Some(direction)) = (solution.wheels, solution.direction) else {
        return Err(sentence(solution.sheet.get(Name::RodLength, 0).err().unwrap_or(Gap::Missing(FieldSet::NONE))));
    };
    let toward_left = share * direction > 0.0;
    let side = if toward_left { 0 } else { 1 };
    let usable = solution.sheet.get(Name::UsableTravel, side);
    let share = if share.is_finite() { share.clamp(-1.0, 1.0) } else { 0.0 };
    let s = if share == 0.0 { 0.0 } else { usable.map_err(sentence)? * share.abs() * if toward_left { 1.0 } else { -1.0 } };
    let at = position(&wheels, s).map_err(sentence)?;
    let get = |n| solution.sheet.get(n, 0).ok();
    let spacing = get(Name::AxisSpacingRodEnd).unwrap_or(0.0);
    let track = x.get(Field::FrontTrack);
    // Without the track the wheel is drawn on its axis, its place then being unknown.
    let scrub = track.map_or(0.0, |t| (t - spacing) / 2.0);
    let drawings = [0, 1].map(|w| {
        let sign = if w == 0 { 1.0 } else { -1.0 };
        let axis = [0.0, sign * spacing / 2.0];
        let (sin, cos) = at.steer[w].sin_cos();
        let l = &wheels[w].linkage;
        let place = |v: crate::geometry::Vec3| [v.x, v.y + axis[1]];
        let outer = l.at(s).map(|t| l.outer(t)).unwrap_or_default();
        let deg = at.steer[w].to_degrees();
        WheelDrawing {
            axis,
            contact: [-sign * scrub * sin, axis[1] + sign * scrub * cos],
            rod_end: place(outer),
            inner: place(l.inner(s)),
            steer: deg,
            text: degrees(deg.abs()).mm,
            transmission: at.transmission[w].to_degrees(),
        }
    });
    let turn = share.signum() * if share == 0.0 { 0.0 } else { 1.0 };
    let (wheelbase, ground) = (x.get(Field::Wheelbase), get(Name::AxisSpacingGround));
    let lock = match (wheelbase, ground, get(Name::ScrubRadius)) {
        (Some(wheelbase), Some(spacing), Some(scrub)) if turn != 0.0 => {
            let lock = crate::circle::Lock { wheelbase, spacing, scrub, steer: at.steer, turn };
            lock.circle().map(|c| (c.centre, [lock.ruled_by(-turn), lock.ruled_by(turn)]))
        }
        _ => None,
    };
    let bar = figure(ResultUnit::Mm, s.abs(), None);
    let ends = solution.ends[if toward_left { 1 } else { 0 }].map(|k| words::end(ENDS[k]));
    let caption = match (s == 0.0, share.abs() == 1.0, ends) {
        (true, ..) => Text::same("Straight ahead, rack at mid-travel."),
        (_, true, Some(end)) => Text::fill(
            &format!(
                "Lock {}: bar {{}} to the {}, where the travel ends at {end}.",
                if turn > 0.0 { "left" } else { "right" },
                if s > 0.0 { "left" } else { "right" }
            ),
            &[&bar],
        ),
        _ => Text::fill(&format!("Bar {{}} to the {}.", if s > 0.0 { "left" } else { "right" }), &[&bar]),
    };
    Ok(AxleDrawing {
        wheels: drawings.into(),
        rack: s,
        inner: if turn > 0.0 {
            "left"
        } else if turn < 0.0 {
            "right"
        } else {
            ""
        },
        wheelbase,
        centre: lock.map(|l| l.0),
        band: lock.map(|l| l.1),
        tyre: x.get(Field::TyreWidth),
        track,
        caption,
    })
}

/// Both wheels at a rack displacement in mm, to every digit: for comparison with another program.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Probe {
    /// Rack displacement, mm, left positive.
    pub rack: f64,
    /// "ok", or why there is no position.
    pub status: String,
    /// Steer angles, degrees, left positive.
    pub steer_left: Option<f64>,
    /// Right wheel.
    pub steer_right: Option<f64>,
    /// Overall steering ratio there; needs the travel per turn.
    pub ratio: Option<f64>,
    /// Transmission angles, degrees.
    pub transmission_left: Option<f64>,
    /// Right wheel.
    pub transmission_right: Option<f64>,
}

/// Probes a rack of a plan at a displacement. Past a toggle there is no position, even where the rod would reach again beyond a
/// dead stretch.
pub fn probe(plan: &Plan, rack: usize, s: f64) -> Probe {
    let readings = Readings::of(plan, rack);
    let solution = solve(&readings.inputs(), [None; 2]);
    let over = |w: &Wheel| {
        let toggle = w.linkage.toggles()[usize::from(s > 0.0)].filter(|t| s.abs() > t.abs())?;
        Some(w.linkage.at(toggle * (1.0 + 1e-9)).err().unwrap_or(Reach::TooLong))
    };
    let at = match solution.wheels {
        Some(w) => match w.iter().find_map(over) {
            Some(reach) => Err(Gap::Unreachable(Why::Linkage(reach))),
            None => position(&w, s),
        },
        None => Err(solution.sheet.get(Name::RodLength, 0).err().unwrap_or(Gap::Missing(FieldSet::NONE))),
    };
    let c = solution.sheet.get(Name::TravelPerTurn, 0).ok();
    let finite = |x: f64| x.is_finite().then_some(x);
    match at {
        Ok(p) => Probe {
            rack: s,
            status: "ok".to_owned(),
            steer_left: finite(p.steer[0].to_degrees()),
            steer_right: finite(p.steer[1].to_degrees()),
            ratio: c.and_then(|c| finite(std::f64::consts::TAU / c / ((p.rate[0] + p.rate[1]) / 2.0).abs())),
            transmission_left: finite(p.transmission[0].to_degrees()),
            transmission_right: finite(p.transmission[1].to_degrees()),
        },
        Err(gap) => Probe {
            rack: s,
            status: words::gap(gap, &readings),
            steer_left: None,
            steer_right: None,
            ratio: None,
            transmission_left: None,
            transmission_right: None,
        },
    }
}
