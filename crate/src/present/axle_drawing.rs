//! The axle in plan wherever the steering wheel stands: every position that a drawing shows, and a probe to every digit.

use crate::analysis::sweep::Sweep;
use crate::catalogue::field::Field;
use crate::catalogue::field_set::FieldSet;
use crate::catalogue::result::ResultId;
use crate::catalogue::value::{Gap, Value, Why};
use crate::judgement::rack_line::fitted;
use crate::linkage::steering::{Position, Solution, position, solve};
use crate::linkage::travel::ENDS;
use crate::math::closure::Reach;
use crate::math::each::Each;
use crate::math::trig::Angle;
use crate::math::vector::Vec3;
use crate::math::within;
use crate::measurement::decimal::fixed;
use crate::measurement::entry::{Entry, Side, Unclear};
use crate::measurement::figure::{Text, degrees, figure};
use crate::measurement::quantity::{Method, Quantity, ResultUnit, Scale};
use crate::measurement::unit::Unit;
use crate::plan::Plan;
use crate::plan::inputs::{Inputs, Readings};
use crate::suspension::wheel::Wheel;
use crate::wording;
use crate::wording::motion;
use serde::Serialize;

/// One wheel in the drawing in plan: points [forward, left] in mm from the middle of the front axle.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
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
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct AxleDrawing {
    /// Left and right wheel.
    pub wheels: Vec<WheelDrawing>,
    /// Share of the usable travel: 1 with the steering wheel hard left, −1 hard right.
    pub share: f64,
    /// Rack displacement in mm, left positive.
    pub rack: f64,
    /// Turn of the steering wheel in degrees, left positive; needs the travel per turn.
    pub hand: Option<f64>,
    /// The same as shown, without its direction: in degrees and in turns.
    pub hand_text: Option<[String; 2]>,
    /// Which way the steering wheel is turned: "left", "right", or empty straight ahead.
    pub turned: &'static str,
    /// Which way the bar has gone, likewise.
    pub bar: &'static str,
    /// Which wheel is the inner one: "left", "right", or empty straight ahead.
    pub inner: &'static str,
    /// Wheelbase in mm, where known.
    pub wheelbase: Option<f64>,
    /// Where the turning centre lies on the rear axle's line, left positive, mm.
    pub centre: Option<f64>,
    /// Where the outer and the inner wheel's own axes meet that line.
    pub band: Option<[f64; 2]>,
    /// Where they meet it, in a sentence.
    pub meeting: Text,
    /// The wheel with the smaller transmission angle, 0 left.
    pub tight: usize,
    /// That angle, as shown.
    pub tight_text: String,
    /// Front tyre width in mm, where known.
    pub tyre: Option<f64>,
    /// Front track in mm, where known.
    pub track: Option<f64>,
    /// Toe-out against the inner wheel's angle, degrees: where this stands on that curve.
    pub toe_out: Option<[f64; 2]>,
    /// That place as a figure.
    pub toe_out_text: Text,
    /// Ratio against turns of the steering wheel: where this stands on that curve.
    pub ratio: Option<[f64; 2]>,
    /// That place as a figure.
    pub ratio_text: Text,
    /// The drawing in a sentence.
    pub caption: Text,
}

/// One end of the steering wheel's turn.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct EndDrawing {
    /// Which way the steering wheel is turned there: "left" or "right".
    pub turned: &'static str,
    /// Where it ends and why, or why there is no end, in a sentence.
    pub text: Text,
    /// What ends it, in a few words; empty where nothing does.
    pub reason: &'static str,
    /// Turns of the steering wheel, where known.
    pub turns: Option<f64>,
}

/// A rack on the car, ready to be put at any place of its travel.
#[derive(Debug, Clone, PartialEq)]
pub struct Axle {
    readings: Readings,
    x: Inputs,
    solution: Solution,
    wheels: [Wheel; 2],
    sweep: Sweep,
    /// +1 where a rack to the left steers left.
    direction: f64,
    /// +1 where a left turn of the steering wheel moves the bar to the left.
    hand: f64,
}

/// How a turn of the steering wheel is read; no plan holds one.
const HAND: Scale =
    Scale { quantity: Quantity::Angle, method: Method::Exact, range: (0.0, 0.0), sides: Some(("left", "right")), can_be_off: false };

/// "left", "right", or nothing at nought.
fn side(v: f64) -> &'static str {
    if v > 0.0 {
        "left"
    } else if v < 0.0 {
        "right"
    } else {
        ""
    }
}

impl Axle {
    /// The rack of that index. Where it is not known which way the bar moves, it is taken to move as the arms want it. The error,
    /// where there is no linkage, is a sentence.
    pub fn new(plan: &Plan, rack: usize) -> Result<Axle, String> {
        let readings = fitted(plan, rack).readings;
        let solution = solve(&readings.inputs(), [None; 2]);
        Axle::of(readings, solution)
    }

    /// The same of a rack that is solved already.
    pub(crate) fn of(readings: Readings, solution: Solution) -> Result<Axle, String> {
        let x = readings.inputs();
        let none =
            || wording::gap(solution.results.get(ResultId::RackPerDegree, 0).err().unwrap_or(Gap::Missing(FieldSet::empty())), &readings);
        let (Some(wheels), Some(direction)) = (solution.wheels, solution.direction) else { return Err(none()) };
        let hand = x.get(Field::BarMoves).unwrap_or(direction);
        let sweep = Sweep::of(&readings, direction).ok_or_else(none)?;
        Ok(Axle { x, solution, wheels, sweep, direction, hand, readings })
    }

    /// Whether a left turn of the steering wheel steers to the right.
    pub fn backwards(&self) -> bool {
        self.hand != self.direction
    }

    /// The wanted direction of the bar for a left turn of the steering wheel, and the real one; the second is empty where it is not known.
    pub fn bar(&self) -> [&'static str; 2] {
        [side(self.direction), if self.x.get(Field::BarMoves).is_some() { side(self.hand) } else { "" }]
    }

    /// Turns of the steering wheel from straight ahead with the rack at `s`, left positive; `None` without the travel per turn.
    fn turns(&self, s: f64) -> Option<f64> {
        self.sweep.turns(s).map(|t| t * self.hand * self.direction)
    }

    /// What the curves over the turn are made of: those of the rack turned end for end where it steers backwards, as every figure.
    pub fn sweep(&self) -> &Sweep {
        &self.sweep
    }

    /// The rack's results.
    pub fn solution(&self) -> &Solution {
        &self.solution
    }

    /// What it is known by.
    pub fn readings(&self) -> &Readings {
        &self.readings
    }

    /// Rack displacement in mm at which the car is on lock: to the left, to the right.
    pub fn locks(&self) -> [Value; 2] {
        let right_way = if self.backwards() { -1.0 } else { 1.0 };
        [self.rack(right_way), self.rack(-right_way)]
    }

    /// Rack displacement in mm at a share of the usable travel: 1 with the steering wheel hard left, −1 hard right.
    pub fn rack(&self, share: f64) -> Value {
        let way = share * self.hand;
        if way == 0.0 || !way.is_finite() {
            return Ok(0.0);
        }
        let usable = self.solution.results.get(ResultId::UsableTravel, usize::from(way < 0.0))?;
        Ok(usable * within(way, -1.0, 1.0))
    }

    /// The share at which the steering wheel is turned by so many degrees, left positive; past an end that end. `None` without the
    /// travel per turn or a usable travel that way.
    pub fn share(&self, degrees: f64) -> Option<f64> {
        if degrees == 0.0 {
            return Some(0.0);
        }
        let full = self.turns(self.rack(degrees.signum()).ok()?)?.abs() * 360.0;
        Some(degrees / full).filter(|s| s.is_finite()).map(|s| within(s, -1.0, 1.0))
    }

    /// The share that was typed: a text, "deg" or "turns" for a number without its own unit, "left" or "right". The error is a sentence:
    /// how to mend it, or that it lies past the end; with the latter goes the share of that end.
    pub fn typed(&self, text: &str, unit: &str, side: &str) -> Result<f64, (Text, Option<f64>)> {
        let row = |quantity, range| Scale { quantity, range, ..HAND };
        let side = [("left", Side::Plus), ("right", Side::Minus)].into_iter().find(|s| s.0 == side).map(|s| s.1);
        let read = |quantity, unit, range| Entry::new(text, unit, side).read(&row(quantity, range)).map(|r| r.value);
        let degrees = || read(Quantity::Angle, Unit::Deg, (0.0, 36_000.0));
        let turns = || read(Quantity::Turns, Unit::Turns, (0.0, 100.0)).map(|t| 360.0 * t);
        let first = if unit == "turns" { turns() } else { degrees() };
        let degrees = match first {
            Err(Unclear::WrongUnit { .. }) if unit == "turns" => degrees(),
            Err(Unclear::WrongUnit { .. }) => turns(),
            other => other,
        };
        let degrees = degrees.map_err(|why| (Text::same(why.to_string()), None))?;
        let end = self.ends()[usize::from(degrees < 0.0)].clone();
        let share = self.share(degrees).ok_or_else(|| (end.text.clone(), None))?;
        // A hair past the end is the end, as it is written there.
        let past = end.turns.is_some_and(|t| degrees.abs() > t.abs() * 360.0 + 5.0);
        if past { Err((motion::past_end(&end.text), Some(share))) } else { Ok(share) }
    }

    /// The share a step further: to the next whole ten degrees of the steering wheel, or by a fiftieth where those are not known. `by` counts steps,
    /// left positive.
    pub fn stepped(&self, share: f64, by: f64) -> f64 {
        let turns = self.rack(share).ok().and_then(|s| self.turns(s));
        let further = turns.and_then(|turns| {
            let (now, way) = (turns * 36.0, by.signum());
            // From between two steps to the next of them, from a step to the next one.
            let whole = if way > 0.0 { (now + 1e-6).floor() } else { (now - 1e-6).ceil() };
            self.share((whole + by) * 10.0)
        });
        within(further.unwrap_or_else(|| ((share * 50.0).round() + by) / 50.0), -1.0, 1.0)
    }

    /// Both ends of the steering wheel's turn, left first.
    pub fn ends(&self) -> [EndDrawing; 2] {
        [1.0, -1.0].each(|share| {
            let turned = side(share);
            let way = usize::from(share * self.hand > 0.0);
            let reason = self.solution.ends[way].map_or("", |k| wording::end(ENDS[k]));
            match self.rack(share).map(|s| (s, self.at(share))) {
                Ok((s, Ok(at))) => {
                    let steer = at.inner_steer().map_or_else(Text::default, |d| degrees(d.abs()));
                    let travel = figure(ResultUnit::Mm, s.abs(), None);
                    let wheel = at.hand_text.as_ref().map(|t| &t[1]);
                    EndDrawing {
                        turned,
                        text: motion::end(turned, wheel, &travel, &steer, reason),
                        reason,
                        turns: at.hand.map(|d| d / 360.0),
                    }
                }
                Ok((_, Err(why))) => EndDrawing { turned, text: motion::no_end(turned, &why), reason: "", turns: None },
                Err(gap) => {
                    EndDrawing { turned, text: motion::no_end(turned, &wording::gap(gap, &self.readings)), reason: "", turns: None }
                }
            }
        })
    }

    /// Where everything stands at a share of the usable travel: 1 with the steering wheel hard left, −1 hard right. The error is a sentence.
    pub fn at(&self, share: f64) -> Result<AxleDrawing, String> {
        let sentence = |gap| wording::gap(gap, &self.readings);
        let share = if share.is_finite() { within(share, -1.0, 1.0) } else { 0.0 };
        let s = self.rack(share).map_err(sentence)?;
        let at = position(&self.wheels, s).map_err(sentence)?;
        let get = |n| self.solution.results.get(n, 0).ok();
        let turn = (self.direction * s).signum() * if s == 0.0 { 0.0 } else { 1.0 };
        let (wheelbase, ground) = (self.x.get(Field::Wheelbase), get(ResultId::AxisSpacingGround));
        let lock = match (wheelbase, ground, get(ResultId::ScrubRadius)) {
            (Some(wheelbase), Some(spacing), Some(scrub)) if turn != 0.0 => {
                let lock = crate::linkage::turning_circle::Lock { wheelbase, spacing, scrub, steer: at.steer, turn };
                lock.circle().map(|c| (c.centre, [lock.ruled_by(-turn), lock.ruled_by(turn)]))
            }
            _ => None,
        };
        let hand = self.turns(s).map(|t| t * 360.0);
        let hand_text = hand.map(|d| [fixed(d.abs(), 0), fixed(d.abs() / 360.0, 2)]);
        let tight = usize::from(at.transmission[1] < at.transmission[0]);
        let toe_out = self.sweep.toe_out(s);
        let ratio = self.sweep.ratio(s);
        let way = usize::from(s > 0.0);
        let end = self.solution.ends[way].map(|k| wording::end(ENDS[k])).filter(|_| share.abs() == 1.0 && s != 0.0);
        let bar = figure(ResultUnit::Mm, s.abs(), None);
        let caption = motion::Standing {
            turned: side(share),
            turns: hand_text.as_ref().map(|t| t[1].as_str()),
            bar: side(s),
            wheels: side(turn),
            backwards: self.backwards(),
            end,
        };
        Ok(AxleDrawing {
            wheels: [0, 1].each(|w| self.wheel(w, s, &at)).into(),
            share,
            rack: s,
            hand,
            turned: if s == 0.0 { "" } else { side(share) },
            bar: side(s),
            inner: side(turn),
            wheelbase,
            centre: lock.map(|l| l.0),
            band: lock.map(|l| l.1),
            meeting: motion::meeting(turn != 0.0, lock.map(|l| l.1.map(|y| (figure(ResultUnit::Circle, y.abs(), None), side(y))))),
            tight,
            tight_text: degrees(at.transmission[tight].to_degrees()).mm,
            tyre: self.x.get(Field::TyreWidth),
            track: self.x.get(Field::FrontTrack),
            toe_out_text: toe_out.map_or_else(Text::default, |p| {
                let outer = degrees(p.along - p.height);
                motion::toe_out(&degrees(p.along), &outer, &figure(ResultUnit::Deg, p.height, Some(p.pm)), side(turn))
            }),
            toe_out: toe_out.map(|p| [p.along, p.height]),
            ratio_text: ratio.map_or_else(Text::default, |p| {
                motion::ratio(&figure(ResultUnit::Ratio, p.height, Some(p.pm)), hand_text.as_ref().map_or("", |t| &t[1]), side(share))
            }),
            ratio: ratio.map(|p| [p.along, p.height]),
            caption: motion::standing(&caption, &bar),
            hand_text,
        })
    }

    fn wheel(&self, w: usize, s: f64, at: &Position) -> WheelDrawing {
        let get = |n| self.solution.results.get(n, 0).ok();
        let spacing = get(ResultId::AxisSpacingRodEnd).unwrap_or(0.0);
        // Without the track the wheel is drawn on its axis, its place then being unknown.
        let scrub = self.x.get(Field::FrontTrack).map_or(0.0, |t| (t - spacing) / 2.0);
        let sign = if w == 0 { 1.0 } else { -1.0 };
        let axis = [0.0, sign * spacing / 2.0];
        let (sin, cos) = at.steer[w].sine_cosine();
        let l = &self.wheels[w].linkage;
        let place = |v: Vec3| [v.x, v.y + axis[1]];
        let deg = at.steer[w].to_degrees();
        WheelDrawing {
            axis,
            contact: [-sign * scrub * sin, axis[1] + sign * scrub * cos],
            rod_end: place(l.at(s).map(|t| l.outer(t)).unwrap_or_default()),
            inner: place(l.inner(s)),
            steer: deg,
            text: degrees(deg.abs()).mm,
            transmission: at.transmission[w].to_degrees(),
        }
    }
}

impl AxleDrawing {
    /// The inner wheel's steer angle in degrees; `None` straight ahead.
    fn inner_steer(&self) -> Option<f64> {
        let w = ["left", "right"].iter().position(|s| *s == self.inner)?;
        Some(self.wheels.get(w)?.steer)
    }
}

/// The axle in plan at `share` of the usable travel, 1 with the steering wheel hard left. The error is a sentence.
pub fn axle(plan: &Plan, rack: usize, share: f64) -> Result<AxleDrawing, String> {
    Axle::new(plan, rack)?.at(share)
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
    let readings = fitted(plan, rack).readings;
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
        None => Err(solution.results.get(ResultId::RodLength, 0).err().unwrap_or(Gap::Missing(FieldSet::empty()))),
    };
    let c = solution.results.get(ResultId::TravelPerTurn, 0).ok();
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
            status: wording::gap(gap, &readings),
            steer_left: None,
            steer_right: None,
            ratio: None,
            transmission_left: None,
            transmission_right: None,
        },
    }
}
