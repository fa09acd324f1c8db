//! "Do the arms I have suit this rack?": every demand with its value, limit, margin and ±.

use crate::catalogue::field::Field;
use crate::catalogue::field_set::FieldSet;
use crate::catalogue::result::{ResultId, Results};
use crate::catalogue::value::{Gap, Value, all};
use crate::judgement::case::{Case, OFF, OWN};
use crate::judgement::demand::{DEMANDS, Demand, DemandId, Limit, Sense};
use crate::judgement::finding::{Finding, Kind};
use crate::linkage::steering::Solution;
use crate::math::each::Each;
use crate::measurement::decimal::fixed;
use crate::measurement::figure::{Text, Words, at_most, degrees, figure, length};
use crate::measurement::quantity::{Quantity, ResultUnit};
use crate::plan::inputs::{Clash, Conflict, Origin, Readings};
use crate::wording;

mod bumps;
mod parts;
mod travel;

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

fn judge(margin: f64, pm: f64) -> Kind {
    if margin.abs() < pm {
        Kind::Close
    } else if margin < 0.0 {
        Kind::Fail
    } else {
        Kind::Pass
    }
}

/// A value that was held against its limit.
#[derive(Clone, Copy)]
struct Judged {
    kind: Kind,
    value: f64,
    limit: f64,
    margin: f64,
    pm: f64,
    unit: ResultUnit,
}

impl Judged {
    /// The value of a demand on one side, held against its limit.
    fn of(case: &Case, demand: &Demand, side: usize, value: f64, limit: f64) -> Judged {
        let (margin, pm) = (demand.margin(value, limit), case.pm(demand.result, side));
        Judged { kind: judge(margin, pm), value, limit, margin, pm, unit: demand.unit() }
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
        head: if kind == Kind::Fail { Text::same(wording::gap(gap, readings)) } else { one(title) },
        title: Text::fill("{}: {}", &[&title, &wording::gap(gap, readings)]),
        reason: Text::default(),
        remedy: Text::default(),
        cures: Vec::new(),
        origin,
    }
}

/// The limit of a demand, or that it is missing.
fn limit_of(case: &Case, demand: &Demand) -> Value {
    demand.told_against().map_or(Ok(0.0), |field| case.limit(field).ok_or(Gap::Missing(FieldSet::only(field))))
}

/// Whether the builder turned a demand off.
fn is_off(case: &Case, demand: &Demand) -> bool {
    demand.set_by().is_some_and(|field| case.readings.off.contains(field))
}

/// Where the limit of a demand comes from.
fn origin_of(case: &Case, demand: &Demand) -> &'static str {
    demand.set_by().map_or(DONOR, |field| case.origin(field))
}

/// A demand that was turned off: its value stands, nothing is made of it.
fn turned_off(case: &Case, demand: &Demand, (side, word): (usize, &'static str), title: &str) -> Finding {
    let value = case.get(demand.result, side).ok();
    let pm = value.map(|_| case.pm(demand.result, side));
    let shown = value.map_or(Text::default(), |v| figure(demand.unit(), v, pm));
    Finding {
        name: demand.finding,
        side: word,
        kind: Kind::Missing,
        judged: false,
        value,
        limit: None,
        margin: None,
        pm,
        unit: value.map_or("", |_| wording::unit(demand.unit())),
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

/// Every finding of a rack, in the order in which they weigh, without remedies: [`crate::judgement::remedy::add`] puts those in.
pub fn findings(case: &Case) -> Vec<Finding> {
    let mut out: Vec<Finding> = case.readings.conflicts.iter().map(conflict).collect();
    if opposed(case, &mut out) {
        return out;
    }
    out.push(direction(case));
    if let Err(gap @ Gap::Unreachable(_)) = case.get(ResultId::RodLength, 0) {
        let mut f = missing("linkage", "", "No such linkage", gap, case.readings, DONOR);
        f.remedy = one("Check arms, rack line and inner joints: number, unit and direction.");
        out.push(f);
        return out;
    }
    parts::toe(case, &mut out);
    travel::lock(case, &mut out);
    travel::reserve(case, &mut out);
    travel::joint(case, &mut out, DemandId::InnerJoint.row(), "inner");
    travel::joint(case, &mut out, DemandId::OuterJoint.row(), "outer");
    parts::transmission(case, &mut out, false);
    travel::joint(case, &mut out, DemandId::InnerJointBumps.row(), "inner");
    travel::joint(case, &mut out, DemandId::OuterJointBumps.row(), "outer");
    parts::transmission(case, &mut out, true);
    bumps::over_bumps(case, &mut out);
    parts::housing(case, &mut out);
    parts::tyres(case, &mut out);
    parts::rod(case, &mut out);
    parts::own_limits(case, &mut out);
    out
}

fn conflict(c: &Conflict) -> Finding {
    let (title, reason, remedy) = wording::clash(c.clash, c.fields);
    let order = matches!(c.clash, Clash::Limits | Clash::RodRange);
    let unit = match c.fields.iter().next().map(|f| f.spec().scale.quantity) {
        Some(Quantity::Angle) => ResultUnit::Deg,
        Some(Quantity::Number) => ResultUnit::Ratio,
        Some(Quantity::Turns) => ResultUnit::Turns,
        Some(Quantity::Percent) => ResultUnit::Percent,
        Some(Quantity::Circle) => ResultUnit::Circle,
        _ => ResultUnit::Mm,
    };
    let [amount, pm] = [c.amount, c.pm].each(|x| if unit == ResultUnit::Deg { x.to_degrees() } else { x });
    Finding {
        name: "contradiction",
        side: "",
        kind: Kind::Missing,
        judged: true,
        value: Some(amount),
        limit: Some(pm),
        margin: Some(pm - amount),
        pm: None,
        unit: wording::unit(unit),
        head: one(if matches!(c.clash, Clash::Odd(_)) { "a point is odd" } else { "readings disagree" }),
        title: Text::same(title),
        reason: Text::fill(reason, &[&figure(unit, amount, None), &figure(unit, pm, None)]),
        remedy: one(remedy),
        cures: Vec::new(),
        origin: if order { "the order of the two" } else { "the ± of the readings" },
    }
}

const GEOMETRY: &str = "geometry, not a setting";

/// Whether the wheels steer against each other: then nothing else can be said of a turn. Said only where it is so, or might be.
fn opposed(case: &Case, out: &mut Vec<Finding>) -> bool {
    let demand = DemandId::Opposed.row();
    let Ok(rates) = all([case.get(demand.result, 0), case.get(demand.result, 1)]) else { return false };
    let tight = usize::from(rates[1].abs() < rates[0].abs());
    let agree = (rates[0] * rates[1]).signum();
    let (margin, pm) = (agree * rates[tight].abs(), case.pm(demand.result, tight));
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
    let judged = Judged { kind, value: rates[tight], limit: 0.0, margin, pm, unit: demand.unit() };
    out.push(made(demand.finding, "", judged, say, GEOMETRY));
    kind == Kind::Fail
}

fn toward(rate: f64) -> &'static str {
    if rate > 0.0 { "left" } else { "right" }
}

fn direction(case: &Case) -> Finding {
    let name = "direction";
    let bar = crate::catalogue::value::known(case.x().get(Field::BarMoves), Field::BarMoves);
    let (bar, rates) = match all([bar, case.get(ResultId::SteerRate, 0), case.get(ResultId::SteerRate, 1)]) {
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
    let (rate, pm) = (rates[worse], case.pm(ResultId::SteerRate, worse));
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
    made(name, "", Judged { kind, value: rate, limit: 0.0, margin, pm, unit: ResultUnit::DegPerMm }, say, GEOMETRY)
}

/// "Measure … again: it makes up 71 % of the doubt."
fn measure_again(case: &Case, name: ResultId, side: usize) -> Text {
    let Some((f, share)) = case.uncertainties.most[Results::index(name, side)] else { return Text::default() };
    let known = case.readings.items[f as usize].filter(|item| item.origin != Origin::Found).is_some();
    let (verb, what) = (if known { "Measure again" } else { "Measure" }, wording::small(f.label()));
    one(&format!("{verb}: {what}; it makes up {} % of the doubt.", fixed(100.0 * share, 0)))
}

fn made(name: &'static str, side: &'static str, judged: Judged, say: Say, origin: &'static str) -> Finding {
    Finding {
        name,
        side,
        kind: judged.kind,
        judged: true,
        value: Some(judged.value),
        limit: Some(judged.limit),
        margin: Some(judged.margin),
        pm: Some(judged.pm),
        unit: wording::unit(judged.unit),
        head: say.head,
        title: say.title,
        reason: say.reason,
        remedy: say.remedy,
        cures: Vec::new(),
        origin,
    }
}
