//! One rack on the car, answered: from the measurements to every result of the table.
//!
//! Nothing here knows where a measurement came from or how sure it is: `uncertainty` calls this again for every reading.

use crate::catalogue::field::Field;
use crate::catalogue::field_set::FieldSet;
use crate::catalogue::result::{ResultId, Results};
use crate::catalogue::value::{Gap, Value, Why, all, known};
use crate::linkage::ackermann;
use crate::linkage::arm::arms;
use crate::linkage::travel::{DeadPoints, Distances, ENDS, End, distances, first, hardware};
use crate::linkage::turning_circle::Lock;
use crate::linkage::wheel::{Wheel, axis_spacings, wheels};
use crate::math::within;
use crate::plan::inputs::Inputs;
use std::f64::consts::TAU;

/// One rack on the car, answered.
#[derive(Debug, Clone, Copy, PartialEq)]
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
    /// How the wheels stand at lock left and at lock right.
    locks: [Result<LockAngles, Gap>; 2],
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

/// Whether a reading has nothing to do with the linkage, the axes and the rack: it only decides what circles the wheels draw.
pub(crate) fn beyond_linkage(field: Field) -> bool {
    use Field::*;
    matches!(field, Wheelbase | RearTrack | TyreWidth | RearTyreWidth | CornerAhead | CornerWidth | SecondCornerAhead | SecondCornerWidth)
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
pub fn rack_numbers(x: &Inputs) -> [Value; 3] {
    let (t, n) = (x.get(Field::Travel), x.get(Field::Turns));
    let c = x.get(Field::TravelPerTurn).or_else(|| Some(x.get(Field::TravelTwoTurns)? / 2.0)).or_else(|| Some(t? / n?));
    let t = t.or_else(|| Some(c? * n?));
    let n = c.zip(t).map(|(c, t)| t / c).or(n);
    [known(c, Field::TravelPerTurn), known(t, Field::Travel), n.ok_or(Gap::Missing(travel_gap(c, t)))]
}

fn travel_gap(c: Option<f64>, t: Option<f64>) -> FieldSet {
    let gap = |v: Option<f64>, f: Field| if v.is_none() { FieldSet::only(f) } else { FieldSet::empty() };
    gap(c, Field::TravelPerTurn).union(gap(t, Field::Travel))
}

/// Solves one rack on the car.
///
/// `forced` makes the given ends (places in [`crate::linkage::travel::ENDS`]) end the travel, whichever comes first: for derivatives on
/// either side of a change of ends. A rack whose bar goes the wrong way is solved as if it were turned round.
pub fn solve(x: &Inputs, forced: [Option<usize>; 2]) -> Solution {
    solve_near(x, forced, None)
}

/// As [`solve`] of inputs that differ from those of `near` in readings [`beyond_linkage`] alone: everything else is taken over.
pub(crate) fn solve_beyond(x: &Inputs, near: &Solution) -> Solution {
    let mut out = *near;
    beyond(&mut out, x);
    out
}

/// As [`solve`], and gives the same; quicker where `near` has the same two linkages, whose dead points it then takes over, or two that
/// differ by hair's breadths, whose dead points it follows.
pub fn solve_near(x: &Inputs, forced: [Option<usize>; 2], near: Option<&Solution>) -> Solution {
    let mut results = Results::EMPTY;
    let [c, t, turns] = rack_numbers(x);
    results.set(ResultId::TravelPerTurn, 0, c);
    results.set(ResultId::Travel, 0, t);
    results.set(ResultId::TurnsBare, 0, turns);
    let x = &x.with(Field::Travel, t.ok()).with(Field::TravelPerTurn, c.ok());

    let arms = arms(x);
    let spacings = axis_spacings(x, arms);
    let (ground, at_rod) = (spacings.map(|w| w[0].0), spacings.map(|w| w[1].0));
    let track = known(x.get(Field::FrontTrack), Field::FrontTrack);
    let scrub = all([track, ground]).map(|[t, w]| (t - w) / 2.0);
    results.set(ResultId::AxisSpacingGround, 0, ground);
    results.set(ResultId::AxisSpacingRodEnd, 0, at_rod);
    results.set(ResultId::ScrubRadius, 0, scrub);
    for side in 0..2 {
        results.set(ResultId::ArmLength, side, arms.map(|a| a[side].length()));
        results.set(ResultId::ArmAngle, side, arms.map(|a| a[side].angle().to_degrees()));
    }
    let ahead = known(x.get(Field::ArmForeAft).or(arms.ok().map(|a| a[0].ahead)), Field::ArmForeAft);
    let right = x.get(Field::RightArmForeAft).map_or(ahead, Ok);
    // Rods square to the car: each wheel turns by 1/|e| a millimetre.
    let first_ratio = all([c, ahead, right]).map(|[c, l, r]| TAU / c / ((1.0 / l.abs() + 1.0 / r.abs()) / 2.0));
    results.set(ResultId::RatioFirst, 0, first_ratio);

    let unknown = Err(Gap::Missing(FieldSet::empty()));
    let mut out = Solution {
        results,
        distances: [[None; ENDS.len()]; 2],
        ends: [None; 2],
        wheels: None,
        dead: None,
        direction: None,
        locks: [unknown; 2],
    };
    match wheels(x) {
        Ok(w) => {
            let limit = x.get(Field::InnerJointLimit);
            let known = near.and_then(|n| n.wheels.zip(n.dead));
            let dead = [0, 1].map(|k| match known.map(|(wheels, dead)| (wheels[k], dead[k])) {
                Some((wheel, dead)) if wheel == w[k] && dead.limit == limit => dead,
                Some((_, dead)) => dead.near(&w[k], limit).unwrap_or_else(|| DeadPoints::of(&w[k], limit)),
                None => DeadPoints::of(&w[k], limit),
            });
            out.wheels = Some(w);
            out.dead = Some(dead);
            linkage(&mut out, x, &w, &dead, c, forced);
        }
        Err(gap) => {
            let wheelbase = known(x.get(Field::Wheelbase), Field::Wheelbase);
            let from = ResultId::RodLength as usize;
            for row in crate::catalogue::result::RESULTS.iter().filter(|r| r.name as usize >= from && r.name != ResultId::RatioFirst) {
                let more = all([Err(gap), lacking(row.name, c, t, wheelbase, ground, scrub)]).map(|v: [f64; 2]| v[0]);
                for side in 0..row.count() {
                    out.results.set(row.name, side, more);
                }
            }
        }
    }
    beyond(&mut out, x);
    out
}

/// What a result needs besides the linkage, so that everything missing is named at once.
fn lacking(name: ResultId, c: Value, t: Value, wheelbase: Value, ground: Value, scrub: Value) -> Value {
    use ResultId::*;
    match name {
        RatioCentre => c,
        UsableTravel | Reserve | ReserveHardware | InnerJointReserve | OuterJointReserve | InnerJointMargin | OuterJointMargin
        | LockInner | LockOuter | ToeOutLock | TransmissionInner | TransmissionOuter | TransmissionLeast | InnerJoint | OuterJoint => t,
        RatioLock | Turns => all([c, t]).map(|v| v[0]),
        AckermannLimit => all([wheelbase, ground]).map(|v| v[0]),
        IdealOuter | AckermannAngle | AckermannCotangent => all([t, wheelbase, ground]).map(|v| v[0]),
        CircleCentre | CircleOuterRules | CircleInnerRules | CircleEdge | WallToWall | RearInnerEdge => {
            all([t, wheelbase, ground, scrub]).map(|v| v[0])
        }
        _ => Ok(0.0),
    }
}

fn linkage(out: &mut Solution, x: &Inputs, wheels: &[Wheel; 2], dead: &[DeadPoints; 2], c: Value, forced: [Option<usize>; 2]) {
    let results = &mut out.results;
    for (side, w) in wheels.iter().enumerate() {
        results.set(ResultId::RodLength, side, Ok(w.linkage.rod()));
        let angle = w.linkage.at(0.0).map(|t| w.linkage.inner_joint(0.0, t).to_degrees());
        let range = |f: Field| known(x.get(f), f);
        results.set(ResultId::RodOverShortest, side, range(Field::RodLengthMin).map(|m| w.linkage.rod() - m));
        results.set(ResultId::RodUnderLongest, side, range(Field::RodLengthMax).map(|m| m - w.linkage.rod()));
        results.set(ResultId::RodAngle, side, angle.map_err(|r| Gap::Unreachable(Why::Linkage(r))));
        results.set(ResultId::RodLengthStraight, side, Ok(w.linkage.straight_rod()));
        let height = known(x.get(Field::Height), Field::Height);
        results.set(ResultId::RodTilt, side, height.map(|h| within(h.abs() / w.linkage.rod(), 0.0, 1.0).asin().to_degrees()));
    }
    let names = [(ResultId::ToggleLeftWheel, ResultId::FoldBackLeftWheel), (ResultId::ToggleRightWheel, ResultId::FoldBackRightWheel)];
    for (d, (toggle, fold)) in dead.iter().zip(names) {
        for way in 0..2 {
            results.set(toggle, 1 - way, d.toggle[way].ok_or(Gap::Unreachable(Why::NoToggle)));
            results.set(fold, 1 - way, d.fold_back[way].ok_or(Gap::Unreachable(Why::NoFoldBack)));
        }
    }
    let Ok(centre) = position(wheels, 0.0) else { return };
    for (side, sign) in [(0, -1.0), (1, 1.0)] {
        results.set(ResultId::ToeCentre, side, Ok(sign * centre.steer[side].to_degrees()));
        results.set(ResultId::SteerRate, side, Ok(centre.rate[side].to_degrees()));
    }
    if centre.rate[0] * centre.rate[1] < 0.0 {
        opposed(results);
        return;
    }
    let rate = (centre.rate[0] + centre.rate[1]) / 2.0;
    let direction = rate.signum();
    out.direction = Some(direction);
    results.set(ResultId::RackPerDegree, 0, Ok(1f64.to_radians() / rate));
    results.set(ResultId::RatioCentre, 0, c.map(|c| TAU / c / rate.abs()));

    // A reserve that cannot be read is not a reserve of nothing.
    let reserve = known(x.get(Field::ReserveWanted), Field::ReserveWanted);
    out.distances = distances(x, wheels, dead, reserve.unwrap_or(0.0));
    let mut usable = [Err(Gap::Missing(FieldSet::only(Field::Travel))); 2];
    for way in 0..2 {
        let d = &out.distances[way];
        let Some(hard) = hardware(d) else {
            for name in [ResultId::UsableTravel, ResultId::Reserve, ResultId::ReserveHardware] {
                results.set(name, 1 - way, usable[way]);
            }
            for (name, field) in [
                (ResultId::InnerJointReserve, Field::InnerJointLimit),
                (ResultId::InnerJointMargin, Field::InnerJointLimit),
                (ResultId::OuterJointReserve, Field::OuterJointLimit),
                (ResultId::OuterJointMargin, Field::OuterJointLimit),
            ] {
                results.set(name, 1 - way, all([known(x.get(field), field), usable[way]]).map(|v| v[0]));
            }
            continue;
        };
        out.ends[way] = forced[way].or(first(d));
        let end = known(out.ends[way].and_then(|k| d[k]), Field::Travel);
        usable[way] = all([reserve, end]).map(|[_, e]| e);
        let event = dead.iter().filter_map(|p| p.first(way)).reduce(f64::min).ok_or(Gap::Unreachable(Why::NoToggle));
        results.set(ResultId::UsableTravel, 1 - way, usable[way]);
        results.set(ResultId::Reserve, 1 - way, all([event, usable[way]]).map(|[e, u]| e - u));
        results.set(ResultId::ReserveHardware, 1 - way, event.map(|e| e - hard));
        for (name, field, joints) in [
            (ResultId::InnerJointReserve, Field::InnerJointLimit, [End::InnerJoint(0), End::InnerJoint(1)]),
            (ResultId::OuterJointReserve, Field::OuterJointLimit, [End::OuterJoint(0), End::OuterJoint(1)]),
        ] {
            let met = (0..ENDS.len()).filter(|&k| joints.contains(&ENDS[k])).filter_map(|k| d[k]).reduce(f64::min);
            let met = met.ok_or(Gap::Unreachable(Why::NoLimit));
            let needs = if field == Field::OuterJointLimit { known(x.get(Field::Height), Field::Height) } else { Ok(0.0) };
            results.set(name, 1 - way, all([known(x.get(field), field), needs, met]).map(|[_, _, m]| m - hard));
        }
        let reach = if way == 1 { hard } else { -hard };
        let [inner, outer] = joint_angles(x, wheels, dead, reach);
        let spare = |field: Field, angle: Value| all([known(x.get(field), field), angle]).map(|[limit, a]| (limit - a).to_degrees());
        results.set(ResultId::InnerJointMargin, 1 - way, spare(Field::InnerJointLimit, inner));
        results.set(ResultId::OuterJointMargin, 1 - way, spare(Field::OuterJointLimit, outer));
    }
    results.set(ResultId::Turns, 0, all([c, usable[0], usable[1]]).map(|[c, a, b]| (a + b) / c));
    let span = all(usable);
    for (side, w) in wheels.iter().enumerate() {
        let l = &w.linkage;
        let inner = span.and_then(|[a, b]| l.largest_inner_joint(-a, b, &dead[side].peaks).map_err(|r| Gap::Unreachable(Why::Linkage(r))));
        results.set(ResultId::InnerJoint, side, inner.map(f64::to_degrees));
        let tilt = |s: f64| l.outer_tilt(s).abs();
        let height = known(x.get(Field::Height), Field::Height);
        results.set(ResultId::OuterJoint, side, all([height, usable[0], usable[1]]).map(|[_, a, b]| tilt(-a).max(tilt(b)).to_degrees()));
    }
    for side in 0..2 {
        // Lock left (side 0) is the end that turns the wheels to the left.
        let way = usize::from((side == 0) == (direction > 0.0));
        let s = usable[way].map(|u| if way == 1 { u } else { -u });
        out.locks[side] = at_lock(results, wheels, c, &centre, s, side);
    }
}

/// The largest angle of either inner joint, and the largest tilt of either outer one, radians, from mid-travel to the rack displacement
/// `reach`, or to the toggle before it. The tilt needs the height of the inner joints.
fn joint_angles(x: &Inputs, wheels: &[Wheel; 2], dead: &[DeadPoints; 2], reach: f64) -> [Value; 2] {
    let way = usize::from(reach > 0.0);
    let toggle = dead.iter().filter_map(|d| d.toggle[way]).map(f64::abs).fold(f64::INFINITY, f64::min);
    // At a toggle itself rounding may leave no position.
    let end = reach.signum() * reach.abs().min(toggle * (1.0 - 1e-12));
    let mut inner = Ok(0.0);
    let mut outer = known(x.get(Field::Height), Field::Height).map(|_| 0.0);
    for (wheel, dead) in wheels.iter().zip(dead) {
        let l = &wheel.linkage;
        let angle = l.largest_inner_joint(0.0, end, &dead.peaks).map_err(|r| Gap::Unreachable(Why::Linkage(r)));
        inner = all([inner, angle]).map(|[a, b]| a.max(b));
        outer = outer.map(|o: f64| o.max(l.outer_tilt(0.0).abs()).max(l.outer_tilt(end).abs()));
    }
    [inner, outer]
}

/// Wheels that go opposite ways have no turn: of everything that speaks of one there is no such value.
fn opposed(results: &mut Results) {
    use ResultId::*;
    for row in crate::catalogue::result::RESULTS.iter().filter(|r| r.name >= RatioCentre) {
        let of_a_wheel =
            [SteerRate, ToggleLeftWheel, ToggleRightWheel, FoldBackLeftWheel, FoldBackRightWheel, RodOverShortest, RodUnderLongest];
        for side in (0..row.count()).filter(|_| !of_a_wheel.contains(&row.name)) {
            results.set(row.name, side, Err(Gap::Unreachable(Why::Opposed)));
        }
    }
}

/// The wheels at the end `s` of the rack's travel, lock left for `side` 0.
fn at_lock(results: &mut Results, wheels: &[Wheel; 2], c: Value, centre: &Position, s: Value, side: usize) -> Result<LockAngles, Gap> {
    let place = s.and_then(|s| {
        if s == 0.0 {
            return Err(Gap::Unreachable(Why::NoTravel));
        }
        position(wheels, s)
    });
    let (i, o) = (side, 1 - side);
    let turn = if side == 0 { 1.0 } else { -1.0 };
    // Where the wheel points, and how far it has turned: not the same where a typed rod toes it.
    let points = |w: usize| place.map(|p| turn * p.steer[w].to_degrees());
    let angle = |w: usize| place.map(|p| turn * (p.steer[w] - centre.steer[w]));
    let (inner, outer) = (angle(i), angle(o));
    results.set(ResultId::LockInner, side, points(i));
    results.set(ResultId::LockOuter, side, points(o));
    results.set(ResultId::ToeOutLock, side, all([inner, outer]).map(|[a, b]| (a - b).to_degrees()));
    results.set(ResultId::TransmissionInner, side, place.map(|p| p.transmission[i].to_degrees()));
    results.set(ResultId::TransmissionOuter, side, place.map(|p| p.transmission[o].to_degrees()));
    let least = all([s, place.map(|_| 0.0)]).and_then(|[s, _]| {
        let of = |w: &Wheel| w.linkage.least_transmission(s).map_err(|r| Gap::Unreachable(Why::Linkage(r)));
        Ok(of(&wheels[0])?.min(of(&wheels[1])?).to_degrees())
    });
    results.set(ResultId::TransmissionLeast, side, least);
    let mean = place.map(|p| (p.steer[0] + p.steer[1] - centre.steer[0] - centre.steer[1]) / 2.0);
    results.set(ResultId::RatioLock, side, all([c, s, mean]).map(|[c, s, m]| TAU * s.abs() / c / m.abs()));
    Ok(LockAngles { steer: place?.steer, inner: inner?, outer: outer? })
}

/// What lies beyond the linkage: Ackermann and the circles, from the angles at lock, the axes and the readings [`beyond_linkage`].
fn beyond(out: &mut Solution, x: &Inputs) {
    let results = &mut out.results;
    let wheelbase = known(x.get(Field::Wheelbase), Field::Wheelbase);
    let arms = arms(x);
    let chalk = all([arms.map(|a| a[0].ahead), arms.map(|a| a[0].inboard), results.get(ResultId::AxisSpacingRodEnd, 0), wheelbase]);
    let chalk =
        chalk.and_then(
            |[e, f, w, l]| {
                if f == 0.0 { Err(Gap::Unreachable(Why::NeverMeets)) } else { Ok(100.0 * ackermann::chalk_line(e, f, w, l)) }
            },
        );
    results.set(ResultId::ChalkLine, 0, chalk);
    let (Some([left, _]), Some(_)) = (out.wheels, out.direction) else { return };
    let axes = all([results.get(ResultId::AxisSpacingGround, 0), wheelbase]);
    results.set(ResultId::AckermannLimit, 0, axes.and_then(|[w, l]| ackermann_limit(x, &left, w, l)));
    for side in 0..2 {
        circles(results, x, wheelbase, out.locks[side], side);
    }
}

fn ackermann_limit(x: &Inputs, wheel: &Wheel, w: f64, l: f64) -> Value {
    let differs = [Field::RightArmForeAft, Field::RightArmInboard, Field::RodLength].iter().any(|&f| x.get(f).is_some());
    if differs || x.get(Field::Offset).unwrap_or(0.0) != 0.0 {
        return Err(Gap::Unreachable(Why::NotAlike));
    }
    let rates = wheel.linkage.at(0.0).map(|t| wheel.rates(0.0, t));
    rates.map(|r| ackermann::limit(r, w, l)).map_err(|_| Gap::Unreachable(Why::NotAlike))
}

/// Ackermann and the circles of one lock.
fn circles(results: &mut Results, x: &Inputs, wheelbase: Value, angles: Result<LockAngles, Gap>, side: usize) {
    let (ground, scrub) = (results.get(ResultId::AxisSpacingGround, 0), results.get(ResultId::ScrubRadius, 0));
    let (inner, outer) = (angles.map(|a| a.inner), angles.map(|a| a.outer));
    let ideal = all([inner, ground, wheelbase]).map(|[i, w, l]| ackermann::ideal_outer(i, w, l).to_degrees());
    results.set(ResultId::IdealOuter, side, ideal);
    let four = all([inner, outer, ground, wheelbase]);
    results.set(ResultId::AckermannAngle, side, four.map(|[i, o, w, l]| ackermann::by_angle(i, o, w, l)));
    results.set(ResultId::AckermannCotangent, side, four.map(|[i, o, w, l]| ackermann::by_cotangent(i, o, w, l)));

    let turn = if side == 0 { 1.0 } else { -1.0 };
    let needs = all([wheelbase, ground, scrub, inner]);
    let lock = needs.and_then(|[wheelbase, spacing, scrub, _]| Ok(Lock { wheelbase, spacing, scrub, steer: angles?.steer, turn }));
    let circle = lock.and_then(|l| l.circle().ok_or(Gap::Unreachable(Why::NoTurn)));
    results.set(ResultId::CircleCentre, side, circle.map(|k| k.mean));
    results.set(ResultId::CircleOuterRules, side, circle.map(|k| k.outer_rules));
    results.set(ResultId::CircleInnerRules, side, circle.map(|k| k.inner_rules));
    let turned = circle.and(lock);
    let with =
        |l: Result<Lock, Gap>, more: Value, f: &dyn Fn(Lock, f64) -> f64| all([l.map(|_| 0.0), more]).and_then(|[_, m]| Ok(f(l?, m)));
    let width = known(x.get(Field::TyreWidth), Field::TyreWidth);
    results.set(ResultId::CircleEdge, side, with(turned, width, &|l, b| l.edge(b)));
    let corners = [(Field::CornerAhead, Field::CornerWidth), (Field::SecondCornerAhead, Field::SecondCornerWidth)];
    let corners = corners.map(|(a, b)| all([known(x.get(a), a), known(x.get(b), b)]));
    let corner = corners[1].or(corners[0]);
    let wall = all([turned.map(|_| 0.0), corner.map(|c| c[0])]).and_then(|_| {
        let lock = turned?;
        let tyre = width.map_or_else(|_| circle.map_or(0.0, |c| c.mean), |b| lock.edge(b));
        Ok(corners.iter().flatten().map(|&[a, b]| lock.wall(a, b)).fold(tyre, f64::max))
    });
    results.set(ResultId::WallToWall, side, wall);
    let rear = all([
        known(x.get(Field::RearTrack), Field::RearTrack),
        known(x.get(Field::RearTyreWidth).or(x.get(Field::TyreWidth)), Field::TyreWidth),
    ]);
    let inner_edge = all([turned.map(|_| 0.0), rear.map(|r| r[0]), rear.map(|r| r[1])]);
    results.set(ResultId::RearInnerEdge, side, inner_edge.and_then(|[_, t, b]| Ok(turned?.rear_inner(t, b))));
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::Plan;
    use crate::plan::inputs::Readings;

    /// Everything that can be measured on a car and three racks.
    fn complete() -> Vec<(Inputs, Solution)> {
        let plan = Plan::from_json(include_str!("../../benches/complete.json")).unwrap();
        let inputs = (0..plan.racks.len()).map(|rack| Readings::of(&plan, rack).inputs());
        inputs.map(|x| (x, solve(&x, [None; 2]))).collect()
    }

    #[test]
    fn what_lies_beyond_the_linkage_is_the_same_by_itself() {
        for (x, base) in complete() {
            for spec in crate::catalogue::field::FIELDS.iter().filter(|s| beyond_linkage(s.field)) {
                let other = x.with(spec.field, x.get(spec.field).map(|v| 1.01 * v + 1.0));
                assert_ne!(other, x, "{} is measured", spec.name);
                assert_eq!(solve_beyond(&other, &base), solve(&other, [None; 2]), "{}", spec.name);
            }
        }
    }

    #[test]
    fn dead_points_that_were_followed_are_those_that_were_found() {
        for (x, base) in complete() {
            for spec in crate::catalogue::field::FIELDS.iter().filter(|s| !beyond_linkage(s.field)) {
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
