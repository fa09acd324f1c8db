//! "Do the arms I have suit this rack?": every demand with its value, limit, margin and ±.

use crate::axle::{arms, axis_spacings};
use crate::fields::Field;
use crate::readings::{Clash, Conflict, Inputs, Origin, Readings, kernel};
use crate::results::{FieldSet, Gap, Name, ResultUnit, Value, all};
use crate::steering::Solution;
use crate::text::{Text, Words, degrees, figure, length};
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
        self.doubt.pm[crate::results::Sheet::place(name, side)].unwrap_or(0.0)
    }

    fn limit(&self, field: Field) -> Option<f64> {
        let value = self.x().get(field)?;
        Some(if kernel(field, 1.0) == 1.0 { value } else { value.to_degrees() })
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
        origin: OFF,
    }
}

fn one(s: &str) -> Text {
    Text::same(s)
}

/// Every finding of a rack, in the order in which they weigh.
pub fn findings(case: &Case) -> Vec<Finding> {
    let mut out: Vec<Finding> = case.readings.conflicts.iter().map(conflict).collect();
    out.push(direction(case));
    if let Err(gap @ Gap::Unreachable(_)) = case.get(Name::RodLength, 0) {
        let mut f = missing("linkage", "", "No such linkage", gap, case.readings, DONOR);
        f.remedy = one("Check arms, rack line and inner joints: number, unit and direction.");
        out.push(f);
        return out;
    }
    travel::lock(case, &mut out);
    travel::reserve(case, &mut out);
    travel::joint(case, &mut out, "inner_joint", Name::InnerJointReserve, Field::InnerJointLimit);
    travel::joint(case, &mut out, "outer_joint", Name::OuterJointReserve, Field::OuterJointLimit);
    parts::transmission(case, &mut out);
    parts::rod(case, &mut out);
    parts::own_limits(case, &mut out);
    out
}

fn conflict(c: &Conflict) -> Finding {
    let (title, reason, remedy) = words::clash(c.clash, c.fields);
    let order = matches!(c.clash, Clash::Limits | Clash::RodRange);
    let unit = if c.fields.has(Field::AckermannMin) { ResultUnit::Percent } else { ResultUnit::Mm };
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
        origin: if order { "the order of the two" } else { "the ± of the readings" },
    }
}

fn direction(case: &Case) -> Finding {
    let (name, origin) = ("direction", "geometry, not a setting");
    let lever = case.get(Name::RackPerDegree, 0);
    let bar = crate::axle::known(case.x().get(Field::BarMoves), Field::BarMoves);
    let (bar, lever) = match all([bar, lever]) {
        Ok([b, l]) => (b, l),
        Err(gap) => {
            let mut f = missing(name, "", "Which way it steers", gap, case.readings, origin);
            f.judged = false;
            f.kind = Kind::Missing;
            return f;
        }
    };
    let word = |s: f64| if s > 0.0 { "left" } else { "right" };
    let arms = if lever > 0.0 { "ahead of" } else { "behind" };
    let pm = case.pm(Name::RackPerDegree, 0);
    let margin = bar * lever;
    let kind = judge(margin, pm);
    let (head, title, reason, remedy) = match kind {
        Kind::Pass => (
            "steers the right way",
            "Steers the right way",
            "A left turn moves the bar to the {}, and these arms, {} the steering axis, then steer left.",
            "",
        ),
        Kind::Close => (
            "direction unsure",
            "Which way it steers is too close to call",
            "The rod runs so near the steering axis that the ± of the readings could reverse it.",
            "Measure the tie-rod end from the steering axis again, or move the rack line.",
        ),
        _ => (
            "steers backwards",
            "Steers backwards",
            "A left turn moves the bar to the {}; these arms, {} the steering axis, need it to go {}.",
            "Turned end for end it would steer the right way, with the shaft on the other side of the car; turning it over about its own bar changes nothing. All other figures here are those of the rack turned end for end.",
        ),
    };
    let say = say(head, title, &[], Text::fill(reason, &[&word(bar), &arms, &word(lever)]), one(remedy));
    made(name, "", kind, say, Some((lever, 0.0, margin, pm, ResultUnit::MmPerDeg)), origin)
}

/// "Measure … again: it makes up 71 % of the doubt."
fn measure_again(case: &Case, name: Name, side: usize) -> Text {
    match case.doubt.most[crate::results::Sheet::place(name, side)] {
        Some((f, share)) => {
            one(&format!("Measure again: {}; it makes up {:.0} % of the doubt.", words::field(f).to_ascii_lowercase(), 100.0 * share))
        }
        None => Text::default(),
    }
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
        origin,
    }
}

impl Case<'_> {
    /// What a figure that leans on the axes' spacing at the ground (`ground`) or at rod-end height must say, if anything.
    pub fn axis_note(&self, ground: bool) -> Option<&'static str> {
        let x = self.x();
        let [g, r] = axis_spacings(&x, arms(&x)).ok()?;
        let taken = crate::axle::Basis::TakenOver;
        match ground {
            true if g.1 == taken => Some("axis spacing at rod-end height taken for that at the ground"),
            false if r.1 == taken => Some("axis spacing at the ground taken for that at rod-end height"),
            _ => None,
        }
    }
}
