//! "Do the arms I have suit this rack?": every demand with its value, limit, margin and ±, and the verdict.

use crate::axle::{arms, axis_spacings};
use crate::fields::Field;
use crate::geometry::Vec3;
use crate::readings::{Conflict, Inputs, Origin, Readings, kernel};
use crate::results::{FieldSet, Gap, Name, ResultUnit, Value, Why, all};
use crate::steering::{Solution, rack_numbers, solve};
use crate::text::{Text, degrees, figure, length};
use crate::travel::{ENDS, End, first};
use crate::uncertainty::Doubt;
use crate::words;
use serde::Serialize;

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

/// What is said of a rack as a whole.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum VerdictKind {
    /// A left turn of the wheel steers right. Outranks everything.
    Backwards,
    /// One of the ten numbers is missing, or readings contradict each other.
    Needs,
    /// A demand is not met.
    Fails,
    /// A demand's margin is smaller than its ±.
    Close,
    /// All demands met. Bump steer is not judged: never "fits".
    Suits,
}

/// The verdict of a rack.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Verdict {
    /// Which of the five.
    pub kind: VerdictKind,
    /// A few words.
    pub head: Text,
    /// The sentence, with its reason and what to do.
    pub sentence: Text,
    /// Name of the finding that decides it; empty where none does.
    pub because: &'static str,
    /// What could not be checked for want of an optional reading.
    pub unchecked: Vec<&'static str>,
    /// What was taken for granted for want of an optional reading.
    pub assumed: Vec<&'static str>,
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
const DONOR: &str = "typed for this rack";
const TURN: [&str; 3] = ["to the left", "to the right", "each way"];
const LOCK: [&str; 3] = ["at lock left", "at lock right", "at both locks"];
const BAR: [&str; 3] = ["bar to the left", "bar to the right", "each way"];

/// What a finding says, before it is judged.
#[derive(Default)]
struct Say {
    head: Text,
    title: Text,
    reason: Text,
    remedy: Text,
}

impl Case<'_> {
    fn x(&self) -> Inputs {
        self.readings.inputs()
    }

    fn get(&self, name: Name, side: usize) -> Value {
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
        head: Text::same(if kind == Kind::Fail { words::gap(gap, readings) } else { title.to_owned() }),
        title: Text::same(format!("{title}: {}", words::gap(gap, readings))),
        reason: Text::default(),
        remedy: Text::default(),
        origin,
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
    lock(case, &mut out);
    reserve(case, &mut out);
    joint(case, &mut out, "inner_joint", Name::InnerJointReserve, Field::InnerJointLimit);
    joint(case, &mut out, "outer_joint", Name::OuterJointReserve, Field::OuterJointLimit);
    transmission(case, &mut out);
    rod(case, &mut out);
    own_limits(case, &mut out);
    out
}

fn conflict(c: &Conflict) -> Finding {
    let (title, reason, remedy) = words::clash(c.clash);
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
        origin: "the ± of the readings",
    }
}

fn direction(case: &Case) -> Finding {
    let (name, origin) = ("direction", "geometry: handbook of the linkage, no setting");
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
    let moves = format!("A left turn moves the bar to the {}", word(bar));
    let say = match kind {
        Kind::Pass => Say {
            head: one("steers the right way"),
            title: one("Steers the right way"),
            reason: one(&format!("{moves}, and these arms, {arms} the steering axis, then steer left.")),
            remedy: Text::default(),
        },
        Kind::Close => Say {
            head: one("direction unsure"),
            title: one("Which way it steers is too close to call"),
            reason: one("The rod runs so near the steering axis that the ± of the readings could reverse it."),
            remedy: one("Measure the tie-rod end from the steering axis again, or move the rack line."),
        },
        _ => Say {
            head: one("steers backwards"),
            title: one("Steers backwards"),
            reason: one(&format!("{moves}; these arms, {arms} the steering axis, need it to go {}.", word(lever))),
            remedy: one(
                "Turned end for end it would steer the right way, with the shaft on the other side of the car; turning it over about its own bar changes nothing. All other figures here are those of the rack turned end for end.",
            ),
        },
    };
    made(name, "", kind, say, Some((lever, 0.0, margin, pm, ResultUnit::MmPerDeg)), origin)
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

/// The way of the rack (0 right, 1 left) that turns the wheels to `side` (0 left, 1 right).
fn way_of(solution: &Solution, side: usize) -> usize {
    if (side == 0) == (solution.direction.unwrap_or(1.0) > 0.0) { 1 } else { 0 }
}

fn lock(case: &Case, out: &mut Vec<Finding>) {
    let origin = case.origin(Field::LockWanted);
    for (side, place) in case.sides(Name::LockInner) {
        let word = words_of(place, &TURN);
        let (value, wanted) = match (case.get(Name::LockInner, side), case.limit(Field::LockWanted)) {
            (Ok(v), Some(w)) => (v, w),
            (Err(gap @ Gap::Unreachable(Why::NoTravel)), Some(w)) => {
                let mut f = missing("lock", word, "No lock", gap, case.readings, origin);
                (f.value, f.limit, f.margin) = (Some(0.0), Some(w), Some(-w));
                f.remedy = one("A joint is past its limit with the wheels straight: move the rack line or the height.");
                out.push(f);
                continue;
            }
            (Err(gap), _) => {
                out.push(missing("lock", word, &format!("Lock {}", TURN[place]), gap, case.readings, origin));
                continue;
            }
            (_, None) => {
                out.push(missing("lock", word, "Lock", Gap::Missing(FieldSet::of(Field::LockWanted)), case.readings, origin));
                continue;
            }
        };
        let (margin, pm) = (value - wanted, case.pm(Name::LockInner, side));
        let kind = judge(margin, pm);
        let way = way_of(case.solution, side);
        let end = case.solution.ends[way].map_or(End::RackEnd, |k| ENDS[k]);
        let at = length(case.get(Name::UsableTravel, 1 - way).unwrap_or(0.0));
        let angle = degrees(value);
        let to = TURN[place];
        let reason = Text::fill(
            &format!("Wanted: {} at the inner wheel. The travel ends {{}} from the middle, by {}.", degrees(wanted).mm, words::end(end)),
            &[&at],
        );
        let ends = |what: &str| Text::fill(&format!("{what} at {{}} {to}"), &[&angle]);
        let say = match kind {
            Kind::Pass => Say {
                head: one("locks far enough"),
                title: Text::fill(&format!("The inner wheel turns {{}} {to}"), &[&figure(ResultUnit::Deg, value, Some(pm))]),
                reason,
                remedy: Text::default(),
            },
            Kind::Close => Say {
                head: one("lock too close to call"),
                title: Text::fill(&format!("Lock {to} too close to call: {{}}"), &[&figure(ResultUnit::Deg, value, Some(pm))]),
                reason,
                remedy: measure_again(case, Name::LockInner, side),
            },
            _ => {
                let (head, what) = match end {
                    End::RackEnd => ("runs out of travel", "Runs out of rack travel"),
                    End::Stop => ("stopped too early", "The stop ends the turn"),
                    End::Toggle(_) => ("toggle comes too early", "Must stop before the toggle,"),
                    End::FoldBack(_) => ("fold-back comes too early", "Must stop before the fold-back,"),
                    End::InnerJoint(_) | End::OuterJoint(_) => ("joint binds too early", "Must stop before a joint binds,"),
                };
                Say { head: one(head), title: ends(what), reason, remedy: more_lock(case, side, wanted, end) }
            }
        };
        out.push(made("lock", word, kind, say, Some((value, wanted, margin, pm, ResultUnit::Deg)), origin));
    }
}

/// "Measure … again: it makes up 71 % of the doubt."
fn measure_again(case: &Case, name: Name, side: usize) -> Text {
    match case.doubt.most[crate::results::Sheet::place(name, side)] {
        Some((f, share)) => {
            one(&format!("Measure again: {}; it makes up {:.0} % of the doubt.", words::field(f).0.to_lowercase(), 100.0 * share))
        }
        None => Text::default(),
    }
}

/// What would reach the wanted lock: more travel, shorter arms, or a wider circle accepted.
fn more_lock(case: &Case, side: usize, wanted: f64, end: End) -> Text {
    let mut parts: Vec<Text> = Vec::new();
    let x = case.x();
    let way = way_of(case.solution, side);
    if let (Some(wheels), Ok(u)) = (case.solution.wheels, case.get(Name::UsableTravel, 1 - way)) {
        let w = &wheels[side];
        let turn = if side == 0 { 1.0 } else { -1.0 };
        let start = w.linkage.at(0.0).map_or(0.0, |t| t.angle());
        let reaches = if w.axis == Vec3::UP { w.linkage.rack_at(start + turn * wanted.to_radians()) } else { None };
        if let (Some(s), End::RackEnd | End::Stop) = (reaches, end) {
            parts.push(Text::fill("it needs {} more travel that way", &[&length(s.abs() - u)]));
        }
        if let Some(shorter) = shorter_arms(&x, side, wanted, case) {
            parts.push(Text::fill("other arms {} shorter would reach it", &[&length(shorter)]));
        }
    }
    if let Ok(c) = case.get(Name::CircleCentre, side) {
        parts.push(Text::fill("or accept a circle of {} at the tyre's centre", &[&figure(ResultUnit::Circle, c, None)]));
    }
    let join = |pick: fn(&Text) -> &str| {
        let all: Vec<&str> = parts.iter().map(pick).collect();
        let mut s = all.join("; ");
        if let Some(c) = s.get(..1).map(str::to_uppercase) {
            s.replace_range(..1, &c);
            s.push('.');
        }
        s
    };
    Text { mm: join(|t| &t.mm), inch: join(|t| &t.inch) }
}

/// By how many mm both arms must be shorter, at their angle and with the rack line as far from the rod ends as now, for the
/// inner wheel to reach `wanted` degrees on that side; `None` when even arms of half the length do not.
fn shorter_arms(x: &Inputs, side: usize, wanted: f64, case: &Case) -> Option<f64> {
    let [left, right] = arms(x).ok()?;
    let spacing = axis_spacings(x, Ok([left, right])).ok()?;
    let held = x.with(Field::AxisSpacingRodEnd, Some(spacing[1].0)).with(Field::AxisSpacingGround, Some(spacing[0].0));
    let lock = |k: f64| {
        let mut y = held.with(Field::ArmForeAft, Some(left.ahead * k)).with(Field::ArmInboard, Some(left.inboard * k));
        if right != left {
            y = y.with(Field::RightArmForeAft, Some(right.ahead * k)).with(Field::RightArmInboard, Some(right.inboard * k));
        }
        solve(&y, [None; 2]).sheet.get(Name::LockInner, side).unwrap_or(0.0)
    };
    let (mut short, mut long) = (0.5, 1.0);
    if lock(short) < wanted || case.get(Name::LockInner, side).ok()? >= wanted {
        return None;
    }
    for _ in 0..14 {
        let k = (short + long) / 2.0;
        if lock(k) >= wanted { short = k } else { long = k }
    }
    Some(left.length() * (1.0 - short))
}

fn reserve(case: &Case, out: &mut Vec<Finding>) {
    let origin = case.origin(Field::ReserveWanted);
    let name = Name::ReserveHardware;
    for (side, place) in case.sides(name) {
        let (way, word) = (1 - side, words_of(place, &BAR));
        let (value, wanted) = match (case.get(name, side), case.limit(Field::ReserveWanted)) {
            (Ok(v), Some(w)) => (v, w),
            (Err(gap), _) => {
                out.push(missing("reserve", word, "Toggle and fold-back", gap, case.readings, origin));
                continue;
            }
            (_, None) => {
                let gap = Gap::Missing(FieldSet::of(Field::ReserveWanted));
                out.push(missing("reserve", word, "Toggle and fold-back", gap, case.readings, origin));
                continue;
            }
        };
        let (margin, pm) = (value - wanted, case.pm(name, side));
        let kind = judge(margin, pm);
        // The nearest of the four dead points, from the same distances that end the travel.
        let d = &case.solution.distances[way];
        let mut dead = *d;
        for (k, place) in dead.iter_mut().enumerate() {
            if !matches!(ENDS[k], End::Toggle(_) | End::FoldBack(_)) {
                *place = None;
            }
        }
        let k = first(&dead);
        let what = words::dead_point(k.map_or(End::Toggle(0), |k| ENDS[k]));
        let stop = length(k.and_then(|k| d[k]).unwrap_or(0.0));
        let bar = BAR[place];
        let reason = Text::fill(
            &format!("Next comes {what}, {{}} past the end of rack or stop; {{}} is to be kept."),
            &[&length(value), &length(wanted)],
        );
        let say = match kind {
            Kind::Pass => Say {
                head: one("keeps clear of toggle"),
                title: Text::fill(
                    &format!("Keeps {{}} of travel before toggle or fold-back, {bar}"),
                    &[&figure(ResultUnit::Mm, value, Some(pm))],
                ),
                reason,
                remedy: Text::default(),
            },
            Kind::Close => Say {
                head: one("near toggle or fold-back"),
                title: Text::fill(
                    &format!("Reserve before toggle or fold-back too close to call, {bar}: {{}}"),
                    &[&figure(ResultUnit::Mm, value, Some(pm))],
                ),
                reason,
                remedy: measure_again(case, name, side),
            },
            _ => Say {
                head: Text::fill("needs a stop at {}", &[&stop]),
                title: Text::fill(&format!("Needs a stop at {{}}, {bar}"), &[&stop]),
                reason: Text::fill(
                    &format!(
                        "Pushed to its own end, the rack would reach {what}, {{}} from the middle. Lock and circle here are those at that stop."
                    ),
                    &[&length(k.and_then(|k| d[k]).unwrap_or(0.0) + wanted)],
                ),
                remedy: Text::fill("Fit a stop outside the rack, no further than {} from the middle.", &[&stop]),
            },
        };
        out.push(made("reserve", word, kind, say, Some((value, wanted, margin, pm, ResultUnit::Mm)), origin));
    }
}

fn joint(case: &Case, out: &mut Vec<Finding>, finding: &'static str, name: Name, field: Field) {
    let which = if field == Field::InnerJointLimit { "inner" } else { "outer" };
    for (side, place) in case.sides(name) {
        let (way, word) = (1 - side, words_of(place, &BAR));
        let bar = BAR[place];
        let limit = case.limit(field);
        match (case.get(name, side), limit) {
            (Err(Gap::Unreachable(_)), Some(limit)) => {
                let say = Say {
                    head: one("joints go far enough"),
                    title: Text::fill(&format!("The {which} joints never meet their {{}}, {bar}"), &[&degrees(limit)]),
                    ..Say::default()
                };
                out.push(made(finding, word, Kind::Pass, say, None, DONOR));
            }
            (Err(gap), _) => out.push(missing(finding, word, &format!("Angle of the {which} joints"), gap, case.readings, DONOR)),
            (Ok(_), None) => {}
            (Ok(value), Some(limit)) => {
                let pm = case.pm(name, side);
                let kind = judge(value, pm);
                let joints =
                    (0..ENDS.len()).filter(|&k| matches!((ENDS[k], which), (End::InnerJoint(_), "inner") | (End::OuterJoint(_), "outer")));
                let stop = length(joints.filter_map(|k| case.solution.distances[way][k]).fold(f64::INFINITY, f64::min));
                let reason = Text::fill(&format!("A {which} joint meets its {{}} at {{}} from the middle."), &[&degrees(limit), &stop]);
                let say = match kind {
                    Kind::Pass => Say {
                        head: one("joints go far enough"),
                        title: Text::fill(
                            &format!("The {which} joints keep {{}} of travel, {bar}"),
                            &[&figure(ResultUnit::Mm, value, Some(pm))],
                        ),
                        reason,
                        remedy: Text::default(),
                    },
                    Kind::Close => Say {
                        head: one("joint limit too close to call"),
                        title: Text::fill(
                            &format!("Limit of the {which} joints too close to call, {bar}: {{}}"),
                            &[&figure(ResultUnit::Mm, value, Some(pm))],
                        ),
                        reason,
                        remedy: measure_again(case, name, side),
                    },
                    _ => Say {
                        head: Text::fill("needs a stop at {}", &[&stop]),
                        title: Text::fill(&format!("Needs a stop at {{}}, {bar}: the {which} joint binds"), &[&stop]),
                        reason,
                        remedy: Text::fill(
                            "Fit a stop outside the rack, no further than {} from the middle, or joints that go further.",
                            &[&stop],
                        ),
                    },
                };
                out.push(made(finding, word, kind, say, Some((value, 0.0, value, pm, ResultUnit::Mm)), DONOR));
            }
        }
    }
}

fn transmission(case: &Case, out: &mut Vec<Finding>) {
    let origin = case.origin(Field::TransmissionWanted);
    for (side, place) in case.sides(Name::TransmissionInner) {
        let word = words_of(place, &LOCK);
        let pair = all([case.get(Name::TransmissionInner, side), case.get(Name::TransmissionOuter, side)]);
        let (values, wanted) = match (pair, case.limit(Field::TransmissionWanted)) {
            (Ok(v), Some(w)) => (v, w),
            // Without a lock there is no angle at lock: the lock's finding says why.
            (Err(Gap::Unreachable(_)), _) => continue,
            (Err(gap), _) => {
                out.push(missing("transmission", word, "Transmission angle", gap, case.readings, origin));
                continue;
            }
            (_, None) => {
                let gap = Gap::Missing(FieldSet::of(Field::TransmissionWanted));
                out.push(missing("transmission", word, "Transmission angle", gap, case.readings, origin));
                continue;
            }
        };
        let (value, name, wheel) = if values[0] <= values[1] {
            (values[0], Name::TransmissionInner, "inner")
        } else {
            (values[1], Name::TransmissionOuter, "outer")
        };
        let (margin, pm) = (value - wanted, case.pm(name, side));
        let kind = judge(margin, pm);
        let lock = LOCK[place];
        let shown = figure(ResultUnit::Deg, value, Some(pm));
        let reason = one(&format!(
            "The tighter one is the {wheel} wheel's; at least {} is wanted. Small angles push the joints apart more than they turn the wheel.",
            degrees(wanted).mm
        ));
        let say = match kind {
            Kind::Pass => Say {
                head: one("good transmission angle"),
                title: Text::fill(&format!("Keeps {{}} between rod and arm {lock}"), &[&shown]),
                reason,
                remedy: Text::default(),
            },
            Kind::Close => Say {
                head: one("transmission angle too close to call"),
                title: Text::fill(&format!("Transmission angle too close to call {lock}: {{}}"), &[&shown]),
                reason,
                remedy: measure_again(case, name, side),
            },
            _ => Say {
                head: one("rod and arm nearly in line"),
                title: Text::fill(&format!("Only {{}} between rod and arm {lock}"), &[&shown]),
                reason,
                remedy: one(
                    "A stop that ends the travel earlier raises it and costs lock; a rack line further from the arms' ends, away from the toggle, raises it too.",
                ),
            },
        };
        out.push(made("transmission", word, kind, say, Some((value, wanted, margin, pm, ResultUnit::Deg)), origin));
    }
}

fn rod(case: &Case, out: &mut Vec<Finding>) {
    let ends = [(Name::RodOverShortest, Field::RodLengthMin, "shortest"), (Name::RodUnderLongest, Field::RodLengthMax, "longest")];
    for (name, field, which) in ends {
        for (side, place) in case.sides(name) {
            let word = words_of(place, &["left wheel", "right wheel", ""]);
            let (value, limit) = match (case.get(name, side), case.limit(field)) {
                (Ok(v), Some(l)) => (v, l),
                (Err(gap), _) => {
                    out.push(missing("rod_length", word, &format!("Rod against the {which}"), gap, case.readings, DONOR));
                    continue;
                }
                _ => continue,
            };
            let pm = case.pm(name, side);
            let kind = judge(value, pm);
            let rod = length(case.get(Name::RodLength, side).unwrap_or(0.0));
            let reason = Text::fill(
                &format!("The rod comes out {{}} long; the {which} that the donor's parts allow is {{}}."),
                &[&rod, &length(limit)],
            );
            let off = length(value.abs());
            let say = match kind {
                Kind::Pass => Say {
                    head: one("rods in range"),
                    title: Text::fill(&format!("Rod length keeps {{}} to the {which}"), &[&figure(ResultUnit::Mm, value, Some(pm))]),
                    reason,
                    remedy: Text::default(),
                },
                Kind::Close => Say {
                    head: one("rod length too close to call"),
                    title: Text::fill(
                        &format!("Rod length too close to the {which} to call: {{}}"),
                        &[&figure(ResultUnit::Mm, value, Some(pm))],
                    ),
                    reason,
                    remedy: measure_again(case, name, side),
                },
                _ => Say {
                    head: one(if which == "shortest" { "rods too long for the gap" } else { "rods too short for the gap" }),
                    title: Text::fill(
                        if which == "shortest" {
                            "The donor's rod is {} too long at its shortest"
                        } else {
                            "The donor's rod is {} too short at its longest"
                        },
                        &[&off],
                    ),
                    reason,
                    remedy: one("Use rods and rod ends of another length; never weld or heat one. Or move the rack line."),
                },
            };
            out.push(made("rod_length", word, kind, say, Some((value, 0.0, value, pm, ResultUnit::Mm)), DONOR));
        }
    }
}

/// Limits that are judged only where the builder sets them: (limit, result, +1 for a smallest, −1 for a largest).
const OWN_LIMITS: [(Field, Name, f64); 9] = [
    (Field::RatioMin, Name::RatioCentre, 1.0),
    (Field::RatioMax, Name::RatioCentre, -1.0),
    (Field::TurnsMin, Name::Turns, 1.0),
    (Field::TurnsMax, Name::Turns, -1.0),
    (Field::AckermannMin, Name::AckermannAngle, 1.0),
    (Field::AckermannMax, Name::AckermannAngle, -1.0),
    (Field::CircleMax, Name::CircleCentre, -1.0),
    (Field::CircleEdgeMax, Name::CircleEdge, -1.0),
    (Field::WallToWallMax, Name::WallToWall, -1.0),
];

fn own_limits(case: &Case, out: &mut Vec<Finding>) {
    for (field, name, sign) in OWN_LIMITS {
        if case.readings.items[field as usize].is_none() {
            continue;
        }
        let row = &crate::results::RESULTS[name as usize];
        let sides = if row.count() == 1 { vec![(0, 2)] } else { case.sides(name) };
        let label = words::result(name).0;
        for (side, place) in sides {
            let word = words_of(place, &LOCK);
            let (value, limit) = match (case.get(name, side), case.limit(field)) {
                (Ok(v), Some(l)) => (v, l),
                (Err(gap), _) => {
                    out.push(missing(field.spec().name, word, label, gap, case.readings, OWN));
                    continue;
                }
                (_, None) => continue,
            };
            let (margin, pm) = (sign * (value - limit), case.pm(name, side));
            let kind = judge(margin, pm);
            let shown = figure(row.unit, value, Some(pm));
            let bound = figure(row.unit, limit, None);
            let at = if row.count() == 1 { String::new() } else { format!(" {}", LOCK[place]) };
            let than = if sign > 0.0 { "less" } else { "more" };
            let lower = format!("{}{}", label[..1].to_lowercase(), &label[1..]);
            let (head, title, remedy) = match kind {
                Kind::Pass => (format!("{lower} in limits"), format!("{label}{at}: {{}}"), Text::default()),
                Kind::Close => {
                    (format!("{lower} too close to call"), format!("{label}{at} too close to call: {{}}"), measure_again(case, name, side))
                }
                _ => (
                    format!("{lower} off limits"),
                    format!("{label}{at}: {{}}, {than} than you allow"),
                    one("Change the limit, the arms, the rack's place, or the rack."),
                ),
            };
            let say = Say {
                head: one(&head),
                title: Text::fill(&title, &[&shown]),
                reason: Text::fill(&format!("You allow {} {{}}.", if sign > 0.0 { "at least" } else { "at most" }), &[&bound]),
                remedy,
            };
            out.push(made(field.spec().name, word, kind, say, Some((value, limit, margin, pm, row.unit)), OWN));
        }
    }
}

/// The ten numbers of a first verdict: what of them is missing.
pub fn missing_of_ten(x: &Inputs) -> FieldSet {
    let know = |f: Field| crate::axle::known(x.get(f), f);
    let arms = arms(x);
    let [c, t, _] = rack_numbers(x);
    let ten = all([
        know(Field::Wheelbase),
        know(Field::FrontTrack),
        axis_spacings(x, arms).map(|w| w[0].0),
        arms.map(|a| a[0].length()),
        know(Field::RackLine),
        know(Field::InnerJointSpacing),
        c,
        t,
        know(Field::BarMoves),
    ]);
    match ten {
        Err(Gap::Missing(set)) => set,
        _ => FieldSet::NONE,
    }
}

/// The verdict of a rack from its findings.
pub fn verdict(case: &Case, findings: &[Finding]) -> Verdict {
    let x = case.x();
    let worst = |kind: Kind| findings.iter().find(|f| f.judged && f.kind == kind);
    let mut needs = missing_of_ten(&x);
    // A limit that cannot be read is not one that may be left out.
    for (field, _) in crate::readings::STARTING_LIMITS {
        if x.get(field).is_none() {
            needs = needs.with(FieldSet::of(field));
        }
    }
    let direction = findings.iter().find(|f| f.name == "direction" && f.kind == Kind::Fail);
    let contradiction = findings.iter().find(|f| f.name == "contradiction");
    let said = |f: &Finding| {
        let join = |a: &str, b: &str| if b.is_empty() { format!("{a}.") } else { format!("{a}. {b}") };
        Text { mm: join(&f.title.mm, &f.remedy.mm), inch: join(&f.title.inch, &f.remedy.inch) }
    };
    let (kind, head, sentence, because) = if let Some(f) = direction {
        (VerdictKind::Backwards, f.head.clone(), said(f), f.name)
    } else if let Some(f) = contradiction {
        (VerdictKind::Needs, f.head.clone(), said(f), f.name)
    } else if !needs.is_empty() {
        let say = words::needs(needs, case.readings);
        let few: Vec<&str> = needs.iter().map(words::needed).collect();
        let head = if few.len() == 1 { say.clone() } else { format!("needs {} more numbers", few.len()) };
        (VerdictKind::Needs, one(&head), one(&format!("{}{} for a verdict.", say[..1].to_uppercase(), &say[1..])), "")
    } else if let Some(f) = worst(Kind::Fail) {
        (VerdictKind::Fails, f.head.clone(), said(f), f.name)
    } else if let Some(f) = worst(Kind::Close) {
        (VerdictKind::Close, one("too close to call"), said(f), f.name)
    } else if findings.iter().any(|f| f.judged && f.kind == Kind::Missing) {
        (VerdictKind::Needs, one("needs more"), one("Needs more readings for a verdict."), "")
    } else {
        let smallest = |name: Name| all([case.get(name, 0), case.get(name, 1)]).map(|[a, b]| a.min(b));
        let lock = smallest(Name::LockInner).map(degrees).unwrap_or_default();
        let circle = all([case.get(Name::CircleCentre, 0), case.get(Name::CircleCentre, 1)]).map(|[a, b]| a.max(b));
        let circle = circle.map(|c| figure(ResultUnit::Circle, c, None)).unwrap_or_default();
        let sentence = Text::fill(
            "Suits in plan: steers the right way, the inner wheel turns {} each way at least, circle {} at the tyre's centre. Bump steer is not judged yet.",
            &[&lock, &circle],
        );
        (VerdictKind::Suits, one("suits in plan"), sentence, "")
    };
    Verdict { kind, head, sentence, because, unchecked: unchecked(findings), assumed: assumed(case, &x) }
}

/// Optional demands that could not be judged, by name.
fn unchecked(findings: &[Finding]) -> Vec<&'static str> {
    let mut out = Vec::new();
    for f in findings.iter().filter(|f| f.kind == Kind::Missing && !f.judged) {
        let what = match f.name {
            "inner_joint" => "inner joint angles",
            "outer_joint" => "outer joint angles",
            "rod_length" => "rod length in the donor's range",
            "circle_edge_max" => "circle at the tyre's outer edge",
            "wall_to_wall_max" => "circle wall to wall",
            _ => continue,
        };
        if !out.contains(&what) {
            out.push(what);
        }
    }
    out
}

fn assumed(case: &Case, x: &Inputs) -> Vec<&'static str> {
    let mut out = Vec::new();
    out.extend(case.axis_note(true));
    out.extend(case.axis_note(false));
    if x.get(Field::Height).is_none() {
        out.push("inner joints taken as level with the rod ends");
    }
    if x.get(Field::Offset).is_none() {
        out.push("rack taken as centred on the car");
    }
    out
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
