//! Racks side by side: which of them the ± cannot tell apart, question by question.
//!
//! A reading of the car stands behind both figures and moves both: only what it does to their difference counts. The same holds for
//! a reading of how a rack is fitted that is carried over from one to the other. Everything else is independent.

use crate::catalogue::field::{Field, Section};
use crate::catalogue::result::{ResultId, Results};
use crate::judgement::case::Evaluated;
use crate::judgement::demand::DEMANDS;
use crate::math::order::order;
use crate::plan::Plan;
use crate::plan::inputs::{Origin, carrier};
use serde::Serialize;
use std::cmp::Ordering;

/// The questions, each with the figure that answers it for a rack: the worse of its two sides, by the row of the result.
const QUESTIONS: [(&str, ResultId); 8] = [
    ("lock", ResultId::LockInner),
    ("circle", ResultId::CircleCentre),
    ("bump", ResultId::BumpPeak),
    ("reserve", ResultId::ReserveHardware),
    ("transmission", ResultId::TransmissionLeast),
    ("ratio", ResultId::RatioCentre),
    ("turns", ResultId::Turns),
    ("ackermann", ResultId::AckermannAngle),
];

/// One question: for each rack the others whose figure lies within the ± of the difference, by index.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct Alike {
    /// The question.
    pub key: &'static str,
    /// The result that answers it.
    pub result: &'static str,
    /// The findings that judge it.
    pub findings: Vec<&'static str>,
    /// By rack: the racks that cannot be told apart from it; empty too where there is no figure.
    pub racks: Vec<Vec<usize>>,
    /// The racks, the best first; of alike ones, and of those without a figure, which come last, the first of the plan first.
    pub order: Vec<usize>,
}

/// Every question for the racks of a plan, in its order.
pub fn alike(plan: &Plan, racks: &[&Evaluated]) -> Vec<Alike> {
    let known: Vec<Vec<Reading>> = racks.iter().enumerate().map(|(i, rack)| readings(plan, i, rack)).collect();
    let row = |&(key, result): &(&'static str, ResultId)| {
        let figures: Vec<_> = racks.iter().zip(&known).map(|(rack, known)| Figure::of(rack, known, result)).collect();
        let mut others = vec![Vec::new(); racks.len()];
        for (j, b) in figures.iter().enumerate() {
            for (i, a) in figures[..j].iter().enumerate() {
                if a.as_ref().zip(b.as_ref()).is_some_and(|(a, b)| a.is_like(b)) {
                    // Each list in order: at its own rack those before it, then those after it.
                    others[i].push(j);
                    others[j].push(i);
                }
            }
        }
        let row = result.row();
        let order = order(racks.len(), &|i, j| match (&figures[i], &figures[j]) {
            (Some(a), Some(b)) if row.better.prefers(a.value, b.value) => Ordering::Less,
            (Some(a), Some(b)) if row.better.prefers(b.value, a.value) => Ordering::Greater,
            (a, b) => a.is_none().cmp(&b.is_none()),
        });
        let findings = DEMANDS.iter().filter(|d| d.result == result).map(|d| d.finding).collect();
        Alike { key, result: row.key, findings, racks: others, order }
    };
    // Nothing is asked about bumps before a point of the suspension was measured.
    let points = racks.iter().any(|rack| rack.readings.inputs().has_points());
    QUESTIONS.iter().filter(|q| points || q.1 != ResultId::BumpPeak).map(row).collect()
}

/// A measurement, and the rack for which it was taken; `None` for one of the car.
type Reading = (Field, Option<usize>);

/// The readings of a rack that have a ±, in the order of their effects.
fn readings(plan: &Plan, rack: usize, e: &Evaluated) -> Vec<Reading> {
    let taken_for = |field: Field| match (field.spec().section, e.readings.items[field as usize].map(|i| i.origin)) {
        (Section::Rack, Some(Origin::Carried)) => carrier(plan, rack, field),
        (Section::Rack, _) => Some(rack),
        _ => None,
    };
    e.uncertainties.effects.iter().map(|(field, _)| (*field, taken_for(*field))).collect()
}

/// One rack's answer to a question, with what every reading's ± does to it.
struct Figure {
    value: f64,
    /// Its ±.
    pm: f64,
    effects: Vec<(Reading, f64)>,
}

impl Figure {
    /// The worse of the rack's two figures of a result.
    fn of(rack: &Evaluated, known: &[Reading], result: ResultId) -> Option<Figure> {
        let row = result.row();
        let sides = (0..row.count()).map(|side| Results::index(result, side));
        let values = sides.filter_map(|place| Some((rack.solution.results.values()[place].ok()?, place)));
        let (value, place) = values.reduce(|a, b| if row.better.prefers(a.0, b.0) { b } else { a })?;
        let effects = rack.uncertainties.effects.iter().map(|(_, values)| values[place].unwrap_or(0.0));
        let pm = effects.clone().map(|effect| effect.powi(2)).sum::<f64>().sqrt();
        Some(Figure { value, pm, effects: known.iter().copied().zip(effects).collect() })
    }

    /// Whether the ± cannot tell the two apart.
    fn is_like(&self, other: &Figure) -> bool {
        let apart = (self.value - other.value).abs();
        // The ± of a difference is at most the sum of both: what lies further apart need not be looked into.
        !(apart > (self.pm + other.pm) * (1.0 + 1e-9)) && apart <= difference(self, other)
    }
}

/// The ± of the difference of two figures, 95 %.
fn difference(a: &Figure, b: &Figure) -> f64 {
    // Of racks measured alike a reading stands at the same place.
    let of = |figure: &Figure, (place, reading): (usize, Reading)| {
        let same = figure.effects.get(place).filter(|e| e.0 == reading);
        same.or_else(|| figure.effects.iter().find(|e| e.0 == reading)).map(|e| e.1)
    };
    let both = a.effects.iter().enumerate().map(|(k, (reading, effect))| (effect - of(b, (k, *reading)).unwrap_or(0.0)).powi(2));
    let own = b.effects.iter().enumerate().filter(|(k, (reading, _))| of(a, (*k, *reading)).is_none());
    let (both, own): (f64, f64) = (both.sum(), own.map(|(_, (_, effect))| effect.powi(2)).sum());
    (both + own).sqrt()
}
