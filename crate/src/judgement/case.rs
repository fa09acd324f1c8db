//! One rack on the car, evaluated: what is known, what follows, how sure it is; what every judgement starts from.

use crate::analysis::uncertainty::{Uncertainties, uncertainties};
use crate::catalogue::field::Field;
use crate::catalogue::result::{ResultId, Results, Signs};
use crate::catalogue::value::Value;
use crate::judgement::demand::limit;
use crate::judgement::rack_line::{Fitted, Line, fitted};
use crate::linkage::assumption;
use crate::linkage::steering::{Solution, solve, with_places};
use crate::linkage::wheel::Level;
use crate::measurement::figure::{Text, ends, figure};
use crate::plan::Plan;
use crate::plan::inputs::{Inputs, Origin, Readings};

/// Origin of a starting value of ours.
const COMMON: &str = "common practice, no source; adjustable";
/// Origin of a limit that the builder set.
pub const OWN: &str = "set by you";
/// Origin of a demand that was turned off.
pub const OFF: &str = "turned off by you";

/// A rack of a plan with everything computed for it.
#[derive(Debug, Clone, PartialEq)]
pub struct Evaluated {
    /// What is known.
    pub readings: Readings,
    /// What follows.
    pub solution: Solution,
    /// How sure it is.
    pub uncertainties: Uncertainties,
    /// Where its rack line comes from.
    pub line: Line,
}

impl Evaluated {
    /// What a judgement needs of it.
    pub fn case(&self) -> Case<'_> {
        Case { readings: &self.readings, solution: &self.solution, uncertainties: &self.uncertainties, line: &self.line }
    }
}

/// Computes everything for the rack of index `rack` (or for the car alone, where there is none).
pub fn evaluate_rack(plan: &Plan, rack: usize) -> Evaluated {
    solved(fitted(plan, rack))
}

/// A rack with its rack line, solved.
pub fn solved(Fitted { readings, line }: Fitted) -> Evaluated {
    let x = readings.inputs();
    let solution = with_places(solve(&x, [None; 2]), &x);
    let uncertainties = uncertainties(&readings, &solution);
    Evaluated { readings, solution, uncertainties, line }
}

/// One rack on the car, solved, with everything a judgement needs.
#[derive(Debug, Clone, Copy)]
pub struct Case<'a> {
    /// What is known.
    pub readings: &'a Readings,
    /// What follows from it.
    pub solution: &'a Solution,
    /// How sure it is.
    pub uncertainties: &'a Uncertainties,
    /// Where its rack line comes from.
    pub line: &'a Line,
}

impl Case<'_> {
    /// What it is computed from.
    pub fn x(&self) -> Inputs {
        self.readings.inputs()
    }

    pub(crate) fn get(&self, name: ResultId, side: usize) -> Value {
        self.solution.results.get(name, side)
    }

    pub(crate) fn pm(&self, name: ResultId, side: usize) -> f64 {
        self.uncertainties.pm[Results::index(name, side)].unwrap_or(0.0)
    }

    pub(crate) fn limit(&self, field: Field) -> Option<f64> {
        limit(&self.x(), field)
    }

    /// A result as read: with its ±, or by both ends where it cannot be negative and the ± reaches past nought.
    pub fn shown(&self, name: ResultId, side: usize) -> Text {
        self.get(name, side).map_or(Text::default(), |value| as_read(name, value, self.pm(name, side)))
    }

    pub(crate) fn origin(&self, field: Field) -> &'static str {
        match self.readings.items[field as usize] {
            Some(i) if i.origin == Origin::Default => COMMON,
            Some(i) if i.origin == Origin::Off => OFF,
            _ => OWN,
        }
    }

    /// The two sides of a demand, or one for both where they are alike: (side for values, place in the words).
    pub(crate) fn sides(&self, name: ResultId) -> Vec<(usize, usize)> {
        let (a, b) = (self.get(name, 0), self.get(name, 1));
        let alike = match (a, b) {
            (Ok(a), Ok(b)) => (a - b).abs() < 1e-9,
            _ => a == b,
        };
        if alike && (self.pm(name, 0) - self.pm(name, 1)).abs() < 1e-6 { vec![(0, 2)] } else { vec![(0, 0), (1, 1)] }
    }

    /// What a figure that leans on the axes' spacing at that height must say, if anything.
    pub fn axis_note(&self, level: Level) -> Option<&'static str> {
        assumption::taken_over(&self.x(), level).then_some(match level {
            Level::Ground => "axis spacing at tie-rod-end height taken for that at the ground",
            Level::RodEnd => "axis spacing at the ground taken for that at tie-rod-end height",
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

/// A value as read: with its ±, or by both ends where it cannot be negative and the ± reaches past nought.
pub(crate) fn as_read(name: ResultId, value: f64, pm: f64) -> Text {
    let row = name.row();
    if row.signs == Signs::Positive && pm > value && value >= 0.0 {
        let most = match name {
            ResultId::TransmissionInner
            | ResultId::TransmissionOuter
            | ResultId::TransmissionLeast
            | ResultId::TransmissionBumps
            | ResultId::RodAngle
            | ResultId::InnerJoint => 90.0,
            _ => f64::INFINITY,
        };
        return ends(row.unit, [0.0, (value + pm).min(most)]);
    }
    figure(row.unit, value, Some(pm))
}
