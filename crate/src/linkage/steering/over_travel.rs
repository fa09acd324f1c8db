//! What the rack does between the ends of its travel: where that ends, the joints on the way, the wheels at lock.

use super::*;

/// Ratio, ends of the travel, joints and locks: everything that speaks of a turn.
///
/// What starts from the same as with the `same` linkage stands in the results already.
pub(super) fn over_the_travel(
    out: &mut Solution,
    x: &Recorder,
    wheels: Traced<&[Wheel; 2]>,
    forced: [Option<usize>; 2],
    same: Option<&Solution>,
) {
    let (turning, centre) = (out.turning, out.centre);
    let results = &mut out.results;
    // Wheels that go opposite ways have no turn: of what speaks of one there is no such value, whatever else is missing.
    let of_turn = |parts: Traced| match turning.value {
        Err(gap @ Gap::Unreachable(Why::Opposed)) => Traced { value: Err(gap), trace: turning.trace },
        _ => parts.after(&turning),
    };
    let [c, t] = [ResultId::TravelPerTurn, ResultId::Travel].each(|id| results.traced(id, 0));
    let c = of_turn(c);
    let rate = centre.map(|p| (p.rate[0] + p.rate[1]) / 2.0);
    results.set(ResultId::RackPerDegree, 0, of_turn(rate.map(|rate| 1f64.to_radians() / rate)));
    results.set(ResultId::RatioCentre, 0, of_turn(together([rate, c]).map(|[rate, c]| TAU / c / rate.abs())));

    // A reserve that cannot be read is not a reserve of nothing.
    let reserve = reading(x, Field::ReserveWanted);
    let travelling = of_turn(together([turning, t]).map(|_| 0.0));
    if let (Ok(w), Some(dead), Some(_)) = (wheels.value, out.dead, out.direction) {
        out.distances = distances(x, t.value.ok(), w, &dead, reserve.value.unwrap_or(0.0));
    }
    let mut usable = [travelling; 2];
    for way in 0..2 {
        let d = out.distances[way];
        let stop = reading(x, if way == 1 { Field::StopLeft } else { Field::StopRight });
        let hard = travelling.and_then(|_| hardware(&d).ok_or(Gap::Missing(FieldSet::only(Field::Travel)))).after(&stop);
        if hard.value.is_ok() {
            out.ends[way] = forced[way].or(first(&d));
        }
        // Which end it is decides what the travel rests on: a reserve is kept before toggle and fold-back alone.
        let end = hard.and_then(|_| all([reserve.value, known(out.ends[way].and_then(|k| d[k]), Field::Travel)]).map(|[_, end]| end));
        usable[way] = end.after(&ended_by(x, out.ends[way].map(|k| ENDS[k])));
        let event = out.dead.and_then(|dead| dead.iter().filter_map(|p| p.first(way)).reduce(f64::min));
        let event = turning.and_then(|_| event.ok_or(Gap::Unreachable(Why::NoToggle)));
        results.set(ResultId::UsableTravel, 1 - way, usable[way]);
        results.set(ResultId::Reserve, 1 - way, of_turn(together([event, usable[way]]).map(|[e, u]| e - u)));
        results.set(ResultId::ReserveHardware, 1 - way, besides(hard, event, |hard, e| Ok(e - hard)));
        let reach = hard.map(|h| if way == 1 { h } else { -h });
        out.joints[way] = wheels.value.ok().zip(out.dead).zip(reach.value.ok()).map(|((w, dead), reach)| {
            let known = same.and_then(|n| n.joints[way]).filter(|known| known.0 == reach);
            known.unwrap_or_else(|| (reach, joint_angles(x, w, &dead, reach)))
        });
        let angles = out.joints[way].map(|j| j.1);
        for (reserve, margin, field, joint) in [
            (ResultId::InnerJointReserve, ResultId::InnerJointMargin, Field::InnerJointLimit, 0),
            (ResultId::OuterJointReserve, ResultId::OuterJointMargin, Field::OuterJointLimit, 1),
        ] {
            // The tilt of an outer joint needs the height of the inner ones.
            let limit = reading(x, field);
            let height = if joint == 1 && hard.value.is_ok() { reading(x, Field::Height) } else { limit };
            let needs = if turning.value.is_ok() { together([limit, height, hard]).map(|[limit, ..]| limit) } else { hard };
            let ends = [0, 1].each(|w| if joint == 0 { End::InnerJoint(w) } else { End::OuterJoint(w) });
            let met = (0..ENDS.len()).filter(|&k| ends.contains(&ENDS[k])).filter_map(|k| d[k]).reduce(f64::min);
            let left = |_: f64| all([met.ok_or(Gap::Unreachable(Why::NoLimit)), hard.value]).map(|[m, hard]| m - hard);
            results.set(reserve, 1 - way, of_turn(needs.and_then(left)));
            let spare = |limit: f64| angles.map_or(hard.value, |a| a[joint]).map(|a| (limit - a).to_degrees());
            results.set(margin, 1 - way, of_turn(needs.and_then(spare)));
        }
    }
    results.set(ResultId::Turns, 0, of_turn(together([c, usable[0], usable[1]]).map(|[c, a, b]| (a + b) / c)));
    // Which ways the travel ends where it ended before.
    let unmoved = [0, 1].each(|way| same.filter(|n| n.results.traced(ResultId::UsableTravel, 1 - way) == usable[way]));
    let span = together(usable);
    for side in (0..2).filter(|_| unmoved.iter().any(Option::is_none)) {
        let largest = |[a, b]: [f64; 2]| {
            let (w, dead) = wheels.value.ok().zip(out.dead).ok_or(Gap::Unreachable(Why::NoTravel))?;
            w[side].linkage.largest_inner_joint(-a, b, &dead[side].peaks).map_err(|r| Gap::Unreachable(Why::Linkage(r)))
        };
        results.set(ResultId::InnerJoint, side, span.and_then(largest).map(f64::to_degrees));
        let tilt = |w: &[Wheel; 2], s: f64| w[side].linkage.outer_tilt(s).abs();
        let height = reading(x, Field::Height);
        let needs = if turning.value.is_ok() { together([height, usable[0], usable[1]]) } else { span.map(|[a, b]| [0.0, a, b]) };
        let largest = |[_, a, b]: [f64; 3]| wheels.value.map(|w| tilt(w, -a).max(tilt(w, b)).to_degrees());
        results.set(ResultId::OuterJoint, side, needs.and_then(largest));
    }
    for side in 0..2 {
        // Lock left (side 0) is the end that turns the wheels to the left.
        let way = usize::from((side == 0) == (turning.value.unwrap_or(1.0) > 0.0));
        let s = usable[way].map(|u| if way == 1 { u } else { -u });
        let known = unmoved[way].filter(|n| n.results.traced(ResultId::TravelPerTurn, 0) == results.traced(ResultId::TravelPerTurn, 0));
        out.locks[side] = known.map_or_else(|| at_lock(results, wheels, &centre, (c, s), side), |n| n.locks[side]);
    }
}

/// What the end that ends the travel rests on, beside linkage, travel and stop.
fn ended_by(x: &Recorder, end: Option<End>) -> Traced {
    match end {
        None | Some(End::Rack | End::Stop) => Traced { value: Ok(0.0), trace: Trace::default() },
        Some(End::Toggle(_) | End::FoldBack(_)) => reading(x, Field::ReserveWanted),
        Some(End::InnerJoint(_)) => reading(x, Field::InnerJointLimit),
        Some(End::OuterJoint(_)) => reading(x, Field::OuterJointLimit).after(&reading(x, Field::Height)),
    }
}

/// The largest angle of either inner joint, and the largest tilt of either outer one, radians, from mid-travel to the rack displacement
/// `reach`, or to the toggle before it. The tilt needs the height of the inner joints.
fn joint_angles(x: &Recorder, wheels: &[Wheel; 2], dead: &[DeadPoints; 2], reach: f64) -> [Value; 2] {
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

/// The wheels at the end `s` of the rack's travel, lock left for `side` 0.
fn at_lock(
    results: &mut Results,
    wheels: Traced<&[Wheel; 2]>,
    centre: &Traced<Position>,
    (c, s): (Traced, Traced),
    side: usize,
) -> Traced<LockAngles> {
    let place = s.and_then(|s| {
        if s == 0.0 {
            return Err(Gap::Unreachable(Why::NoTravel));
        }
        Ok((position(wheels.value?, s)?, centre.value?))
    });
    let (i, o) = (side, 1 - side);
    let turn = if side == 0 { 1.0 } else { -1.0 };
    // Where the wheel points, and how far it has turned: not the same where a typed rod toes it.
    let points = |w: usize| place.map(|(p, _)| turn * p.steer[w].to_degrees());
    let angle = |w: usize| place.map(|(p, centre)| turn * (p.steer[w] - centre.steer[w]));
    results.set(ResultId::LockInner, side, points(i));
    results.set(ResultId::LockOuter, side, points(o));
    results.set(ResultId::ToeOutLock, side, together([angle(i), angle(o)]).map(|[a, b]| (a - b).to_degrees()));
    results.set(ResultId::TransmissionInner, side, place.map(|(p, _)| p.transmission[i].to_degrees()));
    results.set(ResultId::TransmissionOuter, side, place.map(|(p, _)| p.transmission[o].to_degrees()));
    let least = together([s, place.map(|_| 0.0)]).and_then(|[s, _]| {
        let of = |w: &Wheel| w.linkage.least_transmission(s).map_err(|r| Gap::Unreachable(Why::Linkage(r)));
        let wheels = wheels.value?;
        Ok(of(&wheels[0])?.min(of(&wheels[1])?).to_degrees())
    });
    results.set(ResultId::TransmissionLeast, side, least);
    let mean = place.map(|(p, centre)| (p.steer[0] + p.steer[1] - centre.steer[0] - centre.steer[1]) / 2.0);
    results.set(ResultId::RatioLock, side, together([c, s, mean]).map(|[c, s, m]| TAU * s.abs() / c / m.abs()));
    place.map(|(p, centre)| LockAngles {
        steer: p.steer,
        inner: turn * (p.steer[i] - centre.steer[i]),
        outer: turn * (p.steer[o] - centre.steer[o]),
    })
}
