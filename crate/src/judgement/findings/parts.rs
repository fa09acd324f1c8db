//! Demands on the linkage's shape and parts, and the limits that the builder sets.

use super::*;
use crate::linkage::in_the_way::{edges_wanting, keep_outs};
use crate::math::each::Each;

/// The angle between rod and arm at ride height, or `over_bumps`.
pub(super) fn transmission(case: &Case, out: &mut Vec<Finding>, over_bumps: bool) {
    let demand = if over_bumps { DemandId::TransmissionBumps } else { DemandId::Transmission }.row();
    // Of bumps nothing is said until the corners are known.
    if over_bumps && case.solution.bump.is_none() {
        return;
    }
    let origin = origin_of(case, demand);
    for (side, place) in case.sides(demand.result) {
        let (word, lock) = (words_of(place, &TURN), Text::fill("{}{}", &[&TURN[place], &if over_bumps { ", over bumps" } else { "" }]));
        let (value, wanted) = match (case.get(demand.result, side), limit_of(case, demand)) {
            (Ok(v), Ok(w)) => (v, w),
            // A toggle is none that could be turned off.
            (Ok(0.0), Err(_)) if over_bumps => (0.0, 0.0),
            _ if over_bumps && is_off(case, demand) => continue,
            // Without a lock there is no angle on the way to it: the lock's finding says why.
            (Err(Gap::Unreachable(_)), _) => continue,
            _ if is_off(case, demand) => {
                out.push(turned_off(case, demand, (side, word), &format!("Angle between rod and arm {}", TURN[place])));
                continue;
            }
            (Err(gap), _) | (_, Err(gap)) => {
                out.push(missing(demand.finding, word, "Angle between rod and arm", gap, case.readings, origin));
                continue;
            }
        };
        let tighter = match all([case.get(ResultId::TransmissionInner, side), case.get(ResultId::TransmissionOuter, side)]) {
            _ if over_bumps => "With the suspension at an end of its travel",
            Ok([inner, outer]) if inner <= outer => "The tighter one is the inner wheel’s",
            _ => "The tighter one is the outer wheel’s",
        };
        let mut judged = Judged::of(case, demand, side, value, wanted);
        let toggles = over_bumps && value == 0.0;
        if toggles {
            judged.kind = Kind::Fail;
        }
        let kind = judged.kind;
        let shown = case.shown(demand.result, side);
        let reason = Text::fill(
            "{}; at least {} is wanted. Small angles push the joints apart more than they turn the wheel.",
            &[&tighter, &degrees(wanted)],
        );
        let parts: [&dyn Words; 2] = if kind == Kind::Close { [&lock, &shown] } else { [&shown, &lock] };
        let (head, title, remedy) = match kind {
            Kind::Pass => ("good angle between rod and arm", "Keeps {} between rod and arm {}", Text::default()),
            Kind::Close => (
                "angle between rod and arm too close to call",
                "Angle between rod and arm too close to call {}: {}",
                measure_again(case, demand.result, side),
            ),
            _ => ("rod and arm nearly in line", "Only {} between rod and arm {}", Text::default()),
        };
        let reason = if toggles {
            one("With the suspension at an end of its travel, rod and arm come into one line before the lock: the steering may stay there.")
        } else {
            reason
        };
        let (head, title) = if toggles { ("goes past its toggle over bumps", "Goes past a toggle {}") } else { (head, title) };
        let parts = if toggles { &parts[1..] } else { &parts[..] };
        let say = say(head, title, parts, reason, remedy);
        out.push(made(demand.finding, word, judged, say, origin));
    }
}

/// The room between the housing and what is in the way; without a box nothing is said.
pub(super) fn housing(case: &Case, out: &mut Vec<Finding>) {
    if keep_outs(&case.x()).is_empty() && edges_wanting(&case.x()).is_empty() {
        return;
    }
    let demand = DemandId::HousingRoom.row();
    let value = match case.get(demand.result, 0) {
        Ok(value) => value,
        Err(gap) => {
            out.push(missing(demand.finding, "", "Room beside what is in the way", gap, case.readings, GEOMETRY));
            return;
        }
    };
    let judged = Judged::of(case, demand, 0, value, 0.0);
    let shown = case.shown(demand.result, 0);
    let reason = one("Beside the nearest of sump, crossmember and frame, seen from the side.");
    let (head, title, remedy) = match judged.kind {
        Kind::Pass => ("clear of what is in the way", "The housing clears what is in the way by {}", Text::default()),
        Kind::Close => {
            ("room too close to call", "Room beside what is in the way too close to call: {}", measure_again(case, demand.result, 0))
        }
        _ => ("something is in the way", "The housing reaches {} into what is in the way", Text::default()),
    };
    let shown = if judged.kind == Kind::Fail { figure(judged.unit, -value, Some(judged.pm)) } else { shown };
    out.push(made(demand.finding, "", judged, say(head, title, &[&shown], reason, remedy), "the boxes typed"));
}

/// The room beside the turned tyres; nothing is said until their size is known.
pub(super) fn tyres(case: &Case, out: &mut Vec<Finding>) {
    if case.x().get(Field::TyreDiameter).is_none() {
        return;
    }
    let demand = DemandId::TyreRoom.row();
    let origin = origin_of(case, demand);
    for (side, place) in case.sides(demand.result) {
        let word = words_of(place, &["left wheel", "right wheel", ""]);
        let who = ["the left tyre", "the right tyre", "each tyre"][place];
        let (value, wanted) = match (case.get(demand.result, side), limit_of(case, demand)) {
            (Ok(v), Ok(w)) => (v, w),
            (Err(gap), _) | (_, Err(gap)) => {
                out.push(missing(demand.finding, word, "Room beside the tyres", gap, case.readings, origin));
                continue;
            }
        };
        let mut judged = Judged::of(case, demand, side, value, wanted);
        let touches = value == 0.0;
        if touches {
            judged.kind = Kind::Fail;
        }
        let shown = case.shown(demand.result, side);
        let beside = match [Field::RailOuter, Field::CrossmemberOut].each(|field| case.x().get(field).is_some()) {
            [true, true] => "Frame rail and crossmember",
            [false, true] => "The crossmember alone",
            _ => "The frame rail alone",
        };
        let reason = Text::fill(
            "{} as typed, at the worst of every lock and wheel travel looked at; at least {} is wanted.",
            &[&beside, &length(wanted)],
        );
        let (head, title, remedy) = match judged.kind {
            Kind::Fail if touches => ("a tyre touches", "Before the lock {} touches frame or crossmember", Text::default()),
            Kind::Pass => ("tyres keep clear", "Beside {} {} stay free at every lock", Text::default()),
            Kind::Close => {
                ("room beside a tyre too close to call", "Room beside {} too close to call: {}", measure_again(case, demand.result, side))
            }
            _ => ("a tyre comes too near", "Beside {} only {} stay free", Text::default()),
        };
        let parts: [&dyn Words; 2] = [&who, &shown];
        let parts = if touches { &parts[..1] } else { &parts[..] };
        out.push(made(demand.finding, word, judged, say(head, title, parts, reason, remedy), origin));
    }
}

/// Rods of a typed length may leave the wheels pointing elsewhere than straight ahead.
pub(super) fn toe(case: &Case, out: &mut Vec<Finding>) {
    if case.x().get(Field::RodLength).is_none() {
        return;
    }
    let demand = DemandId::Toe.row();
    let origin = origin_of(case, demand);
    for (side, place) in case.sides(demand.result) {
        let word = words_of(place, &["left wheel", "right wheel", ""]);
        let who = ["the left wheel", "the right wheel", "each wheel"][place];
        if is_off(case, demand) {
            out.push(turned_off(case, demand, (side, word), &format!("Toe of {who} at mid-travel")));
            continue;
        }
        let (value, limit) = match (case.get(demand.result, side), limit_of(case, demand)) {
            (Ok(v), Ok(l)) => (v, l),
            (Err(gap), _) | (_, Err(gap)) => {
                out.push(missing(demand.finding, word, "Toe at mid-travel", gap, case.readings, origin));
                continue;
            }
        };
        let judged = Judged::of(case, demand, side, value, limit);
        let way = if value >= 0.0 { "in" } else { "out" };
        let straight = length(case.get(ResultId::RodLengthStraight, side).unwrap_or(0.0));
        let typed = length(case.get(ResultId::RodLength, side).unwrap_or(0.0));
        let reason = Text::fill(
            "The rod as typed is {} long; {} stands the wheel straight. Up to {} is allowed.",
            &[&typed, &straight, &degrees(limit)],
        );
        let shown = figure(judged.unit, value.abs(), Some(judged.pm));
        let (head, title, remedy) = match judged.kind {
            Kind::Pass => ("wheels near straight", "Toe-{} of {} at mid-travel, {}", Text::default()),
            Kind::Close => ("toe too close to call", "Toe-{} too close to call: {}, {}", measure_again(case, demand.result, side)),
            _ => ("rods toe the wheels", "The rods as typed toe the wheels {} by {}, {}", Text::default()),
        };
        let say = say(head, title, &[&way, &shown, &who], reason, remedy);
        out.push(made(demand.finding, word, judged, say, origin));
    }
}

pub(super) fn rod(case: &Case, out: &mut Vec<Finding>) {
    let ends = [(DemandId::RodShortest.row(), "rod_shortest", "shortest"), (DemandId::RodLongest.row(), "rod_longest", "longest")];
    if ends.iter().all(|(demand, ..)| limit_of(case, demand).is_err()) {
        let both = all(ends.each(|(demand, ..)| limit_of(case, demand)));
        out.extend(both.err().map(|gap| missing("rod_range", "", "Rod length", gap, case.readings, DONOR)));
        return;
    }
    for (demand, alone, which) in ends {
        for (side, place) in case.sides(demand.result) {
            let word = words_of(place, &["left wheel", "right wheel", ""]);
            let (value, limit) = match (case.get(demand.result, side), limit_of(case, demand)) {
                (Ok(v), Ok(l)) => (v, l),
                (Err(gap), _) => {
                    out.push(missing(alone, word, &format!("Rod against the {which}"), gap, case.readings, DONOR));
                    continue;
                }
                _ => continue,
            };
            let judged = Judged::of(case, demand, side, value, 0.0);
            let rod = length(case.get(ResultId::RodLength, side).unwrap_or(0.0));
            let reason =
                Text::fill("The rod comes out {} long; the {} that the donor’s parts allow is {}.", &[&rod, &which, &length(limit)]);
            let shown = figure(judged.unit, value, Some(judged.pm));
            let say = match judged.kind {
                Kind::Pass => say("rods in range", "Rod length keeps {} to the {}", &[&shown, &which], reason, Text::default()),
                Kind::Close => say(
                    "rod length too close to call",
                    "Rod length too close to the {} to call: {}",
                    &[&which, &shown],
                    reason,
                    measure_again(case, demand.result, side),
                ),
                _ => {
                    let (head, title) = match demand.id {
                        DemandId::RodShortest => ("rods too long for the gap", "The donor’s rod is {} too long at its shortest"),
                        _ => ("rods too short for the gap", "The donor’s rod is {} too short at its longest"),
                    };
                    let remedy = one("Use rods and tie-rod ends of another length; never weld or heat one.");
                    say(head, title, &[&length(value.abs())], reason, remedy)
                }
            };
            out.push(made(demand.finding, word, judged, say, DONOR));
        }
    }
}

/// Limits that are judged only where the builder sets them.
pub(super) fn own_limits(case: &Case, out: &mut Vec<Finding>) {
    for demand in DEMANDS {
        let Limit::Own(field) = demand.limit else { continue };
        let off = is_off(case, demand);
        if case.readings.items[field as usize].is_none() && !off {
            continue;
        }
        let name = demand.result;
        let row = name.row();
        let sides = if row.count() == 1 { vec![(0, 2)] } else { case.sides(name) };
        let label = name.label();
        for (side, place) in sides {
            let word = words_of(place, &LOCK);
            if off {
                out.push(turned_off(case, demand, (side, word), field.label()));
                continue;
            }
            let (value, limit) = match (case.get(name, side), limit_of(case, demand)) {
                (Ok(v), Ok(l)) => (v, l),
                (Err(gap), _) => {
                    out.push(missing(demand.finding, word, label, gap, case.readings, OWN));
                    continue;
                }
                (_, Err(_)) => continue,
            };
            let judged = Judged::of(case, demand, side, value, limit);
            let shown = case.shown(name, side);
            let bound = figure(row.unit, limit, None);
            let (space, at) = if row.count() == 1 { ("", "") } else { (" ", LOCK[place]) };
            let (than, allow) =
                if demand.sense == Sense::AtLeast { ("less", "You allow at least {}.") } else { ("more", "You allow at most {}.") };
            let (head, title, remedy) = match judged.kind {
                Kind::Pass => ("{} in limits", "{}{}{}: {}", Text::default()),
                Kind::Close => ("{} too close to call", "{}{}{} too close to call: {}", measure_again(case, demand.result, side)),
                _ => ("{} off limits", "{}{}{}: {}, {} than you allow", Text::default()),
            };
            let say = Say {
                head: Text::fill(head, &[&wording::small(label)]),
                title: Text::fill(title, &[&label, &space, &at, &shown, &than]),
                reason: Text::fill(allow, &[&bound]),
                remedy,
            };
            out.push(made(demand.finding, word, judged, say, OWN));
        }
    }
}
