//! How sure every result is: first order (GUM, JCGM 100), by central differences with everything derived again.
//!
//! ± is a 95 % half-width, taken over from the readings; readings are independent, and a reading used on both sides of the car is
//! one. Where another limit would end the travel within its ±, the larger of the derivatives on either side of that change counts; the same
//! where a stop has yet to be made, of those with the end where the readings put it and with a stop that stays where it was made.
//! What is taken for granted where a reading is missing ([`crate::linkage::assumption`]) adds the largest change over its range, solved in full.

use crate::catalogue::field::{FIELDS, Field};
use crate::catalogue::result::{ResultId, Results, VALUE_COUNT};
use crate::catalogue::value::{Gap, Value};
use crate::linkage::assumption::{Assumption, assumptions};
use crate::linkage::bump::LARGEST;
use crate::linkage::steering::{Solution, solve, solve_near, solve_step, solve_step_again};
use crate::linkage::travel::{ENDS, End};
use crate::math::each::Each;
use crate::plan::inputs::{Inputs, Readings};
use crate::suspension::bump_steer::{LOBES, Lobes};

/// The ± of every result, and the reading that contributes most to it.
#[derive(Debug, Clone, PartialEq)]
pub struct Uncertainties {
    /// By [`crate::catalogue::result::Results::index`]; `None` where there is no value.
    pub pm: [Option<f64>; VALUE_COUNT],
    /// The same from the readings alone, without what is taken for granted.
    pub read: [Option<f64>; VALUE_COUNT],
    /// The reading that contributes most, with its share of the square of the ±, 0…1.
    pub most: [Option<(Field, f64)>; VALUE_COUNT],
    /// What the ± of each reading does to each value, signed; a reading without a ± is not in it. What is taken for granted stands under
    /// the reading that would settle it, without a sign.
    pub effects: Vec<(Field, [Option<f64>; VALUE_COUNT])>,
}

/// Step of the central differences as a share of the reading's ±: small enough that the third derivative does not show, large
/// enough that rounding does not.
const STEP: f64 = 1e-3;

/// What one reading's ± does to every value and to every end of the travel.
struct Effect {
    field: Field,
    values: [Option<f64>; VALUE_COUNT],
    ends: [[f64; ENDS.len()]; 2],
    /// Of each side's [`LARGEST`].
    lobes: [[Lobes; LARGEST.len()]; 2],
}

impl Effect {
    fn nothing(field: Field) -> Effect {
        Effect { field, values: [None; VALUE_COUNT], ends: [[0.0; ENDS.len()]; 2], lobes: Default::default() }
    }

    /// Works out what it does to each lobe, from what it did and how far apart the lobe is in these two solutions.
    fn on_lobes(&mut self, [up, down]: [&Solution; 2], does: impl Fn(f64, f64) -> f64) {
        let (Some(up), Some(down)) = (&up.bump, &down.bump) else { return };
        for side in 0..2 {
            for which in 0..LARGEST.len() {
                let (Some(up), Some(down)) = (up.lobes[side][which], down.lobes[side][which]) else { continue };
                for (k, lobe) in self.lobes[side][which].iter_mut().enumerate() {
                    *lobe = does(*lobe, up[k] - down[k]);
                }
            }
        }
    }
}

/// Which lobe is the largest toe change is a switch too: the ± reaches to where the one that may grow most would take it, and what each
/// reading does is its share of that.
fn largest(base: &Solution, effects: &mut [Effect]) {
    let Some(bump) = &base.bump else { return };
    for side in 0..2 {
        for (which, id) in LARGEST.into_iter().enumerate() {
            let place = Results::index(id, side);
            let (Some(lobes), Ok(peak)) = (bump.lobes[side][which], base.results.get(id, side)) else { continue };
            let grows = |k: usize| {
                let pm = effects.iter().map(|e| e.lobes[side][which][k].powi(2)).sum::<f64>().sqrt();
                (lobes[k].abs() + pm - peak.to_radians(), pm, k)
            };
            // The one that is the largest now comes first of any that are alike.
            let Some((most, pm, k)) = (0..LOBES).rev().map(grows).reduce(|a, b| if b.0 > a.0 + 1e-12 { b } else { a }) else { continue };
            // As fitted, that one's share stands already.
            if id == ResultId::BumpPeak && k == LOBES - 1 || !(pm > 0.0) {
                continue;
            }
            for effect in effects.iter_mut().filter(|e| e.values[place].is_some()) {
                effect.values[place] = Some((effect.lobes[side][which][k] * lobes[k].signum() * most / pm).to_degrees());
            }
        }
    }
}

/// The ± of every result of `base`, which is `solve` of the readings' inputs.
pub fn uncertainties(readings: &Readings, base: &Solution) -> Uncertainties {
    let mut effects = effects(readings, base, true);
    let read = effects.len();
    effects.extend(all_taken(&readings.inputs(), base));
    largest(base, &mut effects);
    let mut out = Uncertainties { pm: [None; VALUE_COUNT], read: [None; VALUE_COUNT], most: [None; VALUE_COUNT], effects: Vec::new() };
    for (place, value) in base.results.values().iter().enumerate() {
        if value.is_err() {
            continue;
        }
        let parts = effects.iter().map(|e| (e.field, e.values[place].unwrap_or(0.0).powi(2)));
        let sum: f64 = parts.clone().map(|p| p.1).sum();
        out.pm[place] = Some(sum.sqrt());
        out.read[place] = Some(parts.clone().take(read).map(|p| p.1).sum::<f64>().sqrt());
        // Of two that weigh alike but for rounding the first is named, on every machine.
        let most = parts.reduce(|a, b| if b.1 > a.1 * (1.0 + 1e-6) { b } else { a });
        // What rounding alone makes weighs nothing.
        let noise = value.map_or(0.0, |v| 1e-8 * (1.0 + v.abs())).powi(2);
        out.most[place] = most.filter(|m| m.1 > noise).map(|(f, p)| (f, p / sum));
    }
    out.effects = effects.into_iter().map(|e| (e.field, e.values)).collect();
    out
}

/// The square of the ± of every result that the readings alone make, as [`uncertainties`] has it, at half the cost and to a thousandth of itself: for
/// a search that asks often. Nought where there is no value.
pub(crate) fn read_squares(readings: &Readings, base: &Solution) -> [f64; VALUE_COUNT] {
    squares(base, effects(readings, base, false))
}

/// The same of what is taken for granted, in full.
pub(crate) fn taken_squares(x: &Inputs, base: &Solution) -> [f64; VALUE_COUNT] {
    squares(base, all_taken(x, base))
}

fn squares(base: &Solution, mut effects: Vec<Effect>) -> [f64; VALUE_COUNT] {
    largest(base, &mut effects);
    let mut squares = [0.0; VALUE_COUNT];
    for effect in effects {
        for (sum, value) in squares.iter_mut().zip(effect.values) {
            *sum += value.unwrap_or(0.0).powi(2);
        }
    }
    squares
}

fn all_taken(x: &Inputs, base: &Solution) -> Vec<Effect> {
    assumptions(x).iter().map(|a| taken(a, base)).collect()
}

/// What every reading does; derivatives from both sides, or from one.
fn effects(readings: &Readings, base: &Solution, central: bool) -> Vec<Effect> {
    let x = readings.inputs();
    let steps = steps(readings, &x, base, central);
    let mut effects: Vec<Effect> =
        steps.iter().map(|s| s.effect(base, s.solved.each_ref().each(|s| s.as_deref().unwrap_or(base)))).collect();
    let others = other_ends(base, &effects).into_iter().map(|ends| (Vec::new(), ends));
    for (stops, ends) in stops_to_make(base).into_iter().chain(others) {
        let mut x = stopped(&x, &stops);
        let other = solve_near(&x, ends, Some(base));
        for (kept, step) in effects.iter_mut().zip(&steps) {
            let new = step.effect_ending(&other, &mut x, &stops, ends);
            for (a, b) in kept.values.iter_mut().zip(new.values) {
                if b.is_some_and(|b| a.is_some_and(|a| b.abs() > a.abs())) {
                    *a = b;
                }
            }
        }
    }
    effects
}

/// One reading a small step up, and down where both sides are asked for, and what follows.
struct Step {
    field: Field,
    /// Its values there.
    values: [f64; 2],
    /// Where they are: a solution is large to move. `None` where it is that of the readings themselves.
    solved: [Option<Box<Solution>>; 2],
    central: bool,
}

fn steps(readings: &Readings, x: &Inputs, base: &Solution, central: bool) -> Vec<Step> {
    let unsure = FIELDS.iter().filter(|s| s.section.is_measured()).filter_map(|s| {
        let (value, item) = x.get(s.field).zip(readings.items[s.field as usize])?;
        (item.pm > 0.0).then_some((s.field, value, item.pm))
    });
    // One sheet of inputs for all of them: it is large to copy.
    let mut x = *x;
    let step = |(field, value, pm): (Field, f64, f64)| {
        let values = [STEP, -STEP].each(|step| value + pm * step);
        let mut solve = |at: f64| {
            x.set(field, Some(at));
            solve_step(field, &x, base.ends, base)
        };
        let solved = [Some(solve(values[0])), central.then(|| solve(values[1]))];
        x.set(field, Some(value));
        Step { field, values, solved, central }
    };
    unsure.map(step).collect()
}

impl Step {
    /// What it does with the other ends of the travel that `base` has, and with these stops, which `x` has: they stay where they are.
    fn effect_ending(&self, base: &Solution, x: &mut Inputs, stops: &[(Field, f64)], ends: [Option<usize>; 2]) -> Effect {
        let kept = x.get(self.field);
        // The one solved before lies nearer by, where more than the circles has to be solved again.
        let solve = |k: usize| {
            let was = self.solved[k].as_deref()?;
            if !stops.iter().any(|stop| stop.0 == self.field) {
                x.set(self.field, Some(self.values[k]));
            }
            Some(solve_step_again(self.field, x, ends, base, was))
        };
        let solved = [0, 1].each(solve);
        x.set(self.field, kept);
        self.effect(base, solved.each_ref().each(|s| s.as_deref().unwrap_or(base)))
    }

    fn effect(&self, base: &Solution, [up, down]: [&Solution; 2]) -> Effect {
        let apart = if self.central { 2.0 * STEP } else { STEP };
        let slope = |b: Value, u: Value, d: Value| match (b, u, d) {
            // At a kink or an extremum, as of a size at nought, both sides go the same way: the larger one counts.
            (Ok(b), Ok(u), Ok(d)) if (u - b) * (b - d) < 0.0 => {
                let larger = (u - b).abs().max((d - b).abs());
                Some(if larger > 1e-10 * (1.0 + b.abs()) { larger / STEP } else { 0.0 })
            }
            (Ok(_), Ok(u), Ok(d)) => Some((u - d) / apart),
            (Ok(b), Ok(u), _) => Some((u - b) / STEP),
            (Ok(b), _, Ok(d)) => Some((b - d) / STEP),
            _ => None,
        };
        let mut effect = Effect::nothing(self.field);
        let sheets = base.results.values().iter().zip(up.results.values()).zip(down.results.values());
        for (place, ((b, u), d)) in effect.values.iter_mut().zip(sheets) {
            *place = slope(*b, *u, *d);
        }
        effect.on_lobes([up, down], |_, by| by / apart);
        for way in 0..2 {
            for (k, place) in effect.ends[way].iter_mut().enumerate() {
                *place = up.distances[way][k].zip(down.distances[way][k]).map_or(0.0, |(u, d)| (u - d) / apart);
            }
        }
        effect
    }
}

/// The most that something taken for granted does to every value over its range, whatever then ends the travel. Where a value exists no
/// more, it may be anything: its own size counts.
fn taken(assumption: &Assumption, base: &Solution) -> Effect {
    let mut effect = Effect::nothing(assumption.settled_by);
    for corner in &assumption.corners {
        let other = solve(corner, [None; 2]);
        for ((place, b), o) in effect.values.iter_mut().zip(base.results.values()).zip(other.results.values()) {
            let moved = match (b, o) {
                (Ok(b), Ok(o)) => (o - b).abs(),
                (Ok(b), Err(Gap::Unreachable(_))) => b.abs().max(1.0),
                _ => continue,
            };
            *place = Some(place.map_or(moved, |m| m.max(moved)));
        }
        effect.on_lobes([&other, base], |was, by| was.max(by.abs()));
    }
    effect
}

/// Stops, each with its distance from mid-travel in mm, and what then ends the travel.
type Stopped = (Vec<(Field, f64)>, [Option<usize>; 2]);

/// Nearer to a dead point than this nothing can be made, mm: our own choice.
const HAIR: f64 = 0.5;

fn stopped(x: &Inputs, stops: &[(Field, f64)]) -> Inputs {
    stops.iter().fold(*x, |x, &(field, at)| x.with(field, Some(at)))
}

/// Where the wanted reserve ends the travel a stop has to be made there, and it stays where the figures said: a toggle that lies elsewhere
/// does not take it along. The stops, and the ends with them; `None` where there are none to make.
fn stops_to_make(base: &Solution) -> Option<Stopped> {
    let mut ends = base.ends;
    let mut stops = Vec::new();
    for (way, field) in [(0, Field::StopRight), (1, Field::StopLeft)] {
        let Some(k) = base.ends[way].filter(|&k| matches!(ENDS[k], End::Toggle(_) | End::FoldBack(_))) else { continue };
        // Without a reserve the end is the dead point itself, where nobody makes a stop.
        let dead = base.dead.iter().flatten().filter_map(|d| d.first(way)).fold(f64::INFINITY, f64::min);
        let Some(at) = base.distances[way][k].filter(|at| *at > 0.0 && dead - *at > HAIR) else { continue };
        ends[way] = ENDS.iter().position(|e| *e == End::Stop);
        stops.push((field, at));
    }
    (!stops.is_empty()).then_some((stops, ends))
}

/// Every other pair of ends that the ± leaves possible.
fn other_ends(base: &Solution, effects: &[Effect]) -> Vec<[Option<usize>; 2]> {
    let possible = [0, 1].each(|way| {
        let mut list = vec![base.ends[way]];
        let Some(active) = base.ends[way] else { return list };
        let at = |k: usize| base.distances[way][k];
        for k in (0..ENDS.len()).filter(|&k| k != active) {
            let (Some(d), Some(a)) = (at(k), at(active)) else { continue };
            let pm = effects.iter().map(|e| (e.ends[way][k] - e.ends[way][active]).powi(2)).sum::<f64>().sqrt();
            if d - a <= pm {
                list.push(Some(k));
            }
        }
        list
    });
    let pairs = possible[0].iter().flat_map(|&a| possible[1].iter().map(move |&b| [a, b]));
    pairs.filter(|p| *p != base.ends).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::judgement::case::evaluate_rack;
    use crate::linkage::steering::with_places;
    use crate::plan::Plan;

    /// The better places of an inner joint follow a reading by a step of Newton's: as far as a search for them anew says.
    #[test]
    fn better_places_go_with_a_reading_as_a_search_says() {
        use ResultId::*;
        let mut compared = 0;
        // Higher than the wheels want it, so that a move is needed; and within the limit, so that there is a slot about it.
        for (height, limit) in [("62", "0.3"), ("51", "0.4")] {
            let text =
                include_str!("../../benches/points.json").replace("\"height\": \"50 above\"", &format!("\"height\": \"{height} above\""));
            let text = text.replace("\"limits\": {", &format!("\"limits\": {{ \"bump_steer_max\": {limit},"));
            let e = evaluate_rack(&Plan::from_json(&text).unwrap(), 0);
            let x = e.readings.inputs();
            let at = |x: &Inputs| with_places(solve(x, [None; 2]), x).results;
            for (field, values) in &e.uncertainties.effects {
                let (Some(value), Some(item)) = (x.get(*field), e.readings.items[*field as usize]) else { continue };
                let step = 0.02 * item.pm;
                let [up, down] = [step, -step].map(|step| at(&x.with(*field, Some(value + step))));
                let base = &e.solution.results;
                let pm = |id| e.uncertainties.pm[Results::index(id, 0)].unwrap_or(0.0);
                let effect = |id| Some((values[Results::index(id, 0)]?, (up.get(id, 0).ok()? - down.get(id, 0).ok()?) / 0.04));
                // The smallest move is followed along its way, not about: how far it goes is what is right.
                let far = |f: &dyn Fn(ResultId) -> Option<f64>| {
                    let way = [LeastUp, LeastInboard].map(|id| base.get(id, 0).unwrap_or(0.0));
                    Some((way[0] * f(LeastUp)? + way[1] * f(LeastInboard)?) / way[0].hypot(way[1]).max(1e-9))
                };
                let least = far(&|id| Some(effect(id)?.0)).zip(far(&|id| Some(effect(id)?.1)));
                let each = [ShimMove, BestUp, BestInboard, SlotLow, SlotHigh].map(|id| (id, effect(id), pm(id)));
                for (id, effect, pm) in each.into_iter().chain([(LeastUp, least, pm(LeastUp).hypot(pm(LeastInboard)))]) {
                    let Some((told, found)) = effect else { continue };
                    // Of what the whole ± is: a search ends within a hair's breadth.
                    assert!(
                        (told - found).abs() <= 0.03 * found.abs() + 0.02 * pm + 1e-6,
                        "{id:?} by {field:?}: {told}, found {found}; ± {pm}"
                    );
                    compared += usize::from(found.abs() > 1e-3);
                }
            }
        }
        assert!(compared > 150, "only {compared}");
    }
}
