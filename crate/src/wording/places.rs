//! The English of where the rack may go.

use crate::analysis::placement::Layer;
use crate::measurement::figure::Text;
use crate::wording::bumps::mm;

/// A layer of the map.
pub fn layer(layer: Layer) -> &'static str {
    match layer {
        Layer::Peak => "Toe change over bumps",
        Layer::Lock => "Inner wheel at lock",
        Layer::Transmission => "Rod against arm at lock",
        Layer::RodAngle => "Rod against rack, straight ahead",
        Layer::Ackermann => "Ackermann at lock",
    }
}

/// The least and the most that is asked.
pub fn bound(bounds: [Option<Text>; 2]) -> Text {
    match bounds {
        [Some(least), Some(most)] => Text::fill("{} to {}", &[&least, &most]),
        [Some(least), None] => Text::fill("at least {}", &[&least]),
        [None, Some(most)] => Text::fill("at most {}", &[&most]),
        [None, None] => Text::same("nothing asked"),
    }
}

/// "9 mm lower and 2 mm further forward"; empty where it is the same place as far as that unit tells.
pub fn way([ahead, up]: [f64; 2]) -> Text {
    let part = |by: f64, plus: &'static str, minus: &'static str| {
        let far = mm(by);
        let way = |far: String| if far.starts_with("0 ") { String::new() } else { far + " " + if by < 0.0 { minus } else { plus } };
        [way(far.mm), way(far.inch)]
    };
    let join = |up: String, ahead: String| if up.is_empty() || ahead.is_empty() { up + &ahead } else { up + " and " + &ahead };
    let ([up, up_in], [ahead, ahead_in]) = (part(up, "higher", "lower"), part(ahead, "further forward", "further back"));
    Text { mm: join(up, ahead), inch: join(up_in, ahead_in) }
}

/// Where a wheel and the rack stand: "wheel 50 mm up, rack 58 mm to the left".
pub fn corner_case(travel: f64, s: f64) -> Text {
    let part = |by: f64, of: &'static str, none: &'static str, [plus, minus]: [&'static str; 2]| match by.abs() < 0.05 {
        true => Text::same(none),
        false => Text::fill("{} {} {}", &[&of, &mm(by), &if by < 0.0 { minus } else { plus }]),
    };
    let rack = part(s, "rack", "straight ahead", ["to the left", "to the right"]);
    Text::fill("{}, {}", &[&part(travel, "wheel", "ride height", ["up", "down"]), &rack])
}

/// How far the map reaches.
pub fn reach(by: f64) -> Text {
    Text::fill("± {}", &[&mm(by)])
}

/// From a place that passes to the nearest that fails.
pub fn room(far: f64) -> Text {
    let far = if far < 2.0 { Text { mm: "less than 2 mm".to_owned(), inch: "less than 1/16 in".to_owned() } } else { mm(far.floor()) };
    Text::fill("The nearest place of this map where a limit is missed is {} away.", &[&far])
}

/// From a place that fails to the nearest that passes.
pub fn nearest(by: [f64; 2]) -> Text {
    Text::fill("The nearest place of this map that keeps every limit is {}.", &[&way(by)])
}

/// No such place: all pass, or none.
pub fn nothing(passes: bool) -> Text {
    Text::same(match passes {
        true => "Every place of this map keeps every limit.",
        false => "No place of this map keeps every limit.",
    })
}
