//! Where a rack sits: as typed, or at the rack line at which it suits best.
//!
//! A rack in a bin has no rack line: where it will sit is the builder's choice. Over the room that the car offers, fore and aft, this
//! finds the line with the largest smallest margin, each margin in units of its own ±, and the stretch of lines around it in which every
//! judged demand is kept; the stretch's ends are roots of margins.

use crate::demand::{DEMANDS, Margin, margins};
use crate::fields::{FIELD_COUNT, Field};
use crate::plan::Plan;
use crate::readings::{Inputs, Item, Origin, Readings};
use crate::results::{FieldSet, Name, VALUE_COUNT};
use crate::steering::{Solution, rack_numbers, solve};
use crate::uncertainty::doubt;
use crate::units::default_pm;
use std::cell::RefCell;

/// How far a rack line may lie from the line of the tie-rod ends where the car does not say, mm: our starting value, no source.
pub const WITHIN_REASON: f64 = 150.0;

/// One end of a stretch of rack lines.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LineEnd {
    /// The rack line, mm, ahead positive.
    pub at: f64,
    /// The finding that fails beyond it; "room" where the car's room ends there.
    pub limit: &'static str,
}

/// Where a rack that is not fitted suits best.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Best {
    /// The rack line, mm, ahead positive.
    pub at: f64,
    /// The smallest margin there in units of its ±: 1 or more suits beyond doubt, below 0 something fails.
    pub score: f64,
    /// The stretch around it in which every demand is kept, [rearmost, foremost]; `None` where none is.
    pub stretch: Option<[LineEnd; 2]>,
}

/// Where the rack line comes from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Line {
    /// It was typed, or cannot be read.
    Typed,
    /// It was found.
    Found(Best),
    /// Something is missing without which no line is better than another: taken as level with the tie-rod ends until then.
    Level,
}

/// The readings of a rack with the rack line at which it is evaluated.
#[derive(Debug, Clone, PartialEq)]
pub struct Fitted {
    /// What is known.
    pub readings: Readings,
    /// Where the rack line comes from.
    pub line: Line,
}

/// The rack of index `rack` with its rack line, or the car alone where there is no such rack.
pub fn fitted(plan: &Plan, rack: usize) -> Fitted {
    fit(Readings::of(plan, rack))
}

/// These readings with a rack line.
pub fn fit(mut readings: Readings) -> Fitted {
    let typed = readings.items[Field::RackLine as usize].is_some() || readings.unclear.iter().any(|u| u.0 == Field::RackLine);
    if typed {
        return Fitted { readings, line: Line::Typed };
    }
    let line = remembered(&readings).map_or(Line::Level, Line::Found);
    let at = if let Line::Found(best) = line { best.at } else { 0.0 };
    readings.items[Field::RackLine as usize] = Some(at_line(at));
    Fitted { readings, line }
}

fn at_line(at: f64) -> Item {
    Item { value: at, pm: default_pm(Field::RackLine.spec().method), origin: Origin::Found }
}

/// The room for rack lines, mm, [rearmost, foremost].
pub fn room(x: &Inputs) -> [f64; 2] {
    let (a, b) = (x.get(Field::RackLineFrom).unwrap_or(WITHIN_REASON), x.get(Field::RackLineTo).unwrap_or(-WITHIN_REASON));
    [a.min(b), a.max(b)]
}

/// What a search depends on: every reading with its ±, what contradicts what, what was turned off.
type Key = ([Option<Item>; FIELD_COUNT], FieldSet, FieldSet);

/// How many searches are remembered: more than the racks of a plan.
const REMEMBERED: usize = 160;

thread_local! {
    /// Searches done before. The same question has the same answer: a key in one rack does not search for the others again.
    static KNOWN: RefCell<Vec<(Key, Option<Best>)>> = const { RefCell::new(Vec::new()) };
}

fn remembered(readings: &Readings) -> Option<Best> {
    let key: Key = (readings.items, readings.doubtful(), readings.off);
    let known = KNOWN.with_borrow(|all| all.iter().rev().find(|k| k.0 == key).map(|k| k.1));
    known.unwrap_or_else(|| {
        let found = best(readings);
        KNOWN.with_borrow_mut(|all| {
            if all.len() >= REMEMBERED {
                all.drain(..REMEMBERED / 2);
            }
            all.push((key, found));
        });
        found
    })
}

/// A rack at one line.
struct Stand {
    at: f64,
    solution: Solution,
    margins: Vec<Margin>,
}

/// The search for one rack.
struct Search<'a> {
    readings: &'a Readings,
    x: Inputs,
}

/// Lines looked at over the room, and those of them at which every ± is worked out.
const LINES: usize = 37;
const EVERY: usize = 6;

impl Search<'_> {
    fn stand(&self, at: f64) -> Stand {
        let x = self.x.with(Field::RackLine, Some(at));
        let solution = solve(&x, [None; 2]);
        Stand { at, margins: margins(&x, self.readings.off, &solution.sheet), solution }
    }

    /// Every ± at a line, by place on the sheet.
    fn pm(&self, stand: &Stand) -> [f64; VALUE_COUNT] {
        let mut readings = self.readings.clone();
        readings.items[Field::RackLine as usize] = Some(at_line(stand.at));
        let pm = doubt(&readings, &stand.solution).pm;
        pm.map(|p| p.unwrap_or(0.0).max(1e-9))
    }
}

/// The smallest margin in units of its ±, and whose it is.
fn score(stand: &Stand, pm: &[f64; VALUE_COUNT]) -> (f64, &'static str) {
    let each = stand.margins.iter().map(|m| (m.margin / pm[crate::results::Sheet::place(DEMANDS[m.demand].name, m.side)], m.finding()));
    each.reduce(|a, b| if b.0 < a.0 { b } else { a }).unwrap_or((f64::NEG_INFINITY, ""))
}

/// The smallest margin's sign and finding: what a stretch ends by.
fn least(stand: &Stand) -> (f64, &'static str) {
    let each = stand.margins.iter().map(|m| (m.margin, m.finding()));
    each.reduce(|a, b| if b.0 < a.0 { b } else { a }).unwrap_or((f64::NEG_INFINITY, ""))
}

/// The ± at a line between two at which it is known.
fn between(nodes: &[(f64, [f64; VALUE_COUNT])], at: f64) -> [f64; VALUE_COUNT] {
    let k = nodes.partition_point(|n| n.0 <= at).clamp(1, nodes.len().max(2) - 1);
    let (Some(a), Some(b)) = (nodes.get(k - 1), nodes.get(k).or(nodes.last())) else { return [1e-9; VALUE_COUNT] };
    let t = if b.0 > a.0 { ((at - a.0) / (b.0 - a.0)).clamp(0.0, 1.0) } else { 0.0 };
    std::array::from_fn(|i| a.1[i] + (b.1[i] - a.1[i]) * t)
}

/// The best line; `None` where too little is known for one to be better than another.
fn best(readings: &Readings) -> Option<Best> {
    let x = readings.inputs();
    rack_numbers(&x)[1].ok()?;
    let search = Search { readings, x };
    let [from, to] = room(&x);
    let step = (to - from) / (LINES - 1) as f64;
    let grid: Vec<Stand> = (0..LINES).map(|i| search.stand(from + step * i as f64)).collect();
    // With nothing to steer by, no line is better than another.
    let wheels = grid.iter().any(|s| s.solution.wheels.is_some());
    if !wheels || grid.iter().all(|s| s.solution.sheet.get(Name::RodLength, 0).is_err()) {
        return None;
    }
    let mut nodes: Vec<(f64, [f64; VALUE_COUNT])> =
        grid.iter().step_by(EVERY).filter(|s| s.solution.direction.is_some()).map(|s| (s.at, search.pm(s))).collect();
    let rough = |s: &Stand, nodes: &[(f64, [f64; VALUE_COUNT])]| score(s, &between(nodes, s.at)).0;
    let scores: Vec<f64> = grid.iter().map(|s| rough(s, &nodes)).collect();
    let place = (0..LINES).fold(LINES / 2, |m, i| if scores[i] > scores[m] { i } else { m });
    // Twice: with the ± between what is known, then with that of the place found.
    let (mut low, mut high) = (grid[place.saturating_sub(1)].at, grid[(place + 1).min(LINES - 1)].at);
    let mut tried = vec![grid[place].at];
    for _ in 0..2 {
        let (mut a, mut b) = (low, high);
        for _ in 0..11 {
            let (p, q) = (a + (b - a) * 0.382, a + (b - a) * 0.618);
            if rough(&search.stand(p), &nodes) > rough(&search.stand(q), &nodes) { b = q } else { a = p }
        }
        let at = (a + b) / 2.0;
        tried.push(at);
        let stand = search.stand(at);
        let pm = search.pm(&stand);
        nodes.insert(nodes.partition_point(|n| n.0 < at), (at, pm));
        (low, high) = ((at - step / 2.0).max(from), (at + step / 2.0).min(to));
    }
    // A whole millimetre where that is no worse to speak of: the builder sets it with a tape.
    let exact = |at: f64| {
        let stand = search.stand(at);
        score(&stand, &search.pm(&stand)).0
    };
    let last = tried[tried.len() - 1];
    let whole = [last.floor(), last.ceil()].into_iter().filter(|w| *w >= from && *w <= to);
    let mut top = tried.iter().chain(&[last]).map(|&at| (at, exact(at))).reduce(|a, b| if b.1 > a.1 { b } else { a })?;
    if let Some(even) = whole.map(|at| (at, exact(at))).reduce(|a, b| if b.1 > a.1 { b } else { a })
        && (even.1 >= top.1 || even.1 >= 0.97 * top.1.abs().min(top.1) && (even.1 >= 1.0) == (top.1 >= 1.0) && even.1 >= 0.0)
    {
        top = even;
    }
    let (at, score) = top;
    let stretch = (score >= 0.0).then(|| {
        let behind = grid.iter().rev().filter(|s| s.at < at);
        let ahead = grid.iter().filter(|s| s.at > at);
        [search.end(at, behind, from), search.end(at, ahead, to)]
    });
    Some(Best { at, score, stretch })
}

impl Search<'_> {
    /// Where the stretch around a passing line ends, looking at further and further ones.
    fn end<'s>(&self, inside: f64, further: impl Iterator<Item = &'s Stand>, room: f64) -> LineEnd {
        let mut good = inside;
        let mut bad = None;
        for stand in further {
            if least(stand).0 >= 0.0 {
                good = stand.at;
            } else {
                bad = Some(stand.at);
                break;
            }
        }
        let Some(mut bad) = bad else { return LineEnd { at: room, limit: "room" } };
        let mut limit = "";
        while (bad - good).abs() > 1e-3 {
            let at = (good + bad) / 2.0;
            let (margin, finding) = least(&self.stand(at));
            if margin >= 0.0 {
                good = at;
            } else {
                (bad, limit) = (at, finding);
            }
        }
        if limit.is_empty() {
            limit = least(&self.stand(bad)).1;
        }
        LineEnd { at: good, limit }
    }
}
