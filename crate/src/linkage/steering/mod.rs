//! One rack on the car, answered: from the measurements to every result of the table.
//!
//! Nothing here knows where a measurement came from or how sure it is: `uncertainty` calls this again for every reading.

use crate::catalogue::field::{Field, Joint};
use crate::catalogue::field_set::FieldSet;
use crate::catalogue::result::{ResultId, Results};
use crate::catalogue::value::{Assumed, Gap, Trace, Traced, Value, Why, all, known, together};
use crate::linkage::ackermann;
use crate::linkage::arm::{Arm, arms};
use crate::linkage::assumption::{self, Lean};
use crate::linkage::bump::{Bump, Search, Turn, Worst, add_places, bump, turned};
use crate::linkage::in_the_way::room;
use crate::linkage::rail;
use crate::linkage::travel::{DeadPoints, Distances, ENDS, End, distances, first, hardware};
use crate::linkage::turning_circle::Lock;
use crate::linkage::tyre;
use crate::linkage::wheel::{Basis, Level, axis_spacing, wheels};
use crate::math::each::Each;
use crate::math::within;
use crate::plan::inputs::{Inputs, Recorder, Source};
use crate::suspension::hole::{self, Spot};
use crate::suspension::wheel::Wheel;
use std::f64::consts::TAU;
use std::rc::Rc;

mod circles;
mod over_travel;

use circles::{SIZES, circles};
use over_travel::over_the_travel;

/// One rack on the car, answered.
#[derive(Debug, Clone, PartialEq)]
pub struct Solution {
    /// Every result.
    pub results: Results,
    /// Distances at which each of [`crate::linkage::travel::ENDS`] would end the travel, [to the right, to the left].
    pub distances: [Distances; 2],
    /// Which of them does, [to the right, to the left].
    pub ends: [Option<usize>; 2],
    /// Both wheels, where there is a linkage.
    pub wheels: Option<[Wheel; 2]>,
    /// What those meet wherever the rack goes.
    pub dead: Option<[DeadPoints; 2]>,
    /// +1 where a rack to the left steers left (arms ahead), −1 where it steers right.
    pub direction: Option<f64>,
    /// What the wheels were made from.
    linked: Trace,
    /// The inner joints' height as it was read: wheels made without one are those of level joints, but of the joints' tilt nothing is known.
    height: Option<f64>,
    /// How they stand at mid-travel.
    centre: Traced<Position>,
    /// To where the hardware lets the rack go, [to the right, to the left], and the joints' largest angles on the way.
    joints: [Option<(f64, [Value; 2])>; 2],
    /// How the wheels stand at lock left and at lock right.
    locks: [Traced<LockAngles>; 2],
    /// The readings of [`SIZES`] with which the circles were drawn.
    sizes: [Option<f64>; SIZES.len()],
    /// The same as `direction`, with what it was made from.
    turning: Traced,
    /// Everything that was looked up for the linkage, the axes, the rack and the locks; what is left decides only what circles the wheels draw,
    /// and how they go over bumps.
    looked_up: FieldSet,
    /// Both corners, where the points are known.
    pub(crate) bump: Option<Rc<Bump>>,
    /// Everything that was looked up for them.
    of_corners: FieldSet,
    /// Which wheel at which end of the band has least left.
    worst: Worst,
    /// Where the tyres come nearest to what stands beside them.
    nearest: tyre::Nearest,
    /// Where wheel and rack stand when the rods need most room in the rails, where that was asked for.
    spots: [Vec<Spot>; 2],
    /// Everything that was looked up for the holes, and for the stops that keep the tyres clear.
    of_holes: FieldSet,
}

impl Solution {
    /// Nothing solved yet.
    fn nothing() -> Solution {
        Solution {
            results: Results::empty(),
            distances: [[None; ENDS.len()]; 2],
            ends: [None; 2],
            wheels: None,
            dead: None,
            direction: None,
            linked: Trace::default(),
            height: None,
            centre: Traced::nothing(),
            joints: [None; 2],
            locks: [Traced::nothing(); 2],
            sizes: [None; SIZES.len()],
            turning: Traced::nothing(),
            looked_up: FieldSet::empty(),
            bump: None,
            of_corners: FieldSet::empty(),
            worst: Worst::default(),
            nearest: tyre::Nearest::default(),
            spots: [Vec::new(), Vec::new()],
            of_holes: FieldSet::empty(),
        }
    }

    /// Whether more depends on a measurement than what circles the wheels draw and how they go over bumps.
    pub(crate) fn rests_on(&self, field: Field) -> bool {
        self.looked_up.contains(field)
    }

    /// Where wheel and rack stand, mm, where the rod needs the hole in the rail as large as it is.
    pub(crate) fn hole_made_by(&self, side: usize) -> impl Iterator<Item = [f64; 2]> {
        let [right, left] = hardware_ends(self).map(Option::unwrap_or_default);
        hole::round(&self.spots[side]).iter().map(move |[travel, share]| [*travel, right + (left - right) * share])
    }

    /// The same with inputs that differ from its own in this measurement, on which the linkage does not rest: with their circles, and over
    /// their bumps. `was` may have some of that already.
    fn beyond(&self, field: Field, x: &Inputs, was: &Solution, search: Search) -> Box<Solution> {
        let (mut out, x) = (Box::new(self.clone()), &Recorder::new(x));
        if self.of_corners.contains(field) {
            over_bumps(&mut out, x, Some(was), search);
        }
        circles(&mut out, x, Some(was));
        if self.of_holes.contains(field) {
            holes_near(&mut out, x, was, search);
        }
        out
    }
}

/// Steer angles at one lock, radians.
#[derive(Debug, Clone, Copy, PartialEq)]
struct LockAngles {
    /// Of the left and the right wheel, positive to the left.
    steer: [f64; 2],
    /// Of the inner wheel, counted from mid-travel in the direction of the turn.
    inner: f64,
    /// Of the outer wheel, likewise.
    outer: f64,
}

/// Steer angles and their slopes at one rack displacement.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Position {
    /// Steer angles [left, right], radians, positive to the left.
    pub steer: [f64; 2],
    /// Their derivatives by the rack displacement, rad/mm.
    pub rate: [f64; 2],
    /// Transmission angles [left, right], radians.
    pub transmission: [f64; 2],
}

/// Both wheels at the rack displacement `s` mm, positive to the left.
pub fn position(wheels: &[Wheel; 2], s: f64) -> Result<Position, Gap> {
    let turn = |w: &Wheel| w.linkage.at(s).map_err(|r| Gap::Unreachable(Why::Linkage(r)));
    let (l, r) = (turn(&wheels[0])?, turn(&wheels[1])?);
    Ok(Position {
        steer: [wheels[0].steer(l), wheels[1].steer(r)],
        rate: [wheels[0].rates(s, l).0, wheels[1].rates(s, r).0],
        transmission: [wheels[0].linkage.transmission(l), wheels[1].linkage.transmission(r)],
    })
}

/// Any two of travel per turn, total travel and turns give the third: (c, T, turns of the bare rack).
pub fn rack_numbers(x: &dyn Source) -> [Value; 3] {
    [travel_per_turn(x), travel(x), turns(x)]
}

fn travel_per_turn(x: &dyn Source) -> Value {
    let measured = x.get(Field::TravelPerTurn).or_else(|| Some(x.get(Field::TravelTwoTurns)? / 2.0));
    known(measured.or_else(|| Some(x.get(Field::Travel)? / x.get(Field::Turns)?)), Field::TravelPerTurn)
}

fn travel(x: &dyn Source) -> Value {
    let product = || Some(travel_per_turn(x).ok()? * x.get(Field::Turns)?);
    known(x.get(Field::Travel).or_else(product), Field::Travel)
}

fn turns(x: &dyn Source) -> Value {
    let quotient = all([travel_per_turn(x), travel(x)]).map(|[c, t]| t / c);
    quotient.or_else(|gap| x.get(Field::Turns).ok_or(gap))
}

/// Solves one rack on the car.
///
/// `forced` makes the given ends (places in [`crate::linkage::travel::ENDS`]) end the travel, whichever comes first: for derivatives on
/// either side of a change of ends. A rack whose bar goes the wrong way is solved as if it were turned round.
pub fn solve(x: &Inputs, forced: [Option<usize>; 2]) -> Solution {
    *solved(x, forced, None, Search::Band)
}

/// Like [`solve`] of inputs that differ from those of `near` in this measurement: as much as does not depend on it is taken over.
pub(crate) fn solve_changed(field: Field, x: &Inputs, forced: [Option<usize>; 2], near: &Solution) -> Box<Solution> {
    changed(field, x, forced, near, Search::Band)
}

/// The same for a hair's breadth: to first order, as [`Search::AtNear`] says.
pub(crate) fn solve_step(field: Field, x: &Inputs, forced: [Option<usize>; 2], near: &Solution) -> Box<Solution> {
    changed(field, x, forced, near, Search::AtNear)
}

/// The same with other ends of the travel than where `was` was solved for it, and with the stops that go with them; `base` has both.
pub(crate) fn solve_step_again(field: Field, x: &Inputs, forced: [Option<usize>; 2], base: &Solution, was: &Solution) -> Box<Solution> {
    if base.rests_on(field) { solved(x, forced, Some(was), Search::AtNear) } else { base.beyond(field, x, was, Search::AtNear) }
}

fn changed(field: Field, x: &Inputs, forced: [Option<usize>; 2], near: &Solution, search: Search) -> Box<Solution> {
    if near.rests_on(field) {
        return solved(x, forced, Some(near), search);
    }
    near.beyond(field, x, near, search)
}

/// Adds the better places of the inner joints to what was solved of these inputs.
pub(crate) fn with_places(mut solution: Solution, x: &Inputs) -> Solution {
    if let Some(bump) = &mut solution.bump {
        add_places(Rc::make_mut(bump), &mut solution.results, &Recorder::new(x));
    }
    let x = &Recorder::new(x);
    let ends = hardware_ends(&solution);
    solution.spots = rail::holes(&mut solution.results, x, solution.bump.as_deref(), ends, None);
    let ends = without_stops(&solution);
    tyre::stops(&mut solution.results, x, solution.bump.as_deref(), ends, None, &mut solution.nearest);
    solution.of_holes = x.read().union(solution.of_corners);
    solution
}

/// As far as the hardware lets the rack go, mm to the right (negative) and to the left.
fn hardware_ends(of: &Solution) -> [Option<f64>; 2] {
    of.joints.each(|joints| joints.map(|j| j.0))
}

/// As far as the rack would go without stops, mm to the right (negative) and to the left.
fn without_stops(of: &Solution) -> [Option<f64>; 2] {
    [(0, -1.0), (1, 1.0)].each(|(way, sign)| {
        let ends = ENDS.iter().zip(of.distances[way]).filter(|(end, _)| **end != End::Stop).filter_map(|(_, far)| far);
        of.results.get(ResultId::Travel, 0).ok().map(|_| sign * ends.fold(f64::INFINITY, f64::min)).filter(|far| far.is_finite())
    })
}

/// The holes of a solution that differs by a hair's breadth from one that has them; otherwise none.
fn holes_near(out: &mut Solution, x: &Recorder, near: &Solution, search: Search) {
    if near.of_holes.is_empty() {
        return;
    }
    if search == Search::AtNear {
        let ends = hardware_ends(out);
        rail::holes(&mut out.results, x, out.bump.as_deref(), ends, Some(&near.spots));
        let ends = without_stops(out);
        tyre::stops(&mut out.results, x, out.bump.as_deref(), ends, Some(&near.nearest), &mut out.nearest);
    } else {
        rail::none(&mut out.results);
    }
}

fn over_bumps(out: &mut Solution, x: &Recorder, near: Option<&Solution>, search: Search) {
    let known = near.and_then(|n| Some((n.bump.as_ref()?, &n.results)));
    (out.bump, out.of_corners) = x.stage(|x| bump(&mut out.results, x, known, search));
    let left_is = usize::from(out.direction.unwrap_or(1.0) > 0.0);
    let ways = [0, 1].each(|way| Turn { hardware: out.joints[way].map(|j| j.0), lock: [1 - left_is, left_is][way] });
    let near = near.filter(|_| search == Search::AtNear);
    out.worst = turned(&mut out.results, x, out.bump.as_deref(), ways, near.map(|near| &near.worst));
    let nearest = near.map(|near| &near.nearest);
    let (nearest, of_tyres) = x.stage(|x| tyre::tyres(&mut out.results, x, out.bump.as_deref(), nearest));
    (out.nearest, out.of_corners) = (nearest, out.of_corners.union(of_tyres));
}

/// Like [`solve`], and gives the same; quicker where `near` has the same two linkages, whose dead points it then takes over, or two that
/// differ by hair's breadths, whose dead points it follows. A stage that starts from the same again is taken over as well.
pub fn solve_near(x: &Inputs, forced: [Option<usize>; 2], near: Option<&Solution>) -> Solution {
    *solved(x, forced, near, Search::Band)
}

/// Where it is: a solution is large to move.
fn solved(x: &Inputs, forced: [Option<usize>; 2], near: Option<&Solution>, search: Search) -> Box<Solution> {
    let x = &Recorder::new(x);
    let wheels = Traced::new(x.stage(|x| wheels(x)));
    let wheels = wheels.after(&spacing(x, Level::RodEnd)).assuming(assumption::lean(x) != Lean::Known, Assumed::Lean);
    let limit = x.get(Field::InnerJointLimit);
    let known = near.and_then(|n| n.wheels.as_ref().zip(n.dead.as_ref()));
    let dead = wheels.value.as_ref().ok().map(|w| {
        [0, 1].each(|k| match known.map(|(wheels, dead)| (&wheels[k], &dead[k])) {
            Some((wheel, dead)) if *wheel == w[k] && dead.limit == limit => *dead,
            Some((_, dead)) => dead.near(&w[k], limit).unwrap_or_else(|| DeadPoints::of(&w[k], limit)),
            None => DeadPoints::of(&w[k], limit),
        })
    });
    let height = x.get(Field::Height);
    let linked = |n: &&Solution| n.wheels == wheels.value.ok() && n.linked == wheels.trace && n.dead == dead;
    let same = near.filter(|n| n.wheels.is_some() && n.height == height).filter(linked);
    let mut out = match same {
        Some(same) => Box::new(same.clone()),
        None => Box::new(Solution::nothing()),
    };
    let results = &mut out.results;
    let [c, t, turns] = [travel_per_turn, travel, turns].each(|number| Traced::new(x.stage(|x| number(x))));
    results.set(ResultId::TravelPerTurn, 0, c);
    results.set(ResultId::Travel, 0, t);
    results.set(ResultId::TurnsBare, 0, turns);

    let ground = spacing(x, Level::Ground).map(|s| s.0);
    results.set(ResultId::AxisSpacingGround, 0, ground);
    results.set(ResultId::AxisSpacingRodEnd, 0, spacing(x, Level::RodEnd).map(|s| s.0));
    let track = reading(x, Field::FrontTrack);
    results.set(ResultId::ScrubRadius, 0, together([track, ground]).map(|[t, w]| (t - w) / 2.0));
    let arms = Traced::new(x.stage(|x| arms(x)));
    for side in 0..2 {
        results.set(ResultId::ArmLength, side, arms.map(|a| a[side].length()));
        results.set(ResultId::ArmAngle, side, arms.map(|a| a[side].angle().to_degrees()));
    }
    results.set(ResultId::RatioFirst, 0, first_ratio(x, c, arms));

    let by = wheels.as_ref();
    if same.is_none() {
        out.centre = by.and_then(|w| position(w, 0.0));
        out.turning = out.centre.and_then(|c| direction(c.rate));
        out.direction = out.turning.value.ok();
        (out.wheels, out.linked, out.height, out.dead) = (wheels.value.ok(), wheels.trace, height, dead);
    }
    linkage(results, x, by, out.centre, dead, same.is_some());
    (out.distances, out.ends) = ([[None; ENDS.len()]; 2], [None; 2]);
    over_the_travel(&mut out, x, by, forced, same);
    out.looked_up = x.read();
    // Without points, before and now, it says what it said.
    if x.has_points() || same.is_none_or(|n| !n.of_corners.is_empty()) {
        over_bumps(&mut out, x, near, search);
    }
    circles(&mut out, x, near);
    if let Some(near) = near {
        holes_near(&mut out, x, near, search);
    }
    out
}

/// A measurement as it was read.
fn reading(x: &Recorder, field: Field) -> Traced {
    Traced::new((known(x.get(field), field), FieldSet::only(field)))
}

/// The spacing of the steering axes at one height.
fn spacing(x: &Recorder, level: Level) -> Traced<(f64, Basis)> {
    let spacing = Traced::new(x.stage(|x| axis_spacing(x, level)));
    let taken_over = matches!(spacing.value, Ok((_, Basis::TakenOver)));
    spacing.assuming(taken_over, if level == Level::Ground { Assumed::SpacingAtGround } else { Assumed::SpacingAtRodEnd })
}

/// The first ratio, rods square to the car: each wheel turns by 1/|e| a millimetre.
fn first_ratio(x: &Recorder, c: Traced, arms: Traced<[Arm; 2]>) -> Traced {
    let ahead = |x: &Recorder| known(x.get(Field::ArmForeAft).or_else(|| Some(arms.value.ok()?[0].ahead)), Field::ArmForeAft);
    let left = match x.get(Field::ArmForeAft) {
        Some(_) => Traced::new(x.stage(ahead)),
        None => Traced::new(x.stage(ahead)).after(&arms),
    };
    let right = match x.get(Field::RightArmForeAft) {
        Some(_) => reading(x, Field::RightArmForeAft),
        None => left.after(&reading(x, Field::RightArmForeAft)),
    };
    together([c, left, right]).map(|[c, l, r]| TAU / c / ((1.0 / l.abs() + 1.0 / r.abs()) / 2.0))
}

/// A result that needs a stage, and `more` besides: that is asked for once there is the stage.
fn besides<T>(stage: Traced<T>, more: Traced, result: impl FnOnce(T, f64) -> Result<f64, Gap>) -> Traced {
    match stage.value {
        Ok(s) => more.and_then(|m| result(s, m)).after(&Traced { value: Ok(()), trace: stage.trace }),
        Err(gap) => Traced { value: Err(gap), trace: stage.trace },
    }
}

/// What the rack does to the wheels at mid-travel: +1 where a rack to the left steers left.
fn direction(rate: [f64; 2]) -> Value {
    if rate[0] * rate[1] < 0.0 { Err(Gap::Unreachable(Why::Opposed)) } else { Ok(((rate[0] + rate[1]) / 2.0).signum()) }
}

/// What the linkage is, wherever the rack goes. Where it is the `same` as before, what rests on nothing else stands in `results` already.
fn linkage(
    results: &mut Results,
    x: &Recorder,
    wheels: Traced<&[Wheel; 2]>,
    centre: Traced<Position>,
    dead: Option<[DeadPoints; 2]>,
    same: bool,
) {
    for side in 0..2 {
        let rod = wheels.map(|w| w[side].linkage.rod());
        results.set(ResultId::RodLength, side, rod);
        results.set(ResultId::RodOverShortest, side, besides(rod, reading(x, Field::RodLengthMin), |rod, least| Ok(rod - least)));
        results.set(ResultId::RodUnderLongest, side, besides(rod, reading(x, Field::RodLengthMax), |rod, most| Ok(most - rod)));
        let tilt = |rod: f64, height: f64| Ok(within(height.abs() / rod, 0.0, 1.0).asin().to_degrees());
        results.set(ResultId::RodTilt, side, besides(rod, reading(x, Field::Height), tilt));
        if same {
            continue;
        }
        let angle = |w: &[Wheel; 2]| w[side].linkage.at(0.0).map(|t| w[side].linkage.inner_joint(0.0, t).to_degrees());
        results.set(ResultId::RodAngle, side, wheels.and_then(|w| angle(w).map_err(|r| Gap::Unreachable(Why::Linkage(r)))));
        results.set(ResultId::RodLengthStraight, side, wheels.map(|w| w[side].linkage.straight_rod()));
        let sign = if side == 0 { -1.0 } else { 1.0 };
        results.set(ResultId::ToeCentre, side, centre.map(|c| sign * c.steer[side].to_degrees()));
        results.set(ResultId::SteerRate, side, centre.map(|c| c.rate[side].to_degrees()));
    }
    if same {
        return;
    }
    let names = [(ResultId::ToggleLeftWheel, ResultId::FoldBackLeftWheel), (ResultId::ToggleRightWheel, ResultId::FoldBackRightWheel)];
    for (wheel, (toggle, fold)) in names.into_iter().enumerate() {
        for way in 0..2 {
            let point = |of: fn(&DeadPoints) -> [Option<f64>; 2], none: Why| {
                wheels.and_then(|_| dead.and_then(|d| of(&d[wheel])[way]).ok_or(Gap::Unreachable(none)))
            };
            results.set(toggle, 1 - way, point(|d| d.toggle, Why::NoToggle));
            results.set(fold, 1 - way, point(|d| d.fold_back, Why::NoFoldBack));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::field::FIELDS;
    use crate::catalogue::result::RESULTS;
    use crate::plan::Plan;
    use crate::plan::inputs::Readings;

    /// Everything that can be measured on a car and three racks.
    fn complete() -> Vec<(Inputs, Solution)> {
        let plan = Plan::from_json(include_str!("../../../benches/complete.json")).unwrap();
        let inputs = (0..plan.racks.len()).map(|rack| Readings::of(&plan, rack).inputs());
        inputs.map(|x| (x, solve(&x, [None; 2]))).collect()
    }

    #[test]
    fn what_lies_beyond_the_linkage_is_the_same_by_itself() {
        for (x, base) in complete() {
            for spec in FIELDS.iter().filter(|s| !base.looked_up.contains(s.field) && x.get(s.field).is_some()) {
                let other = x.with(spec.field, x.get(spec.field).map(|v| 1.01 * v + 1.0));
                assert_ne!(other, x, "{} is measured", spec.name);
                assert_eq!(*solve_changed(spec.field, &other, [None; 2], &base), solve(&other, [None; 2]), "{}", spec.name);
            }
        }
    }

    /// Whatever stage is taken over, a reading that is taken away leaves what solving anew leaves.
    #[test]
    fn without_a_reading_it_is_the_same_as_solved_anew() {
        let alike = |near: &Solution, far: &Solution, what: &str| {
            assert_eq!(near.ends, far.ends, "without {what}");
            for row in RESULTS {
                for side in 0..row.count() {
                    let (a, b) = (near.results.traced(row.name, side), far.results.traced(row.name, side));
                    let same = match (a.value, b.value) {
                        // Dead points may have been followed.
                        (Ok(a), Ok(b)) => (a - b).abs() <= 1e-10 * b.abs().max(1.0),
                        (a, b) => a == b,
                    };
                    assert!(same && a.trace == b.trace, "without {what}: {} {side}: {a:?}, {b:?}", row.key);
                }
            }
        };
        for (x, _) in complete() {
            // Level and centred, so that the same linkage stands without those readings.
            let level = [Field::Height, Field::Offset].iter().fold(x, |x, &field| x.with(field, Some(0.0)));
            for x in [x, level, level.with(Field::RodLength, None)] {
                let base = solve(&x, [None; 2]);
                for spec in FIELDS.iter().filter(|s| x.get(s.field).is_some()) {
                    let without = x.with(spec.field, None);
                    let far = solve(&without, [None; 2]);
                    alike(&solve_changed(spec.field, &without, [None; 2], &base), &far, spec.name);
                }
            }
        }
    }

    #[test]
    fn dead_points_that_were_followed_are_those_that_were_found() {
        for (x, base) in complete() {
            for spec in FIELDS.iter().filter(|s| base.looked_up.contains(s.field)) {
                // A hair's breadth, and so far that nothing can be followed.
                for step in [1e-3, 40.0] {
                    let other = x.with(spec.field, x.get(spec.field).map(|v| v + step));
                    let (near, far) = (solve_near(&other, [None; 2], Some(&base)), solve(&other, [None; 2]));
                    assert_eq!(near.ends, far.ends, "{}", spec.name);
                    for (place, (a, b)) in near.results.values().iter().zip(far.results.values()).enumerate() {
                        let same = match (a, b) {
                            (Ok(a), Ok(b)) => (a - b).abs() <= 1e-10 * b.abs().max(1.0),
                            _ => a == b,
                        };
                        assert!(same, "{} by {step}, value {place}: {a:?}, {b:?}", spec.name);
                    }
                }
            }
        }
    }
}
