//! The two tables as whoever shows them needs them: the same for every plan, so the build writes them beside the page (`tables.js`)
//! and the WebAssembly is spared them.

use crate::catalogue::field::{FIELDS, Spec};

use crate::catalogue::result::{Better, RESULTS, Row, Sides};
use crate::measurement::figure::Text;
use crate::measurement::quantity::Quantity;
use crate::measurement::unit::{default_pm, shown};
use crate::plan::inputs::CARRIED;
use crate::present::view::tolerance;
use crate::wording;
use serde::Serialize;

/// One row of the table of results, for whoever shows it.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct ResultRow {
    /// Its name.
    pub name: &'static str,
    /// What it is called.
    pub label: &'static str,
    /// Its formula in words.
    pub explain: &'static str,
    /// Unit of its value and ±.
    pub unit: &'static str,
    /// What its two sides are called; empty for one value.
    pub sides: Vec<&'static str>,
    /// Which way it is better: "more", "less", or empty where neither is.
    pub better: &'static str,
}

/// One row of the table of measurements, for whoever shows it.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct FieldRow {
    /// "car", "rack" or "limits".
    pub section: &'static str,
    /// Its name.
    pub name: &'static str,
    /// What it is called.
    pub label: &'static str,
    /// Where the tape goes.
    pub hint: &'static str,
    /// The units its field can show, the metric one first; empty for a choice.
    pub units: Vec<&'static str>,
    /// Its two directions, or words; empty for none.
    pub sides: Vec<&'static str>,
    /// Whether it is a choice between its two words.
    pub choice: bool,
    /// Whether a rack without it takes the next rack's.
    pub carried: bool,
    /// How it is usually measured, with the ± that brings.
    pub pm: Text,
}

/// The table of results.
pub fn result_rows() -> Vec<ResultRow> {
    let row = |r: &Row| {
        let sides = if r.sides == Sides::One { Vec::new() } else { vec![wording::side(r.sides, 0), wording::side(r.sides, 1)] };
        let better = match r.better {
            Better::More => "more",
            Better::Less => "less",
            Better::Neither => "",
        };
        ResultRow { name: r.key, label: r.label, explain: r.formula(), unit: wording::unit(r.unit), sides, better }
    };
    RESULTS.iter().map(row).collect()
}

/// The table of measurements.
pub fn field_rows() -> Vec<FieldRow> {
    let row = |s: &Spec| {
        let choice = s.scale.quantity == Quantity::Choice;
        let units = if choice { Vec::new() } else { shown(s.scale.quantity).iter().map(|u| u.name()).collect() };
        FieldRow {
            section: s.section.name(),
            name: s.name,
            label: s.label,
            hint: s.field.hint(),
            units,
            sides: s.scale.sides.map_or(Vec::new(), |(a, b)| vec![a, b]),
            choice,
            carried: CARRIED.contains(&s.field),
            pm: tolerance(s.field, default_pm(s.scale.method), false),
        }
    };
    FIELDS.iter().map(row).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::field::Field;

    #[test]
    fn both_tables_are_whole_and_in_order() {
        let (fields, results) = (field_rows(), result_rows());
        assert!(fields.iter().map(|row| row.name).eq(FIELDS.iter().map(|spec| spec.name)));
        assert!(results.iter().map(|row| row.name).eq(RESULTS.iter().map(|row| row.key)));
        for row in &fields {
            assert!(!row.label.is_empty() && row.hint != row.label && row.units.is_empty() == row.choice, "{}", row.name);
            // Where the tape goes is said of everything that a tape measures.
            assert!(row.section == "limits" || !row.hint.is_empty(), "{}", row.name);
        }
        for row in &results {
            assert!(!row.label.is_empty() && row.explain.ends_with('.'), "{}", row.name);
        }
        let arm = &fields[Field::ArmForeAft as usize];
        assert_eq!((arm.sides.as_slice(), arm.units.as_slice()), (&["ahead", "behind"][..], &["mm", "in"][..]));
        assert_eq!((arm.pm.mm.as_str(), arm.carried), ("± 1.5 mm, tape", false));
        assert!(
            fields[Field::Offset as usize].carried && !fields[Field::RackLine as usize].carried && fields[Field::BarMoves as usize].choice
        );
    }
}
