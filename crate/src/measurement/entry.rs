//! What was typed in one field, kept as it was typed, and what it means.

use crate::measurement::decimal::{fixed, plain};
use crate::measurement::grammar;
use crate::measurement::grammar::Fault;
use crate::measurement::quantity::{Quantity, Scale};
use crate::measurement::unit::{Unit, base, default_pm};
use std::fmt;

/// What stands in place of a limit that is not to be judged.
pub const OFF: &str = "off";

/// One of the two directions of a measurement, or one of the two words of a choice.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Side {
    /// The first word of the row's `sides`: forward, inboard, left, up.
    Plus,
    /// The second word.
    Minus,
}

/// What was typed in one field. A choice has no text, only a side.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct Entry {
    /// The text, as typed.
    pub text: String,
    /// The unit that the field showed when it was typed; a unit within the text outranks it.
    pub unit: Unit,
    /// The direction chosen, if one was.
    pub side: Option<Side>,
}

/// What an entry means.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// mm, degrees, turns, per cent or plain, rounded once; signed by the side; a choice is 1 or −1.
    pub value: f64,
    /// Its ±, in the same unit: as typed, else by the method of the row.
    pub pm: f64,
    /// Was the ± typed?
    pub pm_typed: bool,
    /// The unit in which it was written (feet for feet and inches).
    pub unit: Unit,
}

/// Why an entry has no meaning (yet). Lengths are in mm.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum Unclear {
    /// Nothing was typed.
    Empty,
    /// A limit that is not to be judged: the word `off` in its place.
    Off,
    /// Not a number of this grammar, or longer than 64 characters, or beyond what is reckoned exactly.
    NotANumber {
        /// What the field measures.
        quantity: Quantity,
    },
    /// A comma that may stand for the decimal point or for thousands: the whole text, rewritten both ways.
    WhichComma {
        /// With a point in its place.
        decimal: String,
        /// Without it.
        thousands: String,
    },
    /// Not within the plausible range of the field.
    OutOfRange {
        /// Smallest, in the base unit.
        lo: f64,
        /// Largest, in the base unit.
        hi: f64,
        /// What the field measures.
        quantity: Quantity,
    },
    /// A number without its direction, or a choice not made.
    NoSide {
        /// The first word.
        plus: &'static str,
        /// The second word.
        minus: &'static str,
    },
    /// A minus sign where the direction is said by a word, or where nothing can be negative.
    Minus {
        /// The two words, where there are any.
        sides: Option<(&'static str, &'static str)>,
    },
    /// A unit of something else: degrees for a length.
    WrongUnit {
        /// What the field measures.
        quantity: Quantity,
    },
    /// A ± below nought.
    NegativeTolerance,
    /// A ± larger than the largest plausible value.
    LargeTolerance,
}

impl Entry {
    /// An entry of three parts.
    pub fn new(text: impl Into<String>, unit: Unit, side: Option<Side>) -> Entry {
        Entry { text: text.into(), unit, side }
    }

    /// Was nothing typed? (A direction alone says nothing yet, except in a choice.)
    pub fn is_blank(&self, scale: &Scale) -> bool {
        self.text.trim().is_empty() && (scale.quantity != Quantity::Choice || self.side.is_none())
    }

    /// Is it a limit that was turned off? The word stands for a number in the limits alone.
    pub fn is_off(&self, scale: &Scale) -> bool {
        scale.can_be_off && self.text.trim().eq_ignore_ascii_case(OFF)
    }

    /// What it means in that row of the table.
    ///
    /// A side is not asked for at nought, and not looked at in a row that has none.
    pub fn read(&self, scale: &Scale) -> Result<Reading, Unclear> {
        if self.is_blank(scale) {
            return Err(Unclear::Empty);
        }
        if self.is_off(scale) {
            return Err(Unclear::Off);
        }
        if scale.quantity == Quantity::Choice {
            let Entry { text, side, .. } = Entry::parse_form(&self.form(scale), scale);
            let side = side.filter(|_| text.trim().is_empty());
            let value = sign(side, scale)?;
            return Ok(Reading { value, pm: 0.0, pm_typed: false, unit: Unit::Plain });
        }
        let written = grammar::parse(&self.text, scale.quantity).map_err(|fault| match fault {
            Fault::NotANumber => Unclear::NotANumber { quantity: scale.quantity },
            Fault::WhichComma { decimal, thousands } => Unclear::WhichComma { decimal, thousands },
            Fault::Minus => Unclear::Minus { sides: scale.sides },
            Fault::NegativeTolerance => Unclear::NegativeTolerance,
            Fault::WrongUnit => Unclear::WrongUnit { quantity: scale.quantity },
        })?;
        if !self.unit.fits(scale.quantity) {
            return Err(Unclear::WrongUnit { quantity: scale.quantity });
        }
        let (exact, typed) = written.exact(self.unit).ok_or(Unclear::NotANumber { quantity: scale.quantity })?;
        let (lo, hi) = scale.range;
        let value = exact.to_f64();
        if !(lo..=hi).contains(&value) {
            return Err(Unclear::OutOfRange { lo, hi, quantity: scale.quantity });
        }
        let pm = typed.map_or(default_pm(scale.method), |t| t.to_f64());
        if pm > lo.abs().max(hi.abs()) {
            return Err(Unclear::LargeTolerance);
        }
        let value = if value == 0.0 || scale.sides.is_none() { value } else { value * sign(self.side, scale)? };
        Ok(Reading { value, pm, pm_typed: typed.is_some(), unit: written.own.unwrap_or(self.unit) })
    }

    /// The one-string form in files: the text, the unit unless the text says its own, the word of the side.
    pub fn form(&self, scale: &Scale) -> String {
        if self.is_off(scale) {
            return OFF.to_owned();
        }
        // A blank before the word of a choice would be read as the end of a text of its own.
        let choice = scale.quantity == Quantity::Choice;
        let mut out = if choice { self.text.trim_start() } else { &self.text }.to_owned();
        let mut add = |word: &str| {
            if !word.is_empty() {
                if !out.is_empty() {
                    out.push(' ');
                }
                out.push_str(word);
            }
        };
        if !matches!(grammar::parse(&self.text, scale.quantity), Ok(w) if w.own.is_some()) {
            add(if choice { "" } else { self.unit.name() });
        }
        if let (Some((plus, minus)), Some(side)) = (scale.sides, self.side) {
            add(if side == Side::Plus { plus } else { minus });
        }
        out
    }

    /// Takes the one-string form apart. Never fails: what is not understood stays text.
    ///
    /// Value, unit, side and ± survive `form` and back; so does the text, but for a unit of its own that is spelled as the form spells it
    /// (`138 in` becomes `138`, unit inch).
    pub fn parse_form(form: &str, scale: &Scale) -> Entry {
        // As `form` writes it.
        let form = if scale.quantity == Quantity::Choice { form.trim_start() } else { form };
        let (rest, side) = match scale.sides {
            Some((plus, minus)) => match (cut(form, plus), cut(form, minus)) {
                (Some(rest), _) => (rest, Some(Side::Plus)),
                (_, Some(rest)) => (rest, Some(Side::Minus)),
                _ => (form, None),
            },
            None => (form, None),
        };
        let own = |text: &str| grammar::parse(text, scale.quantity).ok().and_then(|w| w.own);
        for unit in Unit::ALL.into_iter().filter(|u| u.fits(scale.quantity) && *u != Unit::Plain) {
            // The last word of "4 ft 6 in" belongs to its text.
            if let Some(text) = cut(rest, unit.name()).filter(|text| own(text).is_none()) {
                return Entry::new(text, unit, side);
            }
        }
        Entry::new(rest, own(rest).unwrap_or(base(scale.quantity)), side)
    }

    /// A number of a file: so many of the base unit, its sign the side where the row has two.
    pub(crate) fn from_number(number: &str, scale: &Scale) -> Entry {
        let unit = base(scale.quantity);
        match (scale.sides, number.strip_prefix('-')) {
            (Some(_), Some(size)) => Entry::new(size, unit, Some(Side::Minus)),
            (Some(_), None) => Entry::new(number, unit, Some(Side::Plus)),
            _ => Entry::new(number, unit, None),
        }
    }
}

/// `form` without its last word, if that is `word`.
fn cut<'a>(form: &'a str, word: &str) -> Option<&'a str> {
    let rest = form.strip_suffix(word)?;
    if rest.is_empty() { Some(rest) } else { rest.strip_suffix(' ') }
}

/// 1 or −1.
fn sign(side: Option<Side>, scale: &Scale) -> Result<f64, Unclear> {
    let (plus, minus) = scale.sides.unwrap_or_default();
    match side {
        Some(Side::Plus) => Ok(1.0),
        Some(Side::Minus) => Ok(-1.0),
        None => Err(Unclear::NoSide { plus, minus }),
    }
}

/// What a field of that quantity takes, by example.
fn example(quantity: Quantity) -> &'static str {
    match quantity {
        Quantity::Length => "138, 5.44, 5 7/16 or 13.8 cm",
        Quantity::Circle => "10.4, 10.4 m or 34 ft 2 in",
        Quantity::Angle => "12.5 or 12° 30'",
        Quantity::Turns => "3.1 or 3 1/4",
        Quantity::Number => "16 or 16.5",
        Quantity::Percent => "60 or −20",
        Quantity::Choice => "one of the two words",
    }
}

impl fmt::Display for Unclear {
    /// One sentence that says how to mend it.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Unclear::Empty => f.write_str("Nothing is written here yet."),
            Unclear::Off => f.write_str("Not judged: turned off by you."),
            Unclear::NotANumber { quantity } => write!(f, "This cannot be read as a measurement: write it like {}.", example(*quantity)),
            Unclear::WhichComma { decimal, thousands } => write!(f, "Is that {decimal} or {thousands}? Write it without the comma."),
            Unclear::OutOfRange { lo, hi, quantity } => match quantity {
                Quantity::Length => {
                    write!(
                        f,
                        "This should lie between {} and {} mm ({} and {} in): look at the number and its unit.",
                        plain(*lo),
                        plain(*hi),
                        fixed(lo / 25.4, 1),
                        fixed(hi / 25.4, 1)
                    )
                }
                Quantity::Circle => write!(
                    f,
                    "This should lie between {} and {} m ({} and {} ft): look at the number and its unit.",
                    plain(lo / 1000.0),
                    plain(hi / 1000.0),
                    fixed(lo / 304.8, 1),
                    fixed(hi / 304.8, 1)
                ),
                Quantity::Angle => write!(f, "This should lie between {}° and {}°.", plain(*lo), plain(*hi)),
                Quantity::Percent => write!(f, "This should lie between {} and {} %.", plain(*lo), plain(*hi)),
                _ => write!(f, "This should lie between {} and {}.", plain(*lo), plain(*hi)),
            },
            Unclear::NoSide { plus, minus } => write!(f, "Choose {plus} or {minus}."),
            Unclear::Minus { sides: Some((plus, minus)) } => write!(f, "Write it without the minus sign and choose {plus} or {minus}."),
            Unclear::Minus { sides: None } => f.write_str("This cannot be negative: write it without the minus sign."),
            Unclear::WrongUnit { quantity } => write!(f, "That unit does not belong here: write it like {}.", example(*quantity)),
            Unclear::NegativeTolerance => f.write_str("The tolerance after ± cannot be negative."),
            Unclear::LargeTolerance => f.write_str("The tolerance after ± is larger than the measurement can be."),
        }
    }
}
