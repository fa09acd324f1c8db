//! Demands on the travel: lock, the travel kept before toggle and fold-back, the joints.

use super::*;
use crate::catalogue::value::Why;
use crate::linkage::travel::{ENDS, End, first};

/// The way of the rack (0 right, 1 left) that turns the wheels to `side` (0 left, 1 right).
fn way_of(solution: &Solution, side: usize) -> usize {
    if (side == 0) == (solution.direction.unwrap_or(1.0) > 0.0) { 1 } else { 0 }
}

pub(super) fn lock(case: &Case, out: &mut Vec<Finding>) {
    let demand = DemandId::Lock.row();
    let origin = origin_of(case, demand);
    for (side, place) in case.sides(demand.result) {
        let word = words_of(place, &TURN);
        let value = case.get(demand.result, side);
        if is_off(case, demand) && !matches!(value, Err(Gap::Unreachable(_))) {
            out.push(turned_off(case, demand, (side, word), &format!("Lock {}", TURN[place])));
            continue;
        }
        let (value, wanted) = match (value, limit_of(case, demand)) {
            (Ok(v), Ok(w)) => (v, w),
            (Err(gap @ Gap::Unreachable(Why::NoTravel)), Ok(w)) => {
                let mut f = missing(demand.finding, word, "No lock", gap, case.readings, origin);
                (f.value, f.limit, f.margin) = (Some(0.0), Some(w), Some(demand.margin(0.0, w)));
                let ends = first(&case.solution.distances[way_of(case.solution, side)]).map(|k| ENDS[k]);
                let (head, title) = match ends {
                    Some(End::InnerJoint(_) | End::OuterJoint(_)) => {
                        ("a joint binds straight ahead", "No lock {}: a joint is past its limit with the wheels straight")
                    }
                    _ => ("too near toggle straight ahead", "No lock {}: too near toggle or fold-back with the wheels straight"),
                };
                (f.head, f.title) = (one(head), Text::fill(title, &[&TURN[place]]));
                out.push(f);
                continue;
            }
            (Err(gap), _) => {
                out.push(missing(demand.finding, word, &format!("Lock {}", TURN[place]), gap, case.readings, origin));
                continue;
            }
            (_, Err(gap)) => {
                out.push(missing(demand.finding, word, "Lock", gap, case.readings, origin));
                continue;
            }
        };
        let judged = Judged::of(case, demand, side, value, wanted);
        let way = way_of(case.solution, side);
        let end = case.solution.ends[way].map_or(End::Rack, |k| ENDS[k]);
        let travel = case.get(ResultId::UsableTravel, 1 - way).unwrap_or(0.0);
        let to = TURN[place];
        // A lock that no part of the rack ends counts on a stop that somebody has to make.
        let reason = match end {
            End::Rack | End::Stop => Text::fill(
                "Wanted: {} at the inner wheel. The travel ends {} from the middle, by {}.",
                &[&degrees(wanted), &length(travel), &wording::end(end)],
            ),
            _ => Text::fill(
                "Wanted: {} at the inner wheel. This is with a stop {} from the middle, to be made, because of {}.",
                &[&degrees(wanted), &at_most(travel), &wording::end(end)],
            ),
        };
        let shown = case.shown(demand.result, side);
        let say = match judged.kind {
            Kind::Pass => say("locks far enough", "The inner wheel turns {} {}", &[&shown, &to], reason, Text::default()),
            Kind::Close => {
                let remedy = measure_again(case, demand.result, side);
                say("lock too close to call", "Lock {} too close to call: {}", &[&to, &shown], reason, remedy)
            }
            _ => {
                let (head, what) = match end {
                    End::Rack => ("runs out of travel", "Runs out of rack travel"),
                    End::Stop => ("stopped too early", "The stop ends the turn"),
                    End::Toggle(_) => ("toggle comes too early", "Must stop before the toggle,"),
                    End::FoldBack(_) => ("fold-back comes too early", "Must stop before the fold-back,"),
                    End::InnerJoint(_) | End::OuterJoint(_) => ("joint binds too early", "Must stop before a joint binds,"),
                };
                say(head, "{} at {} {}", &[&what, &degrees(value), &to], reason, Text::default())
            }
        };
        out.push(made(demand.finding, word, judged, say, origin));
    }
}

pub(super) fn reserve(case: &Case, out: &mut Vec<Finding>) {
    let demand = DemandId::Reserve.row();
    let origin = origin_of(case, demand);
    for (side, place) in case.sides(demand.result) {
        let (way, word) = (1 - side, words_of(place, &BAR));
        let (value, wanted) = match (case.get(demand.result, side), limit_of(case, demand)) {
            (Ok(v), Ok(w)) => (v, w),
            (Err(gap), _) | (_, Err(gap)) => {
                out.push(missing(demand.finding, word, "Toggle and fold-back", gap, case.readings, origin));
                continue;
            }
        };
        let judged = Judged::of(case, demand, side, value, wanted);
        // The nearest of the four dead points, from the same distances that end the travel.
        let d = &case.solution.distances[way];
        let mut dead = *d;
        for (k, place) in dead.iter_mut().enumerate() {
            if !matches!(ENDS[k], End::Toggle(_) | End::FoldBack(_)) {
                *place = None;
            }
        }
        let k = first(&dead);
        let what = wording::dead_point(k.map_or(End::Toggle(0), |k| ENDS[k]));
        let room = k.and_then(|k| d[k]).unwrap_or(0.0);
        let bar = BAR[place];
        let off = is_off(case, demand);
        if off && judged.kind == Kind::Pass {
            out.push(turned_off(case, demand, (side, word), &format!("Travel before toggle or fold-back, {bar}")));
            continue;
        }
        let kept = if off { " No travel is kept: turned off by you. The toggle itself still ends the turn." } else { "" };
        let reason = Text::fill(
            "Next comes {}, {} past the end of rack or stop; {} is to be kept.{}",
            &[&what, &length(value), &length(wanted), &kept],
        );
        let shown = figure(judged.unit, value, Some(judged.pm));
        let say = match judged.kind {
            Kind::Pass => {
                let title = "Keeps {} of travel before toggle or fold-back, {}";
                say("keeps clear of toggle", title, &[&shown, &bar], reason, Text::default())
            }
            Kind::Close => {
                let title = "Travel kept before toggle or fold-back too close to call, {}: {}";
                say("near toggle or fold-back", title, &[&bar, &shown], reason, measure_again(case, demand.result, side))
            }
            _ if room <= 0.0 => Say {
                head: one("too near toggle or fold-back"),
                title: Text::fill("No travel is left before {}, {}", &[&what, &bar]),
                reason: Text::default(),
                remedy: Text::default(),
            },
            _ => Say {
                head: one("goes past its toggle"),
                title: match value < 0.0 {
                    true => Text::fill("Goes past {}, {}", &[&what, &bar]),
                    false => Text::fill("Comes within {} of {}, {}", &[&length(value), &what, &bar]),
                },
                reason: Text::fill(
                    "Pushed to its own end the rack goes too far: that point lies {} from the middle, and {} is to be kept. Lock and circle here are with a stop at {}, to be made.{}",
                    &[&length(room + wanted), &length(wanted), &at_most(room), &kept],
                ),
                remedy: Text::default(),
            },
        };
        out.push(made(demand.finding, word, judged, say, origin));
    }
}

/// The joints, judged by the angle to spare over everything that the hardware lets the rack go.
pub(super) fn joint(case: &Case, out: &mut Vec<Finding>, demand: &Demand, which: &'static str) {
    let over_bumps = matches!(demand.id, DemandId::InnerJointBumps | DemandId::OuterJointBumps);
    for (side, place) in case.sides(demand.result) {
        let (way, word) = (1 - side, words_of(place, &BAR));
        let bar = Text::fill("{}{}", &[&BAR[place], &if over_bumps { ", over bumps" } else { "" }]);
        let (value, limit) = match (case.get(demand.result, side), limit_of(case, demand)) {
            (Ok(v), Ok(l)) => (v, l),
            // What is missing is said at ride height.
            (Err(_), _) if over_bumps => continue,
            (Err(gap), _) => {
                out.push(missing(demand.finding, word, &format!("Angle of the {which} joints"), gap, case.readings, DONOR));
                continue;
            }
            (Ok(_), Err(_)) => continue,
        };
        let judged = Judged::of(case, demand, side, value, 0.0);
        let binds = (0..ENDS.len()).filter(|&k| matches!((ENDS[k], which), (End::InnerJoint(_), "inner") | (End::OuterJoint(_), "outer")));
        let stop = binds.filter_map(|k| case.solution.distances[way][k]).fold(f64::INFINITY, f64::min);
        let largest = degrees(limit - value);
        let reason = match stop.is_finite() {
            _ if over_bumps => Text::fill(
                "At rack or stop, the suspension at an end of its travel, it stands at {}; it goes to {}.",
                &[&largest, &degrees(limit)],
            ),
            true if stop > 0.0 => Text::fill(
                "It meets its {} with the rack {} from the middle; at rack or stop it would stand at {}.",
                &[&degrees(limit), &at_most(stop), &largest],
            ),
            true => Text::fill("It stands at {} with the wheels straight or soon after; it goes to {}.", &[&largest, &degrees(limit)]),
            false => Text::fill("At rack or stop it stands at {}; it goes to {}.", &[&largest, &degrees(limit)]),
        };
        let shown = figure(judged.unit, value, Some(judged.pm));
        let say = match judged.kind {
            Kind::Pass => {
                let title = "The {} joints keep {} to their limit, {}";
                say("joints go far enough", title, &[&which, &shown, &bar], reason, Text::default())
            }
            Kind::Close => {
                let (title, remedy) =
                    ("Limit of the {} joints too close to call, {}: {} to spare", measure_again(case, demand.result, side));
                say("joint limit too close to call", title, &[&which, &bar, &shown], reason, remedy)
            }
            _ => Say {
                head: Text::fill("{} joint binds", &[&which]),
                title: Text::fill("The {} joint binds, {}", &[&which, &bar]),
                reason,
                remedy: if over_bumps {
                    one("What helps: rods whose joints go farther, or bump stops that end the wheel’s travel before.")
                } else {
                    Text::default()
                },
            },
        };
        out.push(made(demand.finding, word, judged, say, DONOR));
    }
}
