//! What to look for, in sentences and as the points of a picture.

use super::change::{self, Change};
use super::edges::{Place, Travels};
use super::picture::{Picture, lock, picture};
use super::say::{between, edge_text, inward, near, same, way};
use super::turned::per_turn;
use super::window::swing;
use super::{Block, Edge, JOINT_SWING, Lack, RackSearch};
use crate::analysis::uncertainty::{Uncertainties, uncertainties};
use crate::catalogue::field::{Field, Section};
use crate::catalogue::result::{ResultId, Results, VALUE_COUNT};
use crate::catalogue::value::Gap;
use crate::judgement::case::Case;
use crate::judgement::demand::{margins, turned_off};
use crate::judgement::rack_line;
use crate::judgement::rack_line::{WITHIN_REASON, fit, fitted};
use crate::linkage::steering::{Solution, solve};
use crate::linkage::wheel::Level;
use crate::math::each::Each;
use crate::math::root::summit;
use crate::math::within;
use crate::measurement::figure::{Text, at_most, degrees};
use crate::plan::Plan;
use crate::plan::inputs::{Inputs, Readings};
use crate::wording;
use serde::Serialize;

/// What to look for.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct BuyingGuide {
    /// "ok", "nothing" (no rack can pass) or "needs".
    pub status: &'static str,
    /// The whole in one sentence; where something is missing, what.
    pub summary: Text,
    /// One question a line, in the order in which one looks at a rack.
    pub lines: Vec<Line>,
    /// What it rests on, and what could not be checked.
    pub notes: Vec<Text>,
    /// Range of inner-joint spacing, mm.
    pub spacing: Option<Range>,
    /// Other ranges of spacing that pass, mm: rare.
    pub also: Vec<[f64; 2]>,
    /// Range of travel at `at`, mm.
    pub travel: Option<Range>,
    /// Range of travel per turn at `at`, mm.
    pub per_turn: Option<Range>,
    /// The spacing at which travel is told, and the travel at which travel per turn is, mm.
    pub at: Option<[f64; 2]>,
    /// Where nothing passes: changes with which something does, each solved.
    pub changes: Vec<Change>,
    /// The picture.
    pub picture: Option<Picture>,
}

/// One thing to look for.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
#[cfg_attr(test, ts(rename = "GuideLine"))]
pub struct Line {
    /// "bar", "spacing", "travel", "per_turn" or "rods"; "obstacle" and "change" where nothing passes.
    pub name: &'static str,
    /// What it is about.
    pub label: &'static str,
    /// What to look for.
    pub text: Text,
    /// Why, and what makes the edges.
    pub more: Vec<Text>,
}

/// A range with the limits that make its ends.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
#[cfg_attr(test, ts(rename = "GuideRange"))]
pub struct Range {
    /// The ends.
    pub ends: [f64; 2],
    /// The value to look for first: of spacings the centre of gravity of what passes, each spacing weighed by how many travels pass with
    /// it; of travels the one with the largest smallest margin, each in units of its own ±; of travels per turn the geometric middle,
    /// because ratio and turns go with it as a proportion. Rounded to what one would say, where that is still inside.
    pub best: f64,
    /// ± of each end, where readings make it.
    pub pm: [Option<f64>; 2],
    /// At each end of a range of spacings, the one travel that passes there, mm; 0 otherwise.
    pub travel: [f64; 2],
    /// The names of the limits that make each end; those that begin with "usual", and "inner_joint_limit", are bounds of common practice.
    pub limits: [Vec<&'static str>; 2],
}

/// All that a guide is made of: nothing else goes into it.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Asked {
    /// Of the car, with its limits and how the shown rack is fitted.
    readings: Readings,
    /// The inner-joint spacing of the shown rack, mm.
    own: Option<f64>,
    /// The plan's racks, each where it was evaluated: place in the plan, spacing, lock to its worse side.
    racks: Vec<(usize, f64, f64)>,
}

impl Asked {
    /// Whether both ask for the same, to the last bit.
    pub(crate) fn same_as(&self, other: &Asked) -> bool {
        self == other && self.readings.same_as(&other.readings)
    }

    /// For a plan whose racks are these, in its order.
    pub(crate) fn of<'a>(plan: &Plan, racks: impl Iterator<Item = (Inputs, &'a Solution)>) -> Asked {
        let place = |(i, (x, solution)): (usize, (Inputs, &Solution))| Some((i, x.get(Field::InnerJointSpacing)?, lock(solution)?));
        Asked {
            readings: RackSearch::known(plan),
            own: Readings::of(plan, plan.chosen).inputs().get(Field::InnerJointSpacing),
            racks: racks.enumerate().filter_map(place).collect(),
        }
    }
}

/// What to look for, for the car of a plan: see [`RackSearch`].
pub fn look_for(plan: &Plan) -> BuyingGuide {
    let inputs: Vec<Inputs> = (0..plan.racks.len()).map(|i| fitted(plan, i).readings.inputs()).collect();
    let solved: Vec<Solution> = inputs.iter().map(|x| solve(x, [None; 2])).collect();
    guide(&Asked::of(plan, inputs.into_iter().zip(&solved)))
}

/// What to look for.
pub(crate) fn guide(asked: &Asked) -> BuyingGuide {
    let mut guide = BuyingGuide {
        status: "needs",
        summary: Text::default(),
        lines: Vec::new(),
        notes: Vec::new(),
        spacing: None,
        also: Vec::new(),
        travel: None,
        per_turn: None,
        at: None,
        changes: Vec::new(),
        picture: None,
    };
    let search = match RackSearch::ready(asked.readings.clone()) {
        Ok(search) => search,
        Err(why) => {
            guide.summary = lacking(&why.0, &why.1);
            return guide;
        }
    };
    guide.notes = notes(&search);
    match search.spacings(asked.own) {
        Ok(ranges) => {
            if let Some((edges, others)) = ranges.split_first() {
                found(&mut guide, &search, asked, edges, others);
            }
        }
        Err((spacing, line, block)) => nothing(&mut guide, &search, asked, [spacing, line], &block),
    }
    guide
}

fn lacking(lack: &Lack, readings: &Readings) -> Text {
    match lack {
        Lack::Conflict(c) => {
            let (title, _, remedy) = wording::clash(c.clash, c.fields);
            Text::fill("{}. {}", &[&title, &remedy])
        }
        Lack::Gap(gap) => Text::fill("{}.", &[&wording::capital(&wording::gap(*gap, readings))]),
    }
}

/// Where the racks are taken to sit.
fn basis(search: &RackSearch) -> Text {
    let [rear, front] = search.room;
    let x = search.readings.inputs();
    if x.get(Field::RackLineFrom).is_none() && x.get(Field::RackLineTo).is_none() {
        return Text::fill(
            "Each rack is taken where it suits best, up to {} ahead of or behind the tie-rod ends.",
            &[&near(WITHIN_REASON)],
        );
    }
    let ends = [front, rear].each(wording::line_short);
    Text::fill("Each rack is taken where it suits best, from {} to {} of the tie-rod ends.", &[&ends[0], &ends[1]])
}

fn notes(search: &RackSearch) -> Vec<Text> {
    let mut out = vec![basis(search)];
    let x = search.readings.inputs();
    let trial = search.at(search.narrowest(), 100.0, search.room[0]);
    let none = Uncertainties { pm: [None; VALUE_COUNT], read: [None; VALUE_COUNT], most: [None; VALUE_COUNT], effects: Vec::new() };
    let case = Case { readings: &search.readings, solution: &trial, uncertainties: &none, line: &rack_line::Line::Level };
    let mut taken = Vec::new();
    taken.extend(case.axis_note(Level::RodEnd));
    taken.extend(case.lean_note());
    if x.get(Field::Offset).is_none() {
        taken.push("rack taken as centred on the car");
    }
    if x.get(Field::Height).is_none() {
        taken.push("inner joints taken as level with the tie-rod ends");
    }
    taken.extend(case.unlike_note());
    if !taken.is_empty() {
        out.push(Text::fill("Taken for granted: {}.", &[&wording::joined(&taken, "; ")]));
    }
    let mut off: Vec<String> = search.readings.off.iter().map(turned_off).collect();
    off.dedup();
    if !off.is_empty() {
        out.push(Text::fill("Not judged: {}.", &[&wording::joined(&off, ", ")]));
    }
    for (field, gap) in &search.unchecked {
        let why = match gap {
            Gap::Missing(set) if set.contains(*field) => "it cannot be read".to_owned(),
            gap => wording::gap(*gap, &search.readings),
        };
        out.push(Text::fill("Not checked: {}: {}.", &[&wording::small(field.label()), &why]));
    }
    let car = |f: &Field| f.spec().section == Section::Car;
    let left_out: Vec<&str> = search.readings.unclear.iter().map(|u| u.0).filter(car).map(Field::label).collect();
    if !left_out.is_empty() {
        out.push(Text::fill("Left out, because it cannot be read: {}.", &[&wording::joined(&left_out, ", ")]));
    }
    out
}

fn bar(rack: &Solution, one_way: bool) -> Option<Line> {
    let (way, arms) = way(rack)?;
    let mut more = vec![Text::fill("Because your arms steer from {} the axis.", &[&arms])];
    if !one_way {
        more.push(same("At other rack lines it is the other way."));
    }
    Some(Line { name: "bar", label: "Rack, in a left turn", text: Text::fill("to the {}", &[&way]), more })
}

fn nothing(guide: &mut BuyingGuide, search: &RackSearch, asked: &Asked, at: [f64; 2], block: &Block) {
    guide.status = "nothing";
    let rack = search.at(at[0], block.travel.max(20.0), at[1]);
    guide.lines.extend(bar(&rack, true));
    let dead = search.dead_point(&rack);
    guide.summary = same("No rack passes every limit with these arms, wherever it sits.");
    let mut more = vec![Text::fill(
        "It comes nearest with inner joints {} apart and the rack line {}.",
        &[&near(at[0]), &wording::line(at[1].round())],
    )];
    if let (Some(lock), [Some(Field::LockWanted), Some(_)]) = (lock(&rack), block.by) {
        let reached = degrees((lock * 10.0 + 1e-6).floor() / 10.0);
        more.push(Text::fill("The inner wheel reaches {} there, with {} of travel.", &[&reached, &inward(block.travel, false)]));
    }
    let by: Vec<Field> = block.by.iter().flatten().copied().collect();
    guide.lines.push(Line { name: "obstacle", label: "What stands in the way", text: search.clash(&by, dead), more });
    guide.changes = change::changes(search, at, block);
    let said = guide.changes.iter().map(|c| c.text.clone()).reduce(|all, next| Text::fill("{}; or {}", &[&all, &next]));
    let (text, more) = match said {
        Some(said) => (said, vec![same("Each was tried by itself: then there are racks that keep every limit by more than their ±.")]),
        None => (
            same("no single change that was tried"),
            vec![same("Tried: less lock, shorter and longer arms, more room, and each limit that stands in the way.")],
        ),
    };
    guide.lines.push(Line { name: "change", label: "What would change it", text, more });
    guide.picture = Some(picture(search, &asked.racks, None, &[], at));
}

pub(super) fn names(by: &[Field]) -> Vec<&'static str> {
    by.iter().map(|f| f.spec().name).collect()
}

/// Rounded to what one would say, where that is still inside.
pub(super) fn round(x: f64, [low, high]: [f64; 2], step: f64) -> f64 {
    let fits = |r: &f64| *r >= low && *r <= high;
    [step, 1.0].into_iter().map(|s| (x / s).round() * s).find(fits).unwrap_or(within(x, low, high))
}

pub(super) fn about(range: Text, best: f64) -> Text {
    Text::fill("{}, best about {}", &[&range, &near(best)])
}

/// The centre of gravity of what passes, each spacing weighed by how many travels pass with it.
fn best_spacing(places: &[Place], ends: [f64; 2]) -> f64 {
    let (mut sum, mut weight) = (0.0, 0.0);
    for p in places {
        let w = (p.window.travel[1] - p.window.travel[0]).max(1e-6);
        (sum, weight) = (sum + w * p.spacing, weight + w);
    }
    round(if weight > 0.0 { sum / weight } else { (ends[0] + ends[1]) / 2.0 }, ends, 5.0)
}

/// The travel with the largest smallest margin, each in units of its ± as it is in the middle, the line free; and that line.
fn best_travel(search: &RackSearch, spacing: f64, travels: &Travels, line: f64) -> (f64, f64) {
    let [a, b] = travels.ends;
    let middle = (a + b) / 2.0;
    let readings = search.rack(&[(Field::InnerJointSpacing, spacing), (Field::Travel, middle), (Field::RackLine, line)]);
    let pm = uncertainties(&readings, &search.at(spacing, middle, line)).pm;
    let score = |t: f64, l: f64| {
        let kept = margins(&search.x, search.readings.off, &search.at(spacing, t, l).results);
        let each = kept.iter().map(|m| m.margin / pm[Results::index(m.demand().result, m.side)].unwrap_or(0.0).max(1e-9));
        each.fold(f64::INFINITY, f64::min)
    };
    let [rear, front] = search.room;
    let mut best = (middle, line, f64::NEG_INFINITY);
    summit([a, b], 9, &mut |t| {
        let around = [(best.1 - 30.0).max(rear), (best.1 + 30.0).min(front)];
        let (l, s) = summit(around, 9, &mut |l| score(t, l));
        if s > best.2 {
            best = (t, l, s);
        }
        s
    });
    (round(best.0, travels.ends, 1.0), best.1)
}

fn found(guide: &mut BuyingGuide, search: &RackSearch, asked: &Asked, edges: &[Edge; 2], others: &[[Edge; 2]]) {
    let own = asked.own;
    guide.status = "ok";
    let [low, high] = edges;
    let ends = [low.spacing, high.spacing];
    let places = search.places(edges);
    let best = best_spacing(&places, ends);
    let inside = |s: &f64| *s >= ends[0] && *s <= ends[1];
    let near_to = |s: f64| places.iter().fold(low.line, |l, p| if p.spacing <= s { p.line } else { l });
    let wished = own.filter(inside).unwrap_or(best);
    // Between two passing spacings none fails but by the rarest of chances: then the widest choice of travels stands for it.
    let widest = places.iter().map(|p| (p.window.travel[1] - p.window.travel[0], p.spacing)).reduce(|a, b| if b.0 > a.0 { b } else { a });
    let tries = [wished, widest.map_or(low.spacing, |w| w.1), low.spacing];
    let Some((at, travels)) = tries.into_iter().find_map(|s| Some((s, search.travels(s, near_to(s)).ok()?))) else { return };
    let best = if at == wished { best } else { at };
    let (travel, line) = best_travel(search, at, &travels, near_to(at));
    let (rack, line) = placed(search, at, travel, line);
    let dead = |s: f64, t: f64, l: f64| search.dead_point(&search.at(s, t, l));
    guide.at = Some([at, travel]);
    guide.lines.extend(bar(&rack, travels.one_way));

    let (a, b) = (inward(ends[0], true), inward(ends[1], false));
    let range = match (low.by.is_empty(), high.by.is_empty()) {
        (true, true) => same("any spacing"),
        (true, _) => Text::fill("up to {}", &[&b]),
        (_, true) => Text::fill("from {} up", &[&a]),
        _ => between(&a, &b),
    };
    let mut more = Vec::new();
    for (edge, text, word) in [(low, &a, "Below"), (high, &b, "Above")] {
        let why = search.clash(&edge.by, dead(edge.spacing, edge.travel, edge.line));
        if !edge.by.is_empty() {
            more.push(Text::fill("{} {} {}.", &[&word, &edge_text(text.clone(), edge.pm), &why]));
        }
    }
    more.push(same(
        "Too wide makes short rods; bump steer, which is not judged here, wants the inner joints near the lower arms’ pivots, neither wider nor narrower.",
    ));
    for [a, b] in others {
        more.push(Text::fill("{} passes too.", &[&between(&inward(a.spacing, true), &inward(b.spacing, false))]));
    }
    guide.also = others.iter().map(|r| [r[0].spacing, r[1].spacing]).collect();
    guide.lines.push(Line { name: "spacing", label: "Inner joints apart", text: about(range.clone(), best), more });
    guide.spacing =
        Some(Range { ends, best, pm: [low.pm, high.pm], travel: [low.travel, high.travel], limits: [names(&low.by), names(&high.by)] });

    let mut more = vec![Text::fill("For inner joints {} apart.", &[&near(at)])];
    let shown = [inward(travels.ends[0], true), inward(travels.ends[1], false)];
    for (i, word) in ["Below", "Above"].into_iter().enumerate() {
        if travels.by[i].is_empty() {
            continue;
        }
        let t = travels.ends[i];
        let stops = match i {
            1 => Text::fill("; such a rack needs stops, no further than {} from the middle", &[&at_most(t / 2.0)]),
            _ => Text::default(),
        };
        let edge = edge_text(shown[i].clone(), travels.pm[i]);
        more.push(Text::fill("{} {} {}{}.", &[&word, &edge, &search.clash(&travels.by[i], dead(at, t, travels.lines[i])), &stops]));
    }
    guide.lines.push(Line { name: "travel", label: "Travel, end to end", text: about(between(&shown[0], &shown[1]), travel), more });
    guide.travel = Some(Range {
        ends: travels.ends,
        best: travel,
        pm: travels.pm,
        travel: [0.0; 2],
        limits: [names(&travels.by[0]), names(&travels.by[1])],
    });
    let (turned, per_turn_range) = per_turn(search, &rack, [at, travel, line]);
    guide.lines.push(turned);
    guide.per_turn = Some(per_turn_range);
    guide.lines.push(rods(search, edges, &rack, [at, travel, line]));
    guide.summary = match search.limit(Field::LockWanted).filter(|_| !search.readings.off.contains(Field::LockWanted)) {
        Some(_) => {
            let say = "Inner joints {} apart, with the travel to match, give {} each way within every limit.";
            Text::fill(say, &[&range, &search.bound(Field::LockWanted)])
        }
        None => Text::fill("Inner joints {} apart, with the travel to match, keep every limit.", &[&range]),
    };
    guide.picture = Some(picture(search, &asked.racks, Some(edges), &places, [at, line]));
}

/// A rack at the line at which it will be evaluated; where an inner joint would have to swing further there than most do, or the rods would
/// be longer than is usual, at the best of the lines without that.
fn placed(search: &RackSearch, spacing: f64, travel: f64, line: f64) -> (Solution, f64) {
    let lever = search.at(spacing, travel, line).results.get(ResultId::RackPerDegree, 0).map_or(900.0, |r| 360.0 * r.abs());
    let [low, high] = search.turned_between(travel, [lever; 2]);
    let numbers = [(Field::InnerJointSpacing, spacing), (Field::Travel, travel), (Field::TravelPerTurn, (low.0 * high.0).sqrt())];
    let fitted = fit(search.rack(&numbers)).readings.inputs().get(Field::RackLine).unwrap_or(line);
    let usual = |l: f64| {
        let rack = search.at(spacing, travel, l);
        let rod = |side| rack.results.get(ResultId::RodLength, side).unwrap_or(f64::INFINITY);
        let longest = search.limit(Field::UsualRodMax).unwrap_or(f64::INFINITY);
        swing(&rack, travel) <= JOINT_SWING && rod(0).max(rod(1)) <= longest
    };
    let mut at = fitted;
    if !usual(fitted) {
        let mut best = f64::NEG_INFINITY;
        for l in search.lines(25).chain([line]) {
            let holds = search.window(spacing, l).is_ok_and(|w| w.travel[0] <= travel && travel <= w.travel[1]);
            if holds && usual(l) && search.score(spacing, l) > best {
                (at, best) = (l, search.score(spacing, l));
            }
        }
    }
    (search.at(spacing, travel, at), at)
}

fn rods(search: &RackSearch, edges: &[Edge; 2], rack: &Solution, [at, travel, line]: [f64; 3]) -> Line {
    let of = |rack: &Solution, side: usize| rack.results.get(ResultId::RodLength, side).unwrap_or(0.0);
    let ends = edges.each_ref().each(|e| search.at(e.spacing, e.travel.max(20.0), e.line));
    let range = |side: usize| {
        let ends = ends.each_ref().each(|r| of(r, side));
        between(&near(ends[0].min(ends[1])), &near(ends[0].max(ends[1])))
    };
    let alike = ends.iter().chain([rack]).all(|r| (of(r, 0) - of(r, 1)).abs() < 0.05);
    let (text, here) = if alike {
        (range(0), near(of(rack, 0)))
    } else {
        let both = |left: &Text, right: &Text| Text::fill("left {}, right {}", &[left, right]);
        (both(&range(0), &range(1)), both(&near(of(rack, 0)), &near(of(rack, 1))))
    };
    let swing = degrees((swing(rack, travel) * 10.0 - 1e-6).ceil() / 10.0);
    let more = vec![
        Text::fill(
            "{} for inner joints {} apart, which must swing to {} at least with {} of travel.",
            &[&here, &near(at), &swing, &near(travel)],
        ),
        Text::fill("Such a rack suits best with its line {}.", &[&wording::line(line.round())]),
    ];
    Line { name: "rods", label: "Rods that follow", text, more }
}
