//! The English of the wheels over bumps.

use crate::measurement::decimal::fixed;
use crate::measurement::figure::{Text, figure, small_degrees};
use crate::measurement::quantity::ResultUnit;
use crate::measurement::text::replaced;

/// A length without its sign, and without decimals that say nothing.
pub fn mm(v: f64) -> Text {
    let Text { mm, inch } = figure(ResultUnit::Mm, v.abs(), None);
    Text { mm: replaced(&mm, ".0 ", " ", 1), inch }
}

/// The same without its unit: in mm, in inches.
pub fn bare(v: f64) -> [String; 2] {
    let Text { mm, inch } = mm(v);
    let without = |text: String, unit: &str| text.strip_suffix(unit).map(str::to_owned).unwrap_or(text);
    [without(mm, " mm"), without(inch, " in")]
}

/// A change of toe with its word.
fn toe(deg: f64) -> Text {
    match fixed(deg.abs(), 2).as_str() {
        "0.00" => Text::same("no toe change"),
        shown => Text::same(format!("{shown}° toe-{}", if deg > 0.0 { "in" } else { "out" })),
    }
}

/// Where the rack stands: displacement in mm, left positive.
pub fn rack(s: f64) -> Text {
    match s {
        0.0 => Text::same("Straight ahead, rack at mid-travel."),
        s => Text::fill("Rack {} to the {} of mid-travel.", &[&mm(s), &if s > 0.0 { "left" } else { "right" }]),
    }
}

fn height(travel: f64) -> Text {
    match bare(travel)[0].as_str() {
        "0" => Text::same("at ride height"),
        _ => Text::fill("{} {}", &[&mm(travel), &if travel > 0.0 { "up" } else { "down" }]),
    }
}

/// How a corner stands; `apart` is how far above the point where the arms' lines meet the rod's line passes, mm.
pub fn standing(travel: f64, toe_change: f64, camber: &Text, apart: Option<f64>) -> Text {
    let at = height(travel);
    let at = Text { mm: super::capital(&at.mm), inch: super::capital(&at.inch) };
    let said = Text::fill("{}: {}, camber {}.", &[&at, &toe(toe_change), camber]);
    match apart {
        Some(v) if bare(v)[0] == "0" => Text::fill("{} The rod’s line passes where the arms’ lines meet.", &[&said]),
        Some(v) => Text::fill(
            "{} The rod’s line passes {} {} where the arms’ lines meet.",
            &[&said, &mm(v), &if v > 0.0 { "above" } else { "below" }],
        ),
        None => said,
    }
}

/// What a curve of toe change says: [travel, change, ±].
pub fn curve(points: &[[f64; 3]]) -> Text {
    let by = |a: &&[f64; 3], b: &&[f64; 3]| a[1].total_cmp(&b[1]);
    let (Some(out), Some(inward)) = (points.iter().min_by(by), points.iter().max_by(by)) else { return Text::default() };
    let end = |p: &[f64; 3], way: &str| match p[1].abs() {
        change if change < 0.005 => Text::same(format!("no toe-{way}")),
        change => Text::fill("{} toe-{} {}", &[&small_degrees(change), &way, &height(p[0])]),
    };
    Text::fill("From ride height: {} at most, {} at most.", &[&end(inward, "in"), &end(out, "out")])
}
