//! The changes that are tried: what each sets to what, and how far it is taken.

use crate::catalogue::field::{Field, Section};
use crate::catalogue::result::{ResultId, Results, VALUE_COUNT};
use crate::judgement::case::Case;
use crate::judgement::demand::{Margin, limit};
use crate::judgement::finding::Change;
use crate::judgement::rack_line::{Line, WITHIN_REASON, room};
use crate::linkage::arm::{arms, from_points};
use crate::linkage::steering::rack_numbers;
use crate::math::each::Each;
use crate::measurement::figure::{Text, as_read_in_inches};
use crate::measurement::unit::default_pm;
use crate::plan::inputs::{Inputs, Item, Origin, Readings, kernel};
use crate::wording;
use std::cell::OnceCell;

/// A reading and what it becomes, in the kernel's units.
pub(super) type Set = (Field, Option<f64>);

/// What is changed, by how much.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Family {
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
pub(super) fn larger_circle(results: &Results, pm: &[Option<f64>; VALUE_COUNT]) -> Option<(f64, f64)> {
    let get = |side| Some((results.get(ResultId::CircleCentre, side).ok()?, side));
    let (value, side) = [get(0)?, get(1)?].into_iter().fold((0.0, 0), |a, b| if b.0 > a.0 { b } else { a });
    Some((value, pm[Results::index(ResultId::CircleCentre, side)].unwrap_or(0.0)))
}

/// The search for one rack.
pub(super) struct Search<'a> {
    pub(super) case: &'a Case<'a>,
    pub(super) x: Inputs,
    /// ± of every margin as the rack is.
    pub(super) pm: Vec<f64>,
    pub(super) base: Vec<Margin>,
    pub(super) raise: OnceCell<Option<f64>>,
}

/// Whole millimetres either way of the height that is best for the toe at which another is tried.
pub(super) const NEAR_BEST: u8 = 20;

/// How the changed rack comes out.
#[derive(Clone)]
pub(super) struct Outcome {
    /// The rack line at which it stands.
    pub(super) line: Option<f64>,
    pub(super) still: Vec<&'static str>,
    pub(super) margins: Vec<(Margin, f64)>,
    pub(super) results: Results,
    pub(super) pm: [Option<f64>; VALUE_COUNT],
}

impl Search<'_> {
    /// The hardware's end that way, mm.
    pub(super) fn hardware(&self, way: usize) -> Option<f64> {
        crate::linkage::travel::hardware(&self.case.solution.distances[way])
    }

    /// The changes of a family at the amount `t`, in steps of [`Search::amounts`]; `None` past its bounds.
    pub(super) fn sets(&self, family: Family, t: f64) -> Option<Vec<Set>> {
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
    pub(super) fn raise(&self) -> Option<f64> {
        *self.raise.get_or_init(|| {
            let bump = self.case.solution.bump.as_deref()?;
            let up = |side: usize| bump.corners[side].best_height([-bump.band, bump.band]).ok().flatten().map(|place| place.shift.up);
            Some((up(0)? + up(1)?) / 2.0)
        })
    }

    pub(super) fn lock_pm(&self, side: usize) -> f64 {
        self.case.uncertainties.pm[Results::index(ResultId::LockInner, side)].unwrap_or(0.0)
    }

    /// The larger of the two circles at the tyre's centre, mm, with its ±.
    pub(super) fn circle(&self) -> Option<(f64, f64)> {
        larger_circle(&self.case.solution.results, &self.case.uncertainties.pm)
    }

    /// Amounts at which a family is tried, mm or degrees: first the step, then how far.
    pub(super) fn amounts(&self, family: Family) -> (f64, f64) {
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
}
