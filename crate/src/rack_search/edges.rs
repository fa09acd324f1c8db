//! Where the ranges of spacing and travel end, with the rack line free.

use super::RackSearch;
use super::spread::Slack;
use super::window::{Block, Window};
use crate::catalogue::field::Field;
use crate::math::order::order;
use crate::math::root::summit;

/// How many spacings are looked at before the edges are sought, and how many between the edges.
const SPACINGS: usize = 20;
pub(super) const BETWEEN: usize = 11;
/// How many lines are looked at over the room before the best is sought, and for the travels of one spacing.
const LINES: usize = 13;
const FINER: usize = 25;
/// A score below this is not made good by half a step of lines.
const HOPELESS: f64 = 40.0;
/// Spacings and lines are found to this, mm.
const EVEN: f64 = 0.02;

/// How closely the best line is sought.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Effort {
    /// Any that passes will do.
    Any,
    /// To a millimetre or so.
    Rough,
    /// To a twentieth of a millimetre.
    Fine,
}

/// One end of the range of spacings.
#[derive(Debug, Clone, PartialEq)]
pub struct Edge {
    /// The spacing, mm, on the passing side.
    pub spacing: f64,
    /// The line, mm, and the one travel with which it still passes there, mm.
    pub line: f64,
    /// See `line`.
    pub travel: f64,
    /// Every limit that is just met there; empty where the range ends with the table.
    pub by: Vec<Field>,
    /// ± of the spacing, 95 %, from the car's readings and what is taken for granted.
    pub pm: Option<f64>,
}

/// A spacing with its best line and the travels that pass there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place {
    /// Mm.
    pub spacing: f64,
    /// Mm.
    pub line: f64,
    /// What passes at that line.
    pub window: Window,
}

/// The travels that pass at one spacing, whatever the line.
#[derive(Debug, Clone, PartialEq)]
pub struct Travels {
    /// Least and most travel, mm.
    pub ends: [f64; 2],
    /// The lines at which those pass, mm.
    pub lines: [f64; 2],
    /// The limits at each end; empty where it is the table's.
    pub by: [Vec<Field>; 2],
    /// ± of each.
    pub pm: [Option<f64>; 2],
    /// Lines between which some travel passes, and whether the rack has to go the same way at all of them.
    pub one_way: bool,
}

impl RackSearch {
    fn in_room(&self, line: f64) -> f64 {
        line.max(self.room[0]).min(self.room[1])
    }

    /// `count` lines over the room.
    pub(super) fn lines(&self, count: usize) -> impl Iterator<Item = f64> {
        let [a, b] = self.room;
        let count = if b - a > EVEN { count } else { 1 };
        (0..count).map(move |i| a + (b - a) * i as f64 / (count.max(2) - 1) as f64)
    }

    /// The best line of a spacing, with its score. There may be two hills, one with the rack ahead of the tie-rod ends and one behind: the
    /// whole room is looked over first, then the hill climbed. Where one that passes will do, `hint` is tried before all.
    pub fn best_line(&self, spacing: f64, hint: Option<f64>, effort: Effort) -> (f64, f64) {
        let mut best = (self.room[0], f64::NEG_INFINITY);
        for line in hint.map(|h| self.in_room(h)).into_iter().chain(self.lines(LINES)) {
            let score = self.score(spacing, line);
            if score > best.1 {
                best = (line, score);
            }
            if effort == Effort::Any && score >= 0.0 {
                return best;
            }
        }
        let step = (self.room[1] - self.room[0]) / (LINES - 1) as f64;
        if best.1 < -HOPELESS || step < EVEN {
            return best;
        }
        let steps = if effort == Effort::Rough { 8 } else { 15 };
        let around = [self.in_room(best.0 - step), self.in_room(best.0 + step)];
        let mut passes = false;
        let found = summit(around, steps, &mut |line| {
            // One that passes will do: the rest of the climb is not worth a look.
            if passes && effort == Effort::Any {
                return f64::NEG_INFINITY;
            }
            let score = self.score(spacing, line);
            if score > best.1 {
                best = (line, score);
            }
            passes |= score >= 0.0;
            score
        });
        if found.1 > best.1 {
            best = found;
        }
        self.to_the_wall(spacing, best)
    }

    /// The end of the room itself where the best line is a hair before it.
    fn to_the_wall(&self, spacing: f64, best: (f64, f64)) -> (f64, f64) {
        let near = self.room.into_iter().find(|w| (w - best.0).abs() < 0.3 && *w != best.0);
        let Some(wall) = near else { return best };
        let score = self.score(spacing, wall);
        if score >= best.1 { (wall, score) } else { best }
    }

    /// The ranges of spacings that pass, each [narrowest, widest]: first the one that holds `near`, else the widest.
    /// Error: spacing and line (mm) that come nearest, and why nothing passes there.
    pub fn spacings(&self, near: Option<f64>) -> Result<Vec<[Edge; 2]>, (f64, f64, Block)> {
        let (a, b) = (self.narrowest(), self.widest);
        if b <= a {
            let (line, _) = self.best_line(a, None, Effort::Rough);
            let block = Block { by: [Some(Field::UsualRodMin), None], travel: 0.0, score: 0.0 };
            return Err((a, line, block));
        }
        let mut grid: Vec<f64> = (0..SPACINGS).map(|i| a + (b - a) * i as f64 / (SPACINGS - 1) as f64).collect();
        if let Some(s) = near.filter(|s| *s > a && *s < b) {
            grid.insert(grid.partition_point(|g| *g < s), s);
        }
        let mut hint = None;
        let mut seen: Vec<(f64, f64, f64)> = Vec::with_capacity(grid.len() + 1);
        for s in grid {
            let (line, score) = self.best_line(s, hint, Effort::Any);
            hint = Some(line);
            seen.push((s, line, score));
        }
        if seen.iter().all(|s| s.2 < 0.0) {
            let best = self.nearest(&seen);
            if best.2 < 0.0 {
                let block = self.window(best.0, best.1).err();
                return Err((best.0, best.1, block.unwrap_or(Block { by: [None; 2], travel: 0.0, score: best.2 })));
            }
            seen.insert(seen.partition_point(|s| s.0 < best.0), best);
        }
        let mut ranges = Vec::new();
        let mut from = 0;
        for part in seen.chunk_by(|p, q| (p.2 >= 0.0) == (q.2 >= 0.0)) {
            let to = from + part.len();
            if part[0].2 >= 0.0 {
                let before = from.checked_sub(1).and_then(|i| seen.get(i));
                ranges.push([self.edge(&seen[from], before), self.edge(&seen[to - 1], seen.get(to))]);
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

    /// Of spacings none of which passes, the one nearest to it, sought between its neighbours: spacing, line, score.
    pub(super) fn nearest(&self, seen: &[(f64, f64, f64)]) -> (f64, f64, f64) {
        let k = (0..seen.len()).fold(0, |m, i| if seen[i].2 > seen[m].2 { i } else { m });
        let mut best = seen[k];
        let ends = [seen[k.saturating_sub(1)].0, seen[(k + 1).min(seen.len() - 1)].0];
        summit(ends, 16, &mut |s| {
            let (line, score) = self.best_line(s, Some(best.1), Effort::Fine);
            if score > best.2 {
                best = (s, line, score);
            }
            score
        });
        best
    }

    fn edge(&self, inside: &(f64, f64, f64), outside: Option<&(f64, f64, f64)>) -> Edge {
        let mut good = *inside;
        let mut bad = outside.map_or(good.0, |o| o.0);
        while (bad - good.0).abs() > EVEN {
            let s = (good.0 + bad) / 2.0;
            let (line, score) = self.best_line(s, Some(good.1), Effort::Any);
            if score >= 0.0 { good = (s, line, score) } else { bad = s }
        }
        let (line, score) = self.best_line(good.0, Some(good.1), Effort::Fine);
        if score >= 0.0 {
            good.1 = line;
        }
        let (spacing, line, _) = good;
        let window = self.window(spacing, line).unwrap_or(Window { travel: [0.0; 2], by: [None; 2] });
        let travel = (window.travel[0] + window.travel[1]) / 2.0;
        let mut edge = Edge { spacing, line, travel, by: Vec::new(), pm: None };
        let at = [spacing, travel, line];
        let slack = self.slack(&self.base, at);
        let active = if outside.is_some() { slack.met(0.1) } else { slack.met_by_shape() };
        edge.by = self.limits_at(&active);
        edge.pm = self.spread(at, &active, 0, &[1, 2]);
        if outside.is_some() && active.is_empty() {
            // A fold-back that comes out of nowhere ends it at one stroke: what is not met just beyond is named, without a ±.
            let beyond = self.slack(&self.base, [bad, travel, line]).met(0.0);
            edge.by = self.limits_at(&beyond);
        }
        edge
    }

    /// Spacings over a range, each with its best line and what passes there.
    pub(super) fn places(&self, edges: &[Edge; 2]) -> Vec<Place> {
        let [a, b] = [edges[0].spacing, edges[1].spacing];
        let mut hint = edges[0].line;
        let mut out = Vec::with_capacity(BETWEEN);
        for i in 0..BETWEEN {
            let spacing = a + (b - a) * i as f64 / (BETWEEN - 1) as f64;
            let line = match i {
                0 => edges[0].line,
                _ if i == BETWEEN - 1 => edges[1].line,
                _ => self.best_line(spacing, Some(hint), Effort::Rough).0,
            };
            if let Ok(window) = self.window(spacing, line) {
                hint = line;
                out.push(Place { spacing, line, window });
            }
        }
        out
    }

    /// The travels that pass at a spacing, at whichever line; `hint` is one at which some does.
    pub fn travels(&self, spacing: f64, hint: f64) -> Result<Travels, Block> {
        let best = self.best_line(spacing, Some(hint), Effort::Fine).0;
        let mut lines: Vec<f64> = self.lines(FINER).collect();
        lines.insert(lines.partition_point(|l| *l < best), best);
        let windows: Vec<(f64, Option<Window>)> = lines.iter().map(|&l| (l, self.window(spacing, l).ok())).collect();
        if !windows.iter().any(|w| w.0 == best && w.1.is_some()) {
            self.window(spacing, best)?;
        }
        // From line to line the travels go evenly: those of neighbouring lines that pass hang together. [least and most travel, their lines,
        // whether the best line is among them] of each stretch.
        let mut stretches: Vec<([f64; 2], [f64; 2], bool)> = Vec::new();
        for part in windows.chunk_by(|p, q| p.1.is_some() == q.1.is_some()) {
            let mut all = ([f64::INFINITY, f64::NEG_INFINITY], [best; 2], false);
            for (line, w) in part.iter().filter_map(|(l, w)| Some((*l, (*w)?))) {
                if w.travel[0] < all.0[0] {
                    (all.0[0], all.1[0]) = (w.travel[0], line);
                }
                if w.travel[1] > all.0[1] {
                    (all.0[1], all.1[1]) = (w.travel[1], line);
                }
                all.2 |= line == best;
            }
            if all.0[0] <= all.0[1] {
                stretches.push(all);
            }
        }
        let main = stretches.iter().position(|s| s.2).unwrap_or(0);
        let (mut ends, mut at, _) = stretches.swap_remove(main);
        // Another stretch of lines counts where its travels overlap.
        let farthest = order(stretches.len(), &|p, q| stretches[q].0[1].total_cmp(&stretches[p].0[1]));
        let stretches: Vec<_> = farthest.into_iter().map(|k| stretches[k]).collect();
        for _ in 0..stretches.len() {
            for (other, lines, _) in stretches.iter().filter(|s| s.0[0] <= ends[1] && s.0[1] >= ends[0]).copied().collect::<Vec<_>>() {
                if other[0] < ends[0] {
                    (ends[0], at[0]) = (other[0], lines[0]);
                }
                if other[1] > ends[1] {
                    (ends[1], at[1]) = (other[1], lines[1]);
                }
            }
        }
        let step = (self.room[1] - self.room[0]) / (FINER - 1) as f64;
        for (k, sign) in [(0, -1.0), (1, 1.0)] {
            let around = [self.in_room(at[k] - step), self.in_room(at[k] + step)];
            let reach = &mut |l: f64| self.window(spacing, l).map_or(f64::NEG_INFINITY, |w| sign * w.travel[k]);
            let mut found = summit(around, 16, reach);
            for wall in around.into_iter().filter(|w| self.room.contains(w)) {
                let there = reach(wall);
                if there >= found.1 {
                    found = (wall, there);
                }
            }
            if found.1 >= sign * ends[k] {
                (at[k], ends[k]) = (found.0, sign * found.1);
            }
        }
        let mut ways = windows.iter().filter_map(|w| self.at(spacing, w.1?.travel[0], w.0).direction);
        let first = ways.next();
        let one_way = ways.all(|w| Some(w) == first);
        let mut out = Travels { ends, lines: at, by: Default::default(), pm: [None; 2], one_way };
        for k in 0..2 {
            let place = [spacing, ends[k], at[k]];
            let mut active = self.slack(&self.base, place).met(0.05);
            // What bounds this end first; then what the line would have to give up to go further.
            let (first, then): (Vec<_>, Vec<_>) = active.into_iter().partition(|m| Slack::asks(*m, k));
            active = [first, then].concat();
            if !active.first().is_some_and(|m| Slack::asks(*m, k)) {
                active.clear();
            }
            out.by[k] = self.limits_at(&active);
            out.pm[k] = self.spread(place, &active, 1, &[2]);
        }
        Ok(out)
    }
}
