//! What is unusual: no judgement, but a figure to look at again, with the slip of the tape that would explain it.
//!
//! The bands are settings; their starting values are common practice from memory, no source. A slip is only guessed at after solving with it
//! mended: then the figure is usual, and nothing else has become unusual or fails.

use crate::catalogue::field::{FIELDS, Field};
use crate::catalogue::result::{ResultId, Results};
use crate::judgement::case::Case;
use crate::judgement::demand::{limit, margins};
use crate::judgement::finding::{Finding, Kind};
use crate::judgement::rack_line::{Line, fit, room};
use crate::linkage::steering::solve;
use crate::linkage::travel::{ENDS, End};
use crate::linkage::wheel::{Level, axis_spacing};
use crate::math::each::Each;
use crate::measurement::decimal::fixed;
use crate::measurement::entry::Entry;
use crate::measurement::figure::{Text, degrees, figure};
use crate::measurement::quantity::{Quantity, ResultUnit};
use crate::measurement::text::replaced;
use crate::measurement::unit::{Unit, default_pm};
use crate::plan::Plan;
use crate::plan::inputs::{Inputs, Origin, Readings, STARTING_LIMITS};
use crate::wording;

/// A result with the band in which it is usual.
struct Band {
    name: &'static str,
    result: ResultId,
    least: Option<Field>,
    most: Option<Field>,
    /// What to look at again.
    look: &'static str,
}

const fn band(name: &'static str, result: ResultId, least: Option<Field>, most: Option<Field>, look: &'static str) -> Band {
    Band { name, result, least, most, look }
}

const BANDS: [Band; 7] = [
    band(
        "unusual_ratio",
        ResultId::RatioCentre,
        Some(Field::UsualRatioMin),
        Some(Field::UsualRatioMax),
        "the travel over two turns and the steering arm",
    ),
    band(
        "unusual_turns",
        ResultId::Turns,
        Some(Field::UsualTurnsMin),
        Some(Field::UsualTurnsMax),
        "the total travel and the travel over two turns",
    ),
    band(
        "unusual_circle",
        ResultId::CircleCentre,
        Some(Field::UsualCircleMin),
        Some(Field::UsualCircleMax),
        "the wheelbase, the travel and the arm",
    ),
    band(
        "unusual_ackermann",
        ResultId::AckermannAngle,
        Some(Field::UsualAckermannMin),
        Some(Field::UsualAckermannMax),
        "the arm’s two distances and the rack line",
    ),
    band(
        "unusual_scrub",
        ResultId::ScrubRadius,
        Some(Field::UsualScrubMin),
        Some(Field::UsualScrubMax),
        "the track and the steering axes’ spacing",
    ),
    band(
        "unusual_rod",
        ResultId::RodLength,
        Some(Field::UsualRodMin),
        Some(Field::UsualRodMax),
        "the inner joints’ and the tie-rod ends’ spacing",
    ),
    band("unusual_tilt", ResultId::RodTilt, None, Some(Field::UsualTiltMax), "the height of the inner joints"),
];

/// Something unusual: its name, and by which side of which result; `None` for what is no result.
type Odd = (&'static str, Option<usize>);

/// Everything unusual about these inputs and what follows from them.
fn odd(x: &Inputs, results: &Results) -> Vec<Odd> {
    let mut out = Vec::new();
    for b in &BANDS {
        let bound = |f: Option<Field>| f.and_then(|f| limit(x, f));
        let (least, most) = (bound(b.least), bound(b.most));
        // No turn at all is a failure of its own.
        let outside = |v: f64| (least.is_some_and(|l| v < l) || most.is_some_and(|m| v > m)) && (b.result != ResultId::Turns || v > 0.0);
        if let Some(side) = (0..b.result.row().count()).find(|&side| results.get(b.result, side).is_ok_and(outside)) {
            out.push((b.name, Some(side)));
        }
    }
    if let (Some(l), Some(t)) = (x.get(Field::Wheelbase), x.get(Field::FrontTrack)) {
        let outside =
            x.get(Field::UsualWheelbaseMin).is_some_and(|m| l / t < m) || x.get(Field::UsualWheelbaseMax).is_some_and(|m| l / t > m);
        if outside {
            out.push(("unusual_wheelbase", None));
        }
    }
    if let (Ok((ground, g)), Ok((rod, r))) = (axis_spacing(x, Level::Ground), axis_spacing(x, Level::RodEnd)) {
        let measured = crate::linkage::wheel::Basis::Measured;
        // An axis leans inboard at its top: higher up the two are closer together. 3 mm: a chalk line's own ±.
        if g == measured && r == measured && rod > ground + 3.0 {
            out.push(("unusual_axes", None));
        }
    }
    if let (Some(ends), Some(track)) = (x.get(Field::RodEndSpacing), x.get(Field::FrontTrack))
        && ends > track - 3.0
    {
        out.push(("unusual_ends", None));
    }
    out
}

/// A slip of the tape: what was probably meant.
struct Slip {
    sets: Vec<(Field, f64)>,
    text: Text,
}

/// Slips that these readings may hold, the commonest first.
fn slips(readings: &Readings, x: &Inputs) -> Vec<Slip> {
    let mut out = Vec::new();
    let typed = |f: Field| x.get(f).filter(|_| readings.items[f as usize].is_some_and(|i| i.origin == Origin::Typed));
    let mut add = |field: Field, factor: f64, text: &str| {
        let Some(v) = typed(field) else { return };
        let (lo, hi) = field.spec().scale.range;
        let meant = v * factor;
        if (lo..=hi).contains(&meant.abs()) {
            let (was, now) = (figure(ResultUnit::Mm, v.abs(), None), figure(ResultUnit::Mm, meant.abs(), None));
            let parts: &[&dyn crate::measurement::figure::Words] = if text.matches('{').count() == 1 { &[&now] } else { &[&was, &now] };
            out.push(Slip { sets: vec![(field, meant)], text: Text::fill(text, parts) });
        }
    };
    add(Field::TravelPerTurn, 0.5, "Was the travel per turn, {}, taken over two turns? Then it is {}");
    add(Field::TravelTwoTurns, 2.0, "Was the travel over two turns, {}, taken over one? Then it is {}");
    add(Field::TravelTwoTurns, 0.5, "Was the travel over two turns, {}, taken over four? Then it is {}");
    add(Field::Travel, 2.0, "Is the total travel, {}, that of one way only? Then it is {}");
    add(Field::Travel, 0.5, "Is the total travel, {}, counted twice? Then it is {}");
    for field in [Field::FrontTrack, Field::AxisSpacingGround, Field::AxisSpacingRodEnd, Field::RodEndSpacing, Field::InnerJointSpacing] {
        let text = format!("Is {{}} only half of it ({}, from the car’s middle)? Then it is {{}}", wording::small(field.label()));
        add(field, 2.0, &text);
    }
    for field in LONG {
        for (factor, unit) in [(25.4, "inches"), (10.0, "centimetres")] {
            // A number of inches in a field that counts mm: told as it was typed, to readers of inches as well.
            let Some(typed) = typed(field) else { continue };
            let number = crate::measurement::figure::trimmed(typed.abs());
            let text =
                format!("Is the {number} of {}, counted in mm, really a number of {unit}? Then it is {{}}", wording::small(field.label()));
            add(field, factor, &text);
        }
    }
    out
}

/// Lengths that are never so short that their number in inches or centimetres would pass for one in mm.
const LONG: [Field; 12] = [
    Field::Wheelbase,
    Field::FrontTrack,
    Field::AxisSpacingGround,
    Field::AxisSpacingRodEnd,
    Field::RodEndSpacing,
    Field::ArmForeAft,
    Field::ArmLength,
    Field::TravelPerTurn,
    Field::TravelTwoTurns,
    Field::Travel,
    Field::InnerJointSpacing,
    Field::RodLength,
];

/// What is unusual about one rack of a plan, as findings that are not judged.
pub fn notices(case: &Case, plan: &Plan, rack: usize, findings: &[Finding]) -> Vec<Finding> {
    let x = case.x();
    let results = &case.solution.results;
    let found = odd(&x, results);
    let mut out: Vec<Finding> = Vec::new();
    let candidates = if found.is_empty() { Vec::new() } else { slips(case.readings, &x) };
    for &(name, side) in &found {
        let explained = candidates.iter().find_map(|slip| explains(case, slip, name, &found));
        out.push(spoken(case, name, side, explained));
    }
    out.extend(toed(case));
    out.extend(outside_the_room(case));
    out.extend(travel_one_way(case, findings));
    out.extend(fractions(plan, rack));
    out.extend(tolerances(case));
    out
}

/// What a slip would explain: with it mended the figure is usual, nothing else is unusual that was not, and no demand fails.
fn explains(case: &Case, slip: &Slip, name: &str, found: &[Odd]) -> Option<Text> {
    let x = case.x();
    let y = slip.sets.iter().fold(x, |y, &(f, v)| y.with(f, Some(v)));
    let mended = solve(&y, [None; 2]);
    mended.direction?;
    let left = odd(&y, &mended.results);
    let known = BANDS.iter().find(|b| b.name == name).is_none_or(|b| mended.results.get(b.result, 0).is_ok());
    if !known || left.iter().any(|o| o.0 == name || !found.iter().any(|f| f.0 == o.0)) {
        return None;
    }
    if margins(&y, case.readings.off, &mended.results).iter().any(|m| m.margin < 0.0) {
        return None;
    }
    let after = BANDS.iter().find(|b| b.name == name).and_then(|b| {
        let value = mended.results.get(b.result, 0).ok()?;
        let shown = figure(b.result.row().unit, value, None);
        Some(Text::fill(", and the figure {}", &[&shown]))
    });
    Some(Text::fill("{}{}.", &[&slip.text, &after.unwrap_or_default()]))
}

fn made(name: &'static str, title: Text, reason: Text, remedy: Text) -> Finding {
    Finding {
        name,
        side: "",
        kind: Kind::Notice,
        judged: false,
        value: None,
        limit: None,
        margin: None,
        pm: None,
        unit: "",
        head: Text::same("look at this number again"),
        title,
        reason,
        remedy,
        cures: Vec::new(),
        origin: "common practice from memory, no source; adjustable",
    }
}

/// One notice.
fn spoken(case: &Case, name: &'static str, side: Option<usize>, slip: Option<Text>) -> Finding {
    let x = case.x();
    if let (Some(b), Some(side)) = (BANDS.iter().find(|b| b.name == name), side) {
        let row = b.result.row();
        let value = case.solution.results.get(b.result, side).unwrap_or(0.0);
        let shown = figure(row.unit, value, None);
        let bound = |f: Option<Field>| f.and_then(|f| limit(&x, f)).map(|v| figure(row.unit, v, None));
        let reason = match (bound(b.least), bound(b.most)) {
            (Some(a), Some(z)) => Text::fill("Usual is {} to {}.", &[&a, &z]),
            (Some(a), None) => Text::fill("Usual is {} or more.", &[&a]),
            (None, Some(z)) => Text::fill("Usual is {} or less.", &[&z]),
            (None, None) => Text::default(),
        };
        let remedy = slip.unwrap_or_else(|| Text::fill("Measure again: {}.", &[&b.look]));
        let mut f = made(name, Text::fill("Unusual: {} {}", &[&wording::small(b.result.label()), &shown]), reason, remedy);
        (f.value, f.unit) = (Some(value), wording::unit(row.unit));
        return f;
    }
    let plain = |v: f64| crate::measurement::figure::trimmed(v);
    match name {
        "unusual_wheelbase" => {
            let share = x.get(Field::Wheelbase).zip(x.get(Field::FrontTrack)).map_or(0.0, |(l, t)| l / t);
            let bound = |f: Field| x.get(f).map_or_else(String::new, plain);
            let reason = format!("Usual is {} to {}.", bound(Field::UsualWheelbaseMin), bound(Field::UsualWheelbaseMax));
            let title = format!("Unusual: the wheelbase is {} times the track", plain(share));
            let remedy = slip.unwrap_or_else(|| Text::same("Measure again: the wheelbase and the front track."));
            made(name, Text::same(title), Text::same(reason), remedy)
        }
        "unusual_axes" => made(
            name,
            Text::same("Unusual: the steering axes stand wider apart at the tie-rod ends than at the ground"),
            Text::same("A steering axis leans inboard at its top, so higher up the two are closer together."),
            slip.unwrap_or_else(|| Text::same("Measure again: the spacings, and the tie-rod end’s distance inboard or outboard.")),
        ),
        _ => made(
            name,
            Text::same("Unusual: the tie-rod ends are as far apart as the tyres"),
            Text::same("They sit inside the wheels, so they are closer together than the tyres’ middles."),
            Text::same("Was the track typed for the spacing of the tie-rod ends, or the other way round? Measure again."),
        ),
    }
}

/// Wheels that rods of a typed length toe by more than is asked where nothing is said, though it is not judged.
fn toed(case: &Case) -> Option<Finding> {
    let off = case.readings.off.contains(Field::ToeMax) && case.x().get(Field::RodLength).is_some();
    let toe = [0, 1].into_iter().filter(|_| off).filter_map(|side| case.solution.results.get(ResultId::ToeCentre, side).ok());
    let worst = toe.reduce(|a, b| if b.abs() > a.abs() { b } else { a })?;
    let (_, usual) = STARTING_LIMITS.into_iter().find(|l| l.0 == Field::ToeMax)?;
    (worst.abs() > usual).then(|| {
        let mut f = made(
            "unusual_toe",
            Text::fill(
                "Unusual: the rods as typed toe a wheel {} by {} at mid-travel",
                &[&if worst > 0.0 { "in" } else { "out" }, &degrees(worst.abs())],
            ),
            Text::fill("Usual is {} or less; toe is not judged because its limit was turned off.", &[&degrees(usual)]),
            Text::same("Measure again: the length of the rods, or leave them to be made to fit."),
        );
        (f.value, f.unit) = (Some(worst), wording::unit(ResultUnit::Deg));
        f
    })
}

/// A typed rack line where the car was said to have no room.
fn outside_the_room(case: &Case) -> Option<Finding> {
    let x = case.x();
    let said = [Field::RackLineFrom, Field::RackLineTo].iter().any(|f| x.get(*f).is_some());
    let at = x.get(Field::RackLine).filter(|_| said && *case.line == Line::Typed)?;
    let [rear, front] = room(&x);
    (at < rear || at > front).then(|| {
        made(
            "line_outside_room",
            Text::fill("The rack line as typed, {}, lies outside of the room for a rack", &[&wording::line(at)]),
            Text::fill("From {} to {} was said of the car.", &[&wording::line_short(front), &wording::line_short(rear)]),
            Text::same("Measure again: the rack line, and where a rack could sit."),
        )
    })
}

/// A rack that runs out of travel, and would suit with twice as much: perhaps one way was measured.
fn travel_one_way(case: &Case, findings: &[Finding]) -> Option<Finding> {
    let x = case.x();
    let travel = x.get(Field::Travel)?;
    let short = findings.iter().any(|f| f.name == "lock" && f.kind == Kind::Fail);
    let ends = case.solution.ends.iter().any(|e| e.map(|k| ENDS[k]) == Some(End::Rack));
    let bare = case.solution.results.get(ResultId::TurnsBare, 0).ok()?;
    if !short || !ends || bare >= 2.2 {
        return None;
    }
    let mut readings = case.readings.clone();
    if let Some(item) = readings.items[Field::Travel as usize].as_mut() {
        item.value = 2.0 * travel;
    }
    if readings.items[Field::RackLine as usize].is_some_and(|i| i.origin == Origin::Found) {
        readings.items[Field::RackLine as usize] = None;
    }
    let readings = fit(readings).readings;
    let y = readings.inputs();
    let mended = solve(&y, [None; 2]);
    let passes = margins(&y, readings.off, &mended.results).iter().all(|m| m.margin >= 0.0);
    if !passes || !odd(&y, &mended.results).is_empty() {
        return None;
    }
    let shown = [travel, 2.0 * travel].each(|t| figure(ResultUnit::Mm, t, None));
    Some(made(
        "travel_one_way",
        Text::fill("Is {} the travel one way only?", &[&shown[0]]),
        Text::fill("End to end it would be {}, and the rack would keep every demand.", &[&shown[1]]),
        Text::same("Measure again: rack hard over one way to hard over the other."),
    ))
}

/// Fractions typed into a field that counts millimetres or centimetres: inches, most likely.
fn fractions(plan: &Plan, rack: usize) -> Vec<Finding> {
    let entries = plan.car.iter().chain(plan.racks.get(rack).into_iter().flat_map(|r| r.entries.iter()));
    let odd = entries.filter(|(field, entry)| typed_fraction(**field, entry));
    odd.map(|(field, entry)| {
        let label = wording::small(field.label());
        made(
            "fraction_in_mm",
            Text::same(format!("“{} {}” for {label}: a fraction of a millimetre?", entry.text.trim(), entry.unit.name())),
            Text::same("A tape shows fractions in inches."),
            Text::same("If these are inches, choose in beside the number."),
        )
    })
    .collect()
}

/// Whether a readable length holds a fraction and counts millimetres, centimetres or metres.
pub fn typed_fraction(field: Field, entry: &Entry) -> bool {
    let metric = |unit: Unit| matches!(unit, Unit::Mm | Unit::Cm | Unit::M);
    let fraction = replaced(&entry.text, "+/-", "", usize::MAX).contains(['/', '½', '¼', '¾', '⅛', '⅜', '⅝', '⅞']);
    fraction && entry.read(&field.spec().scale).is_ok_and(|r| metric(r.unit)) && field.spec().scale.quantity == Quantity::Length
}

/// Typed ± that are a large part of their reading.
fn tolerances(case: &Case) -> Vec<Finding> {
    let Some(most) = case.x().get(Field::UsualTolerance) else { return Vec::new() };
    let odd = FIELDS.iter().filter(|s| s.section.is_measured()).filter_map(|spec| {
        let item = case.readings.items[spec.field as usize]?;
        let measured = spec.scale.method != crate::measurement::quantity::Method::Exact;
        let typed =
            measured && item.pm != crate::plan::inputs::kernel(spec.field, default_pm(spec.scale.method)) && item.origin == Origin::Typed;
        (typed && item.value != 0.0 && item.pm > most / 100.0 * item.value.abs()).then_some((spec.field, item))
    });
    odd.map(|(field, item)| {
        let share = format!("{} %", fixed(100.0 * item.pm / item.value.abs(), 0));
        made(
            "unusual_tolerance",
            Text::same(format!("Unusual: the ± of {} is {share} of it", wording::small(field.label()))),
            Text::same(format!("Usual is {} % or less.", crate::measurement::figure::trimmed(most))),
            Text::same("Is the ± in the right unit?"),
        )
    })
    .collect()
}

/// Readings that nothing uses for want of their partner, each with what it goes with.
pub fn unused(case: &Case) -> Vec<(Field, &'static str)> {
    unused_of(case.readings)
}

/// The same of the car alone.
pub fn unused_of(readings: &Readings) -> Vec<(Field, &'static str)> {
    let x = readings.inputs();
    // Each with what would make it count; an arm described twice over is held against the other description.
    let pairs: [(Field, &[Field], &'static str); 11] = [
        (Field::ArmLength, &[Field::ArmAngle], "goes with the arm’s angle"),
        (Field::ArmAngle, &[Field::ArmLength], "goes with the arm’s length"),
        (Field::KingpinInclination, &[Field::RodEndHeight], "goes with the height of the tie-rod ends"),
        (Field::RodEndHeight, &[Field::KingpinInclination], "goes with the kingpin inclination"),
        (
            Field::Caster,
            &[Field::KingpinInclination, Field::RodEndHeight],
            "goes with the kingpin inclination and the height of the tie-rod ends",
        ),
        (Field::CornerAhead, &[Field::CornerWidth], "goes with the body’s width there"),
        (Field::CornerWidth, &[Field::CornerAhead], "goes with how far ahead that corner stands"),
        (Field::SecondCornerAhead, &[Field::SecondCornerWidth], "goes with the body’s width there"),
        (Field::SecondCornerWidth, &[Field::SecondCornerAhead], "goes with how far ahead that corner stands"),
        (Field::RearTyreWidth, &[Field::RearTrack], "goes with the rear track"),
        (Field::OuterJointLimit, &[Field::Height], "goes with the height of the inner joints"),
    ];
    let mut out: Vec<(Field, &'static str)> = pairs
        .into_iter()
        .filter(|(f, with, _)| x.get(*f).is_some() && with.iter().any(|w| x.get(*w).is_none()))
        .map(|(f, _, why)| (f, why))
        .collect();
    let end = crate::linkage::steering::rack_numbers(&x)[1].map(|t| t / 2.0);
    for stop in [Field::StopLeft, Field::StopRight] {
        if end.is_ok_and(|end| x.get(stop).is_some_and(|at| at > end)) {
            out.push((stop, "lies beyond the rack’s own end"));
        }
    }
    let rear = [Field::RearTyreWidth, Field::TyreWidth].iter().all(|f| x.get(*f).is_none());
    if x.get(Field::RearTrack).is_some() && rear {
        out.push((Field::RearTrack, "goes with a tyre’s section width"));
    }
    out
}
