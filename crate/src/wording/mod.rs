//! The English of everything that is computed: one place, ready for translation. Knows no screen and computes nothing.

pub mod bumps;
pub mod motion;
pub mod places;

use crate::catalogue::field::{Field, Joint};
use crate::catalogue::field_set::FieldSet;
use crate::catalogue::result::Sides;
use crate::catalogue::value::{Gap, Link, Why};
use crate::linkage::travel::End;
use crate::math::closure::Reach;
use crate::measurement::figure::Text;
use crate::measurement::quantity::{Method, ResultUnit};
use crate::plan::inputs::{Clash, Odd, Readings};

/// The same words, beginning with a capital letter.
pub fn capital(words: &str) -> String {
    let mut out = words.to_owned();
    out.get_mut(..1).into_iter().for_each(str::make_ascii_uppercase);
    out
}

/// The same words, beginning with a small letter unless that is a name's.
pub fn small(words: &str) -> String {
    let mut out = words.to_owned();
    if out.starts_with("Ackermann") {
        return out;
    }
    out.get_mut(..1).into_iter().for_each(str::make_ascii_lowercase);
    out
}

/// With `between` between them, as the library's `join`, which knows many lengths of it by heart.
pub fn joined(parts: &[impl AsRef<str>], between: &str) -> String {
    let mut out = String::new();
    for (k, part) in parts.iter().enumerate() {
        out.push_str(if k == 0 { "" } else { between });
        out.push_str(part.as_ref());
    }
    out
}

/// "a", "a and b", "a, b and c".
pub fn list<S: AsRef<str>>(parts: &[S]) -> String {
    match parts {
        [] => String::new(),
        [one] => one.as_ref().to_owned(),
        [first @ .., last] => format!("{} and {}", joined(first, ", "), last.as_ref()),
    }
}

/// "needs the wheelbase and the front track"; readings that contradict each other are asked for as such.
pub fn needs(set: FieldSet, readings: &Readings) -> String {
    let doubtful = readings.doubtful();
    let mut parts: Vec<String> = Vec::new();
    for f in set.iter() {
        let typed = readings.items[f as usize].is_some() && doubtful.contains(f);
        let part = match readings.unclear.iter().find(|u| u.0 == f) {
            Some((_, crate::measurement::entry::Unclear::OutOfRange { .. })) => format!("{} (it is out of its range)", f.spec().ask),
            Some(_) => format!("{} (it cannot be read)", f.spec().ask),
            None if typed => match readings.conflicts.iter().find(|c| c.fields.contains(f)) {
                Some(c) => clash_needs(c.clash).to_owned(),
                None => f.spec().ask.to_owned(),
            },
            None => f.spec().ask.to_owned(),
        };
        if !parts.contains(&part) {
            parts.push(part);
        }
    }
    format!("needs {}", list(&parts))
}

fn clash_needs(c: Clash) -> &'static str {
    match c {
        Clash::Travel => "travel, travel per turn and turns that agree",
        Clash::TwoTurns => "one travel per turn",
        Clash::Track | Clash::Axes => "steering axes and a track that agree",
        Clash::RodEnds => "spacings at the rod ends that agree",
        Clash::Inclination => "axis spacings and an inclination that agree",
        Clash::ArmAhead | Clash::ArmInboard => "arm measurements that agree",
        Clash::Points => "points and tape that agree",
        Clash::Odd(_) => "points that make a suspension",
        Clash::RodRange => "a shortest rod that is shorter than the longest",
        Clash::Limits => "limits in their order",
    }
}

/// What does not go together, between `fields`: title, reason, what to do. `{}` is the amount, then its ±.
pub fn clash(c: Clash, fields: FieldSet) -> (String, &'static str, &'static str) {
    let (title, reason, remedy) = match c {
        Clash::Travel => (
            "Travel, travel per turn and turns do not agree",
            "Travel per turn times turns is {} away from the total travel, more than the ± {} of these readings.",
            "Measure again: count the turns from end to end, and the travel over two turns. Nothing is computed from them until they agree.",
        ),
        Clash::TwoTurns => (
            "Travel over two turns and travel per turn do not agree",
            "Twice the travel per turn is {} away from the travel over two turns, more than the ± {} of these readings.",
            "Measure again, or keep only one of them.",
        ),
        Clash::Track => (
            "Track, steering axes and scrub radius do not agree",
            "They miss each other by {}, more than the ± {} of these readings.",
            "Measure again, or take one of the three away: the other two give it.",
        ),
        Clash::Axes => (
            "Steering axes and track do not go together",
            "They differ by {}: each axis would meet the floor more than 300 mm from the middle of its tyre.",
            "Check both numbers and their units.",
        ),
        Clash::RodEnds => (
            "The spacings at rod-end height do not agree",
            "Tie-rod ends plus both sideways distances are {} away from the axes’ spacing there, more than the ± {} of these readings.",
            "Measure again, or take one of them away.",
        ),
        Clash::Inclination => (
            "Axis spacings and kingpin inclination do not agree",
            "They miss each other by {}, more than the ± {} of these readings.",
            "Measure again, or take the inclination away: two spacings do without it.",
        ),
        Clash::ArmAhead | Clash::ArmInboard => (
            "Two descriptions of the steering arm do not agree",
            "Its distances and its length and angle differ by {}, more than the ± {} of these readings.",
            "Measure again, or keep only one description.",
        ),
        Clash::Points => (
            "Points and tape do not agree",
            "By the points it is {} away from what the tape read, more than the ± {} of these readings.",
            "Measure again, or take one of them away. Nothing is computed from them until they agree.",
        ),
        Clash::RodRange => {
            ("Shortest rod and longest rod are the wrong way round", "The shortest is {} longer than the longest.", "Swap them.")
        }
        Clash::Limits => {
            let title = if fields.contains(Field::RatioMin) {
                "Two limits of the ratio are the wrong way round"
            } else if fields.contains(Field::TurnsMin) {
                "Two limits of the turns are the wrong way round"
            } else if fields.contains(Field::AckermannMin) {
                "Two limits of Ackermann are the wrong way round"
            } else {
                "Two bounds of what is unusual are the wrong way round"
            };
            (title, "The smallest allowed is larger than the largest.", "Swap them.")
        }
        Clash::Odd(odd) => return odd_point(odd, fields),
    };
    (title.to_owned(), reason, remedy)
}

/// What is odd about a point, named with the one that it is odd beside. `{}` is the amount, then the least that is usual.
fn odd_point(odd: Odd, fields: FieldSet) -> (String, &'static str, &'static str) {
    let mut joints: Vec<&str> = fields.iter().filter_map(|f| Joint::of(f).map(Joint::label)).collect();
    joints.dedup();
    let first = fields.iter().next();
    let side = if fields.iter().any(|f| Joint::mirrored(f).is_some()) { "On the right: " } else { "" };
    let (title, reason, remedy) = match odd {
        Odd::Inches => {
            let label = first.map_or("", Field::label);
            return (
                format!("{label}: inches, read as millimetres?"),
                "It reads {}; on a car it is hardly less than {}.",
                "Type the unit behind the number, as in 26 1/2 in.",
            );
        }
        Odd::OnePoint => ("are one point", "They are only {} apart.", "Measure both: the arm turns about the line through them."),
        Odd::Swapped => ("are the wrong way round, fore and aft", "They miss it by {}.", "Swap them, or the words ahead and behind."),
        Odd::Outboard => ("cross: the pivot is farther out than the joint", "By {}.", "Check which number belongs to which point."),
        Odd::NoArm => ("leave no arm between joint and axis", "It would be {} long.", "Check which number belongs to which point."),
        Odd::Wheel => (
            "do not belong to one wheel",
            "A wheel’s centre lies outboard of its lower ball joint, and near it along the car; these miss that by {}.",
            "Check number, unit and direction of both, and the track.",
        ),
        Odd::NotAbove => ("do not stand one above the other", "In height they are {} apart.", "Swap them, or measure their heights again."),
    };
    (format!("{side}{} {title}", list(&joints)), reason, remedy)
}

/// How a measurement is usually taken.
pub fn method(m: Method) -> &'static str {
    match m {
        Method::Tape => "tape",
        Method::TapeOverTwoTurns => "tape over two turns",
        Method::Calliper => "calliper",
        Method::ChalkLine => "chalk line on the floor",
        Method::AngleFinder => "angle finder",
        Method::CountedTurns => "counted turns",
        Method::Exact => "exact",
    }
}

/// A rack line in a sentence part: "13.0 mm behind the tie-rod ends".
pub fn line(at: f64) -> Text {
    if at.abs() < 0.05 {
        return Text::same("level with the tie-rod ends");
    }
    let way = if at > 0.0 { "ahead of" } else { "behind" };
    Text::fill("{} {} the tie-rod ends", &[&crate::measurement::figure::length(at.abs()), &way])
}

/// The same, short: "13.0 mm behind".
pub fn line_short(at: f64) -> Text {
    if at.abs() < 0.05 {
        return Text::same("level");
    }
    Text::fill("{} {}", &[&crate::measurement::figure::length(at.abs()), &if at > 0.0 { "ahead" } else { "behind" }])
}

/// What a side of a result is called.
pub fn side(sides: Sides, k: usize) -> &'static str {
    match (sides, k) {
        (Sides::One, _) => "",
        (Sides::Wheel, 0) => "left wheel",
        (Sides::Wheel, _) => "right wheel",
        (Sides::Rack, 0) => "bar to the left",
        (Sides::Rack, _) => "bar to the right",
        (Sides::Lock, 0) => "lock left",
        (Sides::Lock, _) => "lock right",
    }
}

/// The unit as written in the command line's output.
pub fn unit(u: ResultUnit) -> &'static str {
    match u {
        ResultUnit::Mm | ResultUnit::Circle => "mm",
        ResultUnit::Deg => "deg",
        ResultUnit::Turns => "turns",
        ResultUnit::Ratio => "1",
        ResultUnit::Percent => "%",
        ResultUnit::MmPerDeg => "mm/deg",
        ResultUnit::DegPerMm => "deg/mm",
    }
}

/// Why there is no value, in a sentence part.
pub fn gap(g: Gap, readings: &Readings) -> String {
    match g {
        Gap::Missing(set) => needs(set, readings),
        Gap::Unreachable(why) => self::why(why).to_owned(),
    }
}

/// Why there is no such value.
pub fn why(w: Why) -> &'static str {
    match w {
        Why::Linkage(Reach::TooShort) => "the rod is too short to reach the arm",
        Why::Linkage(Reach::TooLong) => "the rod is too long for arm and rack",
        Why::Linkage(Reach::AtToggle) => "the rod runs through the steering axis with the wheels straight",
        Why::Linkage(Reach::NoLinkage) => "arm or inner joint lies on the steering axis",
        Why::NoFoldBack => "no fold-back before the linkage locks in line",
        Why::NoToggle => "no toggle this way",
        Why::NoLimit => "the joint never meets its limit this way",
        Why::NeverMeets => "arms straight fore and aft: the lines never meet the middle of the car",
        Why::NotAlike => "exists only for a car alike left and right",
        Why::NoTravel => "no usable travel this way",
        Why::NoTurn => "the wheels do not turn together to this side",
        Why::ArmsCross => "the arms would reach past the car’s middle",
        Why::Opposed => "the two wheels steer against each other",
        Why::RackTooWide => "the inner joints are further apart than the tie-rod ends",
        Why::NoPlace => "none within 200 mm of where it is",
        Why::JointInRail => "a joint of the rod comes through the rail",
        Why::KeepsClear => "none: the tyres keep clear as far as the rack goes",
        Why::NoneKeeps => "none within 200 mm keeps the limit",
        Why::NoSuspension => "these points make no suspension",
        Why::RanOut(Link::LowerArm) => "the lower arm does not bring the wheel so far",
        Why::RanOut(Link::UpperArm) => "the upper arm does not reach the upright there",
        Why::RanOut(Link::Damper) => "the damper runs out there",
        Why::RanOut(Link::TieRod) => "the tie rod does not reach there",
        Why::RanOut(Link::Wheel) => "the wheel would lie flat there",
    }
}

/// What ends the travel, in a sentence part.
pub fn end(e: End) -> &'static str {
    match e {
        End::Rack => "the rack’s own end",
        End::Stop => "the stop",
        End::Toggle(_) => "the reserve before the toggle",
        End::FoldBack(_) => "the reserve before the fold-back",
        End::InnerJoint(_) => "an inner joint’s limit",
        End::OuterJoint(_) => "an outer joint’s limit",
    }
}

/// The dead point at which a travel would end, in a sentence part.
pub fn dead_point(e: End) -> &'static str {
    match e {
        End::FoldBack(_) => "the fold-back, where the rod stands square to the rack and the wheel comes back",
        _ => "the toggle, where rod and arm come into line",
    }
}

/// A limit that was not set by the builder.
pub const USUAL: &str = "usual figure, common practice, no source";

/// A rack line that nobody typed.
pub const FOUND: &str = "its best place, found";

/// "carried over from Hatchback rack".
pub fn carried_from(plan: &crate::plan::Plan, rack: usize) -> String {
    match plan.racks.get(rack).map(|r| r.name.as_str()) {
        Some(name) if !name.is_empty() => format!("carried over from {name}"),
        _ => format!("carried over from rack {}", rack + 1),
    }
}

/// "± 1.5 mm, tape".
pub fn tolerance(pm: &Text, how: &str) -> Text {
    Text { mm: format!("± {}, {how}", pm.mm), inch: format!("± {}, {how}", pm.inch) }
}
