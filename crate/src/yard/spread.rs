//! How far the car's readings move an edge.
//!
//! At an edge a few margins are nought at once. Along them the largest spacing (or travel) is that of a max of mins, so its derivative is a
//! weighted sum of the margins' own, with weights for which travel and line, which are free, drop out (the envelope theorem): d edge =
//! −Σ λ dm / Σ λ ∂m/∂edge with Σ λ ∂m/∂T = Σ λ ∂m/∂line = 0. First order, as `uncertainty`; what is taken for granted adds its largest
//! change over its range.

use super::window::{ROD_STEP, TRAVEL_STEP, in_steps, least_angle, swing};
use super::{JOINT_SWING, Yard};
use crate::assumption::assumptions;
use crate::axle::{arms, axis_spacings};
use crate::demand::DEMANDS;
use crate::fields::{FIELDS, Field, Section};
use crate::readings::Inputs;
use crate::results::Name;

/// The limits that may bound an edge. The first ask for more travel or have nothing to do with it, the last [`LESS`] for less.
const KEYS: [Field; 13] = [
    Field::LockWanted,
    Field::CircleMax,
    Field::CircleEdgeMax,
    Field::WallToWallMax,
    Field::TurnsMin,
    Field::AckermannMin,
    Field::AckermannMax,
    Field::UsualRodMin,
    Field::UsualRodMax,
    Field::ReserveWanted,
    Field::TransmissionWanted,
    Field::TurnsMax,
    Field::InnerJointLimit,
];
const LESS: usize = 4;
const ROD_MIN: usize = 7;
const ROD_MAX: usize = 8;

/// By how much each of [`KEYS`] is kept, in the steps of the score; infinite where it is not asked.
pub(super) struct Slack([f64; KEYS.len()]);

impl Slack {
    /// Those that are just kept: their places, the tightest of a kind first.
    pub(super) fn met(&self, within: f64) -> Vec<usize> {
        let tight = |k: &usize| self.0[*k] < within;
        let split = KEYS.len() - LESS;
        let sorted = |range: std::ops::Range<usize>| {
            let mut list: Vec<usize> = range.filter(tight).collect();
            list.sort_by(|a, b| self.0[*a].total_cmp(&self.0[*b]));
            list
        };
        [sorted(0..split), sorted(split..KEYS.len())].concat()
    }

    /// The same of those that have nothing to do with travel.
    pub(super) fn met_by_shape(&self) -> Vec<usize> {
        [ROD_MIN, ROD_MAX].into_iter().filter(|&k| self.0[k] < 0.5).collect()
    }

    /// Whether a limit may bound the least (0) or the most (1) travel.
    pub(super) fn asks(key: usize, end: usize) -> bool {
        match KEYS[key] {
            Field::AckermannMin | Field::AckermannMax => true,
            Field::UsualRodMin | Field::UsualRodMax => false,
            _ => (key >= KEYS.len() - LESS) == (end == 1),
        }
    }
}

impl Yard {
    /// The limit at a place of [`KEYS`]: the builder's own, or what is usual.
    pub(super) fn key(&self, key: usize) -> Field {
        let bound = match KEYS[key] {
            Field::TurnsMin => self.turns[0],
            Field::TurnsMax => self.turns[1],
            field => return field,
        };
        bound.map_or(KEYS[key], |b| b.1)
    }

    /// Every margin of a rack of spacing, travel and line (mm).
    pub(super) fn slack(&self, x: &Inputs, [spacing, travel, line]: [f64; 3]) -> Slack {
        let mut out = [f64::INFINITY; KEYS.len()];
        let mut lower = |field: Field, margin: f64| {
            if let Some(k) = KEYS.iter().position(|f| *f == field) {
                out[k] = out[k].min(margin);
            }
        };
        let rack = self.with(x, spacing, travel, line);
        for m in self.margins(&rack.sheet) {
            if let Some(field) = DEMANDS[m.demand].limit.filter(|f| *f != Field::TransmissionWanted) {
                lower(field, in_steps(&m));
            }
        }
        if let Some(limit) = self.limit(Field::TransmissionWanted).filter(|_| !self.readings.off.has(Field::TransmissionWanted)) {
            lower(Field::TransmissionWanted, least_angle(&rack, travel) - limit);
        }
        lower(Field::InnerJointLimit, JOINT_SWING - swing(&rack, travel));
        if let Some(most) = self.limit(Field::UsualRodMax) {
            for side in 0..2 {
                lower(Field::UsualRodMax, rack.sheet.get(Name::RodLength, side).map_or(f64::INFINITY, |r| (most - r) / ROD_STEP));
            }
        }
        if let (Some(least), Ok([l, r]), Ok([_, (axes, _)])) = (self.limit(Field::UsualRodMin), arms(x), axis_spacings(x, arms(x))) {
            let offset = x.get(Field::Offset).unwrap_or(0.0);
            let half = (axes / 2.0 - l.inboard - offset).min(axes / 2.0 - r.inboard + offset);
            lower(Field::UsualRodMin, (half - spacing / 2.0 - least) / ROD_STEP);
        }
        if let Ok(per_degree) = rack.sheet.get(Name::RackPerDegree, 0) {
            let [(least, a), (most, b)] = self.by_turning(360.0 * per_degree.abs());
            lower(Field::TurnsMin, a.map_or(f64::INFINITY, |_| (travel - least) / TRAVEL_STEP));
            lower(Field::TurnsMax, b.map_or(f64::INFINITY, |_| (most - travel) / TRAVEL_STEP));
        }
        Slack(out)
    }

    /// ± of an edge at `at` (spacing, travel, line): `of` is the place of what is told, `free` those of what may be chosen, the first of
    /// them always, the line only where more margins meet than that.
    pub(super) fn spread(&self, at: [f64; 3], active: &[usize], of: usize, free: &[usize]) -> Option<f64> {
        const H: f64 = 0.02;
        let slope = |axis: usize| {
            let moved = [H, -H].map(|h| {
                let mut place = at;
                place[axis] += h;
                self.slack(&self.base, place).0
            });
            move |k: usize| (moved[0][k] - moved[1][k]) / (2.0 * H)
        };
        // At the end of its room the line is not free, and a margin at its own best there has no slope that way.
        let held = self.room.iter().any(|w| (w - at[2]).abs() < 2.0 * H);
        let free: Vec<usize> = free.iter().copied().filter(|f| *f != 2 || !held).collect();
        let slopes: Vec<_> = free.iter().map(|f| slope(*f)).collect();
        let weights = weights(active, &slopes, free.first() == Some(&1))?;
        let over = slope(of);
        let sum = |of: &dyn Fn(usize) -> f64| weights.iter().map(|(k, w)| w * of(*k)).sum::<f64>();
        let whole = sum(&over);
        let mut total = 0.0;
        for spec in FIELDS.iter().filter(|f| f.section != Section::Limits) {
            let (Some(v), Some(item)) = (self.base.get(spec.field), self.readings.items[spec.field as usize]) else { continue };
            if item.pm <= 0.0 {
                continue;
            }
            const STEP: f64 = 1e-3;
            let moved = [STEP, -STEP].map(|s| self.slack(&self.base.with(spec.field, Some(v + s * item.pm)), at).0);
            total += (sum(&|k| (moved[0][k] - moved[1][k]) / (2.0 * STEP)) / whole).powi(2);
        }
        let here = self.slack(&self.base, at).0;
        for taken in assumptions(&self.base) {
            let corners = taken.corners.iter().map(|x| {
                let there = self.slack(x, at).0;
                (sum(&|k| there[k] - here[k]) / whole).abs()
            });
            total += corners.fold(0.0, f64::max).powi(2);
        }
        Some(total.sqrt()).filter(|pm| pm.is_finite())
    }
}

/// The weights of the margins that meet at an edge: as many of them as there are choices, and one more.
fn weights(active: &[usize], slopes: &[impl Fn(usize) -> f64], travel: bool) -> Option<Vec<(usize, f64)>> {
    let (&a, last) = (active.first()?, active.last().copied().filter(|l| *l != active[0]));
    let same = |w: &[(usize, f64)]| w.iter().all(|x| x.1 > 0.0) || w.iter().all(|x| x.1 < 0.0);
    if let ([_, _, ..], &[a, b, c, ..]) = (slopes, active) {
        let g = |f: usize| [a, b, c].map(&slopes[f]);
        let (t, l) = (g(0), g(1));
        let w = [(a, t[1] * l[2] - t[2] * l[1]), (b, t[2] * l[0] - t[0] * l[2]), (c, t[0] * l[1] - t[1] * l[0])];
        if same(&w) {
            return Some(w.to_vec());
        }
    }
    if let (Some(slope), Some(b)) = (slopes.first(), last) {
        let w = [(a, slope(b)), (b, -slope(a))];
        // A limit that has nothing to do with the travel stands alone.
        if same(&w) {
            return Some(w.to_vec());
        }
    }
    if !travel || last.is_none() { Some(vec![(a, 1.0)]) } else { None }
}
