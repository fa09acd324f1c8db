//! What is shown: the whole plan evaluated, every figure with its text. The page and the command line show exactly this.

use crate::analysis::curves::curves;
use crate::catalogue::field::{Field, Section};
use crate::catalogue::result::{RESULTS, ResultId, Results, Sides};
use crate::catalogue::value::{Assumed, Gap};
use crate::judgement::case::{Case, Evaluated};
use crate::judgement::compare::{Alike, alike};
use crate::judgement::demand::about;
use crate::judgement::finding::Finding;
use crate::judgement::findings::findings;
use crate::judgement::notice::{notices, typed_fraction, unused, unused_of};
use crate::judgement::rack_line::Line;
use crate::judgement::verdict::{Verdict, verdict};
use crate::linkage::travel::ENDS;
use crate::linkage::wheel::Level;
use crate::measurement::decimal::fixed;
use crate::measurement::entry::{Entry, Side, Unclear};
use crate::measurement::figure::{Text, degrees, figure, trimmed};
use crate::measurement::quantity::{Quantity, ResultUnit};
use crate::measurement::unit::{base, in_other_units};
use crate::plan::inputs::{Origin, Readings, carrier, of_section};
use crate::plan::{Entries, Plan, Rack};
use crate::present::parts::{Judged, PartState, parts};
use crate::wording;
use litemap::LiteMap;
use serde::Serialize;
use std::rc::Rc;

/// A plan, evaluated.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
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
    #[cfg_attr(test, ts(as = "std::collections::BTreeMap<String, FieldView>"))]
    pub car: LiteMap<&'static str, FieldView>,
    /// The limits, by name.
    #[cfg_attr(test, ts(as = "std::collections::BTreeMap<String, FieldView>"))]
    pub limits: LiteMap<&'static str, FieldView>,
    /// The racks.
    pub racks: Vec<Rc<RackView>>,
    /// Which racks the ± cannot tell apart, question by question.
    pub alike: Vec<Alike>,
    /// How every part of the job stands.
    pub parts: Vec<PartState>,
}

/// One measurement as its field shows it.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct FieldView {
    /// The text as typed.
    pub text: String,
    /// The unit it was typed in.
    pub unit: &'static str,
    /// The direction chosen; empty for none.
    pub side: &'static str,
    /// "ok", "carried", "default", "found" for a rack line that nobody typed, "unclear", or "off" for a limit that is not judged.
    pub status: &'static str,
    /// What is wrong with it and how to mend it; empty when nothing is.
    pub problem: String,
    /// The value in the other unit; empty where there is none.
    pub other: String,
    /// Its ± and where that comes from.
    pub pm: Text,
    /// The rack it is carried over from.
    pub from: String,
    /// What is to be said of the reading itself: that nothing uses it yet, or that a slip is likely; empty where nothing is.
    pub note: String,
}

/// One rack, evaluated.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct RackView {
    /// Its name.
    pub name: String,
    /// Its note.
    pub note: String,
    /// The verdict.
    pub verdict: Verdict,
    /// Where it sits.
    pub line: LineView,
    /// Its fields, by name, carried ones included; absent ones are left out.
    #[cfg_attr(test, ts(as = "std::collections::BTreeMap<String, FieldView>"))]
    pub fields: LiteMap<&'static str, FieldView>,
    /// Every result of the table, in its order.
    pub results: Vec<ResultView>,
    /// Every finding, in the order in which they weigh.
    pub findings: Vec<Finding>,
    /// Curves over the turn.
    pub curves: CurvesView,
}

/// Where a rack sits, fore and aft, and within what it suits.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct LineView {
    /// "typed", "found" (the best one, within a stretch that passes), "none" (no line passes: the one that misses least), "level" (too little
    /// is known for one to be better than another) or "unread".
    pub status: &'static str,
    /// The rack line, mm, ahead of the tie-rod ends positive.
    pub at: Option<f64>,
    /// Rearmost line of the stretch that passes, mm.
    pub from: Option<f64>,
    /// Foremost line of it, mm.
    pub to: Option<f64>,
    /// The finding that fails further to the rear; "room" where the car's room ends there.
    pub from_limit: &'static str,
    /// The same further to the front.
    pub to_limit: &'static str,
    /// Where it sits, in a few words.
    pub short: Text,
    /// Where it sits and what bounds that, in a sentence.
    pub text: Text,
}

/// One result.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
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
    /// What the figure leans on that was not measured; what ends a travel.
    pub notes: Vec<String>,
}

/// Curves over the turn.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
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
}

/// What a key changes at once: the car and the rack that is shown, however many others there are.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct First {
    /// As in [`View`].
    pub chosen: usize,
    /// As in [`View`].
    #[cfg_attr(test, ts(as = "std::collections::BTreeMap<String, FieldView>"))]
    pub car: LiteMap<&'static str, FieldView>,
    /// As in [`View`].
    #[cfg_attr(test, ts(as = "std::collections::BTreeMap<String, FieldView>"))]
    pub limits: LiteMap<&'static str, FieldView>,
    /// The rack that is shown.
    pub rack: Option<Rc<RackView>>,
    /// How the parts stand that do not compare racks.
    pub parts: Vec<PartState>,
}

/// One rack as far as a view is put together from it.
pub(crate) struct Part {
    /// The rack, evaluated.
    pub e: Rc<Evaluated>,
    /// What is shown of it.
    pub shown: Rc<RackView>,
}

impl Part {
    fn judged(&self) -> Judged<'_> {
        Judged { case: self.e.case(), verdict: &self.shown.verdict, findings: &self.shown.findings }
    }
}

/// The view of a plan whose racks are these; `car` is what is known without any rack.
pub(crate) fn view(plan: &Plan, car: &Readings, racks: &[Part]) -> View {
    // Notes beside the car's fields are those for the rack that is shown.
    let beside = racks.get(plan.chosen).or(racks.first()).map_or_else(|| unused_of(car), |part| unused(&part.e.case()));
    let readings: Vec<&Readings> = racks.iter().map(|part| &part.e.readings).collect();
    let verdicts: Vec<&Verdict> = racks.iter().map(|part| &part.shown.verdict).collect();
    let solved: Vec<&Evaluated> = racks.iter().map(|part| &*part.e).collect();
    View {
        name: plan.name.clone(),
        invented: plan.invented,
        unshown: match plan.unshown() {
            0 => String::new(),
            1 => "1 entry from a newer Donorack not shown".to_owned(),
            n => format!("{n} entries from a newer Donorack not shown"),
        },
        chosen: plan.chosen,
        car: fields(Section::Car, &plan.car, car, plan, 0, &beside),
        limits: fields(Section::Limits, &plan.limits, car, plan, 0, &[]),
        parts: parts(car, &readings, Some(&verdicts), racks.get(plan.chosen).map(Part::judged), plan.chosen),
        alike: alike(plan, &solved),
        racks: racks.iter().map(|part| part.shown.clone()).collect(),
    }
}

/// As much of [`view`] as a key changes at once: `shown` is the chosen rack, if there is one; `readings` are those of every rack.
pub(crate) fn first(plan: &Plan, car: &Readings, readings: &[&Readings], shown: Option<Part>) -> First {
    let beside = shown.as_ref().map_or_else(|| unused_of(car), |part| unused(&part.e.case()));
    First {
        chosen: plan.chosen,
        car: fields(Section::Car, &plan.car, car, plan, 0, &beside),
        limits: fields(Section::Limits, &plan.limits, car, plan, 0, &[]),
        parts: parts(car, readings, None, shown.as_ref().map(Part::judged), plan.chosen),
        rack: shown.map(|part| part.shown),
    }
}

/// A plan as it was typed, without anything that follows from it.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct Typed {
    /// As in [`View`], without notes.
    #[cfg_attr(test, ts(as = "std::collections::BTreeMap<String, FieldView>"))]
    pub car: LiteMap<&'static str, FieldView>,
    /// As in [`View`].
    #[cfg_attr(test, ts(as = "std::collections::BTreeMap<String, FieldView>"))]
    pub limits: LiteMap<&'static str, FieldView>,
    /// The racks.
    pub racks: Vec<TypedRack>,
}

/// A rack as it was typed.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct TypedRack {
    /// Its name.
    pub name: String,
    /// Its note.
    pub note: String,
    /// Its fields, by name, carried ones included; without notes.
    #[cfg_attr(test, ts(as = "std::collections::BTreeMap<String, FieldView>"))]
    pub fields: LiteMap<&'static str, FieldView>,
}

/// A plan as it was typed: at a small share of the cost of evaluating it.
pub fn as_typed(plan: &Plan) -> Typed {
    let shared = Readings::shared(plan);
    let car = shared.clone().with_rack(plan, usize::MAX);
    let rack = |(i, rack): (usize, &Rack)| {
        let readings = shared.clone().with_rack(plan, i);
        let fields = fields(Section::Rack, &rack.entries, &readings, plan, i, &[]);
        TypedRack { name: rack.name.clone(), note: rack.note.clone(), fields }
    };
    Typed {
        car: fields(Section::Car, &plan.car, &car, plan, 0, &[]),
        limits: fields(Section::Limits, &plan.limits, &car, plan, 0, &[]),
        racks: plan.racks.iter().enumerate().map(rack).collect(),
    }
}

/// What is shown of one rack: of the plan it takes the car, the rack, and what is carried over from others with their names.
pub(crate) fn rack_view(plan: &Plan, index: usize, e: &Evaluated, remedies: bool) -> RackView {
    let rack = &plan.racks[index];
    let case = e.case();
    let mut findings = findings(&case);
    if remedies {
        crate::judgement::remedy::add(&case, &mut findings);
    }
    let notices = notices(&case, plan, index, &findings);
    findings.extend(notices);
    let verdict = verdict(&case, &findings);
    RackView {
        name: rack.name.clone(),
        note: rack.note.clone(),
        fields: fields(Section::Rack, &rack.entries, &e.readings, plan, index, &unused(&case)),
        results: results(&case),
        curves: curves_view(&case),
        line: line_view(&case),
        verdict,
        findings,
    }
}

fn line_view(case: &Case) -> LineView {
    let at = case.x().get(Field::RackLine);
    let unlike = case.unlike_note().map_or_else(Text::default, |note| Text::same(format!(" {}.", wording::capital(note))));
    let plain = |status, text: Text| LineView {
        status,
        at,
        from: None,
        to: None,
        from_limit: "",
        to_limit: "",
        short: at.map_or_else(Text::default, wording::line_short),
        text: Text::fill("{}{}", &[&text, &unlike]),
    };
    match (case.line, at) {
        (Line::Typed, None) => plain("unread", Text::default()),
        (Line::Typed, Some(at)) => plain("typed", Text::fill("Rack line as typed, {}.", &[&wording::line(at)])),
        (Line::Level, _) => plain("level", Text::same("Taken as level with the tie-rod ends until its best place can be found.")),
        (Line::Found(best), _) => {
            let Some([rear, front]) = best.stretch else {
                let say = "No rack line in the room there is keeps every demand: {} comes nearest.";
                return plain("none", Text::fill(say, &[&wording::line(best.at)]));
            };
            let why = |end: &crate::judgement::rack_line::LineEnd| about(end.limit);
            let backwards = case.solution.direction.is_some_and(|d| case.x().get(Field::BarMoves).is_some_and(|b| b != d));
            let turned = if backwards { "Turned end for end: best" } else { "Best" };
            let text = Text::fill(
                "{} {}; ± aside it keeps every demand from {} ({}) to {} ({}).",
                &[
                    &turned,
                    &wording::line(best.at),
                    &wording::line_short(front.at),
                    &why(&front),
                    &wording::line_short(rear.at),
                    &why(&rear),
                ],
            );
            LineView { from: Some(rear.at), to: Some(front.at), from_limit: rear.limit, to_limit: front.limit, ..plain("found", text) }
        }
    }
}

fn fields(
    section: Section,
    entries: &Entries,
    readings: &Readings,
    plan: &Plan,
    rack: usize,
    unused: &[(Field, &'static str)],
) -> LiteMap<&'static str, FieldView> {
    let mut out = LiteMap::new();
    for field in of_section(section) {
        let item = readings.items[field as usize];
        let (entry, status, from) = match (entries.get(&field), item.map(|i| i.origin)) {
            (Some(e), _) => (e.clone(), "ok", String::new()),
            (None, Some(Origin::Default)) => (starting(field), "default", String::new()),
            (None, Some(Origin::Found)) => (place(item.map_or(0.0, |i| i.value)), "found", String::new()),
            (None, _) if section == Section::Rack => {
                match carrier(plan, rack, field).filter(|_| crate::plan::inputs::CARRIED.contains(&field)) {
                    Some(i) => (plan.racks[i].entries[&field].clone(), "carried", plan.racks[i].name.clone()),
                    None => continue,
                }
            }
            _ => continue,
        };
        let mut view = field_view(field, &entry, status, from);
        if let Some((_, why)) = unused.iter().find(|u| u.0 == field) {
            let beyond =
                if matches!(field, Field::KingpinInclination | Field::RodEndHeight | Field::Caster) { " beyond the ±" } else { "" };
            view.note = format!("Not used yet{beyond}: it {why}.");
        } else if typed_fraction(field, &entry) {
            view.note = "A fraction of a millimetre? If these are inches, choose in.".to_owned();
        } else if section == Section::Limits && entry.read(&field.spec().scale).is_ok_and(|r| r.pm > 0.0) {
            view.note = "A limit is exact: its ± is left out.".to_owned();
        }
        out.insert(field.spec().name, view);
    }
    out
}

/// The entry that a rack line found amounts to.
fn place(at: f64) -> Entry {
    Entry::new(fixed(at.abs(), 0), crate::measurement::unit::Unit::Mm, Some(if at < 0.0 { Side::Minus } else { Side::Plus }))
}

/// The entry that a default limit amounts to.
pub(crate) fn starting(field: Field) -> Entry {
    let all = crate::plan::inputs::STARTING_LIMITS
        .iter()
        .chain(&crate::plan::inputs::STARTING_SETTINGS)
        .chain(&crate::plan::inputs::STARTING_BANDS);
    let value = all.clone().find(|s| s.0 == field).map_or(0.0, |s| s.1);
    match field.spec().scale.sides {
        Some(_) => {
            Entry::new(trimmed(value.abs()), base(field.spec().scale.quantity), Some(if value < 0.0 { Side::Minus } else { Side::Plus }))
        }
        None => Entry::new(trimmed(value), base(field.spec().scale.quantity), None),
    }
}

fn field_view(field: Field, entry: &Entry, status: &'static str, from: String) -> FieldView {
    let spec = field.spec();
    let read = entry.read(&spec.scale);
    let blank = matches!(read, Err(Unclear::Empty));
    let side = match (entry.side, spec.scale.sides) {
        (Some(Side::Plus), Some((plus, _))) => plus,
        (Some(Side::Minus), Some((_, minus))) => minus,
        _ => "",
    };
    let (status, problem) = match &read {
        Ok(_) => (status, String::new()),
        Err(_) if blank => (status, String::new()),
        Err(Unclear::Off) => ("off", String::new()),
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
            if spec.scale.quantity == Quantity::Choice {
                String::new()
            } else {
                in_other_units(spec.scale.quantity, r.value.abs(), r.pm, r.unit)
            }
        }),
        pm: good.map_or(Text::default(), |r| tolerance(field, r.pm, r.pm_typed)),
        from,
        note: String::new(),
    }
}

/// "± 1.5 mm, tape", or "exact".
pub(crate) fn tolerance(field: Field, pm: f64, typed: bool) -> Text {
    let spec = field.spec();
    if pm <= 0.0 {
        return if typed { Text::same("exact") } else { Text::default() };
    }
    let how = if typed { "typed" } else { wording::method(spec.scale.method) };
    let text = match spec.scale.quantity {
        Quantity::Length | Quantity::Circle => crate::measurement::figure::tolerance(pm),
        Quantity::Turns => Text::same(format!("{} turns", trimmed(pm))),
        Quantity::Angle => Text::same(format!("{}°", trimmed(pm))),
        _ => Text::same(trimmed(pm)),
    };
    wording::tolerance(&text, how)
}

fn results(case: &Case) -> Vec<ResultView> {
    let results = &case.solution.results;
    let (ground, rod_end, lean) = (case.axis_note(Level::Ground), case.axis_note(Level::RodEnd), case.lean_note());
    let mut out = Vec::with_capacity(crate::catalogue::result::VALUE_COUNT);
    for row in RESULTS {
        for k in 0..row.count() {
            let value = results.get(row.name, k);
            let place = Results::index(row.name, k);
            let (pm, most) = (case.uncertainties.pm[place], case.uncertainties.most[place]);
            let (status, why, text) = match value {
                Ok(_) => ("ok", String::new(), case.shown(row.name, k)),
                Err(gap) => {
                    let why = wording::gap(gap, case.readings);
                    (if matches!(gap, Gap::Missing(_)) { "missing" } else { "unreachable" }, why.clone(), Text::same(why))
                }
            };
            let mut notes = Vec::new();
            if value.is_ok() {
                let assumed = results.trace(row.name, k).assumed;
                for (what, note) in [(Assumed::SpacingAtGround, ground), (Assumed::SpacingAtRodEnd, rod_end), (Assumed::Lean, lean)] {
                    notes.extend(note.filter(|_| assumed.contains(what)).map(str::to_owned));
                }
                let end = case.solution.ends[1 - k].filter(|_| row.name == ResultId::UsableTravel);
                notes.extend(end.map(|e| format!("ended by {}", wording::end(ENDS[e]))));
                if row.sides == Sides::Lock {
                    notes.extend(stop_to_make(case, k));
                }
            }
            out.push(ResultView {
                name: row.key,
                side: wording::side(row.sides, k),
                value: value.ok(),
                pm,
                unit: wording::unit(row.unit),
                status,
                why,
                text,
                most: most.map_or("", |m| m.0.label()),
                most_share: most.map_or(0.0, |m| (100.0 * m.1).round()),
                notes,
            });
        }
    }
    out
}

/// That a lock counts on a stop which somebody has to make, where no part of the rack ends it.
fn stop_to_make(case: &Case, lock: usize) -> Option<String> {
    let way = usize::from((lock == 0) == (case.solution.direction? > 0.0));
    let end = ENDS[case.solution.ends[way]?];
    let travel = case.solution.results.get(ResultId::UsableTravel, 1 - way).ok()?;
    let made = !matches!(end, crate::linkage::travel::End::Rack | crate::linkage::travel::End::Stop);
    made.then(|| {
        let at = crate::measurement::figure::at_most(travel);
        format!("with a stop at {} ({}), to be made", at.mm, at.inch)
    })
}

fn curves_view(case: &Case) -> CurvesView {
    let c = curves(&case.readings.inputs(), case.solution);
    let results = &case.solution.results;
    let locks: Vec<String> = (0..2)
        .filter_map(|side| {
            let get = |n| results.get(n, side).ok();
            let (i, o) = (get(ResultId::LockInner)?, get(ResultId::LockOuter)?);
            let share = get(ResultId::AckermannAngle).map_or(String::new(), |a| {
                format!(": {} of the ideal toe-out by angle difference", figure(ResultUnit::Percent, a, None).mm)
            });
            let lock = if c.differ { ["At lock left", "At lock right"][side] } else { "At either lock" };
            Some(format!("{lock} the inner wheel turns {}, the outer {}{share}.", degrees(i).mm, degrees(o).mm))
        })
        .take(if c.differ { 2 } else { 1 })
        .collect();
    let [left, right] = c.toe_out;
    CurvesView {
        toe_out_left: left,
        toe_out_right: right,
        ideal: c.ideal,
        ratio: c.ratio,
        differ: c.differ,
        summary: Text::same(crate::wording::joined(&locks, " ")),
    }
}
