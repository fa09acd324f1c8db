//! Where a rack sits: as typed, or at the rack line at which it suits best.
//!
//! A rack in a bin has no rack line: where it will sit is the builder's choice. Over the room that the car offers, fore and aft, this
//! finds the line with the largest smallest margin, each margin in units of its own ±, and the stretch of lines around it in which every
//! judged demand is kept; the stretch's ends are roots of margins.
//!
//! A demand that no line meets does not drag the rack to where others fail as well: where all the others are kept beyond doubt somewhere,
//! the rack stands at that one of these lines that misses it by least.

use crate::analysis::uncertainty::{read_squares, taken_squares};
use crate::catalogue::field::Field;
use crate::catalogue::result::{ResultId, Results, VALUE_COUNT};
use crate::judgement::demand::{DEMANDS, DemandId, Limit, Margin, margins};
use crate::linkage::steering::{Solution, rack_numbers, solve};
use crate::math::each::Each;
use crate::math::root::summit;
use crate::measurement::unit::default_pm;
use crate::plan::Plan;
use crate::plan::inputs::{Inputs, Item, Origin, Readings};

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
    /// The smallest margin there in units of its ±: 1 or more suits beyond doubt, below 0 something fails. Only its sign counts where no line
    /// meets some demand.
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
    if typed(&readings) {
        return Fitted { readings, line: Line::Typed };
    }
    let line = best(&readings).map_or(Line::Level, Line::Found);
    let at = if let Line::Found(best) = line { best.at } else { 0.0 };
    readings.items[Field::RackLine as usize] = Some(at_line(at));
    Fitted { readings, line }
}

/// Whether a rack line was typed, readable or not.
fn typed(readings: &Readings) -> bool {
    readings.items[Field::RackLine as usize].is_some() || readings.unclear.iter().any(|u| u.0 == Field::RackLine)
}

/// These readings with any rack line, where none was typed: for what asks only whether there is one.
pub fn with_any_line(mut readings: Readings) -> Readings {
    if !typed(&readings) {
        readings.items[Field::RackLine as usize] = Some(at_line(0.0));
    }
    readings
}

fn at_line(at: f64) -> Item {
    Item { value: at, pm: default_pm(Field::RackLine.spec().scale.method), origin: Origin::Found }
}

/// The room for rack lines, mm, [rearmost, foremost].
pub fn room(x: &Inputs) -> [f64; 2] {
    let (a, b) = (x.get(Field::RackLineFrom).unwrap_or(WITHIN_REASON), x.get(Field::RackLineTo).unwrap_or(-WITHIN_REASON));
    [a.min(b), a.max(b)]
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
    /// What no line meets.
    missed: Vec<DemandId>,
}

/// Lines looked at over the room.
const LINES: usize = 37;

impl Search<'_> {
    fn stand(&self, at: f64) -> Stand {
        let x = self.x.with(Field::RackLine, Some(at));
        let solution = solve(&x, [None; 2]);
        Stand { at, margins: margins(&x, self.readings.off, &solution.results), solution }
    }

    /// How good a line is: the smallest margin in units of its ±. Where there is something that no line meets, any line that keeps the rest by
    /// more than its ± goes before one that does not; all of these scores lie between −2 and 0.
    fn score(&self, stand: &Stand, pm: &[f64; VALUE_COUNT]) -> f64 {
        let least = |missed: bool| {
            let some = stand.margins.iter().filter(|m| self.missed.contains(&m.demand) == missed);
            let each = some.map(|m| m.margin / pm[Results::index(m.demand().result, m.side)]);
            each.reduce(|a, b| if b < a { b } else { a })
        };
        let rest = least(false);
        if self.missed.is_empty() {
            return rest.unwrap_or(f64::NEG_INFINITY);
        }
        let share = |x: f64| if x.is_finite() { x / (1.0 + x.abs()) } else { -1.0 };
        match rest.map(|r| r - 1.0).filter(|r| *r < 0.0) {
            Some(short) => share(short) - 1.0,
            None => share(least(true).unwrap_or(f64::NEG_INFINITY)),
        }
    }

    /// Readings and inputs with the line.
    fn readings_at(&self, at: f64) -> Readings {
        let mut readings = self.readings.clone();
        readings.items[Field::RackLine as usize] = Some(at_line(at));
        readings
    }
}

/// The smallest margin's sign and finding: what a stretch ends by.
fn least(stand: &Stand) -> (f64, &'static str) {
    let each = stand.margins.iter().map(|m| (m.margin, m.finding()));
    each.reduce(|a, b| if b.0 < a.0 { b } else { a }).unwrap_or((f64::NEG_INFINITY, ""))
}

/// A line at which every ± is known.
struct Node {
    at: f64,
    score: f64,
    pm: [f64; VALUE_COUNT],
    /// The part of its square that is taken for granted, and whether it was solved here.
    taken: [f64; VALUE_COUNT],
    solved: bool,
    /// What ends the travel there.
    ends: [Option<usize>; 2],
}

/// Lines worked out in full, in their order.
struct Full<'a> {
    search: &'a Search<'a>,
    nodes: Vec<Node>,
    /// How far apart two lines may be between which what is taken for granted goes evenly, mm.
    even: f64,
}

impl Full<'_> {
    /// The score of a line, with its own ±.
    fn score(&mut self, at: f64) -> f64 {
        let place = self.nodes.partition_point(|n| n.at < at);
        if let Some(known) = self.nodes.get(place).filter(|n| n.at == at) {
            return known.score;
        }
        let stand = self.search.stand(at);
        let between = self.taken_between(place, at, &stand);
        let solved = between.is_none();
        let taken = between.unwrap_or_else(|| taken_squares(&self.search.x.with(Field::RackLine, Some(at)), &stand.solution));
        let read = read_squares(&self.search.readings_at(at), &stand.solution);
        let pm = std::array::from_fn(|i| (read[i] + taken[i]).sqrt().max(1e-9));
        let score = self.search.score(&stand, &pm);
        self.nodes.insert(place, Node { at, score, pm, taken, solved, ends: stand.solution.ends });
        score
    }

    /// What is taken for granted, between the two lines on either side at which it was solved, where these are near and nothing else ends
    /// the travel.
    fn taken_between(&self, place: usize, at: f64, stand: &Stand) -> Option<[f64; VALUE_COUNT]> {
        let (a, b) = (self.nodes[..place].iter().rfind(|n| n.solved)?, self.nodes[place..].iter().find(|n| n.solved)?);
        let t = (at - a.at) / (b.at - a.at);
        let alike = b.at - a.at <= self.even && [a, b].iter().all(|n| n.ends == stand.solution.ends);
        alike.then(|| std::array::from_fn(|i| a.taken[i] + (b.taken[i] - a.taken[i]) * t))
    }

    /// The best line so far.
    fn best(&self) -> Option<(f64, f64)> {
        self.nodes.iter().map(|n| (n.at, n.score)).reduce(|a, b| if b.1 > a.1 { b } else { a })
    }

    /// The ± at a line between two at which it is known.
    fn pm_at(&self, at: f64) -> [f64; VALUE_COUNT] {
        let k = self.nodes.partition_point(|n| n.at <= at);
        match (k.checked_sub(1).and_then(|k| self.nodes.get(k)), self.nodes.get(k)) {
            (Some(a), Some(b)) => {
                let t = (at - a.at) / (b.at - a.at);
                std::array::from_fn(|i| a.pm[i] + (b.pm[i] - a.pm[i]) * t)
            }
            (Some(n), None) | (None, Some(n)) => n.pm,
            (None, None) => [1e-9; VALUE_COUNT],
        }
    }

    /// The score of a line by the ± between those known.
    fn rough(&self, at: f64) -> f64 {
        self.search.score(&self.search.stand(at), &self.pm_at(at))
    }
}

/// Whether a demand is missed at every line that has a linkage, and by more than it changes from one line to the next: then no line between
/// them meets it either.
fn missed_everywhere(grid: &[Stand], demand: DemandId) -> bool {
    let margin = |s: &Stand| s.margins.iter().filter(|m| m.demand == demand).map(|m| m.margin).reduce(f64::min);
    let all: Vec<f64> = grid.iter().filter(|s| s.solution.direction.is_some()).filter_map(margin).collect();
    let rise = all.windows(2).map(|w| (w[1] - w[0]).abs()).filter(|d| d.is_finite()).fold(0.0, f64::max);
    !all.is_empty() && all.iter().all(|m| *m + rise < 0.0)
}

/// The best line; `None` where too little is known for one to be better than another.
fn best(readings: &Readings) -> Option<Best> {
    let x = readings.inputs();
    rack_numbers(&x)[1].ok()?;
    let mut search = Search { readings, x, missed: Vec::new() };
    let [from, to] = room(&x);
    let step = (to - from) / (LINES - 1) as f64;
    let grid: Vec<Stand> = (0..LINES).map(|i| search.stand(from + step * i as f64)).collect();
    // With nothing to steer by, no line is better than another.
    let wheels = grid.iter().any(|s| s.solution.wheels.is_some());
    if !wheels || grid.iter().all(|s| s.solution.results.get(ResultId::RodLength, 0).is_err()) {
        return None;
    }
    // From the middle of what passes, or of what there is, to the best by the ± known so far; that line's own ± then joins in. What ends the
    // travel changes the ± in steps, so in the end the neighbours are tried in full.
    let standing: Vec<usize> = (0..LINES).filter(|&i| grid[i].solution.direction.is_some()).collect();
    search.missed = DEMANDS.iter().map(|d| d.id).filter(|&d| missed_everywhere(&grid, d)).collect();
    let top = summit_of(&search, &grid, &standing)?;
    if top.1 >= 0.0 && search.missed.is_empty() {
        return Some(with_stretch(&search, &grid, top));
    }
    // What the builder asks for beyond what every rack must keep gives way, one wish where that is enough, else all of them, where only
    // so the rest is kept: a rack is not told to fail by a toggle for the sake of a ratio.
    let keeps = |missed: &[DemandId]| grid.iter().any(|s| keeps_all_but(s, missed));
    if !keeps(&search.missed) {
        let wishes: Vec<DemandId> = DEMANDS.iter().rev().filter(|d| matches!(d.limit, Limit::Own(_))).map(|d| d.id).collect();
        let with = |more: &[DemandId]| [search.missed.clone(), more.to_vec()].concat();
        let one = wishes.iter().map(|w| with(&[*w])).find(|missed| keeps(missed));
        if let Some(missed) = one.or_else(|| Some(with(&wishes)).filter(|all| keeps(all))) {
            search.missed = missed;
            let (at, score) = summit_of(&search, &grid, &standing)?;
            return Some(Best { at, score: score.min(-f64::MIN_POSITIVE), stretch: None });
        }
    }
    Some(with_stretch(&search, &grid, top))
}

fn keeps_all_but(stand: &Stand, missed: &[DemandId]) -> bool {
    !stand.margins.is_empty() && stand.margins.iter().all(|m| m.margin >= 0.0 || missed.contains(&m.demand))
}

/// The best line among and between those of `grid`, with its score; `standing` are the places of those that have a linkage.
fn summit_of(search: &Search, grid: &[Stand], standing: &[usize]) -> Option<(f64, f64)> {
    let [from, to] = room(&search.x);
    let step = (to - from) / (LINES - 1) as f64;
    let passing: Vec<usize> = (0..LINES).filter(|&i| keeps_all_but(&grid[i], &search.missed)).collect();
    let start = passing.get(passing.len() / 2).or(standing.get(standing.len() / 2)).copied().unwrap_or(LINES / 2);
    let mut full = Full { search, nodes: Vec::new(), even: 2.1 * step };
    // Where none passes every second one is: what misses least has less of a shape.
    let every = if passing.is_empty() { 2 } else { LINES };
    for stand in grid.iter().skip(every / 2).step_by(every).chain([&grid[start]]).filter(|s| s.solution.direction.is_some()) {
        full.score(stand.at);
    }
    let mut place = start;
    for _ in 0..3 {
        let rough: Vec<f64> = grid.iter().map(|s| search.score(s, &full.pm_at(s.at))).collect();
        let best = (0..LINES).fold(place, |m, i| if rough[i] > rough[m] { i } else { m });
        full.score(grid[best].at);
        if best == place {
            break;
        }
        place = best;
    }
    let [rear, front] = [place.saturating_sub(1), (place + 1).min(LINES - 1)].each(|i| grid[i].at);
    full.score(rear);
    full.score(front);
    let (mut low, mut high) = (rear, front);
    for _ in 0..2 {
        let (mut a, mut b) = (low, high);
        for _ in 0..9 {
            let (p, q) = (a + (b - a) * 0.382, a + (b - a) * 0.618);
            if full.rough(p) > full.rough(q) { b = q } else { a = p }
        }
        let at = (a + b) / 2.0;
        full.score(at);
        (low, high) = ((at - step / 2.0).max(from), (at + step / 2.0).min(to));
    }
    // From here on nothing is taken between others.
    full.even = 0.0;
    full.nodes.retain(|n| n.solved);
    full.score((low + high) / 2.0);
    let mut stride = if passing.is_empty() { 2.0 * step } else { step }.max(2.0);
    while stride > 0.7 {
        let (at, here) = full.best()?;
        let there = [at - stride, at + stride].into_iter().filter(|x| (from..=to).contains(x)).map(|x| full.score(x)).fold(here, f64::max);
        if there <= here {
            stride /= 2.0;
        }
    }
    let mut top = full.best()?;
    // All but passing: perhaps a hair's breadth of lines does pass.
    if top.1 < 0.0 && top.1 > -1.0 && search.missed.is_empty() {
        let pm = full.pm_at(top.0);
        let mut just = (top.0, f64::NEG_INFINITY);
        summit([(top.0 - step).max(from), (top.0 + step).min(to)], 24, &mut |at| {
            let score = search.score(&search.stand(at), &pm);
            if score > just.1 {
                just = (at, score);
            }
            score
        });
        if just.1 >= 0.0 {
            full.score(just.0);
            top = full.best()?;
        }
    }
    // A whole millimetre where that is as good: the builder sets it with a tape.
    let whole = [top.0.floor(), top.0.ceil()].into_iter().filter(|w| (from..=to).contains(w)).map(|at| (at, full.score(at)));
    if let Some(even) = whole.reduce(|a, b| if b.1 > a.1 { b } else { a })
        && even.1 >= top.1 - if search.missed.is_empty() { 0.01 } else { 0.002 } * top.1.abs()
        && [0.0, 1.0].iter().all(|bar| (even.1 >= *bar) == (top.1 >= *bar))
    {
        top = even;
    }
    Some(top)
}

/// A line with the stretch around it in which every demand is kept, where it keeps them.
fn with_stretch(search: &Search, grid: &[Stand], (at, score): (f64, f64)) -> Best {
    let [from, to] = room(&search.x);
    let stretch = (score >= 0.0 && search.missed.is_empty()).then(|| {
        let behind = grid.iter().rev().filter(|s| s.at < at);
        let ahead = grid.iter().filter(|s| s.at > at);
        [search.end(at, behind, from), search.end(at, ahead, to)]
    });
    Best { at, score, stretch }
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
