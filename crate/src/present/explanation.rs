//! What a figure rests on: the readings that it would not be the same without.

use crate::catalogue::field::{FIELDS, Field};
use crate::catalogue::result::{RESULTS, Results};
use crate::judgement::case::Evaluated;
use crate::linkage::steering::solve_changed;
use crate::measurement::figure::{Text, trimmed};
use crate::plan::Plan;
use crate::plan::inputs::{Origin, carrier};
use crate::present::view::{starting, tolerance};
use crate::wording;
use serde::Serialize;

/// What one figure rests on.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct Explained {
    /// The readings, in the order of the table.
    pub inputs: Vec<Input>,
    /// Where the formula comes from.
    pub source: &'static str,
}

/// One reading that a figure rests on.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
#[cfg_attr(test, ts(rename = "ExplainedInput"))]
pub struct Input {
    /// The name of the measurement.
    pub name: &'static str,
    /// What it is called.
    pub label: &'static str,
    /// As typed: number, unit, side.
    pub typed: String,
    /// Its ± and where that comes from.
    pub pm: Text,
    /// Where it comes from, if it was not typed for this rack or car; else empty.
    pub mark: String,
    /// Its share of the square of the figure's ±, in per cent as shown; empty where it has none.
    pub share: String,
}

/// What rounding alone may do to a figure, as a share of it.
const NOISE: f64 = 1e-8;
/// A change of a reading that is exact, as a share of its size: small, and far above rounding.
const NUDGE: f64 = 1e-4;

/// What the result `name` rests on for the rack of index `rack`, which is `e`; `side` 0 is the only, or the left one. `None`: no such
/// result, or it has no value there.
pub fn explained(plan: &Plan, rack: usize, e: &Evaluated, name: &str, side: usize) -> Option<Explained> {
    let row = RESULTS.iter().find(|r| r.key == name).filter(|r| side < r.count())?;
    let place = Results::index(row.name, side);
    let figure = e.solution.results.values()[place].ok()?;
    let x = e.readings.inputs();
    let read = e.solution.results.trace(row.name, side).read;
    let effect_of = |field: Field| e.uncertainties.effects.iter().find(|(f, _)| *f == field).and_then(|(_, v)| v[place]);
    let squares: f64 = e.uncertainties.effects.iter().filter_map(|(_, v)| Some(v[place]?.powi(2))).sum();
    let input = |field: Field| {
        let (value, item) = x.get(field).zip(e.readings.items[field as usize])?;
        let same = |changed: Option<f64>| {
            let other = solve_changed(field, &x.with(field, changed), [None; 2], &e.solution).results.values()[place];
            other.is_ok_and(|other| (other - figure).abs() <= NOISE * (1.0 + figure.abs()))
        };
        let effect = effect_of(field);
        // Whatever its ± moves; and of what was looked up on the way, that without which there is no such figure. A limit is there always,
        // in one figure or another, and has no ±: its size counts.
        let moved = effect.is_some_and(|effect| effect.abs() > NOISE * (1.0 + figure.abs()))
            || read.contains(field)
                && (effect.is_none() && !same(Some(value + value.abs().max(1.0) * NUDGE))
                    || field.spec().section.is_measured() && !same(None));
        moved.then(|| {
            let spec = field.spec();
            let from = carrier(plan, rack, field).filter(|_| item.origin == Origin::Carried).unwrap_or(rack);
            let entry = plan.entry(field, from);
            let form = entry.map(|e| e.form(&spec.scale));
            let (typed, mark) = match item.origin {
                Origin::Typed | Origin::Off => (form, String::new()),
                Origin::Carried => (form, wording::carried_from(plan, from)),
                Origin::Default => (Some(starting(field).form(&spec.scale)), wording::USUAL.to_owned()),
                Origin::Found => (Some(crate::measurement::figure::length(value.abs()).mm), wording::FOUND.to_owned()),
            };
            let read = entry.and_then(|e| e.read(&spec.scale).ok());
            let part = effect_of(field).map(|effect| effect.powi(2) / squares);
            Input {
                name: spec.name,
                label: field.label(),
                typed: typed.unwrap_or_default(),
                pm: read.filter(|_| spec.section.is_measured()).map_or(Text::default(), |r| tolerance(field, r.pm, r.pm_typed)),
                mark,
                share: part.map(|p| 100.0 * p).filter(|p| *p >= 0.5).map_or(String::new(), |p| format!("{} %", trimmed(p.round()))),
            }
        })
    };
    Some(Explained { inputs: FIELDS.iter().filter_map(|s| input(s.field)).collect(), source: row.source })
}
