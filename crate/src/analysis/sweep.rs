//! One rack over the whole turn of the steering wheel: toe-out and ratio wherever the rack stands, each with its ±.
//!
//! ± as in [`crate::analysis::uncertainty`]: first order, every reading a little up and a little down with everything derived again. A curve
//! is asked for at one place of its axis, so the ± is that of its height there: of toe-out at the same angle of the inner wheel, of
//! the ratio at the same turn of the steering wheel.

use crate::catalogue::field::FIELDS;
use crate::linkage::assumption::assumptions;
use crate::linkage::steering::{Position, position, rack_numbers};
use crate::linkage::wheel::wheels;
use crate::math::each::Each;
use crate::plan::inputs::{Readings, Recorder, Source};
use crate::suspension::wheel::Wheel;
use std::f64::consts::TAU;

/// Step of the central differences as a share of the reading's ±.
pub(crate) const STEP: f64 = 1e-3;

/// One point of a curve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place {
    /// Along the axis: the inner wheel's angle in degrees, or turns of the steering wheel, left positive.
    pub along: f64,
    /// Toe-out in degrees, or the ratio.
    pub height: f64,
    /// ± of the height, 95 %.
    pub pm: f64,
}

/// A linkage and the rack's travel per turn.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Built {
    wheels: [Wheel; 2],
    centre: [f64; 2],
    per_turn: Option<f64>,
}

impl Built {
    fn of(x: &dyn Source) -> Option<Built> {
        let wheels = wheels(x).ok()?;
        let centre = position(&wheels, 0.0).ok()?.steer;
        Some(Built { wheels, centre, per_turn: rack_numbers(x)[0].ok() })
    }

    /// Where it stands, with the steer angles from those at mid-travel.
    fn at(&self, s: f64) -> Option<Position> {
        let p = position(&self.wheels, s).ok()?;
        Some(Position { steer: [p.steer[0] - self.centre[0], p.steer[1] - self.centre[1]], ..p })
    }

    /// The overall steering ratio there.
    fn ratio(&self, s: f64) -> Option<f64> {
        let rate = self.at(s)?.rate;
        Some(TAU / self.per_turn? / ((rate[0] + rate[1]) / 2.0).abs()).filter(|r| r.is_finite())
    }
}

/// One rack over the whole turn.
#[derive(Debug, Clone, PartialEq)]
pub struct Sweep {
    built: Built,
    /// +1 where a left turn of the steering wheel moves the rack to the left.
    hand: f64,
    /// The same, each reading a little up and a little down.
    nudged: Vec<[Option<Built>; 2]>,
    /// The same at the corners of everything that is taken for granted.
    assumed: Vec<Vec<Option<Built>>>,
}

impl Sweep {
    /// The ± of a value from what every reading and every assumption makes of it.
    fn spread(&self, base: f64, moved: impl Fn(&Option<Built>) -> Option<f64>) -> f64 {
        let read = spread(base, self.nudged.iter().map(|n| [moved(&n[0]), moved(&n[1])]));
        let most = |corners: &Vec<Option<Built>>| corners.iter().filter_map(|b| Some((moved(b)? - base).abs())).fold(0.0, f64::max);
        let all = self.assumed.iter().map(|a| most(a).powi(2)).sum::<f64>() + read * read;
        if all.is_finite() { all.sqrt() } else { read }
    }

    /// Prepares the rack of these readings; `hand` is +1 where a left turn of the steering wheel moves the bar to the left, else −1.
    /// `None` where there is no linkage.
    pub fn of(readings: &Readings, hand: f64) -> Option<Sweep> {
        let x = readings.inputs();
        let record = Recorder::new(&x);
        let built = Built::of(&record)?;
        let nudged = FIELDS.iter().filter(|s| s.section.is_measured()).filter_map(|spec| {
            let (value, item) = x.get(spec.field).zip(readings.items[spec.field as usize]).filter(|(_, item)| item.pm > 0.0)?;
            record
                .read()
                .contains(spec.field)
                .then(|| [STEP, -STEP].each(|step| Built::of(&x.with(spec.field, Some(value + item.pm * step)))))
        });
        let assumed = assumptions(&x).iter().map(|a| a.corners.iter().map(|x| Built::of(x)).collect()).collect();
        Some(Sweep { built, hand, nudged: nudged.collect(), assumed })
    }

    /// Turns of the steering wheel from straight ahead with the rack at `s`, left positive; `None` without the travel per turn.
    pub fn turns(&self, s: f64) -> Option<f64> {
        Some(self.hand * s / self.built.per_turn?).filter(|t| t.is_finite())
    }

    /// Toe-out on turns at the rack displacement `s`; the inner wheel is that on the side to which both turn. `None` where the
    /// linkage has no position; the ± is left out, as nought, only where the inner wheel stands still against the rack.
    pub fn toe_out(&self, s: f64) -> Option<Place> {
        let p = self.built.at(s)?;
        let inner = usize::from(p.steer[0] + p.steer[1] < 0.0);
        let outer = 1 - inner;
        let sign = if inner == 0 { 1.0 } else { -1.0 };
        let angles = |p: &Position| [sign * p.steer[inner], sign * p.steer[outer]];
        let [i, o] = angles(&p);
        // At the same inner angle: what the inner wheel gains is taken back by the rack.
        let back = p.rate[outer] / p.rate[inner];
        let moved = |b: &Option<Built>| b.as_ref().and_then(|b| b.at(s)).map(|p| angles(&p)).map(|[i, o]| back * i - o);
        let pm = self.spread(back * i - o, moved);
        Some(Place { along: i.to_degrees(), height: (i - o).to_degrees(), pm: pm.to_degrees() })
    }

    /// The overall steering ratio with the rack at `s`; `None` without the travel per turn, and where the wheels stand still.
    pub fn ratio(&self, s: f64) -> Option<Place> {
        let turns = self.turns(s)?;
        let height = self.built.ratio(s)?;
        // At the same turn of the steering wheel: another travel per turn is another place of the rack.
        let moved = |b: &Option<Built>| b.as_ref().and_then(|b| b.ratio(self.hand * turns * b.per_turn?));
        let pm = self.spread(height, moved);
        Some(Place { along: turns, height, pm })
    }

    /// `count` places of a curve at equal distances of the rack, from `from` to `to`; those without a value are left out.
    pub fn along(&self, from: f64, to: f64, count: usize, curve: impl Fn(&Sweep, f64) -> Option<Place>) -> Vec<Place> {
        let share = |k: usize| k as f64 / count.saturating_sub(1).max(1) as f64;
        (0..count).filter_map(|k| curve(self, from + (to - from) * share(k))).collect()
    }
}

/// The ± of a value from what each reading's step up and down makes of it.
pub(crate) fn spread(base: f64, moved: impl Iterator<Item = [Option<f64>; 2]>) -> f64 {
    let part = |[up, down]: [Option<f64>; 2]| match (up, down) {
        (Some(u), Some(d)) => (u - d) / (2.0 * STEP),
        (Some(u), None) => (u - base) / STEP,
        (None, Some(d)) => (base - d) / STEP,
        (None, None) => 0.0,
    };
    let sum: f64 = moved.map(|m| part(m).powi(2)).sum();
    if sum.is_finite() { sum.sqrt() } else { 0.0 }
}
