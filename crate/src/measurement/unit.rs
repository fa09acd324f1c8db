//! Units, exactly: the inch is 25.4 mm (the international yard and pound agreement of 1959; from memory), the foot twelve of them.

use crate::math::ratio::Ratio;
use crate::measurement::decimal::fixed;
use crate::measurement::quantity::{Method, Quantity};

/// A unit in which a measurement can be written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Unit {
    /// Millimetre.
    Mm,
    /// Centimetre.
    Cm,
    /// Metre.
    M,
    /// Inch.
    In,
    /// Foot.
    Ft,
    /// Degree.
    Deg,
    /// Turn of the shaft.
    Turns,
    /// None: a plain number, or a choice.
    Plain,
    /// Per cent.
    Percent,
}

impl Unit {
    /// Every unit.
    pub const ALL: [Unit; 9] = [Unit::Mm, Unit::Cm, Unit::M, Unit::In, Unit::Ft, Unit::Deg, Unit::Turns, Unit::Plain, Unit::Percent];

    /// Its name in files and beside a field; empty for a plain number.
    pub fn name(self) -> &'static str {
        match self {
            Unit::Mm => "mm",
            Unit::Cm => "cm",
            Unit::M => "m",
            Unit::In => "in",
            Unit::Ft => "ft",
            Unit::Deg => "deg",
            Unit::Turns => "turns",
            Unit::Plain => "",
            Unit::Percent => "%",
        }
    }

    /// The unit of that name.
    pub fn named(name: &str) -> Option<Unit> {
        Unit::ALL.into_iter().find(|u| u.name() == name)
    }

    /// One of this unit, in the base unit of its quantity (mm, degrees, turns, per cent, plain).
    pub fn size(self) -> Ratio {
        let (n, d) = match self {
            Unit::Cm => (10, 1),
            Unit::M => (1000, 1),
            Unit::In => (127, 5),
            Unit::Ft => (1524, 5),
            _ => (1, 1),
        };
        Ratio::new(n, d).unwrap_or(Ratio::ZERO)
    }

    /// Does a measurement of that quantity take this unit?
    pub fn fits(self, quantity: Quantity) -> bool {
        match quantity {
            Quantity::Length | Quantity::Circle => matches!(self, Unit::Mm | Unit::Cm | Unit::M | Unit::In | Unit::Ft),
            _ => self == base(quantity),
        }
    }

    /// The unit to which a field's unit key switches.
    pub fn other(self, quantity: Quantity) -> Unit {
        match (shown(quantity), self) {
            (&[metric, imperial], Unit::Mm | Unit::Cm | Unit::M) if metric != imperial => imperial,
            (&[metric, ..], _) => metric,
            _ => self,
        }
    }
}

/// The unit in which the core reckons a quantity, which is also that of a number without a unit in a file.
pub fn base(quantity: Quantity) -> Unit {
    match quantity {
        Quantity::Length | Quantity::Circle => Unit::Mm,
        Quantity::Angle => Unit::Deg,
        Quantity::Turns => Unit::Turns,
        Quantity::Percent => Unit::Percent,
        Quantity::Number | Quantity::Choice => Unit::Plain,
    }
}

/// The units that a field of that quantity offers: the metric one first, then the other where there is one.
pub fn shown(quantity: Quantity) -> &'static [Unit] {
    match quantity {
        Quantity::Length => &[Unit::Mm, Unit::In],
        Quantity::Circle => &[Unit::M, Unit::Ft],
        Quantity::Angle => &[Unit::Deg],
        Quantity::Turns => &[Unit::Turns],
        Quantity::Percent => &[Unit::Percent],
        Quantity::Number | Quantity::Choice => &[Unit::Plain],
    }
}

/// The ± of a way of measuring, in the base unit of what it measures: common practice, no source.
pub fn default_pm(method: Method) -> f64 {
    match method {
        Method::Tape => 1.5,
        Method::TapeOverTwoTurns => 0.75,
        Method::Calliper => 0.1,
        Method::ChalkLine => 3.0,
        Method::AngleFinder => 0.5,
        Method::CountedTurns => 1.0 / 36.0,
        Method::Exact => 0.0,
    }
}

/// The same length in the other unit, without its sign, for the line beneath a field: `131.8 mm`, `5 3/16 in`, `10.41 m`,
/// `34 ft 2 in`. To 0.1 mm or 1/64 in, finer (0.01 mm, 0.001 in) where the ± is below 0.2 mm and not nought. Empty for what has one unit only.
pub fn in_other_units(quantity: Quantity, mm: f64, pm: f64, written: Unit) -> String {
    let size = mm.abs();
    if !size.is_finite() {
        return String::new();
    }
    let fine = pm > 0.0 && pm < 0.2;
    match (quantity, written) {
        (Quantity::Length, Unit::Mm | Unit::Cm | Unit::M) if fine => fixed(size / 25.4, 3) + " in",
        (Quantity::Length, Unit::Mm | Unit::Cm | Unit::M) => format!("{} in", sixty_fourths(size / 25.4)),
        (Quantity::Length, Unit::In | Unit::Ft) if fine => fixed(size, 2) + " mm",
        (Quantity::Length, Unit::In | Unit::Ft) => fixed(size, 1) + " mm",
        (Quantity::Circle, Unit::Mm | Unit::Cm | Unit::M) => {
            let inches = (size / 25.4).round() as u64;
            format!("{} ft {} in", inches / 12, inches % 12)
        }
        (Quantity::Circle, Unit::In | Unit::Ft) => fixed(size / 1000.0, 2) + " m",
        _ => String::new(),
    }
}

/// Inches to the nearest 1/64, as a reduced mixed number: `5 3/16`, `7/16`, `5`.
fn sixty_fourths(inches: f64) -> String {
    mixed((inches * 64.0).round() as u64, 64)
}

/// `n / d` as a reduced mixed number.
pub(crate) fn mixed(n: u64, d: u64) -> String {
    let (whole, mut p, mut q) = (n / d, n % d, d);
    while p != 0 && p % 2 == 0 && q % 2 == 0 {
        (p, q) = (p / 2, q / 2);
    }
    while p != 0 && p % 3 == 0 && q % 3 == 0 {
        (p, q) = (p / 3, q / 3);
    }
    match (whole, p) {
        (_, 0) => whole.to_string(),
        (0, _) => format!("{p}/{q}"),
        _ => format!("{whole} {p}/{q}"),
    }
}
