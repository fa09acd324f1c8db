//! The grammar of what people write in a field: `5 7/16`, `13,8 cm`, `4' 6 1/2"`, `12° 30'`, `138 ± 1`.
//!
//! Everything is exact, and nothing that can be typed panics.

use crate::math::ratio::Ratio;
use crate::measurement::quantity::Quantity;
use crate::measurement::text::replaced;
use crate::measurement::unit::Unit;

/// The longest text that is read.
const LONGEST: usize = 64;

/// A text that was understood.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Written {
    /// In the base unit where `own` says which unit it was, else a bare number.
    value: Ratio,
    /// The unit that the text itself says (feet for feet and inches).
    pub own: Option<Unit>,
    /// The size of the last unit said: what a bare tolerance takes.
    last: Option<Ratio>,
    /// The tolerance, and whether it says its own unit (then it is in the base unit).
    pm: Option<(Ratio, bool)>,
}

impl Written {
    /// Value and typed tolerance in the base unit, when a bare number takes `unit`; `None` beyond 128 bits.
    pub fn exact(&self, unit: Unit) -> Option<(Ratio, Option<Ratio>)> {
        let value = if self.own.is_some() { self.value } else { self.value.times(unit.size())? };
        let pm = match self.pm {
            Some((pm, false)) => Some(pm.times(self.last.unwrap_or(unit.size()))?),
            Some((pm, true)) => Some(pm),
            None => None,
        };
        Some((value, pm))
    }
}

/// Why a text was not understood.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Fault {
    NotANumber,
    WhichComma { decimal: String, thousands: String },
    Minus,
    NegativeTolerance,
    WrongUnit,
}

/// Reads the text of a field.
pub(crate) fn parse(text: &str, quantity: Quantity) -> Result<Written, Fault> {
    if text.chars().count() > LONGEST || quantity == Quantity::Choice {
        return Err(Fault::NotANumber);
    }
    let clean = plain(text);
    let asked = |fault| match fault {
        // The question quotes the whole text, so that either answer can simply replace it.
        Fault::WhichComma { decimal, thousands } => {
            let token = decimal.replace('.', ",");
            Fault::WhichComma { decimal: replaced(text, &token, &decimal, 1), thousands: replaced(text, &token, &thousands, 1) }
        }
        other => other,
    };
    let (head, tail) = match clean.split_once('±') {
        Some((head, tail)) => (head, Some(tail)),
        None => (clean.as_str(), None),
    };
    let value = part(head, quantity).map_err(asked)?;
    if value.value.negative() && quantity != Quantity::Percent {
        return Err(Fault::Minus);
    }
    let Some(tail) = tail else { return Ok(value) };
    let pm = part(tail, quantity).map_err(asked)?;
    if pm.value.negative() {
        return Err(Fault::NegativeTolerance);
    }
    Ok(Written { pm: Some((pm.value, pm.own.is_some())), ..value })
}

/// One spelling for every mark that keyboards and copied texts bring.
fn plain(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 8);
    for c in text.trim().chars() {
        let fraction = match c {
            '½' => "1/2",
            '¼' => "1/4",
            '¾' => "3/4",
            '⅛' => "1/8",
            '⅜' => "3/8",
            '⅝' => "5/8",
            '⅞' => "7/8",
            '⅓' => "1/3",
            '⅔' => "2/3",
            '⅕' => "1/5",
            '⅖' => "2/5",
            '⅗' => "3/5",
            '⅘' => "4/5",
            '⅙' => "1/6",
            '⅚' => "5/6",
            _ => "",
        };
        match c {
            _ if !fraction.is_empty() => {
                if out.ends_with(|p: char| p.is_ascii_digit()) {
                    out.push(' ');
                }
                out.push_str(fraction);
            }
            '⁄' | '∕' => out.push('/'),
            '′' | '’' | '‘' | 'ʹ' | '´' | '`' => out.push('\''),
            '″' | '”' | '“' | 'ʺ' => out.push('"'),
            '−' | '–' | '‐' | '‑' | '‒' => out.push('-'),
            'º' => out.push('°'),
            _ if c.is_whitespace() => {
                if !out.ends_with(' ') {
                    out.push(' ');
                }
            }
            _ => out.push(c.to_ascii_lowercase()),
        }
    }
    [("''", "\""), ("+/-", "±"), ("+-", "±")].iter().fold(out, |out, (from, to)| replaced(&out, from, to, usize::MAX))
}

/// A number with its unit, or two (feet and inches, degrees and minutes).
fn part(text: &str, quantity: Quantity) -> Result<Written, Fault> {
    let text = text.trim();
    let (negative, text) = match text.strip_prefix('-') {
        Some(rest) => (true, rest.trim_start()),
        None => (false, text),
    };
    // A ratio is also written 16:1.
    let text = if quantity == Quantity::Number { text.strip_suffix(":1").unwrap_or(text) } else { text };
    let (number, word, rest) = pair(text)?;
    let unit = meaning(word, quantity)?;
    let mut written = Written { value: number, own: None, last: None, pm: None };
    if let Some((unit, size)) = unit {
        written = Written { value: scaled(number, size)?, own: Some(unit), last: Some(size), pm: None };
        if !rest.is_empty() {
            // 4' 6 1/2", 4'-6 1/2", 12° 30'; the smaller unit need not be said.
            let smaller = match word {
                "'" | "ft" | "foot" | "feet" if unit == Unit::Ft => (Unit::In.size(), Unit::In),
                "°" | "deg" | "degree" | "degrees" => (minute(), Unit::Deg),
                _ => return Err(Fault::NotANumber),
            };
            let rest = if unit == Unit::Ft { rest.strip_prefix('-').unwrap_or(rest) } else { rest };
            let (second, word, end) = pair(rest)?;
            let said = meaning(word, quantity)?.unwrap_or((smaller.1, smaller.0));
            // Sixty minutes are a degree: more of them are a slip.
            let sixty = Ratio::new(60, 1).filter(|_| unit == Unit::Deg);
            let whole = sixty.is_some_and(|sixty| second.minus(sixty).is_none_or(|over| !over.negative()));
            if !end.is_empty() || said != (smaller.1, smaller.0) || whole {
                return Err(Fault::NotANumber);
            }
            let sum = scaled(second, smaller.0)?.plus(written.value);
            written = Written { value: sum.ok_or(Fault::NotANumber)?, last: Some(smaller.0), ..written };
        }
    } else if !rest.is_empty() {
        return Err(Fault::NotANumber);
    }
    if negative {
        written.value = Ratio::ZERO.minus(written.value).ok_or(Fault::NotANumber)?;
    }
    Ok(written)
}

/// The number at the head of `text`, the word after it, and what is left.
fn pair(text: &str) -> Result<(Ratio, &str, &str), Fault> {
    let numeric = |c: char| c.is_ascii_digit() || matches!(c, ' ' | '.' | ',' | '/' | '-');
    let end = text.find(|c| !numeric(c)).unwrap_or(text.len());
    let (digits, rest) = text.split_at_checked(end).unwrap_or_default();
    let end = rest.find(numeric).unwrap_or(rest.len());
    let (word, mut rest) = rest.split_at_checked(end).unwrap_or_default();
    if let Some(after) = rest.strip_prefix('.')
        && !after.starts_with(|c: char| c.is_ascii_digit())
    {
        rest = after; // "in."
    }
    Ok((number(digits.trim())?, word, rest.trim()))
}

/// What a unit word means for that quantity; `None` for no word.
fn meaning(word: &str, quantity: Quantity) -> Result<Option<(Unit, Ratio)>, Fault> {
    if word.is_empty() {
        return Ok(None);
    }
    let all = [Quantity::Length, Quantity::Angle, Quantity::Turns, Quantity::Percent];
    match unit_word(word, quantity) {
        Some(found) => Ok(Some(found)),
        None if all.into_iter().any(|q| unit_word(word, q).is_some()) => Err(Fault::WrongUnit),
        None => Err(Fault::NotANumber),
    }
}

/// The unit words of a quantity.
fn unit_word(word: &str, quantity: Quantity) -> Option<(Unit, Ratio)> {
    let unit = match (quantity, word) {
        (Quantity::Angle, "'" | "min" | "minute" | "minutes") => return Some((Unit::Deg, minute())),
        (Quantity::Angle, "°" | "deg" | "degree" | "degrees") => Unit::Deg,
        (Quantity::Turns, "turn" | "turns") => Unit::Turns,
        (Quantity::Percent, "%") => Unit::Percent,
        (Quantity::Length | Quantity::Circle, word) => match word {
            "mm" => Unit::Mm,
            "cm" => Unit::Cm,
            "m" => Unit::M,
            "in" | "inch" | "inches" | "\"" => Unit::In,
            "ft" | "foot" | "feet" | "'" => Unit::Ft,
            _ => return None,
        },
        _ => return None,
    };
    Some((unit, unit.size()))
}

/// A minute of arc in degrees.
fn minute() -> Ratio {
    Ratio::new(1, 60).unwrap_or(Ratio::ZERO)
}

fn scaled(number: Ratio, size: Ratio) -> Result<Ratio, Fault> {
    number.times(size).ok_or(Fault::NotANumber)
}

/// `5`, `5.44`, `,5`, `7/16`, `5 7/16`, `5-7/16`.
fn number(text: &str) -> Result<Ratio, Fault> {
    let Some((above, below)) = text.split_once('/') else { return decimal(text) };
    let (whole, above) = above.rsplit_once([' ', '-']).unwrap_or(("", above));
    let (n, d) = (digits(above)?, digits(below)?);
    let fraction = Ratio::new(n, d).ok_or(Fault::NotANumber)?;
    if whole.is_empty() && !text.starts_with([' ', '-']) {
        return Ok(fraction);
    }
    let whole = Ratio::new(digits(whole)?, 1).filter(|_| n < d);
    whole.and_then(|w| w.plus(fraction)).ok_or(Fault::NotANumber)
}

/// A decimal number with one point or comma; a comma that may as well stand for thousands is asked about.
fn decimal(text: &str) -> Result<Ratio, Fault> {
    let (whole, part) = text.split_once(['.', ',']).unwrap_or((text, ""));
    if text.as_bytes().contains(&b',') && part.len() == 3 && (1..=3).contains(&whole.len()) && !whole.starts_with('0') {
        digits(&(whole.to_owned() + part))?;
        return Err(Fault::WhichComma { decimal: format!("{whole}.{part}"), thousands: format!("{whole}{part}") });
    }
    let scale = 10i128.checked_pow(part.len() as u32).ok_or(Fault::NotANumber)?;
    Ratio::new(digits(&(whole.to_owned() + part))?, scale).ok_or(Fault::NotANumber)
}

/// Decimal digits and nothing else, at least one.
fn digits(text: &str) -> Result<i128, Fault> {
    if text.bytes().all(|b| b.is_ascii_digit()) { text.parse().map_err(|_| Fault::NotANumber) } else { Err(Fault::NotANumber) }
}
