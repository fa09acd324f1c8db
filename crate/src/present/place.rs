//! Where the rack may go, as it is shown: the map about it, what is asked of its place, the best one and what comes of it there.

use crate::analysis::placement::{Layer, Window};
use crate::catalogue::field::Field;
use crate::catalogue::result::{ResultId, Results};
use crate::judgement::case::{Evaluated, as_read};
use crate::judgement::finding::{Finding, Kind};
use crate::judgement::verdict::VerdictKind;
use crate::math::each::Each;
use crate::measurement::decimal::plain;
use crate::measurement::entry::{Entry, Side};
use crate::measurement::figure::{Text, figure, small_degrees};
use crate::measurement::quantity::ResultUnit;
use crate::measurement::unit::Unit;
use crate::plan::inputs::Inputs;
use crate::present::hole::hole;
use crate::present::map::{Map, map};
use crate::present::view::Part;
use crate::wording::{self, bumps, places};
use serde::Serialize;

/// Places along an edge of the map.
const CELLS: usize = 61;
/// The passing region of a map opened as wide as it goes is at least so high, mm; else it opens at half of that.
const LEAST: f64 = 12.0;
/// A table lists every so many of the places along an edge.
const EVERY: usize = 6;

/// What is looked at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Seen {
    /// Middle of the map, mm ahead of and above the tie-rod ends; NaN: where the rack is.
    pub middle: [f64; 2],
    /// Half as far as that; `None`: as the region is high.
    pub near: Option<bool>,
    /// Whether its axes are in inches.
    pub inch: bool,
}

impl Seen {
    /// How far the map reaches from its middle, and how far its figures are apart, mm.
    fn reach(self, near: bool) -> [f64; 2] {
        match (self.inch, near) {
            (false, false) => [60.0, 20.0],
            (false, true) => [30.0, 10.0],
            (true, false) => [50.8, 25.4],
            (true, true) => [25.4, 12.7],
        }
    }
}

/// A map about a rack, in mm ahead of and above the tie-rod ends.
#[derive(Debug, Clone, PartialEq)]
pub struct Places {
    /// What was asked for.
    pub seen: Seen,
    /// Where the rack's inner joints are.
    pub at: [f64; 2],
    /// Middle of the map.
    pub middle: [f64; 2],
    /// How far it reaches, and how far its figures are apart.
    pub reach: [f64; 2],
    near: bool,
    /// The map, relative to `at`; or why there is none.
    pub map: Result<Map, String>,
    /// The best place.
    pub best: Option<[f64; 2]>,
}

/// Where a rack's inner joints are said to be: mm ahead of and above the tie-rod ends.
pub fn stands(x: &Inputs) -> Option<[f64; 2]> {
    Some([x.get(Field::RackLine)?, x.get(Field::Height)?])
}

/// What is typed for that.
pub fn entries([ahead, up]: [f64; 2]) -> [(Field, Entry); 2] {
    let entry = |v: f64| Entry::new(plain(v.abs()), Unit::Mm, Some(if v < 0.0 { Side::Minus } else { Side::Plus }));
    [(Field::RackLine, entry(ahead)), (Field::Height, entry(up))]
}

impl Places {
    /// About a rack as it is.
    pub fn of(e: &Evaluated, seen: Seen) -> Places {
        let x = e.readings.inputs();
        let lacks = [Field::RackLine, Field::Height].into_iter().find(|field| x.get(*field).is_none());
        let at = stands(&x).unwrap_or_default();
        let solve = |near: bool, cells: [usize; 2]| {
            let reach = seen.reach(near);
            let middle = [0, 1].each(|axis| {
                let middle = if seen.middle[axis].is_finite() { seen.middle[axis] } else { at[axis] };
                (middle / reach[1]).round() * reach[1]
            });
            let edge = |axis: usize| [middle[axis] - reach[0] - at[axis], middle[axis] + reach[0] - at[axis]];
            let map = match lacks {
                Some(field) => Err(wording::needs(field.into(), &e.readings)),
                None => map(e, Window { ahead: edge(0), up: edge(1), cells }),
            };
            let best = map.as_ref().ok().and_then(|map| map.judged.best).map(|(cell, _)| cell);
            let best = best.zip(map.as_ref().ok()).map(|(cell, map)| {
                let [x, z] = map.placement.at_cell(cell % cells[0], cell / cells[0]);
                // To what is shown, so that it is what is typed.
                let grid = if seen.inch { 25.4 / 32.0 } else { 0.5 };
                [at[0] + x, at[1] + z].each(|v| (v / grid).round() * grid)
            });
            Places { seen, at, middle, reach, near, map, best }
        };
        match seen.near {
            Some(near) => solve(near, [CELLS; 2]),
            // Every fourth place of each height tells how high the region is.
            None => solve(solve(false, [CELLS / 4 + 1, CELLS]).high() < LEAST, [CELLS; 2]),
        }
    }

    /// Whether it is what is looked at.
    pub fn shows(&self, seen: &Seen) -> bool {
        let middle = |axis: usize| seen.middle[axis].to_bits() == self.seen.middle[axis].to_bits();
        (middle(0) && middle(1) || seen.middle == self.middle)
            && (seen.near == self.seen.near || seen.near == Some(self.near))
            && seen.inch == self.seen.inch
    }

    /// How high the region is in which every limit holds, mm; without one there is nothing that would be seen better from near.
    fn high(&self) -> f64 {
        let Ok(map) = &self.map else { return f64::INFINITY };
        let [wide, high] = map.placement.window().cells;
        let rows: Vec<usize> = (0..high).filter(|row| (0..wide).any(|i| map.passes(row * wide + i))).collect();
        let step = 2.0 * self.reach[0] / (high - 1) as f64;
        match (rows.first(), rows.last()) {
            (Some(low), Some(high)) => (high - low + 1) as f64 * step,
            _ => f64::INFINITY,
        }
    }
}

/// What is asked of the rack's place, and how it is there.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct PlaceLimit {
    /// Its name; of the layer of the map as well.
    pub name: Text,
    /// Met or not where the rack is; `None` where nothing is asked.
    pub kind: Option<Kind>,
    /// How it is there.
    pub value: Text,
    /// What is asked.
    pub bound: Text,
}

/// A rack set to another place.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct Moved {
    /// How far, and which way.
    pub place: Text,
    /// The rack line as it is typed for that, in either unit.
    pub line: Text,
    /// The same of the height.
    pub height: Text,
}

/// Where the rack may go.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct PlaceView {
    /// Why there is no map; empty where there is one.
    pub why: String,
    /// Middle of the map, mm ahead of and above the tie-rod ends.
    pub middle: [f64; 2],
    /// Where the rack is, the same way.
    pub at: [f64; 2],
    /// Whether it reaches half as far as it could.
    pub near: bool,
    /// How far it reaches: from near, from far.
    pub reach: [Text; 2],
    /// How the place is, by everything that depends on it.
    pub kind: Kind,
    /// That in a sentence.
    pub says: Text,
    /// Which place would be better, or how much room there is.
    pub better: Text,
    /// The best place of the map, or the one that misses least; `None` where the rack is there.
    pub best: Option<Moved>,
    /// What becomes of it there: the verdict.
    pub then: Text,
    /// Whether it keeps every limit of the map, and the verdict there is no worse than where it is.
    pub helps: bool,
    /// What is asked of a place: the layers of the map.
    pub limits: Vec<PlaceLimit>,
    /// What makes the rods' holes in the rail so large, left and right, then the pipe that goes round them.
    pub hole: Vec<Text>,
    /// Through the place of the rack, forward and up: where, each layer, whether it passes.
    pub tables: [Vec<Vec<Text>>; 2],
}

/// Lines of a layer: where, what is written there, whether it is the limit; from the best to the worst.
pub fn levels(map: &Map, layer: Layer) -> Vec<(f64, String, bool)> {
    let [least, most] = map.asked.bounds(layer).each(|b| b.map(|b| degrees(layer, b)));
    let limit = most.or(least);
    let mut out: Vec<f64> = Vec::new();
    if layer == Layer::Peak {
        out.extend([0.5, 1.0, 2.0, 4.0, 8.0].each(|k| k * limit.unwrap_or(0.2)));
    } else {
        let known = || map.layer(layer).into_iter().filter(|v| v.is_finite());
        let (low, high) = (known().fold(f64::INFINITY, f64::min), known().fold(f64::NEG_INFINITY, f64::max));
        let step =
            [0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0].into_iter().find(|step| high - low <= 6.0 * step).unwrap_or(500.0);
        let ticks = (0..8).map(|k| ((low / step).ceil() + f64::from(k)) * step).take_while(|v| *v <= high);
        out.extend(ticks.filter(|v| limit.is_none_or(|l| (v - l).abs() > 0.3 * step)));
        if let Some(limit) = limit {
            out.insert(out.partition_point(|v| *v < limit), limit);
        }
        // The more of it the better: the deepest tint is the least.
        if least.is_some() && most.is_none() || matches!(layer, Layer::Lock | Layer::Transmission) {
            out.reverse();
        }
    }
    let unit = if layer == Layer::Ackermann { " %" } else { "°" };
    out.into_iter().map(|v| (v, plain((v * 1e3).round() / 1e3) + unit, Some(v) == limit)).collect()
}

/// One move: from a place to another, mm ahead of and above the tie-rod ends.
pub fn moved(from: [f64; 2], to: [f64; 2]) -> Moved {
    let typed = |field: Field, v: f64| {
        let (plus, minus) = field.spec().scale.sides.unwrap_or_default();
        Text::fill("{} {}", &[&bumps::mm(v), &if v < 0.0 { minus } else { plus }])
    };
    Moved {
        place: places::way([to[0] - from[0], to[1] - from[1]]),
        line: typed(Field::RackLine, to[0]),
        height: typed(Field::Height, to[1]),
    }
}

/// Whether a finding speaks of a layer.
fn finding(layer: Layer, name: &str) -> bool {
    match layer {
        Layer::Peak => name == "bump_steer",
        Layer::Lock => name == "lock",
        Layer::Transmission => name == "transmission" || name == "transmission_bumps",
        Layer::RodAngle => name == "inner_joint" || name == "inner_joint_bumps",
        Layer::Ackermann => name == "ackermann_min" || name == "ackermann_max",
    }
}

/// How it is where the rack is, worked out in full, with its ±: of what the layer shows the worst.
fn here(e: &Evaluated, layer: Layer) -> Option<Text> {
    use ResultId::*;
    let (of, more): (&[ResultId], bool) = match layer {
        Layer::Peak => (&[BumpPeak], true),
        Layer::Lock => (&[LockInner], false),
        Layer::Transmission => (&[TransmissionLeast, TransmissionBumps], false),
        Layer::RodAngle => (&[RodAngle], true),
        Layer::Ackermann => (&[AckermannAngle], false),
    };
    let all = of.iter().flat_map(|id| [0, 1].each(|side| (*id, side)));
    let known = all.filter_map(|(id, side)| Some((id, side, e.solution.results.get(id, side).ok()?)));
    let (id, side, value) = known.reduce(|a, b| if (b.2 > a.2) == more { b } else { a })?;
    Some(as_read(id, value, e.uncertainties.pm[Results::index(id, side)].unwrap_or(0.0)))
}

fn written(layer: Layer, value: f64) -> Text {
    match layer {
        Layer::Peak => small_degrees(value),
        Layer::Ackermann => figure(ResultUnit::Percent, value, None),
        _ => figure(ResultUnit::Deg, value, None),
    }
}

fn degrees(layer: Layer, value: f64) -> f64 {
    if layer == Layer::Ackermann { value } else { value.to_degrees() }
}

/// A map with its words. `part` is the rack as it is, `then` at the best place.
pub fn view(place: &Places, part: &Part, then: Option<&Part>) -> PlaceView {
    let worst = |kind: Kind| part.shown.findings.iter().find(|f| f.judged && f.kind == kind);
    let title = |f: &Finding| Text { mm: wording::small(&f.title.mm), inch: wording::small(&f.title.inch) };
    let (kind, says) = match (worst(Kind::Fail), worst(Kind::Close)) {
        (Some(f), _) => (Kind::Fail, Text::fill("Not here: {}.", &[&title(f)])),
        (_, Some(f)) => (Kind::Close, Text::fill("Here: {}.", &[&title(f)])),
        _ => (Kind::Pass, Text::same("Here everything that was judged holds.")),
    };
    let reach = [true, false].each(|near| places::reach(place.seen.reach(near)[0]));
    let mut view = PlaceView {
        why: String::new(),
        middle: place.middle,
        at: place.at,
        near: place.near,
        reach,
        kind,
        says,
        better: Text::default(),
        best: None,
        then: Text::default(),
        helps: false,
        limits: Vec::new(),
        hole: hole(&part.e),
        tables: [Vec::new(), Vec::new()],
    };
    let map = match &place.map {
        Ok(map) => map,
        Err(why) => {
            view.why.clone_from(why);
            return view;
        }
    };
    let cell = map.placement.at(0.0, 0.0);
    let passes = map.asked.overrun(&cell, [0.0, 0.0]) <= 0.0;
    for layer in Layer::ALL {
        let (value, bounds) = (layer.of(&cell), map.asked.bounds(layer));
        let kept = value.is_some_and(|v| bounds[0].is_none_or(|b| v >= b) && bounds[1].is_none_or(|b| v <= b));
        let asked = bounds.iter().any(Option::is_some);
        // The findings are worked out in full, and know the ± as well.
        let told = |kind: Kind| part.shown.findings.iter().any(|f| f.judged && f.kind == kind && finding(layer, f.name));
        let by_map = if kept { Kind::Pass } else { Kind::Fail };
        let kind = [Kind::Fail, Kind::Close, Kind::Pass].into_iter().find(|kind| told(*kind)).unwrap_or(by_map);
        view.limits.push(PlaceLimit {
            name: Text::same(places::layer(layer)),
            kind: asked.then_some(kind),
            value: here(&part.e, layer).or(value.map(|v| written(layer, degrees(layer, v)))).unwrap_or(Text::same("none")),
            bound: places::bound(bounds.each(|b| b.map(|b| written(layer, degrees(layer, b))))),
        });
    }
    let half = place.reach[0] / (CELLS - 1) as f64;
    view.better = match map.nearest([0.0, 0.0], !passes) {
        Some((_, far)) if passes => places::room(far - half),
        Some((by, _)) => places::nearest(by),
        None => places::nothing(passes),
    };
    view.best = place.best.map(|to| moved(place.at, to)).filter(|moved| !(moved.place.mm.is_empty() || moved.place.inch.is_empty()));
    if let (Some(_), Some(then)) = (&view.best, then) {
        let rank = |kind: VerdictKind| kind as usize;
        view.then = then.shown.verdict.head.clone();
        let kept = map.judged.best.is_some_and(|(cell, _)| map.passes(cell));
        view.helps = kept && rank(then.shown.verdict.kind) >= rank(part.shown.verdict.kind);
    }
    for (axis, table) in view.tables.iter_mut().enumerate() {
        for k in (0..CELLS).step_by(EVERY) {
            let off = place.middle[axis] - place.reach[0] + 2.0 * half * k as f64 - place.at[axis];
            let shift = if axis == 0 { [off, 0.0] } else { [0.0, off] };
            let cell = map.placement.at(shift[0], shift[1]);
            let (plus, minus) = [Field::RackLine, Field::Height][axis].spec().scale.sides.unwrap_or_default();
            let there = place.at[axis] + off;
            let mut row = vec![Text::fill("{} {}", &[&bumps::mm(there), &if there < 0.0 { minus } else { plus }])];
            row.extend(Layer::ALL.iter().map(|&layer| layer.of(&cell).map_or(Text::same("none"), |v| written(layer, degrees(layer, v)))));
            row.push(Text::same(if map.asked.overrun(&cell, shift) <= 0.0 { "yes" } else { "no" }));
            table.push(row);
        }
    }
    view
}
