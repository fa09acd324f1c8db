//! Racks side by side: which of them the ± cannot tell apart, question by question.
//!
//! A reading of the car stands behind both figures and moves both: only what it does to their difference counts. The same holds for
//! a reading of how a rack is fitted that is carried over from one to the other. Everything else is independent.

use crate::catalogue::field::{Field, Section};
use crate::catalogue::result::{ResultId, Results};
use crate::judgement::case::Evaluated;
use crate::judgement::demand::DEMANDS;
use crate::plan::inputs::{Origin, Readings};
use serde::Serialize;
use std::cmp::Ordering;

/// The questions, each with the figure that answers it for a rack: the worse of its two sides, by the row of the result.
const QUESTIONS: [(&str, ResultId); 7] = [
    ("lock", ResultId::LockInner),
    ("circle", ResultId::CircleCentre),
    ("reserve", ResultId::ReserveHardware),
    ("transmission", ResultId::TransmissionLeast),
    ("ratio", ResultId::RatioCentre),
    ("turns", ResultId::Turns),
    ("ackermann", ResultId::AckermannAngle),
];

/// One question: for each rack the others whose figure lies within the ± of the difference, by index.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
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

/// Every question for these racks, in the order of the plan.
pub fn alike(racks: &[Evaluated]) -> Vec<Alike> {
    let row = |&(key, result): &(&'static str, ResultId)| {
        let figures: Vec<_> = racks.iter().map(|rack| figure(rack, result)).collect();
        let told = |i: usize, j: usize| match (figures[i], figures[j]) {
            (Some((a, p)), Some((b, r))) => (a - b).abs() > difference((&racks[i], i, p), (&racks[j], j, r)),
            _ => true,
        };
        let others = |i: usize| (0..racks.len()).filter(|&j| j != i && !told(i, j)).collect();
        let row = result.row();
        let mut order: Vec<usize> = (0..racks.len()).collect();
        order.sort_by(|&i, &j| match (figures[i], figures[j]) {
            (Some((a, _)), Some((b, _))) if row.better.prefers(a, b) => Ordering::Less,
            (Some((a, _)), Some((b, _))) if row.better.prefers(b, a) => Ordering::Greater,
            (a, b) => a.is_none().cmp(&b.is_none()),
        });
        let findings = DEMANDS.iter().filter(|d| d.result == result).map(|d| d.finding).collect();
        Alike { key, result: row.key, findings, racks: (0..racks.len()).map(others).collect(), order }
    };
    QUESTIONS.iter().map(row).collect()
}

/// The worse of a rack's two figures of a result, and its place among the results.
fn figure(rack: &Evaluated, result: ResultId) -> Option<(f64, usize)> {
    let row = result.row();
    let sides = (0..row.count()).map(|side| Results::index(result, side));
    let values = sides.filter_map(|place| Some((rack.solution.results.values()[place].ok()?, place)));
    values.reduce(|a, b| if row.better.prefers(a.0, b.0) { b } else { a })
}

/// The rack for which a reading was taken; `None` for one of the car.
fn taken_for(readings: &Readings, field: Field, rack: usize) -> Option<usize> {
    match (field.spec().section, readings.items[field as usize].map(|i| i.origin)) {
        (Section::Rack, Some(Origin::Carried(from))) => Some(from),
        (Section::Rack, _) => Some(rack),
        _ => None,
    }
}

/// The ± of the difference of two figures (95 %), each given by its rack, the rack's index and the figure's place.
fn difference(a: (&Evaluated, usize, usize), b: (&Evaluated, usize, usize)) -> f64 {
    let effects = |(e, rack, place): (&Evaluated, usize, usize)| {
        let list =
            e.uncertainties.effects.iter().map(move |(f, values)| ((*f, taken_for(&e.readings, *f, rack)), values[place].unwrap_or(0.0)));
        list.collect::<Vec<_>>()
    };
    let (of_a, mut of_b) = (effects(a), effects(b));
    let mut sum = 0.0;
    for (reading, effect) in of_a {
        let shared = of_b.iter().position(|(r, _)| *r == reading).map_or(0.0, |at| of_b.swap_remove(at).1);
        sum += (effect - shared).powi(2);
    }
    (sum + of_b.iter().map(|(_, effect)| effect.powi(2)).sum::<f64>()).sqrt()
}
