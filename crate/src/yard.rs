//! What to look for in the yard: the racks that would suit the car, found from the car alone.
//!
//! Three numbers of a rack are free: the spacing S of its inner joints, its travel T, its travel per turn c. Everything else
//! (car, rack line, limits) is held. For each S the travels that pass every limit form one interval: enough travel to reach the
//! wanted lock, not so much that the hardware runs into toggle or fold-back. The range of S is where that interval is not empty.
//! A travel counts only if rod and arm keep their angle all the way to it: a rack that comes good again beyond a worse place is
//! not told. c only scales ratio and turns. No formula of its own: every edge is a root of a finding's margin, found by calling
//! [`crate::steering::solve`] again, and its ± is that of the margins over their slopes (GUM, first order, as `uncertainty`).

use crate::axle::{arms, axis_spacings};
use crate::fields::{FIELD_COUNT, FIELDS, Field, Section};
use crate::plan::{Plan, Rack};
use crate::readings::{CARRIED, Conflict, Inputs, Readings, carrier, kernel};
use crate::results::{FieldSet, Gap, Name};
use crate::steering::{Solution, solve};
use crate::travel::{ENDS, End};

mod picture;
mod root;
mod told;
pub use picture::Picture;
use root::{cross, longest_run};
pub use told::{Line, Range, Told, look_for};

/// How a demand's margin goes with the travel.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Asks {
    /// Met from some travel on.
    More,
    /// Met up to some travel.
    Less,
    /// Either, or both.
    Either,
}

/// The demands that depend on spacing and travel: limit, results, +1 for a smallest and −1 for a largest, and what it asks for.
const DEMANDS: [(Field, &[Name], f64, Asks); 10] = [
    (Field::ReserveWanted, &[Name::ReserveHardware], 1.0, Asks::Less),
    (Field::TransmissionWanted, &[Name::TransmissionInner, Name::TransmissionOuter], 1.0, Asks::Less),
    (Field::TurnsMax, &[Name::Turns], -1.0, Asks::Less),
    (Field::LockWanted, &[Name::LockInner], 1.0, Asks::More),
    (Field::CircleMax, &[Name::CircleCentre], -1.0, Asks::More),
    (Field::CircleEdgeMax, &[Name::CircleEdge], -1.0, Asks::More),
    (Field::WallToWallMax, &[Name::WallToWall], -1.0, Asks::More),
    (Field::TurnsMin, &[Name::Turns], 1.0, Asks::More),
    (Field::AckermannMin, &[Name::AckermannAngle], 1.0, Asks::Either),
    (Field::AckermannMax, &[Name::AckermannAngle], -1.0, Asks::Either),
];

/// How many spacings are looked at before the edges are sought, and how many travels where a demand may come and go.
const SPACINGS: usize = 20;
const TRAVELS: usize = 9;

/// The travels that pass at one spacing, mm, with the limits that bound them (`None`: the table's own range).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Window {
    /// Least and most travel, end to end.
    pub travel: [f64; 2],
    /// What is not met with less, and with more.
    pub by: [Option<Field>; 2],
}

/// Why no travel passes at one spacing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Block {
    /// What is not met however much travel is used, and what stops the travel: either may be missing, not both.
    pub by: [Option<Field>; 2],
    /// The most travel that the second still allows, mm.
    pub travel: f64,
    /// How far from passing, for comparison: negative, nearer is larger.
    score: f64,
}

/// One end of the range of spacings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Edge {
    /// The spacing, mm, on the passing side.
    pub spacing: f64,
    /// The one travel that still passes there, mm.
    pub travel: f64,
    /// The two limits that meet there; both `None` where the range ends with the table, or with the room for rods.
    pub by: [Option<Field>; 2],
    /// ± of the spacing, 95 %, from the car's readings.
    pub pm: Option<f64>,
}

/// Where the rack line comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fit {
    /// As typed for the rack of that index: the chosen one, else the one from which it is carried over.
    Rack(usize),
    /// Nowhere: taken as level with the rod ends.
    Level,
}

/// A car with its limits and a rack line, ready to be asked.
#[derive(Debug, Clone)]
pub struct Yard {
    readings: Readings,
    base: Inputs,
    /// Where the rack line comes from.
    pub fit: Fit,
    /// Limits that are set and cannot be checked, with what they lack.
    pub unchecked: Vec<(Field, Gap)>,
    /// Travel per turn at which ratio and turns are spoken of, mm: the chosen rack's, else 45.
    pub per_turn: f64,
    demands: Vec<usize>,
    limits: [Option<f64>; FIELD_COUNT],
    widest: f64,
}

/// What the car lacks before anything can be said.
#[derive(Debug, Clone, PartialEq)]
pub enum Lack {
    /// Readings that contradict each other.
    Conflict(Conflict),
    /// Measurements, or a linkage.
    Gap(Gap),
}

impl Yard {
    /// The car of a plan, with the fitting of its chosen rack. Errors: what is missing, unreadable or contradictory.
    pub fn of(plan: &Plan) -> Result<Yard, Box<(Lack, Readings)>> {
        let mut rack = Rack::default();
        let mut fit = Fit::Level;
        for field in CARRIED {
            let own = plan.racks.get(plan.chosen).is_some_and(|r| r.entries.contains_key(&field));
            let from = if own { Some(plan.chosen) } else { carrier(plan, plan.chosen, field) };
            if let Some(i) = from {
                rack.entries.insert(field, plan.racks[i].entries[&field].clone());
                if field == Field::RackLine {
                    fit = Fit::Rack(i);
                }
            }
        }
        let alone = Plan { car: plan.car.clone(), limits: plan.limits.clone(), racks: vec![rack], ..Plan::default() };
        let readings = Readings::of(&alone, 0);
        let per_turn = Readings::of(plan, plan.chosen).inputs().get(Field::TravelPerTurn).unwrap_or(45.0);
        Yard::ready(readings, fit, per_turn)
    }

    fn ready(readings: Readings, fit: Fit, per_turn: f64) -> Result<Yard, Box<(Lack, Readings)>> {
        if let Some(&c) = readings.conflicts.first() {
            return Err(Box::new((Lack::Conflict(c), readings)));
        }
        let x = readings.inputs();
        let unread = readings.unclear.iter().fold(FieldSet::NONE, |set, u| set.with(FieldSet::of(u.0)));
        let both = arms(&x);
        let spacing = axis_spacings(&x, both);
        let mut lacking = FieldSet::NONE;
        for gap in [both.err(), spacing.err()] {
            if let Some(Gap::Missing(set)) = gap {
                lacking = lacking.with(set);
            }
        }
        for field in [Field::LockWanted, Field::ReserveWanted, Field::TransmissionWanted] {
            if x.get(field).is_none() && !readings.off.has(field) {
                lacking = lacking.with(FieldSet::of(field));
            }
        }
        for field in CARRIED {
            if unread.has(field) {
                lacking = lacking.with(FieldSet::of(field));
            }
        }
        let (Ok([left, right]), Ok([_, (axes, _)]), true) = (both, spacing, lacking.is_empty()) else {
            return Err(Box::new((Lack::Gap(Gap::Missing(lacking)), readings)));
        };
        // The reserve is a demand here, not an end of the travel: lock and reserve then vary each by itself.
        let base = x.with(Field::RackLine, x.get(Field::RackLine).or(Some(0.0))).with(Field::ReserveWanted, Some(0.0));
        let widest = (axes - left.inboard - right.inboard).min(Field::InnerJointSpacing.spec().range.1);
        let mut limits = [None; FIELD_COUNT];
        for spec in FIELDS.iter().filter(|s| s.section == Section::Limits) {
            let degrees = kernel(spec.field, 1.0) != 1.0;
            limits[spec.field as usize] = x.get(spec.field).map(|v| if degrees { v.to_degrees() } else { v });
        }
        let mut yard = Yard { readings, base, fit, unchecked: Vec::new(), per_turn, demands: Vec::new(), limits, widest: widest - 1.0 };
        if yard.widest <= yard.narrowest() {
            return Err(Box::new((Lack::Gap(Gap::Unreachable(crate::results::Why::ArmsCross)), yard.readings)));
        }
        let trial = yard.at(yard.widest / 2.0, 100.0);
        for (k, (field, names, ..)) in DEMANDS.iter().enumerate() {
            let lack = names.iter().find_map(|n| match trial.sheet.get(*n, 0) {
                Err(gap @ Gap::Missing(_)) => Some(gap),
                _ => None,
            });
            match (x.get(*field), lack) {
                (Some(_), None) => yard.demands.push(k),
                (Some(_), Some(gap)) => yard.unchecked.push((*field, gap)),
                (None, _) if unread.has(*field) => yard.unchecked.push((*field, Gap::Missing(FieldSet::of(*field)))),
                (None, _) => {}
            }
        }
        for field in [Field::RatioMin, Field::RatioMax] {
            if unread.has(field) {
                yard.unchecked.push((field, Gap::Missing(FieldSet::of(field))));
            }
        }
        Ok(yard)
    }

    /// What is known of car, fitting and limits.
    pub fn readings(&self) -> &Readings {
        &self.readings
    }

    /// The narrowest spacing that the table takes, mm.
    pub fn narrowest(&self) -> f64 {
        Field::InnerJointSpacing.spec().range.0
    }

    /// A rack of that spacing and travel (mm) on the car. The wanted reserve does not end its travel.
    pub fn at(&self, spacing: f64, travel: f64) -> Solution {
        self.with(&self.base, spacing, travel)
    }

    fn with(&self, x: &Inputs, spacing: f64, travel: f64) -> Solution {
        let rack = x.with(Field::InnerJointSpacing, Some(spacing)).with(Field::Travel, Some(travel));
        solve(&rack.with(Field::TravelPerTurn, Some(self.per_turn)), [None; 2])
    }

    /// A limit in the unit of its results: mm, degrees, turns, per cent.
    pub fn limit(&self, field: Field) -> Option<f64> {
        self.limits[field as usize]
    }

    /// Travel per turn that the ratio limits allow, mm, [from the largest ratio, from the smallest]: ratio times c is fixed.
    pub fn by_ratio(&self, rack: &Solution) -> [Option<f64>; 2] {
        let lever = rack.sheet.get(Name::RatioCentre, 0).ok().map(|r| r * self.per_turn);
        [Field::RatioMax, Field::RatioMin].map(|f| Some(lever? / self.limit(f)?))
    }

    /// By how much a demand is met, in its own unit; −∞ where its result does not exist.
    fn margin(&self, k: usize, rack: &Solution) -> f64 {
        let (field, names, sign, _) = DEMANDS[k];
        let Some(limit) = self.limit(field) else { return f64::INFINITY };
        // Turns are judged at whichever travel per turn helps most within the limits of the ratio.
        let scale = match (field, self.by_ratio(rack)) {
            (Field::TurnsMin, [Some(c), _]) | (Field::TurnsMax, [_, Some(c)]) => self.per_turn / c,
            (Field::TurnsMin | Field::TurnsMax, _) => return f64::INFINITY,
            _ => 1.0,
        };
        let sides = crate::results::RESULTS[names[0] as usize].count();
        let mut least = f64::INFINITY;
        for name in names {
            for side in 0..sides {
                least = least.min(rack.sheet.get(*name, side).map_or(f64::NEG_INFINITY, |v| sign * (v * scale - limit)));
            }
        }
        least
    }

    fn asking(&self, asks: Asks) -> impl Iterator<Item = usize> {
        self.demands.iter().copied().filter(move |&k| DEMANDS[k].3 == asks)
    }

    /// The most travel that every demand for less allows at a spacing, mm, with the demand that bounds it.
    pub fn most(&self, spacing: f64) -> Result<(f64, Option<Field>), Block> {
        let (shortest, longest) = Field::Travel.spec().range;
        let start = self.at(spacing, shortest);
        let (mut top, mut by) = (longest, None);
        for k in self.asking(Asks::Less) {
            let field = DEMANDS[k].0;
            let margin = self.margin(k, &start);
            if !(margin >= 0.0) {
                return Err(Block { by: [None, Some(field)], travel: 0.0, score: -2.0 + margin.max(-1e6) / 1e7 });
            }
            let t = if field == Field::ReserveWanted {
                // Dead points do not move with the travel: half of every millimetre comes off the reserve.
                shortest + 2.0 * margin
            } else {
                let end = self.margin(k, &self.at(spacing, top));
                if end >= 0.0 {
                    continue;
                }
                cross([shortest, top], [margin, end], &|t| self.margin(k, &self.at(spacing, t))).0
            };
            if t < top {
                (top, by) = (t, Some(field));
            }
        }
        Ok((top, by))
    }

    /// The travels that pass at a spacing.
    pub fn window(&self, spacing: f64) -> Result<Window, Block> {
        let shortest = Field::Travel.spec().range.0;
        let (top, stop) = self.most(spacing)?;
        let mut window = Window { travel: [shortest, top], by: [None, stop] };
        let [start, end] = window.travel.map(|t| self.at(spacing, t));
        self.enough(&end, top, stop)?;
        // Only a demand that the least travel so far does not meet can ask for more.
        let mut least = start;
        for k in self.asking(Asks::More) {
            let short = self.margin(k, &least);
            if short < 0.0 {
                let ends = [short, self.margin(k, &end)];
                let t = cross([window.travel[0], top], ends, &|t| self.margin(k, &self.at(spacing, t))).1;
                (window.travel[0], window.by[0]) = (t, Some(DEMANDS[k].0));
                least = self.at(spacing, t);
            }
        }
        self.narrowed(spacing, window)
    }

    /// Whether any travel passes at a spacing: as [`Yard::window`], without seeking the least travel where it does not matter.
    fn passes(&self, spacing: f64) -> Result<(), Block> {
        if self.asking(Asks::Either).next().is_some() {
            return self.window(spacing).map(|_| ());
        }
        let (top, stop) = self.most(spacing)?;
        self.enough(&self.at(spacing, top), top, stop)
    }

    /// Whether a travel meets every demand for more.
    fn enough(&self, rack: &Solution, travel: f64, stop: Option<Field>) -> Result<(), Block> {
        for k in self.asking(Asks::More) {
            let (field, margin) = (DEMANDS[k].0, self.margin(k, rack));
            if !(margin >= 0.0) {
                let share = margin / self.limit(field).unwrap_or(1.0).max(1e-9);
                return Err(Block { by: [Some(field), stop], travel, score: share.max(-1.0) });
            }
        }
        Ok(())
    }

    /// The longest part of a window in which the demands that may come and go are met too.
    fn narrowed(&self, spacing: f64, window: Window) -> Result<Window, Block> {
        let demands: Vec<usize> = self.asking(Asks::Either).collect();
        if demands.is_empty() {
            return Ok(window);
        }
        let worst = |t: f64| {
            let rack = self.at(spacing, t);
            let each = demands.iter().map(|&k| (self.margin(k, &rack), DEMANDS[k].0));
            each.reduce(|a, b| if b.0 < a.0 { b } else { a }).unwrap_or((f64::INFINITY, Field::AckermannMin))
        };
        let [a, b] = window.travel;
        let seen: Vec<(f64, (f64, Field))> =
            (0..TRAVELS).map(|i| a + (b - a) * i as f64 / (TRAVELS - 1) as f64).map(|t| (t, worst(t))).collect();
        let Some((from, to)) = longest_run(&seen, |s| s.1.0 >= 0.0) else {
            let best = seen.iter().fold(seen[0], |m, s| if s.1.0 > m.1.0 { *s } else { m });
            return Err(Block { by: [Some(best.1.1), None], travel: best.0, score: (best.1.0 / 1e3).max(-1.0) });
        };
        let between = |i: usize| cross([seen[i].0, seen[i + 1].0], [seen[i].1.0, seen[i + 1].1.0], &|t| worst(t).0);
        let mut out = window;
        if from > 0 {
            out.travel[0] = between(from - 1).1;
            out.by[0] = Some(seen[from - 1].1.1);
        }
        if to + 1 < TRAVELS {
            out.travel[1] = between(to).0;
            out.by[1] = Some(seen[to + 1].1.1);
        }
        Ok(out)
    }

    /// The ranges of spacings that pass, each [narrowest, widest]: first the one that holds `near`, else the widest.
    /// Error: the spacing (mm) that comes nearest, and why it does not pass.
    pub fn spacings(&self, near: Option<f64>) -> Result<Vec<[Edge; 2]>, (f64, Block)> {
        let (a, b) = (self.narrowest(), self.widest);
        let mut grid: Vec<f64> = (0..SPACINGS).map(|i| a + (b - a) * i as f64 / (SPACINGS - 1) as f64).collect();
        if let Some(s) = near.filter(|s| *s > a && *s < b) {
            grid.insert(grid.partition_point(|g| *g < s), s);
        }
        let mut seen: Vec<(f64, Result<(), Block>)> = grid.into_iter().map(|s| (s, self.passes(s))).collect();
        if seen.iter().all(|s| s.1.is_err()) {
            let best = self.nearest(&seen);
            self.passes(best).map_err(|block| (best, block))?;
            seen.insert(seen.partition_point(|s| s.0 < best), (best, Ok(())));
        }
        let mut ranges = Vec::new();
        let mut from = 0;
        for part in seen.chunk_by(|p, q| p.1.is_ok() == q.1.is_ok()) {
            let to = from + part.len();
            if part[0].1.is_ok() {
                let before = from.checked_sub(1).and_then(|i| seen.get(i)).map(|s| s.0);
                let after = seen.get(to).map(|s| s.0);
                ranges.push([self.edge(seen[from].0, before), self.edge(seen[to - 1].0, after)]);
            }
            from = to;
        }
        let worth = |r: &[Edge; 2]| match near {
            Some(s) if s >= r[0].spacing && s <= r[1].spacing => f64::INFINITY,
            _ => r[1].spacing - r[0].spacing,
        };
        let first = (0..ranges.len()).fold(0, |m, i| if worth(&ranges[i]) > worth(&ranges[m]) { i } else { m });
        if first > 0 {
            ranges.swap(0, first);
        }
        Ok(ranges)
    }

    /// Of spacings none of which passes, the one nearest to it, sought between its neighbours.
    fn nearest(&self, seen: &[(f64, Result<(), Block>)]) -> f64 {
        let score = |w: &Result<(), Block>| w.as_ref().map_or_else(|b| b.score, |_| 1.0);
        let best = (0..seen.len()).fold(0, |m, i| if score(&seen[i].1) > score(&seen[m].1) { i } else { m });
        let (mut a, mut b) = (seen[best.saturating_sub(1)].0, seen[(best + 1).min(seen.len() - 1)].0);
        for _ in 0..16 {
            let (p, q) = (a + (b - a) * 0.382, a + (b - a) * 0.618);
            if score(&self.passes(p)) > score(&self.passes(q)) { b = q } else { a = p }
        }
        [(a + b) / 2.0, seen[best].0].into_iter().fold(a, |m, s| if score(&self.passes(s)) > score(&self.passes(m)) { s } else { m })
    }

    fn edge(&self, inside: f64, outside: Option<f64>) -> Edge {
        let (mut good, mut bad) = (inside, outside.unwrap_or(inside));
        while (bad - good).abs() > 0.02 {
            let s = (good + bad) / 2.0;
            if self.passes(s).is_ok() { good = s } else { bad = s }
        }
        let window = self.window(good).unwrap_or(Window { travel: [0.0; 2], by: [None; 2] });
        let travel = (window.travel[0] + window.travel[1]) / 2.0;
        let by = if outside.is_some() { window.by } else { [None; 2] };
        let pm = outside.and_then(|_| self.pm(good, travel, by, true));
        Edge { spacing: good, travel, by, pm }
    }

    /// ± of a travel at which one limit is just met, at a given spacing.
    pub fn travel_pm(&self, spacing: f64, travel: f64, by: Option<Field>) -> Option<f64> {
        self.pm(spacing, travel, [by, None], false)
    }

    /// First order: along the margins that are zero there, how far the car's readings move the edge.
    fn pm(&self, s: f64, t: f64, by: [Option<Field>; 2], spacing: bool) -> Option<f64> {
        let active: Vec<usize> = self.demands.iter().copied().filter(|&k| by.contains(&Some(DEMANDS[k].0))).collect();
        let (first, second) = (*active.first()?, active.get(1));
        let h = 0.02;
        let slope = |k: usize, x: [&Inputs; 2], s: [f64; 2], t: [f64; 2]| {
            let side = |i: usize| self.margin(k, &self.with(x[i], s[i], t[i]));
            side(1) - side(0)
        };
        let same = [&self.base; 2];
        let over = |k: usize, spacing: bool| {
            let d = if spacing { slope(k, same, [s - h, s + h], [t; 2]) } else { slope(k, same, [s; 2], [t - h, t + h]) };
            d / (2.0 * h)
        };
        let (a, b) = (over(first, spacing), second.map(|&k| (over(first, false), over(k, true), over(k, false))));
        let mut sum = 0.0;
        for spec in FIELDS.iter().filter(|f| f.section != Section::Limits) {
            let (Some(v), Some(item)) = (self.base.get(spec.field), self.readings.items[spec.field as usize]) else { continue };
            if item.pm <= 0.0 {
                continue;
            }
            let step = item.pm * 1e-3;
            let moved = [v - step, v + step].map(|v| self.base.with(spec.field, Some(v)));
            let effect = |k: usize| slope(k, [&moved[0], &moved[1]], [s; 2], [t; 2]) / 2e-3;
            let moves = match (b, second) {
                (Some((at, bs, bt)), Some(&k)) if spacing => (effect(first) * bt - effect(k) * at) / (a * bt - bs * at),
                _ => effect(first) / a,
            };
            sum += moves * moves;
        }
        Some(sum.sqrt()).filter(|pm| pm.is_finite())
    }

    /// What comes first where a rack of that spacing is pushed on, toggle or fold-back.
    pub fn dead_point(&self, rack: &Solution) -> End {
        let mut next = (f64::INFINITY, End::Toggle(0));
        for distances in &rack.distances {
            for (end, distance) in ENDS.into_iter().zip(distances) {
                match (end, distance) {
                    (End::Toggle(_) | End::FoldBack(_), Some(d)) if *d < next.0 => next = (*d, end),
                    _ => {}
                }
            }
        }
        next.1
    }
}
