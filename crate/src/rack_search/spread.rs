//! How far the car's readings move an edge.
//!
//! At an edge a few margins are nought at once. Along them the largest spacing (or travel) is that of a max of mins, so its derivative is a
//! weighted sum of the margins' own, with weights for which travel and line, which are free, drop out (the envelope theorem): d edge =
//! −Σ λ dm / Σ λ ∂m/∂edge with Σ λ ∂m/∂T = Σ λ ∂m/∂line = 0. First order, as `uncertainty`; what is taken for granted adds its largest
//! change over its range.

use super::window::{ROD_STEP, TRAVEL_STEP, in_steps};
use super::{JOINT_SWING, RackSearch};
use crate::catalogue::field::{FIELDS, Field};
use crate::catalogue::result::ResultId;
use crate::judgement::demand::Travel;
use crate::linkage::arm::arms;
use crate::linkage::assumption::assumptions;
use crate::linkage::travel::{ENDS, End};
use crate::linkage::wheel::{Level, axis_spacing};
use crate::math::each::Each;
use crate::math::order::order;
use crate::plan::inputs::Inputs;

/// The margins that may be nought at an edge, each wheel's and each way's by itself: a limit is kept where the least of its margins is.
const KEYS: [(Field, usize); 13] = [
    (Field::LockWanted, 2),
    (Field::CircleMax, 2),
    (Field::CircleEdgeMax, 2),
    (Field::WallToWallMax, 2),
    (Field::TurnsMin, 1),
    (Field::AckermannMin, 2),
    (Field::AckermannMax, 2),
    (Field::UsualRodMin, 2),
    (Field::UsualRodMax, 2),
    // These ask for less travel.
    (Field::ReserveWanted, 8),
    (Field::TransmissionWanted, 4),
    (Field::TurnsMax, 1),
    (Field::InnerJointLimit, 4),
];
const COUNT: usize = 34;
const LESS: [Field; 4] = [Field::ReserveWanted, Field::TransmissionWanted, Field::TurnsMax, Field::InnerJointLimit];

/// The limit of a place.
fn field(place: usize) -> Field {
    let mut end = 0;
    let of = KEYS.iter().find(|k| {
        end += k.1;
        place < end
    });
    of.map_or(Field::LockWanted, |k| k.0)
}

/// The first place of a limit.
fn first(field: Field) -> Option<usize> {
    let k = KEYS.iter().position(|k| k.0 == field)?;
    Some(KEYS[..k].iter().map(|k| k.1).sum())
}

/// By how much each of [`KEYS`] is kept, in the steps of the score; infinite where it is not asked.
pub(super) struct Slack([f64; COUNT]);

impl Slack {
    /// The places of those that are just kept: first what asks for more, or has nothing to do with travel, the tightest first.
    pub(super) fn met(&self, within: f64) -> Vec<usize> {
        let less = |k: usize| LESS.contains(&field(k));
        let mut list = order(COUNT, &|a, b| less(a).cmp(&less(b)).then(self.0[a].total_cmp(&self.0[b])));
        list.retain(|k| self.0[*k] < within);
        list
    }

    /// The same of those that have nothing to do with travel.
    pub(super) fn met_by_shape(&self) -> Vec<usize> {
        (0..COUNT).filter(|&k| matches!(field(k), Field::UsualRodMin | Field::UsualRodMax) && self.0[k] < 0.5).collect()
    }

    /// Whether a place may bound the least (0) or the most (1) travel.
    pub(super) fn asks(place: usize, end: usize) -> bool {
        match field(place) {
            Field::AckermannMin | Field::AckermannMax => true,
            Field::UsualRodMin | Field::UsualRodMax => false,
            f => LESS.contains(&f) == (end == 1),
        }
    }
}

impl RackSearch {
    /// The limits at places of [`KEYS`], each once: the builder's own, or what is usual.
    pub(super) fn limits_at(&self, places: &[usize]) -> Vec<Field> {
        let mut out = Vec::new();
        for place in places {
            let bound = match field(*place) {
                Field::TurnsMin => self.turns[0],
                Field::TurnsMax => self.turns[1],
                _ => None,
            };
            let field = bound.map_or(field(*place), |b| b.1);
            if !out.contains(&field) {
                out.push(field);
            }
        }
        out
    }

    /// Every margin of a rack of spacing, travel and line (mm).
    pub(super) fn slack(&self, x: &Inputs, [spacing, travel, line]: [f64; 3]) -> Slack {
        let mut out = [f64::INFINITY; COUNT];
        let mut put = |field: Field, side: usize, margin: f64| {
            if let Some(k) = first(field) {
                out[k + side] = margin;
            }
        };
        let rack = self.with(x, spacing, travel, line);
        for m in self.margins(&rack.results) {
            if let Some(field) =
                m.demand().set_by().filter(|f| matches!(m.demand().travel, Travel::More | Travel::Either) && !LESS.contains(f))
            {
                put(field, m.side, in_steps(&m));
            }
        }
        if let Some(wanted) = self.limit(Field::ReserveWanted) {
            let dead = rack.distances.iter().flat_map(|d| (0..ENDS.len()).filter(|k| is_dead(ENDS[*k])).map(|k| d[k]));
            for (i, d) in dead.enumerate() {
                put(Field::ReserveWanted, i, d.map_or(f64::INFINITY, |d| d - travel / 2.0 - wanted));
            }
        }
        let asked = self.limit(Field::TransmissionWanted).filter(|_| !self.readings.off.contains(Field::TransmissionWanted));
        let mut ways = 0;
        for (w, d) in rack.wheels.iter().flatten().zip(rack.dead.iter().flatten()) {
            for s in [0.5 * travel, -0.5 * travel] {
                if let Some(wanted) = asked {
                    let angle = w.linkage.least_transmission(s).map_or(0.0, f64::to_degrees);
                    put(Field::TransmissionWanted, ways, angle - wanted);
                }
                let swing = w.linkage.largest_inner_joint(s.min(0.0), s.max(0.0), &d.peaks);
                put(Field::InnerJointLimit, ways, JOINT_SWING - swing.map_or(90.0, f64::to_degrees));
                ways += 1;
            }
        }
        if let Some(most) = self.limit(Field::UsualRodMax) {
            for side in 0..2 {
                let rod = rack.results.get(ResultId::RodLength, side);
                put(Field::UsualRodMax, side, rod.map_or(f64::INFINITY, |r| (most - r) / ROD_STEP));
            }
        }
        if let (Some(least), Ok(arms), Ok((axes, _))) = (self.limit(Field::UsualRodMin), arms(x), axis_spacing(x, Level::RodEnd)) {
            let offset = x.get(Field::Offset).unwrap_or(0.0);
            for (side, by) in [offset, -offset].into_iter().enumerate() {
                put(Field::UsualRodMin, side, (axes / 2.0 - arms[side].inboard - by - spacing / 2.0 - least) / ROD_STEP);
            }
        }
        if let Ok(per_degree) = rack.results.get(ResultId::RackPerDegree, 0) {
            let [(least, a), (most, b)] = self.by_turning(360.0 * per_degree.abs());
            put(Field::TurnsMin, 0, a.map_or(f64::INFINITY, |_| (travel - least) / TRAVEL_STEP));
            put(Field::TurnsMax, 0, b.map_or(f64::INFINITY, |_| (most - travel) / TRAVEL_STEP));
        }
        Slack(out)
    }

    /// ± of an edge at `at` (spacing, travel, line): `of` is the place of what is told, `free` those of what may be chosen, the first of
    /// them always, the line only where more margins meet than that.
    pub(super) fn spread(&self, at: [f64; 3], active: &[usize], of: usize, free: &[usize]) -> Option<f64> {
        const H: f64 = 0.02;
        let slope = |axis: usize| {
            let moved = [H, -H].each(|h| {
                let mut place = at;
                place[axis] += h;
                self.slack(&self.base, place).0
            });
            move |k: usize| (moved[0][k] - moved[1][k]) / (2.0 * H)
        };
        // At the end of its room the line is not free.
        let held = self.room.iter().any(|w| (w - at[2]).abs() < 2.0 * H);
        let free: Vec<usize> = free.iter().copied().filter(|f| *f != 2 || !held).collect();
        let slopes: Vec<_> = free.iter().map(|f| slope(*f)).collect();
        let over = slope(of);
        let here = self.slack(&self.base, at).0;
        let weights = weights(active, &slopes, free.contains(&1), &over, &here)?;
        let sum = |of: &dyn Fn(usize) -> f64| weights.iter().map(|(k, w)| w * of(*k)).sum::<f64>();
        let whole = sum(&over);
        let mut total = 0.0;
        for spec in FIELDS.iter().filter(|f| f.section.is_measured()) {
            let (Some(v), Some(item)) = (self.base.get(spec.field), self.readings.items[spec.field as usize]) else { continue };
            if item.pm <= 0.0 {
                continue;
            }
            const STEP: f64 = 1e-3;
            let moved = [STEP, -STEP].each(|s| self.slack(&self.base.with(spec.field, Some(v + s * item.pm)), at).0);
            total += (sum(&|k| (moved[0][k] - moved[1][k]) / (2.0 * STEP)) / whole).powi(2);
        }
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

/// The weights, all of one sign, of the margins that meet at an edge: those with which the travel drops out, and the line as far as it does.
/// Of several sets that would do it is the one nearest by: the others meet elsewhere.
fn weights(
    active: &[usize],
    slopes: &[impl Fn(usize) -> f64],
    travel: bool,
    over: &impl Fn(usize) -> f64,
    slack: &[f64; COUNT],
) -> Option<Vec<(usize, f64)>> {
    let at = |f: usize, k: usize| slopes.get(f).map_or(0.0, |s| s(k));
    let (t, l) = if travel { (Some(0), 1) } else { (None, 0) };
    let travel_of = |k: usize| t.map_or(0.0, |t| at(t, k));
    let mut best: Option<(f64, Vec<(usize, f64)>)> = None;
    let mut look = |w: &[(usize, f64)]| {
        let whole: f64 = w.iter().map(|(k, w)| w * over(*k)).sum();
        let same = w.iter().all(|x| x.1 > 0.0) || w.iter().all(|x| x.1 < 0.0);
        let sum = |of: &dyn Fn(usize) -> f64| (w.iter().map(|(k, w)| w * of(*k)).sum::<f64>() / whole).abs();
        // Millimetres of the edge: by how much it would still move with the line, and how far off these margins are all nought.
        let off = 0.3 * sum(&|k| at(l, k)) + sum(&|k| slack[k]);
        if same && off.is_finite() && best.as_ref().is_none_or(|b| off < b.0) {
            best = Some((off, w.to_vec()));
        }
    };
    for (i, &a) in active.iter().enumerate() {
        if travel_of(a) == 0.0 {
            look(&[(a, 1.0)]);
        }
        for (j, &b) in active.iter().enumerate().skip(i + 1) {
            match travel {
                true => look(&[(a, travel_of(b)), (b, -travel_of(a))]),
                false => look(&[(a, at(l, b)), (b, -at(l, a))]),
            }
            for &c in active.iter().skip(j + 1).filter(|_| travel) {
                let (g, h) = ([a, b, c].each(travel_of), [a, b, c].each(|k| at(l, k)));
                look(&[(a, g[1] * h[2] - g[2] * h[1]), (b, g[2] * h[0] - g[0] * h[2]), (c, g[0] * h[1] - g[1] * h[0])]);
            }
        }
    }
    best.map(|b| b.1)
}

fn is_dead(end: End) -> bool {
    matches!(end, End::Toggle(_) | End::FoldBack(_))
}
