//! What stands in a field, written in the field's other unit: exactly, or not at all.

use crate::math::ratio::Ratio;
use crate::measurement::grammar;
use crate::measurement::quantity::Quantity;
use crate::measurement::unit::{Unit, mixed};

/// The finest fraction of an inch that is written as one.
const FINEST: i128 = 64;
/// The most digits behind a point: a metre in 64ths of an inch has nine.
const DIGITS: u32 = 9;

/// The same measurement as a field of `other` reads it, when it was typed into one of `unit`; `None` where no text says exactly that.
///
/// A text that cannot be read stays as it is, and so does one that says a unit of its own and is not exact in the other: the field's unit
/// counts for neither.
pub fn in_unit(text: &str, quantity: Quantity, unit: Unit, other: Unit) -> Option<String> {
    let Ok(written) = grammar::parse(text, quantity) else { return Some(text.to_owned()) };
    let same = || written.own.map(|_| text.to_owned());
    if !(unit.fits(quantity) && other.fits(quantity)) {
        return same();
    }
    let spelled = written.exact(unit).and_then(|(value, pm)| {
        let value = spell(value, other)?;
        Some(match pm {
            Some(pm) => format!("{value} ± {}", spell(pm, other)?),
            None => value,
        })
    });
    // What it says is read back, and must be the same.
    let exact = |text: &String| grammar::parse(text, quantity).ok().and_then(|w| w.exact(other)) == written.exact(unit);
    spelled.filter(exact).or_else(same)
}

/// A size (in the base unit) in that many of `unit`; a negative one, or one that has no short spelling, has none.
fn spell(size: Ratio, unit: Unit) -> Option<String> {
    let (n, d) = size.over(unit.size())?.parts();
    let counted = |d: i128| Some(mixed(u64::try_from(n).ok()?, u64::try_from(d).ok()?));
    match unit {
        _ if n < 0 => None,
        Unit::In if FINEST % d == 0 => counted(d),
        Unit::Ft if d != 1 && 12 * FINEST % d == 0 => {
            let (feet, inches) = (u64::try_from(n / d).ok()?, Ratio::new(n % d * 12, d)?);
            Some(format!("{feet}' {}\"", spell(inches.times(Unit::In.size())?, Unit::In)?))
        }
        _ => {
            let digits = (0..=DIGITS).find(|k| 10i128.pow(*k) % d == 0)?;
            let count = n.checked_mul(10i128.pow(digits) / d)?;
            // Of more digits than these nobody wants another unit.
            let (whole, part) = (u64::try_from(count / 10i128.pow(digits)).ok()?, (count % 10i128.pow(digits)) as u64);
            Some(if digits == 0 { whole.to_string() } else { format!("{whole}.{part:0width$}", width = digits as usize) })
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use Quantity::{Angle, Circle, Length};
    use Unit::{Deg, Ft, In, M, Mm};

    #[test]
    fn exact_or_not_at_all() {
        let rows = [
            ("100", Length, In, Mm, Some("2540")),
            ("2540", Length, Mm, In, Some("100")),
            ("2541", Length, Mm, In, None),
            ("5 3/16", Length, In, Mm, Some("131.7625")),
            ("131.7625", Length, Mm, In, Some("5 3/16")),
            ("5 3/16 ± 1/16", Length, In, Mm, Some("131.7625 ± 1.5875")),
            ("131.7625 ± 1", Length, Mm, In, None),
            ("0.001", Length, In, Mm, Some("0.0254")),
            ("0.0254", Length, Mm, In, Some("0.001")),
            ("4' 6 1/2\"", Length, In, Mm, Some("1384.3")),
            ("0", Length, Mm, In, Some("0")),
            ("34' 2\"", Circle, Ft, M, Some("10.414")),
            ("10.414", Circle, M, Ft, Some("34' 2\"")),
            ("1/64 in", Circle, Ft, M, Some("0.000396875")),
            ("10.4", Circle, M, Ft, None),
            // Its own unit outranks the field's, which may change beside it.
            ("138mm", Length, In, Mm, Some("138")),
            ("138mm", Length, Mm, In, Some("138mm")),
            // Nothing that is no number is touched.
            ("5 3/", Length, In, Mm, Some("5 3/")),
            ("1,234", Length, In, Mm, Some("1,234")),
            ("", Length, In, Mm, Some("")),
            ("12.5", Angle, Deg, Deg, Some("12.5")),
        ];
        for (text, quantity, unit, other, wanted) in rows {
            assert_eq!(in_unit(text, quantity, unit, other).as_deref(), wanted, "{text} from {unit:?} to {other:?}");
        }
    }

    /// There and back is where it was, for every sixty-fourth of a foot and every tenth of a millimetre that has the other spelling.
    #[test]
    fn there_and_back() {
        let mut seen = 0;
        for n in 0..768u64 {
            let text = mixed(n, 64);
            let there = in_unit(&text, Length, In, Mm);
            assert_eq!(there.as_deref().and_then(|mm| in_unit(mm, Length, Mm, In)), Some(text));
            let tenths = format!("{}.{}", n / 10, n % 10);
            if let Some(inch) = in_unit(&tenths, Length, Mm, In) {
                assert_eq!(in_unit(&inch, Length, In, Mm).as_deref(), Some(tenths.trim_end_matches(".0")));
                seen += 1;
            }
        }
        assert!(seen > 5, "{seen}");
    }
}
