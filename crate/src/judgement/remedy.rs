//! What would cure a rack: changes that were solved with the change applied and their ± taken off.
//!
//! A remedy is a claim. Each family of changes (another rack line, more travel, stops, other arms …) goes from the rack as it is to ever
//! larger changes until every judged demand is kept by more than its ±; the amount is then rounded to what a tape can set, the changed rack
//! is solved and judged anew, and only then is it said. Where no change of one kind cures everything, the first failing demand's own cure is
//! said with what still fails beside it.

use crate::analysis::uncertainty::uncertainties;
use crate::catalogue::field::{Field, Section};
use crate::catalogue::result::{ResultId, Results, VALUE_COUNT};
use crate::judgement::case::{Case, as_read};
use crate::judgement::demand::{DEMANDS, Demand, DemandId, Margin, about, limit, margins};
use crate::judgement::finding::{Change, Cure, Finding, Kind, Setting};
use crate::judgement::rack_line::{Line, WITHIN_REASON, fit, room};
use crate::linkage::arm::{arms, from_points};
use crate::linkage::steering::{rack_numbers, solve};
use crate::linkage::travel::{ENDS, End};
use crate::math::each::Each;
use crate::measurement::figure::{Text, as_read_in_inches, at_least, at_most, degrees, figure};
use crate::measurement::quantity::ResultUnit;
use crate::measurement::unit::default_pm;
use crate::plan::inputs::{Inputs, Item, Origin, Readings, kernel};
use crate::wording;
use std::cell::OnceCell;

/// A reading and what it becomes, in the kernel's units.
type Set = (Field, Option<f64>);

/// What is changed, by how much.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Family {
    /// The rack line, towards the front (+1) or the rear (−1).
    Line(i8),
    /// The room for a rack line, further towards the front (+1) or the rear (−1), where the line was found.
    Room(i8),
    /// The rack's travel, more.
    Travel,
    /// A stop further out, where a stop ends the turn.
    StopOut,
    /// A stop, nearer, for the rack going right, left, or either way.
    Stop([bool; 2]),
    /// The arms' length, shorter (−1) or longer (+1).
    Arms(i8),
    /// The inner joints' height, towards that of the tie-rod ends.
    Height,
    /// The rack's height, to where the wheels keep their toe best over bumps.
    Raise,
    /// Rods made to fit in place of typed ones.
    Rods,
    /// Less lock asked for.
    Accept,
    /// The rack turned end for end.
    Turned,
}

/// The readings with these changes. A changed reading carries the ± of its usual method.
pub(crate) fn changed(readings: &Readings, sets: &[Set]) -> Readings {
    let mut out = readings.clone();
    for &(field, value) in sets {
        let pm = kernel(field, default_pm(field.spec().scale.method));
        out.items[field as usize] = value.map(|value| Item { value, pm, origin: Origin::Typed });
    }
    out.hold_against_each_other();
    out
}

/// These changes as a plan's file has them.
pub(crate) fn in_a_plan(sets: &[Set]) -> Vec<Change> {
    // Nine decimals of a degree are far below what anybody reads, and above what the way by radians leaves behind.
    let number = |field: Field, v: f64| if kernel(field, 1.0) == 1.0 { v } else { (v.to_degrees() * 1e9).round() / 1e9 };
    let section = |field: Field| match field.spec().section {
        Section::Rack => "racks",
        section => section.name(),
    };
    let each = sets.iter().map(|&(f, value)| Change { section: section(f), field: f.spec().name, value: value.map(|v| number(f, v)) });
    each.collect()
}

/// A family that was tried, with what cures everything and how that comes out.
type Tried = (Family, Option<(Vec<Set>, Outcome)>);

/// Steering arms of another length, `k` times the present one, at the same angle, to a tenth of a millimetre; the axes stay where they are,
/// and so do the room for the rack and, where it is `fitted`, the rack: they count from the tie-rod ends, which move.
/// `None` where nobody would fit such arms.
pub(crate) fn other_arms(x: &Inputs, k: f64, fitted: bool) -> Option<Vec<Set>> {
    let [left, right] = arms(x).ok()?;
    // Arms by points are where the points are.
    if !(0.5..=1.6).contains(&k) || from_points(x).is_some() {
        return None;
    }
    let tenth = |v: f64| (v * 10.0).round() / 10.0;
    let [l, r] = [left, right].each(|a| [tenth(a.ahead * k), tenth(a.inboard * k)]);
    let mut sets = vec![(Field::ArmForeAft, Some(l[0])), (Field::ArmInboard, Some(l[1]))];
    for (field, value) in [(Field::RightArmForeAft, r[0]), (Field::RightArmInboard, r[1])] {
        if x.get(field).is_some() {
            sets.push((field, Some(value)));
        }
    }
    for field in [Field::ArmLength, Field::ArmAngle] {
        if x.get(field).is_some() {
            sets.push((field, None));
        }
    }
    if let Some(ends) = x.get(Field::RodEndSpacing) {
        sets.push((Field::RodEndSpacing, Some(ends + left.inboard - l[1] + right.inboard - r[1])));
    }
    let nearer = (left.ahead + right.ahead - l[0] - r[0]) / 2.0;
    for field in [Field::RackLineFrom, Field::RackLineTo].into_iter().chain(fitted.then_some(Field::RackLine)) {
        if let Some(at) = x.get(field) {
            sets.push((field, Some(tenth(at + nearer))));
        }
    }
    Some(sets)
}

/// What counts from the tie-rod ends and is another figure with [`other_arms`], as the end of a sentence part.
pub(crate) fn counted_anew(sets: &[Set]) -> Text {
    let to = |field: Field| sets.iter().find(|s| s.0 == field).and_then(|s| s.1).map(wording::line_short);
    let mut out = match [Field::RackLineFrom, Field::RackLineTo].each(to) {
        [Some(from), Some(to)] => Text::fill(", the room for the rack then from {} to {}", &[&from, &to]),
        [Some(one), None] | [None, Some(one)] => Text::fill(", the room for the rack then as far as {}", &[&one]),
        [None, None] => Text::default(),
    };
    if let Some(line) = to(Field::RackLine) {
        out = Text::fill("{}, the rack left where it is, its line then {}", &[&out, &line]);
    }
    out
}

/// The larger of two circles at the tyre's centre, mm, with its ±.
fn larger_circle(results: &Results, pm: &[Option<f64>; VALUE_COUNT]) -> Option<(f64, f64)> {
    let get = |side| Some((results.get(ResultId::CircleCentre, side).ok()?, side));
    let (value, side) = [get(0)?, get(1)?].into_iter().fold((0.0, 0), |a, b| if b.0 > a.0 { b } else { a });
    Some((value, pm[Results::index(ResultId::CircleCentre, side)].unwrap_or(0.0)))
}

/// The search for one rack.
struct Search<'a> {
    case: &'a Case<'a>,
    x: Inputs,
    /// ± of every margin as the rack is.
    pm: Vec<f64>,
    base: Vec<Margin>,
    raise: OnceCell<Option<f64>>,
}

/// Whole millimetres either way of the height that is best for the toe at which another is tried.
const NEAR_BEST: u8 = 20;

/// How the changed rack comes out.
#[derive(Clone)]
struct Outcome {
    /// The rack line at which it stands.
    line: Option<f64>,
    still: Vec<&'static str>,
    margins: Vec<(Margin, f64)>,
    results: Results,
    pm: [Option<f64>; VALUE_COUNT],
}

/// Puts cures, and the sentence that names them, into every failing finding.
pub fn add(case: &Case, findings: &mut [Finding]) {
    for (i, asked, cures) in cures(case, findings) {
        if let Some(f) = findings.get_mut(i) {
            f.remedy = sentence(&f.remedy, &cures, asked);
            f.cures = cures;
        }
    }
}

/// The cures of every failing finding, by its place, and whether any was looked for.
fn cures(case: &Case, findings: &[Finding]) -> Vec<(usize, bool, Vec<Cure>)> {
    // Where the travel already ends at a stop that nobody made, that stop is told though the amount is too close to call.
    let counts_on_a_stop = |f: &Finding| f.kind == Kind::Close && f.name == "reserve" && f.margin.is_some_and(|m| m < 0.0);
    let fails = |f: &Finding| f.judged && (f.kind == Kind::Fail || counts_on_a_stop(f));
    let failing: Vec<usize> = (0..findings.len()).filter(|&i| fails(&findings[i])).collect();
    let mut out = Vec::new();
    if failing.is_empty() || case.solution.wheels.is_none() || !case.readings.conflicts.is_empty() {
        return out;
    }
    let x = case.x();
    let base = margins(&x, case.readings.off, &case.solution.results);
    let pm = base.iter().map(|m| m.pm(case.uncertainties)).collect();
    let search = Search { case, x, pm, base, raise: OnceCell::new() };
    let mut done: Vec<Tried> = Vec::new();
    let mut first = true;
    for i in failing {
        let mut families = search.families(&findings[i]);
        if findings[i].kind == Kind::Close {
            families.retain(|f| matches!(f, Family::Stop(_)));
        }
        let name = findings[i].name;
        let mut cures = Vec::new();
        for &family in &families {
            let at = done.iter().position(|d| d.0 == family).unwrap_or_else(|| {
                done.push((family, search.cure(family, None)));
                done.len() - 1
            });
            if let Some((sets, outcome)) = &done[at].1 {
                cures.extend(search.told(family, sets, outcome, &findings[i]));
            }
        }
        // Turned end for end is what to do, whatever else fails.
        if cures.is_empty() && (first || name == "direction") {
            for &family in &families {
                if let Some((sets, outcome)) = search.cure(family, Some(name)) {
                    cures.extend(search.told(family, &sets, &outcome, &findings[i]));
                    break;
                }
            }
        }
        if cures.is_empty() && families.contains(&Family::Raise) {
            let unsure = search.raised_unsure();
            cures.extend(unsure.and_then(|(sets, outcome)| search.told(Family::Raise, &sets, &outcome, &findings[i])));
        }
        // Said once: what cures the first may cure the others with it.
        let asked = first && !families.is_empty() && findings[i].kind == Kind::Fail;
        first &= name == "direction";
        out.push((i, asked, cures));
    }
    out
}

/// What stood there, then the cures as alternatives.
fn sentence(own: &Text, cures: &[Cure], asked: bool) -> Text {
    let all = cures.iter().map(|c| c.text.clone()).reduce(|all, next| Text::fill("{}; or {}", &[&all, &next]));
    let said = match all {
        Some(all) => Text { mm: wording::capital(&all.mm) + ".", inch: wording::capital(&all.inch) + "." },
        None if asked && own.mm.is_empty() => Text::same("No single change that was tried cures it."),
        None => Text::default(),
    };
    match (own.mm.is_empty(), said.mm.is_empty()) {
        (true, _) => said,
        (_, true) => own.clone(),
        _ => Text::fill("{} {}", &[own, &said]),
    }
}

/// The demand that a finding speaks of, if it speaks of one.
fn demand_of(finding: &Finding) -> Option<&'static Demand> {
    DEMANDS.iter().find(|d| d.finding == finding.name)
}

impl Search<'_> {
    /// The changes worth trying for a finding.
    fn families(&self, finding: &Finding) -> Vec<Family> {
        // A rack at its best line gains nothing from another one in the same room.
        let lines = match self.case.line {
            Line::Typed => [Family::Line(1), Family::Line(-1)],
            _ => [Family::Room(1), Family::Room(-1)],
        };
        let lines = &lines[..];
        let ends = self.case.solution.ends.each(|e| e.map(|k| ENDS[k]));
        let stop = self.stops();
        let mut out = Vec::new();
        use DemandId::*;
        // What a finding without a demand speaks of nothing cures but, where it goes the wrong way, turning the rack.
        let Some(demand) = demand_of(finding) else {
            out.extend((finding.name == "direction").then_some(Family::Turned));
            return out;
        };
        match demand.id {
            Lock => {
                // Rods that toe the wheels take away lock on one side.
                if self.x.get(Field::RodLength).is_some() {
                    out.push(Family::Rods);
                }
                if ends.contains(&Some(End::Stop)) {
                    out.push(Family::StopOut);
                }
                if ends.contains(&Some(End::Rack)) {
                    out.push(Family::Travel);
                }
                if ends.iter().any(|e| matches!(e, Some(End::OuterJoint(_)))) {
                    out.extend([Family::Height, Family::Raise]);
                }
                out.extend_from_slice(lines);
                out.extend([Family::Arms(-1), Family::Arms(1), Family::Accept]);
            }
            Reserve | Transmission | TransmissionBumps | InnerJoint | InnerJointBumps | OuterJoint | OuterJointBumps => {
                // Of all heights at which the joint goes far enough, few may keep the toe.
                if matches!(demand.id, OuterJoint | OuterJointBumps) {
                    out.extend([Family::Height, Family::Raise]);
                }
                out.extend_from_slice(lines);
                out.extend(stop);
                out.extend([Family::Arms(1), Family::Arms(-1)]);
            }
            TyreRoom => out.extend(stop),
            RodShortest | RodLongest | HousingRoom => out.extend_from_slice(lines),
            Toe => out.push(Family::Rods),
            CircleMax | CircleEdgeMax | WallToWallMax => {
                out.push(Family::Travel);
                out.extend_from_slice(lines);
                out.push(Family::Arms(-1));
            }
            BumpSteer => {
                out.push(Family::Raise);
                out.extend_from_slice(lines);
            }
            Opposed => {}
            RatioMin | RatioMax | TurnsMin | TurnsMax | AckermannMin | AckermannMax => {
                out.extend_from_slice(lines);
                out.extend([Family::Arms(-1), Family::Arms(1)]);
            }
        }
        out
    }

    /// The ways in which a stop might help: those on which something that a stop cures fails.
    fn stops(&self) -> Option<Family> {
        let direction = self.case.solution.direction?;
        let mut ways = [false; 2];
        for (m, _) in self.base.iter().zip(&self.pm).filter(|(m, pm)| m.margin < **pm) {
            match m.finding() {
                // Side 0 is the rack going left.
                "tyre_room" => ways = [true; 2],
                "reserve" | "inner_joint" | "inner_joint_bumps" | "outer_joint" | "outer_joint_bumps" => ways[1 - m.side] = true,
                "transmission" | "transmission_bumps" => ways[usize::from((m.side == 0) == (direction > 0.0))] = true,
                _ => {}
            }
        }
        (ways != [false; 2]).then_some(Family::Stop(ways))
    }

    /// The hardware's end that way, mm.
    fn hardware(&self, way: usize) -> Option<f64> {
        crate::linkage::travel::hardware(&self.case.solution.distances[way])
    }

    /// The changes of a family at the amount `t`, in steps of [`Search::amounts`]; `None` past its bounds.
    fn sets(&self, family: Family, t: f64) -> Option<Vec<Set>> {
        let x = &self.x;
        match family {
            Family::Line(way) => {
                let [from, to] = room(x);
                let at = x.get(Field::RackLine)? + f64::from(way) * t;
                // A whole millimetre, as a tape sets it.
                let at = if way > 0 { at.ceil().max(from.ceil()) } else { at.floor().min(to.floor()) };
                (at >= from && at <= to).then(|| vec![(Field::RackLine, Some(at))])
            }
            Family::Room(way) => {
                let end = room(x)[usize::from(way > 0)];
                let field = [Field::RackLineFrom, Field::RackLineTo].into_iter().find(|f| x.get(*f) == Some(end))?;
                let at = if way > 0 { (end + t).ceil() } else { (end - t).floor() };
                // To see whether it helps the rack is put at the new end.
                (at.abs() <= WITHIN_REASON).then(|| vec![(field, Some(at)), (Field::RackLine, Some(at))])
            }
            Family::Travel => {
                let travel = (rack_numbers(x)[1].ok()? + t).ceil();
                let c = rack_numbers(x)[0].ok();
                let mut sets = vec![(Field::Travel, Some(travel))];
                if x.get(Field::Turns).is_some() {
                    sets.push((Field::Turns, None));
                    if x.get(Field::TravelPerTurn).is_none() && x.get(Field::TravelTwoTurns).is_none() {
                        sets.push((Field::TravelPerTurn, c));
                    }
                }
                (travel <= Field::Travel.spec().scale.range.1).then_some(sets)
            }
            Family::StopOut => {
                let stops = [Field::StopRight, Field::StopLeft].into_iter().filter_map(|f| Some((f, x.get(f)?)));
                let half = rack_numbers(x)[1].ok()? / 2.0;
                let sets: Vec<Set> = stops.map(|(f, at)| (f, Some((at + t).ceil()))).collect();
                sets.iter().all(|s| s.1.is_some_and(|v| v <= half)).then_some(sets)
            }
            Family::Stop(ways) => {
                let each = [0, 1].into_iter().filter(|&w| ways[w]);
                let reach = each.clone().filter_map(|w| self.hardware(w)).fold(f64::INFINITY, f64::min);
                let at = (reach - t).floor();
                let field = |w: usize| if w == 1 { Field::StopLeft } else { Field::StopRight };
                (at.is_finite() && at >= 5.0).then(|| each.map(|w| (field(w), Some(at))).collect())
            }
            Family::Arms(way) => {
                let length = arms(x).ok()?[0].length();
                other_arms(x, (length + f64::from(way) * t).max(0.0) / length, *self.case.line == Line::Typed)
            }
            Family::Height => {
                let height = x.get(Field::Height).filter(|h| *h != 0.0)?;
                let size = (height.abs() - t).floor();
                (size >= 0.0).then(|| vec![(Field::Height, Some(size * height.signum()))])
            }
            Family::Raise => {
                let (now, by) = (x.get(Field::Height)?, self.raise()?);
                // A whole millimetre, else to half a one, else as a tape in inches reads it.
                let at = match t {
                    0.0 => (now + by).round(),
                    1.0 => (2.0 * (now + by)).round() / 2.0,
                    2.0 => as_read_in_inches(now + by),
                    // Else a whole one near by: what is best for the toe may be too much for something else.
                    _ => (now + by).round() + ((t - 1.0) / 2.0).floor() * if t % 2.0 == 0.0 { -1.0 } else { 1.0 },
                };
                (at.abs() <= Field::Height.spec().scale.range.1 && at != now).then(|| vec![(Field::Height, Some(at))])
            }
            Family::Rods => (t == 0.0 && x.get(Field::RodLength).is_some()).then(|| vec![(Field::RodLength, None)]),
            Family::Accept => {
                let get = |side| self.case.solution.results.get(ResultId::LockInner, side).ok().map(|v| v - self.lock_pm(side));
                let least = get(0)?.min(get(1)?);
                let floor = ((least - t) * 2.0 - 0.1).floor() / 2.0;
                (floor >= 15.0 && self.circle()?.0 <= limit(x, Field::UsualCircleMax).unwrap_or(f64::INFINITY))
                    .then(|| vec![(Field::LockWanted, Some(floor.to_radians()))])
            }
            Family::Turned => (t == 0.0).then(|| vec![(Field::BarMoves, x.get(Field::BarMoves).map(|b| -b))]),
        }
    }

    /// How far up the rack would have to go for the wheels to keep their toe best, mm: half-way between what each wants.
    fn raise(&self) -> Option<f64> {
        *self.raise.get_or_init(|| {
            let bump = self.case.solution.bump.as_deref()?;
            let up = |side: usize| bump.corners[side].best_height([-bump.band, bump.band]).ok().flatten().map(|place| place.shift.up);
            Some((up(0)? + up(1)?) / 2.0)
        })
    }

    /// The rack where the wheels keep their toe best, where nothing else is wrong there and only the ± leaves that open.
    fn raised_unsure(&self) -> Option<(Vec<Set>, Outcome)> {
        (0..3).filter_map(|t| self.sets(Family::Raise, f64::from(t))).find_map(|sets| {
            let outcome = self.outcome(&sets, *self.case.line == Line::Typed)?;
            let open = outcome.still == ["bump_steer"] && outcome.margins.iter().all(|m| m.0.margin >= 0.0);
            open.then_some((sets, outcome))
        })
    }

    fn lock_pm(&self, side: usize) -> f64 {
        self.case.uncertainties.pm[Results::index(ResultId::LockInner, side)].unwrap_or(0.0)
    }

    /// The larger of the two circles at the tyre's centre, mm, with its ±.
    fn circle(&self) -> Option<(f64, f64)> {
        larger_circle(&self.case.solution.results, &self.case.uncertainties.pm)
    }

    /// Amounts at which a family is tried, mm or degrees: first the step, then how far.
    fn amounts(&self, family: Family) -> (f64, f64) {
        match family {
            Family::Line(_) | Family::Room(_) => (4.0, 300.0),
            Family::Travel => (6.0, 160.0),
            Family::StopOut => (3.0, 120.0),
            Family::Stop(_) => (3.0, 200.0),
            Family::Arms(_) => (3.0, 90.0),
            Family::Height => (5.0, 300.0),
            Family::Accept => (0.5, 2.0),
            Family::Rods | Family::Turned | Family::Raise => (1.0, 0.0),
        }
    }

    /// The smallest margin beyond its ± (as the ± are now, or as `pm` says), over everything or over one finding.
    fn least(&self, sets: &[Set], finding: Option<&str>, pm: &[(Margin, f64)]) -> f64 {
        let readings = changed(self.case.readings, sets);
        let x = readings.inputs();
        let results = solve(&x, [None; 2]).results;
        let known = |m: &Margin| {
            let same = |k: &Margin| k.demand == m.demand && k.side == m.side;
            let now = pm.iter().find(|p| same(&p.0)).map(|p| p.1);
            now.or_else(|| self.base.iter().position(same).map(|i| self.pm[i])).unwrap_or(0.0)
        };
        let all = margins(&x, readings.off, &results);
        let each = all.iter().filter(|m| finding.is_none_or(|f| m.finding() == f)).map(|m| m.margin - known(m));
        each.fold(f64::INFINITY, f64::min)
    }

    /// The smallest change of a family with which everything passes, or with which one finding does.
    fn cure(&self, family: Family, finding: Option<&str>) -> Option<(Vec<Set>, Outcome)> {
        let (step, far) = self.amounts(family);
        let mut pm: Vec<(Margin, f64)> = Vec::new();
        let mut from = if far == 0.0 { 0.0 } else { step };
        // The ± is that of the rack as it is; where the changed rack's own is larger, the search goes on with that.
        for _ in 0..3 {
            let mut t = from;
            let found = loop {
                let sets = if family == Family::Raise { Vec::new() } else { self.sets(family, t)? };
                if matches!(family, Family::Turned | Family::Raise) || self.least(&sets, finding, &pm) >= 0.0 {
                    break sets;
                }
                t += step;
                if t > far {
                    return None;
                }
            };
            // Back towards the last that did not do, then a millimetre on, for the rounding of the other unit.
            let (mut good, mut bad) = (t, t - step);
            let mut candidates = Vec::new();
            if family == Family::Raise {
                let near = (3..=2 * NEAR_BEST).filter_map(|t| self.sets(family, f64::from(t)));
                let near = near.filter(|s| self.least(s, finding, &pm) >= 0.0).take(3);
                candidates.extend((0..3).filter_map(|t| self.sets(family, f64::from(t))).chain(near));
            } else if !matches!(family, Family::Turned | Family::Rods | Family::Accept) {
                for _ in 0..3 {
                    let middle = (good + bad) / 2.0;
                    match self.sets(family, middle) {
                        Some(s) if self.least(&s, finding, &pm) >= 0.0 => good = middle,
                        _ => bad = middle,
                    }
                }
                // A line is written to the nearest fraction of an inch, which may be the nearer side: more of them are tried.
                let further: &[f64] = if matches!(family, Family::Line(_) | Family::Room(_)) { &[1.0, 2.0, 3.0, 0.0] } else { &[1.0, 0.0] };
                let sets = further.iter().filter_map(|f| self.sets(family, good + f));
                candidates.extend(sets.filter(|s| self.least(s, finding, &pm) >= 0.0));
                if !matches!(family, Family::Line(_) | Family::Room(_)) {
                    candidates.truncate(1);
                }
            }
            if candidates.is_empty() && family != Family::Raise {
                candidates.push(found);
            }
            let mut short = None;
            for sets in candidates {
                match self.proved(family, &sets, finding)? {
                    Ok(cure) if self.holds_in_inches(family, &sets, finding) => return Some(cure),
                    Ok((_, outcome)) | Err(outcome) => short = short.or(Some(outcome)),
                }
            }
            pm = short?.margins;
            from = good + step / 2.0;
        }
        None
    }

    /// What is left of a change, with how it comes out, where it cures; else how it comes out.
    fn proved(&self, family: Family, sets: &[Set], finding: Option<&str>) -> Option<Result<(Vec<Set>, Outcome), Outcome>> {
        // What cures one thing and breaks another is no cure.
        let failed = |name: &&str| self.base.iter().zip(&self.pm).any(|(m, pm)| m.finding() == *name && m.margin < *pm);
        let passes = |outcome: &Outcome| match finding {
            None => outcome.still.is_empty(),
            Some(f) => !outcome.still.contains(&f) && outcome.still.iter().all(|name| *name == "direction" || failed(name)),
        };
        // Of more room the rack finds its own best.
        let mut own = sets.to_vec();
        if matches!(family, Family::Room(_)) {
            own.retain(|s| s.0 != Field::RackLine);
        }
        let mut outcome = self.outcome(sets, true)?;
        if passes(&outcome) && *self.case.line != Line::Typed {
            outcome = self.outcome(&own, false)?;
        }
        Some(if passes(&outcome) { Ok((own, outcome)) } else { Err(outcome) })
    }

    /// Whether a line that cures does so too as it is written in inches.
    fn holds_in_inches(&self, family: Family, sets: &[Set], finding: Option<&str>) -> bool {
        if !matches!(family, Family::Line(_) | Family::Room(_) | Family::Raise) {
            return true;
        }
        let sets: Vec<Set> = sets.iter().map(|&(field, v)| (field, v.map(as_read_in_inches))).collect();
        matches!(self.proved(family, &sets, finding), Some(Ok(_)))
    }

    /// The changed rack, solved and judged. `None` where the changed readings contradict each other. A rack whose line was found finds it
    /// again, or, `held`, stays at the one it had: for a search, since the best line is no worse.
    fn outcome(&self, sets: &[Set], held: bool) -> Option<Outcome> {
        let mut readings = changed(self.case.readings, sets);
        if !held && readings.items[Field::RackLine as usize].is_some_and(|i| i.origin == Origin::Found) {
            readings.items[Field::RackLine as usize] = None;
        }
        let readings = fit(readings).readings;
        if !readings.conflicts.is_empty() {
            return None;
        }
        let x = readings.inputs();
        let solution = solve(&x, [None; 2]);
        let uncertainties = uncertainties(&readings, &solution);
        let margins: Vec<(Margin, f64)> =
            margins(&x, readings.off, &solution.results).into_iter().map(|m| (m, m.pm(&uncertainties))).collect();
        let mut still = Vec::new();
        for (m, pm) in &margins {
            if (m.margin < 0.0 || m.margin.abs() < *pm) && !still.contains(&m.finding()) {
                still.push(m.finding());
            }
        }
        let rate = |side| Some((x.get(Field::BarMoves)? * solution.results.get(ResultId::SteerRate, side).ok()?, side));
        for (margin, side) in [rate(0), rate(1)].into_iter().flatten() {
            let pm = uncertainties.pm[Results::index(ResultId::SteerRate, side)].unwrap_or(0.0);
            if (margin < 0.0 || margin.abs() < pm) && !still.contains(&"direction") {
                still.push("direction");
            }
        }
        Some(Outcome { line: x.get(Field::RackLine), still, margins, results: solution.results, pm: uncertainties.pm })
    }

    /// The cure in words, and as changes of the plan.
    fn told(&self, family: Family, sets: &[Set], outcome: &Outcome, finding: &Finding) -> Option<Cure> {
        let what = self.what(family, sets, outcome)?;
        let effect = demand_of(finding).and_then(|d| {
            use DemandId::*;
            let worst = outcome.margins.iter().filter(|m| m.0.finding() == finding.name).map(|m| m.0);
            let worst = worst.reduce(|a, b| if b.margin < a.margin { b } else { a })?;
            let value = outcome.results.get(worst.demand().result, worst.side).ok()?;
            let shown = as_read(worst.demand().result, value, outcome.pm[Results::index(worst.demand().result, worst.side)].unwrap_or(0.0));
            Some(match d.id {
                Lock => Text::fill("{} at the inner wheel", &[&shown]),
                Transmission | TransmissionBumps => Text::fill("{} between rod and arm", &[&shown]),
                Reserve => Text::fill("{} kept before toggle or fold-back", &[&shown]),
                InnerJoint | OuterJoint | InnerJointBumps | OuterJointBumps => Text::fill("{} to spare at the joint", &[&shown]),
                TyreRoom => Text::fill("{} free beside the tyre", &[&shown]),
                RodShortest | RodLongest | HousingRoom => Text::fill("{} to spare", &[&shown]),
                Toe => return None,
                BumpSteer => {
                    let was = self.case.shown(d.result, worst.side);
                    let mut text = Text::fill("largest toe change over bumps {} in place of {}", &[&shown, &was]);
                    for (id, say) in
                        [(ResultId::AckermannAngle, "{}, Ackermann at lock then {}"), (ResultId::Reserve, "{}, {} kept before toggle")]
                    {
                        let least = [0, 1].into_iter().filter_map(|side| Some((outcome.results.get(id, side).ok()?, side)));
                        if let Some((value, side)) = least.reduce(|a, b| if b.0 < a.0 { b } else { a }) {
                            text = Text::fill(say, &[&text, &figure(id.row().unit, value, outcome.pm[Results::index(id, side)])]);
                        }
                    }
                    text
                }
                Opposed | RatioMin | RatioMax | TurnsMin | TurnsMax | AckermannMin | AckermannMax | CircleMax | CircleEdgeMax
                | WallToWallMax => Text::fill("{}: {}", &[&wording::small(d.result.label()), &shown]),
            })
        });
        let mut text = match effect.filter(|_| !matches!(family, Family::Accept | Family::Turned)) {
            Some(effect) => Text::fill("{}: {}", &[&what, &effect]),
            None => what,
        };
        // A line that was found is found anew, and may be another one.
        if let Line::Found(_) = self.case.line
            && let Some(at) = outcome.line
            && !matches!(family, Family::Turned)
            && !(matches!(family, Family::Room(_)) && sets.iter().any(|s| s.1 == Some(at)))
        {
            text = Text::fill("{}, the rack line then {}", &[&text, &wording::line(at)]);
        }
        if outcome.margins.iter().all(|m| m.0.margin >= 0.0) && outcome.still == ["bump_steer"] {
            text = Text::fill(
                "{}: by the readings that does, by their ± it may not; cycle the wheel through before anything is welded",
                &[&text],
            );
        } else if !outcome.still.is_empty() {
            let rest: Vec<&str> = outcome.still.iter().map(|f| about(f)).collect();
            text = Text::fill("{} (then still: {})", &[&text, &wording::list(&rest)]);
        }
        Some(Cure { change: in_a_plan(sets), still: outcome.still.clone(), text, set: self.setting(family, sets) })
    }

    /// The rack set elsewhere, where that is all that changes.
    fn setting(&self, family: Family, sets: &[Set]) -> Option<Setting> {
        let ([far, near], field) = match family {
            Family::Raise => (["high", "low"], Field::Height),
            Family::Line(_) => (["far forward", "far back"], Field::RackLine),
            _ => return None,
        };
        let [(_, Some(to))] = sets else { return None };
        let (now, (plus, minus)) = (self.x.get(field)?, field.spec().scale.sides?);
        let by = wording::bumps::mm(to - now);
        let (off, then) = match (to < &now, family) {
            (true, Family::Raise) => (far, "lower"),
            (false, Family::Raise) => (near, "higher"),
            (true, _) => (far, "further back"),
            (false, _) => (near, "further forward"),
        };
        Some(Setting {
            typed: Text::fill("{} {}", &[&wording::bumps::mm(*to), &if *to < 0.0 { minus } else { plus }]),
            button: Text::fill("Set it {} {}", &[&by, &then]),
            off: Text::fill("{} too {}", &[&by, &off]),
            place: Text::fill("{} {}", &[&by, &then]),
        })
    }

    /// What to do.
    fn what(&self, family: Family, sets: &[Set], outcome: &Outcome) -> Option<Text> {
        let to = |field: Field| sets.iter().find(|s| s.0 == field).and_then(|s| s.1);
        let mm = |v: f64| figure(ResultUnit::Mm, v, None);
        Some(match family {
            Family::Line(way) => {
                let by = (to(Field::RackLine)? - self.x.get(Field::RackLine)?).abs();
                Text::fill(
                    "move the rack line {} {}, to {}",
                    &[&mm(by), &if way > 0 { "forward" } else { "rearward" }, &wording::line(to(Field::RackLine)?)],
                )
            }
            Family::Room(way) => {
                let at = to(Field::RackLineFrom).or(to(Field::RackLineTo))?;
                let way = if way > 0 { "forward" } else { "rearward" };
                Text::fill("make room for the rack further {}, as far as {}", &[&way, &wording::line(at)])
            }
            Family::Travel => Text::fill("take a rack with {} of travel, end to end", &[&at_least(to(Field::Travel)?)]),
            Family::StopOut => {
                let at = to(Field::StopLeft).or(to(Field::StopRight))?;
                Text::fill("move the stop out to {} from the middle", &[&at_least(at)])
            }
            Family::Stop(ways) => {
                let at = at_most(to(Field::StopLeft).or(to(Field::StopRight))?);
                let way = if ways == [true; 2] {
                    "each way"
                } else if ways[1] {
                    "rack to the left"
                } else {
                    "rack to the right"
                };
                Text::fill("make a stop outside the rack, no further than {} from the middle, {}", &[&at, &way])
            }
            Family::Arms(way) => {
                let new = crate::linkage::arm::Arm { ahead: to(Field::ArmForeAft)?, inboard: to(Field::ArmInboard)? };
                let by = (new.length() - arms(&self.x).ok()?[0].length()).abs();
                let word = if way < 0 { "shorter" } else { "longer" };
                let anew = counted_anew(sets);
                Text::fill("fit other steering arms, {} {} at the same angle (never heat or bend these){}", &[&mm(by), &word, &anew])
            }
            Family::Height => {
                Text::fill("set the inner joints no further than {} from the tie-rod ends’ height", &[&at_most(to(Field::Height)?.abs())])
            }
            Family::Raise => {
                let (now, at) = (self.x.get(Field::Height)?, to(Field::Height)?);
                let way = if at > now { "raise" } else { "lower" };
                let (side, at) = if at < 0.0 { ("below", -at) } else { ("above", at) };
                let place = Text::fill("{} {} the tie-rod ends", &[&mm(at), &side]);
                let place = if at == 0.0 { Text::same("level with the tie-rod ends") } else { place };
                Text::fill("{} the rack by {}, its inner joints then {}", &[&way, &mm((to(Field::Height)? - now).abs()), &place])
            }
            Family::Rods => {
                if *self.case.line != Line::Typed {
                    return Some(Text::same("leave the rods to be made to fit, and the length of these out"));
                }
                let rod = |side| self.case.solution.results.get(ResultId::RodLengthStraight, side).map(mm).unwrap_or_default();
                match rod(0) == rod(1) {
                    true => Text::fill("use rods of {}: they stand the wheels straight", &[&rod(0)]),
                    false => Text::fill("use rods of {} left and {} right: they stand the wheels straight", &[&rod(0), &rod(1)]),
                }
            }
            Family::Accept => {
                let circle = larger_circle(&outcome.results, &outcome.pm).map(|(c, pm)| figure(ResultUnit::Circle, c, Some(pm)))?;
                let wanted = degrees(to(Field::LockWanted)?.to_degrees());
                Text::fill("accept {} at the inner wheel, a circle of {} at the tyre’s centre", &[&wanted, &circle])
            }
            Family::Turned => Text::same(
                "turned end for end it steers the right way, with the shaft on the other side of the car; turning it over about its own axis changes nothing",
            ),
        })
    }
}
