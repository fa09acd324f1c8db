//! "Do the arms I have suit this rack?": every demand with its value, limit, margin and ±.

use crate::assumption;
use crate::demand::limit;
use crate::fields::{Field, Quantity};
use crate::fitting::Line;
use crate::readings::{Conflict, Inputs, Origin, Readings};
use crate::remedy::Cure;
use crate::results::{FieldSet, Gap, Name, RESULTS, ResultUnit, Sheet, Value, all};
use crate::steering::Solution;
use crate::text::{Text, Words, at_most, degrees, ends, figure, length};
use crate::uncertainty::Doubt;
use crate::words;
use serde::Serialize;

mod parts;
mod travel;

/// How a demand came out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Kind {
    /// Met, by more than the ±.
    Pass,
    /// The margin is smaller than its ±.
    Close,
    /// Not met, by more than the ±.
    Fail,
    /// Something it needs is missing, or contradicts something else.
    Missing,
    /// Unusual: no judgement, a figure to look at again.
    Notice,
}

/// One demand on the rack, judged.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Finding {
    /// Its name outside the program.
    pub name: &'static str,
    /// Which side it speaks of: "" for none or for both alike.
    pub side: &'static str,
    /// How it came out.
    pub kind: Kind,
    /// Whether the verdict counts it.
    pub judged: bool,
    /// The value, in the unit of `unit`.
    pub value: Option<f64>,
    /// The limit.
    pub limit: Option<f64>,
    /// By how much the value keeps the limit; negative when it does not.
    pub margin: Option<f64>,
    /// The ± of the margin, 95 %.
    pub pm: Option<f64>,
    /// Unit of the four.
    pub unit: &'static str,
    /// A few words for the head of a column.
    pub head: Text,
    /// The finding, a short sentence.
    pub title: Text,
    /// What it rests on.
    pub reason: Text,
    /// What to change; empty where nothing needs changing.
    pub remedy: Text,
    /// The changes that the remedy names, each solved with the change applied.
    pub cures: Vec<Cure>,
    /// Where the limit comes from.
    pub origin: &'static str,
}

/// One rack on the car, solved, with everything a judgement needs.
#[derive(Debug, Clone, Copy)]
pub struct Case<'a> {
    /// What is known.
    pub readings: &'a Readings,
    /// What follows from it.
    pub solution: &'a Solution,
    /// How sure it is.
    pub doubt: &'a Doubt,
    /// Where its rack line comes from.
    pub line: &'a Line,
}

const COMMON: &str = "common practice, no source; adjustable";
const OWN: &str = "set by you";
/// Origin of a demand that was turned off.
pub(crate) const OFF: &str = "turned off by you";
const DONOR: &str = "typed for this rack";
const TURN: [&str; 3] = ["to the left", "to the right", "each way"];
const LOCK: [&str; 3] = ["at lock left", "at lock right", "at both locks"];
const BAR: [&str; 3] = ["bar to the left", "bar to the right", "each way"];

/// What a finding says.
#[derive(Default)]
struct Say {
    head: Text,
    title: Text,
    reason: Text,
    remedy: Text,
}

/// What a finding says; `parts` fill its title.
fn say(head: &str, title: &str, parts: &[&dyn Words], reason: Text, remedy: Text) -> Say {
    Say { head: one(head), title: Text::fill(title, parts), reason, remedy }
}

impl Case<'_> {
    /// What it is computed from.
    pub fn x(&self) -> Inputs {
        self.readings.inputs()
    }

    pub(crate) fn get(&self, name: Name, side: usize) -> Value {
        self.solution.sheet.get(name, side)
    }

    fn pm(&self, name: Name, side: usize) -> f64 {
        self.doubt.pm[Sheet::place(name, side)].unwrap_or(0.0)
    }

    fn limit(&self, field: Field) -> Option<f64> {
        limit(&self.x(), field)
    }

    /// A result as read: with its ±, or by both ends where it cannot be negative and the ± reaches past nought.
    pub fn shown(&self, name: Name, side: usize) -> Text {
        let Ok(value) = self.get(name, side) else { return Text::default() };
        let (row, pm) = (&RESULTS[name as usize], self.pm(name, side));
        if row.never_negative() && pm > value && value >= 0.0 {
            let most = match name {
                Name::TransmissionInner | Name::TransmissionOuter | Name::TransmissionLeast | Name::RodAngle | Name::InnerJoint => 90.0,
                _ => f64::INFINITY,
            };
            return ends(row.unit, [0.0, (value + pm).min(most)]);
        }
        figure(row.unit, value, Some(pm))
    }

    fn origin(&self, field: Field) -> &'static str {
        match self.readings.items[field as usize] {
            Some(i) if i.origin == Origin::Default => COMMON,
            Some(i) if i.origin == Origin::Off => OFF,
            _ => OWN,
        }
    }

    /// The two sides of a demand, or one for both where they are alike: (side for values, place in the words).
    fn sides(&self, name: Name) -> Vec<(usize, usize)> {
        let (a, b) = (self.get(name, 0), self.get(name, 1));
        let alike = match (a, b) {
            (Ok(a), Ok(b)) => (a - b).abs() < 1e-9,
            _ => a == b,
        };
        if alike && (self.pm(name, 0) - self.pm(name, 1)).abs() < 1e-6 { vec![(0, 2)] } else { vec![(0, 0), (1, 1)] }
    }
}

fn judge(margin: f64, pm: f64) -> Kind {
    if margin.abs() < pm {
        Kind::Close
    } else if margin < 0.0 {
        Kind::Fail
    } else {
        Kind::Pass
    }
}

fn words_of(side: usize, table: &[&'static str; 3]) -> &'static str {
    if side == 2 { "" } else { table[side] }
}

fn missing(name: &'static str, side: &'static str, title: &str, gap: Gap, readings: &Readings, origin: &'static str) -> Finding {
    let kind = if matches!(gap, Gap::Missing(_)) { Kind::Missing } else { Kind::Fail };
    Finding {
        name,
        side,
        kind,
        judged: kind == Kind::Fail,
        value: None,
        limit: None,
        margin: None,
        pm: None,
        unit: "",
        head: if kind == Kind::Fail { Text::same(words::gap(gap, readings)) } else { one(title) },
        title: Text::fill("{}: {}", &[&title, &words::gap(gap, readings)]),
        reason: Text::default(),
        remedy: Text::default(),
        cures: Vec::new(),
        origin,
    }
}

/// A demand that was turned off: its value stands, nothing is made of it.
fn turned_off(name: &'static str, side: &'static str, title: &str, value: Option<(f64, f64, ResultUnit)>) -> Finding {
    let shown = value.map_or(Text::default(), |(v, pm, unit)| figure(unit, v, Some(pm)));
    Finding {
        name,
        side,
        kind: Kind::Missing,
        judged: false,
        value: value.map(|v| v.0),
        limit: None,
        margin: None,
        pm: value.map(|v| v.1),
        unit: value.map_or("", |v| words::unit(v.2)),
        head: one("not judged"),
        title: Text::fill(if value.is_some() { "{}: {}" } else { "{}" }, &[&title, &shown]),
        reason: one("Not judged: turned off by you."),
        remedy: Text::default(),
        cures: Vec::new(),
        origin: OFF,
    }
}

fn one(s: &str) -> Text {
    Text::same(s)
}

/// Every finding of a rack, in the order in which they weigh, without remedies: [`crate::remedy::add`] puts those in.
pub fn findings(case: &Case) -> Vec<Finding> {
    let mut out: Vec<Finding> = case.readings.conflicts.iter().map(conflict).collect();
    if opposed(case, &mut out) {
        return out;
    }
    out.push(direction(case));
    if let Err(gap @ Gap::Unreachable(_)) = case.get(Name::RodLength, 0) {
        let mut f = missing("linkage", "", "No such linkage", gap, case.readings, DONOR);
        f.remedy = one("Check arms, rack line and inner joints: number, unit and direction.");
        out.push(f);
        return out;
    }
    parts::toe(case, &mut out);
    travel::lock(case, &mut out);
    travel::reserve(case, &mut out);
    travel::joint(case, &mut out, Name::InnerJointMargin, Field::InnerJointLimit);
    travel::joint(case, &mut out, Name::OuterJointMargin, Field::OuterJointLimit);
    parts::transmission(case, &mut out);
    parts::rod(case, &mut out);
    parts::own_limits(case, &mut out);
    out
}

fn conflict(c: &Conflict) -> Finding {
    let (title, reason, remedy) = words::clash(c.clash, c.fields);
    let order = matches!(c.clash, crate::readings::Clash::Limits | crate::readings::Clash::RodRange);
    let unit = match c.fields.iter().next().map(|f| f.spec().quantity) {
        Some(Quantity::Number) => ResultUnit::Ratio,
        Some(Quantity::Turns) => ResultUnit::Turns,
        Some(Quantity::Percent) => ResultUnit::Percent,
        Some(Quantity::Circle) => ResultUnit::Circle,
        _ => ResultUnit::Mm,
    };
    let amount = figure(unit, c.amount, None);
    Finding {
        name: "contradiction",
        side: "",
        kind: Kind::Missing,
        judged: true,
        value: Some(c.amount),
        limit: Some(c.pm),
        margin: Some(c.pm - c.amount),
        pm: None,
        unit: words::unit(unit),
        head: one("readings disagree"),
        title: one(title),
        reason: Text::fill(reason, &[&amount, &figure(unit, c.pm, None)]),
        remedy: one(remedy),
        cures: Vec::new(),
        origin: if order { "the order of the two" } else { "the ± of the readings" },
    }
}

const GEOMETRY: &str = "geometry, not a setting";

/// Whether the wheels steer against each other: then nothing else can be said of a turn. Said only where it is so, or might be.
fn opposed(case: &Case, out: &mut Vec<Finding>) -> bool {
    let Ok(rates) = all([case.get(Name::SteerRate, 0), case.get(Name::SteerRate, 1)]) else { return false };
    let tight = usize::from(rates[1].abs() < rates[0].abs());
    let agree = (rates[0] * rates[1]).signum();
    let (margin, pm) = (agree * rates[tight].abs(), case.pm(Name::SteerRate, tight));
    let kind = judge(margin, pm);
    let wheel = ["left", "right"][tight];
    let rods = case.x().get(Field::RightArmForeAft).is_some();
    let say = match kind {
        Kind::Pass => return false,
        Kind::Close => say(
            "wheels might steer apart",
            "Whether both wheels steer the same way is too close to call",
            &[],
            Text::fill("The {} wheel’s rod runs so near its steering axis that the ± of the readings could reverse that wheel.", &[&wheel]),
            one("Measure that tie-rod end from the steering axis again."),
        ),
        _ => say(
            "wheels steer against each other",
            "The wheels steer against each other",
            &[],
            Text::fill(
                "For a rack to the left the left wheel goes {} and the right wheel {}: no turning of the rack cures that.",
                &[&toward(rates[0]), &toward(rates[1])],
            ),
            one(if rods {
                "Check both arms: do both tie-rod ends lie on the same side of the steering axis, ahead or behind?"
            } else {
                "Check the arms, the rack line and the inner joints: number, unit and direction."
            }),
        ),
    };
    out.push(made("opposed", "", kind, say, Some((rates[tight], 0.0, margin, pm, ResultUnit::DegPerMm)), GEOMETRY));
    kind == Kind::Fail
}

fn toward(rate: f64) -> &'static str {
    if rate > 0.0 { "left" } else { "right" }
}

fn direction(case: &Case) -> Finding {
    let name = "direction";
    let bar = crate::axle::known(case.x().get(Field::BarMoves), Field::BarMoves);
    let (bar, rates) = match all([bar, case.get(Name::SteerRate, 0), case.get(Name::SteerRate, 1)]) {
        Ok([b, l, r]) => (b, [l, r]),
        Err(gap) => {
            let mut f = missing(name, "", "Which way it steers", gap, case.readings, GEOMETRY);
            f.judged = false;
            f.kind = Kind::Missing;
            return f;
        }
    };
    // Each wheel must go the way that the steering wheel goes: the worse of them counts.
    let worse = usize::from(bar * rates[1] < bar * rates[0]);
    let (rate, pm) = (rates[worse], case.pm(Name::SteerRate, worse));
    let arms = if rate > 0.0 { "ahead of" } else { "behind" };
    let margin = bar * rate;
    let kind = judge(margin, pm);
    let (head, title, reason, remedy) = match kind {
        Kind::Pass => (
            "steers the right way",
            "Steers the right way",
            "A left turn moves the rack to the {}, and these arms, {} the steering axis, then steer left.",
            "",
        ),
        Kind::Close => (
            "direction unsure",
            "Which way it steers is too close to call",
            "The rod runs so near the steering axis that the ± of the readings could reverse it.",
            "Measure the tie-rod end from the steering axis again.",
        ),
        _ => (
            "steers backwards",
            "Steers backwards",
            "A left turn moves the rack to the {}; these arms, {} the steering axis, need it to go {}. All other figures here are those of the rack turned end for end.",
            "",
        ),
    };
    let say = say(head, title, &[], Text::fill(reason, &[&toward(bar), &arms, &toward(rate)]), one(remedy));
    made(name, "", kind, say, Some((rate, 0.0, margin, pm, ResultUnit::DegPerMm)), GEOMETRY)
}

/// "Measure … again: it makes up 71 % of the doubt."
fn measure_again(case: &Case, name: Name, side: usize) -> Text {
    let Some((f, share)) = case.doubt.most[Sheet::place(name, side)] else { return Text::default() };
    let known = case.readings.items[f as usize].filter(|item| item.origin != Origin::Found).is_some();
    let (verb, what) = (if known { "Measure again" } else { "Measure" }, words::small(words::field(f)));
    one(&format!("{verb}: {what}; it makes up {:.0} % of the doubt.", 100.0 * share))
}

fn made(
    name: &'static str,
    side: &'static str,
    kind: Kind,
    say: Say,
    numbers: Option<(f64, f64, f64, f64, ResultUnit)>,
    origin: &'static str,
) -> Finding {
    Finding {
        name,
        side,
        kind,
        judged: true,
        value: numbers.map(|n| n.0),
        limit: numbers.map(|n| n.1),
        margin: numbers.map(|n| n.2),
        pm: numbers.map(|n| n.3),
        unit: numbers.map_or("", |n| words::unit(n.4)),
        head: say.head,
        title: say.title,
        reason: say.reason,
        remedy: say.remedy,
        cures: Vec::new(),
        origin,
    }
}

impl Case<'_> {
    /// What a figure that leans on the axes' spacing at the ground (`ground`) or at rod-end height must say, if anything.
    pub fn axis_note(&self, ground: bool) -> Option<&'static str> {
        assumption::taken_over(&self.x(), ground).then_some(match ground {
            true => "axis spacing at tie-rod-end height taken for that at the ground",
            false => "axis spacing at the ground taken for that at tie-rod-end height",
        })
    }

    /// From where the rack line counts, where that is not plain.
    pub fn unlike_note(&self) -> Option<&'static str> {
        let x = self.x();
        let unlike = x.get(Field::RightArmForeAft).is_some_and(|r| x.get(Field::ArmForeAft) != Some(r));
        unlike.then_some("the rack line counts from half-way between the two tie-rod ends, fore and aft")
    }

    /// What a figure of the linkage must say of the steering axes' lean, if anything.
    pub fn lean_note(&self) -> Option<&'static str> {
        match assumption::lean(&self.x()) {
            assumption::Lean::Known => None,
            assumption::Lean::Caster => Some("caster taken as 4.5°, between 2° and 7°"),
            assumption::Lean::Upright => Some("steering axes taken as upright; inclination 6° to 14° and caster 2° to 7° are in the ±"),
        }
    }
}
