//! Figures as a person reads them, in mm and in inch, with their ±.

use crate::math::within;
use crate::measurement::decimal::{fixed, power_of_ten};
use crate::measurement::quantity::ResultUnit;
use crate::measurement::text::cut;
use serde::Serialize;

/// One wording in millimetres and metres, and the same in inches and feet.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct Text {
    /// For the reader who thinks in mm.
    pub mm: String,
    /// For the reader who thinks in inches.
    pub inch: String,
}

impl Text {
    /// The same words for both.
    pub fn same(words: impl Into<String>) -> Text {
        let mm = words.into();
        Text { inch: mm.clone(), mm }
    }

    /// The same with its spaces kept from breaking: a number in a sentence is not torn from its unit, nor a whole from its fraction.
    pub fn unbroken(self) -> Text {
        let kept = |words: String| words.replace(' ', "\u{a0}");
        Text { mm: kept(self.mm), inch: kept(self.inch) }
    }

    /// `pattern` with each `{}` replaced by the next part.
    pub fn fill(pattern: &str, parts: &[&dyn Words]) -> Text {
        // Room for most of what comes, so that it need not move.
        let room = pattern.len() + 16 * parts.len();
        let mut out = Text { mm: String::with_capacity(room), inch: String::with_capacity(room) };
        let (mut rest, mut parts) = (Some(pattern), parts.iter());
        while let Some(text) = rest {
            let (piece, more) = match cut(text, "{}") {
                Some((piece, more)) => (piece, Some(more)),
                None => (text, None),
            };
            out.mm.push_str(piece);
            out.inch.push_str(piece);
            if let Some(part) = more.and_then(|_| parts.next()) {
                let [mm, inch] = part.words();
                out.mm.push_str(mm);
                out.inch.push_str(inch);
            }
            rest = more;
        }
        out
    }
}

/// What fills a place in a sentence: a wording of its own for each reader, or the same for both.
pub trait Words {
    /// For the reader of mm, and for the one of inches.
    fn words(&self) -> [&str; 2];
}

impl Words for Text {
    fn words(&self) -> [&str; 2] {
        [&self.mm, &self.inch]
    }
}

impl Words for &str {
    fn words(&self) -> [&str; 2] {
        [self; 2]
    }
}

impl Words for String {
    fn words(&self) -> [&str; 2] {
        [self; 2]
    }
}

const MM_PER_INCH: f64 = 25.4;
/// Parts of an inch to which a length without a ± is written.
const GRID: i32 = 32;

/// A value with its ±: "10.41 m ± 0.12 m" and "34 ft 2 in ± 5 in". The ± decides how many figures are shown, and is never
/// rounded down; `None` or 0: no ± is shown.
pub fn figure(unit: ResultUnit, value: f64, pm: Option<f64>) -> Text {
    let pm = pm.filter(|p| *p > 0.0 && p.is_finite());
    match unit {
        ResultUnit::Mm => Text { mm: decimal(value, pm, 1.0, " mm", 1), inch: inches(value, pm) },
        ResultUnit::Circle => Text { mm: decimal(value, pm, 1000.0, " m", 2), inch: feet(value, pm) },
        ResultUnit::Deg => Text::same(decimal(value, pm, 1.0, "°", 1)),
        ResultUnit::Turns => Text::same(decimal(value, pm, 1.0, " turns", 2)),
        ResultUnit::Ratio => {
            let shown = decimal(value, pm, 1.0, "", 1);
            Text::same(cut(&shown, " ± ").map_or(format!("{shown} : 1"), |(v, p)| format!("{v} : 1 ± {p}")))
        }
        ResultUnit::Percent => Text::same(decimal(value, pm, 1.0, " %", 0)),
        ResultUnit::MmPerDeg => Text {
            mm: decimal(value, pm, 1.0, " mm/°", 2),
            inch: decimal(value / MM_PER_INCH, pm.map(|p| p / MM_PER_INCH), 1.0, " in/°", 3),
        },
        ResultUnit::DegPerMm => Text {
            mm: decimal(value, pm, 1.0, " °/mm", 2),
            inch: decimal(value * MM_PER_INCH, pm.map(|p| p * MM_PER_INCH), 1.0, " °/in", 1),
        },
    }
}

/// Both ends of what a value may be: "3° to 20°".
pub fn ends(unit: ResultUnit, [low, high]: [f64; 2]) -> Text {
    if unit == ResultUnit::Deg && high < 1.0 {
        return Text::fill("{} to {}", &[&small_degrees(low), &small_degrees((high * 100.0).ceil() / 100.0)]);
    }
    Text::fill("{} to {}", &[&figure(unit, low, None), &figure(unit, high, None)])
}

/// The same as [`length`], never rounded up: what must not be exceeded.
pub fn at_most(mm: f64) -> Text {
    bounded(mm, f64::floor)
}

/// The same as [`length`], never rounded down: what is needed at least.
pub fn at_least(mm: f64) -> Text {
    bounded(mm, f64::ceil)
}

fn bounded(mm: f64, to: impl Fn(f64) -> f64) -> Text {
    // A hair beside a whole step is that step.
    let near = |x: f64| if (x - x.round()).abs() < 1e-6 { x.round() } else { to(x) };
    Text {
        mm: decimal(near(mm * 10.0) / 10.0, None, 1.0, " mm", 1),
        inch: format!("{} in", mixed(near(mm / MM_PER_INCH * f64::from(GRID)) as i64, GRID.into())),
    }
    .unbroken()
}

/// A plain length, without a ±.
pub fn length(mm: f64) -> Text {
    figure(ResultUnit::Mm, mm, None).unbroken()
}

/// The length, mm, that a reader of inches takes from what [`length`] writes.
pub fn as_read_in_inches(mm: f64) -> f64 {
    let grid = f64::from(GRID);
    (mm / MM_PER_INCH * grid).round() / grid * MM_PER_INCH
}

/// An angle in degrees, without a ±, to a tenth.
pub fn degrees(deg: f64) -> Text {
    figure(ResultUnit::Deg, deg, None)
}

/// A small angle in degrees, without a ±: two figures.
pub fn small_degrees(deg: f64) -> Text {
    Text::same(format!("{}°", trimmed(deg)))
}

/// How many decimals show one figure of the ±, or two where it begins with a 1 or a 2.
fn decimals(pm: f64) -> usize {
    let e = power_of_ten(pm);
    let lead = pm / 10f64.powi(e);
    let d = f64::from(-e) + if lead < 2.95 { 1.0 } else { 0.0 };
    within(d, 0.0, 3.0) as usize
}

/// Digits with a real minus sign, and none before a nought.
pub fn signed(digits: String) -> String {
    // A rounded −0.0 is 0.0; a real minus is a minus sign, not a hyphen.
    match digits.strip_prefix('-') {
        Some(rest) if rest.chars().all(|c| c == '0' || c == '.') => rest.to_owned(),
        Some(rest) => format!("−{rest}"),
        None => digits,
    }
}

fn decimal(value: f64, pm: Option<f64>, scale: f64, unit: &str, plain: usize) -> String {
    let Some(pm) = pm.map(|p| p / scale) else { return signed(fixed(value / scale, plain)) + unit };
    let d = decimals(pm);
    let ten = 10f64.powi(d as i32);
    // Never down to nothing: a ± that is there is at least one step.
    let up = (pm * ten - 1e-6).ceil().max(1.0) / ten;
    format!("{}{unit} ± {}{unit}", signed(fixed(value / scale, d)), fixed(up, d))
}

/// "5 3/16", from a count of `1/grid` inches.
fn mixed(count: i64, grid: i64) -> String {
    let (whole, mut n, mut d) = (count.abs() / grid, count.abs() % grid, grid);
    while n > 0 && n % 2 == 0 {
        n /= 2;
        d /= 2;
    }
    let minus = if count < 0 { "−" } else { "" };
    match (whole, n) {
        (w, 0) => format!("{minus}{w}"),
        (0, n) => format!("{minus}{n}/{d}"),
        (w, n) => format!("{minus}{w} {n}/{d}"),
    }
}

/// A reading's ±: two figures in mm; in inches the next sixty-fourth, or decimals below one.
pub fn tolerance(mm: f64) -> Text {
    let inch = mm / MM_PER_INCH;
    let inch = if inch < 1.0 / 64.0 { trimmed(inch) } else { mixed((inch * 64.0 - 1e-6).ceil() as i64, 64) };
    Text { mm: format!("{} mm", trimmed(mm)), inch: format!("{inch} in") }
}

/// Two significant figures, without trailing zeros.
pub fn trimmed(x: f64) -> String {
    let d = within(1 - power_of_ten(x.abs().max(1e-9)), 0, 6) as usize;
    let s = fixed(x, d);
    if s.as_bytes().contains(&b'.') { s.trim_end_matches('0').trim_end_matches('.').to_owned() } else { s }
}

fn inches(mm: f64, pm: Option<f64>) -> String {
    let value = mm / MM_PER_INCH;
    let uncertainties = pm.map(|p| p / MM_PER_INCH);
    // A sixteenth is what a tape shows; finer where the ± is, or where the same figure stands elsewhere with its ±.
    let grid: i64 = match uncertainties {
        Some(p) if p < 1.0 / 32.0 => 64,
        Some(p) if p >= 3.0 / 32.0 => 16,
        _ => GRID.into(),
    };
    let text = |x: f64| mixed(x as i64, grid);
    let shown = text((value * grid as f64).round());
    match uncertainties {
        Some(p) => format!("{shown} in ± {} in", text((p * grid as f64 - 1e-6).ceil().max(1.0))),
        None => format!("{shown} in"),
    }
}

fn feet(mm: f64, pm: Option<f64>) -> String {
    let say = |inches: i64| match (inches / 12, inches % 12) {
        (0, i) => format!("{i} in"),
        (f, 0) => format!("{f} ft"),
        (f, i) => format!("{f} ft {i} in"),
    };
    let value = (mm.abs() / MM_PER_INCH).round() as i64;
    let shown = if mm < 0.0 && value > 0 { format!("−{}", say(value)) } else { say(value) };
    match pm {
        Some(p) => format!("{shown} ± {}", say((p / MM_PER_INCH - 1e-6).ceil() as i64)),
        None => shown,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_tolerance_decides_the_figures() {
        let t = |unit, v, p| {
            let f = figure(unit, v, p);
            (f.mm, f.inch)
        };
        let both = |a: &str, b: &str| (a.to_owned(), b.to_owned());
        assert_eq!(t(ResultUnit::Circle, 10413.0, Some(121.0)), both("10.41 m ± 0.13 m", "34 ft 2 in ± 5 in"));
        assert_eq!(t(ResultUnit::Mm, 68.26, Some(1.5)), both("68.3 mm ± 1.5 mm", "2 11/16 in ± 1/16 in"));
        assert_eq!(t(ResultUnit::Mm, -12.0, None), both("−12.0 mm", "−15/32 in"));
        assert_eq!(t(ResultUnit::Ratio, 17.41, Some(0.31)).0, "17.4 : 1 ± 0.4");
        assert_eq!(t(ResultUnit::Ratio, 17.41, None).0, "17.4 : 1");
        assert_eq!(t(ResultUnit::Deg, -0.01, Some(0.3)).0, "0.0° ± 0.3°");
        assert_eq!(t(ResultUnit::Percent, 74.3, Some(5.2)).0, "74 % ± 6 %");
        assert_eq!(t(ResultUnit::Turns, 3.094, None).0, "3.09 turns");
    }

    #[test]
    fn a_tolerance_is_never_made_smaller() {
        let t = |mm| (tolerance(mm).mm, tolerance(mm).inch);
        assert_eq!(t(1.5), ("1.5 mm".to_owned(), "1/16 in".to_owned()));
        assert_eq!(t(0.75), ("0.75 mm".to_owned(), "1/32 in".to_owned()));
        assert_eq!(t(0.1), ("0.1 mm".to_owned(), "0.0039 in".to_owned()));
    }

    #[test]
    fn what_must_not_be_exceeded_is_rounded_down_and_what_is_needed_up() {
        let t = |t: Text| (t.mm, t.inch);
        // 1.704 in is 43.2816 mm; 1 23/32 in would be 1.719.
        assert_eq!(t(at_most(43.2816)), ("43.2\u{a0}mm".to_owned(), "1\u{a0}11/16\u{a0}in".to_owned()));
        assert_eq!(t(at_least(43.2816)), ("43.3\u{a0}mm".to_owned(), "1\u{a0}23/32\u{a0}in".to_owned()));
        assert_eq!(t(at_most(50.8)), ("50.8\u{a0}mm".to_owned(), "2\u{a0}in".to_owned()));
        assert_eq!(figure(ResultUnit::Circle, 11000.0, Some(1e-7)).mm, "11.000 m ± 0.001 m");
    }

    #[test]
    fn parts_fill_their_places_in_both_wordings() {
        let t = Text::fill("a stop at {}, not {}", &[&length(25.4), &length(50.8)]);
        assert_eq!((t.mm.as_str(), t.inch.as_str()), ("a stop at 25.4\u{a0}mm, not 50.8\u{a0}mm", "a stop at 1\u{a0}in, not 2\u{a0}in"));
    }
}
