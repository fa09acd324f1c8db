//! What is shown: the whole plan evaluated, every figure with its text. The page and the command line show exactly this.

use crate::curves::{POINTS, curves};
use crate::fields::{FIELDS, Field, Quantity, Section};
use crate::findings::{Case, Finding, Verdict, findings, verdict};
use crate::measure::{Entry, Side, Unclear};
use crate::plan::{Entries, Plan};
use crate::readings::{Origin, Readings, carrier, of_section};
use crate::results::{Gap, Name, RESULTS, ResultUnit, Sheet, Sides};
use crate::steering::{Solution, position, solve};
use crate::text::{Text, degrees, figure};
use crate::travel::ENDS;
use crate::uncertainty::{Doubt, doubt};
use crate::units::{Unit, base, other};
use crate::words;
use serde::Serialize;
use std::collections::BTreeMap;

/// A plan, evaluated.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct View {
    /// The plan's name.
    pub name: String,
    /// Whether its figures are invented.
    pub invented: bool,
    /// How many entries from a newer program are not shown, as a sentence; empty for none.
    pub unshown: String,
    /// The chosen rack.
    pub chosen: usize,
    /// The car's fields, by name; absent ones are left out.
    pub car: BTreeMap<&'static str, FieldView>,
    /// The limits, by name.
    pub limits: BTreeMap<&'static str, FieldView>,
    /// The racks.
    pub racks: Vec<RackView>,
}

/// One measurement as its field shows it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FieldView {
    /// The text as typed.
    pub text: String,
    /// The unit it was typed in.
    pub unit: &'static str,
    /// The direction chosen; empty for none.
    pub side: &'static str,
    /// "ok", "carried", "default" or "unclear".
    pub status: &'static str,
    /// What is wrong with it and how to mend it; empty when nothing is.
    pub problem: String,
    /// The value in the other unit; empty where there is none.
    pub other: String,
    /// Its ± and where that comes from.
    pub pm: Text,
    /// The rack it is carried over from.
    pub from: String,
}

/// One rack, evaluated.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RackView {
    /// Its name.
    pub name: String,
    /// Its note.
    pub note: String,
    /// The verdict.
    pub verdict: Verdict,
    /// Its fields, by name, carried ones included; absent ones are left out.
    pub fields: BTreeMap<&'static str, FieldView>,
    /// Every result of the table, in its order.
    pub results: Vec<ResultView>,
    /// Every finding, in the order in which they weigh.
    pub findings: Vec<Finding>,
    /// Curves over the turn.
    pub curves: CurvesView,
}

/// One result.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ResultView {
    /// Its name.
    pub name: &'static str,
    /// Which of its two values; empty for the only one.
    pub side: &'static str,
    /// The value, where there is one.
    pub value: Option<f64>,
    /// Its ±, 95 %.
    pub pm: Option<f64>,
    /// Unit of both.
    pub unit: &'static str,
    /// "ok", "missing" or "unreachable".
    pub status: &'static str,
    /// What is missing, or why there is no such value; empty when there is one.
    pub why: String,
    /// As shown.
    pub text: Text,
    /// The reading that contributes most to the ±.
    pub most: &'static str,
    /// Its share of the square of the ±, per cent.
    pub most_share: f64,
    /// What the figure leans on that was not measured.
    pub notes: Vec<&'static str>,
}

/// Curves over the turn.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CurvesView {
    /// Toe-out against the inner wheel's angle, degrees, left turn.
    pub toe_out_left: Vec<(f64, f64)>,
    /// The same for a right turn.
    pub toe_out_right: Vec<(f64, f64)>,
    /// The same for ideal Ackermann.
    pub ideal: Vec<(f64, f64)>,
    /// Overall ratio against turns of the steering wheel, left positive.
    pub ratio: Vec<(f64, f64)>,
    /// Whether the two turns differ.
    pub differ: bool,
    /// The toe-out curves in a sentence.
    pub summary: Text,
    /// The toe-out curves as a table: turn, inner angle, outer angle, toe-out, ideal toe-out, as shown.
    pub table: Vec<[String; 5]>,
}

/// One row of the table of results, for whoever shows it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ResultRow {
    /// Its name.
    pub name: &'static str,
    /// What it is called.
    pub label: &'static str,
    /// Its formula in words.
    pub explain: &'static str,
    /// Unit of its value and ±.
    pub unit: &'static str,
    /// What its two sides are called; empty for one value.
    pub sides: Vec<&'static str>,
}

/// One row of the table of measurements, for whoever shows it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FieldRow {
    /// "car", "rack" or "limits".
    pub section: &'static str,
    /// Its name.
    pub name: &'static str,
    /// What it is called.
    pub label: &'static str,
    /// Where the tape goes.
    pub hint: &'static str,
    /// The units its field can show, the metric one first; empty for a choice.
    pub units: Vec<&'static str>,
    /// Its two directions, or words; empty for none.
    pub sides: Vec<&'static str>,
    /// Whether it is a choice between its two words.
    pub choice: bool,
    /// Whether a rack without it takes the next rack's.
    pub carried: bool,
    /// How it is usually measured, with the ± that brings.
    pub pm: Text,
}

/// The table of results.
pub fn result_rows() -> Vec<ResultRow> {
    let row = |r: &crate::results::Row| {
        let (label, explain) = words::result(r.name);
        let sides = if r.sides == Sides::One { Vec::new() } else { vec![words::side(r.sides, 0), words::side(r.sides, 1)] };
        ResultRow { name: r.key, label, explain, unit: words::unit(r.unit), sides }
    };
    RESULTS.iter().map(row).collect()
}

/// The table of measurements.
pub fn field_rows() -> Vec<FieldRow> {
    let row = |s: &crate::fields::Spec| {
        let (label, hint) = words::field(s.field);
        let choice = s.quantity == Quantity::Choice;
        let units = if choice { Vec::new() } else { crate::units::shown(s.quantity).iter().map(|u| u.name()).collect() };
        FieldRow {
            section: section_name(s.section),
            name: s.name,
            label,
            hint,
            units,
            sides: s.sides.map_or(Vec::new(), |(a, b)| vec![a, b]),
            choice,
            carried: crate::readings::CARRIED.contains(&s.field),
            pm: tolerance(s.field, crate::units::default_pm(s.method), false),
        }
    };
    FIELDS.iter().map(row).collect()
}

/// The name of a section in files.
pub fn section_name(s: Section) -> &'static str {
    match s {
        Section::Car => "car",
        Section::Rack => "rack",
        Section::Limits => "limits",
    }
}

/// A rack of a plan with everything computed for it.
#[derive(Debug, Clone, PartialEq)]
pub struct Evaluated {
    /// What is known.
    pub readings: Readings,
    /// What follows.
    pub solution: Solution,
    /// How sure it is.
    pub doubt: Doubt,
}

/// Computes everything for the rack of index `rack` (or for the car alone, where there is none).
pub fn evaluate_rack(plan: &Plan, rack: usize) -> Evaluated {
    let readings = Readings::of(plan, rack);
    let solution = solve(&readings.inputs(), [None; 2]);
    let doubt = doubt(&readings, &solution);
    Evaluated { readings, solution, doubt }
}

/// Evaluates a plan.
pub fn evaluate(plan: &Plan) -> View {
    let car = Readings::of(plan, usize::MAX);
    View {
        name: plan.name.clone(),
        invented: plan.invented,
        unshown: match plan.unshown() {
            0 => String::new(),
            1 => "1 entry from a newer Donorack not shown".to_owned(),
            n => format!("{n} entries from a newer Donorack not shown"),
        },
        chosen: plan.chosen,
        car: fields(Section::Car, &plan.car, &car, plan, 0),
        limits: fields(Section::Limits, &plan.limits, &car, plan, 0),
        racks: (0..plan.racks.len()).map(|i| rack_view(plan, i)).collect(),
    }
}

fn rack_view(plan: &Plan, index: usize) -> RackView {
    let rack = &plan.racks[index];
    let e = evaluate_rack(plan, index);
    let case = Case { readings: &e.readings, solution: &e.solution, doubt: &e.doubt };
    let findings = findings(&case);
    let verdict = verdict(&case, &findings);
    RackView {
        name: rack.name.clone(),
        note: rack.note.clone(),
        fields: fields(Section::Rack, &rack.entries, &e.readings, plan, index),
        results: results(&case),
        curves: curves_view(&case),
        verdict,
        findings,
    }
}

fn fields(section: Section, entries: &Entries, readings: &Readings, plan: &Plan, rack: usize) -> BTreeMap<&'static str, FieldView> {
    let mut out = BTreeMap::new();
    for field in of_section(section) {
        let item = readings.items[field as usize];
        let (entry, status, from) = match (entries.get(&field), item.map(|i| i.origin)) {
            (Some(e), _) => (e.clone(), "ok", String::new()),
            (None, Some(Origin::Default)) => (starting(field), "default", String::new()),
            (None, _) if section == Section::Rack => match carrier(plan, rack, field).filter(|_| crate::readings::CARRIED.contains(&field))
            {
                Some(i) => (plan.racks[i].entries[&field].clone(), "carried", plan.racks[i].name.clone()),
                None => continue,
            },
            _ => continue,
        };
        out.insert(field.spec().name, field_view(field, &entry, status, from));
    }
    out
}

/// The entry that a default limit amounts to.
fn starting(field: Field) -> Entry {
    let value = crate::readings::STARTING_LIMITS.iter().find(|s| s.0 == field).map_or(0.0, |s| s.1);
    Entry::new(format!("{value}"), base(field.spec().quantity), None)
}

fn field_view(field: Field, entry: &Entry, status: &'static str, from: String) -> FieldView {
    let spec = field.spec();
    let read = entry.read(spec);
    let blank = matches!(read, Err(Unclear::Empty));
    let side = match (entry.side, spec.sides) {
        (Some(Side::Plus), Some((plus, _))) => plus,
        (Some(Side::Minus), Some((_, minus))) => minus,
        _ => "",
    };
    let (status, problem) = match &read {
        Ok(_) => (status, String::new()),
        Err(_) if blank => (status, String::new()),
        Err(why) => ("unclear", why.to_string()),
    };
    let good = read.ok();
    FieldView {
        text: entry.text.clone(),
        unit: entry.unit.name(),
        side,
        status,
        problem,
        other: good.map_or(String::new(), |r| {
            if spec.quantity == Quantity::Choice { String::new() } else { other(spec.quantity, r.value.abs(), r.pm, r.unit) }
        }),
        pm: good.map_or(Text::default(), |r| tolerance(field, r.pm, r.pm_typed)),
        from,
    }
}

/// "± 1.5 mm, tape", or "exact".
fn tolerance(field: Field, pm: f64, typed: bool) -> Text {
    let spec = field.spec();
    if pm <= 0.0 {
        return if typed { Text::same("exact") } else { Text::default() };
    }
    let how = if typed { "typed" } else { words::method(spec.method) };
    let text = match spec.quantity {
        Quantity::Length | Quantity::Circle => Text { mm: plain(pm, Unit::Mm), inch: plain(pm / 25.4, Unit::In) },
        Quantity::Turns => Text::same(plain(pm, Unit::Turns)),
        Quantity::Angle => Text::same(format!("{}°", trimmed(pm))),
        _ => Text::same(trimmed(pm)),
    };
    words::tolerance(&text, how)
}

fn plain(x: f64, unit: Unit) -> String {
    format!("{} {}", trimmed(x), unit.name())
}

/// Two significant figures, without trailing zeros.
fn trimmed(x: f64) -> String {
    let d = (1.0 - x.abs().max(1e-9).log10().floor()).clamp(0.0, 6.0) as usize;
    let s = format!("{x:.d$}");
    if s.contains('.') { s.trim_end_matches('0').trim_end_matches('.').to_owned() } else { s }
}

fn results(case: &Case) -> Vec<ResultView> {
    let sheet = &case.solution.sheet;
    let (ground, rod_end) = (case.axis_note(true), case.axis_note(false));
    let mut out = Vec::with_capacity(crate::results::VALUE_COUNT);
    for row in RESULTS {
        for k in 0..row.count() {
            let value = sheet.get(row.name, k);
            let place = Sheet::place(row.name, k);
            let (pm, most) = (case.doubt.pm[place], case.doubt.most[place]);
            let (status, why, text) = match value {
                Ok(v) => ("ok", String::new(), figure(row.unit, v, pm)),
                Err(gap) => {
                    let why = words::gap(gap, case.readings);
                    (if matches!(gap, Gap::Missing(_)) { "missing" } else { "unreachable" }, why.clone(), Text::same(why))
                }
            };
            let mut notes = Vec::new();
            if value.is_ok() {
                notes.extend(ground.filter(|_| leans_on_ground(row.name)));
                notes.extend(rod_end.filter(|_| leans_on_rod_end(row.name)));
            }
            out.push(ResultView {
                name: row.key,
                side: words::side(row.sides, k),
                value: value.ok(),
                pm,
                unit: words::unit(row.unit),
                status,
                why,
                text,
                most: most.map_or("", |m| words::field(m.0).0),
                most_share: most.map_or(0.0, |m| (100.0 * m.1).round()),
                notes,
            });
        }
    }
    out
}

fn leans_on_rod_end(name: Name) -> bool {
    use Name::*;
    !matches!(name, TravelPerTurn | Travel | TurnsBare | AxisSpacingGround | ScrubRadius | ArmLength | ArmAngle | RatioFirst)
}

fn leans_on_ground(name: Name) -> bool {
    use Name::*;
    matches!(
        name,
        AxisSpacingGround
            | ScrubRadius
            | IdealOuter
            | AckermannAngle
            | AckermannCotangent
            | AckermannLimit
            | CircleCentre
            | CircleOuterRules
            | CircleInnerRules
            | CircleEdge
            | WallToWall
            | RearInnerEdge
    )
}

fn curves_view(case: &Case) -> CurvesView {
    let c = curves(&case.readings.inputs(), case.solution);
    let sheet = &case.solution.sheet;
    let locks: Vec<String> = (0..2)
        .filter_map(|side| {
            let get = |n| sheet.get(n, side).ok();
            let (i, o) = (get(Name::LockInner)?, get(Name::LockOuter)?);
            let share = get(Name::AckermannAngle).map_or(String::new(), |a| {
                format!(": {} of the ideal toe-out by angle difference", figure(ResultUnit::Percent, a, None).mm)
            });
            let lock = if c.differ { ["At lock left", "At lock right"][side] } else { "At either lock" };
            Some(format!("{lock} the inner wheel turns {}, the outer {}{share}.", degrees(i).mm, degrees(o).mm))
        })
        .take(if c.differ { 2 } else { 1 })
        .collect();
    let ideal = |inner: f64| {
        let hit = c.ideal.windows(2).find(|w| w[1].0 >= inner - 1e-9)?;
        let part = if w_span(hit) > 0.0 { (inner - hit[0].0) / w_span(hit) } else { 0.0 };
        Some(hit[0].1 + part * (hit[1].1 - hit[0].1))
    };
    let mut table = Vec::new();
    for (side, turn) in ["left", "right"].into_iter().enumerate().take(if c.differ { 2 } else { 1 }) {
        for p in c.toe_out[side].iter().step_by((POINTS - 1) / 8) {
            let deg = |x: f64| degrees(x).mm;
            let turn = if c.differ { turn } else { "either" };
            table.push([turn.to_owned(), deg(p.0), deg(p.0 - p.1), deg(p.1), ideal(p.0).map_or("–".to_owned(), deg)]);
        }
    }
    let [left, right] = c.toe_out;
    CurvesView {
        toe_out_left: left,
        toe_out_right: right,
        ideal: c.ideal,
        ratio: c.ratio,
        differ: c.differ,
        summary: Text::same(locks.join(" ")),
        table,
    }
}

fn w_span(w: &[(f64, f64)]) -> f64 {
    w[1].0 - w[0].0
}

/// One wheel in the drawing in plan: points [forward, left] in mm from the middle of the front axle.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WheelDrawing {
    /// Steering axis at rod-end height.
    pub axis: [f64; 2],
    /// Middle of the wheel.
    pub contact: [f64; 2],
    /// Outer rod end.
    pub rod_end: [f64; 2],
    /// Inner joint.
    pub inner: [f64; 2],
    /// Steer angle in degrees, left positive.
    pub steer: f64,
    /// The angle, as shown.
    pub text: String,
    /// Transmission angle in degrees.
    pub transmission: f64,
}

/// The axle in plan at one rack displacement.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct AxleDrawing {
    /// Left and right wheel.
    pub wheels: Vec<WheelDrawing>,
    /// Rack displacement in mm, left positive.
    pub rack: f64,
    /// Which wheel is the inner one: "left", "right", or empty straight ahead.
    pub inner: &'static str,
    /// Wheelbase in mm, where known.
    pub wheelbase: Option<f64>,
    /// Where the turning centre lies on the rear axle's line, left positive, mm.
    pub centre: Option<f64>,
    /// Where the outer and the inner wheel's own axes meet that line.
    pub band: Option<[f64; 2]>,
    /// Front tyre width in mm, where known.
    pub tyre: Option<f64>,
    /// Front track in mm, where known.
    pub track: Option<f64>,
    /// The drawing in a sentence.
    pub caption: Text,
}

/// The axle in plan with the steering turned to `share` of the usable travel: 1 lock left, −1 lock right. The error is a sentence.
pub fn axle(plan: &Plan, rack: usize, share: f64) -> Result<AxleDrawing, String> {
    let readings = Readings::of(plan, rack);
    let x = readings.inputs();
    let solution = solve(&x, [None; 2]);
    let sentence = |gap| words::gap(gap, &readings);
    let (Some(wheels), Some(direction)) = (solution.wheels, solution.direction) else {
        return Err(sentence(solution.sheet.get(Name::RodLength, 0).err().unwrap_or(Gap::Missing(crate::results::FieldSet::NONE))));
    };
    let toward_left = share * direction > 0.0;
    let side = if toward_left { 0 } else { 1 };
    let usable = solution.sheet.get(Name::UsableTravel, side);
    let share = if share.is_finite() { share.clamp(-1.0, 1.0) } else { 0.0 };
    let s = if share == 0.0 { 0.0 } else { usable.map_err(sentence)? * share.abs() * if toward_left { 1.0 } else { -1.0 } };
    let at = position(&wheels, s).map_err(sentence)?;
    let get = |n| solution.sheet.get(n, 0).ok();
    let spacing = get(Name::AxisSpacingRodEnd).unwrap_or(0.0);
    let track = x.get(Field::FrontTrack);
    // Without the track the wheel is drawn on its axis, its place then being unknown.
    let scrub = track.map_or(0.0, |t| (t - spacing) / 2.0);
    let drawings = [0, 1].map(|w| {
        let sign = if w == 0 { 1.0 } else { -1.0 };
        let axis = [0.0, sign * spacing / 2.0];
        let (sin, cos) = at.steer[w].sin_cos();
        let l = &wheels[w].linkage;
        let place = |v: crate::geometry::Vec3| [v.x, v.y + axis[1]];
        let outer = l.at(s).map(|t| l.outer(t)).unwrap_or_default();
        let deg = at.steer[w].to_degrees();
        WheelDrawing {
            axis,
            contact: [-sign * scrub * sin, axis[1] + sign * scrub * cos],
            rod_end: place(outer),
            inner: place(l.inner(s)),
            steer: deg,
            text: degrees(deg.abs()).mm,
            transmission: at.transmission[w].to_degrees(),
        }
    });
    let turn = share.signum() * if share == 0.0 { 0.0 } else { 1.0 };
    let (wheelbase, ground) = (x.get(Field::Wheelbase), get(Name::AxisSpacingGround));
    let lock = match (wheelbase, ground, get(Name::ScrubRadius)) {
        (Some(wheelbase), Some(spacing), Some(scrub)) if turn != 0.0 => {
            let lock = crate::circle::Lock { wheelbase, spacing, scrub, steer: at.steer, turn };
            lock.circle().map(|c| (c.centre, [lock.ruled_by(-turn), lock.ruled_by(turn)]))
        }
        _ => None,
    };
    let bar = figure(ResultUnit::Mm, s.abs(), None);
    let ends = solution.ends[if toward_left { 1 } else { 0 }].map(|k| words::end(ENDS[k]));
    let caption = match (s == 0.0, share.abs() == 1.0, ends) {
        (true, ..) => Text::same("Straight ahead, rack at mid-travel."),
        (_, true, Some(end)) => Text::fill(
            &format!(
                "Lock {}: bar {{}} to the {}, where the travel ends at {end}.",
                if turn > 0.0 { "left" } else { "right" },
                if s > 0.0 { "left" } else { "right" }
            ),
            &[&bar],
        ),
        _ => Text::fill(&format!("Bar {{}} to the {}.", if s > 0.0 { "left" } else { "right" }), &[&bar]),
    };
    Ok(AxleDrawing {
        wheels: drawings.into(),
        rack: s,
        inner: if turn > 0.0 {
            "left"
        } else if turn < 0.0 {
            "right"
        } else {
            ""
        },
        wheelbase,
        centre: lock.map(|l| l.0),
        band: lock.map(|l| l.1),
        tyre: x.get(Field::TyreWidth),
        track,
        caption,
    })
}

/// Both wheels at a rack displacement in mm, to every digit: for comparison with another program.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Probe {
    /// Rack displacement, mm, left positive.
    pub rack: f64,
    /// "ok", or why there is no position.
    pub status: String,
    /// Steer angles, degrees, left positive.
    pub steer_left: Option<f64>,
    /// Right wheel.
    pub steer_right: Option<f64>,
    /// Overall steering ratio there; needs the travel per turn.
    pub ratio: Option<f64>,
    /// Transmission angles, degrees.
    pub transmission_left: Option<f64>,
    /// Right wheel.
    pub transmission_right: Option<f64>,
}

/// Probes a rack of a plan at a displacement.
pub fn probe(plan: &Plan, rack: usize, s: f64) -> Probe {
    let readings = Readings::of(plan, rack);
    let solution = solve(&readings.inputs(), [None; 2]);
    let at = match solution.wheels {
        Some(w) => position(&w, s),
        None => Err(solution.sheet.get(Name::RodLength, 0).err().unwrap_or(Gap::Missing(crate::results::FieldSet::NONE))),
    };
    let c = solution.sheet.get(Name::TravelPerTurn, 0).ok();
    let finite = |x: f64| x.is_finite().then_some(x);
    match at {
        Ok(p) => Probe {
            rack: s,
            status: "ok".to_owned(),
            steer_left: finite(p.steer[0].to_degrees()),
            steer_right: finite(p.steer[1].to_degrees()),
            ratio: c.and_then(|c| finite(std::f64::consts::TAU / c / ((p.rate[0] + p.rate[1]) / 2.0).abs())),
            transmission_left: finite(p.transmission[0].to_degrees()),
            transmission_right: finite(p.transmission[1].to_degrees()),
        },
        Err(gap) => Probe {
            rack: s,
            status: words::gap(gap, &readings),
            steer_left: None,
            steer_right: None,
            ratio: None,
            transmission_left: None,
            transmission_right: None,
        },
    }
}
