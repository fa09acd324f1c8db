//! The English of the moving drawing and of the curves over the turn.

use crate::measurement::decimal::fixed;
use crate::measurement::figure::Text;
use crate::wording;

/// Where the steering stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Standing<'a> {
    /// Which way the steering wheel is turned; empty straight ahead.
    pub turned: &'a str,
    /// By how many turns, where known.
    pub turns: Option<&'a str>,
    /// Which way the bar has gone.
    pub bar: &'a str,
    /// Which way the wheels point.
    pub wheels: &'a str,
    /// Whether that is the wrong way.
    pub backwards: bool,
    /// What ends the travel here, if anything does.
    pub end: Option<&'a str>,
}

/// Where the steering stands, in a sentence or two; `bar` is how far the bar has gone.
pub fn standing(at: &Standing, bar: &Text) -> Text {
    if at.turned.is_empty() || at.bar.is_empty() {
        return Text::same("Straight ahead, rack at mid-travel.");
    }
    let wheel = match at.turns {
        Some(turns) => Text::fill("Steering wheel {} turns {}", &[&turns, &at.turned]),
        None => Text::fill("Steering wheel to the {}", &[&at.turned]),
    };
    let pattern = match at.backwards {
        true => "{}: bar {} to the {}, so the wheels go {}: it steers backwards.",
        false => "{}: bar {} to the {}, wheels to the {}.",
    };
    let said = Text::fill(pattern, &[&wheel, bar, &at.bar, &at.wheels]);
    match at.end {
        Some(end) => Text::fill("{} The travel ends here, at {}.", &[&said, &end]),
        None => said,
    }
}

/// Where one side of the turn ends: turns of the steering wheel where known, travel of the bar, the inner wheel's angle, the reason.
pub fn end(turned: &str, turns: Option<&String>, travel: &Text, steer: &Text, reason: &str) -> Text {
    let wheel = turns.map_or(Text::default(), |turns| Text::fill(" after {} turns", &[turns]));
    let pattern = match steer.mm.is_empty() {
        true => "{}: ends{} at {}, bar {} from the middle.",
        false => "{}: ends{} at {}, bar {} from the middle, inner wheel at {}.",
    };
    Text::fill(pattern, &[&wording::capital(turned), &wheel, &reason, travel, steer])
}

/// Why one side of the turn has no end.
pub fn no_end(turned: &str, why: &str) -> Text {
    Text::fill("{}: {}.", &[&wording::capital(turned), &why])
}

/// Where both wheels' axes meet the rear axle's line: the outer wheel's, then the inner one's, each with its side.
pub fn meeting(turned: bool, at: Option<[(Text, &str); 2]>) -> Text {
    match at {
        None if !turned => Text::same("Straight ahead the wheels’ axes are level with each other and meet nothing."),
        None => Text::same("The wheels’ axes meet the rear axle’s line on no common side."),
        Some([(outer, a), (inner, b)]) => Text::fill(
            "On the rear axle’s line the outer wheel’s axis arrives {} to the {}, the inner wheel’s {} to the {}.",
            &[&outer, &a, &inner, &b],
        ),
    }
}

/// One place of the toe-out curve.
pub fn toe_out(inner: &Text, outer: &Text, toe_out: &Text, turn: &str) -> Text {
    if turn.is_empty() {
        return Text::same("Straight ahead: no toe-out yet.");
    }
    Text::fill("Wheels {} and {} to the {}: toe-out {}.", &[inner, outer, &turn, toe_out])
}

/// One place of the ratio curve.
pub fn ratio(ratio: &Text, turns: &str, turned: &str) -> Text {
    if turned.is_empty() {
        return Text::fill("Straight ahead: {}.", &[ratio]);
    }
    Text::fill("{} turns {}: {}.", &[&turns, &turned, ratio])
}

/// The ratio over the turn in a sentence: on centre, then at the ends that are known, by side.
pub fn ratio_summary(centre: &Text, ends: &[(&str, Text)], change: f64) -> Text {
    let how = if change > 0.01 {
        "It slows down towards lock"
    } else if change < -0.01 {
        "It quickens towards lock"
    } else {
        "It hardly changes over the turn"
    };
    let mut out = Text::fill("{} on centre", &[centre]);
    for (side, ratio) in ends {
        out = Text::fill("{}, {} at the {} end", &[&out, ratio, side]);
    }
    Text::fill("{}. {}.", &[&out, &how])
}

/// A turn of the steering wheel in a table.
pub fn turn(turns: f64) -> String {
    let size = fixed(turns.abs(), 2);
    match (size.as_str(), turns > 0.0) {
        ("0.00", _) => "straight".to_owned(),
        (s, true) => format!("{s} left"),
        (s, false) => format!("{s} right"),
    }
}

/// What was typed for the steering wheel is more than it has.
pub fn past_end(end: &Text) -> Text {
    Text::fill("That is past the end. {}", &[end])
}
