//! What to look for, in sentences and as the points of a picture.

use super::picture::{Picture, lock, picture};
use super::{Block, Edge, Fit, Lack, Window, Yard};
use crate::fields::Field;
use crate::geometry::within;
use crate::plan::Plan;
use crate::readings::Readings;
use crate::results::{Name, ResultUnit};
use crate::steering::Solution;
use crate::text::{Text, degrees, figure, length};
use crate::travel::End;
use crate::words;
use serde::Serialize;

/// What to look for.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Told {
    /// "ok", "nothing" (no rack can pass) or "needs".
    pub status: &'static str,
    /// The whole in one sentence; where something is missing, what.
    pub summary: Text,
    /// One question a line, in the order in which one looks at a rack.
    pub lines: Vec<Line>,
    /// What it rests on, and what could not be checked.
    pub notes: Vec<Text>,
    /// Range of inner-joint spacing, mm.
    pub spacing: Option<Range>,
    /// Other ranges of spacing that pass, mm: rare.
    pub also: Vec<[f64; 2]>,
    /// Range of travel at `at`, mm.
    pub travel: Option<Range>,
    /// Range of travel per turn at `at`, mm; both ends `None` where no limit is set.
    pub per_turn: [Option<f64>; 2],
    /// The spacing at which travel is told, and the travel at which travel per turn is, mm.
    pub at: Option<[f64; 2]>,
    /// The picture.
    pub picture: Option<Picture>,
}

/// One thing to look for.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Line {
    /// "bar", "spacing", "travel", "per_turn" or "rods"; "obstacle" where nothing passes.
    pub name: &'static str,
    /// What it is about.
    pub label: &'static str,
    /// What to look for.
    pub text: Text,
    /// Why, and what makes the edges.
    pub more: Vec<Text>,
}

/// A range with the limits that make its ends.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Range {
    /// The ends.
    pub ends: [f64; 2],
    /// ± of each, where readings make it.
    pub pm: [Option<f64>; 2],
    /// At each end of a range of spacings, the one travel that passes there, mm; 0 otherwise.
    pub travel: [f64; 2],
    /// The names of the limits that make each end.
    pub limits: [Vec<&'static str>; 2],
}

fn same(s: &str) -> Text {
    Text::same(s)
}

/// A figure whose parts stay on one line.
fn tight(text: Text) -> Text {
    let whole = |s: String| s.replace(' ', "\u{a0}");
    Text { mm: whole(text.mm), inch: whole(text.inch) }
}

/// A whole number of millimetres, or of sixteenths of an inch, not outside a range whose lower (`up`) or upper end it is.
fn inward(mm: f64, up: bool) -> Text {
    let grid = 25.4 / 16.0;
    let to = |x: f64| if up { (x - 1e-6).ceil() } else { (x + 1e-6).floor() };
    tight(Text { mm: format!("{:.0} mm", to(mm)), inch: length(to(mm / grid) * grid).inch })
}

fn near(mm: f64) -> Text {
    tight(Text { mm: format!("{mm:.0} mm"), inch: length(mm).inch })
}

/// "560 to 735 mm": two lengths that already stand on the grid of what is shown.
fn between(a: &Text, b: &Text) -> Text {
    let to = |a: &str, b: &str, unit: &str| format!("{} to {b}", a.strip_suffix(unit).unwrap_or(a));
    Text { mm: to(&a.mm, &b.mm, "\u{a0}mm"), inch: to(&a.inch, &b.inch, "\u{a0}in") }
}

/// With its ± where there is one.
fn edge_text(mm: f64, up: bool, pm: Option<f64>) -> Text {
    match pm.filter(|p| *p > 0.05) {
        Some(p) => tight(figure(ResultUnit::Mm, mm, Some(p))),
        None => inward(mm, up),
    }
}

impl Yard {
    /// A limit as it was set, without figures that say nothing.
    fn bound(&self, field: Field) -> Text {
        let x = self.limit(field).unwrap_or(0.0);
        let plain = |scale: f64| (x / scale * 1e3).round() / 1e3;
        match field {
            Field::ReserveWanted => Text { mm: format!("{} mm", plain(1.0)), inch: length(x).inch },
            Field::LockWanted | Field::TransmissionWanted => same(&format!("{}°", plain(1.0))),
            Field::TurnsMin | Field::TurnsMax => same(&format!("{} turns", plain(1.0))),
            Field::RatioMin | Field::RatioMax => same(&format!("{} : 1", plain(1.0))),
            Field::AckermannMin | Field::AckermannMax => same(&format!("{} %", plain(1.0))),
            _ => Text { mm: format!("{} m", plain(1000.0)), inch: figure(ResultUnit::Circle, x, None).inch },
        }
    }

    /// A limit that is not met, in a sentence part.
    fn unmet(&self, field: Field, dead: End) -> Text {
        let end = if matches!(dead, End::FoldBack(_)) { "fold-back" } else { "toggle" };
        let pattern = match field {
            Field::LockWanted => "the inner wheel stays under {}",
            Field::ReserveWanted => "under {} is left before the {}",
            Field::TransmissionWanted => "under {} is left between rod and arm",
            Field::CircleMax => "the circle stays over {}",
            Field::CircleEdgeMax => "the circle at the tyre’s edge stays over {}",
            Field::WallToWallMax => "the circle wall to wall stays over {}",
            Field::TurnsMin => "it has under {} lock to lock",
            Field::TurnsMax => "it has over {} lock to lock",
            Field::AckermannMin => "Ackermann at lock is under {}",
            Field::AckermannMax => "Ackermann at lock is over {}",
            Field::RatioMin => "the ratio on centre is under {}",
            _ => "the ratio on centre is over {}",
        };
        Text::fill(pattern, &[&self.bound(field), &end])
    }

    /// A limit that is kept, in a sentence part.
    fn kept(&self, field: Field, dead: End) -> Text {
        let end = if matches!(dead, End::FoldBack(_)) { "fold-back" } else { "toggle" };
        let pattern = match field {
            Field::ReserveWanted if self.limit(field) == Some(0.0) => return Text::fill(" before the {}", &[&end]),
            Field::ReserveWanted => " with {} kept before the {}",
            Field::TransmissionWanted => " with {} kept between rod and arm",
            Field::TurnsMax => " within {} lock to lock",
            Field::AckermannMin => " with Ackermann of at least {}",
            Field::AckermannMax => " with Ackermann of at most {}",
            _ => return Text::default(),
        };
        Text::fill(pattern, &[&self.bound(field), &end])
    }

    /// Why nothing passes where these two limits meet.
    fn clash(&self, by: [Option<Field>; 2], dead: End) -> Text {
        match by {
            [Some(a), Some(b)] => Text::fill("{}{}", &[&self.unmet(a, dead), &self.kept(b, dead)]),
            [Some(a), None] => self.unmet(a, dead),
            [None, Some(b)] => self.unmet(b, dead),
            _ => Text::default(),
        }
    }

    fn basis(&self, plan: &Plan) -> Text {
        let of = |i: usize| match plan.racks[i].name.as_str() {
            "" => format!("rack {}", i + 1),
            name => name.to_owned(),
        };
        let line = self.readings.inputs().get(Field::RackLine).unwrap_or(0.0);
        match self.fit {
            Fit::Level => same("No rack line is known yet: it is taken as level with the rod ends."),
            Fit::Rack(i) if line == 0.0 => Text::fill("Rack line level with the rod ends, as for {}.", &[&of(i)]),
            Fit::Rack(i) => {
                let way = if line > 0.0 { "ahead of" } else { "behind" };
                Text::fill("Rack line {} {} the rod ends, as for {}.", &[&length(line.abs()), &way, &of(i)])
            }
        }
    }
}

/// What to look for, for the car of a plan: see [`Yard`].
pub fn look_for(plan: &Plan) -> Told {
    let mut told = Told {
        status: "needs",
        summary: Text::default(),
        lines: Vec::new(),
        notes: Vec::new(),
        spacing: None,
        also: Vec::new(),
        travel: None,
        per_turn: [None; 2],
        at: None,
        picture: None,
    };
    let yard = match Yard::of(plan) {
        Ok(yard) => yard,
        Err(why) => {
            told.summary = lacking(&why.0, &why.1);
            return told;
        }
    };
    told.notes = notes(&yard, plan);
    let own = Readings::of(plan, plan.chosen).inputs().get(Field::InnerJointSpacing);
    match yard.spacings(own) {
        Ok(ranges) => match ranges.split_first() {
            Some((edges, others)) => found(&mut told, &yard, plan, edges, others, own),
            None => return told,
        },
        Err((best, block)) => nothing(&mut told, &yard, plan, best, &block),
    }
    told
}

fn lacking(lack: &Lack, readings: &Readings) -> Text {
    match lack {
        Lack::Conflict(c) => {
            let (title, _, remedy) = words::clash(c.clash, c.fields);
            Text::fill("{}. {}", &[&title, &remedy])
        }
        Lack::Gap(gap) => Text::fill("{}.", &[&words::capital(&words::gap(*gap, readings))]),
    }
}

fn notes(yard: &Yard, plan: &Plan) -> Vec<Text> {
    let mut out = vec![yard.basis(plan)];
    let x = yard.readings.inputs();
    let mut taken = Vec::new();
    let spacings = crate::axle::axis_spacings(&x, crate::axle::arms(&x));
    if spacings.is_ok_and(|s| s[1].1 == crate::axle::Basis::TakenOver) {
        taken.push("axis spacing at the ground taken for that at rod-end height");
    }
    if x.get(Field::Offset).is_none() {
        taken.push("rack taken as centred on the car");
    }
    if x.get(Field::Height).is_none() {
        taken.push("inner joints taken as level with the rod ends");
    }
    if !taken.is_empty() {
        out.push(Text::fill("Taken for granted: {}.", &[&taken.join("; ")]));
    }
    let off: Vec<&str> = yard.readings.off.iter().map(words::turned_off).collect();
    if !off.is_empty() {
        out.push(Text::fill("Not judged: {}.", &[&off.join(", ")]));
    }
    for (field, gap) in &yard.unchecked {
        let why = match gap {
            crate::results::Gap::Missing(set) if set.has(*field) => "it cannot be read".to_owned(),
            gap => words::gap(*gap, &yard.readings),
        };
        out.push(Text::fill("Not checked: {}: {}.", &[&words::small(words::field(*field)), &why]));
    }
    let car = |f: &Field| f.spec().section == crate::fields::Section::Car;
    let left_out: Vec<&str> = yard.readings.unclear.iter().map(|u| u.0).filter(car).map(|f| words::field(f)).collect();
    if !left_out.is_empty() {
        out.push(Text::fill("Left out, because it cannot be read: {}.", &[&left_out.join(", ")]));
    }
    out
}

fn bar(rack: &Solution) -> Option<Line> {
    let lever = rack.sheet.get(Name::RackPerDegree, 0).ok()?;
    let (way, arms) = if lever > 0.0 { ("left", "ahead of") } else { ("right", "behind") };
    Some(Line {
        name: "bar",
        label: "Bar, in a left turn",
        text: Text::fill("to the {}", &[&way]),
        more: vec![Text::fill("Because your arms steer from {} the axis.", &[&arms])],
    })
}

fn nothing(told: &mut Told, yard: &Yard, plan: &Plan, best: f64, block: &Block) {
    told.status = "nothing";
    let rack = yard.at(best, block.travel.max(20.0));
    told.lines.extend(bar(&rack));
    let dead = yard.dead_point(&rack);
    told.summary = same("No rack passes every limit with these arms and this rack line.");
    let mut more = vec![Text::fill("It comes nearest with inner joints {} apart.", &[&near(best)])];
    if let (Some(lock), [Some(Field::LockWanted), Some(_)]) = (lock(&rack), block.by) {
        let reached = degrees(lock);
        more.push(Text::fill("The inner wheel reaches {} there, with {} of travel.", &[&reached, &near(block.travel)]));
    }
    told.lines.push(Line { name: "obstacle", label: "What stands in the way", text: yard.clash(block.by, dead), more });
    told.lines.push(Line {
        name: "change",
        label: "What would change it",
        text: same("another rack line, other arms, or another limit"),
        more: Vec::new(),
    });
    told.picture = Some(picture(yard, plan, None, best));
}

fn names(by: &[Option<Field>]) -> Vec<&'static str> {
    by.iter().flatten().map(|f| f.spec().name).collect()
}

fn found(told: &mut Told, yard: &Yard, plan: &Plan, edges: &[Edge; 2], others: &[[Edge; 2]], own: Option<f64>) {
    told.status = "ok";
    let [low, high] = *edges;
    let inside = |s: &f64| *s >= low.spacing && *s <= high.spacing;
    let at = own.filter(inside).unwrap_or_else(|| within(((low.spacing + high.spacing) / 2.0).round(), low.spacing, high.spacing));
    let window = yard.window(at).unwrap_or(Window { travel: [low.travel, high.travel], by: [None; 2] });
    let [least, most] = window.travel;
    let middle = within(((least + most) / 2.0).round(), least, most);
    let rack = yard.at(at, middle);
    let dead = |s: f64, t: f64| yard.dead_point(&yard.at(s, t));
    told.at = Some([at, middle]);
    told.lines.extend(bar(&rack));

    let range = match (low.by, high.by) {
        ([None, None], [None, None]) => same("any spacing"),
        ([None, None], _) => Text::fill("up to {}", &[&inward(high.spacing, false)]),
        (_, [None, None]) => Text::fill("from {} up", &[&inward(low.spacing, true)]),
        _ => between(&inward(low.spacing, true), &inward(high.spacing, false)),
    };
    let mut more = Vec::new();
    for (edge, up, word) in [(low, true, "Below"), (high, false, "Above")] {
        let why = yard.clash(edge.by, dead(edge.spacing, edge.travel));
        if edge.by != [None, None] {
            more.push(Text::fill("{} {}, {}.", &[&word, &edge_text(edge.spacing, up, edge.pm), &why]));
        }
    }
    for [a, b] in others {
        more.push(Text::fill("{} passes too.", &[&between(&inward(a.spacing, true), &inward(b.spacing, false))]));
    }
    told.also = others.iter().map(|r| [r[0].spacing, r[1].spacing]).collect();
    told.lines.push(Line { name: "spacing", label: "Inner joints apart", text: range.clone(), more });
    told.spacing = Some(Range {
        ends: [low.spacing, high.spacing],
        pm: [low.pm, high.pm],
        travel: [low.travel, high.travel],
        limits: [names(&low.by), names(&high.by)],
    });

    let pm = [0, 1].map(|i| yard.travel_pm(at, window.travel[i], window.by[i]));
    let mut more = vec![Text::fill("For inner joints {} apart.", &[&near(at)])];
    for (i, word) in ["Below", "Above"].into_iter().enumerate() {
        let Some(field) = window.by[i] else { continue };
        let t = window.travel[i];
        let stops = match i {
            1 => Text::fill("; such a rack needs stops {} from the middle", &[&inward(t / 2.0, false)]),
            _ => Text::default(),
        };
        more.push(Text::fill("{} {}, {}{}.", &[&word, &edge_text(t, i == 0, pm[i]), &yard.unmet(field, dead(at, t)), &stops]));
    }
    told.lines.push(Line { name: "travel", label: "Travel, end to end", text: between(&inward(least, true), &inward(most, false)), more });
    told.travel = Some(Range { ends: window.travel, pm, travel: [0.0; 2], limits: [names(&window.by[..1]), names(&window.by[1..])] });

    let line = per_turn(told, yard, &rack, middle);
    told.lines.push(line);
    told.lines.push(rods(yard, edges, at, most));
    told.summary = match yard.limit(Field::LockWanted) {
        Some(_) => {
            let say = "Inner joints {} apart, with the travel to match, give {} each way within every limit.";
            Text::fill(say, &[&range, &yard.bound(Field::LockWanted)])
        }
        None => Text::fill("Inner joints {} apart, with the travel to match, keep every limit.", &[&range]),
    };
    told.picture = Some(picture(yard, plan, Some(edges), at));
}

/// Travel per turn: what ratio and turns limits allow, or what a usual one would give.
fn per_turn(told: &mut Told, yard: &Yard, rack: &Solution, travel: f64) -> Line {
    let ratio = yard.by_ratio(rack);
    let turns = [Field::TurnsMax, Field::TurnsMin].map(|f| Some((travel / yard.limit(f)?, f)));
    let least = [ratio[0].map(|c| (c, Field::RatioMax)), turns[0]].into_iter().flatten().reduce(|a, b| if b.0 > a.0 { b } else { a });
    let most = [ratio[1].map(|c| (c, Field::RatioMin)), turns[1]].into_iter().flatten().reduce(|a, b| if b.0 < a.0 { b } else { a });
    told.per_turn = [least.map(|l| l.0), most.map(|m| m.0)];
    let tenth = |c: f64, up: bool| {
        let x = if up { (c * 10.0 - 1e-6).ceil() / 10.0 } else { (c * 10.0 + 1e-6).floor() / 10.0 };
        Text { mm: format!("{x:.1}\u{a0}mm"), inch: inward(c, up).inch }
    };
    let label = "Travel per turn";
    let (a, b) = (least.map(|l| tenth(l.0, true)), most.map(|m| tenth(m.0, false)));
    let text = match (&a, &b) {
        (Some(a), Some(b)) => between(a, b),
        (Some(a), None) => Text::fill("{} or more", &[a]),
        (None, Some(b)) => Text::fill("{} or less", &[b]),
        (None, None) => same("no limit set"),
    };
    let mut more = Vec::new();
    for (side, word) in [(least, "Less makes"), (most, "More makes")] {
        let Some((_, field)) = side else { continue };
        let what = match field {
            Field::RatioMin => "{} a ratio on centre under {}.",
            Field::RatioMax => "{} a ratio on centre over {}.",
            Field::TurnsMin => "{} fewer than {} lock to lock.",
            _ => "{} more than {} lock to lock.",
        };
        more.push(Text::fill(what, &[&word, &yard.bound(field)]));
    }
    let c = yard.per_turn;
    if let (Ok(r), Ok(n)) = (rack.sheet.get(Name::RatioCentre, 0), rack.sheet.get(Name::Turns, 0)) {
        let (ratio, turns) = (figure(ResultUnit::Ratio, r, None), figure(ResultUnit::Turns, n, None));
        more.push(Text::fill("{} gives {}, {} over {}.", &[&length(c), &ratio, &turns, &near(travel)]));
    }
    Line { name: "per_turn", label, text, more }
}

fn rods(yard: &Yard, edges: &[Edge; 2], at: f64, travel: f64) -> Line {
    let rod = |s: f64, side: usize| yard.at(s, travel).sheet.get(Name::RodLength, side).unwrap_or(0.0);
    let range = |side: usize| {
        let ends = [rod(edges[0].spacing, side), rod(edges[1].spacing, side)];
        between(&near(ends[0].min(ends[1])), &near(ends[0].max(ends[1])))
    };
    let alike = edges.iter().all(|e| (rod(e.spacing, 0) - rod(e.spacing, 1)).abs() < 0.05);
    let (text, here) = if alike {
        (range(0), near(rod(at, 0)))
    } else {
        let both = |left: &Text, right: &Text| Text::fill("left {}, right {}", &[left, right]);
        (both(&range(0), &range(1)), both(&near(rod(at, 0)), &near(rod(at, 1))))
    };
    let rack = yard.at(at, travel);
    let joint = (0..2).filter_map(|side| rack.sheet.get(Name::InnerJoint, side).ok()).fold(0.0, f64::max);
    let say = "{} for inner joints {} apart, which must go to {} at the most of that travel.";
    let more = vec![Text::fill(say, &[&here, &near(at), &degrees(joint)])];
    Line { name: "rods", label: "Rods that follow", text, more }
}
