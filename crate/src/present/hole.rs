//! What makes the tie rod's hole in the frame rail as large as it is, and the pipe that goes round it.

use crate::catalogue::result::{ResultId, Results};
use crate::judgement::case::Evaluated;
use crate::measurement::figure::{Text, figure};
use crate::measurement::quantity::ResultUnit;
use crate::wording::places;

/// Steel pipes: what each is called, outside diameter and wall, mm. ASME B36.10M, schedule 40 (figures seen in open data, not in the standard).
const PIPES: [(&str, f64, f64); 11] = [
    ("¾", 26.7, 2.87),
    ("1", 33.4, 3.38),
    ("1¼", 42.2, 3.56),
    ("1½", 48.3, 3.68),
    ("2", 60.3, 3.91),
    ("2½", 73.0, 5.16),
    ("3", 88.9, 5.49),
    ("3½", 101.6, 5.74),
    ("4", 114.3, 6.02),
    ("5", 141.3, 6.55),
    ("6", 168.3, 7.11),
];

/// In words: what makes it so large, of each rod, then the pipe. Empty where there is no hole.
pub fn hole(e: &Evaluated) -> Vec<Text> {
    let mut out: Vec<Text> = Vec::new();
    let mut wide = 0.0_f64;
    for (side, of) in ["Left rod", "Right rod"].into_iter().enumerate() {
        let Ok(diameter) = e.solution.results.get(ResultId::HoleDiameter, side) else { continue };
        let cases = e.solution.hole_made_by(side).map(|[travel, s]| places::corner_case(travel, s));
        let cases = cases.reduce(|all, case| Text::fill("{}; {}", &[&all, &case])).unwrap_or_default();
        out.push(Text::fill("{}, so large by: {}.", &[&of, &cases]));
        wide = wide.max(diameter + e.uncertainties.pm[Results::index(ResultId::HoleDiameter, side)].unwrap_or(0.0));
    }
    if !out.is_empty() {
        let mm = |v: f64| figure(ResultUnit::Mm, v, None);
        let pipe = PIPES.into_iter().find(|(_, outside, wall)| outside - 2.0 * wall >= wide);
        out.push(match pipe {
            Some((name, outside, wall)) => Text::fill(
                "The smallest pipe that goes round it, its ± included: {}-inch schedule 40 (ASME B36.10M), {} outside, {} inside.",
                &[&name, &mm(outside), &mm(outside - 2.0 * wall)],
            ),
            None => Text::same("No schedule 40 pipe (ASME B36.10M) up to 6 inches goes round it."),
        });
    }
    out
}
