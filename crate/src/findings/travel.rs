//! Demands on the travel: lock, the reserve before toggle and fold-back, the joints.

use super::*;
use crate::axle::{arms, axis_spacings};
use crate::geometry::Vec3;
use crate::results::Why;
use crate::steering::solve;
use crate::travel::{ENDS, End, first};

/// The way of the rack (0 right, 1 left) that turns the wheels to `side` (0 left, 1 right).
fn way_of(solution: &Solution, side: usize) -> usize {
    if (side == 0) == (solution.direction.unwrap_or(1.0) > 0.0) { 1 } else { 0 }
}

pub(super) fn lock(case: &Case, out: &mut Vec<Finding>) {
    let origin = case.origin(Field::LockWanted);
    for (side, place) in case.sides(Name::LockInner) {
        let word = words_of(place, &TURN);
        if case.readings.off.has(Field::LockWanted) && !matches!(case.get(Name::LockInner, side), Err(Gap::Unreachable(_))) {
            let value = case.get(Name::LockInner, side).ok().map(|v| (v, case.pm(Name::LockInner, side), ResultUnit::Deg));
            out.push(turned_off("lock", word, &format!("Lock {}", TURN[place]), value));
            continue;
        }
        let (value, wanted) = match (case.get(Name::LockInner, side), case.limit(Field::LockWanted)) {
            (Ok(v), Some(w)) => (v, w),
            (Err(gap @ Gap::Unreachable(Why::NoTravel)), Some(w)) => {
                let mut f = missing("lock", word, "No lock", gap, case.readings, origin);
                (f.value, f.limit, f.margin) = (Some(0.0), Some(w), Some(-w));
                let ends = first(&case.solution.distances[way_of(case.solution, side)]).map(|k| ENDS[k]);
                f.remedy = one(match ends {
                    Some(End::InnerJoint(_) | End::OuterJoint(_)) => {
                        "A joint is past its limit with the wheels straight: move the rack line or the height."
                    }
                    _ => "Too near toggle or fold-back with the wheels straight: make the arms longer or move the rack line.",
                });
                out.push(f);
                continue;
            }
            (Err(gap), _) => {
                out.push(missing("lock", word, &format!("Lock {}", TURN[place]), gap, case.readings, origin));
                continue;
            }
            (_, None) => {
                out.push(missing("lock", word, "Lock", Gap::Missing(FieldSet::of(Field::LockWanted)), case.readings, origin));
                continue;
            }
        };
        let (margin, pm) = (value - wanted, case.pm(Name::LockInner, side));
        let kind = judge(margin, pm);
        let way = way_of(case.solution, side);
        let end = case.solution.ends[way].map_or(End::RackEnd, |k| ENDS[k]);
        let at = length(case.get(Name::UsableTravel, 1 - way).unwrap_or(0.0));
        let to = TURN[place];
        let reason = Text::fill(
            "Wanted: {} at the inner wheel. The travel ends {} from the middle, by {}.",
            &[&degrees(wanted), &at, &words::end(end)],
        );
        let shown = figure(ResultUnit::Deg, value, Some(pm));
        let say = match kind {
            Kind::Pass => say("locks far enough", "The inner wheel turns {} {}", &[&shown, &to], reason, Text::default()),
            Kind::Close => {
                let remedy = measure_again(case, Name::LockInner, side);
                say("lock too close to call", "Lock {} too close to call: {}", &[&to, &shown], reason, remedy)
            }
            _ => {
                let (head, what) = match end {
                    End::RackEnd => ("runs out of travel", "Runs out of rack travel"),
                    End::Stop => ("stopped too early", "The stop ends the turn"),
                    End::Toggle(_) => ("toggle comes too early", "Must stop before the toggle,"),
                    End::FoldBack(_) => ("fold-back comes too early", "Must stop before the fold-back,"),
                    End::InnerJoint(_) | End::OuterJoint(_) => ("joint binds too early", "Must stop before a joint binds,"),
                };
                say(head, "{} at {} {}", &[&what, &degrees(value), &to], reason, more_lock(case, side, wanted, end))
            }
        };
        out.push(made("lock", word, kind, say, Some((value, wanted, margin, pm, ResultUnit::Deg)), origin));
    }
}

/// What would reach the wanted lock: more travel, shorter arms, or a wider circle accepted.
fn more_lock(case: &Case, side: usize, wanted: f64, end: End) -> Text {
    let mut parts: Vec<Text> = Vec::new();
    let x = case.x();
    let way = way_of(case.solution, side);
    if let (Some(wheels), Ok(u)) = (case.solution.wheels, case.get(Name::UsableTravel, 1 - way)) {
        let w = &wheels[side];
        let turn = if side == 0 { 1.0 } else { -1.0 };
        let start = w.linkage.at(0.0).map_or(0.0, |t| t.angle());
        let reaches = if w.axis == Vec3::UP { w.linkage.rack_at(start + turn * wanted.to_radians()) } else { None };
        if let (Some(s), End::RackEnd | End::Stop) = (reaches, end) {
            parts.push(Text::fill("it needs {} more travel that way", &[&length(s.abs() - u)]));
        }
        if let Some(shorter) = shorter_arms(&x, side, wanted, case) {
            parts.push(Text::fill("other arms {} shorter would reach it", &[&length(shorter)]));
        }
    }
    if let Ok(c) = case.get(Name::CircleCentre, side) {
        parts.push(Text::fill("or accept a circle of {} at the tyre’s centre", &[&figure(ResultUnit::Circle, c, None)]));
    }
    let all = parts.into_iter().reduce(|all, part| Text::fill("{}; {}", &[&all, &part]));
    all.map_or(Text::default(), |all| Text { mm: words::capital(&all.mm) + ".", inch: words::capital(&all.inch) + "." })
}

/// By how many mm both arms must be shorter, at their angle and with the rack line as far from the rod ends as now, for the
/// inner wheel to reach `wanted` degrees on that side; `None` when even arms of half the length do not.
fn shorter_arms(x: &Inputs, side: usize, wanted: f64, case: &Case) -> Option<f64> {
    let [left, right] = arms(x).ok()?;
    let spacing = axis_spacings(x, Ok([left, right])).ok()?;
    let held = x.with(Field::AxisSpacingRodEnd, Some(spacing[1].0)).with(Field::AxisSpacingGround, Some(spacing[0].0));
    let more = |k: f64| {
        let mut y = held.with(Field::ArmForeAft, Some(left.ahead * k)).with(Field::ArmInboard, Some(left.inboard * k));
        if right != left {
            y = y.with(Field::RightArmForeAft, Some(right.ahead * k)).with(Field::RightArmInboard, Some(right.inboard * k));
        }
        solve(&y, [None; 2]).sheet.get(Name::LockInner, side).unwrap_or(0.0) - wanted
    };
    // Share of the length with how much lock it gives beyond the wanted; the short ones give enough.
    let mut long = (1.0, case.get(Name::LockInner, side).ok()? - wanted);
    let mut short = (0.5, more(0.5));
    if short.1 < 0.0 || long.1 >= 0.0 {
        return None;
    }
    // A thousandth of a degree more than wanted is near enough; a straight line between the two finds it at once where lock has no kink.
    for n in 0..24 {
        if short.1 < 1e-3 {
            break;
        }
        let line = short.0 + (long.0 - short.0) * (short.1 - 5e-4) / (short.1 - long.1);
        let k = if n % 3 < 2 { line } else { (short.0 + long.0) / 2.0 };
        let here = (k, more(k));
        if here.1 >= 0.0 { short = here } else { long = here }
    }
    Some(left.length() * (1.0 - short.0))
}

pub(super) fn reserve(case: &Case, out: &mut Vec<Finding>) {
    let origin = case.origin(Field::ReserveWanted);
    let name = Name::ReserveHardware;
    for (side, place) in case.sides(name) {
        let (way, word) = (1 - side, words_of(place, &BAR));
        let (value, wanted) = match (case.get(name, side), case.limit(Field::ReserveWanted)) {
            (Ok(v), Some(w)) => (v, w),
            (Err(gap), _) => {
                out.push(missing("reserve", word, "Toggle and fold-back", gap, case.readings, origin));
                continue;
            }
            (_, None) => {
                let gap = Gap::Missing(FieldSet::of(Field::ReserveWanted));
                out.push(missing("reserve", word, "Toggle and fold-back", gap, case.readings, origin));
                continue;
            }
        };
        let (margin, pm) = (value - wanted, case.pm(name, side));
        let kind = judge(margin, pm);
        // The nearest of the four dead points, from the same distances that end the travel.
        let d = &case.solution.distances[way];
        let mut dead = *d;
        for (k, place) in dead.iter_mut().enumerate() {
            if !matches!(ENDS[k], End::Toggle(_) | End::FoldBack(_)) {
                *place = None;
            }
        }
        let k = first(&dead);
        let what = words::dead_point(k.map_or(End::Toggle(0), |k| ENDS[k]));
        let room = k.and_then(|k| d[k]).unwrap_or(0.0);
        let stop = length(room);
        let bar = BAR[place];
        let off = case.readings.off.has(Field::ReserveWanted);
        if off && kind == Kind::Pass {
            out.push(turned_off("reserve", word, &format!("Travel before toggle or fold-back, {bar}"), Some((value, pm, ResultUnit::Mm))));
            continue;
        }
        let kept = if off { " No reserve is kept: turned off by you. The toggle itself still ends the travel." } else { "" };
        let reason = Text::fill(
            "Next comes {}, {} past the end of rack or stop; {} is to be kept.{}",
            &[&what, &length(value), &length(wanted), &kept],
        );
        let shown = figure(ResultUnit::Mm, value, Some(pm));
        let say = match kind {
            Kind::Pass => {
                let title = "Keeps {} of travel before toggle or fold-back, {}";
                say("keeps clear of toggle", title, &[&shown, &bar], reason, Text::default())
            }
            Kind::Close => {
                let title = "Reserve before toggle or fold-back too close to call, {}: {}";
                say("near toggle or fold-back", title, &[&bar, &shown], reason, measure_again(case, name, side))
            }
            _ if room <= 0.0 => Say {
                head: one("too near toggle or fold-back"),
                title: Text::fill("No travel is left before {}, {}", &[&what, &bar]),
                reason: Text::default(),
                remedy: Text::default(),
            },
            _ => Say {
                head: Text::fill("needs a stop at {}", &[&stop]),
                title: Text::fill("Needs a stop at {}, {}", &[&stop, &bar]),
                reason: Text::fill(
                    "Pushed to its own end, the rack would reach {}, {} from the middle. Lock and circle here are those at that stop.",
                    &[&what, &length(room + wanted)],
                ),
                remedy: Text::fill("Fit a stop outside the rack, no further than {} from the middle.", &[&stop]),
            },
        };
        out.push(made("reserve", word, kind, say, Some((value, wanted, margin, pm, ResultUnit::Mm)), origin));
    }
}

pub(super) fn joint(case: &Case, out: &mut Vec<Finding>, finding: &'static str, name: Name, field: Field) {
    let which = if field == Field::InnerJointLimit { "inner" } else { "outer" };
    for (side, place) in case.sides(name) {
        let (way, word) = (1 - side, words_of(place, &BAR));
        let bar = BAR[place];
        let limit = case.limit(field);
        match (case.get(name, side), limit) {
            (Err(Gap::Unreachable(_)), Some(limit)) => {
                let title = "The {} joints never meet their {}, {}";
                let say = say("joints go far enough", title, &[&which, &degrees(limit), &bar], Text::default(), Text::default());
                out.push(made(finding, word, Kind::Pass, say, None, DONOR));
            }
            (Err(gap), _) => out.push(missing(finding, word, &format!("Angle of the {which} joints"), gap, case.readings, DONOR)),
            (Ok(_), None) => {}
            (Ok(value), Some(limit)) => {
                let pm = case.pm(name, side);
                let kind = judge(value, pm);
                let joints =
                    (0..ENDS.len()).filter(|&k| matches!((ENDS[k], which), (End::InnerJoint(_), "inner") | (End::OuterJoint(_), "outer")));
                let stop = length(joints.filter_map(|k| case.solution.distances[way][k]).fold(f64::INFINITY, f64::min));
                let reason = Text::fill("A {} joint meets its {} at {} from the middle.", &[&which, &degrees(limit), &stop]);
                let shown = figure(ResultUnit::Mm, value, Some(pm));
                let say = match kind {
                    Kind::Pass => {
                        let title = "The {} joints keep {} of travel, {}";
                        say("joints go far enough", title, &[&which, &shown, &bar], reason, Text::default())
                    }
                    Kind::Close => {
                        let (title, remedy) = ("Limit of the {} joints too close to call, {}: {}", measure_again(case, name, side));
                        say("joint limit too close to call", title, &[&which, &bar, &shown], reason, remedy)
                    }
                    _ => Say {
                        head: Text::fill("needs a stop at {}", &[&stop]),
                        title: Text::fill("Needs a stop at {}, {}: the {} joint binds", &[&stop, &bar, &which]),
                        reason,
                        remedy: Text::fill(
                            "Fit a stop outside the rack, no further than {} from the middle, or joints that go further.",
                            &[&stop],
                        ),
                    },
                };
                out.push(made(finding, word, kind, say, Some((value, 0.0, value, pm, ResultUnit::Mm)), DONOR));
            }
        }
    }
}
