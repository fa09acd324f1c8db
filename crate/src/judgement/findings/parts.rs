//! Demands on the linkage's shape and parts, and the limits that the builder sets.

use super::*;

pub(super) fn transmission(case: &Case, out: &mut Vec<Finding>) {
    let (origin, name, field) = (case.origin(Field::TransmissionWanted), ResultId::TransmissionLeast, Field::TransmissionWanted);
    for (side, place) in case.sides(name) {
        let (word, lock) = (words_of(place, &TURN), TURN[place]);
        let (value, wanted) = match (case.get(name, side), case.limit(field)) {
            (Ok(v), Some(w)) => (v, w),
            // Without a lock there is no angle on the way to it: the lock's finding says why.
            (Err(Gap::Unreachable(_)), _) => continue,
            (value, _) if case.readings.off.has(field) => {
                let value = value.ok().map(|v| (v, case.pm(name, side), ResultUnit::Deg));
                out.push(turned_off("transmission", word, &format!("Angle between rod and arm {lock}"), value));
                continue;
            }
            (Err(gap), _) => {
                out.push(missing("transmission", word, "Angle between rod and arm", gap, case.readings, origin));
                continue;
            }
            (_, None) => {
                let gap = Gap::Missing(FieldSet::of(field));
                out.push(missing("transmission", word, "Angle between rod and arm", gap, case.readings, origin));
                continue;
            }
        };
        let wheel = match all([case.get(ResultId::TransmissionInner, side), case.get(ResultId::TransmissionOuter, side)]) {
            Ok([inner, outer]) if inner <= outer => "inner",
            _ => "outer",
        };
        let (margin, pm) = (value - wanted, case.pm(name, side));
        let kind = judge(margin, pm);
        let shown = case.shown(name, side);
        let reason = Text::fill(
            "The tighter one is the {} wheel’s; at least {} is wanted. Small angles push the joints apart more than they turn the wheel.",
            &[&wheel, &degrees(wanted)],
        );
        let parts: [&dyn Words; 2] = if kind == Kind::Close { [&lock, &shown] } else { [&shown, &lock] };
        let (head, title, remedy) = match kind {
            Kind::Pass => ("good angle between rod and arm", "Keeps {} between rod and arm {}", Text::default()),
            Kind::Close => (
                "angle between rod and arm too close to call",
                "Angle between rod and arm too close to call {}: {}",
                measure_again(case, name, side),
            ),
            _ => ("rod and arm nearly in line", "Only {} between rod and arm {}", Text::default()),
        };
        let say = say(head, title, &parts, reason, remedy);
        out.push(made("transmission", word, kind, say, Some((value, wanted, margin, pm, ResultUnit::Deg)), origin));
    }
}

/// Rods of a typed length may leave the wheels pointing elsewhere than straight ahead.
pub(super) fn toe(case: &Case, out: &mut Vec<Finding>) {
    if case.x().get(Field::RodLength).is_none() {
        return;
    }
    let (name, field, origin) = (ResultId::ToeCentre, Field::ToeMax, case.origin(Field::ToeMax));
    for (side, place) in case.sides(name) {
        let word = words_of(place, &["left wheel", "right wheel", ""]);
        let who = ["the left wheel", "the right wheel", "each wheel"][place];
        let value = case.get(name, side);
        if case.readings.off.has(field) {
            let value = value.ok().map(|v| (v, case.pm(name, side), ResultUnit::Deg));
            out.push(turned_off("toe", word, &format!("Toe of {who} at mid-travel"), value));
            continue;
        }
        let (value, limit) = match (value, case.limit(field)) {
            (Ok(v), Some(l)) => (v, l),
            (Err(gap), _) => {
                out.push(missing("toe", word, "Toe at mid-travel", gap, case.readings, origin));
                continue;
            }
            (_, None) => {
                out.push(missing("toe", word, "Toe at mid-travel", Gap::Missing(FieldSet::of(field)), case.readings, origin));
                continue;
            }
        };
        let (margin, pm) = (limit - value.abs(), case.pm(name, side));
        let kind = judge(margin, pm);
        let way = if value >= 0.0 { "in" } else { "out" };
        let straight = length(case.get(ResultId::RodLengthStraight, side).unwrap_or(0.0));
        let typed = length(case.get(ResultId::RodLength, side).unwrap_or(0.0));
        let reason = Text::fill(
            "The rod as typed is {} long; {} stands the wheel straight. Up to {} is allowed.",
            &[&typed, &straight, &degrees(limit)],
        );
        let shown = figure(ResultUnit::Deg, value.abs(), Some(pm));
        let (head, title, remedy) = match kind {
            Kind::Pass => ("wheels near straight", "Toe-{} of {} at mid-travel, {}", Text::default()),
            Kind::Close => ("toe too close to call", "Toe-{} too close to call: {}, {}", measure_again(case, name, side)),
            _ => ("rods toe the wheels", "The rods as typed toe the wheels {} by {}, {}", Text::default()),
        };
        let say = say(head, title, &[&way, &shown, &who], reason, remedy);
        out.push(made("toe", word, kind, say, Some((value, limit, margin, pm, ResultUnit::Deg)), origin));
    }
}

pub(super) fn rod(case: &Case, out: &mut Vec<Finding>) {
    let ends = [(ResultId::RodOverShortest, Field::RodLengthMin, "shortest"), (ResultId::RodUnderLongest, Field::RodLengthMax, "longest")];
    if ends.iter().all(|e| case.limit(e.1).is_none()) {
        let both = [FieldSet::of(Field::RodLengthMin), FieldSet::of(Field::RodLengthMax)];
        out.push(missing("rod_range", "", "Rod length", Gap::Missing(both[0].with(both[1])), case.readings, DONOR));
        return;
    }
    for (name, field, which) in ends {
        for (side, place) in case.sides(name) {
            let word = words_of(place, &["left wheel", "right wheel", ""]);
            let (value, limit) = match (case.get(name, side), case.limit(field)) {
                (Ok(v), Some(l)) => (v, l),
                (Err(gap), _) => {
                    let name = if field == Field::RodLengthMin { "rod_shortest" } else { "rod_longest" };
                    out.push(missing(name, word, &format!("Rod against the {which}"), gap, case.readings, DONOR));
                    continue;
                }
                _ => continue,
            };
            let pm = case.pm(name, side);
            let kind = judge(value, pm);
            let rod = length(case.get(ResultId::RodLength, side).unwrap_or(0.0));
            let reason =
                Text::fill("The rod comes out {} long; the {} that the donor’s parts allow is {}.", &[&rod, &which, &length(limit)]);
            let shown = figure(ResultUnit::Mm, value, Some(pm));
            let say = match kind {
                Kind::Pass => say("rods in range", "Rod length keeps {} to the {}", &[&shown, &which], reason, Text::default()),
                Kind::Close => say(
                    "rod length too close to call",
                    "Rod length too close to the {} to call: {}",
                    &[&which, &shown],
                    reason,
                    measure_again(case, name, side),
                ),
                _ => {
                    let (head, title) = match field {
                        Field::RodLengthMin => ("rods too long for the gap", "The donor’s rod is {} too long at its shortest"),
                        _ => ("rods too short for the gap", "The donor’s rod is {} too short at its longest"),
                    };
                    let remedy = one("Use rods and tie-rod ends of another length; never weld or heat one.");
                    say(head, title, &[&length(value.abs())], reason, remedy)
                }
            };
            out.push(made("rod_length", word, kind, say, Some((value, 0.0, value, pm, ResultUnit::Mm)), DONOR));
        }
    }
}

/// Limits that are judged only where the builder sets them: (limit, result, +1 for a smallest, −1 for a largest).
const OWN_LIMITS: [(Field, ResultId, f64); 9] = [
    (Field::RatioMin, ResultId::RatioCentre, 1.0),
    (Field::RatioMax, ResultId::RatioCentre, -1.0),
    (Field::TurnsMin, ResultId::Turns, 1.0),
    (Field::TurnsMax, ResultId::Turns, -1.0),
    (Field::AckermannMin, ResultId::AckermannAngle, 1.0),
    (Field::AckermannMax, ResultId::AckermannAngle, -1.0),
    (Field::CircleMax, ResultId::CircleCentre, -1.0),
    (Field::CircleEdgeMax, ResultId::CircleEdge, -1.0),
    (Field::WallToWallMax, ResultId::WallToWall, -1.0),
];

pub(super) fn own_limits(case: &Case, out: &mut Vec<Finding>) {
    for (field, name, sign) in OWN_LIMITS {
        let off = case.readings.off.has(field);
        if case.readings.items[field as usize].is_none() && !off {
            continue;
        }
        let row = &crate::catalogue::result::RESULTS[name as usize];
        let sides = if row.count() == 1 { vec![(0, 2)] } else { case.sides(name) };
        let label = wording::result(name);
        for (side, place) in sides {
            let word = words_of(place, &LOCK);
            if off {
                let value = case.get(name, side).ok().map(|v| (v, case.pm(name, side), row.unit));
                out.push(turned_off(field.spec().name, word, wording::field(field), value));
                continue;
            }
            let (value, limit) = match (case.get(name, side), case.limit(field)) {
                (Ok(v), Some(l)) => (v, l),
                (Err(gap), _) => {
                    out.push(missing(field.spec().name, word, label, gap, case.readings, OWN));
                    continue;
                }
                (_, None) => continue,
            };
            let (margin, pm) = (sign * (value - limit), case.pm(name, side));
            let kind = judge(margin, pm);
            let shown = case.shown(name, side);
            let bound = figure(row.unit, limit, None);
            let (space, at) = if row.count() == 1 { ("", "") } else { (" ", LOCK[place]) };
            let (than, allow) = if sign > 0.0 { ("less", "You allow at least {}.") } else { ("more", "You allow at most {}.") };
            let (head, title, remedy) = match kind {
                Kind::Pass => ("{} in limits", "{}{}{}: {}", Text::default()),
                Kind::Close => ("{} too close to call", "{}{}{} too close to call: {}", measure_again(case, name, side)),
                _ => ("{} off limits", "{}{}{}: {}, {} than you allow", Text::default()),
            };
            let say = Say {
                head: Text::fill(head, &[&wording::small(label)]),
                title: Text::fill(title, &[&label, &space, &at, &shown, &than]),
                reason: Text::fill(allow, &[&bound]),
                remedy,
            };
            out.push(made(field.spec().name, word, kind, say, Some((value, limit, margin, pm, row.unit)), OWN));
        }
    }
}
